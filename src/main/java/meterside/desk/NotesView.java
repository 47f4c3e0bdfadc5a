package meterside.desk;

import java.util.List;
import java.util.Objects;
import java.util.Optional;
import javafx.application.Platform;
import javafx.geometry.Insets;
import javafx.geometry.Pos;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.CheckBox;
import javafx.scene.control.Label;
import javafx.scene.control.ScrollPane;
import javafx.scene.control.TextField;
import javafx.scene.control.TextInputControl;
import javafx.scene.input.KeyCode;
import javafx.scene.layout.FlowPane;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Priority;
import javafx.scene.layout.Region;
import javafx.scene.layout.StackPane;
import javafx.scene.layout.VBox;
import meterside.desk.model.FindingDraft;
import meterside.desk.model.JobDesk;
import meterside.desk.model.Keys;
import meterside.desk.model.Marks;
import meterside.desk.model.Notes;
import meterside.desk.model.Notes.Card;
import meterside.desk.model.Notes.Named;
import meterside.desk.model.Words;
import meterside.job.Finding;
import meterside.job.Mark;
import meterside.job.Measure;
import meterside.job.StopKey;
import meterside.markup.ClearanceNote;
import org.kordamp.ikonli.feather.Feather;

/** The right-hand column: caution, parts named, findings and duties of what is shown. */
final class NotesView extends StackPane {
  static final double WIDTH = 340;

  private final JobDesk desk;
  private final PhotoView photo;
  private final Overlay overlay;
  private final VBox body = new VBox();
  private final ScrollPane scroll = new ScrollPane(body);
  private final VBox cautionPart = new VBox();
  private final VBox namedPart = new VBox();
  private final VBox findingsPart = new VBox(8);
  private final DutiesView dutiesPart;
  private FindingForm form;
  private StopKey formAt;
  private StopKey shownStop;
  private boolean editingNote;

  NotesView(JobDesk desk, PhotoView photo, Overlay overlay, Runnable devices) {
    this.desk = desk;
    this.photo = photo;
    this.overlay = overlay;
    double width = Ui.wide(WIDTH, 0.45);
    setMinWidth(width);
    setPrefWidth(width);
    setMaxWidth(width);
    getStyleClass().add("notes");
    dutiesPart =
        new DutiesView(
            desk, overlay, new DutiesView.Host(() -> newFinding(0), this::reveal, devices));
    body.getStyleClass().add("notes-body");
    body.getChildren().addAll(cautionPart, namedPart, findingsPart, dutiesPart);
    scroll.setFitToWidth(true);
    scroll.setHbarPolicy(ScrollPane.ScrollBarPolicy.NEVER);
    getChildren().add(scroll);
    refresh();
  }

  /** Shows what the desk shows. A form that is being written stays. */
  void refresh() {
    Notes n = desk.notes();
    boolean moved = !Objects.equals(shownStop, n.at());
    if (moved) {
      dutiesPart.closeAll();
      shownStop = n.at();
      scroll.setVvalue(0);
    }
    cautionPart.getChildren().clear();
    if (!n.caution().isEmpty()) {
      Label text = Ui.wrapped(n.caution());
      VBox box = new VBox(text);
      box.getStyleClass().add("caution");
      cautionPart.getChildren().add(box);
    }
    show(cautionPart, !n.caution().isEmpty());
    // What is being written stays as it is: a photo that comes in beside it takes no words away.
    if (moved || !writing(namedPart)) {
      marks();
    }
    if (moved || form == null || !findingsPart.getChildren().contains(form)) {
      findings(n);
    }
    if (moved || !writing(dutiesPart)) {
      boolean focused = within(dutiesPart);
      dutiesPart.show(n);
      if (focused) {
        dutiesPart.focus(dutiesPart.open());
      }
    }
  }

  private boolean within(Node part) {
    Node owner = getScene() == null ? null : getScene().getFocusOwner();
    while (owner != null && owner != part) {
      owner = owner.getParent();
    }
    return owner == part;
  }

  private boolean writing(Node part) {
    return within(part) && getScene().getFocusOwner() instanceof TextInputControl;
  }

  private static void show(Node part, boolean on) {
    part.setVisible(on);
    part.setManaged(on);
  }

  // ---- marks ----

  /** Shows the marks of the photo, the selected one with what can be done to it. */
  void marks() {
    List<Named> named = desk.notes().named();
    // Who goes along the list by key stays in it.
    Node focus = getScene() == null ? null : getScene().getFocusOwner();
    String at = focus != null && namedPart.getChildren().contains(focus) ? focus.getId() : null;
    namedPart.getChildren().clear();
    show(namedPart, desk.current() != null);
    namedPart.getChildren().add(section("notes.named"));
    if (named.isEmpty()) {
      namedPart.getChildren().add(Ui.wrapped(Words.say("notes.named.none"), "quiet"));
      return;
    }
    for (Named m : named) {
      namedPart.getChildren().add(row(m));
      if (m.mark() == desk.mark()) {
        namedPart.getChildren().add(acts(m));
      }
    }
    for (Node n : namedPart.getChildren()) {
      if (at != null && at.equals(n.getId())) {
        n.requestFocus();
      }
    }
  }

  private Node row(Named m) {
    Label number = Ui.label(m.number() == 0 ? "" : Integer.toString(m.number()), "number");
    if (m.finding() != null) {
      number.getStyleClass().add("tied");
    }
    if (m.number() == 0) {
      number.getStyleClass().add("none");
    }
    Label title = Ui.label(m.title());
    title.setMinWidth(0);
    VBox text = new VBox(title);
    if (m.note() != null) {
      text.getChildren().add(Ui.wrapped(m.note(), "small", "quiet"));
    }
    text.setAlignment(Pos.CENTER_LEFT);
    HBox.setHgrow(text, Priority.ALWAYS);
    HBox row = new HBox(number, text);
    if (m.finding() != null) {
      Label f = Ui.label(m.finding(), "quiet");
      f.setMinWidth(Region.USE_PREF_SIZE);
      row.getChildren().add(f);
    }
    row.getStyleClass().add("named");
    row.setId("mark-" + m.mark());
    Ui.style(row, "chosen", m.mark() == desk.mark());
    Ui.actable(row, m.spoken(), () -> desk.selectMark(m.mark() == desk.mark() ? 0 : m.mark()));
    row.setOnMouseClicked(
        e -> {
          desk.selectMark(m.mark() == desk.mark() ? 0 : m.mark());
          photo.stage().requestFocus();
        });
    return row;
  }

  private Node acts(Named m) {
    Mark mark = desk.job().marks().get(m.mark());
    FlowPane row = new FlowPane(4, 4);
    row.setPadding(new Insets(4, 0, 8, 0));
    boolean names = mark instanceof meterside.job.Callout || mark instanceof meterside.job.Outline;
    if (names) {
      row.getChildren().add(small("mark.rename", Keys.RELABEL, () -> photo.relabel(m.mark())));
    }
    if (names || mark instanceof Measure) {
      row.getChildren()
          .addAll(
              small("mark.note", Keys.SECOND_LINE, this::writeNote),
              small("mark.tie", Keys.TIE, this::tie));
      if (mark instanceof meterside.job.Callout c && c.plate() != null) {
        row.getChildren().add(small("mark.free", null, () -> desk.putMark(Marks.plateAt(c, null))));
      }
    }
    row.getChildren().add(small("mark.remove", Keys.REMOVE, desk::removeMark));
    if (!editingNote) {
      return mark instanceof Measure e ? new VBox(4, row, clearance(e, row)) : row;
    }
    TextField note = new TextField(Objects.requireNonNullElse(mark.note(), ""));
    note.setPromptText(Words.say("mark.note.prompt"));
    note.setAccessibleText(Words.say("mark.note.prompt"));
    note.setId("mark-note");
    note.setOnAction(
        e -> {
          editingNote = false;
          desk.putMark(Marks.noted(mark, note.getText()));
          marks();
          photo.stage().requestFocus();
        });
    note.setOnKeyPressed(
        e -> {
          if (e.getCode() == KeyCode.ESCAPE) {
            editingNote = false;
            marks();
            photo.stage().requestFocus();
            e.consume();
          }
        });
    Platform.runLater(note::requestFocus);
    VBox box = new VBox(4, note, row);
    box.setPadding(new Insets(4, 0, 0, 0));
    return box;
  }

  /** The private note beside a measurement. */
  private Node clearance(Measure m, FlowPane row) {
    row.getChildren()
        .add(
            small(
                "mark.clearance",
                null,
                () ->
                    MeasureTool.chooseClearance(
                        desk,
                        overlay,
                        row.localToScene(0, row.getHeight()),
                        id -> desk.putMark(m.beside(id, false)))));
    VBox lines = new VBox(4);
    for (String line : ClearanceNote.lines(m, desk.trade())) {
      lines.getChildren().add(Ui.wrapped(line, "small", "quiet"));
    }
    if (m.clearance() != null) {
      CheckBox prints = new CheckBox(Words.say("mark.clearance.prints"));
      prints.setSelected(m.clearancePrints());
      prints.setOnAction(e -> desk.putMark(m.beside(m.clearance(), prints.isSelected())));
      lines.getChildren().add(prints);
    }
    return lines;
  }

  private static Button small(String key, Keys shortcut, Runnable act) {
    Button b = Ui.button(Words.say(key), act, "tiny");
    return Ui.named(b, Words.say(key + ".more"), shortcut);
  }

  /** Writes the second line of the selected mark. */
  void writeNote() {
    if (desk.mark() != 0) {
      editingNote = true;
      marks();
    }
  }

  /** Ties the selected mark to a finding. */
  void tie() {
    int id = desk.mark();
    if (id != 0) {
      photo.chooseFinding(id, () -> newFinding(id));
    }
  }

  // ---- findings ----

  private void findings(Notes n) {
    findingsPart.getChildren().clear();
    show(findingsPart, n.at() != null);
    findingsPart.getChildren().add(section("notes.findings"));
    for (Card c : n.findings()) {
      if (form != null && form.number() == c.number()) {
        findingsPart.getChildren().add(form);
      } else {
        findingsPart.getChildren().add(card(c));
      }
    }
    if (form != null && form.number() == 0) {
      findingsPart.getChildren().add(form);
    } else if (form == null) {
      Button add = Ui.button(Words.say("finding.new"), () -> newFinding(desk.mark()));
      add.setGraphic(Ui.icon(Feather.PLUS));
      add.setMaxWidth(Double.MAX_VALUE);
      add.setAlignment(Pos.CENTER_LEFT);
      add.setId("new-finding");
      Ui.named(add, Words.say("finding.new"), Keys.FINDING);
      findingsPart.getChildren().add(add);
    }
    if (form != null && !findingsPart.getChildren().contains(form)) {
      findingsPart.getChildren().add(form); // its stop is not the one shown: it stays in sight
    }
  }

  private Node card(Card c) {
    VBox box = new VBox();
    box.getStyleClass().add("card");
    HBox head = new HBox(8, Ui.label(c.head(), "small", "bold"));
    if (c.urgent() != null) {
      box.getChildren().addAll(head, Ui.wrapped(c.urgent(), "small", "urgent"));
    } else {
      box.getChildren().add(head);
    }
    box.getChildren().add(Ui.wrapped(c.title(), "bold"));
    if (!c.body().isEmpty()) {
      box.getChildren().add(Ui.wrapped(c.body()));
    }
    if (!c.quiet().isEmpty()) {
      box.getChildren().add(Ui.wrapped(c.quiet(), "quiet"));
    }
    box.getChildren().add(Ui.label(Words.count("finding.shown", c.photos()), "small", "quiet"));
    box.setId("finding-" + c.number());
    Ui.actable(box, c.head() + ": " + c.title(), () -> editFinding(c.number()));
    return box;
  }

  /** Starts a finding at the stop shown; a mark is tied to it when it is kept. */
  void newFinding(int mark) {
    if (desk.stop() == null || desk.stop().isOtherSystems()) {
      return;
    }
    String part =
        Optional.ofNullable(desk.job().marks().get(mark))
            .map(meterside.job.Mark::part)
            .orElse(null);
    edit(FindingDraft.start(desk.stop(), part, desk.current(), mark));
  }

  private void editFinding(int number) {
    editFinding(number, FindingForm.Field.SEEN);
  }

  /** Opens a finding with the cursor where something is missing. */
  void editFinding(int number, FindingForm.Field at) {
    Finding f = desk.job().findings().get(number);
    if (f != null) {
      edit(FindingDraft.of(f), at);
    }
  }

  /** Starts a finding at the stop shown in words that were written before. */
  void newFinding(Finding like) {
    if (desk.stop() != null && !desk.stop().isOtherSystems()) {
      edit(FindingDraft.like(desk.stop(), like, desk.current()), FindingForm.Field.SEEN);
    }
  }

  /** Offers the inspector's own past wording for the finding that is written. */
  boolean pastWording() {
    if (form == null) {
      return false;
    }
    form.pastWording();
    return true;
  }

  private void edit(FindingDraft draft) {
    edit(draft, FindingForm.Field.SEEN);
  }

  private void edit(FindingDraft draft, FindingForm.Field at) {
    formAt = draft.at();
    form =
        new FindingForm(
            desk,
            draft,
            overlay,
            kept -> {
              form = null;
              desk.keepFinding(kept, n -> refresh());
              refresh();
              photo.stage().requestFocus();
            },
            this::leaveForm);
    refresh();
    Platform.runLater(
        () -> {
          if (form != null) {
            form.begin(at);
            reveal(form);
          }
        });
  }

  /** Leaves the form without keeping it; false if there is none. */
  boolean leaveForm() {
    if (form == null) {
      return false;
    }
    form = null;
    refresh();
    photo.stage().requestFocus();
    return true;
  }

  /** Keeps what is written in the form; false if there is none. */
  boolean keepForm() {
    return form != null && form.keep();
  }

  private void reveal(Node node) {
    scroll.applyCss();
    scroll.layout();
    double top = body.sceneToLocal(node.localToScene(0, 0)).getY();
    double room = body.getHeight() - scroll.getViewportBounds().getHeight();
    if (room > 0) {
      scroll.setVvalue(Math.max(0, Math.min(1, (top - 40) / room)));
    }
  }

  /** Opens a duty of the stop shown. */
  DutiesView duties() {
    return dutiesPart;
  }

  static Label section(String key) {
    Label l = Ui.label(Words.say(key), "section");
    l.setPadding(new Insets(0, 0, 4, 0));
    return l;
  }
}

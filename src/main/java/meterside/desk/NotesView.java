package meterside.desk;

import java.util.List;
import java.util.Objects;
import java.util.Optional;
import javafx.application.Platform;
import javafx.geometry.Insets;
import javafx.geometry.Pos;
import javafx.scene.AccessibleRole;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.Label;
import javafx.scene.control.ScrollPane;
import javafx.scene.control.TextField;
import javafx.scene.control.TextInputControl;
import javafx.scene.input.KeyCode;
import javafx.scene.input.KeyEvent;
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
import meterside.desk.model.Notes.DutyLine;
import meterside.desk.model.Notes.Named;
import meterside.desk.model.Words;
import meterside.job.Answer;
import meterside.job.AnswerKind;
import meterside.job.DutyKey;
import meterside.job.Finding;
import meterside.job.Mark;
import meterside.job.StopKey;
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
  private final VBox dutiesPart = new VBox();
  private FindingForm form;
  private StopKey formAt;
  private DutyKey open;
  private StopKey shownStop;
  private boolean editingNote;

  NotesView(JobDesk desk, PhotoView photo, Overlay overlay) {
    this.desk = desk;
    this.photo = photo;
    this.overlay = overlay;
    setMinWidth(WIDTH);
    setPrefWidth(WIDTH);
    setMaxWidth(WIDTH);
    getStyleClass().add("notes");
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
      open = null;
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
      duties(n);
      if (focused && open != null) {
        focusDuty(open);
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
    if (m.number() > 0 || mark instanceof meterside.job.Outline) {
      row.getChildren()
          .addAll(
              small("mark.rename", Keys.RELABEL, () -> photo.relabel(m.mark())),
              small("mark.note", Keys.SECOND_LINE, this::writeNote),
              small("mark.tie", Keys.TIE, this::tie));
      if (mark instanceof meterside.job.Callout c && c.plate() != null) {
        row.getChildren().add(small("mark.free", null, () -> desk.putMark(Marks.plateAt(c, null))));
      }
    }
    row.getChildren().add(small("mark.remove", Keys.REMOVE, desk::removeMark));
    if (!editingNote) {
      return row;
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
    Finding f = desk.job().findings().get(number);
    if (f != null) {
      edit(FindingDraft.of(f));
    }
  }

  private void edit(FindingDraft draft) {
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
            form.begin();
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

  // ---- duties ----

  private void duties(Notes n) {
    dutiesPart.getChildren().clear();
    show(dutiesPart, !n.duties().isEmpty());
    dutiesPart.getChildren().add(section("notes.duties"));
    for (DutyLine d : n.duties()) {
      dutiesPart.getChildren().add(duty(d));
    }
  }

  private Node duty(DutyLine d) {
    Region box = new Region();
    box.getStyleClass().add("duty-box");
    Ui.style(box, "answered", !d.open());
    Ui.style(box, "habit", d.habit() && d.open());
    StackPane holder = new StackPane(box);
    holder.setPadding(new Insets(2, 0, 0, 0));
    holder.setAlignment(Pos.TOP_CENTER);
    VBox text = new VBox(2, Ui.wrapped(d.text()), Ui.wrapped(d.answer(), "quiet"));
    HBox.setHgrow(text, Priority.ALWAYS);
    HBox row = new HBox(8, holder, text);
    row.getStyleClass().add("duty");
    row.setId("duty-" + d.key().duty());
    row.setAccessibleRole(AccessibleRole.BUTTON);
    row.setAccessibleText(d.text() + ". " + d.answer());
    row.setFocusTraversable(true);
    boolean isOpen = d.key().equals(open);
    if (isOpen) {
      text.getChildren().add(ways(d));
    }
    row.setOnMouseClicked(e -> toggle(d.key()));
    row.addEventHandler(KeyEvent.KEY_PRESSED, e -> dutyKey(e, d));
    return row;
  }

  private void toggle(DutyKey key) {
    open = key.equals(open) ? null : key;
    duties(desk.notes());
    focusDuty(key);
  }

  private void focusDuty(DutyKey key) {
    Node n = dutiesPart.lookup("#duty-" + key.duty());
    if (n != null) {
      n.requestFocus();
      reveal(n);
    }
  }

  /** Goes to the next open duty: of this stop, then of the stops after it. */
  void nextDuty() {
    List<DutyKey> all = desk.job().openDuties();
    if (all.isEmpty()) {
      return;
    }
    List<DutyKey> here = all.stream().filter(k -> k.at().equals(desk.stop())).toList();
    DutyKey next;
    int at = open == null ? -1 : here.indexOf(open);
    if (at + 1 < here.size()) {
      next = here.get(at + 1);
    } else {
      next = after(all);
    }
    if (!next.at().equals(desk.stop())) {
      desk.showStop(next.at());
    }
    open = next;
    duties(desk.notes());
    focusDuty(next);
  }

  private DutyKey after(List<DutyKey> all) {
    List<StopKey> keys = desk.job().stopKeys();
    int at = keys.indexOf(desk.stop());
    for (DutyKey k : all) {
      if (keys.indexOf(k.at()) > at) {
        return k;
      }
    }
    return all.get(0);
  }

  private Node ways(DutyLine d) {
    FlowPane flow = new FlowPane(4, 4);
    flow.setPadding(new Insets(6, 0, 2, 0));
    int n = 1;
    for (AnswerKind kind : AnswerKind.values()) {
      AnswerKind way = kind;
      Button b = Ui.button(n + "  " + Notes.way(kind), () -> answer(d.key(), way), "tiny");
      b.setFocusTraversable(false);
      b.setId("way-" + kind.name());
      flow.getChildren().add(b);
      n++;
    }
    if (!d.open()) {
      Button b = Ui.button("0  " + Words.say("way.reopen"), () -> desk.reopen(d.key()), "tiny");
      b.setFocusTraversable(false);
      flow.getChildren().add(b);
    }
    flow.setOnMouseClicked(javafx.event.Event::consume);
    return flow;
  }

  private void dutyKey(KeyEvent e, DutyLine d) {
    if (e.getTarget() instanceof TextField) {
      return;
    }
    int digit = digit(e.getCode());
    if (e.isShortcutDown() || e.isAltDown()) {
      return;
    }
    if (digit == 0) {
      open = d.key();
      desk.reopen(d.key());
      e.consume();
    } else if (digit > 0 && digit <= AnswerKind.values().length) {
      answer(d.key(), AnswerKind.values()[digit - 1]);
      e.consume();
    } else if (e.getCode() == KeyCode.ENTER || e.getCode() == KeyCode.SPACE) {
      toggle(d.key());
      e.consume();
    } else if (e.getCode() == KeyCode.DOWN || e.getCode() == KeyCode.UP) {
      step(d.key(), e.getCode() == KeyCode.DOWN ? 1 : -1);
      e.consume();
    }
  }

  private static int digit(KeyCode code) {
    String name = code.getName();
    if (code.isDigitKey()) {
      return name.charAt(name.length() - 1) - '0';
    }
    return -1;
  }

  private void step(DutyKey from, int by) {
    List<DutyLine> all = desk.notes().duties();
    for (int i = 0; i < all.size(); i++) {
      if (all.get(i).key().equals(from)) {
        DutyKey to = all.get(Math.max(0, Math.min(all.size() - 1, i + by))).key();
        open = to;
        duties(desk.notes());
        focusDuty(to);
        return;
      }
    }
  }

  /** Answers a duty; what needs words or a finding asks for it. */
  private void answer(DutyKey key, AnswerKind kind) {
    open = key;
    List<meterside.job.PhotoId> photos = List.of();
    switch (kind) {
      case NO_CONDITION, NOT_PRESENT, EXCLUDED -> {
        desk.answer(key, Answer.of(kind));
        moveOn(key);
      }
      case DESCRIPTION -> askWords(key, kind, "way.describe.prompt", "way.how.prompt");
      case NOT_INSPECTED -> askWords(key, kind, "way.because.prompt", null);
      case FINDING -> askFinding(key, photos);
    }
  }

  private void moveOn(DutyKey key) {
    // The next open duty of this stop, so that a stop is answered by a row of digits.
    List<DutyLine> all = desk.notes().duties();
    boolean past = false;
    for (DutyLine d : all) {
      if (past && d.open()) {
        open = d.key();
        break;
      }
      past |= d.key().equals(key);
    }
    duties(desk.notes());
    focusDuty(open);
  }

  private void askWords(DutyKey key, AnswerKind kind, String prompt, String howPrompt) {
    Answer was = desk.job().answer(key).filter(a -> a.kind() == kind).orElse(null);
    TextField text = new TextField(was == null || was.text() == null ? "" : was.text());
    text.setPromptText(Words.say(prompt));
    text.setAccessibleText(Words.say(prompt));
    text.setId("answer-words");
    TextField how = new TextField(was == null || was.howKnown() == null ? "" : was.howKnown());
    VBox box = new VBox(4, text);
    if (howPrompt != null) {
      how.setPromptText(Words.say(howPrompt));
      how.setAccessibleText(Words.say(howPrompt));
      box.getChildren().add(how);
    }
    Runnable keep =
        () -> {
          if (!text.getText().isBlank()) {
            String known = how.getText().isBlank() ? null : how.getText().strip();
            desk.answer(
                key,
                new Answer(
                    kind,
                    text.getText().strip(),
                    kind == AnswerKind.DESCRIPTION ? known : null,
                    null,
                    List.of()));
            moveOn(key);
          }
        };
    HBox row =
        new HBox(
            4,
            Ui.button(Words.say("form.keep"), keep, "tiny", "strong"),
            Ui.button(Words.say("form.leave"), () -> backToDuty(key), "tiny"));
    if (kind == AnswerKind.DESCRIPTION) {
      Button unlabeled =
          Ui.button(
              Words.say("way.unlabeled"),
              () -> {
                desk.answer(
                    key,
                    new Answer(
                        AnswerKind.DESCRIPTION,
                        Words.say("way.unlabeled.text"),
                        null,
                        null,
                        List.of()));
                moveOn(key);
              },
              "tiny");
      row.getChildren().add(unlabeled);
    }
    box.getChildren().add(row);
    box.setPadding(new Insets(6, 0, 2, 0));
    box.setOnMouseClicked(javafx.event.Event::consume);
    box.addEventHandler(
        KeyEvent.KEY_PRESSED,
        e -> {
          if (e.getCode() == KeyCode.ENTER && e.getTarget() instanceof TextField) {
            keep.run();
            e.consume();
          } else if (e.getCode() == KeyCode.ESCAPE) {
            backToDuty(key);
            e.consume();
          }
        });
    duties(desk.notes());
    if (dutiesPart.lookup("#duty-" + key.duty()) instanceof HBox dutyRow) {
      VBox column = (VBox) dutyRow.getChildren().get(1);
      column.getChildren().set(column.getChildren().size() - 1, box);
      text.requestFocus();
    }
  }

  private void backToDuty(DutyKey key) {
    duties(desk.notes());
    focusDuty(key);
  }

  private void askFinding(DutyKey key, List<meterside.job.PhotoId> photos) {
    List<Finding> here =
        desk.job().findings().values().stream()
            .sorted(
                java.util.Comparator.comparing((Finding f) -> !f.at().equals(key.at()))
                    .thenComparing(f -> -f.number()))
            .toList();
    if (here.isEmpty()) {
      newFinding(0);
      return;
    }
    Chooser<Finding> chooser =
        new Chooser<>(
            Words.say("choose.finding"),
            typed ->
                here.stream()
                    .filter(
                        f ->
                            (f.label() + " " + f.seen())
                                .toLowerCase(java.util.Locale.ROOT)
                                .contains(typed.toLowerCase(java.util.Locale.ROOT)))
                    .toList(),
            f -> new Chooser.Line(f.label() + "  " + f.seen(), ""),
            f -> {
              overlay.close();
              desk.answer(key, new Answer(AnswerKind.FINDING, null, null, f.number(), photos));
              moveOn(key);
            });
    chooser.setPrefWidth(360);
    Node row = dutiesPart.lookup("#duty-" + key.duty());
    javafx.geometry.Point2D at = row == null ? localToScene(0, 0) : row.localToScene(0, 0);
    overlay.near(chooser, at.getX() - 40, at.getY() + 24, () -> {});
    chooser.begin();
  }

  private static Label section(String key) {
    Label l = Ui.label(Words.say(key), "section");
    l.setPadding(new Insets(0, 0, 4, 0));
    return l;
  }
}

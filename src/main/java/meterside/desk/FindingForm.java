package meterside.desk;

import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.function.Consumer;
import javafx.geometry.Pos;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.CheckBox;
import javafx.scene.control.Label;
import javafx.scene.control.TextArea;
import javafx.scene.control.TextField;
import javafx.scene.control.TextInputControl;
import javafx.scene.control.ToggleButton;
import javafx.scene.control.ToggleGroup;
import javafx.scene.input.KeyCode;
import javafx.scene.input.KeyEvent;
import javafx.scene.layout.FlowPane;
import javafx.scene.layout.HBox;
import javafx.scene.layout.VBox;
import meterside.desk.model.FindingDraft;
import meterside.desk.model.JobDesk;
import meterside.desk.model.Keys;
import meterside.desk.model.Notice;
import meterside.desk.model.PastWording;
import meterside.desk.model.Words;
import meterside.job.Finding;
import meterside.job.FindingKind;
import meterside.job.PhotoId;
import meterside.trade.Part;
import meterside.trade.Wording;

/** A finding being written, in the notes and not in a dialog: the photo stays in sight. */
final class FindingForm extends VBox {
  /** How many wordings are offered at once. */
  private static final int OFFERED = 4;

  /** A field of the form. */
  enum Field {
    /** What was seen. */
    SEEN,
    /** Where. */
    LOCATION,
    /** Who should act. */
    WHO,
    /** Who was told. */
    TOLD
  }

  private final JobDesk desk;
  private final FindingDraft draft;
  private final Consumer<FindingDraft> keep;
  private final Overlay overlay;
  private final ToggleGroup kinds = new ToggleGroup();
  private final TextField location = new TextField();
  private final Button partButton;
  private final TextArea seen = new TextArea();
  private final TextArea why = new TextArea();
  private final TextField who = new TextField();
  private final CheckBox urgent = new CheckBox(Words.say("finding.urgent"));
  private final TextField told = new TextField();
  private final TextField how = new TextField();
  private final TextField when = new TextField();
  private final CheckBox later = new CheckBox(Words.say("finding.later"));
  private final CheckBox onPhoto = new CheckBox(Words.say("finding.on-photo"));
  private final VBox wordings = new VBox();
  private final Button keepButton;
  private final Button pastButton;
  private final PhotoId photo;
  private String part;

  FindingForm(
      JobDesk desk,
      FindingDraft draft,
      Overlay overlay,
      Consumer<FindingDraft> keep,
      Runnable leave) {
    this.desk = desk;
    this.draft = draft;
    this.keep = keep;
    this.overlay = overlay;
    this.part = draft.part();
    this.photo = desk.current();
    getStyleClass().add("form");
    setId("finding-form");
    String title =
        draft.number() == 0
            ? Words.say("finding.form.new", desk.job().title(draft.at()))
            : Words.say("finding.form.edit", "F" + draft.number());
    FlowPane kindRow = new FlowPane(4, 4);
    for (FindingKind k : FindingKind.values()) {
      ToggleButton b = new ToggleButton(Words.kind(k));
      b.getStyleClass().add("tiny");
      b.setUserData(k);
      b.setToggleGroup(kinds);
      b.setSelected(k == draft.kind());
      b.setAccessibleText(Words.kind(k));
      kindRow.getChildren().add(b);
    }
    // One kind is always chosen.
    kinds
        .selectedToggleProperty()
        .addListener(
            (o, was, now) -> {
              if (now == null) {
                was.setSelected(true);
              }
            });
    partButton = Ui.button("", this::choosePart);
    partButton.setMaxWidth(Double.MAX_VALUE);
    partButton.setAlignment(Pos.CENTER_LEFT);
    showPart();
    area(seen, "finding.seen", draft.seen(), 3);
    seen.setId("finding-seen");
    area(why, "finding.why", draft.why(), 2);
    field(location, "finding.location", draft.location());
    field(who, "finding.who-field", draft.who());
    field(told, "finding.told", draft.told());
    field(how, "finding.how", draft.how());
    field(when, "finding.when", draft.when());
    urgent.setWrapText(true);
    urgent.setSelected(draft.urgent());
    later.setWrapText(true);
    later.setSelected(draft.seenLater());
    onPhoto.setWrapText(true);
    onPhoto.setSelected(photo != null && draft.photos().contains(photo));
    VBox urgentMore = new VBox(4, told, how, when);
    urgentMore.managedProperty().bind(urgent.selectedProperty());
    urgentMore.visibleProperty().bind(urgent.selectedProperty());
    pastButton = Ui.button(Words.say("finding.past"), this::pastWording, "tiny");
    pastButton.setId("finding-past");
    Ui.named(pastButton, Words.say("finding.past.more"), Keys.PAST_WORDING);
    location.setId("finding-location");
    who.setId("finding-who");
    told.setId("finding-told");
    keepButton = Ui.button(Words.say("finding.keep"), this::keep, "strong");
    keepButton.setId("finding-keep");
    Ui.named(keepButton, Words.say("finding.keep"), Keys.KEEP_FORM);
    Button leaveButton = Ui.button(Words.say("form.leave"), leave);
    Ui.named(leaveButton, Words.say("form.leave"), Keys.LEAVE);
    HBox buttons = new HBox(8, keepButton, leaveButton, Ui.spacer());
    if (draft.number() != 0) {
      buttons
          .getChildren()
          .add(
              Ui.button(
                  Words.say("finding.withdraw"),
                  () -> {
                    leave.run();
                    desk.withdrawFinding(draft.number());
                  },
                  "bare"));
    }
    getChildren()
        .addAll(
            Ui.wrapped(title, "bold"),
            kindRow,
            labelled("finding.part", partButton),
            labelled("finding.seen", seen),
            wordings,
            pastButton,
            labelled("finding.why", why),
            labelled("finding.location", location),
            labelled("finding.who-field", who),
            urgent,
            urgentMore,
            later);
    if (photo != null) {
      getChildren().add(onPhoto);
    }
    getChildren().add(buttons);
    seen.textProperty().addListener((o, a, b) -> changed());
    changed();
  }

  private static Node labelled(String key, Node field) {
    Label l = Ui.label(Words.say(key), "small", "quiet");
    l.setLabelFor(field);
    return new VBox(2, l, field);
  }

  private static void field(TextField f, String key, String text) {
    f.setText(text);
    f.setPromptText(Words.say(key + ".prompt"));
    f.setAccessibleText(Words.say(key));
    HBox.setHgrow(f, javafx.scene.layout.Priority.ALWAYS);
  }

  private static void area(TextArea a, String key, String text, int rows) {
    a.setText(text);
    a.setPromptText(Words.say(key + ".prompt"));
    a.setAccessibleText(Words.say(key));
    a.setWrapText(true);
    a.setPrefRowCount(rows);
    // Tab leaves the field, as in every other form.
    a.addEventFilter(
        KeyEvent.KEY_PRESSED,
        e -> {
          if (e.getCode() == KeyCode.TAB && !e.isControlDown()) {
            a.fireEvent(
                new KeyEvent(
                    KeyEvent.KEY_PRESSED,
                    "",
                    "",
                    KeyCode.TAB,
                    e.isShiftDown(),
                    true,
                    false,
                    false));
            e.consume();
          }
        });
  }

  /** Number of the finding, or 0 if it is new. */
  int number() {
    return draft.number();
  }

  /** Puts the cursor where the writing starts. */
  void begin(Field at) {
    TextInputControl first =
        switch (at) {
          case SEEN -> seen;
          case LOCATION -> location;
          case WHO -> who;
          case TOLD -> told;
        };
    first.requestFocus();
    first.end();
  }

  private void showPart() {
    partButton.setText(
        part == null ? Words.say("finding.part.none") : Words.term(desk.trade(), part));
    partButton.setAccessibleText(Words.say("finding.part") + ": " + partButton.getText());
    offer();
  }

  private void choosePart() {
    Chooser<Part> chooser =
        new Chooser<>(
            Words.say("choose.part"),
            typed -> desk.trade().complete(typed, draft.at().stop()),
            p -> new Chooser.Line(Words.term(desk.trade(), p.id()), ""),
            p -> {
              overlay.close();
              part = p.id();
              showPart();
            });
    javafx.geometry.Point2D at = partButton.localToScene(0, 0);
    overlay.near(chooser, at.getX() - 20, at.getY() + 30, () -> {});
    chooser.begin();
  }

  private void changed() {
    keepButton.setDisable(seen.getText().isBlank());
    offer();
  }

  /** Offers wording while nothing is written yet. */
  private void offer() {
    wordings.getChildren().clear();
    boolean blank = seen.getText() == null || seen.getText().isBlank();
    wordings.setManaged(blank);
    wordings.setVisible(blank);
    if (!blank) {
      return;
    }
    List<Wording> all = new ArrayList<>();
    if (part != null) {
      all.addAll(desk.trade().wordingsFor(draft.at().stop(), part));
    }
    if (all.isEmpty()) {
      all.addAll(desk.trade().wordingsFor(draft.at().stop(), null));
    }
    if (all.isEmpty()) {
      return;
    }
    wordings.getChildren().add(Ui.label(Words.say("finding.wordings"), "small", "quiet"));
    for (Wording w : all.subList(0, Math.min(OFFERED, all.size()))) {
      Button b = Ui.button(w.seen(), () -> take(w), "wording", "small");
      b.setMaxWidth(Double.MAX_VALUE);
      b.setWrapText(true);
      wordings.getChildren().add(b);
    }
  }

  /** Offers what the inspector wrote of the same part in earlier jobs. */
  void pastWording() {
    PastWording.find(
        desk.session().workspace(),
        desk.threads(),
        desk.tasks(),
        seen.getText(),
        part,
        draft.at().stop(),
        desk.session().name(),
        this::offerPast);
  }

  private void offerPast(List<PastWording.Said> all) {
    if (getScene() == null) {
      return; // the form was left meanwhile
    }
    if (all.isEmpty()) {
      desk.tasks().say(Notice.said(Words.say("finding.past.none")));
      return;
    }
    Chooser<PastWording.Said> chooser =
        new Chooser<>(
            Words.say("finding.past.choose"),
            typed ->
                all.stream()
                    .filter(
                        s ->
                            s.text()
                                .toLowerCase(java.util.Locale.ROOT)
                                .contains(typed.toLowerCase(java.util.Locale.ROOT)))
                    .toList(),
            s -> new Chooser.Line(s.text(), s.job()),
            s -> {
              overlay.close();
              take(s.finding());
            });
    chooser.setPrefWidth(Ui.wide(480, 0.5));
    chooser.setId("past-wording");
    javafx.geometry.Point2D at = pastButton.localToScene(0, 0);
    overlay.near(chooser, at.getX() - Ui.wide(480, 0.5) - 24, at.getY() - 80, () -> {});
    chooser.begin();
  }

  private void take(Finding f) {
    seen.setText(f.seen());
    why.setText(f.why() == null ? "" : f.why());
    who.setText(f.who() == null ? "" : f.who());
    if (part == null && f.part() != null) {
      part = f.part();
      showPart();
    }
    kinds.getToggles().stream()
        .filter(t -> t.getUserData() == f.kind())
        .forEach(t -> t.setSelected(true));
    seen.requestFocus();
    seen.end();
  }

  private void take(Wording w) {
    seen.setText(w.seen());
    if (why.getText().isBlank() && w.why() != null) {
      why.setText(w.why());
    }
    if (who.getText().isBlank() && w.who() != null) {
      who.setText(w.who());
    }
    if (part == null && w.part() != null) {
      part = w.part();
      showPart();
    }
    if (w.urgent()) {
      urgent.setSelected(true);
    }
    kinds.getToggles().stream()
        .filter(t -> t.getUserData() == w.kind())
        .forEach(t -> t.setSelected(true));
    seen.requestFocus();
    seen.end();
  }

  /** Keeps the finding if it says enough. */
  boolean keep() {
    if (seen.getText().isBlank()) {
      return false;
    }
    LinkedHashSet<PhotoId> photos = new LinkedHashSet<>(draft.photos());
    if (photo != null) {
      if (onPhoto.isSelected()) {
        photos.add(photo);
      } else {
        photos.remove(photo);
      }
    }
    keep.accept(
        new FindingDraft(
            draft.number(),
            draft.at(),
            location.getText(),
            part,
            (FindingKind) kinds.getSelectedToggle().getUserData(),
            seen.getText(),
            why.getText(),
            who.getText(),
            List.copyOf(photos),
            urgent.isSelected(),
            told.getText(),
            how.getText(),
            when.getText(),
            later.isSelected(),
            draft.mark()));
    return true;
  }
}

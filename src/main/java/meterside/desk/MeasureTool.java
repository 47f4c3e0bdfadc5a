package meterside.desk;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.function.Consumer;
import javafx.geometry.Point2D;
import javafx.scene.control.Button;
import javafx.scene.control.CheckBox;
import javafx.scene.control.Label;
import javafx.scene.control.RadioButton;
import javafx.scene.control.TextField;
import javafx.scene.control.ToggleGroup;
import javafx.scene.layout.HBox;
import javafx.scene.layout.VBox;
import meterside.desk.model.JobDesk;
import meterside.desk.model.MeasureDraft;
import meterside.desk.model.Words;
import meterside.job.Measure;
import meterside.job.Photo;
import meterside.job.Point;
import meterside.job.Reference;
import meterside.markup.ClearanceNote;
import meterside.markup.Doubt;
import meterside.markup.Lengths;
import meterside.markup.Measured;
import meterside.markup.Measuring;
import meterside.trade.CommonSizes;

/**
 * The measuring tool: asks by what is measured, and which kind of it; takes the points; shows the
 * result with its band, what speaks against it, and the private note.
 */
final class MeasureTool {
  /** Error of a size of one's own without one: a tape read to half a percent. */
  private static final double OWN_ERROR = 0.005;

  private static final double WIDTH = 320;

  private final JobDesk desk;
  private final Overlay overlay;
  private final PhotoStage stage;
  private final VBox panel = new VBox(8);
  private final Runnable ended;
  private MeasureDraft draft;
  private String clearance;
  private boolean prints;

  /**
   * @param ended called when the measurement was kept or given up
   */
  MeasureTool(JobDesk desk, Overlay overlay, PhotoStage stage, Runnable ended) {
    this.desk = desk;
    this.overlay = overlay;
    this.stage = stage;
    this.ended = ended;
    panel.getStyleClass().add("overlay-panel");
    panel.setMaxSize(WIDTH, VBox.USE_PREF_SIZE);
    panel.setPrefWidth(WIDTH);
    panel.setId("measure-panel");
    panel.setVisible(false);
    stage.onPlace(this::placed);
  }

  /** The panel beside the photo. */
  VBox panel() {
    return panel;
  }

  /** What is offered to measure by. */
  private record Choice(CommonSizes.Size size, boolean box, String text, String more) {}

  /** Asks by what is measured. */
  void begin() {
    end();
    List<Choice> all = new ArrayList<>();
    for (CommonSizes.Group g : desk.trade().sizes().groups()) {
      for (CommonSizes.Size s : g.sizes()) {
        all.add(new Choice(s, s.rectangle(), capital(s.name()), inches(s)));
      }
    }
    all.add(new Choice(null, false, Words.say("measure.own-length"), ""));
    all.add(new Choice(null, true, Words.say("measure.own-box"), ""));
    boolean[] chosen = new boolean[1];
    Chooser<Choice> chooser =
        new Chooser<>(
            Words.say("measure.choose"),
            typed -> all.stream().filter(c -> fits(c, typed)).toList(),
            c -> new Chooser.Line(c.text(), c.more()),
            c -> {
              chosen[0] = true;
              overlay.close();
              ask(c);
            });
    chooser.setPrefWidth(360);
    Point2D at = stage.localToScene(16, 16);
    overlay.near(
        chooser,
        at.getX(),
        at.getY(),
        () -> {
          if (!chosen[0]) {
            ended.run();
          }
        });
    chooser.begin();
  }

  private static boolean fits(Choice c, String typed) {
    String text = c.text().toLowerCase(Locale.ROOT);
    for (String word : typed.toLowerCase(Locale.ROOT).split("\\s+")) {
      if (!text.contains(word)) {
        return false;
      }
    }
    return true;
  }

  private static String inches(CommonSizes.Size s) {
    return number(s.inches()) + (s.rectangle() ? " × " + number(s.heightInches()) : "") + " in";
  }

  private static String number(double v) {
    return String.format(Locale.ROOT, "%.3f", v).replaceFirst("\\.?0+$", "");
  }

  private static String capital(String text) {
    return text.substring(0, 1).toUpperCase(Locale.ROOT) + text.substring(1);
  }

  /** Asks which kind it is, and what else has to be known of it. */
  private void ask(Choice c) {
    panel.getChildren().clear();
    Label head = Ui.wrapped(c.text(), "bold");
    panel.getChildren().add(head);
    Label trouble = Ui.wrapped("", "small", "urgent");
    trouble.setVisible(false);
    trouble.setManaged(false);
    List<TextField> fields = new ArrayList<>();
    if (c.size() == null) {
      fields.add(field("measure.own-name", "own-name"));
      fields.add(field(c.box() ? "measure.own-width" : "measure.own-size", "own-size"));
      if (c.box()) {
        fields.add(field("measure.own-height", "own-height"));
      }
      fields.add(field("measure.own-error", "own-error"));
    } else {
      String which = desk.trade().sizes().groupOf(c.size().id()).orElseThrow().ask();
      Label asked = Ui.wrapped(which);
      asked.setId("measure-place-ask");
      panel.getChildren().add(asked);
      panel.getChildren().add(Ui.wrapped(c.size().source(), "small", "quiet"));
      if (c.size().counted()) {
        fields.add(field("measure.count", "count"));
      }
    }
    panel.getChildren().addAll(fields);
    Runnable go =
        () ->
            reference(c, fields, trouble)
                .ifPresent(
                    r -> {
                      draft = new MeasureDraft(photo(), r);
                      stage.draft(draft);
                      stage.requestFocus();
                      show();
                    });
    fields.forEach(f -> f.setOnAction(e -> go.run()));
    Button place = Ui.button(Words.say("measure.place"), go, "strong");
    place.setId("measure-place");
    Button other = Ui.button(Words.say("measure.other"), this::begin);
    panel.getChildren().addAll(trouble, new HBox(8, place, other));
    panel.setVisible(true);
    (fields.isEmpty() ? place : fields.get(0)).requestFocus();
  }

  private static TextField field(String key, String id) {
    TextField f = new TextField();
    f.setPromptText(Words.say(key));
    f.setAccessibleText(Words.say(key));
    f.setId("measure-" + id);
    return f;
  }

  private Optional<Reference> reference(Choice c, List<TextField> fields, Label trouble) {
    if (c.size() != null && !c.size().counted()) {
      return Optional.of(c.size().reference(1));
    }
    if (c.size() != null) {
      String typed = fields.get(0).getText().strip();
      int count = typed.matches("\\d{1,3}") ? Integer.parseInt(typed) : 0;
      if (count < 1 || count > 500) {
        return complain(trouble, "measure.count-bad");
      }
      return Optional.of(c.size().reference(count));
    }
    String name = fields.get(0).getText().strip();
    Optional<Double> first = Lengths.read(fields.get(1).getText());
    Optional<Double> second = c.box() ? Lengths.read(fields.get(2).getText()) : first;
    String off = fields.get(fields.size() - 1).getText();
    Optional<Double> error = off.isBlank() ? Optional.of(0.0) : Lengths.read(off);
    if (first.isEmpty() || second.isEmpty() || error.isEmpty()) {
      return complain(trouble, "measure.own-bad");
    }
    String called =
        name.isEmpty() ? Words.say(c.box() ? "measure.own-box" : "measure.own-length") : name;
    double e1 = error.get() > 0 ? error.get() : first.get() * OWN_ERROR;
    double e2 = error.get() > 0 ? error.get() : second.get() * OWN_ERROR;
    return Optional.of(
        c.box()
            ? new Reference(null, called, first.get(), e1, second.get(), e2)
            : Reference.length(null, called, first.get(), e1));
  }

  private static Optional<Reference> complain(Label trouble, String key) {
    trouble.setText(Words.say(key));
    trouble.setVisible(true);
    trouble.setManaged(true);
    return Optional.empty();
  }

  private Photo photo() {
    return desk.job().photo(desk.current());
  }

  /** A point was placed; null if one was moved or taken back. */
  private void placed(Point at) {
    if (draft == null) {
      return;
    }
    if (at != null) {
      draft.place(at);
    }
    stage.draft(draft);
    show();
  }

  /** What is to be done next, or what came out. */
  private void show() {
    panel.getChildren().clear();
    panel.getChildren().add(Ui.label(Words.say("measure.title"), "bold"));
    Optional<Measured> result = draft.result();
    Label hint = Ui.wrapped(draft.hint(), "small", "quiet");
    hint.setId("measure-hint");
    if (result.isEmpty()) {
      panel.getChildren().add(hint);
      return;
    }
    Measured r = result.get();
    String said =
        r.refused() != null
            ? Words.say("measure.refused", r.refused().sentence())
            : Lengths.inMetres(desk.job()) ? Lengths.metres(r) : Lengths.feetAndInches(r);
    Label value = Ui.wrapped(capital(said), r.refused() == null ? "large" : "urgent");
    value.setId("measure-result");
    panel.getChildren().add(value);
    if (r.refused() == null) {
      panel
          .getChildren()
          .add(Ui.wrapped(Words.say("measure.by", draft.reference().name(), bySize()), "quiet"));
    }
    for (Doubt d : r.doubts()) {
      panel.getChildren().add(Ui.wrapped(d.sentence(), "caution", "small"));
    }
    panel.getChildren().addAll(Ui.wrapped(Measuring.caution(), "small", "quiet"), hint);
    if (!draft.reference().rectangle()) {
      panel.getChildren().add(howSeen());
    }
    if (r.refused() == null) {
      note();
    }
    Button keep = Ui.button(Words.say("measure.keep"), this::keep, "strong");
    keep.setId("measure-keep");
    keep.setDisable(r.refused() != null);
    Button again =
        Ui.button(
            Words.say("measure.again"),
            () -> {
              draft = new MeasureDraft(photo(), draft.reference());
              stage.draft(draft);
              show();
            });
    panel.getChildren().add(new HBox(8, keep, again));
  }

  /** Asks how the wall is seen, which a single length can't tell. */
  private VBox howSeen() {
    VBox all = new VBox(4, Ui.label(Words.say("measure.seen"), "bold"));
    ToggleGroup group = new ToggleGroup();
    for (MeasureDraft.Seen how : MeasureDraft.Seen.values()) {
      String key = how.name().toLowerCase(Locale.ROOT).replace('_', '-');
      RadioButton b = new RadioButton(Words.say("measure." + key));
      b.setId("measure-" + key);
      b.setWrapText(true);
      b.setToggleGroup(group);
      b.setSelected(how == draft.seen());
      b.setOnAction(
          e -> {
            draft.seen(how);
            show();
            panel.lookup("#measure-" + key).requestFocus();
          });
      all.getChildren().add(b);
    }
    return all;
  }

  private String bySize() {
    Reference r = draft.reference();
    String first = number(r.length() / Measuring.INCH);
    return (r.rectangle() ? first + " × " + number(r.height() / Measuring.INCH) : first) + " in";
  }

  private CheckBox check(String key, boolean on, Consumer<Boolean> then) {
    CheckBox box = new CheckBox(Words.say(key));
    box.setSelected(on);
    box.setWrapText(true);
    box.setOnAction(
        e -> {
          then.accept(box.isSelected());
          show();
        });
    return box;
  }

  /** The private note: the published clearance, if the inspector wants it beside the result. */
  private void note() {
    Button choose = Ui.button(Words.say("measure.note"), this::chooseClearance, "tiny");
    choose.setId("measure-note");
    panel.getChildren().add(choose);
    draft.clearance(clearance, prints);
    if (clearance != null) {
      Measure would = draft.measure(1).orElseThrow();
      for (String line : ClearanceNote.lines(would, desk.trade())) {
        panel.getChildren().add(Ui.wrapped(line, "small"));
      }
      panel.getChildren().add(check("measure.note.prints", prints, on -> prints = on));
    }
  }

  private void chooseClearance() {
    chooseClearance(
        desk,
        overlay,
        panel.localToScene(0, 0),
        id -> {
          clearance = id;
          prints = false;
          show();
        });
  }

  /** Lets the inspector choose a published clearance; null for none. */
  static void chooseClearance(
      JobDesk desk, Overlay overlay, Point2D near, Consumer<String> chosen) {
    List<ClearanceNote.Choice> all = new ArrayList<>();
    all.add(new ClearanceNote.Choice(null, Words.say("measure.note.none")));
    all.addAll(ClearanceNote.choices(desk.trade()));
    Chooser<ClearanceNote.Choice> chooser =
        new Chooser<>(
            Words.say("measure.note"),
            typed ->
                all.stream()
                    .filter(
                        c ->
                            c.text()
                                .toLowerCase(Locale.ROOT)
                                .contains(typed.toLowerCase(Locale.ROOT)))
                    .toList(),
            c -> new Chooser.Line(c.text(), ""),
            c -> {
              overlay.close();
              chosen.accept(c.id());
            });
    chooser.setPrefWidth(520);
    overlay.near(chooser, near.getX(), near.getY(), () -> {});
    chooser.begin();
  }

  private void keep() {
    desk.addMeasure(draft);
    end();
    ended.run();
  }

  /** Puts everything away. */
  void end() {
    draft = null;
    clearance = null;
    prints = false;
    stage.draft(null);
    panel.setVisible(false);
    panel.getChildren().clear();
  }
}

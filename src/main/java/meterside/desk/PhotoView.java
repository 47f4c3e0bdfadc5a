package meterside.desk;

import java.util.List;
import javafx.geometry.Point2D;
import javafx.geometry.Pos;
import javafx.scene.control.Button;
import javafx.scene.control.Label;
import javafx.scene.control.Labeled;
import javafx.scene.control.ScrollPane;
import javafx.scene.control.ToggleButton;
import javafx.scene.layout.BorderPane;
import javafx.scene.layout.FlowPane;
import javafx.scene.layout.StackPane;
import javafx.scene.layout.VBox;
import meterside.desk.PhotoStage.Tool;
import meterside.desk.model.JobDesk;
import meterside.desk.model.Keys;
import meterside.desk.model.Marks;
import meterside.desk.model.PhotoFacts;
import meterside.desk.model.Words;
import meterside.job.Callout;
import meterside.job.Finding;
import meterside.job.Mark;
import meterside.job.Outline;
import meterside.job.PhotoId;
import meterside.job.Point;
import meterside.job.Redaction;
import meterside.job.Spot;
import meterside.trade.Part;
import org.kordamp.ikonli.feather.Feather;

/** The middle of the job window: tools, the photo, and what is known of it. */
final class PhotoView extends BorderPane {
  private final JobDesk desk;
  private final Overlay overlay;
  private final PhotoStage stage;
  private final ToggleButton callout;
  private final ToggleButton area;
  private final ToggleButton redact;
  private final ToggleButton measure;
  private final ToggleButton spot;
  private final ToggleButton view;
  private final MeasureTool measuring;
  private final ForReport forReport;
  private final Pictures pictures;
  private final Button fit;
  private final Button undo;
  private final Button redo;
  private final Runnable addPhotos;
  private meterside.job.PhotoId shownPhoto;
  private final FlowPane facts = new FlowPane(24, 4);
  private final VBox nothing = new VBox(12);
  private final Label hint = Ui.label("", "tool-hint", "small");
  private final Label missing = Ui.wrapped("", "tool-hint");

  PhotoView(JobDesk desk, Pictures pictures, Overlay overlay, Runnable addPhotos) {
    this.desk = desk;
    this.addPhotos = addPhotos;
    this.overlay = overlay;
    this.stage = new PhotoStage(desk, pictures);
    this.pictures = pictures;
    this.measuring = new MeasureTool(desk, overlay, stage, () -> take(Tool.MOVE));
    this.forReport = new ForReport(desk, pictures, stage, () -> take(Tool.MOVE));
    getStyleClass().add("surround");
    callout = tool(Feather.TARGET, "tool.callout", Keys.CALLOUT, Tool.CALLOUT);
    area = tool(Feather.SQUARE, "tool.area", Keys.AREA, Tool.AREA);
    redact = tool(Feather.EYE_OFF, "tool.redact", Keys.REDACT, Tool.REDACT);
    measure = tool(Feather.MINUS, "tool.measure", Keys.MEASURE, Tool.MEASURE);
    measure.setGraphic(Ui.ruler());
    spot = tool(Feather.LINK, "tool.spot", Keys.SPOT, Tool.SPOT);
    view = tool(Feather.CROP, "tool.view", Keys.FOR_REPORT, Tool.VIEW);
    fit = act(Feather.MAXIMIZE, "tool.fit", Keys.FIT, stage::toggleFit);
    undo = act(Feather.CORNER_UP_LEFT, "tool.undo", Keys.UNDO, desk::undo);
    redo = act(Feather.CORNER_UP_RIGHT, "tool.redo", Keys.REDO, desk::redo);
    VBox tools = new VBox(callout, area, redact, measure, spot, view, fit, undo, redo);
    tools.getStyleClass().add("tools");
    nothing.setAlignment(Pos.CENTER);
    nothing.setMaxSize(Ui.wide(380, 0.3), 200);
    missing.setMaxWidth(Ui.wide(380, 0.3));
    missing.setMouseTransparent(true);
    hint.setMouseTransparent(true);
    StackPane middle =
        new StackPane(stage, nothing, missing, hint, measuring.panel(), forReport.panel());
    for (VBox side : List.of(measuring.panel(), forReport.panel())) {
      StackPane.setAlignment(side, Pos.TOP_RIGHT);
      StackPane.setMargin(side, new javafx.geometry.Insets(12));
    }
    StackPane.setAlignment(hint, Pos.BOTTOM_CENTER);
    StackPane.setMargin(hint, new javafx.geometry.Insets(12));
    middle.setMinSize(0, 0);
    facts.getStyleClass().add("facts");
    facts.setMinWidth(0);
    setMinWidth(0);
    facts.setAlignment(Pos.CENTER_LEFT);
    // With large text in a low window the tools are scrolled to; they never push the window apart.
    ScrollPane toolScroll = new ScrollPane(tools);
    toolScroll.getStyleClass().add("tool-scroll");
    toolScroll.setHbarPolicy(ScrollPane.ScrollBarPolicy.NEVER);
    toolScroll.setFitToWidth(true);
    toolScroll.setFitToHeight(true);
    toolScroll.setMinHeight(0);
    // Room for the bar where the tools are likely to need it, so that it lies on no word.
    toolScroll.setMinWidth(Ui.px(60) + (Ui.px(1) > 1.2 ? 12 : 0));
    setMinHeight(0);
    setLeft(toolScroll);
    setCenter(middle);
    setBottom(facts);
    stage.onPart((at, scene) -> choosePart(at, scene));
    stage.onArea(this::drawn);
    stage.onRelabel(this::relabel);
    stage.onTie(desk::tie);
    stage.onView(this::tools);
    refresh();
  }

  private ToggleButton tool(Feather icon, String key, Keys shortcut, Tool tool) {
    ToggleButton b = new ToggleButton(Words.say(key), Ui.icon(icon));
    b.getStyleClass().add("tool");
    b.setId("tool-" + tool.name().toLowerCase(java.util.Locale.ROOT));
    Ui.named(b, Words.say(key + ".more"), shortcut);
    b.setOnAction(e -> take(b.isSelected() ? tool : Tool.MOVE));
    return b;
  }

  private Button act(Feather icon, String key, Keys shortcut, Runnable what) {
    Button b =
        Ui.button(
            Words.say(key),
            () -> {
              what.run();
              stage.requestFocus(); // arrows go along the photos again
            },
            "tool");
    b.setGraphic(Ui.icon(icon));
    Ui.named(b, Words.say(key), shortcut);
    return b;
  }

  /** The photo itself. */
  PhotoStage stage() {
    return stage;
  }

  /** Takes a tool in hand, or puts it away if it is in hand already. */
  void take(Tool tool) {
    Tool was = stage.tool();
    if (was == Tool.MEASURE) {
      measuring.end();
    } else if (was == Tool.VIEW) {
      forReport.end();
    }
    stage.tool(tool);
    stage.requestFocus();
    if (tool == Tool.MEASURE && desk.current() != null) {
      measuring.begin();
    } else if (tool == Tool.VIEW && desk.current() != null) {
      forReport.begin();
    }
  }

  /** Takes a tool, or puts it away. */
  void toggle(Tool tool) {
    take(stage.tool() == tool ? Tool.MOVE : tool);
  }

  private void tools() {
    callout.setSelected(stage.tool() == Tool.CALLOUT);
    area.setSelected(stage.tool() == Tool.AREA);
    redact.setSelected(stage.tool() == Tool.REDACT);
    measure.setSelected(stage.tool() == Tool.MEASURE);
    spot.setSelected(stage.tool() == Tool.SPOT);
    view.setSelected(stage.tool() == Tool.VIEW);
    fit.setText(stage.fitted() ? Words.say("tool.fit") : stage.percent() + " %");
    String key =
        switch (stage.tool()) {
          case CALLOUT -> "hint.callout";
          case AREA -> "hint.area";
          case REDACT -> "hint.redact";
          case MEASURE -> "hint.measure";
          case SPOT -> "hint.spot";
          case VIEW -> "hint.view";
          case MOVE -> "";
        };
    hint.setText(key.isEmpty() ? "" : Words.say(key));
    // A panel beside the photo says what to do itself.
    hint.setVisible(!key.isEmpty() && desk.current() != null && !measuring.panel().isVisible());
  }

  /** Shows what the desk shows. */
  void refresh() {
    if (!java.util.Objects.equals(shownPhoto, desk.current())) {
      // A tool that works on one photo is put away with it.
      shownPhoto = desk.current();
      if (stage.tool() == Tool.MEASURE || stage.tool() == Tool.VIEW) {
        take(Tool.MOVE);
      }
    }
    stage.refresh();
    if (stage.tool() == Tool.VIEW) {
      forReport.refresh();
    }
    boolean photo = desk.current() != null;
    facts.setVisible(photo);
    facts.setManaged(photo);
    for (Labeled l : List.of(callout, area, redact, measure, spot, view, fit)) {
      l.setDisable(!photo);
    }
    steps(undo, desk.undoTitle().orElse(null), "tool.undo", Keys.UNDO);
    steps(redo, desk.redoTitle().orElse(null), "tool.redo", Keys.REDO);
    showFacts();
    nothing.setVisible(!photo);
    nothing.getChildren().clear();
    if (!photo) {
      boolean none = desk.job().photos().isEmpty();
      nothing
          .getChildren()
          .addAll(
              Ui.label(Words.say(none ? "job.empty" : "stop.empty"), "large", "on-surround"),
              Ui.wrapped(
                  Words.say(none ? "job.empty.more" : "stop.empty.more"), "on-surround-quiet"));
      if (none) {
        Button add = Ui.button(Words.say("job.add"), addPhotos, "strong");
        Ui.named(add, Words.say("job.add"), Keys.ADD);
        nothing.getChildren().add(add);
      }
    }
    tools();
  }

  /** The same photo with another mark selected. */
  void repaint() {
    stage.paint();
  }

  private static void steps(Button b, String title, String key, Keys shortcut) {
    b.setDisable(title == null);
    String name = title == null ? Words.say(key) : Words.say(key + ".what", title);
    Ui.named(b, name, shortcut);
  }

  private void showFacts() {
    facts.getChildren().clear();
    missing.setVisible(false);
    desk.facts().ifPresent(this::show);
  }

  private void show(PhotoFacts f) {
    facts
        .getChildren()
        .addAll(
            pair(Ui.label(f.file(), "file"), Ui.label(f.time())),
            pair(Ui.label(f.camera(), "first"), Ui.label(f.size())),
            pair(Ui.label(f.report(), "first"), Ui.label(f.place())));
    missing.setText(f.trouble() == null ? "" : f.trouble());
    missing.setVisible(f.trouble() != null);
  }

  private VBox pair(Label first, Label second) {
    VBox box = new VBox(4, first, second);
    box.setAlignment(Pos.CENTER_LEFT);
    first.setWrapText(true);
    second.setWrapText(true);
    box.maxWidthProperty().bind(facts.widthProperty().subtract(32));
    return box;
  }

  // ---- naming ----

  private void choosePart(Point at, Point2D scene) {
    stage.pin(at);
    Chooser<Part> chooser =
        parts(
            part -> {
              overlay.close();
              desk.addCallout(at, part.id());
              stage.requestFocus();
            });
    overlay.near(chooser, scene.getX() + 16, scene.getY() - 20, () -> stage.pin(null));
    chooser.begin();
  }

  private Chooser<Part> parts(java.util.function.Consumer<Part> chosen) {
    String stop = desk.stop() == null ? null : desk.stop().stop();
    return new Chooser<>(
        Words.say("choose.part"),
        typed -> desk.trade().complete(typed, stop),
        part -> new Chooser.Line(Words.term(desk.trade(), part.id()), partMore(part)),
        chosen);
  }

  private static String partMore(Part part) {
    return part.abbreviations().isEmpty() ? "" : part.abbreviations().get(0);
  }

  private void drawn(List<Point> corners, Point2D scene) {
    if (stage.tool() == Tool.REDACT) {
      desk.addRedaction(corners);
      stage.requestFocus();
      return;
    }
    if (stage.tool() == Tool.SPOT) {
      choosePhoto(
          Words.say("spot.choose"),
          scene,
          id -> {
            desk.addSpot(corners, id);
            take(Tool.MOVE);
          });
      return;
    }
    boolean[] named = new boolean[1];
    Chooser<Part> chooser =
        parts(
                part -> {
                  named[0] = true;
                  overlay.close();
                  desk.addOutline(corners, part.id());
                  stage.requestFocus();
                })
            .hint(Words.say("choose.part.none"));
    overlay.near(
        chooser,
        scene.getX() + 12,
        scene.getY() - 20,
        () -> {
          if (!named[0]) {
            desk.addOutline(corners, null);
          }
        });
    chooser.begin();
  }

  /** Copies the names on the photo shown to a look-alike, which is chosen first. */
  void copyMarks() {
    if (desk.current() != null) {
      choosePhoto(Words.say("copy.choose"), stage.localToScene(60, 60), desk::copyMarks);
    }
  }

  /** Chooses another photo of the job, those of the same stop first. */
  private void choosePhoto(
      String prompt, Point2D scene, java.util.function.Consumer<PhotoId> chosen) {
    List<PhotoId> all = desk.alike();
    Chooser<PhotoId> chooser =
        new Chooser<>(
            prompt,
            typed ->
                all.stream()
                    .filter(
                        id ->
                            desk.job()
                                .photo(id)
                                .name()
                                .toLowerCase(java.util.Locale.ROOT)
                                .contains(typed.toLowerCase(java.util.Locale.ROOT)))
                    .toList(),
            id ->
                new Chooser.Line(
                    desk.job().photo(id).name(),
                    desk.job().placement(id).map(p -> desk.job().title(p.at())).orElse("")),
            id -> {
              overlay.close();
              chosen.accept(id);
            },
            id -> thumbnail(id));
    chooser.setPrefWidth(360);
    overlay.near(chooser, scene.getX() + 12, scene.getY() - 20, () -> {});
    chooser.begin();
  }

  /** A small picture of a photo, there as soon as it is read. */
  private javafx.scene.Node thumbnail(PhotoId id) {
    javafx.scene.image.ImageView picture = new javafx.scene.image.ImageView();
    picture.setFitWidth(48);
    picture.setFitHeight(36);
    picture.setPreserveRatio(true);
    pictures.thumbnail(
        desk.session().folder(),
        id,
        desk.job().photo(id),
        () -> true,
        image -> {
          if (image != null) {
            picture.setImage(image);
          }
        });
    StackPane box = new StackPane(picture);
    box.setMinSize(48, 36);
    box.setPrefSize(48, 36);
    return box;
  }

  /** Chooses another part for a mark. */
  void relabel(int id) {
    Mark m = desk.job().marks().get(id);
    if (!(m instanceof Callout) && !(m instanceof Outline)) {
      return;
    }
    Point2D at = sceneOf(m);
    Chooser<Part> chooser =
        parts(
            part -> {
              overlay.close();
              desk.putMark(Marks.relabelled(m, part.id()));
            });
    overlay.near(chooser, at.getX() + 16, at.getY() - 20, () -> {});
    chooser.begin();
  }

  /**
   * Chooses a finding for a mark.
   *
   * @param fresh called if a new finding is wanted
   */
  void chooseFinding(int id, Runnable fresh) {
    Mark m = desk.job().marks().get(id);
    if (m == null || m instanceof Redaction || m instanceof Spot) {
      return;
    }
    record Choice(Integer number, String text, boolean isNew) {}
    List<Choice> all = new java.util.ArrayList<>();
    if (m.finding() != null) {
      all.add(new Choice(null, Words.say("tie.none"), false));
    }
    java.util.List<Finding> findings = new java.util.ArrayList<>(desk.job().findings().values());
    findings.sort(
        java.util.Comparator.comparing((Finding f) -> !f.at().equals(desk.stop()))
            .thenComparing(f -> -f.number()));
    for (Finding f : findings) {
      all.add(new Choice(f.number(), f.label() + "  " + f.seen(), false));
    }
    all.add(new Choice(null, Words.say("tie.new"), true));
    Point2D at = sceneOf(m);
    Chooser<Choice> chooser =
        new Chooser<>(
            Words.say("choose.finding"),
            typed ->
                all.stream()
                    .filter(
                        c ->
                            c.text()
                                .toLowerCase(java.util.Locale.ROOT)
                                .contains(typed.toLowerCase(java.util.Locale.ROOT)))
                    .toList(),
            c -> new Chooser.Line(c.text(), ""),
            c -> {
              overlay.close();
              if (c.isNew()) {
                fresh.run();
              } else {
                desk.tie(id, c.number());
              }
            });
    chooser.setPrefWidth(360);
    overlay.near(chooser, at.getX() + 16, at.getY() - 20, () -> {});
    chooser.begin();
  }

  private Point2D sceneOf(Mark m) {
    return stage.localToScene(stage.inView(m.points().get(0)));
  }
}

package meterside.desk;

import java.time.Instant;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import javafx.animation.Animation;
import javafx.animation.KeyFrame;
import javafx.animation.Timeline;
import javafx.geometry.Pos;
import javafx.scene.AccessibleRole;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.Label;
import javafx.scene.control.TextField;
import javafx.scene.image.ImageView;
import javafx.scene.input.KeyEvent;
import javafx.scene.layout.FlowPane;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Pane;
import javafx.scene.layout.Region;
import javafx.scene.layout.StackPane;
import javafx.scene.layout.VBox;
import javafx.util.Duration;
import meterside.desk.model.CameraClocks;
import meterside.desk.model.CameraClocks.Row;
import meterside.desk.model.CameraClocks.Tick;
import meterside.desk.model.JobDesk;
import meterside.desk.model.Keys;
import meterside.desk.model.Notice;
import meterside.desk.model.Words;
import meterside.job.ClockBasis;
import meterside.job.Code;
import meterside.job.PhotoId;
import meterside.picture.Codes;

/** The cameras' clocks: all photos on one time axis, what was assumed, and ways to set it right. */
final class ClocksPlace extends JobPage {
  private static final double STRIP = 34;
  private static final double PICTURE = 300;

  /** Pixels of a module of the code: large enough for a phone at arm's length. */
  private static final int MODULE = 10;

  /** How often the code is drawn anew; a camera rounds to its own second anyway. */
  private static final int CODE_MILLIS = 250;

  private final Map<String, PhotoId> picked = new HashMap<>();
  private CameraClocks clocks;
  private String focused;

  ClocksPlace(DeskWindow window, JobDesk desk) {
    super(window, desk, "place.clocks");
    Button code = Ui.button(Words.say("clocks.code"), this::showCode);
    code.setId("clock-code");
    Ui.named(code, Words.say("clocks.code.more"), null);
    acts(code);
  }

  @Override
  public void begin() {
    super.begin();
    Node first = root.lookup(".axis");
    if (first != null) {
      first.requestFocus();
    }
  }

  @Override
  void refresh() {
    clocks = CameraClocks.of(desk.job());
    body.getChildren().clear();
    body.getChildren().add(Ui.wrapped(Words.say("place.clocks"), "huge", "bold"));
    if (clocks.rows().isEmpty()) {
      Button add = Ui.button(Words.say("job.add"), window::addToJob, "strong");
      add.setId("clocks-add");
      body.getChildren().addAll(Ui.wrapped(Words.say("clocks.none"), "quiet"), add);
      return;
    }
    body.getChildren()
        .add(
            Ui.wrapped(
                Words.say(clocks.rows().size() == 1 ? "clocks.one" : "clocks.more"), "quiet"));
    VBox axis = new VBox(4);
    for (Row r : clocks.rows()) {
      axis.getChildren().add(strip(r));
    }
    axis.getChildren().add(times());
    body.getChildren().add(axis);
    if (clocks.rows().size() > 1) {
      body.getChildren().add(pair());
    }
    for (Row r : clocks.rows()) {
      body.getChildren().add(camera(r));
    }
    String again = focused;
    if (again != null && root.lookup("#axis-" + again) != null) {
      root.lookup("#axis-" + again).requestFocus();
    }
  }

  // ---- the axis ----

  private Node strip(Row r) {
    Label name = Ui.wrapped(Words.say("facts.camera", r.camera()) + " · " + r.label(), "bold");
    List<Region> ticks = new ArrayList<>();
    for (Tick t : r.ticks()) {
      Region tick = new Region();
      tick.getStyleClass().add("tick");
      Ui.style(tick, "picked", t.id().equals(picked.get(r.camera())));
      tick.setManaged(false);
      ticks.add(tick);
    }
    Pane axis =
        new Pane() {
          @Override
          protected void layoutChildren() {
            for (int i = 0; i < ticks.size(); i++) {
              boolean on = r.ticks().get(i).id().equals(picked.get(r.camera()));
              double x = r.ticks().get(i).at() * getWidth();
              ticks
                  .get(i)
                  .resizeRelocate(x - (on ? 2 : 1), on ? 0 : 6, on ? 4 : 2, on ? STRIP : 22);
            }
          }
        };
    axis.getStyleClass().add("axis");
    axis.setId("axis-" + r.camera());
    axis.setMinHeight(STRIP);
    axis.setPrefHeight(STRIP);
    axis.getChildren().addAll(ticks);
    axis.setFocusTraversable(true);
    axis.setAccessibleRole(AccessibleRole.SLIDER);
    axis.setAccessibleText(Words.say("clocks.axis", r.camera(), r.ticks().size()));
    axis.setOnMousePressed(
        e -> {
          axis.requestFocus();
          nearest(r, e.getX() / Math.max(1, axis.getWidth())).ifPresent(t -> pick(r, t));
          e.consume();
        });
    axis.focusedProperty()
        .addListener(
            (o, was, now) -> {
              if (now) {
                focused = r.camera();
              }
            });
    axis.setOnKeyPressed(
        e -> {
          int by =
              switch (e.getCode()) {
                case RIGHT -> 1;
                case LEFT -> -1;
                default -> 0;
              };
          if (by != 0 && !r.ticks().isEmpty()) {
            int at = indexOf(r, picked.get(r.camera()));
            int to = at < 0 ? 0 : Math.max(0, Math.min(r.ticks().size() - 1, at + by));
            pick(r, r.ticks().get(to));
            e.consume();
          }
        });
    return new VBox(2, name, axis);
  }

  private Node times() {
    List<Label> labels = new ArrayList<>();
    for (CameraClocks.TimeMark m : clocks.marks()) {
      labels.add(Ui.label(m.text(), "small", "quiet"));
    }
    Pane marks =
        new Pane() {
          @Override
          protected void layoutChildren() {
            double free = -1;
            for (int i = 0; i < labels.size(); i++) {
              Label l = labels.get(i);
              double w = l.prefWidth(-1);
              double x =
                  Math.max(
                      0, Math.min(getWidth() - w, clocks.marks().get(i).at() * getWidth() - w / 2));
              boolean room = x > free;
              l.setVisible(room);
              l.resizeRelocate(x, 0, w, l.prefHeight(-1));
              if (room) {
                free = x + w + 12;
              }
            }
          }

          @Override
          protected double computePrefHeight(double width) {
            return labels.isEmpty() ? 0 : labels.get(0).prefHeight(-1);
          }
        };
    marks.getChildren().addAll(labels);
    return marks;
  }

  private static Optional<Tick> nearest(Row r, double at) {
    return r.ticks().stream().min(java.util.Comparator.comparingDouble(t -> Math.abs(t.at() - at)));
  }

  private static int indexOf(Row r, PhotoId id) {
    for (int i = 0; i < r.ticks().size(); i++) {
      if (r.ticks().get(i).id().equals(id)) {
        return i;
      }
    }
    return -1;
  }

  private void pick(Row r, Tick t) {
    picked.put(r.camera(), t.id());
    focused = r.camera();
    // The first pick on one camera brings the nearest photo of the others beside it.
    for (Row o : clocks.rows()) {
      if (!picked.containsKey(o.camera())) {
        nearest(o, t.at()).ifPresent(n -> picked.put(o.camera(), n.id()));
      }
    }
    refresh();
  }

  // ---- a pair ----

  private Node pair() {
    VBox box = new VBox(8);
    box.getChildren().add(Ui.wrapped(Words.say("clocks.pair"), "section"));
    List<Row> shown =
        clocks.rows().stream().filter(r -> indexOf(r, picked.get(r.camera())) >= 0).toList();
    if (shown.size() < 2) {
      box.getChildren().add(Ui.wrapped(Words.say("clocks.pair.hint"), "quiet"));
      return box;
    }
    FlowPane pictures = new FlowPane(16, 16);
    for (Row r : shown) {
      Tick t = r.ticks().get(indexOf(r, picked.get(r.camera())));
      pictures.getChildren().add(picture(r, t));
    }
    FlowPane acts = new FlowPane(8, 8);
    boolean byCode = false;
    for (Row r : shown) {
      Row other = shown.get(0) == r ? shown.get(1) : shown.get(0);
      Button set =
          Ui.button(
              Words.say("clocks.pair.set", r.camera(), other.camera()),
              () -> CameraClocks.pair(desk, picked.get(r.camera()), picked.get(other.camera())));
      set.setId("pair-" + r.camera());
      boolean coded =
          CameraClocks.coded(desk.job(), picked.get(r.camera()))
              && CameraClocks.coded(desk.job(), picked.get(other.camera()));
      set.setDisable(coded);
      byCode |= coded;
      acts.getChildren().add(set);
    }
    box.getChildren().add(pictures);
    for (Row r : shown.subList(1, shown.size())) {
      String apart =
          CameraClocks.apart(desk.job(), picked.get(shown.get(0).camera()), picked.get(r.camera()));
      if (!apart.isEmpty()) {
        box.getChildren().add(Ui.wrapped(apart));
      }
    }
    box.getChildren().add(acts);
    if (byCode) {
      box.getChildren().add(Ui.wrapped(Words.say("clocks.pair.coded"), "quiet"));
    }
    return box;
  }

  private Node picture(Row r, Tick t) {
    ImageView view = new ImageView();
    StackPane frame = new StackPane(view);
    frame.getStyleClass().add("thumb");
    frame.setMinSize(PICTURE, PICTURE * 0.75);
    frame.setMaxSize(PICTURE, PICTURE * 0.75);
    window
        .pictures()
        .thumbnail(
            desk.session().folder(),
            t.id(),
            desk.job().photo(t.id()),
            () -> frame.getScene() != null,
            image -> {
              if (image != null) {
                Crop.cover(view, image, PICTURE, PICTURE * 0.75);
              }
            });
    Label name = Ui.wrapped(Words.say("facts.camera", r.camera()) + " · " + t.time(), "bold");
    VBox box = new VBox(4, frame, name, Ui.wrapped(t.name(), "small", "quiet"));
    box.setMaxWidth(PICTURE);
    return box;
  }

  // ---- the clock code ----

  /** Shows the time as a code, to be photographed by each camera. */
  private void showCode() {
    ImageView view = new ImageView();
    view.setSmooth(false);
    StackPane paper = new StackPane(view);
    paper.setStyle("-fx-background-color: white; -fx-padding: 12;");
    Label time = Ui.label("", "huge", "bold");
    Runnable show =
        () -> {
          Instant now = window.workspace().clock().instant();
          view.setImage(Pictures.image(Codes.draw(Code.clock(now), MODULE)));
          time.setText(
              DateTimeFormatter.ofPattern("HH:mm:ss", Locale.ROOT)
                  .format(now.atZone(desk.job().zone())));
        };
    show.run();
    Timeline turn = new Timeline(new KeyFrame(Duration.millis(CODE_MILLIS), e -> show.run()));
    turn.setCycleCount(Animation.INDEFINITE);
    turn.play();
    Label how = Ui.wrapped(Words.say("clocks.code.how"), "quiet");
    how.setMaxWidth(Ui.wide(480, 0.6));
    Button done = Ui.button(Words.say("form.done"), window.overlay()::close, "strong");
    VBox box = new VBox(12, time, paper, how, done);
    box.setAlignment(Pos.CENTER);
    box.getStyleClass().addAll("overlay-panel", "overlay-page");
    window.overlay().middle(box, turn::stop);
    done.requestFocus();
  }

  // ---- a camera ----

  private Node camera(Row r) {
    VBox box = new VBox(4);
    box.getStyleClass().add("card");
    box.setStyle("-fx-cursor: default;");
    box.getChildren()
        .add(
            Ui.wrapped(
                Words.say("facts.camera", r.camera())
                    + " · "
                    + Words.count("head.photos", r.photos()),
                "bold"));
    box.getChildren().add(Ui.wrapped(r.said()));
    TextField offset = new TextField();
    offset.setPromptText(Words.say("clocks.offset.prompt"));
    offset.setAccessibleText(Words.say("clocks.offset", r.camera()));
    offset.setPrefColumnCount(16);
    offset.setId("offset-" + r.camera());
    Runnable keep =
        () -> {
          Optional<Long> millis = CameraClocks.offset(offset.getText());
          if (millis.isPresent()) {
            CameraClocks.set(desk, r.camera(), millis.get());
          } else {
            window.tasks().say(Notice.trouble(Words.say("clocks.offset.wrong")));
          }
        };
    offset.setOnAction(e -> keep.run());
    HBox row =
        new HBox(
            8,
            Ui.wrapped(Words.say("clocks.offset", r.camera()), "quiet"),
            offset,
            Ui.button(Words.say("form.keep"), keep, "tiny"));
    row.setAlignment(Pos.CENTER_LEFT);
    if (r.basis() != ClockBasis.ASSUMED) {
      row.getChildren()
          .add(
              Ui.button(
                  Words.say("clocks.forget"), () -> CameraClocks.forget(desk, r.camera()), "tiny"));
    }
    box.getChildren().addAll(row, heldBy(r));
    return box;
  }

  private Node heldBy(Row r) {
    TextField name = new TextField();
    String held = desk.job().cameras().get(r.camera()).photographer();
    name.setText(held == null ? "" : held);
    name.setPromptText(Words.say("clocks.held.prompt"));
    name.setAccessibleText(Words.say("clocks.held", r.camera()));
    name.setPrefColumnCount(16);
    name.setId("held-" + r.camera());
    Runnable keep = () -> CameraClocks.heldBy(desk, r.camera(), name.getText());
    name.setOnAction(e -> keep.run());
    HBox row =
        new HBox(
            8,
            Ui.wrapped(Words.say("clocks.held", r.camera()), "quiet"),
            name,
            Ui.button(Words.say("form.keep"), keep, "tiny"));
    row.setAlignment(Pos.CENTER_LEFT);
    return row;
  }

  @Override
  public void key(KeyEvent e) {
    if (e.getEventType() != KeyEvent.KEY_PRESSED || window.overlay().open()) {
      return;
    }
    Keys k = KeyMap.pressed(e, Keys.Place.JOB);
    if (k == Keys.UNDO) {
      desk.undo();
      e.consume();
    } else if (k == Keys.REDO) {
      desk.redo();
      e.consume();
    }
  }
}

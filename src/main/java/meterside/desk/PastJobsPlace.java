package meterside.desk;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import javafx.animation.PauseTransition;
import javafx.geometry.Insets;
import javafx.geometry.Pos;
import javafx.scene.Node;
import javafx.scene.Parent;
import javafx.scene.control.Button;
import javafx.scene.control.Label;
import javafx.scene.control.ScrollPane;
import javafx.scene.control.TextField;
import javafx.scene.image.ImageView;
import javafx.scene.input.KeyCode;
import javafx.scene.input.KeyEvent;
import javafx.scene.layout.BorderPane;
import javafx.scene.layout.FlowPane;
import javafx.scene.layout.Priority;
import javafx.scene.layout.Region;
import javafx.scene.layout.StackPane;
import javafx.scene.layout.TilePane;
import javafx.scene.layout.VBox;
import javafx.scene.shape.Rectangle;
import javafx.util.Duration;
import meterside.desk.model.Folders;
import meterside.desk.model.Keys;
import meterside.desk.model.PastJobsModel;
import meterside.desk.model.PastWording;
import meterside.desk.model.Words;
import meterside.job.PhotoId;
import meterside.job.Stop;
import meterside.search.Found;
import meterside.search.Hit;
import meterside.search.Likeness;
import meterside.trade.Trade;
import org.kordamp.ikonli.feather.Feather;

/** Past jobs: search first, filters beside the results; the newest jobs while nothing is asked. */
final class PastJobsPlace implements Place {
  /** Pixels of a tile's picture: enough for the preview beside the results, too. */
  private static final int MARKED = 720;

  private final double cardWidth = Ui.wide(268, 0.5);
  private final double pictureHeight = Math.round(cardWidth * 0.56);
  private Hit shownHit;

  /** Say the houses of the hits shown again, when their names came in. */
  private final List<Runnable> names = new ArrayList<>();

  private final DeskWindow window;
  private final PastJobsModel model;
  private final BorderPane root = new BorderPane();
  private final TextField field = new TextField();
  private final PauseTransition pause = new PauseTransition(Duration.millis(120));
  private final Label said = Ui.label("", "quiet");
  private final TilePane tiles = new TilePane(16, 16);
  private final ScrollPane scroll = new ScrollPane(tiles);
  private final Foot foot;
  private final HowOften often;
  private final FlowPane recent = new FlowPane(8, 8);
  private final VBox shown = new VBox();
  private boolean setting;

  PastJobsPlace(DeskWindow window, PastJobsModel model) {
    this.window = window;
    this.model = model;
    this.foot = new Foot(window.tasks(), window.overlay());
    root.getStyleClass().add("place");
    field.setPromptText(Words.say("past.prompt"));
    field.setAccessibleText(Words.say("past.prompt"));
    field.setId("past-words");
    field.setPrefColumnCount(34);
    Button start = Ui.button(Words.say("past.new"), window::newJob, "strong");
    start.setId("new-job");
    start.setMinWidth(Region.USE_PREF_SIZE);
    Button settings =
        Ui.iconButton(Feather.SETTINGS, Words.say("place.settings"), window::showSettings, "bare");
    Ui.named(settings, Words.say("place.settings"), Keys.SETTINGS);
    Button help =
        Ui.iconButton(Feather.HELP_CIRCLE, Words.say("sheet.title"), window::showKeys, "bare");
    Ui.named(help, Words.say("sheet.title"), Keys.SHEET);
    Bar top =
        new Bar(16, 52)
            .left(Ui.label(Words.say("place.past"), "large", "bold"), field)
            .right(help, settings, start);
    top.getStyleClass().add("top-bar");
    top.getStyleClass().add("wide");
    often = new HowOften(model, Ui.wide(250, 0.6), this::export);
    shown.getStyleClass().add("shown-beside");
    shown.setPrefWidth(Ui.wide(340, 0.45));
    shown.setMinWidth(Ui.wide(340, 0.45));
    recent.setPadding(new Insets(0, 24, 12, 24));
    tiles.setPadding(new Insets(0, 24, 24, 24));
    tiles.setPrefColumns(4);
    tiles.setTileAlignment(Pos.TOP_LEFT);
    scroll.setFitToWidth(true);
    scroll.setHbarPolicy(ScrollPane.ScrollBarPolicy.NEVER);
    VBox.setVgrow(scroll, Priority.ALWAYS);
    said.setPadding(new Insets(16, 24, 12, 24));
    said.setWrapText(true);
    VBox middle = new VBox(said, recent, scroll);
    root.setTop(top);
    root.setLeft(often.root());
    root.setCenter(middle);
    root.setBottom(foot);
    foot.also(() -> Folders.shown(window.workspace().root()), () -> "");
    pause.setOnFinished(e -> model.words(field.getText()));
    field
        .textProperty()
        .addListener(
            (o, a, b) -> {
              if (!setting) {
                pause.playFromStart();
              }
            });
    field.setOnAction(
        e -> {
          pause.stop();
          model.words(field.getText());
        });
    field.setOnKeyPressed(
        e -> {
          if (e.getCode() == KeyCode.DOWN && !tiles.getChildren().isEmpty()) {
            tiles.getChildren().get(0).requestFocus();
            e.consume();
          }
        });
    model.onChange(this::refresh);
    model.onNames(() -> names.forEach(Runnable::run));
  }

  @Override
  public Parent root() {
    return root;
  }

  @Override
  public Foot foot() {
    return foot;
  }

  @Override
  public void begin() {
    window.pictures().forgetMarked();
    model.refresh();
    field.requestFocus();
  }

  private Trade trade() {
    return window.workspace().trade();
  }

  /** Searches for words. */
  void search(String words) {
    setting = true;
    field.setText(words);
    setting = false;
    model.words(words);
  }

  @Override
  public void key(KeyEvent e) {
    if (e.getEventType() != KeyEvent.KEY_PRESSED || window.overlay().open()) {
      return;
    }
    if (KeyMap.pressed(e, Keys.Place.PAST) == Keys.USE_WORDING
        && shownHit != null
        && root.getRight() != null
        && shownHit.finding() != null) {
      use(shownHit);
      e.consume();
      return;
    }
    if (KeyMap.pressed(e, Keys.Place.PAST) == Keys.SIMILAR
        && shownHit != null
        && root.getRight() != null) {
      model.similarTo(shownHit);
      e.consume();
      return;
    }
    Node focused = root.getScene().getFocusOwner();
    int at = tiles.getChildren().indexOf(focused);
    if (at < 0) {
      return;
    }
    int across = Math.max(1, (int) ((tiles.getWidth() - 32) / (cardWidth + 16)));
    int to =
        switch (e.getCode()) {
          case RIGHT -> at + 1;
          case LEFT -> at - 1;
          case DOWN -> at + across;
          case UP -> at - across;
          default -> at;
        };
    if (to < 0) {
      field.requestFocus();
      e.consume();
    } else if (to != at && to < tiles.getChildren().size()) {
      tiles.getChildren().get(to).requestFocus();
      e.consume();
    }
  }

  /** Writes how often, as it is shown, to a folder of the user's choice. */
  private void export() {
    window
        .picker()
        .target(Words.say("often.folder"), null)
        .ifPresent(folder -> model.writeCounts(free(folder)));
  }

  /** A name in a folder that nothing has yet. */
  private static Path free(Path folder) {
    Path file = folder.resolve("how-often.csv");
    for (int n = 2; Files.exists(file); n++) {
      file = folder.resolve("how-often-" + n + ".csv");
    }
    return file;
  }

  // ---- results ----

  private void refresh() {
    names.clear();
    tiles.getChildren().clear();
    root.setRight(null);
    recent();
    often.refresh();
    if (!field.isFocused() && !field.getText().equals(model.words())) {
      setting = true;
      field.setText(model.words());
      setting = false;
    }
    Found found = model.found();
    PastJobsModel.Similar similar = model.similar();
    if (similar != null) {
      said.setText(
          similar.likenesses().isEmpty()
              ? Words.say("similar.none", similar.to())
              : Words.say("similar.to", similar.to()));
      for (Likeness l : similar.likenesses()) {
        tiles.getChildren().add(tile(l));
      }
    } else if (model.asking() && found != null) {
      String count = Words.count("past.hits", found.total());
      String read =
          found.searchedFor() == null || found.searchedFor().isBlank()
              ? ""
              : " · " + found.searchedFor();
      said.setText(count + read);
      for (Hit h : found.hits()) {
        tiles.getChildren().add(tile(h));
      }
    } else if (model.asking()) {
      said.setText(Words.say("past.looking"));
    } else {
      said.setText(
          model.cards().isEmpty()
              ? Words.say("past.empty")
              : Words.count("past.jobs", window.workspace().jobNames().size()));
      for (PastJobsModel.Card c : model.cards()) {
        tiles.getChildren().add(tile(c));
      }
    }
  }

  /** Jobs opened lately, while nothing is asked. */
  private void recent() {
    recent.getChildren().clear();
    List<String> names = model.asking() ? List.of() : model.recent();
    recent.setVisible(names.size() > 1);
    recent.setManaged(names.size() > 1);
    if (names.size() > 1) {
      recent.getChildren().add(Ui.label(Words.say("past.recent"), "quiet"));
      for (String name : names) {
        recent.getChildren().add(Ui.button(name, () -> window.openJob(name, null), "tiny"));
      }
    }
  }

  /** Shows a hit beside the others: its picture, its words, and what can be done with them. */
  private void show(Hit h) {
    double w = Ui.wide(340, 0.45) - 33;
    shown.getChildren().clear();
    if (h.photoId() != null) {
      shown.getChildren().add(picture(h.job(), h.photoId(), w, Math.round(w * 0.75)));
    }
    shown.getChildren().add(Ui.wrapped(head(h), "bold"));
    var flow = HitText.marked(HitText.text(h, trade()), model.stretches(HitText.text(h, trade())));
    flow.setMaxWidth(w);
    shown.getChildren().add(flow);
    String stop = h.stop() == null ? "" : stopTitle(h.stop()) + "\n";
    shown.getChildren().add(Ui.wrapped(stop + model.house(h.job()), "quiet"));
    FlowPane acts = new FlowPane(8, 8);
    acts.getChildren().add(Ui.button(Words.say("past.open"), () -> window.open(h), "strong"));
    if (h.finding() != null) {
      Button use = Ui.button(Words.say("past.use"), () -> use(h));
      use.setId("use-wording");
      Ui.named(use, Words.say("past.use.more"), Keys.USE_WORDING);
      acts.getChildren().add(use);
    }
    if (h.finding() != null || h.photoId() != null) {
      Button alike = Ui.button(Words.say("similar.ask"), () -> model.similarTo(h));
      alike.setId("similar");
      Ui.named(alike, Words.say("similar.ask.more"), Keys.SIMILAR);
      acts.getChildren().add(alike);
    }
    shown.getChildren().add(acts);
    root.setRight(shown);
    shownHit = h;
  }

  /** Starts a finding in the words of a hit. */
  private void use(Hit h) {
    if (window.job() == null) {
      window.tasks().say(meterside.desk.model.Notice.said(Words.say("past.use.none")));
      return;
    }
    var finding = PastWording.finding(window.workspace(), h);
    if (finding != null) {
      window.backToJob();
      window.job().notes().newFinding(finding);
    }
  }

  private Node tile(PastJobsModel.Card c) {
    VBox box = card(c.name(), c.picture());
    box.getChildren().add(Ui.wrapped(c.site(), "bold"));
    box.getChildren()
        .add(
            c.trouble() == null
                ? Ui.wrapped(c.line(), "small", "quiet")
                : Ui.wrapped(c.trouble(), "small", "urgent"));
    box.setId("job-" + c.name());
    return Ui.actable(box, c.site() + ", " + c.line(), () -> window.openJob(c.name(), null));
  }

  /** Something that is like what was asked for, with what was found there and why it is like it. */
  private Node tile(Likeness l) {
    Hit h = l.findings().isEmpty() ? l.hit() : asFinding(l);
    VBox box = (VBox) tile(h);
    box.getChildren().add(Ui.wrapped(l.because(), "small", "accent"));
    return box;
  }

  /** The finding that a photo shows, with that photo. */
  private static Hit asFinding(Likeness l) {
    Hit f = l.findings().get(0);
    return new Hit(
        f.kind(),
        f.job(),
        l.hit().photo(),
        l.hit().photoId(),
        f.finding(),
        f.findingKind(),
        f.stop(),
        f.parts(),
        f.text(),
        l.hit().score());
  }

  private Node tile(Hit h) {
    VBox box = card(h.job(), h.photoId());
    String head = head(h);
    box.focusedProperty()
        .addListener(
            (o, was, now) -> {
              if (now) {
                show(h);
              }
            });
    box.getChildren().add(Ui.wrapped(head, "small", "bold"));
    String text = HitText.text(h, trade());
    var flow = HitText.marked(shortened(text), model.stretches(shortened(text)));
    flow.setMaxWidth(cardWidth - 16);
    box.getChildren().add(flow);
    String stop = h.stop() == null ? "" : stopTitle(h.stop()) + "\n";
    Label house = Ui.wrapped("", "small", "quiet");
    box.getChildren().add(house);
    Runnable say =
        () -> {
          house.setText(stop + model.house(h.job()));
          box.setAccessibleText(head + ": " + text + ", " + model.house(h.job()));
        };
    Ui.actable(box, "", () -> window.open(h));
    say.run();
    names.add(say);
    return box;
  }

  private static String head(Hit h) {
    return switch (h.kind()) {
      case FINDING ->
          "F" + h.finding() + (h.findingKind() == null ? "" : " · " + Words.kind(h.findingKind()));
      case PHOTO -> Objects.requireNonNullElse(h.photo(), Words.say("hit.photo"));
      case JOB -> Words.say("hit.job");
    };
  }

  private static String shortened(String text) {
    return text.length() <= 180 ? text : text.substring(0, text.lastIndexOf(' ', 176)) + " …";
  }

  private String stopTitle(String key) {
    int hash = key.indexOf('#');
    String id = hash < 0 ? key : key.substring(0, hash);
    return trade().stop(id).map(Stop::title).orElse(id);
  }

  private VBox card(String job, PhotoId picture) {
    VBox box = new VBox();
    box.getStyleClass().add("job-card");
    box.setPrefWidth(cardWidth);
    box.setMaxWidth(cardWidth);
    if (picture != null || job != null) {
      box.getChildren().add(picture(job, picture, cardWidth - 18, pictureHeight));
    }
    return box;
  }

  private Node picture(String job, PhotoId picture, double w, double h) {
    ImageView view = new ImageView();
    Rectangle round = new Rectangle(w, h);
    round.setArcWidth(6);
    round.setArcHeight(6);
    view.setClip(round);
    StackPane frame =
        new StackPane(Ui.label(Words.say("past.no-picture"), "on-surround-quiet"), view);
    frame.getStyleClass().add("thumb");
    frame.setMinSize(w, h);
    frame.setMaxSize(w, h);
    if (picture != null) {
      window
          .pictures()
          .marked(
              window.workspace().folder(job),
              () -> model.job(job),
              trade(),
              picture,
              MARKED,
              () -> frame.getScene() != null,
              image -> {
                if (image != null) {
                  Crop.cover(view, image, w, h);
                }
              });
    }
    return frame;
  }
}

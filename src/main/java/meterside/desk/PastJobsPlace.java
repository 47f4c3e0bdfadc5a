package meterside.desk;

import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import javafx.animation.PauseTransition;
import javafx.geometry.Insets;
import javafx.geometry.Pos;
import javafx.scene.Node;
import javafx.scene.Parent;
import javafx.scene.control.Button;
import javafx.scene.control.ComboBox;
import javafx.scene.control.Label;
import javafx.scene.control.ListCell;
import javafx.scene.control.ScrollPane;
import javafx.scene.control.TextField;
import javafx.scene.image.ImageView;
import javafx.scene.input.KeyCode;
import javafx.scene.input.KeyEvent;
import javafx.scene.layout.BorderPane;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Priority;
import javafx.scene.layout.Region;
import javafx.scene.layout.StackPane;
import javafx.scene.layout.TilePane;
import javafx.scene.layout.VBox;
import javafx.scene.shape.Rectangle;
import javafx.util.Duration;
import meterside.desk.model.Keys;
import meterside.desk.model.PastJobsModel;
import meterside.desk.model.Words;
import meterside.job.FindingKind;
import meterside.job.PhotoId;
import meterside.job.RoutePlan;
import meterside.job.Stop;
import meterside.search.Found;
import meterside.search.Hit;
import meterside.trade.Part;
import meterside.trade.Trade;
import org.kordamp.ikonli.feather.Feather;

/** Past jobs: search first, filters beside the results; the newest jobs while nothing is asked. */
final class PastJobsPlace implements Place {
  private static final double CARD_WIDTH = 268;
  private static final double PICTURE_HEIGHT = 150;

  private final DeskWindow window;
  private final PastJobsModel model;
  private final Trade trade;
  private final BorderPane root = new BorderPane();
  private final TextField field = new TextField();
  private final PauseTransition pause = new PauseTransition(Duration.millis(120));
  private final Label said = Ui.label("", "quiet");
  private final TilePane tiles = new TilePane(16, 16);
  private final ScrollPane scroll = new ScrollPane(tiles);
  private final Foot foot;
  private final ComboBox<Choice> stops;
  private final ComboBox<Choice> parts;
  private final ComboBox<Choice> kinds;
  private final ComboBox<Choice> years;
  private boolean setting;

  /** A filter's choice; the value is null for "any". */
  private record Choice(Object value, String text) {
    @Override
    public String toString() {
      return text;
    }
  }

  PastJobsPlace(DeskWindow window, PastJobsModel model) {
    this.window = window;
    this.model = model;
    this.trade = window.workspace().trade();
    this.foot = new Foot(window.tasks(), window.overlay());
    root.getStyleClass().add("place");
    field.setPromptText(Words.say("past.prompt"));
    field.setAccessibleText(Words.say("past.prompt"));
    field.setId("past-words");
    HBox.setHgrow(field, Priority.ALWAYS);
    field.setMaxWidth(560);
    Button start = Ui.button(Words.say("past.new"), window::newJob, "strong");
    start.setId("new-job");
    start.setMinWidth(Region.USE_PREF_SIZE);
    Button settings =
        Ui.iconButton(Feather.SETTINGS, Words.say("place.settings"), window::showSettings, "bare");
    Ui.named(settings, Words.say("place.settings"), Keys.SETTINGS);
    Button help =
        Ui.iconButton(Feather.HELP_CIRCLE, Words.say("sheet.title"), window::showKeys, "bare");
    Ui.named(help, Words.say("sheet.title"), Keys.SHEET);
    HBox top =
        new HBox(
            Ui.label(Words.say("place.past"), "large", "bold"),
            field,
            Ui.spacer(),
            help,
            settings,
            start);
    top.getStyleClass().add("top-bar");
    top.getStyleClass().add("wide");
    stops = combo("filter.stop", stopChoices());
    parts = combo("filter.part", partChoices());
    kinds = combo("filter.kind", kindChoices());
    years = combo("filter.year", yearChoices());
    Button clear = Ui.button(Words.say("filter.clear"), this::clear, "bare");
    VBox side =
        new VBox(
            Ui.label(Words.say("filter.title"), "section"),
            filter("filter.stop", stops),
            filter("filter.part", parts),
            filter("filter.kind", kinds),
            filter("filter.year", years),
            clear);
    side.getStyleClass().add("side");
    side.setPrefWidth(232);
    side.setMinWidth(232);
    tiles.setPadding(new Insets(0, 24, 24, 24));
    tiles.setPrefColumns(4);
    tiles.setTileAlignment(Pos.TOP_LEFT);
    scroll.setFitToWidth(true);
    scroll.setHbarPolicy(ScrollPane.ScrollBarPolicy.NEVER);
    VBox.setVgrow(scroll, Priority.ALWAYS);
    said.setPadding(new Insets(16, 24, 12, 24));
    VBox middle = new VBox(said, scroll);
    root.setTop(top);
    root.setLeft(side);
    root.setCenter(middle);
    root.setBottom(foot);
    foot.also(() -> window.workspace().root().toString(), () -> "");
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
    model.refresh();
    field.requestFocus();
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
    Node focused = root.getScene().getFocusOwner();
    int at = tiles.getChildren().indexOf(focused);
    if (at < 0) {
      return;
    }
    int across = Math.max(1, (int) ((tiles.getWidth() - 32) / (CARD_WIDTH + 16)));
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

  // ---- filters ----

  private ComboBox<Choice> combo(String key, List<Choice> choices) {
    ComboBox<Choice> box = new ComboBox<>();
    box.getItems().setAll(choices);
    box.getSelectionModel().selectFirst();
    box.setMaxWidth(Double.MAX_VALUE);
    box.setAccessibleText(Words.say(key));
    box.setVisibleRowCount(14);
    box.setButtonCell(
        new ListCell<>() {
          @Override
          protected void updateItem(Choice c, boolean empty) {
            super.updateItem(c, empty);
            setText(empty || c == null ? "" : c.text());
          }
        });
    box.setOnAction(e -> filtered());
    return box;
  }

  private static VBox filter(String key, ComboBox<Choice> box) {
    Label l = Ui.label(Words.say(key), "small", "quiet");
    l.setLabelFor(box);
    VBox v = new VBox(2, l, box);
    v.setPadding(new Insets(0, 0, 4, 0));
    return v;
  }

  private List<Choice> stopChoices() {
    List<Choice> out = new ArrayList<>(List.of(new Choice(null, Words.say("filter.any-stop"))));
    List<String> seen = new ArrayList<>();
    for (RoutePlan route : trade.routes()) {
      for (Stop s : route.stops()) {
        if (!seen.contains(s.id())) {
          seen.add(s.id());
          out.add(new Choice(s.id(), s.title()));
        }
      }
    }
    return out;
  }

  private List<Choice> partChoices() {
    List<Choice> out = new ArrayList<>(List.of(new Choice(null, Words.say("filter.any-part"))));
    trade.parts().stream()
        .sorted(java.util.Comparator.comparing(Part::term, String.CASE_INSENSITIVE_ORDER))
        .forEach(p -> out.add(new Choice(p.id(), Words.term(trade, p.id()))));
    return out;
  }

  private List<Choice> kindChoices() {
    List<Choice> out = new ArrayList<>(List.of(new Choice(null, Words.say("filter.any-kind"))));
    for (FindingKind k : FindingKind.values()) {
      out.add(new Choice(k, Words.kind(k)));
    }
    return out;
  }

  private List<Choice> yearChoices() {
    List<Choice> out = new ArrayList<>(List.of(new Choice(null, Words.say("filter.any-year"))));
    for (Integer y : model.years()) {
      out.add(new Choice(y, Integer.toString(y)));
    }
    return out;
  }

  private static Object value(ComboBox<Choice> box) {
    Choice c = box.getValue();
    return c == null ? null : c.value();
  }

  private void filtered() {
    if (!setting) {
      model.filters(
          (String) value(stops),
          (String) value(parts),
          (FindingKind) value(kinds),
          (Integer) value(years));
    }
  }

  private void clear() {
    setting = true;
    for (ComboBox<Choice> box : List.of(stops, parts, kinds, years)) {
      box.getSelectionModel().selectFirst();
    }
    field.setText("");
    setting = false;
    model.words("");
    model.filters(null, null, null, null);
    field.requestFocus();
  }

  // ---- results ----

  private void refresh() {
    tiles.getChildren().clear();
    Found found = model.found();
    if (model.asking() && found != null) {
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

  private Node tile(PastJobsModel.Card c) {
    VBox box = card(c.name(), c.picture());
    box.getChildren().add(Ui.label(c.site(), "bold"));
    box.getChildren()
        .add(
            c.trouble() == null
                ? Ui.wrapped(c.line(), "small", "quiet")
                : Ui.wrapped(c.trouble(), "small", "urgent"));
    box.setId("job-" + c.name());
    return Ui.actable(box, c.site() + ", " + c.line(), () -> window.openJob(c.name(), null));
  }

  private Node tile(Hit h) {
    VBox box = card(h.job(), h.photoId());
    String head =
        switch (h.kind()) {
          case FINDING ->
              "F"
                  + h.finding()
                  + (h.findingKind() == null ? "" : " · " + Words.kind(h.findingKind()));
          case PHOTO -> Objects.requireNonNullElse(h.photo(), Words.say("hit.photo"));
          case JOB -> Words.say("hit.job");
        };
    box.getChildren().add(Ui.label(head, "small", "bold"));
    String text = HitText.text(h, trade);
    var flow = HitText.marked(shortened(text), model.words());
    flow.setMaxWidth(CARD_WIDTH - 16);
    box.getChildren().add(flow);
    String stop = h.stop() == null ? "" : stopTitle(h.stop()) + "\n";
    box.getChildren().add(Ui.wrapped(stop + h.job(), "small", "quiet"));
    return Ui.actable(box, head + ": " + text + ", " + h.job(), () -> window.open(h));
  }

  private static String shortened(String text) {
    return text.length() <= 180 ? text : text.substring(0, text.lastIndexOf(' ', 176)) + " …";
  }

  private String stopTitle(String key) {
    int hash = key.indexOf('#');
    String id = hash < 0 ? key : key.substring(0, hash);
    return trade.stop(id).map(Stop::title).orElse(id);
  }

  private VBox card(String job, PhotoId picture) {
    VBox box = new VBox();
    box.getStyleClass().add("job-card");
    box.setPrefWidth(CARD_WIDTH);
    box.setMaxWidth(CARD_WIDTH);
    double w = CARD_WIDTH - 18;
    ImageView view = new ImageView();
    Rectangle round = new Rectangle(w, PICTURE_HEIGHT);
    round.setArcWidth(6);
    round.setArcHeight(6);
    view.setClip(round);
    StackPane frame =
        new StackPane(Ui.label(Words.say("past.no-picture"), "on-surround-quiet"), view);
    frame.getStyleClass().add("thumb");
    frame.setMinSize(w, PICTURE_HEIGHT);
    frame.setMaxSize(w, PICTURE_HEIGHT);
    if (picture != null) {
      window
          .pictures()
          .thumbnail(
              window.workspace().folder(job),
              picture,
              null,
              () -> true,
              image -> {
                if (image != null) {
                  Crop.cover(view, image, w, PICTURE_HEIGHT);
                }
              });
    }
    box.getChildren().add(frame);
    return box;
  }
}

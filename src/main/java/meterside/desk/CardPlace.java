package meterside.desk;

import java.io.ByteArrayInputStream;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import javafx.scene.Node;
import javafx.scene.Parent;
import javafx.scene.control.Button;
import javafx.scene.control.Label;
import javafx.scene.control.ScrollPane;
import javafx.scene.control.TextField;
import javafx.scene.image.Image;
import javafx.scene.image.ImageView;
import javafx.scene.input.KeyEvent;
import javafx.scene.layout.BorderPane;
import javafx.scene.layout.FlowPane;
import javafx.scene.layout.StackPane;
import javafx.scene.layout.VBox;
import meterside.desk.model.CardDesk;
import meterside.desk.model.Keys;
import meterside.desk.model.Words;
import meterside.intake.Card;

/** A card just read: its houses and days, each with a front picture, to be named or left. */
final class CardPlace implements Place {
  private final DeskWindow window;
  private final CardDesk card;
  private final BorderPane root = new BorderPane();
  private final Map<Integer, TextField> names = new LinkedHashMap<>();
  private final Button take;
  private final Label named = Ui.label("", "quiet");
  private final Foot foot;

  CardPlace(DeskWindow window, CardDesk card) {
    this.window = window;
    this.card = card;
    this.foot = new Foot(window.tasks(), window.overlay());
    root.getStyleClass().add("place");
    Button back = Ui.button("‹ " + Words.say("place.past"), window::showPastJobs, "bare");
    take = Ui.button("", this::take, "strong");
    take.setId("card-take");
    Label title = Ui.label(Words.count("card.houses", card.houses().size()), "large", "bold");
    Bar top = new Bar(16, 52).left(back, title).right(named, take);
    top.getStyleClass().add("top-bar");
    VBox body = new VBox(16);
    body.setStyle("-fx-padding: 24;");
    body.getChildren().add(Ui.wrapped(Words.say("card.hint"), "quiet"));
    if (!card.notes().isEmpty()) {
      VBox notes = new VBox(2);
      notes.getStyleClass().add("caution");
      card.notes().forEach(n -> notes.getChildren().add(Ui.wrapped(n)));
      body.getChildren().add(notes);
    }
    FlowPane houses = new FlowPane(16, 16);
    for (int i = 0; i < card.houses().size(); i++) {
      houses.getChildren().add(house(card.houses().get(i), card.groups().get(i)));
    }
    body.getChildren().add(houses);
    ScrollPane scroll = new ScrollPane(body);
    scroll.setFitToWidth(true);
    root.setTop(top);
    root.setCenter(scroll);
    root.setBottom(foot);
    changed();
  }

  private Node house(CardDesk.House h, Card.Group g) {
    double w = Ui.wide(300, 0.5);
    double high = Math.round(w * 0.6);
    ImageView view = new ImageView();
    StackPane frame =
        new StackPane(Ui.label(Words.say("past.no-picture"), "on-surround-quiet"), view);
    frame.getStyleClass().add("thumb");
    frame.setMinSize(w, high);
    frame.setMaxSize(w, high);
    if (g.front() != null && g.front().thumbnailJpeg() != null) {
      Image front = new Image(new ByteArrayInputStream(g.front().thumbnailJpeg()));
      if (!front.isError()) {
        Crop.cover(view, front, w, high);
      }
    }
    TextField name = new TextField(h.proposed());
    name.setPromptText(Words.say("card.name.prompt"));
    name.setAccessibleText(Words.say("card.name", h.when()));
    name.setId("house-" + h.number());
    name.textProperty().addListener((o, a, b) -> changed());
    name.setOnAction(e -> next(h.number()));
    names.put(h.number(), name);
    VBox box = new VBox(frame, Ui.wrapped(h.when(), "bold"), Ui.wrapped(h.photos()));
    box.getStyleClass().add("job-card");
    box.setStyle("-fx-cursor: default;");
    if (h.kept() != null) {
      box.getChildren().add(Ui.wrapped(h.kept(), "small", "accent"));
    }
    if (!h.why().isEmpty()) {
      box.getChildren().add(Ui.wrapped(h.why(), "small", "quiet"));
    }
    box.getChildren().add(name);
    box.setPrefWidth(w + 18);
    box.setMaxWidth(w + 18);
    return box;
  }

  private void next(int from) {
    List<Integer> all = new ArrayList<>(names.keySet());
    int at = all.indexOf(from);
    if (at + 1 < all.size()) {
      names.get(all.get(at + 1)).requestFocus();
    } else {
      take.requestFocus();
    }
  }

  private List<CardDesk.Named> named() {
    List<CardDesk.Named> out = new ArrayList<>();
    names.forEach(
        (n, f) -> {
          if (!f.getText().isBlank()) {
            out.add(new CardDesk.Named(n, f.getText().strip()));
          }
        });
    return out;
  }

  private void changed() {
    int n = named().size();
    named.setText(Words.say("card.named", n, names.size()));
    String text = n == 0 ? Words.say("card.take.none") : Words.count("card.take", n);
    take.setText(text);
    Ui.named(take, text, Keys.KEEP_FORM);
    take.setDisable(n == 0);
  }

  private void take() {
    List<CardDesk.Named> all = named();
    if (!all.isEmpty()) {
      take.setDisable(true);
      card.take(
          all,
          jobs -> {
            if (jobs.size() == 1) {
              window.openJob(jobs.get(0), null);
            } else {
              window.showPastJobs();
            }
            window.copyAfter(card.sources());
          });
    }
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
    names.values().stream().findFirst().ifPresent(TextField::requestFocus);
  }

  @Override
  public void key(KeyEvent e) {
    if (e.getEventType() == KeyEvent.KEY_PRESSED
        && KeyMap.pressed(e, Keys.Place.FORM) == Keys.KEEP_FORM) {
      take();
      e.consume();
    }
  }
}

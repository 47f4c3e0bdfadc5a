package meterside.desk;

import java.util.ArrayList;
import java.util.List;
import java.util.function.Consumer;
import java.util.function.Function;
import javafx.geometry.Insets;
import javafx.geometry.Pos;
import javafx.scene.control.Button;
import javafx.scene.control.Label;
import javafx.scene.image.Image;
import javafx.scene.image.ImageView;
import javafx.scene.input.KeyEvent;
import javafx.scene.layout.BorderPane;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Pane;
import javafx.scene.layout.Priority;
import javafx.scene.layout.StackPane;
import javafx.scene.layout.VBox;
import javafx.scene.shape.Rectangle;
import meterside.desk.model.Beside;
import meterside.desk.model.JobDesk;
import meterside.desk.model.PhotoFacts;
import meterside.desk.model.Words;
import meterside.job.Photo;
import meterside.job.PhotoId;

/** Photos side by side at the same zoom, to keep the best and set the others aside. */
final class BesideView extends BorderPane {
  private static final double PAN = 0.1;

  private final JobDesk desk;
  private final Pictures pictures;
  private final List<One> panes = new ArrayList<>();
  private final Consumer<PhotoId> keep;
  private final Function<PhotoId, List<String>> findings;
  private Beside beside = Beside.WHOLE;

  BesideView(
      JobDesk desk,
      Pictures pictures,
      List<PhotoId> photos,
      Function<PhotoId, List<String>> findings,
      Consumer<PhotoId> keep,
      Runnable leave) {
    this.desk = desk;
    this.pictures = pictures;
    this.keep = keep;
    this.findings = findings;
    getStyleClass().add("surround");
    setId("beside");
    HBox row = new HBox(8);
    row.setStyle("-fx-padding: 12;");
    int n = 1;
    for (PhotoId id : photos) {
      One one = new One(n++, id);
      panes.add(one);
      HBox.setHgrow(one, Priority.ALWAYS);
      row.getChildren().add(one);
    }
    Label hint = Ui.wrapped(Words.say("beside.hint"), "on-surround-quiet");
    Button back = Ui.button(Words.say("beside.back"), leave);
    Bar bar = new Bar(16, 40).left(hint).right(back);
    bar.setStyle("-fx-padding: 4 16 4 16;");
    setCenter(row);
    setBottom(bar);
    setFocusTraversable(true);
    setAccessibleText(Words.say("beside.name", photos.size()));
  }

  /** Takes a key; true if it did something. */
  boolean key(KeyEvent e) {
    double step = PAN / beside.zoom();
    switch (e.getCode()) {
      case LEFT -> set(beside.panned(-step, 0));
      case RIGHT -> set(beside.panned(step, 0));
      case UP -> set(beside.panned(0, -step));
      case DOWN -> set(beside.panned(0, step));
      case PLUS, EQUALS, ADD -> set(beside.zoomed(1.4, beside.x(), beside.y()));
      case MINUS, SUBTRACT -> set(beside.zoomed(1 / 1.4, beside.x(), beside.y()));
      case Z -> set(beside.zoom() > 1 ? Beside.WHOLE : beside.zoomed(4, 0.5, 0.5));
      default -> {
        String name = e.getCode().getName();
        char last = name.charAt(name.length() - 1);
        int k = e.getCode().isDigitKey() && Character.isDigit(last) ? last - '0' : 0;
        if (k < 1 || k > panes.size()) {
          return false;
        }
        keep.accept(panes.get(k - 1).photo.id());
      }
    }
    return true;
  }

  private void set(Beside next) {
    beside = next;
    panes.forEach(One::place);
  }

  /** How many are shown. */
  int count() {
    return panes.size();
  }

  private final class One extends VBox {
    private final Photo photo;
    private final ImageView view = new ImageView();
    private final Pane frame =
        new Pane(view) {
          @Override
          protected void layoutChildren() {
            place();
          }
        };
    private double dragX;
    private double dragY;
    private int asked;

    One(int number, PhotoId id) {
      super(8);
      photo = desk.job().photo(id);
      PhotoFacts facts = PhotoFacts.of(desk.job(), id);
      setMinWidth(0);
      setPrefWidth(200);
      Rectangle clip = new Rectangle();
      clip.widthProperty().bind(frame.widthProperty());
      clip.heightProperty().bind(frame.heightProperty());
      frame.setClip(clip);
      frame.setMinSize(0, 0);
      frame.setStyle("-fx-cursor: move;");
      Label name = Ui.wrapped(facts.file(), "on-surround", "bold");
      Label size = Ui.wrapped(facts.time() + "\n" + facts.size(), "on-surround-quiet", "small");
      Button keepThis =
          Ui.button(Words.say("beside.keep", number), () -> keep.accept(id), "strong");
      keepThis.setId("keep-" + number);
      keepThis.setWrapText(true);
      keepThis.setMaxWidth(Double.MAX_VALUE);
      keepThis.setAccessibleText(Words.say("beside.keep.name", photo.name()));
      StackPane picture = new StackPane(frame);
      picture.setMinSize(0, 0);
      VBox.setVgrow(picture, Priority.ALWAYS);
      getChildren().addAll(picture, name, size);
      List<String> shows = findings.apply(id);
      if (!shows.isEmpty()) {
        String labels = String.join(" ", shows);
        Label badge = Ui.label(labels, "thumb-finding");
        badge.setMouseTransparent(true);
        StackPane.setAlignment(badge, Pos.BOTTOM_LEFT);
        StackPane.setMargin(badge, new Insets(8));
        picture.getChildren().add(badge);
      }
      // Every photo has the line, so that all pictures are of one size.
      String stays = shows.isEmpty() ? "" : Words.say("beside.stays", String.join(" ", shows));
      getChildren().add(Ui.wrapped(stays, "on-surround", "small"));
      getChildren().add(keepThis);
      frame.setOnScroll(
          e -> {
            double factor = Math.pow(1.0015, e.getDeltaY());
            set(beside.zoomed(factor, shownX(e.getX()), shownY(e.getY())));
            e.consume();
          });
      frame.setOnMousePressed(
          e -> {
            dragX = e.getX();
            dragY = e.getY();
          });
      frame.setOnMouseDragged(
          e -> {
            double s = scale();
            set(beside.panned((dragX - e.getX()) / (w() * s), (dragY - e.getY()) / (h() * s)));
            dragX = e.getX();
            dragY = e.getY();
          });
      pictures.preview(
          desk.session().folder(), photo, () -> getScene() != null, image -> show(image, 0));
    }

    private double w() {
      return Math.max(1, photo.uprightWidth());
    }

    private double h() {
      return Math.max(1, photo.uprightHeight());
    }

    private double scale() {
      return Math.min(frame.getWidth() / w(), frame.getHeight() / h()) * beside.zoom();
    }

    private double shownX(double px) {
      return beside.x() + (px - frame.getWidth() / 2) / (w() * scale());
    }

    private double shownY(double py) {
      return beside.y() + (py - frame.getHeight() / 2) / (h() * scale());
    }

    private void show(Image image, int side) {
      if (image != null && side >= asked) {
        view.setImage(image);
        place();
      }
    }

    private void place() {
      double s = scale();
      if (s <= 0 || Double.isNaN(s)) {
        return;
      }
      view.setFitWidth(w() * s);
      view.setFitHeight(h() * s);
      view.setX(Math.round(frame.getWidth() / 2 - beside.x() * w() * s));
      view.setY(Math.round(frame.getHeight() / 2 - beside.y() * h() * s));
      int want = (int) (Math.max(w(), h()) * Math.min(1, s));
      if (beside.zoom() > 1.3 && want > asked) {
        int rung = Pictures.rung(photo, want);
        asked = rung;
        pictures.sharp(
            desk.session().folder(),
            photo,
            rung,
            () -> getScene() != null,
            image -> show(image, rung));
      }
    }
  }
}

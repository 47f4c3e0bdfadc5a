package meterside.desk;

import javafx.geometry.Pos;
import javafx.scene.Parent;
import javafx.scene.control.Button;
import javafx.scene.input.KeyEvent;
import javafx.scene.layout.BorderPane;
import javafx.scene.layout.FlowPane;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Region;
import javafx.scene.layout.StackPane;
import javafx.scene.layout.VBox;
import meterside.desk.model.Folders;
import meterside.desk.model.Words;
import org.kordamp.ikonli.Ikon;
import org.kordamp.ikonli.feather.Feather;

/** The first start: an empty archive with two ways on. */
final class StartPlace implements Place {
  private final BorderPane root = new BorderPane();
  private final Button first;
  private final Foot foot;

  StartPlace(DeskWindow window) {
    root.getStyleClass().add("place");
    first = choice(Feather.FOLDER_PLUS, "start.card", "start.card.more", window::startFromFolder);
    first.setId("start-card");
    Button second = choice(Feather.HOME, "start.sample", "start.sample.more", window::startSample);
    second.setId("start-sample");
    FlowPane choices = new FlowPane(16, 16, first, second);
    choices.setPrefWrapLength(Ui.px(730));
    choices.setMaxHeight(Region.USE_PREF_SIZE);
    Region line = new Region();
    line.getStyleClass().add("copper-line");
    line.setMinSize(48, 4);
    line.setMaxSize(48, 4);
    VBox middle =
        new VBox(
            16,
            line,
            Ui.wrapped(Words.say("start.title"), "huge", "bold"),
            Ui.wrapped(Words.say("start.text")),
            choices,
            Ui.wrapped(Words.say("start.drop"), "quiet"),
            Ui.wrapped(
                Words.say("start.where", Folders.shown(window.workspace().root())),
                "small",
                "quiet"));
    middle.setMaxWidth(Math.min(1180, Ui.px(730)));
    middle.setMaxHeight(Region.USE_PREF_SIZE);
    middle.setAlignment(Pos.CENTER_LEFT);
    root.setCenter(new StackPane(middle));
    foot = new Foot(window.tasks(), window.overlay());
    root.setBottom(foot);
  }

  private static Button choice(Ikon icon, String title, String more, Runnable act) {
    Button b = Ui.button("", act, "big-choice");
    // A fixed width: inside a button a wrapping label is asked for its height without one.
    var said = Ui.wrapped(Words.say(more), "quiet");
    said.setMinWidth(Ui.px(250));
    said.setMaxWidth(Ui.px(250));
    said.setPrefWidth(Ui.px(250));
    VBox text = new VBox(4, Ui.wrapped(Words.say(title), "large", "bold"), said);
    text.setMinWidth(Ui.px(250));
    text.setMaxHeight(Region.USE_PREF_SIZE);
    var i = Ui.icon(icon);
    i.setIconSize(24);
    HBox box = new HBox(16, i, text);
    box.setAlignment(Pos.TOP_LEFT);
    box.setMaxHeight(Region.USE_PREF_SIZE);
    b.setGraphic(box);
    b.setAccessibleText(Words.say(title) + ". " + Words.say(more));
    b.setPrefWidth(Ui.px(352));
    b.setMaxHeight(Region.USE_PREF_SIZE);
    return b;
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
    first.requestFocus();
  }

  @Override
  public void key(KeyEvent e) {}
}

package meterside.desk;

import javafx.geometry.Pos;
import javafx.scene.Node;
import javafx.scene.Parent;
import javafx.scene.control.Button;
import javafx.scene.control.Label;
import javafx.scene.control.ScrollPane;
import javafx.scene.layout.BorderPane;
import javafx.scene.layout.Region;
import javafx.scene.layout.StackPane;
import javafx.scene.layout.VBox;
import meterside.desk.model.JobDesk;
import meterside.desk.model.Keys;
import meterside.desk.model.Words;

/**
 * A place of an open job that is one page: a bar with the way back, the house and the place's name;
 * the page, which scrolls; the foot. It is filled anew whenever the job changes while it is shown.
 */
abstract class JobPage implements Place {
  final DeskWindow window;
  final JobDesk desk;
  final BorderPane root = new BorderPane();
  final VBox body = new VBox(16);
  final ScrollPane scroll = new ScrollPane();
  private final Bar top = new Bar(16, 52);
  private final Label site = Ui.label("", "large", "bold");
  private final Foot foot;

  /**
   * An empty page.
   *
   * @param name key of the place's name
   */
  JobPage(DeskWindow window, JobDesk desk, String name) {
    this.window = window;
    this.desk = desk;
    this.foot = new Foot(window.tasks(), window.overlay());
    foot.also(() -> "", () -> Words.say(desk.saved() ? "foot.saved" : "foot.saving"));
    root.getStyleClass().add("place");
    Button back = Ui.button("‹ " + Words.say("report.back"), window::backToJob, "bare");
    Ui.named(back, Words.say("report.back"), Keys.LEAVE);
    top.left(back, site, Ui.label(Words.say(name), "quiet"));
    top.getStyleClass().add("top-bar");
    body.getStyleClass().add("sheet-page");
    body.setMaxHeight(Region.USE_PREF_SIZE);
    StackPane middle = new StackPane(body);
    middle.setStyle("-fx-padding: 24;");
    StackPane.setAlignment(body, Pos.TOP_CENTER);
    scroll.setContent(middle);
    scroll.setFitToWidth(true);
    root.setTop(top);
    root.setCenter(scroll);
    root.setBottom(foot);
    desk.onChange(
        c -> {
          if (c == JobDesk.Change.JOB && root.getScene() != null) {
            refresh();
          } else if (c == JobDesk.Change.SAVED && root.getScene() != null) {
            foot.refresh();
          }
        });
  }

  /** Puts buttons at the bar's right end. */
  final void acts(Node... nodes) {
    top.right(nodes);
  }

  /** Keeps the page as narrow as text is read well. */
  final void narrow() {
    body.setMaxWidth(Ui.wide(820, 0.6));
  }

  /** Shows the job as it is now. */
  abstract void refresh();

  @Override
  public final Parent root() {
    return root;
  }

  @Override
  public final Foot foot() {
    return foot;
  }

  @Override
  public void begin() {
    site.setText(desk.job().site());
    refresh();
  }
}

package meterside.desk;

import javafx.geometry.Pos;
import javafx.scene.Node;
import javafx.scene.layout.Pane;
import javafx.scene.layout.Region;
import javafx.scene.layout.StackPane;

/**
 * The layer above a place: at most one panel at a time, near something or in the middle over a
 * shade. A layer of the window and no window of its own, so that it works alike everywhere.
 */
final class Overlay extends StackPane {
  private final Pane free = new Pane();
  private Node shown;
  private Runnable closed = () -> {};
  private Node focusBefore;

  Overlay() {
    setPickOnBounds(false);
    free.setPickOnBounds(false);
    getChildren().add(free);
  }

  /** Whether something is shown. */
  boolean open() {
    return shown != null;
  }

  /**
   * Shows a panel with its top left corner near a position, within the window.
   *
   * @param whenClosed called when it goes away, however that happens
   */
  void near(Region panel, double sceneX, double sceneY, Runnable whenClosed) {
    close();
    remember();
    Region catcher = new Region();
    catcher.setOnMousePressed(
        e -> {
          close();
          e.consume();
        });
    catcher.prefWidthProperty().bind(widthProperty());
    catcher.prefHeightProperty().bind(heightProperty());
    free.getChildren().addAll(catcher, panel);
    panel.applyCss();
    panel.autosize();
    double w = panel.prefWidth(-1);
    double h = panel.prefHeight(w);
    panel.relocate(
        Math.round(Math.max(8, Math.min(getWidth() - w - 8, sceneX))),
        Math.round(Math.max(8, Math.min(getHeight() - h - 8, sceneY))));
    shown = panel;
    closed = whenClosed;
  }

  /** Shows a panel in the middle over a shade. */
  void middle(Region panel, Runnable whenClosed) {
    close();
    remember();
    StackPane shade = new StackPane(panel);
    shade.getStyleClass().add("shade");
    StackPane.setAlignment(panel, Pos.CENTER);
    panel.setMaxSize(Region.USE_PREF_SIZE, Region.USE_PREF_SIZE);
    shade.setOnMousePressed(
        e -> {
          if (e.getTarget() == shade) {
            close();
          }
          e.consume();
        });
    getChildren().add(shade);
    shade.applyCss();
    shade.layout();
    shown = shade;
    closed = whenClosed;
  }

  /** Takes away what is shown; focus goes back to where it was. */
  void close() {
    if (shown == null) {
      return;
    }
    free.getChildren().clear();
    getChildren().remove(shown);
    shown = null;
    Runnable then = closed;
    closed = () -> {};
    Node back = focusBefore;
    focusBefore = null;
    if (back != null && back.getScene() != null) {
      back.requestFocus();
    }
    then.run();
  }

  private void remember() {
    focusBefore = getScene() == null ? null : getScene().getFocusOwner();
  }
}

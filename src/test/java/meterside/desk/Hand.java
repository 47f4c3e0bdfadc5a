package meterside.desk;

import java.util.Locale;
import javafx.geometry.Bounds;
import javafx.scene.Node;
import javafx.scene.Scene;
import javafx.scene.input.KeyCode;
import javafx.scene.input.MouseButton;
import javafx.scene.robot.Robot;

/** A hand on mouse and keyboard of the window, through the toolkit's own robot. */
final class Hand {
  private final Scene scene;
  private final Robot robot;

  Hand(Scene scene) throws Exception {
    this.scene = scene;
    this.robot = Toolkit.on(Robot::new);
  }

  /** Moves to the middle of a node. */
  void to(Node node) throws Exception {
    Toolkit.on(
        () -> {
          Bounds b = node.localToScreen(node.getBoundsInLocal());
          robot.mouseMove(b.getCenterX(), b.getCenterY());
          return null;
        });
    Toolkit.settle(60);
  }

  /** Moves to a place inside a node, as fractions of its width and height. */
  void to(Node node, double x, double y) throws Exception {
    Toolkit.on(
        () -> {
          Bounds b = node.localToScreen(node.getLayoutBounds());
          robot.mouseMove(b.getMinX() + x * b.getWidth(), b.getMinY() + y * b.getHeight());
          return null;
        });
    Toolkit.settle(60);
  }

  /** Presses and lets go. */
  void click() throws Exception {
    press();
    release();
  }

  void press() throws Exception {
    Toolkit.on(
        () -> {
          robot.mousePress(MouseButton.PRIMARY);
          return null;
        });
    Toolkit.settle(40);
  }

  void release() throws Exception {
    Toolkit.on(
        () -> {
          robot.mouseRelease(MouseButton.PRIMARY);
          return null;
        });
    Toolkit.settle(60);
  }

  void click(Node node) throws Exception {
    to(node);
    click();
  }

  /** Drags from where the hand is to the middle of a node. */
  void dragTo(Node node) throws Exception {
    press();
    Bounds b = Toolkit.on(() -> node.localToScreen(node.getBoundsInLocal()));
    double x0 = Toolkit.on(robot::getMouseX);
    double y0 = Toolkit.on(robot::getMouseY);
    for (int i = 1; i <= 8; i++) {
      double t = i / 8.0;
      Toolkit.on(
          () -> {
            robot.mouseMove(x0 + (b.getCenterX() - x0) * t, y0 + (b.getCenterY() - y0) * t);
            return null;
          });
      Toolkit.settle(30);
    }
    release();
  }

  /** Types a key, with others held. */
  void key(KeyCode code, KeyCode... held) throws Exception {
    Toolkit.on(
        () -> {
          for (KeyCode h : held) {
            robot.keyPress(h);
          }
          robot.keyPress(code);
          robot.keyRelease(code);
          for (KeyCode h : held) {
            robot.keyRelease(h);
          }
          return null;
        });
    Toolkit.settle(80);
  }

  /** Types letters, digits and spaces. */
  void type(String text) throws Exception {
    for (char c : text.toCharArray()) {
      if (c == ' ') {
        key(KeyCode.SPACE);
      } else if (Character.isUpperCase(c)) {
        key(KeyCode.getKeyCode(String.valueOf(c)), KeyCode.SHIFT);
      } else {
        key(KeyCode.getKeyCode(String.valueOf(c).toUpperCase(Locale.ROOT)));
      }
    }
  }

  /** The node with an id; waits until it is there. */
  Node find(String id) throws Exception {
    Toolkit.await("#" + id, () -> scene.lookup("#" + id) != null);
    Toolkit.settle(60);
    return Toolkit.on(() -> scene.lookup("#" + id));
  }
}

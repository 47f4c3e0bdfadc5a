package meterside.desk;

import javafx.event.EventHandler;
import javafx.geometry.Bounds;
import javafx.scene.AccessibleRole;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.Label;
import javafx.scene.control.Labeled;
import javafx.scene.control.ScrollPane;
import javafx.scene.control.Tooltip;
import javafx.scene.input.MouseEvent;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Priority;
import javafx.scene.layout.Region;
import javafx.scene.shape.SVGPath;
import javafx.util.Duration;
import meterside.desk.model.Keys;
import org.kordamp.ikonli.Ikon;
import org.kordamp.ikonli.javafx.FontIcon;

/** Small makers of controls, so that each has its name, its style and its key said alike. */
final class Ui {
  /** Where a node keeps the text of its tooltip. */
  private static final String TIP = "meterside.tip";

  private static final boolean MAC =
      System.getProperty("os.name", "").toLowerCase(java.util.Locale.ROOT).contains("mac");

  private static double scale = 1;

  private Ui() {}

  /** Sets how large text is, 1 to 2; widths that hold text follow. */
  static void scale(double text) {
    scale = text;
  }

  /** A width that grows with the text. */
  static double px(double usual) {
    return usual * scale;
  }

  /**
   * A width that grows with the text in part, where other things need room too.
   *
   * @param part 0 not at all, 1 as the text does
   */
  static double wide(double usual, double part) {
    return Math.round(usual * (1 + (scale - 1) * part));
  }

  /** Scrolls so that a node lies in view. */
  static void reveal(ScrollPane scroll, Node node) {
    scroll.applyCss();
    scroll.layout();
    Node content = scroll.getContent();
    Bounds b = content.sceneToLocal(node.localToScene(node.getBoundsInLocal()));
    double view = scroll.getViewportBounds().getHeight();
    double room = content.getLayoutBounds().getHeight() - view;
    if (room <= 0) {
      return;
    }
    double top = scroll.getVvalue() * room;
    if (b.getMinY() < top + 40) {
      scroll.setVvalue(Math.max(0, (b.getMinY() - 40) / room));
    } else if (b.getMaxY() > top + view - 40) {
      scroll.setVvalue(Math.min(1, (b.getMaxY() + 40 - view) / room));
    }
  }

  /** A label with style classes. */
  static Label label(String text, String... styles) {
    Label l = new Label(text);
    l.getStyleClass().addAll(styles);
    return l;
  }

  /** A label that wraps. */
  static Label wrapped(String text, String... styles) {
    Label l = label(text, styles);
    l.setWrapText(true);
    l.setMinHeight(Region.USE_PREF_SIZE);
    return l;
  }

  /** A button. */
  static Button button(String text, Runnable act, String... styles) {
    Button b = new Button(text);
    b.getStyleClass().addAll(styles);
    b.setOnAction(e -> act.run());
    b.setAccessibleText(text);
    return b;
  }

  /** A button that shows only an icon. */
  static Button iconButton(Ikon icon, String name, Runnable act, String... styles) {
    Button b = button("", act, styles);
    b.setGraphic(new FontIcon(icon));
    named(b, name, null);
    return b;
  }

  /** Names a control for a screen reader and in a tooltip, with its key if it has one. */
  static <N extends Labeled> N named(N control, String name, Keys key) {
    control.setAccessibleText(name);
    tip(control, key == null ? name : name + "  (" + key.shown(MAC) + ")");
    return control;
  }

  /**
   * A tooltip. Made when the pointer first comes: each is a window of its own, and a place has
   * dozens of them that are never looked at.
   */
  static void tip(Node node, String text) {
    Object before = node.getProperties().put(TIP, text);
    if (before != null) {
      return; // the handler is there, and asks for the text
    }
    node.addEventHandler(
        MouseEvent.MOUSE_ENTERED,
        new EventHandler<>() {
          private Tooltip made;

          @Override
          public void handle(MouseEvent e) {
            if (made == null) {
              made = new Tooltip();
              made.setShowDelay(Duration.millis(450));
              made.setWrapText(true);
              made.setMaxWidth(360);
              Tooltip.install(node, made);
            }
            made.setText((String) node.getProperties().get(TIP));
          }
        });
  }

  /** The key as the screen says it on this system. */
  static String shown(Keys key) {
    return key.shown(MAC);
  }

  /** An icon. */
  static FontIcon icon(Ikon ikon) {
    return new FontIcon(ikon);
  }

  /** A ruler with its marks, drawn as the icons are; their set has none. */
  static Node ruler() {
    SVGPath path = new SVGPath();
    path.setContent("M1 5 H17 V13 H1 Z M4 5 V9 M7 5 V8 M10 5 V9 M13 5 V8");
    path.getStyleClass().add("drawn-icon");
    return path;
  }

  /** What takes the room that is left. */
  static Region spacer() {
    Region r = new Region();
    HBox.setHgrow(r, Priority.ALWAYS);
    return r;
  }

  /** Makes a node be read as a button with a name, and act on click, Enter and space. */
  static <N extends Node> N actable(N node, String name, Runnable act) {
    node.setFocusTraversable(true);
    node.setAccessibleRole(AccessibleRole.BUTTON);
    node.setAccessibleText(name);
    node.setOnMouseClicked(
        e -> {
          node.requestFocus();
          act.run();
          e.consume();
        });
    node.setOnKeyPressed(
        e -> {
          switch (e.getCode()) {
            case ENTER, SPACE -> {
              act.run();
              e.consume();
            }
            default -> {}
          }
        });
    return node;
  }

  /** Adds or removes a style class. */
  static void style(Node node, String styleClass, boolean on) {
    if (on) {
      if (!node.getStyleClass().contains(styleClass)) {
        node.getStyleClass().add(styleClass);
      }
    } else {
      node.getStyleClass().remove(styleClass);
    }
  }
}

package meterside.desk;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import javafx.geometry.Bounds;
import javafx.scene.Node;
import javafx.scene.Parent;
import javafx.scene.Scene;
import javafx.scene.control.Control;
import javafx.scene.control.Labeled;
import javafx.scene.control.ListView;
import javafx.scene.control.ScrollPane;
import javafx.scene.control.TextInputControl;
import javafx.scene.layout.BackgroundFill;
import javafx.scene.layout.Region;
import javafx.scene.paint.Color;
import javafx.scene.paint.Paint;
import javafx.scene.text.Text;
import org.kordamp.ikonli.javafx.FontIcon;

/**
 * What every scene must hold: a name on every control, text that stands out from what it stands on
 * (WCAG 2.2, success criterion 1.4.3: 4.5 to 1, by the formula for the contrast ratio given there),
 * and no text that is cut.
 */
final class SceneChecks {
  /** WCAG 2.2, 1.4.3. */
  private static final double LEAST = 4.5;

  private static final double SLACK = 1.5;

  private SceneChecks() {}

  // ---- names ----

  /** Controls that can be reached by key and have nothing for a screen reader to say. */
  static List<String> nameless(Node node) {
    List<String> out = new ArrayList<>();
    if (!node.isVisible()) {
      return out;
    }
    boolean reached = node.isFocusTraversable() && !(node instanceof ScrollPane);
    String text =
        node instanceof Labeled l && l.getText() != null && !l.getText().isBlank()
            ? l.getText()
            : node.getAccessibleText();
    if (reached && (text == null || text.isBlank())) {
      out.add("no name: " + node);
    }
    // What lies inside a control is the control's own matter.
    boolean inside =
        node instanceof Control && !(node instanceof ScrollPane) && !(node instanceof ListView);
    if (!inside && node instanceof Parent p) {
      p.getChildrenUnmodifiable().forEach(c -> out.addAll(nameless(c)));
    }
    return out;
  }

  // ---- contrast ----

  /** Texts that do not stand out enough. */
  static List<String> weak(Scene scene) {
    List<String> out = new ArrayList<>();
    weak(scene.getRoot(), out);
    return out;
  }

  private static void weak(Node node, List<String> out) {
    if (!node.isVisible() || node.isDisabled()) {
      return; // a control that is not to be used is exempt
    }
    if (node instanceof Text t && !t.getText().isBlank() && t.getFill() instanceof Color ink) {
      Color ground = ground(t);
      if (ground != null) {
        double ratio = contrast(over(ink, ground), ground);
        if (ratio < LEAST) {
          out.add(
              String.format(
                  Locale.ROOT, "contrast %.2f: \"%s\" %s on %s", ratio, t.getText(), ink, ground));
        }
      }
    }
    if (node instanceof Parent p) {
      p.getChildrenUnmodifiable().forEach(c -> weak(c, out));
    }
  }

  /** The colour a node stands on; null if it stands on a picture or a pattern. */
  private static Color ground(Node node) {
    List<Color> veils = new ArrayList<>();
    for (Node n = node.getParent(); n != null; n = n.getParent()) {
      if (n instanceof Region r && r.getBackground() != null) {
        List<BackgroundFill> fills = r.getBackground().getFills();
        for (int i = fills.size() - 1; i >= 0; i--) {
          Paint p = fills.get(i).getFill();
          if (!(p instanceof Color c)) {
            return null;
          }
          if (c.getOpacity() > 0.99) {
            return under(veils, c);
          }
          if (c.getOpacity() > 0) {
            veils.add(c);
          }
        }
      }
    }
    Color fill =
        node.getScene() != null && node.getScene().getFill() instanceof Color c ? c : Color.WHITE;
    return under(veils, fill);
  }

  private static Color under(List<Color> veils, Color ground) {
    Color out = ground;
    for (int i = veils.size() - 1; i >= 0; i--) {
      out = over(veils.get(i), out);
    }
    return out;
  }

  private static Color over(Color top, Color ground) {
    return ground.interpolate(
        Color.color(top.getRed(), top.getGreen(), top.getBlue()), top.getOpacity());
  }

  /** The contrast ratio of WCAG 2.2. */
  static double contrast(Color a, Color b) {
    double x = luminance(a);
    double y = luminance(b);
    return (Math.max(x, y) + 0.05) / (Math.min(x, y) + 0.05);
  }

  private static double luminance(Color c) {
    return 0.2126 * linear(c.getRed())
        + 0.7152 * linear(c.getGreen())
        + 0.0722 * linear(c.getBlue());
  }

  private static double linear(double v) {
    return v <= 0.04045 ? v / 12.92 : Math.pow((v + 0.055) / 1.055, 2.4);
  }

  // ---- cut text ----

  /** Texts that are shortened, or lie outside of what can be seen or scrolled to. */
  static List<String> cut(Scene scene) {
    List<String> out = new ArrayList<>();
    cut(scene, scene.getRoot(), out);
    return out;
  }

  private static void cut(Scene scene, Node node, List<String> out) {
    if (!node.isVisible() || node instanceof TextInputControl) {
      return; // a field's text scrolls
    }
    if (node instanceof Labeled l && l.getText() != null && !l.getText().isBlank()) {
      for (Node c : l.getChildrenUnmodifiable()) {
        if (c instanceof Text t && !(t instanceof FontIcon) && !t.getText().equals(l.getText())) {
          out.add("shortened: \"" + l.getText() + "\" to \"" + t.getText() + "\"");
        }
      }
    }
    if (node instanceof Text t && !(t instanceof FontIcon) && !t.getText().isBlank()) {
      Bounds b = t.localToScene(t.getBoundsInLocal());
      double left = 0;
      double right = scene.getWidth();
      boolean scrolls = false;
      for (Node p = t.getParent(); p != null; p = p.getParent()) {
        if (p instanceof ScrollPane || p instanceof ListView) {
          Bounds view = p.localToScene(p.getBoundsInLocal());
          left = Math.max(left, view.getMinX());
          double shown =
              p instanceof ScrollPane pane && pane.getViewportBounds().getWidth() > 0
                  ? view.getMinX()
                      + pane.getInsets().getLeft()
                      + pane.getViewportBounds().getWidth()
                      + 2
                  : view.getMaxX();
          right = Math.min(right, shown);
          scrolls = true;
        }
      }
      boolean out1 = b.getMinX() < left - SLACK || b.getMaxX() > right + SLACK;
      boolean out2 = !scrolls && (b.getMinY() < -SLACK || b.getMaxY() > scene.getHeight() + SLACK);
      if (out1 || out2) {
        out.add("outside: \"" + t.getText() + "\"");
      }
    }
    if (node instanceof Parent p) {
      p.getChildrenUnmodifiable().forEach(c -> cut(scene, c, out));
    }
  }
}

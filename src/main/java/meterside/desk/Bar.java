package meterside.desk;

import java.util.ArrayList;
import java.util.List;
import javafx.geometry.Insets;
import javafx.geometry.Orientation;
import javafx.scene.Node;
import javafx.scene.layout.Region;

/**
 * A bar: some items at the left, some at the right, in one row while they fit. Where the window is
 * narrow or the text large they go on in further rows, so that no word is cut.
 */
class Bar extends Region {
  private final double gap;
  private final double least;
  private final List<Node> left = new ArrayList<>();
  private final List<Node> right = new ArrayList<>();

  /**
   * An empty bar.
   *
   * @param gap room between items
   * @param least least height of a row
   */
  Bar(double gap, double least) {
    this.gap = gap;
    this.least = least;
    setMinHeight(USE_PREF_SIZE);
  }

  /** Puts items at the left. */
  final Bar left(Node... items) {
    left.addAll(List.of(items));
    getChildren().addAll(items);
    return this;
  }

  /** Puts items at the right. */
  final Bar right(Node... items) {
    right.addAll(List.of(items));
    getChildren().addAll(items);
    return this;
  }

  @Override
  public Orientation getContentBias() {
    return Orientation.HORIZONTAL;
  }

  private record Placed(Node node, double width) {}

  private static double width(Node n, double most) {
    return Math.min(most, Math.ceil(n.prefWidth(-1)));
  }

  private static List<Node> shown(List<Node> all) {
    return all.stream().filter(Node::isManaged).toList();
  }

  private double sum(List<Node> nodes, double most) {
    double w = 0;
    for (Node n : nodes) {
      w += width(n, most) + gap;
    }
    return Math.max(0, w - gap);
  }

  /** Items row by row; a row that begins with null stands at the right. */
  private List<List<Placed>> rows(double room) {
    List<Node> l = shown(left);
    List<Node> r = shown(right);
    List<List<Placed>> out = new ArrayList<>();
    if (sum(l, room) + (l.isEmpty() || r.isEmpty() ? 0 : gap) + sum(r, room) <= room + 0.5) {
      List<Placed> row = new ArrayList<>();
      l.forEach(n -> row.add(new Placed(n, width(n, room))));
      r.forEach(n -> row.add(new Placed(n, width(n, room))));
      out.add(row);
      return out;
    }
    for (List<Node> part : List.of(l, r)) {
      List<Placed> row = new ArrayList<>();
      double x = 0;
      for (Node n : part) {
        double w = width(n, room);
        if (!row.isEmpty() && x + w > room + 0.5) {
          out.add(row);
          row = new ArrayList<>();
          x = 0;
        }
        row.add(new Placed(n, w));
        x += w + gap;
      }
      if (!row.isEmpty()) {
        out.add(row);
      }
    }
    return out;
  }

  private static double height(List<Placed> row) {
    double h = 0;
    for (Placed p : row) {
      h = Math.max(h, p.node().prefHeight(p.width()));
    }
    return Math.ceil(h);
  }

  @Override
  protected double computePrefHeight(double width) {
    Insets in = getInsets();
    double room = (width < 0 ? getWidth() : width) - in.getLeft() - in.getRight();
    List<List<Placed>> rows = rows(room <= 0 ? Double.MAX_VALUE : room);
    double h = in.getTop() + in.getBottom();
    for (List<Placed> row : rows) {
      h += rows.size() == 1 ? Math.max(least, height(row)) : height(row) + 8;
    }
    return Math.max(h, least + in.getTop() + in.getBottom());
  }

  @Override
  protected double computePrefWidth(double height) {
    Insets in = getInsets();
    return in.getLeft()
        + in.getRight()
        + sum(shown(left), Double.MAX_VALUE)
        + gap
        + sum(shown(right), Double.MAX_VALUE);
  }

  @Override
  protected double computeMinWidth(double height) {
    return 0;
  }

  @Override
  protected void layoutChildren() {
    Insets in = getInsets();
    double room = getWidth() - in.getLeft() - in.getRight();
    List<List<Placed>> rows = rows(room);
    double y = in.getTop();
    for (List<Placed> row : rows) {
      double h = rows.size() == 1 ? getHeight() - in.getTop() - in.getBottom() : height(row) + 8;
      double x = in.getLeft();
      boolean both = rows.size() == 1;
      double rest = room;
      for (Placed p : row) {
        rest -= p.width() + gap;
      }
      rest += gap;
      boolean pushed = false;
      for (Placed p : row) {
        if (both && !pushed && right.contains(p.node())) {
          x += Math.max(0, rest);
          pushed = true;
        }
        double nh = Math.min(h, p.node().prefHeight(p.width()));
        p.node().resizeRelocate(snapPositionX(x), snapPositionY(y + (h - nh) / 2), p.width(), nh);
        x += p.width() + gap;
      }
      y += h;
    }
  }
}

package meterside.markup;

import java.util.ArrayList;
import java.util.List;
import meterside.job.Point;

/** Plane geometry for the label layout. All coordinates are design units, y down. */
final class Geometry {

  /**
   * A box with its sides along the axes.
   *
   * @param x left edge
   * @param y top edge
   * @param w width
   * @param h height
   */
  record Box(double x, double y, double w, double h) {
    double right() {
      return x + w;
    }

    double bottom() {
      return y + h;
    }

    double centreX() {
      return x + w / 2;
    }

    double centreY() {
      return y + h / 2;
    }

    /** The box grown by a margin on every side. */
    Box grown(double by) {
      return new Box(x - by, y - by, w + 2 * by, h + 2 * by);
    }

    boolean within(Box outer) {
      return x >= outer.x && y >= outer.y && right() <= outer.right() && bottom() <= outer.bottom();
    }

    /** Whether the boxes share more than an edge. */
    boolean overlaps(Box o) {
      return x < o.right() && o.x < right() && y < o.bottom() && o.y < bottom();
    }

    /** Distance of a point from the box; 0 inside. */
    double distance(double px, double py) {
      double dx = Math.max(0, Math.max(x - px, px - right()));
      double dy = Math.max(0, Math.max(y - py, py - bottom()));
      return Math.hypot(dx, dy);
    }

    /** Whether a segment touches the box (Liang and Barsky's clipping, 1984). */
    boolean touches(Segment s) {
      double t0 = 0;
      double t1 = 1;
      double dx = s.x2 - s.x1;
      double dy = s.y2 - s.y1;
      double[] p = {-dx, dx, -dy, dy};
      double[] q = {s.x1 - x, right() - s.x1, s.y1 - y, bottom() - s.y1};
      for (int k = 0; k < 4; k++) {
        if (p[k] == 0) {
          if (q[k] < 0) {
            return false;
          }
        } else {
          double t = q[k] / p[k];
          if (p[k] < 0) {
            t0 = Math.max(t0, t);
          } else {
            t1 = Math.min(t1, t);
          }
        }
      }
      return t0 <= t1;
    }
  }

  /** A straight segment. */
  record Segment(double x1, double y1, double x2, double y2) {
    double length() {
      return Math.hypot(x2 - x1, y2 - y1);
    }

    /** Distance of a point from the segment. */
    double distance(double px, double py) {
      double dx = x2 - x1;
      double dy = y2 - y1;
      double squared = dx * dx + dy * dy;
      double t = squared == 0 ? 0 : ((px - x1) * dx + (py - y1) * dy) / squared;
      t = Math.max(0, Math.min(1, t));
      return Math.hypot(x1 + t * dx - px, y1 + t * dy - py);
    }

    /** Whether the segments have a point in common. */
    boolean crosses(Segment o) {
      double a = side(o.x1, o.y1, o.x2, o.y2, x1, y1);
      double b = side(o.x1, o.y1, o.x2, o.y2, x2, y2);
      double c = side(x1, y1, x2, y2, o.x1, o.y1);
      double d = side(x1, y1, x2, y2, o.x2, o.y2);
      if (((a > 0 && b < 0) || (a < 0 && b > 0)) && ((c > 0 && d < 0) || (c < 0 && d > 0))) {
        return true;
      }
      return a == 0 && o.holds(x1, y1)
          || b == 0 && o.holds(x2, y2)
          || c == 0 && holds(o.x1, o.y1)
          || d == 0 && holds(o.x2, o.y2);
    }

    /** Distance between two segments; 0 if they cross. */
    double distance(Segment o) {
      if (crosses(o)) {
        return 0;
      }
      return Math.min(
          Math.min(distance(o.x1, o.y1), distance(o.x2, o.y2)),
          Math.min(o.distance(x1, y1), o.distance(x2, y2)));
    }

    private boolean holds(double px, double py) {
      return px >= Math.min(x1, x2)
          && px <= Math.max(x1, x2)
          && py >= Math.min(y1, y2)
          && py <= Math.max(y1, y2);
    }

    private static double side(double ax, double ay, double bx, double by, double px, double py) {
      return (bx - ax) * (py - ay) - (by - ay) * (px - ax);
    }
  }

  /**
   * The part of a polygon that lies in the unit square, edge by edge (Sutherland and Hodgman,
   * "Reentrant polygon clipping", Communications of the ACM 17, 1974). A polygon inside comes back
   * as it is.
   *
   * @return its corners; empty if nothing is left
   */
  static List<Point> clipped(List<Point> corners) {
    if (corners.stream().allMatch(Point::onPhoto)) {
      return corners;
    }
    List<Point> in = corners;
    for (int edge = 0; edge < 4; edge++) {
      List<Point> out = new ArrayList<>();
      for (int i = 0; i < in.size(); i++) {
        Point a = in.get(i);
        Point b = in.get((i + 1) % in.size());
        double da = inside(edge, a);
        double db = inside(edge, b);
        if (da >= 0) {
          out.add(a);
        }
        if (da >= 0 != db >= 0) {
          double t = da / (da - db);
          out.add(new Point(a.x() + t * (b.x() - a.x()), a.y() + t * (b.y() - a.y())));
        }
      }
      in = out;
    }
    return in.size() < 3
        ? List.of()
        : in.stream().map(p -> new Point(unit(p.x()), unit(p.y()))).toList();
  }

  /** How far a point lies inside an edge of the unit square. */
  private static double inside(int edge, Point p) {
    return switch (edge) {
      case 0 -> p.x();
      case 1 -> 1 - p.x();
      case 2 -> p.y();
      default -> 1 - p.y();
    };
  }

  private static double unit(double v) {
    return Math.max(0, Math.min(1, v));
  }

  private Geometry() {}
}

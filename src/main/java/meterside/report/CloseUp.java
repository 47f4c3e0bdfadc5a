package meterside.report;

import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import meterside.job.Point;
import meterside.markup.Cover;
import meterside.markup.Dimension;
import meterside.markup.Drawing;
import meterside.markup.Leader;
import meterside.markup.Plate;
import meterside.markup.Polygon;
import meterside.markup.Ring;
import meterside.markup.Shape;

/**
 * The part of a photo that shows a finding: its marks with some of what is round them, so that the
 * small picture beside the finding can be read. All values are fractions of the upright photo.
 *
 * @param x left edge
 * @param y top edge
 * @param width width
 * @param height height
 * @param drawing the finding's marks, in the frame of this part
 */
record CloseUp(double x, double y, double width, double height, Drawing drawing) {
  /** Never closer than this share of the photo's sides: what is round a part says where it is. */
  private static final double CLOSEST = 0.5;

  /** Room left round the marks, as a share of the photo's sides. */
  private static final double MARGIN = 0.04;

  /**
   * The close-up of a finding.
   *
   * @param figure the photo
   * @param marks numbers of the finding's marks on it; empty shows the whole photo without marks
   * @param aspect width by height of the upright photo
   */
  static CloseUp of(Figure figure, Set<Integer> marks, double aspect) {
    double[] box = {1, 1, 0, 0};
    List<Shape> own = new ArrayList<>();
    for (Shape shape : figure.closely().shapes()) {
      if (marks.contains(shape.mark())) {
        own.add(shape);
        reach(shape, aspect, box);
      }
    }
    if (own.isEmpty()) {
      return new CloseUp(0, 0, 1, 1, new Drawing(List.of(), List.of()));
    }
    double wide = Math.max(box[2] - box[0], box[3] - box[1]) + 2 * MARGIN;
    // The same share of both sides keeps the photo's shape.
    double side = Math.min(1, Math.max(CLOSEST, wide));
    double left = clamp((box[0] + box[2] - side) / 2, 1 - side);
    double top = clamp((box[1] + box[3] - side) / 2, 1 - side);
    CloseUp bare = new CloseUp(left, top, side, side, null);
    List<Shape> moved = own.stream().map(bare::moved).toList();
    return new CloseUp(left, top, side, side, new Drawing(moved, List.of()));
  }

  private static double clamp(double value, double max) {
    return Math.max(0, Math.min(max, value));
  }

  /** Widens the box (left, top, right, bottom) to hold a shape. */
  private static void reach(Shape shape, double aspect, double[] box) {
    // Lengths are fractions of the diagonal; these make them fractions of width and height.
    double perWidth = Math.hypot(aspect, 1) / aspect;
    double perHeight = Math.hypot(aspect, 1);
    if (shape instanceof Ring r) {
      double out = r.radius() + r.stroke() + r.halo();
      hold(box, r.centre().x() - out * perWidth, r.centre().y() - out * perHeight);
      hold(box, r.centre().x() + out * perWidth, r.centre().y() + out * perHeight);
    } else if (shape instanceof Plate p) {
      double x = p.topLeft().x();
      double y = p.topLeft().y();
      hold(box, x - p.halo() * perWidth, y - p.halo() * perHeight);
      hold(box, x + (p.width() + p.halo()) * perWidth, y + (p.height() + p.halo()) * perHeight);
    } else if (shape instanceof Polygon p) {
      p.corners().forEach(c -> hold(box, c.x(), c.y()));
    } else if (shape instanceof Dimension d) {
      hold(box, d.from().x(), d.from().y());
      hold(box, d.to().x(), d.to().y());
    }
  }

  private static void hold(double[] box, double x, double y) {
    box[0] = Math.min(box[0], x);
    box[1] = Math.min(box[1], y);
    box[2] = Math.max(box[2], x);
    box[3] = Math.max(box[3], y);
  }

  private Point moved(Point p) {
    return new Point((p.x() - x) / width, (p.y() - y) / height);
  }

  private List<Point> moved(List<Point> points) {
    return points.stream().map(this::moved).toList();
  }

  private Shape moved(Shape shape) {
    // Both sides shrink alike, and so does the diagonal that lengths are fractions of.
    double k = 1 / width;
    if (shape instanceof Ring r) {
      return new Ring(
          r.mark(), moved(r.centre()), r.radius() * k, r.stroke() * k, r.halo() * k, r.dot() * k);
    }
    if (shape instanceof Leader l) {
      return new Leader(l.mark(), moved(l.from()), moved(l.to()), l.stroke() * k, l.halo() * k);
    }
    if (shape instanceof Polygon p) {
      return new Polygon(p.mark(), moved(p.corners()), p.stroke() * k, p.halo() * k);
    }
    if (shape instanceof Dimension d) {
      return new Dimension(
          d.mark(), moved(d.from()), moved(d.to()), d.stroke() * k, d.halo() * k, d.tick() * k);
    }
    if (shape instanceof Cover c) {
      return new Cover(c.mark(), moved(c.corners()));
    }
    Plate p = (Plate) shape;
    List<Plate.Line> lines =
        p.lines().stream()
            .map(
                l ->
                    new Plate.Line(
                        l.text(),
                        l.x() * k,
                        l.baseline() * k,
                        l.size() * k,
                        l.width() * k,
                        l.bold()))
            .toList();
    return new Plate(
        p.mark(),
        p.number(),
        moved(p.topLeft()),
        p.width() * k,
        p.height() * k,
        p.corner() * k,
        p.border() * k,
        p.halo() * k,
        p.filled(),
        p.brief(),
        lines);
  }
}

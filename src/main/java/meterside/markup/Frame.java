package meterside.markup;

import meterside.job.Point;

/**
 * Maps a drawing to a picture of a certain size.
 *
 * @param width width of the shown photo, in the painter's units (pixels)
 * @param height height of the shown photo, in the same units
 */
public record Frame(double width, double height) {

  /** Refuses an empty frame. */
  public Frame {
    if (!(width > 0) || !(height > 0)) {
      throw new IllegalArgumentException("a frame needs a width and a height above 0");
    }
  }

  /** Length of the diagonal. */
  public double diagonal() {
    return Math.hypot(width, height);
  }

  /** Position of a point from the left edge. */
  public double x(Point p) {
    return p.x() * width;
  }

  /** Position of a point from the top edge. */
  public double y(Point p) {
    return p.y() * height;
  }

  /** A length that is given as a fraction of the diagonal. */
  public double length(double fraction) {
    return fraction * diagonal();
  }

  /** The point of the drawing that is shown at a position. */
  public Point point(double x, double y) {
    return new Point(x / width, y / height);
  }
}

package meterside.markup;

import meterside.job.Point;

/**
 * A dimension line: a straight line between the two ends of what was measured, with a tick across
 * each end. Its value stands on a {@link Plate}.
 *
 * @param mark number of the measurement
 * @param from one end
 * @param to the other end
 * @param stroke width of the line, fraction of the diagonal
 * @param halo width of the light border on either side, fraction of the diagonal
 * @param tick half the length of the ticks, fraction of the diagonal
 */
public record Dimension(int mark, Point from, Point to, double stroke, double halo, double tick)
    implements Shape {

  @Override
  public void paintWith(Brush brush) {
    brush.dimension(this);
  }

  /**
   * The strokes as painted: the line, then the ticks.
   *
   * @return three lines, each as x and y of its ends, in the frame's units
   */
  public double[][] lines(Frame frame) {
    double x1 = frame.x(from);
    double y1 = frame.y(from);
    double x2 = frame.x(to);
    double y2 = frame.y(to);
    double length = Math.hypot(x2 - x1, y2 - y1);
    double t = frame.length(tick);
    // Across the line; upright ticks for a line without length.
    double nx = length == 0 ? 0 : -(y2 - y1) / length * t;
    double ny = length == 0 ? t : (x2 - x1) / length * t;
    return new double[][] {
      {x1, y1, x2, y2},
      {x1 - nx, y1 - ny, x1 + nx, y1 + ny},
      {x2 - nx, y2 - ny, x2 + nx, y2 + ny}
    };
  }
}

package meterside.markup;

import meterside.job.Point;

/**
 * A ring on a part.
 *
 * @param mark number of the callout
 * @param centre its centre
 * @param radius radius of the line's middle, fraction of the diagonal
 * @param stroke width of the line, fraction of the diagonal
 * @param halo width of the light border on either side of the line, fraction of the diagonal
 * @param dot radius of the dot in it, fraction of the diagonal; 0 if it is not tied to a finding
 */
public record Ring(int mark, Point centre, double radius, double stroke, double halo, double dot)
    implements Shape {

  /** Whether it is tied to a finding. */
  public boolean hasDot() {
    return dot > 0;
  }

  @Override
  public void paintWith(Brush brush) {
    brush.ring(this);
  }
}

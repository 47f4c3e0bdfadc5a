package meterside.markup;

import meterside.job.Point;

/**
 * A straight line from a ring or outline to its plate.
 *
 * @param mark number of the callout or outline
 * @param from where it leaves the ring or outline
 * @param to where it meets the plate
 * @param stroke width of the line, fraction of the diagonal
 * @param halo width of the light border on either side of the line, fraction of the diagonal
 */
public record Leader(int mark, Point from, Point to, double stroke, double halo) implements Shape {

  @Override
  public void paintWith(Brush brush) {
    brush.leader(this);
  }
}

package meterside.markup;

import java.util.List;
import meterside.job.Point;

/**
 * A closed outline round a part or an area.
 *
 * @param mark number of the outline
 * @param corners at least three
 * @param stroke width of the line, fraction of the diagonal
 * @param halo width of the light border on either side of the line, fraction of the diagonal
 */
public record Polygon(int mark, List<Point> corners, double stroke, double halo) implements Shape {

  /** Copies the list. */
  public Polygon {
    corners = List.copyOf(corners);
  }

  @Override
  public void paintWith(Brush brush) {
    brush.polygon(this);
  }
}

package meterside.job;

import java.util.List;
import java.util.function.UnaryOperator;

/**
 * An outline round a part or an area.
 *
 * @param id number of the mark
 * @param photo the photo
 * @param part id of the part, or null
 * @param corners at least three corners of a closed polygon, on the photo
 * @param finding number of the finding it is tied to, or null
 * @param note a line of text, or null
 */
public record Outline(
    int id, PhotoId photo, String part, List<Point> corners, Integer finding, String note)
    implements Mark {

  /** Checks the number of corners, and that they lie on the photo. */
  public Outline {
    corners = List.copyOf(corners);
    if (corners.size() < 3 || !corners.stream().allMatch(Point::onPhoto)) {
      throw new EditRefused("mark.off-photo");
    }
  }

  /** The corners of a box, clockwise from the top left; arguments are fractions of the photo. */
  public static List<Point> boxCorners(double x, double y, double w, double h) {
    return List.of(
        new Point(x, y), new Point(x + w, y), new Point(x + w, y + h), new Point(x, y + h));
  }

  @Override
  public List<Point> points() {
    return corners;
  }

  @Override
  public Outline moved(UnaryOperator<Point> move) {
    return new Outline(id, photo, part, corners.stream().map(move).toList(), finding, note);
  }

  @Override
  public Outline tied(Integer to) {
    return new Outline(id, photo, part, corners, to, note);
  }
}

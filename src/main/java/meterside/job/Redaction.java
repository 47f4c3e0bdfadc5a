package meterside.job;

import java.util.List;
import java.util.function.UnaryOperator;

/**
 * An area that nobody outside may see: burnt into the pixels of everything that is delivered. The
 * original in the archive stays as it is.
 *
 * @param id number of the mark
 * @param photo the photo
 * @param corners at least three corners of a closed polygon, on the photo
 */
public record Redaction(int id, PhotoId photo, List<Point> corners) implements Mark {

  /** Checks the number of corners, and that they lie on the photo. */
  public Redaction {
    corners = List.copyOf(corners);
    if (corners.size() < 3 || !corners.stream().allMatch(Point::onPhoto)) {
      throw new EditRefused("mark.off-photo");
    }
  }

  /**
   * A redaction of a box.
   *
   * @param x left edge, fraction of the width
   * @param y top edge, fraction of the height
   * @param w width, fraction of the width
   * @param h height, fraction of the height
   */
  public static Redaction box(int id, PhotoId photo, double x, double y, double w, double h) {
    if (!(w > 0) || !(h > 0)) {
      throw new EditRefused("mark.empty-box");
    }
    return new Redaction(id, photo, Outline.boxCorners(x, y, w, h));
  }

  @Override
  public List<Point> points() {
    return corners;
  }

  @Override
  public Redaction moved(UnaryOperator<Point> move) {
    return new Redaction(id, photo, corners.stream().map(move).toList());
  }

  @Override
  public Redaction tied(Integer to) {
    return this;
  }
}

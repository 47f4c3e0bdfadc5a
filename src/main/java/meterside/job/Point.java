package meterside.job;

/**
 * A point on a photo, as fractions of the EXIF-upright photo's width and height, origin top left.
 *
 * @param x 0 at the left edge, 1 at the right
 * @param y 0 at the top edge, 1 at the bottom
 */
public record Point(double x, double y) {

  /** Refuses what is not a number. */
  public Point {
    if (!Double.isFinite(x) || !Double.isFinite(y)) {
      throw new EditRefused("point.not-a-number");
    }
  }

  /** Whether the point lies on the photo, its edges included. */
  public boolean onPhoto() {
    return x >= 0 && x <= 1 && y >= 0 && y <= 1;
  }
}

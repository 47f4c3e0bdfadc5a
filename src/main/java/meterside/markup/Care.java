package meterside.markup;

/**
 * How carefully a photo was taken and its points were placed. All but the focal length are half the
 * width of a band that holds 95 times of 100.
 *
 * @param clickPixels how far a placed point is from where it should be, along x and along y, in
 *     pixels of the upright photo
 * @param tiltDegrees how far the wall is turned away from the view, whichever way; only used where
 *     a single length is the reference
 * @param focalPixels focal length in pixels of the upright photo
 * @param lensShare what lens distortion does to a length, as a share of it
 */
public record Care(double clickPixels, double tiltDegrees, double focalPixels, double lensShare) {
  /** Diagonal of a frame of 35 mm film, in millimetres: 36 by 24. */
  private static final double FILM_DIAGONAL = Math.hypot(36, 24);

  /** Focal length of a phone's main camera as for 35 mm film: common practice, no source. */
  private static final double PHONE = 26;

  /**
   * The usual care: points placed to 1.5 pixels, a wall seen from up to 30 degrees to the side, a
   * phone's lens with its distortion corrected to half a percent (common practice, no source).
   *
   * @param frame the upright photo in its full size
   * @param focal35 focal length in millimetres as for 35 mm film (EXIF FocalLengthIn35mmFilm), or
   *     null if unknown
   */
  public static Care usual(Frame frame, Double focal35) {
    double mm = focal35 == null || !(focal35 > 0) ? PHONE : focal35;
    return new Care(1.5, 30, mm / FILM_DIAGONAL * frame.diagonal(), 0.005);
  }

  /** The same for a view of which nothing is said: to 45 degrees from the side. */
  public Care unsaid() {
    return new Care(clickPixels, 45, focalPixels, lensShare);
  }

  /** The same for a view of which the inspector says that it is square-on: to 6 degrees. */
  public Care squareOn() {
    return new Care(clickPixels, 6, focalPixels, lensShare);
  }
}

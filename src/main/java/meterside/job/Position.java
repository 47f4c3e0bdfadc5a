package meterside.job;

/**
 * Where a photo was taken, as recorded (EXIF GPS IFD). Good for "this house", useless for which
 * wall.
 *
 * @param latitude degrees, north positive, −90 to 90
 * @param longitude degrees, east positive, −180 to 180
 * @param errorMetres GPSHPositioningError, horizontal, or null
 * @param heading GPSImgDirection in degrees from north, 0 to below 360, or null
 * @param headingMagnetic whether the heading is from magnetic north (ref "M")
 */
public record Position(
    double latitude,
    double longitude,
    Double errorMetres,
    Double heading,
    boolean headingMagnetic) {

  /** Refuses impossible coordinates. */
  public Position {
    if (!(Math.abs(latitude) <= 90) || !(Math.abs(longitude) <= 180)) {
      throw new IllegalArgumentException("impossible position");
    }
  }
}

package meterside.job;

/**
 * How a photo is shown in what is delivered: turned, straightened, cropped, brighter, with more
 * contrast. A way of looking only: marks keep their places on the photo, and the original in the
 * archive stays as it is.
 *
 * <p>In this order: the upright photo is turned by quarters; then it is turned by {@code
 * straighten} about its middle, and the largest part of the same shape that has no empty corner is
 * kept; of that the crop is taken. The crop's members are fractions of width and height of what
 * straightening kept, origin top left.
 *
 * @param turn quarter turns clockwise, 0 to 3
 * @param straighten degrees clockwise, from -{@value #MOST_DEGREES} to {@value #MOST_DEGREES}
 * @param cropX left edge of the crop, 0 to 1
 * @param cropY top edge of the crop, 0 to 1
 * @param cropWidth width of the crop, at least {@value #LEAST_CROP}
 * @param cropHeight height of the crop, at least {@value #LEAST_CROP}
 * @param brightness -1 (darkest) to 1 (brightest), 0 as taken
 * @param contrast -1 (flattest) to 1 (hardest), 0 as taken
 */
public record ReportView(
    int turn,
    double straighten,
    double cropX,
    double cropY,
    double cropWidth,
    double cropHeight,
    double brightness,
    double contrast) {

  /** The most that a photo can be straightened by, in degrees either way. */
  public static final double MOST_DEGREES = 15;

  /** The least share of a side that a crop keeps. */
  public static final double LEAST_CROP = 0.05;

  /** As it was taken. */
  public static final ReportView AS_TAKEN = new ReportView(0, 0, 0, 0, 1, 1, 0, 0);

  /** How far sums of fractions may lie beside 1. */
  private static final double HAIR = 1e-9;

  /** Refuses values out of their range. */
  public ReportView {
    boolean good =
        turn >= 0
            && turn <= 3
            && Math.abs(straighten) <= MOST_DEGREES
            && cropX >= 0
            && cropY >= 0
            && cropWidth >= LEAST_CROP - HAIR
            && cropHeight >= LEAST_CROP - HAIR
            && cropX + cropWidth <= 1 + HAIR
            && cropY + cropHeight <= 1 + HAIR
            && Math.abs(brightness) <= 1
            && Math.abs(contrast) <= 1;
    if (!good) {
      throw new EditRefused("view.range");
    }
  }

  /** The same with so many more quarter turns clockwise; the crop turns with the photo. */
  public ReportView turned(int quarters) {
    ReportView v = this;
    for (int i = Math.floorMod(quarters, 4); i > 0; i--) {
      v =
          new ReportView(
              (v.turn + 1) % 4,
              v.straighten,
              Math.max(0, 1 - v.cropY - v.cropHeight),
              v.cropX,
              v.cropHeight,
              v.cropWidth,
              v.brightness,
              v.contrast);
    }
    return v;
  }

  /** The same, straightened by so many degrees clockwise; more than allowed is cut off. */
  public ReportView straightened(double degrees) {
    double to = Math.max(-MOST_DEGREES, Math.min(MOST_DEGREES, degrees));
    return new ReportView(turn, to, cropX, cropY, cropWidth, cropHeight, brightness, contrast);
  }

  /** The same with another crop, held inside the picture. */
  public ReportView cropped(double x, double y, double width, double height) {
    double w = Math.max(LEAST_CROP, Math.min(1, width));
    double h = Math.max(LEAST_CROP, Math.min(1, height));
    return new ReportView(
        turn,
        straighten,
        Math.max(0, Math.min(1 - w, x)),
        Math.max(0, Math.min(1 - h, y)),
        w,
        h,
        brightness,
        contrast);
  }

  /** The same with other tones; more than allowed is cut off. */
  public ReportView toned(double brighter, double harder) {
    return new ReportView(
        turn,
        straighten,
        cropX,
        cropY,
        cropWidth,
        cropHeight,
        Math.max(-1, Math.min(1, brighter)),
        Math.max(-1, Math.min(1, harder)));
  }

  /** Whether a part of the photo is left out, be it by the crop or by straightening. */
  public boolean leavesOut() {
    return straighten != 0 || cropWidth < 1 || cropHeight < 1;
  }

  /** Whether brightness or contrast differ from the photo's own. */
  public boolean tonesChanged() {
    return brightness != 0 || contrast != 0;
  }
}

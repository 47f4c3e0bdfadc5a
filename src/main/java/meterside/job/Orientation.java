package meterside.job;

/**
 * How the stored pixels must be turned to stand upright: the EXIF Orientation tag 0x0112 (CIPA
 * DC-008, section on Orientation). Values outside 1 to 8 occur in real files and count as 1.
 *
 * <p>{@link #toUpright} and {@link #toStored} map points given as fractions of width and height,
 * origin top left, between the stored and the upright picture.
 */
public enum Orientation {
  /** 1: as stored. */
  NORMAL(1, false),
  /** 2: mirrored left to right. */
  MIRROR_HORIZONTAL(2, false),
  /** 3: turned by 180 degrees. */
  ROTATE_180(3, false),
  /** 4: mirrored top to bottom. */
  MIRROR_VERTICAL(4, false),
  /** 5: mirrored along the main diagonal. */
  TRANSPOSE(5, true),
  /** 6: to be turned by 90 degrees clockwise. */
  ROTATE_90(6, true),
  /** 7: mirrored along the other diagonal. */
  TRANSVERSE(7, true),
  /** 8: to be turned by 270 degrees clockwise. */
  ROTATE_270(8, true);

  private final int tag;
  private final boolean swaps;

  Orientation(int tag, boolean swaps) {
    this.tag = tag;
    this.swaps = swaps;
  }

  /** The orientation for a tag value; any illegal value is {@link #NORMAL}. */
  public static Orientation of(int tagValue) {
    return tagValue >= 1 && tagValue <= 8 ? values()[tagValue - 1] : NORMAL;
  }

  /** The tag's value, 1 to 8. */
  public int tag() {
    return tag;
  }

  /** Whether width and height change places. */
  public boolean swapsSides() {
    return swaps;
  }

  /** Maps a point of the stored picture to the upright one. */
  public Point toUpright(Point stored) {
    double x = stored.x();
    double y = stored.y();
    return switch (this) {
      case NORMAL -> stored;
      case MIRROR_HORIZONTAL -> new Point(1 - x, y);
      case ROTATE_180 -> new Point(1 - x, 1 - y);
      case MIRROR_VERTICAL -> new Point(x, 1 - y);
      case TRANSPOSE -> new Point(y, x);
      case ROTATE_90 -> new Point(1 - y, x);
      case TRANSVERSE -> new Point(1 - y, 1 - x);
      case ROTATE_270 -> new Point(y, 1 - x);
    };
  }

  /** Maps a point of the upright picture to the stored one. */
  public Point toStored(Point upright) {
    double x = upright.x();
    double y = upright.y();
    return switch (this) {
      case ROTATE_90 -> new Point(y, 1 - x);
      case ROTATE_270 -> new Point(1 - y, x);
      // All others are their own inverse.
      default -> toUpright(upright);
    };
  }
}

package meterside.markup;

import java.util.Locale;
import meterside.job.Sentences;

/** Why a measurement in a photo is to be doubted, or is refused. */
public enum Doubt {
  /** The reference is short in the photo, so that a pixel's error counts much. */
  SHORT_REFERENCE,
  /** What is measured is short in the photo. */
  SHORT_TARGET,
  /** The plane is seen at a grazing angle. */
  GRAZING,
  /** What is measured lies far from the reference. */
  FAR_FROM_REFERENCE,
  /** What is measured runs in another direction than the reference. */
  OTHER_DIRECTION,
  /** A single length is the reference, and how the wall is seen counts much. */
  NOT_SQUARE_ON,
  /** A single length is the reference, and the inspector says that the wall is seen sideways. */
  FROM_THE_SIDE,
  /** The corners do not make the picture of a rectangle. */
  NOT_A_RECTANGLE,
  /** A point lies beyond the plane's horizon. */
  BEYOND_HORIZON,
  /** The points do not lie on one line. */
  NOT_ON_A_LINE,
  /** The photo's size in pixels is not known. */
  UNKNOWN_SIZE,
  /** The error band is wide. */
  WIDE_BAND;

  /** What to say to the inspector. */
  public String sentence() {
    return Sentences.in(Doubt.class).say("doubt." + name().toLowerCase(Locale.ROOT));
  }
}

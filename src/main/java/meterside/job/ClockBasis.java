package meterside.job;

/** How the offset of a camera's clock is known. */
public enum ClockBasis {
  /** Nobody has said anything: taken as right. */
  ASSUMED,
  /** Set by the inspector. */
  BY_HAND,
  /** GPS time against the camera's time. */
  GPS,
  /** Two photos of the same moment. */
  PAIR,
  /** A photographed clock code. */
  CODE,
  /** The offset that fits the walk best. */
  FITS_THE_WALK
}

package meterside.job;

/**
 * How far a camera's clock is off.
 *
 * @param offsetMillis camera clock minus true time, in milliseconds; positive if it is fast
 * @param basis how that is known
 * @param uncertaintySeconds half width of the band in which the true offset lies, or null if not
 *     known
 */
public record Clock(long offsetMillis, ClockBasis basis, Double uncertaintySeconds) {

  /** A clock nobody has said anything about. */
  public static final Clock ASSUMED = new Clock(0, ClockBasis.ASSUMED, null);

  /** The offset in seconds. */
  public double offsetSeconds() {
    return offsetMillis / 1000.0;
  }
}

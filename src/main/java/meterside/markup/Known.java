package meterside.markup;

/**
 * A known length.
 *
 * @param metres its length, above 0
 * @param plusMinus half the width of the band in which it lies 95 times of 100, in metres, 0 or
 *     more
 */
public record Known(double metres, double plusMinus) {
  /** Refuses lengths that are none. */
  public Known {
    if (!(metres > 0) || !(plusMinus >= 0) || !Double.isFinite(metres + plusMinus)) {
      throw new IllegalArgumentException("a known length is above 0 and its error not below");
    }
  }

  /** A length in inches. */
  public static Known inches(double inches, double plusMinus) {
    return new Known(inches * Measuring.INCH, plusMinus * Measuring.INCH);
  }
}

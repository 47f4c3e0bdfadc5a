package meterside.job;

import java.util.OptionalDouble;

/**
 * How a photo was exposed, as recorded.
 *
 * @param fNumber FNumber 0x829d, or null
 * @param seconds ExposureTime 0x829a in seconds, or null
 * @param iso photographic sensitivity 0x8827, or null
 */
public record Exposure(Double fNumber, Double seconds, Double iso) {

  /**
   * The exposure value at ISO 100, {@code log2(N²/t) − log2(ISO/100)} (APEX, CIPA DC-008 annex on
   * APEX units). Sunlit scenes lie near 15, rooms near 5. Empty where a figure is missing, not
   * positive or not finite.
   */
  public OptionalDouble ev100() {
    if (!positive(fNumber) || !positive(seconds) || !positive(iso)) {
      return OptionalDouble.empty();
    }
    double ev = log2(fNumber * fNumber / seconds) - log2(iso / 100);
    return Double.isFinite(ev) ? OptionalDouble.of(ev) : OptionalDouble.empty();
  }

  private static boolean positive(Double v) {
    return v != null && Double.isFinite(v) && v > 0;
  }

  private static double log2(double v) {
    return Math.log(v) / Math.log(2);
  }
}

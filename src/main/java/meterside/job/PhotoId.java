package meterside.job;

import java.util.Locale;
import java.util.regex.Pattern;

/**
 * The identity of a photo: the SHA-256 (FIPS 180-4) of the camera's bytes.
 *
 * @param hex 64 lower-case hexadecimal digits
 */
public record PhotoId(String hex) implements Comparable<PhotoId> {
  private static final Pattern HEX = Pattern.compile("[0-9a-f]{64}");

  /** Checks the form and lowers the case. */
  public PhotoId {
    hex = hex.toLowerCase(Locale.ROOT);
    if (!HEX.matcher(hex).matches()) {
      throw new IllegalArgumentException("not a SHA-256: " + hex);
    }
  }

  /** The first eight digits, enough to tell photos of one job apart on a screen. */
  public String brief() {
    return hex.substring(0, 8);
  }

  @Override
  public int compareTo(PhotoId other) {
    return hex.compareTo(other.hex);
  }

  @Override
  public String toString() {
    return hex;
  }
}

package meterside.markup;

import java.awt.Color;
import java.util.Locale;

/**
 * The colours of marks on a photo. They are the same in light and dark windows, since the photo is.
 * Contrast of text (WCAG 2.2, success criterion 1.4.3) is at least 4.5 to 1 on both plates; a test
 * works it out.
 */
public enum Tone {
  /** Lines, text on light plates, ground of dark plates. */
  INK(0x1F2A33),
  /** Ground of light plates, first line on dark plates, halos. */
  PAPER(0xFFFDF9),
  /** Second line on light plates. */
  QUIET_ON_PAPER(0x46535D),
  /** Second line on dark plates. */
  QUIET_ON_INK(0xECE8DF),
  /** Covers of redactions: a middle grey, so that no cover looks like a dark plate. */
  COVER(0x5D6B76);

  private final int rgb;

  Tone(int rgb) {
    this.rgb = rgb;
  }

  /** The colour as 0xRRGGBB, sRGB. */
  public int rgb() {
    return rgb;
  }

  /** The colour for Java2D. */
  public Color color() {
    return new Color(rgb);
  }

  /** The colour as {@code #1f2a33}. */
  public String hex() {
    return String.format(Locale.ROOT, "#%06x", rgb);
  }
}

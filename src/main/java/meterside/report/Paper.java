package meterside.report;

import java.util.Locale;

/** The paper a report is printed on. */
public enum Paper {
  /** US Letter, 8.5 by 11 inches. */
  LETTER(612, 792),
  /** A4 of ISO 216, 210 by 297 millimetres. */
  A4(210 / 25.4 * 72, 297 / 25.4 * 72);

  /** Margin left and right in points. */
  private static final double MARGIN = 0.7 * 72;

  private final double width;
  private final double height;

  Paper(double width, double height) {
    this.width = width;
    this.height = height;
  }

  /** Width of the sheet in points, 1/72 inch. */
  public double width() {
    return width;
  }

  /** Height of the sheet in points, 1/72 inch. */
  public double height() {
    return height;
  }

  /** Width of what is printed between the margins, in points. */
  double textWidth() {
    return width - 2 * MARGIN;
  }

  /** The size for a style sheet: "612pt 792pt". */
  String css() {
    return String.format(Locale.ROOT, "%.2fpt %.2fpt", width, height);
  }
}

package meterside.markup;

import java.util.List;
import java.util.stream.Collectors;
import meterside.job.Point;

/**
 * A plate with number and term. {@code x}, {@code baseline} and all lengths are fractions of the
 * diagonal.
 *
 * @param mark number of the callout or outline
 * @param number what it is called on this photo, from 1
 * @param topLeft its top left corner
 * @param width width of the border's outer edge
 * @param height height of the border's outer edge
 * @param corner radius of its corners
 * @param border width of its border line, inside the outer edge
 * @param halo width of the light border outside the outer edge
 * @param filled true if it is filled dark: tied to a finding; false if outlined on light
 * @param brief true if it shows only its number, and the legend says the rest
 * @param lines its lines of text, from the top
 */
public record Plate(
    int mark,
    int number,
    Point topLeft,
    double width,
    double height,
    double corner,
    double border,
    double halo,
    boolean filled,
    boolean brief,
    List<Line> lines)
    implements Shape {

  /**
   * A line of text on a plate, positions from the plate's top left corner.
   *
   * @param text what it says; every character is one that Roboto has
   * @param x left edge of the text
   * @param baseline its baseline
   * @param size size of the type (height of the em square)
   * @param width width of the text as set
   * @param bold true for Roboto Bold, false for Roboto Regular
   */
  public record Line(
      String text, double x, double baseline, double size, double width, boolean bold) {}

  /** Copies the list. */
  public Plate {
    lines = List.copyOf(lines);
  }

  /** Its text in one line. */
  public String text() {
    return lines.stream().map(Line::text).collect(Collectors.joining(": "));
  }

  @Override
  public void paintWith(Brush brush) {
    brush.plate(this);
  }
}

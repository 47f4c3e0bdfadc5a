package meterside.markup;

import java.util.List;
import meterside.job.Point;

/**
 * The flat opaque cover of a redaction. Where it crosses itself everything inside counts as
 * covered.
 *
 * <p>A cover hides pixels only once they are burnt ({@link GraphicsPainter#burn}); painted over a
 * picture that is delivered beneath it, it hides nothing.
 *
 * @param mark number of the redaction
 * @param corners at least three
 */
public record Cover(int mark, List<Point> corners) implements Shape {

  /** Copies the list. */
  public Cover {
    corners = List.copyOf(corners);
  }

  @Override
  public void paintWith(Brush brush) {
    brush.cover(this);
  }
}

package meterside.job;

import java.util.List;
import java.util.function.UnaryOperator;

/** Something drawn on a photo. Marks live in the journal; the photo itself is never changed. */
public sealed interface Mark permits Callout, Outline, Redaction, Measure, Spot {
  /** Number of the mark, unique in the job and never used again. */
  int id();

  /** The photo it lies on. */
  PhotoId photo();

  /** Id of the part it names, or null. */
  default String part() {
    return null;
  }

  /** Number of the finding it is tied to, or null. */
  default Integer finding() {
    return null;
  }

  /** The line of text the inspector gave it, or null. */
  default String note() {
    return null;
  }

  /** The points of the photo it rests on; a plate placed by hand is none of them. */
  List<Point> points();

  /** The same mark with each of its points moved. */
  Mark moved(UnaryOperator<Point> move);

  /** The same mark tied to a finding, or untied for null; a mark that can't be tied stays. */
  Mark tied(Integer finding);
}

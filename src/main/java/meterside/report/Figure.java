package meterside.report;

import java.util.List;
import meterside.job.Mark;
import meterside.job.Photo;
import meterside.job.StopKey;
import meterside.job.TrueTime;
import meterside.markup.Drawing;
import meterside.markup.Legend;
import meterside.markup.Ring;

/**
 * A photo of the report.
 *
 * @param number 1, 2 … in the order of the walk
 * @param photo the photo
 * @param at the stop it lies at, or null if it was not put at one
 * @param title what that stop is called
 * @param time when it was taken
 * @param drawing its marks, ready to be painted
 * @param marks its callouts, outlines and redactions
 * @param fileName name of the marked photo within the report's folder
 */
record Figure(
    int number,
    Photo photo,
    StopKey at,
    String title,
    TrueTime time,
    Drawing drawing,
    List<Mark> marks,
    String fileName) {

  /** "Figure 4". */
  String label() {
    return Words.say("figure.label", number);
  }

  /**
   * The note that the inspector wrote on a mark, or null. (A plate without one shows what its
   * finding says; the page says that once, at the finding.)
   */
  String note(Legend legend) {
    for (Mark mark : marks) {
      if (mark.id() == legend.markId()) {
        String note = mark.note();
        return note == null || note.isBlank() ? null : note.strip();
      }
    }
    return null;
  }

  /** Radius of the rings of a callout, as a fraction of the photo's diagonal; 0 if it has none. */
  double radius(int mark) {
    return drawing.shapes().stream()
        .filter(s -> s instanceof Ring r && r.mark() == mark)
        .mapToDouble(s -> ((Ring) s).radius())
        .findFirst()
        .orElse(0);
  }

  /** The anchor of the figure on the page. */
  String anchor() {
    return "figure-" + number;
  }
}

package meterside.report;

import java.util.List;
import meterside.job.Mark;
import meterside.job.Measure;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.Spot;
import meterside.job.StopKey;
import meterside.job.TrueTime;
import meterside.markup.ClearanceNote;
import meterside.markup.Delivered;
import meterside.markup.Drawing;
import meterside.markup.Legend;
import meterside.markup.Ring;
import meterside.trade.Trade;

/**
 * A photo of the report.
 *
 * @param number 1, 2 … in the order of the walk
 * @param photo the photo
 * @param at the stop it lies at, or null if it was not put at one
 * @param title what that stop is called
 * @param time when it was taken
 * @param view how it is shown: turned, cropped, brighter; maps its points to the picture
 * @param drawing its marks in that picture, ready to be painted
 * @param closely the same with plates of half to two thirds the size, for the part of it that
 *     stands beside a finding
 * @param marks its marks, on the photo itself
 * @param fileName name of the marked photo within the report's folder
 */
record Figure(
    int number,
    Photo photo,
    StopKey at,
    String title,
    TrueTime time,
    Delivered view,
    Drawing drawing,
    Drawing closely,
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
        if (mark instanceof Spot) {
          return legend.note(); // what the close photo is called
        }
        if (mark instanceof Measure m) {
          String by = legend.note();
          return ClearanceNote.printed(m, Trade.standard()).map(c -> by + ". " + c).orElse(by);
        }
        String note = mark.note();
        return note == null || note.isBlank() ? null : note.strip();
      }
    }
    return null;
  }

  /**
   * Radius of a callout's rings, as a fraction of the whole photo's diagonal; 0 if none is drawn.
   */
  double radius(int mark) {
    return drawing.shapes().stream()
        .filter(s -> s instanceof Ring r && r.mark() == mark)
        .mapToDouble(s -> ((Ring) s).radius() * share())
        .findFirst()
        .orElse(0);
  }

  /** The diagonal of what is shown, as a share of the whole photo's. */
  private double share() {
    double whole = Math.hypot(photo.uprightWidth(), photo.uprightHeight());
    return whole == 0 ? 1 : Math.hypot(view.width(), view.height()) / whole;
  }

  /** The anchor of the figure on the page. */
  String anchor() {
    return "figure-" + number;
  }

  /** Whether anything of a mark is seen in the delivered picture. */
  boolean shows(Mark mark) {
    return drawing.shapes().stream().anyMatch(s -> s.mark() == mark.id());
  }

  /** The photos that show a part of this one from close by. */
  List<PhotoId> closeOnes() {
    return marks.stream().filter(m -> m instanceof Spot).map(m -> ((Spot) m).close()).toList();
  }
}

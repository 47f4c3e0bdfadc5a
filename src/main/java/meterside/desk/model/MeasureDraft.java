package meterside.desk.model;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import meterside.job.Measure;
import meterside.job.MeasureWay;
import meterside.job.Photo;
import meterside.job.Point;
import meterside.job.Reference;
import meterside.markup.Doubt;
import meterside.markup.Measured;
import meterside.markup.Measuring;

/**
 * A measurement while its points are being placed: first those of the thing of known size, then
 * both ends of what is measured. Needs no toolkit.
 */
public final class MeasureDraft {
  private final Photo photo;
  private final Reference reference;
  private final List<Point> points = new ArrayList<>();
  private Seen seen = Seen.NEARLY;
  private String clearance;
  private boolean clearancePrints;

  /** How the wall is seen, by what the inspector says; counts where a single length is known. */
  public enum Seen {
    /** Square-on. */
    SQUARE_ON,
    /** Up to 45 degrees from the side, or nothing was said. */
    NEARLY,
    /** More from the side: a single length is refused. */
    FROM_THE_SIDE
  }

  /** A draft on a photo, by a thing of known size. */
  public MeasureDraft(Photo photo, Reference reference) {
    this.photo = photo;
    this.reference = reference;
  }

  /** The thing of known size. */
  public Reference reference() {
    return reference;
  }

  /** The points placed so far. */
  public List<Point> points() {
    return List.copyOf(points);
  }

  /** How many of them belong to the thing of known size. */
  public int known() {
    return reference.rectangle() ? 4 : 2;
  }

  /** Whether every point is placed. */
  public boolean complete() {
    return points.size() == known() + 2;
  }

  /** Places the next point. */
  public void place(Point at) {
    if (!complete()) {
      points.add(at);
    }
  }

  /** Moves a point that was placed. */
  public void move(int index, Point to) {
    points.set(index, to);
  }

  /** Takes the last point away; false if there is none. */
  public boolean takeBack() {
    if (points.isEmpty()) {
      return false;
    }
    points.remove(points.size() - 1);
    return true;
  }

  /** What to do next, in a sentence. */
  public String hint() {
    int n = points.size();
    if (n < known()) {
      return reference.rectangle()
          ? Words.say("measure.corner", n + 1, reference.name())
          : Words.say(n == 0 ? "measure.end-one" : "measure.end-two", reference.name());
    }
    return Words.say(
        n == known() ? "measure.from" : n == known() + 1 ? "measure.to" : "measure.done");
  }

  /** How the inspector says that the wall is seen. */
  public Seen seen() {
    return seen;
  }

  /** Says how the wall is seen. */
  public void seen(Seen how) {
    seen = how;
  }

  /**
   * Puts a published clearance beside it.
   *
   * @param row its id, or null for none
   * @param prints whether it goes into reports
   */
  public void clearance(String row, boolean prints) {
    clearance = row;
    clearancePrints = row != null && prints;
  }

  /** The result; empty while points are missing. */
  public Optional<Measured> result() {
    if (!complete()) {
      return Optional.empty();
    }
    if (seen == Seen.FROM_THE_SIDE && !reference.rectangle()) {
      return Optional.of(Measured.refuse(Doubt.FROM_THE_SIDE));
    }
    return Optional.of(
        Measuring.measured(
            photo,
            reference,
            points.subList(0, known()),
            seen == Seen.SQUARE_ON,
            points.get(known()),
            points.get(known() + 1)));
  }

  /** The measurement to keep; empty while there is no result, or it is refused. */
  public Optional<Measure> measure(int id) {
    return result()
        .filter(r -> r.refused() == null)
        .map(
            r ->
                new Measure(
                    id,
                    photo.id(),
                    reference.rectangle() ? MeasureWay.ON_PLANE : MeasureWay.ALONG_LENGTH,
                    reference,
                    points.subList(0, known()),
                    seen == Seen.SQUARE_ON,
                    points.get(known()),
                    points.get(known() + 1),
                    r.metres(),
                    r.plusMinus(),
                    null,
                    null,
                    clearance,
                    clearancePrints));
  }

  /** A kept measurement whose points were moved, worked out again; empty if it is refused. */
  public static Optional<Measure> again(Photo photo, Measure moved) {
    Measured r = Measuring.measured(photo, moved);
    return r.refused() == null
        ? Optional.of(moved.resulting(r.metres(), r.plusMinus()))
        : Optional.empty();
  }
}

package meterside.desk.model;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import meterside.job.Measure;
import meterside.job.MeasureWay;
import meterside.job.Photo;
import meterside.job.Point;
import meterside.job.Reference;
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
  private boolean squareOn;
  private String clearance;
  private boolean clearancePrints;

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

  /** Whether the inspector says that the view is square-on. */
  public boolean squareOn() {
    return squareOn;
  }

  /** Says whether the view is square-on. */
  public void squareOn(boolean on) {
    squareOn = on;
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
    return complete()
        ? Optional.of(
            Measuring.measured(
                photo,
                reference,
                points.subList(0, known()),
                squareOn,
                points.get(known()),
                points.get(known() + 1)))
        : Optional.empty();
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
                    squareOn,
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

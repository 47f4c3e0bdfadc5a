package meterside.job;

import java.util.ArrayList;
import java.util.List;
import java.util.function.UnaryOperator;

/**
 * A length measured in a photo, from the ground, touching nothing. An estimate with its error band.
 * The result is kept as it was worked out, so that an old job opens as it was left.
 *
 * @param id number of the mark
 * @param photo the photo
 * @param way how it was measured
 * @param reference what of known size it was measured by
 * @param known where that lies: the two ends of a length, or the four corners of a rectangle in
 *     turn, the first two along its width
 * @param squareOn whether the inspector says that the reference's plane is seen square-on
 * @param from one end of what was measured
 * @param to its other end
 * @param metres the result
 * @param plusMinus half the width of the band in which the true length lies 95 times of 100, in
 *     metres
 * @param finding number of the finding it is tied to, or null
 * @param note a line of text, or null
 * @param clearance id of the published clearance that is shown beside it, or null
 * @param clearancePrints whether that goes into reports too; a private note if not
 */
public record Measure(
    int id,
    PhotoId photo,
    MeasureWay way,
    Reference reference,
    List<Point> known,
    boolean squareOn,
    Point from,
    Point to,
    double metres,
    double plusMinus,
    Integer finding,
    String note,
    String clearance,
    boolean clearancePrints)
    implements Mark {

  /** Checks that its points fit the way, and that the result is a length. */
  public Measure {
    known = List.copyOf(known);
    boolean plane = way == MeasureWay.ON_PLANE;
    if (known.size() != (plane ? 4 : 2) || reference != null && reference.rectangle() != plane) {
      throw new EditRefused("measure.reference");
    }
    boolean on = known.stream().allMatch(Point::onPhoto);
    if (!on || from != null && !from.onPhoto() || to != null && !to.onPhoto()) {
      throw new EditRefused("mark.off-photo");
    }
    if (!(metres > 0) || !(plusMinus >= 0) || !Double.isFinite(metres + plusMinus)) {
      throw new EditRefused("measure.result");
    }
  }

  /** The reference's points, then both ends of what was measured. */
  @Override
  public List<Point> points() {
    List<Point> all = new ArrayList<>(known);
    all.add(from);
    all.add(to);
    return List.copyOf(all);
  }

  @Override
  public Measure moved(UnaryOperator<Point> move) {
    return at(points().stream().map(move).toList());
  }

  /** The same with other points, in the order of {@link #points}; the result stays. */
  public Measure at(List<Point> points) {
    return with(points, metres, plusMinus, finding, note, clearance, clearancePrints);
  }

  /** The same with another result. */
  public Measure resulting(double length, double error) {
    return with(points(), length, error, finding, note, clearance, clearancePrints);
  }

  @Override
  public Measure tied(Integer number) {
    return with(points(), metres, plusMinus, number, note, clearance, clearancePrints);
  }

  /** The same with another line of text, or none for null. */
  public Measure noted(String text) {
    return with(points(), metres, plusMinus, finding, text, clearance, clearancePrints);
  }

  /**
   * The same with a published clearance beside it.
   *
   * @param row id of the clearance, or null for none
   * @param prints whether it goes into reports
   */
  public Measure beside(String row, boolean prints) {
    return with(points(), metres, plusMinus, finding, note, row, row != null && prints);
  }

  private Measure with(
      List<Point> points,
      double length,
      double error,
      Integer number,
      String text,
      String row,
      boolean prints) {
    int n = known.size();
    return new Measure(
        id,
        photo,
        way,
        reference,
        points.subList(0, n),
        squareOn,
        points.get(n),
        points.get(n + 1),
        length,
        error,
        number,
        text,
        row,
        prints);
  }
}

package meterside.job;

import java.util.List;
import java.util.function.UnaryOperator;

/**
 * A callout names a part: a ring on the part, a leader, a plate with number and term. Several rings
 * may share one plate (three conductors, one name).
 *
 * @param id number of the mark
 * @param photo the photo
 * @param part id of the part
 * @param rings centres of the rings, at least one, on the photo
 * @param plate centre of the plate if it was placed by hand, or null if it lays itself out
 * @param finding number of the finding it is tied to, or null
 * @param note second line of the plate, or null
 */
public record Callout(
    int id,
    PhotoId photo,
    String part,
    List<Point> rings,
    Point plate,
    Integer finding,
    String note)
    implements Mark {

  /** Checks that there is a ring, and that rings lie on the photo. */
  public Callout {
    rings = List.copyOf(rings);
    if (rings.isEmpty() || !rings.stream().allMatch(Point::onPhoto)) {
      throw new EditRefused("mark.off-photo");
    }
  }

  @Override
  public List<Point> points() {
    return rings;
  }

  @Override
  public Callout moved(UnaryOperator<Point> move) {
    List<Point> to = rings.stream().map(move).toList();
    return new Callout(id, photo, part, to, plate, finding, note);
  }

  @Override
  public Callout tied(Integer to) {
    return new Callout(id, photo, part, rings, plate, to, note);
  }
}

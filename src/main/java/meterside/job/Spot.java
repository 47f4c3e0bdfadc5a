package meterside.job;

import java.util.List;
import java.util.function.UnaryOperator;

/**
 * Ties a close photo to its spot in a wide one, so that whoever reads the report sees where the
 * detail is.
 *
 * @param id number of the mark
 * @param photo the wide photo
 * @param corners at least three corners of a closed polygon on the wide photo: what the close one
 *     shows
 * @param close the close photo
 */
public record Spot(int id, PhotoId photo, List<Point> corners, PhotoId close) implements Mark {

  /** Checks the corners, and that the photos are two. */
  public Spot {
    corners = List.copyOf(corners);
    if (corners.size() < 3 || !corners.stream().allMatch(Point::onPhoto)) {
      throw new EditRefused("mark.off-photo");
    }
    if (close != null && close.equals(photo)) {
      throw new EditRefused("spot.itself");
    }
  }

  @Override
  public List<Point> points() {
    return corners;
  }

  @Override
  public Spot moved(UnaryOperator<Point> move) {
    return new Spot(id, photo, corners.stream().map(move).toList(), close);
  }

  @Override
  public Spot tied(Integer to) {
    return this;
  }
}

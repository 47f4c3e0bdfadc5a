package meterside.markup;

/**
 * A painter of primitives. A drawing is painted by handing its shapes to a brush in the list's
 * order; later shapes lie over earlier ones.
 */
public interface Brush {
  /** Paints a cover: flat, opaque, without smoothed edges where pixels are burnt. */
  void cover(Cover cover);

  /** Paints an outline: halo, then line. */
  void polygon(Polygon polygon);

  /** Paints a dimension line: halo, then line and ticks ({@link Dimension#lines}). */
  void dimension(Dimension dimension);

  /** Paints a ring: halo, then line, then the dot if it has one. */
  void ring(Ring ring);

  /** Paints a leader: halo, then line. */
  void leader(Leader leader);

  /** Paints a plate: halo, then ground and border, then its lines of text. */
  void plate(Plate plate);
}

package meterside.desk.model;

/**
 * How photos lie side by side: all at one zoom, all showing the same place. Immutable.
 *
 * @param zoom 1 shows the whole photo, 12 at most
 * @param x what lies in the middle, as a fraction of the photo's width
 * @param y what lies in the middle, as a fraction of its height
 */
public record Beside(double zoom, double x, double y) {
  /** Enough to count strands. */
  public static final double LARGEST = 12;

  /** Every photo whole. */
  public static final Beside WHOLE = new Beside(1, 0.5, 0.5);

  /** Keeps the middle on the photo. */
  public Beside {
    zoom = Math.max(1, Math.min(LARGEST, zoom));
    double half = 0.5 / zoom;
    x = Math.max(half, Math.min(1 - half, x));
    y = Math.max(half, Math.min(1 - half, y));
  }

  /**
   * Zooms so that a place of the photo stays where it is.
   *
   * @param atX the place, as a fraction of the photo's width
   * @param atY the place, as a fraction of its height
   */
  public Beside zoomed(double factor, double atX, double atY) {
    double next = Math.max(1, Math.min(LARGEST, zoom * factor));
    return new Beside(next, atX + (x - atX) * zoom / next, atY + (y - atY) * zoom / next);
  }

  /** Moves what is shown by fractions of the photo. */
  public Beside panned(double dx, double dy) {
    return new Beside(zoom, x + dx, y + dy);
  }
}

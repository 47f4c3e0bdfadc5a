package meterside.desk.model;

import meterside.job.Point;

/**
 * How a photo lies in its view: scale and position. Lengths are view pixels (logical); points on
 * the photo are fractions of its upright width and height. Immutable; each act gives the next.
 *
 * @param viewWidth width of the view
 * @param viewHeight height of the view
 * @param photoWidth width of the upright photo in its own pixels, above 0
 * @param photoHeight height of the upright photo in its own pixels, above 0
 * @param scale view pixels per photo pixel
 * @param left where the photo's left edge lies in the view
 * @param top where the photo's top edge lies in the view
 * @param fitted whether it is fitted, and stays so when the view changes its size
 */
public record Port(
    double viewWidth,
    double viewHeight,
    double photoWidth,
    double photoHeight,
    double scale,
    double left,
    double top,
    boolean fitted) {

  /** The largest scale: eight view pixels for one of the photo, enough to count strands. */
  public static final double LARGEST = 8;

  /** A photo fitted into a view. */
  public static Port fit(
      double viewWidth, double viewHeight, double photoWidth, double photoHeight) {
    double vw = Math.max(1, viewWidth);
    double vh = Math.max(1, viewHeight);
    double scale = Math.min(vw / photoWidth, vh / photoHeight);
    return new Port(
        vw,
        vh,
        photoWidth,
        photoHeight,
        scale,
        (vw - photoWidth * scale) / 2,
        (vh - photoHeight * scale) / 2,
        true);
  }

  /** The same photo, fitted. */
  public Port refitted() {
    return fit(viewWidth, viewHeight, photoWidth, photoHeight);
  }

  /**
   * The same photo in a view of another size: fitted again, or with the same point in the middle.
   */
  public Port resized(double width, double height) {
    if (fitted) {
      return fit(width, height, photoWidth, photoHeight);
    }
    return new Port(
            Math.max(1, width),
            Math.max(1, height),
            photoWidth,
            photoHeight,
            scale,
            left + (width - viewWidth) / 2,
            top + (height - viewHeight) / 2,
            false)
        .held();
  }

  /**
   * Zooms so that what lies under a position stays there.
   *
   * @param factor above 1 makes the photo larger
   */
  public Port zoomed(double factor, double x, double y) {
    double smallest = Math.min(refitted().scale(), 1);
    double next = Math.max(smallest, Math.min(LARGEST, scale * factor));
    if (next <= smallest + 1e-9 && smallest < 1) {
      return refitted();
    }
    double k = next / scale;
    return new Port(
            viewWidth,
            viewHeight,
            photoWidth,
            photoHeight,
            next,
            x - (x - left) * k,
            y - (y - top) * k,
            false)
        .held();
  }

  /** One view pixel for one photo pixel, with what lies under a position staying there. */
  public Port actualSize(double x, double y) {
    return zoomed(1 / scale, x, y);
  }

  /** Moves the photo. */
  public Port panned(double dx, double dy) {
    return new Port(
            viewWidth, viewHeight, photoWidth, photoHeight, scale, left + dx, top + dy, false)
        .held();
  }

  /** Keeps the photo in the view: centred where it is smaller, covering where it is larger. */
  private Port held() {
    return new Port(
        viewWidth,
        viewHeight,
        photoWidth,
        photoHeight,
        scale,
        held(left, viewWidth, shownWidth()),
        held(top, viewHeight, shownHeight()),
        fitted);
  }

  private static double held(double at, double room, double size) {
    return size <= room ? (room - size) / 2 : Math.max(room - size, Math.min(0, at));
  }

  /** Width of the shown photo. */
  public double shownWidth() {
    return photoWidth * scale;
  }

  /** Height of the shown photo. */
  public double shownHeight() {
    return photoHeight * scale;
  }

  /** The point of the photo at a position; may lie off the photo. */
  public Point point(double x, double y) {
    return new Point((x - left) / shownWidth(), (y - top) / shownHeight());
  }

  /** The point of the photo nearest to a position. */
  public Point pointOnPhoto(double x, double y) {
    Point p = point(x, y);
    return new Point(Math.max(0, Math.min(1, p.x())), Math.max(0, Math.min(1, p.y())));
  }

  /** Where a point lies across the view. */
  public double x(Point p) {
    return left + p.x() * shownWidth();
  }

  /** Where a point lies down the view. */
  public double y(Point p) {
    return top + p.y() * shownHeight();
  }
}

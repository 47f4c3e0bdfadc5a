package meterside.markup;

import java.util.ArrayList;
import java.util.List;
import java.util.function.ToDoubleFunction;
import meterside.job.Measure;
import meterside.job.Photo;
import meterside.job.Point;
import meterside.job.Reference;
import meterside.job.Sentences;

/**
 * Measures in a photo, from the ground, touching nothing: along a known length, on a plane with a
 * known rectangle, and along a line with three known points. Pure functions of points placed on the
 * photo.
 *
 * <p>A reference gives scale <b>only in its own plane</b>: a meter on the wall can't scale a wire
 * in front of it. That can't be seen from the points, so whoever shows a result says it, names the
 * reference, and says "about".
 *
 * <p>The error band is worked out from how well points can be placed, how well the reference is
 * known, lens distortion and, for a single length, how square-on the view is ({@link Care}): the
 * inputs' errors are carried through by their numerical derivatives and added in squares (JCGM
 * 100:2008, "Guide to the expression of uncertainty in measurement", section 5.1.2). Errors go in,
 * and the band comes out, as half the width that holds 95 of 100.
 */
public final class Measuring {
  /** One inch in metres, exactly. */
  public static final double INCH = 0.0254;

  /** Shorter references are refused, and below the next one doubted; in pixels. */
  private static final double REFUSED_PIXELS = 30;

  private static final double DOUBTED_PIXELS = 60;

  /** Sine of the angle between sight and plane: refused below 12 degrees, doubted below 30. */
  private static final double REFUSED_SQUEEZE = 0.2;

  private static final double DOUBTED_SQUEEZE = 0.5;

  /** Half the band as a share of the length. */
  private static final double REFUSED_SHARE = 0.3;

  private static final double DOUBTED_SHARE = 0.1;

  /** Half the band as a share of the length, where all but how the wall is seen is small. */
  private static final double REFUSED_VIEW_SHARE = 0.6;

  /** What the view may do to a single length before it is said. */
  private static final double DOUBTED_VIEW_SHARE = 0.03;

  /** A view to so many degrees is one that was called square-on. */
  private static final double SQUARE_ON_DEGREES = 10;

  /** A view of more degrees is one that the inspector said nothing of. */
  private static final double SEEN_DEGREES = 30;

  /** In how many directions a wall is turned away to find what is worst. */
  private static final int WAYS = 24;

  /** A single length scales others in its own direction, to this angle in degrees. */
  private static final double SAME_DIRECTION = 20;

  /** How many times the reference's size away is far. */
  private static final double FAR = 3;

  private Measuring() {}

  /** What every result is shown with: a reference gives scale only in its own plane. */
  public static String caution() {
    return Sentences.in(Measuring.class).say("measure.same-plane");
  }

  /**
   * A measurement as it is kept, worked out.
   *
   * @param photo the photo it lies on; its size must be known
   * @param by what of known size it is measured by
   * @param known where that lies: two points, or four corners in turn, the first two along its
   *     width
   * @param squareOn whether the inspector says that the view is square-on; if not, a single length
   *     is taken as seen from up to 45 degrees to the side
   * @param from one end of what is measured
   * @param to its other end
   */
  public static Measured measured(
      Photo photo, Reference by, List<Point> known, boolean squareOn, Point from, Point to) {
    if (photo.uprightWidth() <= 0 || photo.uprightHeight() <= 0) {
      return Measured.refuse(Doubt.UNKNOWN_SIZE);
    }
    Frame frame = new Frame(photo.uprightWidth(), photo.uprightHeight());
    Care usual = Care.usual(frame, photo.focal35());
    Care care = squareOn ? usual.squareOn() : usual.unsaid();
    Known length = new Known(by.length(), by.lengthError());
    if (!by.rectangle()) {
      return alongLength(frame, known.get(0), known.get(1), length, from, to, care);
    }
    return onPlane(frame, known, length, new Known(by.height(), by.heightError()), from, to, care);
  }

  /** The same for one whose points were moved. */
  public static Measured measured(Photo photo, Measure m) {
    return measured(photo, m.reference(), m.known(), m.squareOn(), m.from(), m.to());
  }

  /**
   * A length by a known length beside it, in the same plane, seen nearly square-on.
   *
   * @param frame the upright photo in its full size
   * @param a one end of the known length
   * @param b its other end
   * @param known the known length
   * @param c one end of what is measured
   * @param d its other end
   * @param care how carefully it was done
   */
  public static Measured alongLength(
      Frame frame, Point a, Point b, Known known, Point c, Point d, Care care) {
    double ab = distance(frame, a, b);
    double cd = distance(frame, c, d);
    if (ab < REFUSED_PIXELS) {
      return Measured.refuse(Doubt.SHORT_REFERENCE);
    }
    List<Doubt> doubts = new ArrayList<>();
    if (ab < DOUBTED_PIXELS) {
      doubts.add(Doubt.SHORT_REFERENCE);
    }
    double value = known.metres() * cd / ab;
    // A click's error along the line counts, at both ends of both lengths.
    double click = care.clickPixels();
    double dx = mid(frame.x(c), frame.x(d)) - mid(frame.x(a), frame.x(b));
    double dy = mid(frame.y(c), frame.y(d)) - mid(frame.y(a), frame.y(b));
    double apart = Math.hypot(dx, dy);
    double turned = angle(frame, a, b, c, d);
    double view = viewShare(frame, care, List.of(a, b, c, d), cd / ab);
    double share =
        root(
            known.plusMinus() / known.metres(),
            Math.sqrt(2) * click / ab,
            Math.sqrt(2) * click / Math.max(cd, 1),
            care.lensShare());
    if (view > DOUBTED_VIEW_SHARE && care.tiltDegrees() > SEEN_DEGREES) {
      doubts.add(Doubt.NOT_SQUARE_ON);
    }
    if (Math.toDegrees(turned) > SAME_DIRECTION) {
      doubts.add(Doubt.OTHER_DIRECTION);
    }
    if (apart > FAR * ab) {
      doubts.add(Doubt.FAR_FROM_REFERENCE);
    }
    if (share <= REFUSED_SHARE && root(share, view) > REFUSED_VIEW_SHARE) {
      return Measured.refuse(Doubt.NOT_SQUARE_ON);
    }
    Measured judged = judged(value, value * share, cd, doubts);
    if (judged.refused() != null) {
      return judged;
    }
    if (root(share, view) > DOUBTED_SHARE && !doubts.contains(Doubt.WIDE_BAND)) {
      doubts.add(Doubt.WIDE_BAND);
    }
    return new Measured(value, value * root(share, view), doubts, null);
  }

  /**
   * How far off a length may be because the wall is not seen square-on, as a share of it: the most
   * over walls turned away by the tilt in every direction. Each point's line of sight is met with
   * such a wall, and the lengths on it are compared with those on the photo; so the wall's coming
   * nearer and its being foreshortened are both in it, whole. A view that is called square-on has
   * the camera's axis square to the wall; of any other the line of sight to the reference counts,
   * which may run far from the axis.
   *
   * @param ends ends of the reference, and of what is measured
   * @param onPhoto its length over the reference's, on the photo
   */
  private static double viewShare(Frame frame, Care care, List<Point> ends, double onPhoto) {
    double[][] ray = new double[4][];
    for (int i = 0; i < 4; i++) {
      ray[i] =
          new double[] {
            (frame.x(ends.get(i)) - frame.width() / 2) / care.focalPixels(),
            (frame.y(ends.get(i)) - frame.height() / 2) / care.focalPixels(),
            1
          };
    }
    double[] sight = {0, 0, 1};
    if (care.tiltDegrees() > SQUARE_ON_DEGREES) {
      sight[0] = mid(ray[0][0], ray[1][0]);
      sight[1] = mid(ray[0][1], ray[1][1]);
    }
    sight = scaled(sight, 1 / Math.sqrt(dot(sight, sight)));
    double[] u = {sight[2], 0, -sight[0]};
    u = scaled(u, 1 / Math.sqrt(dot(u, u)));
    double[] v = {
      sight[1] * u[2] - sight[2] * u[1],
      sight[2] * u[0] - sight[0] * u[2],
      sight[0] * u[1] - sight[1] * u[0]
    };
    double tilt = Math.toRadians(care.tiltDegrees());
    double most = 0;
    for (int way = 0; way < WAYS; way++) {
      double turn = 2 * Math.PI * way / WAYS;
      double[] normal = new double[3];
      for (int k = 0; k < 3; k++) {
        normal[k] =
            Math.cos(tilt) * sight[k]
                + Math.sin(tilt) * (Math.cos(turn) * u[k] + Math.sin(turn) * v[k]);
      }
      double[][] met = new double[4][];
      for (int i = 0; i < 4; i++) {
        double deep = dot(normal, ray[i]);
        if (deep <= 0) {
          return Double.POSITIVE_INFINITY; // this wall would not reach so far
        }
        met[i] = scaled(ray[i], 1 / deep);
      }
      most = Math.max(most, Math.abs(gap(met[2], met[3]) / gap(met[0], met[1]) / onPhoto - 1));
    }
    return most;
  }

  private static double dot(double[] a, double[] b) {
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
  }

  private static double[] scaled(double[] a, double by) {
    return new double[] {a[0] * by, a[1] * by, a[2] * by};
  }

  private static double gap(double[] a, double[] b) {
    double[] d = {a[0] - b[0], a[1] - b[1], a[2] - b[2]};
    return Math.sqrt(dot(d, d));
  }

  /**
   * A length on a plane, by a rectangle of known size in the same plane, seen from anywhere.
   *
   * @param frame the upright photo in its full size
   * @param corners the rectangle's corners in turn, the first two along its width
   * @param width its width
   * @param height its height
   * @param c one end of what is measured
   * @param d its other end
   * @param care how carefully it was done; its tilt does not matter here
   */
  public static Measured onPlane(
      Frame frame, List<Point> corners, Known width, Known height, Point c, Point d, Care care) {
    if (corners.size() != 4 || !convex(frame, corners)) {
      return Measured.refuse(Doubt.NOT_A_RECTANGLE);
    }
    double shortest = Double.POSITIVE_INFINITY;
    for (int i = 0; i < 4; i++) {
      shortest = Math.min(shortest, distance(frame, corners.get(i), corners.get((i + 1) % 4)));
    }
    if (shortest < REFUSED_PIXELS) {
      return Measured.refuse(Doubt.SHORT_REFERENCE);
    }
    double[] in = new double[14];
    double[] error = new double[14];
    for (int i = 0; i < 6; i++) {
      Point p = i < 4 ? corners.get(i) : i == 4 ? c : d;
      in[2 * i] = frame.x(p);
      in[2 * i + 1] = frame.y(p);
      error[2 * i] = care.clickPixels();
      error[2 * i + 1] = care.clickPixels();
    }
    in[12] = width.metres();
    in[13] = height.metres();
    error[12] = width.plusMinus();
    error[13] = height.plusMinus();
    Homography plane;
    try {
      plane = plane(in);
    } catch (IllegalArgumentException e) {
      return Measured.refuse(Doubt.NOT_A_RECTANGLE);
    }
    double side = plane.weight(in[0], in[1]);
    for (int i = 1; i < 6; i++) {
      if (plane.weight(in[2 * i], in[2 * i + 1]) * side <= 0) {
        return Measured.refuse(Doubt.BEYOND_HORIZON);
      }
    }
    double squeeze = plane.squeeze(mid(in[8], in[10]), mid(in[9], in[11]));
    if (squeeze < REFUSED_SQUEEZE) {
      return Measured.refuse(Doubt.GRAZING);
    }
    List<Doubt> doubts = new ArrayList<>();
    if (shortest < DOUBTED_PIXELS) {
      doubts.add(Doubt.SHORT_REFERENCE);
    }
    if (squeeze < DOUBTED_SQUEEZE) {
      doubts.add(Doubt.GRAZING);
    }
    double reach = FAR * Math.max(in[12], in[13]);
    for (int i = 4; i < 6; i++) {
      double[] p = plane.apply(in[2 * i], in[2 * i + 1]);
      boolean far =
          p[0] < -reach || p[1] < -reach || p[0] > in[12] + reach || p[1] > in[13] + reach;
      if (far && !doubts.contains(Doubt.FAR_FROM_REFERENCE)) {
        doubts.add(Doubt.FAR_FROM_REFERENCE);
      }
    }
    double value = onPlane(in);
    double half = root(carried(in, error, Measuring::onPlane), care.lensShare() * value);
    return judged(value, half, distance(frame, c, d), doubts);
  }

  /**
   * The distance along a straight line from its first known point to a fourth point, seen from
   * anywhere: the cross-ratio of four points on a line is the same in the photo and in the world.
   *
   * @param frame the upright photo in its full size
   * @param start where the line starts
   * @param first a point at a known distance from the start
   * @param second another, further on the same side
   * @param toFirst distance of the first from the start
   * @param toSecond distance of the second from the start, more than that of the first
   * @param end what is measured to
   * @param care how carefully it was done; its tilt does not matter here
   */
  public static Measured alongLine(
      Frame frame,
      Point start,
      Point first,
      Point second,
      Known toFirst,
      Known toSecond,
      Point end,
      Care care) {
    double shortest = Math.min(distance(frame, start, first), distance(frame, first, second));
    if (shortest < REFUSED_PIXELS / 2 || distance(frame, start, second) < REFUSED_PIXELS) {
      return Measured.refuse(Doubt.SHORT_REFERENCE);
    }
    if (toSecond.metres() <= toFirst.metres()) {
      return Measured.refuse(Doubt.NOT_ON_A_LINE);
    }
    // Positions along the line from the start to the furthest point.
    Point far = distance(frame, start, end) > distance(frame, start, second) ? end : second;
    double ux = frame.x(far) - frame.x(start);
    double uy = frame.y(far) - frame.y(start);
    double length = Math.hypot(ux, uy);
    double[] in = new double[6];
    Point[] points = {start, first, second, end};
    double off = 0;
    for (int i = 0; i < 4; i++) {
      double px = frame.x(points[i]) - frame.x(start);
      double py = frame.y(points[i]) - frame.y(start);
      in[i] = (px * ux + py * uy) / length;
      off = Math.max(off, Math.abs(px * uy - py * ux) / length);
    }
    if (!(in[1] > 0 && in[2] > in[1]) || off > Math.max(6 * care.clickPixels(), 0.03 * length)) {
      return Measured.refuse(Doubt.NOT_ON_A_LINE);
    }
    in[4] = toFirst.metres();
    in[5] = toSecond.metres();
    double value = alongLine(in);
    // Beyond the vanishing point the line comes back from the other side.
    boolean behind = in[3] > in[2] && value < in[5] || in[3] < 0 && value > 0;
    if (behind || !Double.isFinite(value)) {
      return Measured.refuse(Doubt.BEYOND_HORIZON);
    }
    double click = care.clickPixels();
    double[] error = {click, click, click, click, toFirst.plusMinus(), toSecond.plusMinus()};
    double size = Math.abs(value);
    double half = root(carried(in, error, Measuring::alongLine), care.lensShare() * size);
    List<Doubt> doubts = new ArrayList<>();
    if (shortest < DOUBTED_PIXELS / 2) {
      doubts.add(Doubt.SHORT_REFERENCE);
    }
    if (size > FAR * in[5]) {
      doubts.add(Doubt.FAR_FROM_REFERENCE);
    }
    return judged(size, half, Math.abs(in[3]), doubts);
  }

  // ---- what they share ----

  private static Measured judged(double value, double half, double pixels, List<Doubt> doubts) {
    if (!(value > 0) || !Double.isFinite(half) || half > REFUSED_SHARE * value) {
      return Measured.refuse(pixels < REFUSED_PIXELS ? Doubt.SHORT_TARGET : Doubt.WIDE_BAND);
    }
    List<Doubt> all = new ArrayList<>(doubts);
    if (half > DOUBTED_SHARE * value) {
      all.add(Doubt.WIDE_BAND);
    }
    return new Measured(value, half, all, null);
  }

  private static Homography plane(double[] in) {
    double w = in[12];
    double h = in[13];
    double[][] from = {
      {in[0], in[1]}, {in[2], in[3]}, {in[4], in[5]}, {in[6], in[7]},
    };
    return Homography.of(from, new double[][] {{0, 0}, {w, 0}, {w, h}, {0, h}});
  }

  private static double onPlane(double[] in) {
    Homography plane = plane(in);
    double[] c = plane.apply(in[8], in[9]);
    double[] d = plane.apply(in[10], in[11]);
    return Math.hypot(c[0] - d[0], c[1] - d[1]);
  }

  /**
   * Distance of point 3 from point 0, from the positions of points 0 to 3 in the photo and the
   * distances of points 1 and 2 from point 0.
   */
  private static double alongLine(double[] in) {
    double p = in[1] - in[0];
    double q = in[2] - in[0];
    double t = in[3] - in[0];
    double a = in[4];
    double b = in[5];
    // (q·(t − p)) / (t·(q − p)) is the same as (b·(x − a)) / (x·(b − a)); solved for x.
    double photo = q * (t - p) / (t * (q - p));
    return a * b / (b - photo * (b - a));
  }

  /** Errors of independent inputs carried through a function. */
  private static double carried(double[] in, double[] error, ToDoubleFunction<double[]> of) {
    double sum = 0;
    for (int i = 0; i < in.length; i++) {
      if (error[i] > 0) {
        double[] up = in.clone();
        double[] down = in.clone();
        up[i] += error[i];
        down[i] -= error[i];
        double change = (of.applyAsDouble(up) - of.applyAsDouble(down)) / 2;
        sum += change * change;
      }
    }
    return Math.sqrt(sum);
  }

  private static double root(double... parts) {
    double sum = 0;
    for (double p : parts) {
      sum += p * p;
    }
    return Math.sqrt(sum);
  }

  private static boolean convex(Frame f, List<Point> corners) {
    int sign = 0;
    for (int i = 0; i < 4; i++) {
      Point a = corners.get(i);
      Point b = corners.get((i + 1) % 4);
      Point c = corners.get((i + 2) % 4);
      double turn = (f.x(b) - f.x(a)) * (f.y(c) - f.y(b)) - (f.y(b) - f.y(a)) * (f.x(c) - f.x(b));
      int s = (int) Math.signum(turn);
      if (s == 0 || sign != 0 && s != sign) {
        return false;
      }
      sign = s;
    }
    return true;
  }

  private static double distance(Frame f, Point a, Point b) {
    return Math.hypot(f.x(a) - f.x(b), f.y(a) - f.y(b));
  }

  private static double mid(double a, double b) {
    return (a + b) / 2;
  }

  /** Cosine of the angle between a length and a direction. */
  private static double cosine(Frame f, Point a, Point b, double dx, double dy) {
    double l = distance(f, a, b) * Math.hypot(dx, dy);
    return l == 0 ? 0 : ((f.x(b) - f.x(a)) * dx + (f.y(b) - f.y(a)) * dy) / l;
  }

  /** Angle between two lengths whichever way they point, 0 to a right angle, in radians. */
  private static double angle(Frame f, Point a, Point b, Point c, Point d) {
    double cos = Math.abs(cosine(f, a, b, f.x(d) - f.x(c), f.y(d) - f.y(c)));
    return Math.acos(Math.min(1, cos));
  }
}

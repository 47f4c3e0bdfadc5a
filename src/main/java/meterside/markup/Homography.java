package meterside.markup;

/**
 * The map between two pictures of one plane, or between a photo and a plane: the 3 × 3 matrix that
 * takes (x, y, 1) to (u·w, v·w, w). Found from four pairs of points as the solution of eight linear
 * equations, after moving and scaling both sets of points to the middle, which keeps the equations
 * well-conditioned (Hartley and Zisserman, "Multiple View Geometry in Computer Vision", 2nd edition
 * 2004, sections 4.1 and 4.4.4).
 *
 * <p>Units are those of the points. Immutable.
 */
public final class Homography {
  private final double[] m;

  private Homography(double[] m) {
    this.m = m;
  }

  /**
   * The map that takes four points to four others.
   *
   * @param from four points as x and y, no three of them on a line
   * @param to where they go, no three of them on a line
   * @throws IllegalArgumentException if three points lie on a line
   */
  public static Homography of(double[][] from, double[][] to) {
    if (from.length != 4 || to.length != 4) {
      throw new IllegalArgumentException("a homography is found from four pairs of points");
    }
    if (lined(from) || lined(to)) {
      throw new IllegalArgumentException("three of the four points lie on a line");
    }
    double[] nf = normalizer(from);
    double[] nt = normalizer(to);
    double[][] a = new double[8][9];
    for (int i = 0; i < 4; i++) {
      double x = (from[i][0] - nf[0]) * nf[2];
      double y = (from[i][1] - nf[1]) * nf[2];
      double u = (to[i][0] - nt[0]) * nt[2];
      double v = (to[i][1] - nt[1]) * nt[2];
      a[2 * i] = new double[] {x, y, 1, 0, 0, 0, -u * x, -u * y, u};
      a[2 * i + 1] = new double[] {0, 0, 0, x, y, 1, -v * x, -v * y, v};
    }
    double[] h = solve(a);
    double[] normalized = {h[0], h[1], h[2], h[3], h[4], h[5], h[6], h[7], 1};
    double[] into = {nf[2], 0, -nf[0] * nf[2], 0, nf[2], -nf[1] * nf[2], 0, 0, 1};
    double[] back = {1 / nt[2], 0, nt[0], 0, 1 / nt[2], nt[1], 0, 0, 1};
    return new Homography(times(back, times(normalized, into)));
  }

  /** Where a point goes, as x and y; infinite or not a number on the line that goes to infinity. */
  public double[] apply(double x, double y) {
    double w = m[6] * x + m[7] * y + m[8];
    return new double[] {(m[0] * x + m[1] * y + m[2]) / w, (m[3] * x + m[4] * y + m[5]) / w};
  }

  /**
   * The third coordinate of a point's image. Two points lie on the same side of the horizon if
   * these have the same sign.
   */
  public double weight(double x, double y) {
    return m[6] * x + m[7] * y + m[8];
  }

  /** The map back. */
  public Homography inverse() {
    double[] c = {
      m[4] * m[8] - m[5] * m[7], m[2] * m[7] - m[1] * m[8], m[1] * m[5] - m[2] * m[4],
      m[5] * m[6] - m[3] * m[8], m[0] * m[8] - m[2] * m[6], m[2] * m[3] - m[0] * m[5],
      m[3] * m[7] - m[4] * m[6], m[1] * m[6] - m[0] * m[7], m[0] * m[4] - m[1] * m[3]
    };
    return new Homography(c);
  }

  /** The matrix, row by row, scaled so that its last entry is 1. */
  public double[] matrix() {
    double[] out = new double[9];
    for (int i = 0; i < 9; i++) {
      out[i] = m[i] / m[8];
    }
    return out;
  }

  /**
   * How much a small circle at a point is squeezed: the shorter axis of its image over the longer
   * one, 0 to 1. For a photo of a plane seen far off, it is the sine of the angle between the line
   * of sight and the plane.
   */
  public double squeeze(double x, double y) {
    double w = weight(x, y);
    double[] p = apply(x, y);
    double a = (m[0] - p[0] * m[6]) / w;
    double b = (m[1] - p[0] * m[7]) / w;
    double c = (m[3] - p[1] * m[6]) / w;
    double d = (m[4] - p[1] * m[7]) / w;
    // Singular values of the 2 × 2 derivative.
    double sum = a * a + b * b + c * c + d * d;
    double det = a * d - b * c;
    double root = Math.sqrt(Math.max(0, sum * sum - 4 * det * det));
    double longer = Math.sqrt((sum + root) / 2);
    return longer == 0 ? 0 : Math.abs(det) / (longer * longer);
  }

  /** Whether three of the points lie on a line, or two in one place. */
  private static boolean lined(double[][] p) {
    double size = 0;
    for (double[] q : p) {
      size = Math.max(size, Math.hypot(q[0] - p[0][0], q[1] - p[0][1]));
    }
    for (int skip = 0; skip < 4; skip++) {
      double[] a = p[skip == 0 ? 1 : 0];
      double[] b = p[skip <= 1 ? 2 : 1];
      double[] c = p[skip <= 2 ? 3 : 2];
      double area = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
      if (!(Math.abs(area) > 1e-9 * size * size)) {
        return true;
      }
    }
    return false;
  }

  /** Middle of the points, and the scale that brings their mean distance from it to √2. */
  private static double[] normalizer(double[][] points) {
    double x = 0;
    double y = 0;
    for (double[] p : points) {
      x += p[0] / points.length;
      y += p[1] / points.length;
    }
    double mean = 0;
    for (double[] p : points) {
      mean += Math.hypot(p[0] - x, p[1] - y) / points.length;
    }
    return new double[] {x, y, Math.sqrt(2) / mean};
  }

  private static double[] times(double[] a, double[] b) {
    double[] out = new double[9];
    for (int r = 0; r < 3; r++) {
      for (int c = 0; c < 3; c++) {
        for (int k = 0; k < 3; k++) {
          out[3 * r + c] += a[3 * r + k] * b[3 * k + c];
        }
      }
    }
    return out;
  }

  /** Gaussian elimination with partial pivoting; the last column is the right side. */
  private static double[] solve(double[][] a) {
    int n = a.length;
    for (int col = 0; col < n; col++) {
      int pivot = col;
      for (int r = col + 1; r < n; r++) {
        if (Math.abs(a[r][col]) > Math.abs(a[pivot][col])) {
          pivot = r;
        }
      }
      double[] row = a[pivot];
      a[pivot] = a[col];
      a[col] = row;
      for (int r = 0; r < n; r++) {
        if (r != col) {
          double f = a[r][col] / row[col];
          for (int k = col; k <= n; k++) {
            a[r][k] -= f * row[k];
          }
        }
      }
    }
    double[] x = new double[n];
    for (int i = 0; i < n; i++) {
      x[i] = a[i][n] / a[i][i];
    }
    return x;
  }
}

package meterside.markup;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import java.util.Random;
import org.junit.jupiter.api.Test;

/** The homography against closed forms and published numbers. */
class HomographyTest {
  private static final double[][] SQUARE = {{0, 0}, {1, 0}, {1, 1}, {0, 1}};

  /**
   * Closed form for the unit square: P. Heckbert, "Fundamentals of Texture Mapping and Image
   * Warping", master's thesis, UC Berkeley 1989, section 2.2.3 (from memory).
   */
  private static double[] heckbert(double[][] q) {
    double sx = q[0][0] - q[1][0] + q[2][0] - q[3][0];
    double sy = q[0][1] - q[1][1] + q[2][1] - q[3][1];
    double dx1 = q[1][0] - q[2][0];
    double dx2 = q[3][0] - q[2][0];
    double dy1 = q[1][1] - q[2][1];
    double dy2 = q[3][1] - q[2][1];
    double den = dx1 * dy2 - dx2 * dy1;
    double g = (sx * dy2 - dx2 * sy) / den;
    double h = (dx1 * sy - sx * dy1) / den;
    return new double[] {
      q[1][0] - q[0][0] + g * q[1][0],
      q[3][0] - q[0][0] + h * q[3][0],
      q[0][0],
      q[1][1] - q[0][1] + g * q[1][1],
      q[3][1] - q[0][1] + h * q[3][1],
      q[0][1],
      g,
      h,
      1
    };
  }

  /** A quadrilateral as a photo may show a rectangle. */
  private static double[][] quad(Random r) {
    double[][] q = {{500, 400}, {1500, 400}, {1500, 1200}, {500, 1200}};
    for (double[] p : q) {
      p[0] += 250 * (r.nextDouble() - .5);
      p[1] += 250 * (r.nextDouble() - .5);
    }
    return q;
  }

  @Test
  void agreesWithTheClosedFormForTheUnitSquare() {
    long seed = Long.getLong("seed", 3);
    System.out.println("closed form: seed " + seed);
    Random r = new Random(seed);
    for (int round = 0; round < 200; round++) {
      double[][] q = quad(r);
      double[] ours = Homography.of(SQUARE, q).matrix();
      double[] theirs = heckbert(q);
      for (int i = 0; i < 9; i++) {
        assertEquals(theirs[i], ours[i], 1e-6 * Math.max(1, Math.abs(theirs[i])));
      }
    }
  }

  /**
   * Numbers of a published test: github.com/kyamagu/mexopencv,
   * test/unit_tests/TestGetPerspectiveTransform.m, test_1.
   */
  @Test
  void givesAPublishedMatrix() {
    double[][] from = {{0, 1}, {1, 1}, {1, 0}, {.25, .25}};
    double[][] to = {{1, 1}, {1, 0}, {0, 0}, {.25, .75}};
    double[] ref = {0, 1, 0, -1, 0, 1, 0, 0, 1};
    assertArrayEquals(ref, Homography.of(from, to).matrix(), 1e-10);
  }

  @Test
  void thereAndBackIsWhereItBegan() {
    Random r = new Random(5);
    for (int round = 0; round < 100; round++) {
      Homography h = Homography.of(quad(r), quad(r));
      double x = 400 + 1200 * r.nextDouble();
      double y = 300 + 1000 * r.nextDouble();
      double[] there = h.apply(x, y);
      assertArrayEquals(new double[] {x, y}, h.inverse().apply(there[0], there[1]), 1e-6);
    }
  }

  /** Cross-ratio of four points on a line, the invariant of projective geometry. */
  @Test
  void keepsCrossRatios() {
    Random r = new Random(6);
    for (int round = 0; round < 100; round++) {
      Homography h = Homography.of(quad(r), quad(r));
      double[] t = {0, .2 + .1 * r.nextDouble(), .5 + .1 * r.nextDouble(), 1};
      double[] before = new double[4];
      double[] after = new double[4];
      double[] first = h.apply(600, 500);
      for (int i = 0; i < 4; i++) {
        double[] p = h.apply(600 + 700 * t[i], 500 + 500 * t[i]);
        before[i] = t[i];
        after[i] = Math.hypot(p[0] - first[0], p[1] - first[1]);
      }
      assertEquals(crossRatio(before), crossRatio(after), 1e-6);
    }
  }

  private static double crossRatio(double[] t) {
    return (t[2] - t[0]) * (t[3] - t[1]) / ((t[2] - t[1]) * (t[3] - t[0]));
  }

  @Test
  void squeezeIsTheSineOfTheAngleOfSight() {
    // A far-off plane turned by 60 degrees about its vertical: width halves, sight meets it at 30.
    double[][] seen = {{0, 0}, {.5, 0}, {.5, 1}, {0, 1}};
    assertEquals(.5, Homography.of(seen, SQUARE).squeeze(.2, .2), 1e-9);
    assertEquals(1, Homography.of(SQUARE, SQUARE).squeeze(.2, .2), 1e-9);
  }

  @Test
  void threePointsOnALineAreRefused() {
    double[][] line = {{0, 0}, {1, 1}, {2, 2}, {0, 1}};
    assertThrows(IllegalArgumentException.class, () -> Homography.of(line, SQUARE));
    double[][] one = {{3, 3}, {3, 3}, {3, 3}, {3, 3}};
    assertThrows(IllegalArgumentException.class, () -> Homography.of(one, SQUARE));
  }
}

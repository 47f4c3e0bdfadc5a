package meterside.markup;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.awt.geom.Line2D;
import java.awt.geom.Rectangle2D;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import meterside.markup.Geometry.Segment;
import meterside.markup.LabelLayout.Anchor;
import meterside.markup.LabelLayout.Arrangement;
import meterside.markup.LabelLayout.Candidate;
import meterside.markup.LabelLayout.Label;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * The layout against brute force, and its promises checked with Java2D's geometry instead of its
 * own. Seeds are printed; {@code -Dseed=} repeats one.
 */
class LabelLayoutTest {
  private static final double WIDTH = 720;
  private static final double HEIGHT = 540;

  private static Random random(String what, long fallback) {
    long seed = Long.getLong("seed", fallback);
    System.out.println(what + ": seed " + seed);
    return new Random(seed);
  }

  /** Labels with one ring each, within a share of the photo round its middle. */
  static List<Label> labels(Random r, int n, double share) {
    List<Label> out = new ArrayList<>();
    for (int i = 0; i < n; i++) {
      double x = WIDTH * (.5 + share * (r.nextDouble() - .5));
      double y = HEIGHT * (.5 + share * (r.nextDouble() - .5));
      boolean two = r.nextInt(5) == 0;
      out.add(
          new Label(
              List.of(Anchor.ring(x, y)),
              50 + r.nextInt(two ? 190 : 90),
              two ? 42 : 26,
              null,
              null));
    }
    return out;
  }

  /** Least total cost by trying every choice; only conflicts cut a branch off, never costs. */
  private static double bruteForce(LabelLayout layout, int n, int label, Candidate[] chosen) {
    if (label == n) {
      return Arrays.stream(chosen).mapToDouble(c -> c.cost).sum();
    }
    double best = Double.POSITIVE_INFINITY;
    for (Candidate c : layout.candidates(label)) {
      boolean free = true;
      for (int i = 0; i < label && free; i++) {
        free = c.fits(chosen[i]);
      }
      if (free) {
        chosen[label] = c;
        best = Math.min(best, bruteForce(layout, n, label + 1, chosen));
      }
    }
    return best;
  }

  @ParameterizedTest
  @ValueSource(ints = {1, 2, 3, 4})
  void equalsBruteForceOverTheWholeCandidateSet(int n) {
    Random r = random("whole set, " + n + " labels", 100 + n);
    int contested = 0;
    for (int round = 0; round < 100; round++) {
      // A small photo, so that the labels stand in each other's way.
      double width = 100 + 90 * n;
      double height = 90;
      List<Label> labels = new ArrayList<>();
      for (int i = 0; i < n; i++) {
        double x = width * (.25 + .5 * r.nextDouble());
        double y = height * (.25 + .5 * r.nextDouble());
        labels.add(new Label(List.of(Anchor.ring(x, y)), 50 + r.nextInt(90), 26, null, null));
      }
      LabelLayout layout = new LabelLayout(width, height, labels, List.of());
      Arrangement a = layout.arrange();
      double least = bruteForce(layout, n, 0, new Candidate[n]);
      if (least > 1e6) {
        assertTrue(a.broken() > 0);
        continue;
      }
      assertEquals(0, a.broken());
      assertTrue(a.exact());
      assertEquals(least, cost(a), 1e-6, "round " + round);
      double alone = 0;
      for (int i = 0; i < n; i++) {
        alone += layout.candidates(i).get(0).cost;
      }
      contested += least > alone + 1e-6 ? 1 : 0;
    }
    System.out.println(n + " labels: " + contested + " contested");
    assertTrue(n == 1 || contested > 3, "the cases must be ones where labels want the same place");
  }

  @ParameterizedTest
  @ValueSource(ints = {4, 5, 6, 7, 8})
  void equalsBruteForceOverASmallCandidateSet(int n) {
    Random r = random("small set, " + n + " labels", 200 + n);
    int feasible = 0;
    int infeasible = 0;
    double[][] ways = Arrays.copyOf(LabelLayout.WAYS, 4);
    for (int round = 0; round < 25; round++) {
      LabelLayout layout =
          new LabelLayout(
              WIDTH, HEIGHT, labels(r, n, .3), List.of(), new double[] {30, 66, 110}, ways, false);
      Arrangement a = layout.arrange();
      double least = bruteForce(layout, n, 0, new Candidate[n]);
      boolean can = least < 1e6;
      assertEquals(can, a.broken() == 0, "round " + round);
      if (can) {
        assertTrue(a.exact());
        assertEquals(least, cost(a), 1e-6, "round " + round);
        feasible++;
      } else {
        infeasible++;
      }
    }
    System.out.println(n + " labels: " + feasible + " feasible, " + infeasible + " not");
    assertTrue(feasible > 5);
  }

  private static double cost(Arrangement a) {
    return a.chosen().stream().mapToDouble(c -> c.cost).sum();
  }

  @Test
  void upToEightLabelsAreExactAlsoWhereTheyCrowd() {
    Random r = random("eight in a crowd", 8);
    for (double share : new double[] {.6, .3, .15, .05}) {
      long worst = 0;
      long sum = 0;
      for (int round = 0; round < 15; round++) {
        LabelLayout layout = new LabelLayout(WIDTH, HEIGHT, labels(r, 8, share), List.of());
        long start = System.nanoTime();
        Arrangement a = layout.arrange();
        long took = System.nanoTime() - start;
        worst = Math.max(worst, took);
        sum += took;
        assertEquals(0, a.broken());
        assertTrue(a.exact());
      }
      System.out.printf(
          "share %.2f: mean %.1f ms, worst %.1f ms%n", share, sum / 20e6, worst / 1e6);
    }
  }

  @Test
  void whereEightLabelsCannotFitThatIsFoundOut() {
    Random r = random("eight that can't", 88);
    int fit = 0;
    for (int round = 0; round < 40; round++) {
      double width = 200 + 15 * round;
      double height = 60 + 3 * round;
      List<Label> labels = new ArrayList<>();
      for (int i = 0; i < 8; i++) {
        double x = width * r.nextDouble();
        labels.add(new Label(List.of(Anchor.ring(x, height * r.nextDouble())), 90, 26, null, null));
      }
      Arrangement a = new LabelLayout(width, height, labels, List.of()).arrange();
      assertEquals(8, a.chosen().size());
      fit += a.broken() == 0 ? 1 : 0;
    }
    System.out.println(fit + " of 40 fit");
    assertTrue(fit > 3 && fit < 37);
  }

  @Test
  void columnsBesideTheRingsHelpWhereACrowdDoesNotFit() {
    Random r = random("columns", 66);
    int without = 0;
    int with = 0;
    for (int round = 0; round < 10; round++) {
      List<Label> labels = labels(r, 26, .4);
      without += new LabelLayout(WIDTH, HEIGHT, labels, List.of()).arrange().broken();
      Arrangement a = LabelLayout.withColumns(WIDTH, HEIGHT, labels, List.of()).arrange();
      with += a.broken();
      if (a.broken() == 0) {
        check(labels, a, "round " + round);
      }
    }
    System.out.println("rules broken without columns " + without + ", with " + with);
    assertTrue(with < without);
  }

  @Test
  void platesKeepOffPlatesRingsAndForeignLeaders() {
    Random r = random("rules", 4711);
    int kept = 0;
    for (int round = 0; round < 150; round++) {
      int n = 2 + r.nextInt(14);
      List<Label> labels = labels(r, n, .5 + .5 * r.nextDouble());
      Arrangement a = new LabelLayout(WIDTH, HEIGHT, labels, List.of()).arrange();
      if (a.broken() == 0) {
        kept++;
        check(labels, a, "round " + round);
      }
    }
    assertTrue(kept > 120, kept + " of 150 arrangements fit");
  }

  private static void check(List<Label> labels, Arrangement a, String where) {
    for (int i = 0; i < labels.size(); i++) {
      Candidate c = a.chosen().get(i);
      Rectangle2D box = box(c);
      assertTrue(new Rectangle2D.Double(0, 0, WIDTH, HEIGHT).contains(box), where);
      for (int j = 0; j < labels.size(); j++) {
        Anchor ring = labels.get(j).anchors().get(0);
        double dx = Math.max(0, Math.max(box.getMinX() - ring.x(), ring.x() - box.getMaxX()));
        double dy = Math.max(0, Math.max(box.getMinY() - ring.y(), ring.y() - box.getMaxY()));
        assertTrue(Math.hypot(dx, dy) >= Sizes.RING_REACH, where + ": plate over ring");
        if (i == j) {
          continue;
        }
        Candidate o = a.chosen().get(j);
        assertTrue(!box.intersects(box(o)), where + ": plate over plate");
        Line2D mine = line(c.leaders[0]);
        assertTrue(!mine.intersects(box(o)), where + ": leader over plate");
        assertTrue(!mine.intersectsLine(line(o.leaders[0])), where + ": leaders cross");
        Anchor own = labels.get(i).anchors().get(0);
        boolean apart = Math.hypot(own.x() - ring.x(), own.y() - ring.y()) >= 2 * Sizes.RING_REACH;
        assertTrue(
            !apart || mine.ptSegDist(ring.x(), ring.y()) >= Sizes.RING_INK,
            where + ": leader over ring");
      }
    }
  }

  @Test
  void movingOneRingLeavesMostPlatesWhereTheyWere() {
    Random r = random("stability", 99);
    int moved = 0;
    int movedHeld = 0;
    int others = 0;
    for (int round = 0; round < 100; round++) {
      int n = 5 + r.nextInt(4);
      List<Label> labels = labels(r, n, .7);
      Arrangement before = new LabelLayout(WIDTH, HEIGHT, labels, List.of()).arrange();
      List<Label> after = new ArrayList<>(labels);
      Label first = labels.get(0);
      Anchor ring = first.anchors().get(0);
      after.set(
          0,
          new Label(
              List.of(Anchor.ring(ring.x() + 15, ring.y() + 10)),
              first.width(),
              first.height(),
              null,
              null));
      Arrangement a = new LabelLayout(WIDTH, HEIGHT, after, List.of()).arrange();
      List<Label> holding = new ArrayList<>();
      for (int i = 0; i < n; i++) {
        Candidate c = before.chosen().get(i);
        Anchor old = labels.get(i).anchors().get(0);
        double[] offset = {c.box.centreX() - old.x(), c.box.centreY() - old.y()};
        Label l = after.get(i);
        holding.add(new Label(l.anchors(), l.width(), l.height(), null, offset));
      }
      Arrangement held = new LabelLayout(WIDTH, HEIGHT, holding, List.of()).arrange();
      for (int i = 1; i < n; i++) {
        others++;
        moved += a.chosen().get(i).box.equals(before.chosen().get(i).box) ? 0 : 1;
        boolean same = near(held.chosen().get(i), before.chosen().get(i));
        movedHeld += same ? 0 : 1;
      }
    }
    System.out.printf("of %d other plates %d moved, %d when held%n", others, moved, movedHeld);
    assertTrue(moved <= others * .08, moved + " of " + others);
    assertTrue(movedHeld <= others * .03, movedHeld + " of " + others + " though held");
  }

  private static boolean near(Candidate a, Candidate b) {
    return Math.hypot(a.box.x() - b.box.x(), a.box.y() - b.box.y()) < 1.5;
  }

  @Test
  void aPlatePlacedByHandStaysAndTheOthersGiveWay() {
    Random r = random("by hand", 12);
    for (int round = 0; round < 100; round++) {
      List<Label> labels = labels(r, 6, .6);
      Label l = labels.get(2);
      double[] hand = {120 + 480 * r.nextDouble(), 60 + 420 * r.nextDouble()};
      // Not on a ring: that would be the inspector's own wish, and breaks no rule.
      boolean free = true;
      for (Label o : labels) {
        Anchor a = o.anchors().get(0);
        free &= Math.abs(a.x() - hand[0]) > l.width() / 2 + 20 || Math.abs(a.y() - hand[1]) > 45;
      }
      if (!free) {
        continue;
      }
      labels.set(2, new Label(l.anchors(), l.width(), l.height(), hand, null));
      Arrangement a = new LabelLayout(WIDTH, HEIGHT, labels, List.of()).arrange();
      assertEquals(hand[0], a.chosen().get(2).box.centreX(), 1e-9);
      assertEquals(hand[1], a.chosen().get(2).box.centreY(), 1e-9);
      for (int i = 0; i < 6; i++) {
        if (i != 2 && a.broken() == 0) {
          assertTrue(!box(a.chosen().get(i)).intersects(box(a.chosen().get(2))));
        }
      }
    }
  }

  @Test
  void severalRingsShareOnePlateAndItsLeadersDoNotCross() {
    Random r = random("shared", 77);
    for (int round = 0; round < 100; round++) {
      double x = 150 + 400 * r.nextDouble();
      double y = 100 + 300 * r.nextDouble();
      List<Anchor> rings = new ArrayList<>();
      for (int i = 0; i < 3; i++) {
        rings.add(Anchor.ring(x + 35 * i + 8 * r.nextDouble(), y + 30 * r.nextDouble()));
      }
      Label shared = new Label(rings, 110, 42, null, null);
      Arrangement a = new LabelLayout(WIDTH, HEIGHT, List.of(shared), List.of()).arrange();
      assertEquals(0, a.broken(), "round " + round);
      Segment[] s = a.chosen().get(0).leaders;
      assertEquals(3, s.length);
      for (int i = 0; i < 3; i++) {
        for (int j = i + 1; j < 3; j++) {
          boolean samePort = s[i].x2() == s[j].x2() && s[i].y2() == s[j].y2();
          assertTrue(samePort || !line(s[i]).intersectsLine(line(s[j])), "round " + round);
        }
      }
    }
  }

  @Test
  void theSameMarksAlwaysGiveTheSameArrangement() {
    List<Label> labels = labels(new Random(5), 30, .8);
    List<Candidate> a = new LabelLayout(WIDTH, HEIGHT, labels, List.of()).arrange().chosen();
    List<Candidate> b = new LabelLayout(WIDTH, HEIGHT, labels, List.of()).arrange().chosen();
    assertEquals(a.stream().map(c -> c.box).toList(), b.stream().map(c -> c.box).toList());
  }

  private static Rectangle2D box(Candidate c) {
    return new Rectangle2D.Double(c.box.x(), c.box.y(), c.box.w(), c.box.h());
  }

  private static Line2D line(Segment s) {
    return new Line2D.Double(s.x1(), s.y1(), s.x2(), s.y2());
  }
}

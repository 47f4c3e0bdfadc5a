package meterside.markup;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import java.util.Set;
import meterside.job.Point;
import meterside.trade.Trade;
import org.junit.jupiter.api.Test;

/** The drawing as a readable list of primitives. */
class DrawingTest {

  /** One line per primitive, in thousandths of the photo's sides and of its diagonal. */
  static List<String> readable(Drawing d) {
    List<String> out = new ArrayList<>();
    d.paintWith(
        new Brush() {
          @Override
          public void cover(Cover c) {
            out.add("cover " + c.mark() + points(c.corners()));
          }

          @Override
          public void polygon(Polygon p) {
            out.add("outline " + p.mark() + points(p.corners()) + " line " + n(p.stroke()));
          }

          @Override
          public void dimension(Dimension d) {
            out.add("dimension " + d.mark() + points(List.of(d.from(), d.to())));
          }

          @Override
          public void ring(Ring r) {
            out.add(
                "ring "
                    + r.mark()
                    + points(List.of(r.centre()))
                    + " radius "
                    + n(r.radius())
                    + (r.hasDot() ? " with a dot" : ""));
          }

          @Override
          public void leader(Leader l) {
            out.add("leader " + l.mark() + points(List.of(l.from(), l.to())));
          }

          @Override
          public void plate(Plate p) {
            out.add(
                "plate "
                    + p.mark()
                    + points(List.of(p.topLeft()))
                    + " "
                    + n(p.width())
                    + " x "
                    + n(p.height())
                    + (p.filled() ? " filled" : " outlined")
                    + (p.brief() ? " brief" : ""));
            for (Plate.Line l : p.lines()) {
              out.add("  " + (l.bold() ? "bold " : "") + n(l.size()) + " \"" + l.text() + "\"");
            }
          }
        });
    return out;
  }

  private static String points(List<Point> points) {
    StringBuilder out = new StringBuilder();
    for (Point p : points) {
      out.append(' ').append(n(p.x())).append(',').append(n(p.y()));
    }
    return out.toString();
  }

  private static String n(double v) {
    return String.format(Locale.ROOT, "%.1f", v * 1000);
  }

  @Test
  void aCalloutAndAFindingAsPrimitives() {
    MarkedPhoto p = new MarkedPhoto(4000, 3000).finding(4, "Insulation cracked at the low point");
    p.callout("service-head", .5, .25)
        .callout("drip-loop", 4, null, null, .3, .6)
        .redact(.8, .8, .1, .1)
        .outline(null, null, null, .6, .6, .7, .6, .7, .7);
    assertEquals(
        List.of(
            "cover 3 800.0,800.0 900.0,800.0 900.0,900.0 800.0,900.0",
            "outline 4 600.0,600.0 700.0,600.0 700.0,700.0 line 2.2",
            "ring 1 500.0,250.0 radius 8.3",
            "ring 2 300.0,600.0 radius 8.3 with a dot",
            "leader 1 510.0,242.3 546.3,214.4",
            "leader 2 305.8,613.3 326.7,661.7",
            "plate 1 546.3,190.3 113.7 x 28.9 outlined",
            "  14.4 \"1 Service head\"",
            "plate 2 271.0,661.7 223.1 x 46.7 filled",
            "  bold 14.4 \"2 Drip loop F4\"",
            "  13.3 \"Insulation cracked at the low point\""),
        readable(p.drawing()));
  }

  @Test
  void numbersFollowTheOrderOfCalloutsAndTheLegendSaysThemAll() {
    MarkedPhoto p = new MarkedPhoto(4000, 3000).finding(2, "Rust");
    p.redact(.1, .1, .1, .1)
        .callout("meter", .5, .5)
        .outline("mast", 2, null, .6, .1, .7, .1, .7, .2)
        .outline(null, null, null, .1, .8, .2, .8, .2, .9)
        .callout("drip-loop", null, "worn\u0007 through", null, .2, .5);
    assertEquals(
        List.of(
            new Legend(1, 2, "Meter", null, null),
            new Legend(2, 3, "Mast", 2, "Rust"),
            new Legend(3, 5, "Drip loop", null, "worn through")),
        p.drawing().legend());
  }

  @Test
  void aNoteOnTheCalloutComesBeforeWhatWasSeen() {
    MarkedPhoto p = new MarkedPhoto(4000, 3000).finding(2, "Rust");
    p.callout("meter", 2, "at the lower hub", null, .5, .5);
    assertEquals("1 Meter F2: at the lower hub", plate(p.drawing(), 1).text());
  }

  @Test
  void platesGetSmallerAndThenBriefWhereTheyDoNotFit() {
    Set<String> manners = new HashSet<>();
    Random r = new Random(25);
    for (int n : new int[] {6, 26, 26, 26, 26, 26, 26, 26, 60}) {
      MarkedPhoto p = new MarkedPhoto(4000, 3000);
      for (int i = 0; i < n; i++) {
        p.callout("entrance-cable", .05 + .9 * r.nextDouble(), .05 + .9 * r.nextDouble());
      }
      Drawing d = p.drawing();
      boolean small = plate(d, 1).lines().get(0).size() < .0143;
      manners.add(d.needsLegend() ? "brief" : small ? "small" : "full");
      assertEquals(n, d.shapes().stream().filter(s -> s instanceof Plate).count());
      assertEquals(n, d.legend().size());
    }
    assertEquals(Set.of("full", "small", "brief"), manners);
  }

  @Test
  void aNarrowPhotoShowsNumbersRatherThanCutTerms() {
    MarkedPhoto p = new MarkedPhoto(300, 4000);
    p.callout("grounding-electrode-conductor", .5, .5);
    Drawing d = p.drawing();
    assertTrue(d.needsLegend());
    assertEquals("1", plate(d, 1).text());
    assertEquals("Grounding electrode conductor", d.legend().get(0).term());
  }

  @Test
  void aPhotoTooSmallForAnyPlateStillGetsOne() {
    MarkedPhoto p = new MarkedPhoto(16000, 120).callout("meter", .5, .5);
    assertEquals(1, p.drawing().shapes().stream().filter(s -> s instanceof Plate).count());
    MarkedPhoto unknown = new MarkedPhoto(0, 0).callout("meter", .5, .5);
    assertEquals(3, unknown.drawing().shapes().size());
  }

  @Test
  void aPlateMovedByHandStays() {
    MarkedPhoto p = new MarkedPhoto(4000, 3000);
    p.callout("meter", null, null, new Point(.8, .2), .5, .5);
    Plate plate = plate(p.drawing(), 1);
    Frame f = new Frame(4000, 3000);
    assertEquals(3200, f.x(plate.topLeft()) + f.length(plate.width()) / 2, 1e-6);
    assertEquals(600, f.y(plate.topLeft()) + f.length(plate.height()) / 2, 1e-6);
  }

  @Test
  void aDraggedRingTakesItsPlateAlong() {
    MarkedPhoto p = new MarkedPhoto(4000, 3000);
    p.callout("meter", .5, .5).callout("mast", .2, .2);
    Drawing before = p.drawing();
    p.move(1, .52, .55);
    Drawing after = p.drawing(before);
    assertEquals(plate(before, 2), plate(after, 2));
    assertEquals(plate(before, 1).topLeft().x() + .02, plate(after, 1).topLeft().x(), 1e-6);
    assertEquals(plate(before, 1).topLeft().y() + .05, plate(after, 1).topLeft().y(), 1e-6);
  }

  @Test
  void textStaysWithinItsPlateAndPlatesWithinThePhoto() {
    String[] awkward = {
      "\uD83D\uDE00".repeat(50),
      "\u05E9\u05DC\u05D5\u05DD",
      "W".repeat(5000),
      "\u0000\u0007",
      "<b>&\"'"
    };
    for (int[] size : new int[][] {{4000, 3000}, {3000, 4000}, {12000, 2400}}) {
      MarkedPhoto p = new MarkedPhoto(size[0], size[1]).finding(1, awkward[2]);
      for (int i = 0; i < awkward.length; i++) {
        p.callout(
            i == 0 ? "W".repeat(3000) : "mast",
            i == 2 ? 1 : null,
            awkward[i],
            null,
            .1 + .2 * i,
            .3 + .1 * (i % 3));
      }
      Frame f = new Frame(size[0], size[1]);
      for (Shape s : p.drawing().shapes()) {
        if (s instanceof Plate plate) {
          double right = f.x(plate.topLeft()) + f.length(plate.width());
          double bottom = f.y(plate.topLeft()) + f.length(plate.height());
          assertTrue(plate.topLeft().onPhoto() && right <= size[0] && bottom <= size[1]);
          for (Plate.Line l : plate.lines()) {
            assertTrue(l.x() + l.width() <= plate.width() + 1e-9, l.text());
          }
        }
      }
    }
  }

  @Test
  void aFindingShowsWithoutColour() {
    MarkedPhoto p = new MarkedPhoto(4000, 3000).finding(1, "Rust");
    p.callout("meter", .3, .5).callout("mast", 1, null, null, .7, .5);
    Drawing d = p.drawing();
    assertFalse(plate(d, 1).filled());
    assertTrue(plate(d, 2).filled());
    assertNotEquals(plate(d, 1).lines().size(), plate(d, 2).lines().size());
    assertEquals(
        List.of(false, true),
        d.shapes().stream().filter(s -> s instanceof Ring).map(s -> ((Ring) s).hasDot()).toList());
  }

  /** WCAG 2.2, definitions of relative luminance and contrast ratio; success criterion 1.4.3. */
  @Test
  void textOnPlatesHasEnoughContrast() {
    assertTrue(contrast(Tone.INK, Tone.PAPER) >= 4.5);
    assertTrue(contrast(Tone.QUIET_ON_PAPER, Tone.PAPER) >= 4.5);
    assertTrue(contrast(Tone.QUIET_ON_INK, Tone.INK) >= 4.5);
  }

  private static double contrast(Tone a, Tone b) {
    double x = luminance(a);
    double y = luminance(b);
    return (Math.max(x, y) + .05) / (Math.min(x, y) + .05);
  }

  private static double luminance(Tone t) {
    double[] weight = {.2126, .7152, .0722};
    double sum = 0;
    for (int i = 0; i < 3; i++) {
      double c = (t.rgb() >> (16 - 8 * i) & 0xFF) / 255.0;
      sum += weight[i] * (c <= .04045 ? c / 12.92 : Math.pow((c + .055) / 1.055, 2.4));
    }
    return sum;
  }

  @Test
  void termsComeFromTheTrade() {
    MarkedPhoto p = new MarkedPhoto(4000, 3000).callout("drip-loop", .5, .5);
    Drawing d = Drawing.of(p.job(), p.photo, Trade.standard());
    assertEquals("drip loop", Trade.standard().term("drip-loop"));
    assertEquals("1 Drip loop", plate(d, 1).text());
  }

  static Plate plate(Drawing d, int number) {
    return (Plate)
        d.shapes().stream()
            .filter(s -> s instanceof Plate p && p.number() == number)
            .findFirst()
            .orElseThrow();
  }

  /** Rings close together in a corner, where leaders can't all keep clear of each other. */
  @Test
  void inACrowdedCornerNoPlateHidesAnother() {
    long seed = Long.getLong("seed", 33);
    System.out.println("crowded corner: seed " + seed);
    Random r = new Random(seed);
    String[] parts = {"service-drop", "service-head", "drip-loop", "meter", "mast", "attachment"};
    for (int round = 0; round < 60; round++) {
      MarkedPhoto p = new MarkedPhoto(4000, 3000).finding(1, "Double tap at the second breaker");
      int many = 6 + round % 15;
      for (int i = 0; i < many; i++) {
        Integer finding = i == 3 ? Integer.valueOf(1) : null;
        double x = .05 + .2 * r.nextDouble();
        p.callout(parts[i % 6], finding, null, null, x, .7 + .28 * r.nextDouble());
      }
      List<Plate> plates =
          p.drawing().shapes().stream()
              .filter(Plate.class::isInstance)
              .map(Plate.class::cast)
              .toList();
      assertEquals(many, plates.size());
      for (int i = 0; i < many; i++) {
        for (int j = i + 1; j < many; j++) {
          Plate a = plates.get(i);
          Plate b = plates.get(j);
          // 4000 by 3000: the diagonal, of which sizes are fractions, is 5000.
          double dx = .8 * (b.topLeft().x() - a.topLeft().x());
          double dy = .6 * (b.topLeft().y() - a.topLeft().y());
          boolean apart =
              dx >= a.width() || -dx >= b.width() || dy >= a.height() || -dy >= b.height();
          assertTrue(apart, "round " + round + ": " + a.mark() + " and " + b.mark());
        }
      }
    }
  }
}

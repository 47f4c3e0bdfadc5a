package meterside.markup;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.awt.Color;
import java.awt.Graphics2D;
import java.awt.image.BufferedImage;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import meterside.job.Orientation;
import meterside.job.Outline;
import meterside.job.Point;
import meterside.job.ReportView;
import org.junit.jupiter.api.Test;

/** The delivered picture: one map for marks and pixels, and nothing hidden comes through. */
class DeliveredTest {

  private static Random random(String what, long seed) {
    long chosen = Long.getLong("seed", seed);
    System.out.println(what + ": seed " + chosen);
    return new Random(chosen);
  }

  private static ReportView view(Random r) {
    double w = .3 + .7 * r.nextDouble();
    double h = .3 + .7 * r.nextDouble();
    return ReportView.AS_TAKEN
        .turned(r.nextInt(4))
        .straightened(r.nextInt(3) == 0 ? 0 : 30 * r.nextDouble() - 15)
        .cropped((1 - w) * r.nextDouble(), (1 - h) * r.nextDouble(), w, h);
  }

  private static Delivered of(MarkedPhoto p, ReportView v) {
    return Delivered.of(p.job(), p.photo, v);
  }

  @Test
  void thereAndBackIsTheSamePoint() {
    Random r = random("there and back", 61);
    for (int i = 0; i < 2000; i++) {
      MarkedPhoto p = new MarkedPhoto(200 + r.nextInt(6000), 200 + r.nextInt(6000));
      Delivered d = of(p, view(r));
      Point at = new Point(r.nextDouble(), r.nextDouble());
      Point back = d.toPhoto(d.toDelivered(at));
      assertEquals(at.x(), back.x(), 1e-9);
      assertEquals(at.y(), back.y(), 1e-9);
    }
  }

  /** EXIF Orientation 6 (CIPA DC-008, tag 0x0112) asks for one quarter turn clockwise. */
  @Test
  void aQuarterTurnIsThatOfExifOrientationSix() {
    MarkedPhoto p = new MarkedPhoto(4000, 3000);
    Delivered d = of(p, ReportView.AS_TAKEN.turned(1));
    assertEquals(3000, d.width(), 1e-9);
    assertEquals(4000, d.height(), 1e-9);
    for (Point at : List.of(new Point(0, 0), new Point(1, 0), new Point(.25, .75))) {
      Point upright = Orientation.of(6).toUpright(at);
      assertEquals(upright.x(), d.toDelivered(at).x(), 1e-9);
      assertEquals(upright.y(), d.toDelivered(at).y(), 1e-9);
    }
  }

  @Test
  void straighteningKeepsTheLargestPartOfTheSameShapeWithoutEmptyCorners() {
    Random r = random("straighten", 62);
    for (int i = 0; i < 500; i++) {
      MarkedPhoto p = new MarkedPhoto(500 + r.nextInt(4000), 500 + r.nextInt(4000));
      double degrees = 30 * r.nextDouble() - 15;
      Delivered d = of(p, ReportView.AS_TAKEN.straightened(degrees));
      double aspect = (double) p.photo.uprightWidth() / p.photo.uprightHeight();
      assertEquals(aspect, d.width() / d.height(), 1e-9);
      double nearest = 1;
      for (Point c : d.frameOnPhoto()) {
        nearest =
            Math.min(nearest, Math.min(Math.min(c.x(), 1 - c.x()), Math.min(c.y(), 1 - c.y())));
      }
      assertEquals(0, nearest, 1e-9, "a corner lies on the photo's edge, and none outside");
    }
  }

  @Test
  void aQuarterTurnTurnsTheCropWithThePhoto() {
    Random r = random("turn the crop", 63);
    for (int i = 0; i < 300; i++) {
      MarkedPhoto p = new MarkedPhoto(3000, 2000);
      ReportView v = view(r);
      List<Point> before = of(p, v).frameOnPhoto();
      List<Point> after = of(p, v.turned(1)).frameOnPhoto();
      for (int k = 0; k < 4; k++) {
        // What was at the top left is at the top right now.
        assertEquals(before.get(k).x(), after.get((k + 1) % 4).x(), 1e-6);
        assertEquals(before.get(k).y(), after.get((k + 1) % 4).y(), 1e-6);
      }
    }
  }

  @Test
  void pixelsGoWhereThePointsGo() {
    Random r = random("pixels", 64);
    for (int i = 0; i < 60; i++) {
      MarkedPhoto p = new MarkedPhoto(4 * 300, 4 * 200);
      Delivered d = of(p, view(r));
      Point at = d.toPhoto(new Point(.1 + .8 * r.nextDouble(), .1 + .8 * r.nextDouble()));
      BufferedImage photo = new BufferedImage(300, 200, BufferedImage.TYPE_INT_RGB);
      Graphics2D g = photo.createGraphics();
      g.setColor(Color.WHITE);
      g.fillRect((int) (at.x() * 300) - 2, (int) (at.y() * 200) - 2, 5, 5);
      g.dispose();
      BufferedImage out = d.picture(photo);
      assertEquals(d.width() / d.height(), (double) out.getWidth() / out.getHeight(), .05);
      double sum = 0;
      double sx = 0;
      double sy = 0;
      for (int y = 0; y < out.getHeight(); y++) {
        for (int x = 0; x < out.getWidth(); x++) {
          int v = out.getRGB(x, y) & 255;
          sum += v;
          sx += v * (x + .5);
          sy += v * (y + .5);
        }
      }
      Point there = d.toDelivered(at);
      assertEquals(there.x() * out.getWidth(), sx / sum, 1.2);
      assertEquals(there.y() * out.getHeight(), sy / sum, 1.2);
    }
  }

  @Test
  void noHiddenPixelIsMixedIntoTheDeliveredPicture() {
    Random r = random("hidden", 65);
    for (int i = 0; i < 60; i++) {
      MarkedPhoto p = new MarkedPhoto(400, 300);
      double x = .3 * r.nextDouble();
      double y = .3 * r.nextDouble();
      List<Point> secret =
          i % 2 == 0
              ? Outline.boxCorners(x, y, .3, .3)
              : List.of(new Point(x, y), new Point(x + .5, y + .1), new Point(x + .2, y + .6));
      p.redact(secret);
      // Green only where the redaction is; nowhere else is any green at all.
      BufferedImage photo = new BufferedImage(400, 300, BufferedImage.TYPE_INT_RGB);
      Graphics2D g = photo.createGraphics();
      g.setColor(new Color(0xF000E0));
      g.fillRect(0, 0, 400, 300);
      g.setColor(new Color(0x00FF00));
      java.awt.geom.Path2D path = new java.awt.geom.Path2D.Double();
      for (Point c : secret) {
        if (path.getCurrentPoint() == null) {
          path.moveTo(c.x() * 400, c.y() * 300);
        } else {
          path.lineTo(c.x() * 400, c.y() * 300);
        }
      }
      path.closePath();
      g.fill(path);
      g.dispose();
      BufferedImage out = of(p, view(r)).picture(photo);
      int cover = Tone.COVER.color().getGreen();
      for (int yy = 0; yy < out.getHeight(); yy++) {
        for (int xx = 0; xx < out.getWidth(); xx++) {
          int green = out.getRGB(xx, yy) >> 8 & 255;
          assertTrue(green <= cover + 1, "green " + green + " at " + xx + "," + yy);
        }
      }
    }
  }

  @Test
  void brightnessAndContrastChangeTonesAndNotCovers() {
    MarkedPhoto p = new MarkedPhoto(40, 30).redact(0, 0, .25, .25);
    BufferedImage photo = new BufferedImage(40, 30, BufferedImage.TYPE_INT_RGB);
    Graphics2D g = photo.createGraphics();
    g.setColor(new Color(0x404040));
    g.fillRect(0, 0, 40, 30);
    g.dispose();
    int bright = of(p, ReportView.AS_TAKEN.toned(.5, 0)).picture(photo).getRGB(30, 20) & 255;
    int hard = of(p, ReportView.AS_TAKEN.toned(0, .5)).picture(photo).getRGB(30, 20) & 255;
    int soft = of(p, ReportView.AS_TAKEN.toned(0, -.5)).picture(photo).getRGB(30, 20) & 255;
    assertEquals(0x40 + 64, bright, 1);
    assertEquals(0, hard, 1);
    assertEquals(96, soft, 1);
    int cover = of(p, ReportView.AS_TAKEN.toned(1, 1)).picture(photo).getRGB(2, 2) & 0xFFFFFF;
    assertEquals(Tone.COVER.rgb(), cover);
  }

  @Test
  void theDrawingLeavesOutWhatTheCropLeavesOutAndKeepsTheNumbers() {
    MarkedPhoto p = new MarkedPhoto(4000, 3000);
    p.callout("service-head", .1, .1)
        .callout("meter", .6, .6)
        .spot(.4, .7, .3, .2)
        .measure(2, .1, .55, .55, .05, .05)
        .view(ReportView.AS_TAKEN.cropped(.5, .5, .4, .4));
    Drawing d = Drawing.delivered(p.job(), p.photo, Naming.of(p.job(), MarkedPhoto::term));
    List<Integer> numbers = new ArrayList<>();
    d.legend().forEach(l -> numbers.add(l.number()));
    assertEquals(List.of(2, 3), numbers);
    for (Shape s : d.shapes()) {
      if (s instanceof Ring ring) {
        assertEquals(.25, ring.centre().x(), 1e-9);
        assertEquals(.25, ring.centre().y(), 1e-9);
      } else if (s instanceof Polygon spot) {
        assertTrue(spot.corners().stream().allMatch(Point::onPhoto));
      }
    }
    assertEquals("Close view", d.legend().get(1).term());
    assertEquals("P2", d.legend().get(1).note());
  }

  @Test
  void aMeasurementSaysItsValueItsBandAndByWhat() {
    MarkedPhoto p = new MarkedPhoto(4000, 3000).measure(2.845, .07, .5, .2, .5, .8);
    Drawing d = p.drawing();
    assertEquals("About 9 ft 4 in ± 4 in", d.legend().get(0).term());
    assertEquals("estimate by 1-gang plate, height", d.legend().get(0).note());
    assertEquals(1, d.shapes().stream().filter(s -> s instanceof Dimension).count());
    double[][] lines = ((Dimension) d.shapes().get(0)).lines(new Frame(400, 300));
    assertEquals(3, lines.length);
    assertEquals(200, lines[1][0] + (lines[1][2] - lines[1][0]) / 2, 1e-9);
    assertEquals(60, lines[1][1], 1e-9);
  }

  @Test
  void whatWasDoneIsSaid() {
    MarkedPhoto p = new MarkedPhoto(40, 30);
    assertEquals(Optional.empty(), of(p, ReportView.AS_TAKEN).sentence());
    assertEquals(
        Optional.of("Shown turned, straightened, brighter; the original is unchanged."),
        of(p, ReportView.AS_TAKEN.turned(1).straightened(2).toned(.1, 0)).sentence());
  }
}

package meterside.markup;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.awt.Color;
import java.awt.GradientPaint;
import java.awt.Graphics2D;
import java.awt.image.BufferedImage;
import java.io.File;
import java.util.Random;
import javax.imageio.ImageIO;
import meterside.job.Point;
import org.junit.jupiter.api.Test;

/** Pictures to be looked at, in target/markup. */
class PicturesTest {

  static BufferedImage wall(int w, int h) {
    BufferedImage image = new BufferedImage(w, h, BufferedImage.TYPE_INT_RGB);
    Graphics2D g = image.createGraphics();
    g.setPaint(new GradientPaint(0, 0, new Color(0x55504a), w, h, new Color(0xd8d4c4)));
    g.fillRect(0, 0, w, h);
    g.setColor(new Color(0x8a8878));
    for (int y = h / 40; y < h; y += Math.max(12, h / 16)) {
      g.fillRect(0, y, w, Math.max(1, h / 300));
    }
    g.setColor(new Color(0x202020));
    g.fillRect(w * 46 / 100, h / 4, Math.max(2, w / 60), h * 3 / 4);
    g.dispose();
    return image;
  }

  static void show(String name, MarkedPhoto p, int w, int h) throws Exception {
    BufferedImage out = GraphicsPainter.burn(wall(w, h), p.drawing(), true);
    File folder = new File("target/markup");
    folder.mkdirs();
    File file = new File(folder, name + ".png");
    ImageIO.write(out, "png", file);
    assertTrue(file.length() > 1000);
  }

  @Test
  void oneCallout() throws Exception {
    show("one", new MarkedPhoto(4000, 3000).callout("service-head", .5, .4), 720, 540);
  }

  @Test
  void fiveCalloutsOneWithAFinding() throws Exception {
    MarkedPhoto p = new MarkedPhoto(4032, 4100).finding(4, "Insulation cracked at the low point");
    p.callout("service-drop", .197, .162)
        .callout("service-head", .461, .296)
        .callout("drip-loop", 4, null, null, .363, .386)
        .callout("entrance-cable", .47, .61)
        .callout("meter", .452, .936);
    show("five", p, 743, 756);
  }

  @Test
  void crowdedTwenty() throws Exception {
    Random r = new Random(3);
    MarkedPhoto p =
        new MarkedPhoto(4000, 3000)
            .finding(1, "Cracks on two of three conductors at the low point of the loop.")
            .finding(2, "No bushing");
    String[] parts = {"service-drop", "service-head", "drip-loop", "meter", "mast"};
    for (int i = 0; i < 20; i++) {
      Integer finding = i == 4 ? Integer.valueOf(1) : i == 9 ? Integer.valueOf(2) : null;
      p.callout(
          i == 7 ? "grounding-electrode-conductor" : parts[i % 5],
          finding,
          null,
          null,
          .3 + .4 * r.nextDouble(),
          .25 + .5 * r.nextDouble());
    }
    show("twenty", p, 720, 540);
  }

  @Test
  void nearTheEdges() throws Exception {
    MarkedPhoto p = new MarkedPhoto(4000, 3000).finding(1, "Rust at the bottom of the box");
    p.callout("service-drop", 0, 0)
        .callout("service-head", 1, 0)
        .callout("drip-loop", 1, null, null, 0, 1)
        .callout("meter", 1, 1)
        .callout("mast", .5, 0)
        .callout("attachment", .99, .5)
        .redact(.4, .4, .2, .15);
    show("edges", p, 720, 540);
  }

  @Test
  void portrait() throws Exception {
    MarkedPhoto p = new MarkedPhoto(3000, 4000).finding(2, "Missing knockout filler at the side");
    p.callout("service-head", .5, .2)
        .callout("meter", 2, null, null, .48, .7)
        .callout("entrance-cable", null, "three conductors", null, .42, .45, .5, .46, .58, .45)
        .outline("mast", null, null, .4, .8, .6, .8, .6, .95, .4, .95);
    show("portrait", p, 540, 720);
  }

  @Test
  void panorama() throws Exception {
    MarkedPhoto p = new MarkedPhoto(16000, 3000).finding(2, "Missing knockout filler");
    p.callout("service-head", .5, .5)
        .callout("meter", 2, null, null, .2, .3)
        .callout("mast", .8, .9)
        .callout("attachment", null, null, new Point(.6, .2), .62, .6);
    show("panorama", p, 1440, 270);
  }

  @Test
  void crowdedSixtyWithNumbersOnly() throws Exception {
    Random r = new Random(6);
    MarkedPhoto p = new MarkedPhoto(4000, 3000).finding(1, "Open knockout");
    for (int i = 0; i < 60; i++) {
      Integer finding = i % 12 == 4 ? Integer.valueOf(1) : null;
      p.callout("entrance-cable", finding, null, null, r.nextDouble(), r.nextDouble());
    }
    show("sixty", p, 720, 540);
  }

  @Test
  void aClusterInOneCorner() throws Exception {
    Random r = new Random(9);
    MarkedPhoto p = new MarkedPhoto(4000, 3000).finding(1, "Double tap at the second breaker");
    String[] parts = {"service-drop", "service-head", "drip-loop", "meter", "mast", "attachment"};
    for (int i = 0; i < 12; i++) {
      Integer finding = i == 3 ? Integer.valueOf(1) : null;
      double x = .05 + .2 * r.nextDouble();
      p.callout(parts[i % 6], finding, null, null, x, .7 + .28 * r.nextDouble());
    }
    show("corner", p, 720, 540);
  }
}

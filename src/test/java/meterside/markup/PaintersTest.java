package meterside.markup;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.awt.Font;
import java.awt.Graphics2D;
import java.awt.GraphicsEnvironment;
import java.awt.geom.Area;
import java.awt.geom.Path2D;
import java.awt.geom.Rectangle2D;
import java.awt.image.BufferedImage;
import java.io.File;
import java.io.InputStream;
import java.io.StringReader;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Base64;
import java.util.List;
import java.util.Random;
import javax.imageio.ImageIO;
import javax.xml.parsers.DocumentBuilderFactory;
import meterside.job.Point;
import org.apache.batik.transcoder.TranscoderInput;
import org.apache.batik.transcoder.TranscoderOutput;
import org.apache.batik.transcoder.image.ImageTranscoder;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.w3c.dom.Document;
import org.w3c.dom.NodeList;
import org.xml.sax.InputSource;

/** The painters against each other, and burnt redactions pixel by pixel. */
class PaintersTest {

  /** Batik finds fonts among those of the platform. */
  @BeforeAll
  static void registerRoboto() throws Exception {
    for (String weight : new String[] {"Regular", "Bold"}) {
      String path = "/com/formdev/flatlaf/fonts/roboto/Roboto-" + weight + ".ttf";
      try (InputStream in = PaintersTest.class.getResourceAsStream(path)) {
        GraphicsEnvironment.getLocalGraphicsEnvironment()
            .registerFont(Font.createFont(Font.TRUETYPE_FONT, in));
      }
    }
  }

  private static MarkedPhoto everything(int width, int height) {
    MarkedPhoto p =
        new MarkedPhoto(width, height).finding(4, "Insulation cracked at the low point");
    return p.callout("service-drop", .2, .15)
        .callout("service-head", .45, .3)
        .callout("drip-loop", 4, null, null, .35, .45)
        .callout("entrance-cable", null, "three of them", null, .62, .6, .68, .62, .74, .6)
        .outline("meter", null, null, .3, .75, .45, .75, .45, .92, .3, .92)
        .spot(.08, .5, .2, .22)
        .measure(2.845, .07, .86, .35, .86, .9)
        .redact(.75, .1, .2, .15);
  }

  private static BufferedImage byBatik(String svg, int w, int h) throws Exception {
    BufferedImage[] out = new BufferedImage[1];
    ImageTranscoder transcoder =
        new ImageTranscoder() {
          @Override
          public BufferedImage createImage(int width, int height) {
            return new BufferedImage(width, height, BufferedImage.TYPE_INT_RGB);
          }

          @Override
          public void writeImage(BufferedImage image, TranscoderOutput ignored) {
            out[0] = image;
          }
        };
    transcoder.addTranscodingHint(ImageTranscoder.KEY_WIDTH, (float) w);
    transcoder.addTranscodingHint(ImageTranscoder.KEY_HEIGHT, (float) h);
    transcoder.addTranscodingHint(ImageTranscoder.KEY_BACKGROUND_COLOR, new java.awt.Color(GROUND));
    transcoder.transcode(new TranscoderInput(new StringReader(svg)), null);
    return out[0];
  }

  private static final int GROUND = 0xA09080;

  private static BufferedImage ground(int w, int h) {
    BufferedImage image = new BufferedImage(w, h, BufferedImage.TYPE_INT_RGB);
    Graphics2D g = image.createGraphics();
    g.setColor(new java.awt.Color(GROUND));
    g.fillRect(0, 0, w, h);
    g.dispose();
    return image;
  }

  private static double difference(int a, int b) {
    double sum = 0;
    for (int shift = 0; shift <= 16; shift += 8) {
      sum += Math.abs((a >> shift & 0xFF) - (b >> shift & 0xFF));
    }
    return sum / 3;
  }

  @Test
  void bothPaintersPaintTheSamePicture() throws Exception {
    int[][] sizes = {{1440, 1080, 4000, 3000}, {720, 960, 3000, 4000}, {1600, 400, 12000, 3000}};
    for (int[] size : sizes) {
      int w = size[0];
      int h = size[1];
      Drawing d = everything(size[2], size[3]).drawing();
      BufferedImage java = GraphicsPainter.burn(ground(w, h), d, true);
      BufferedImage svg = byBatik(SvgPainter.svg(d, w, h), w, h);
      File folder = new File("target/markup");
      folder.mkdirs();
      ImageIO.write(java, "png", new File(folder, "painted-" + w + ".png"));
      ImageIO.write(svg, "png", new File(folder, "batik-" + w + ".png"));
      int far = 0;
      int inked = 0;
      for (int y = 2; y < h - 2; y++) {
        for (int x = 2; x < w - 2; x++) {
          inked += difference(java.getRGB(x, y), GROUND) > 8 ? 1 : 0;
          far += isNear(java, svg, x, y) && isNear(svg, java, x, y) ? 0 : 1;
        }
      }
      System.out.printf("%d x %d: %d of %d inked pixels differ%n", w, h, far, inked);
      assertTrue(inked > w * h / 50, "something was painted");
      assertTrue(far <= inked * .002, far + " of " + inked + " pixels differ");
    }
  }

  /** Twenty names in the middle, twelve in a corner: side by side, to be looked at. */
  @Test
  void crowdedPhotosAreTheSameInBothPainters() throws Exception {
    Random r = new Random(33);
    String[] parts = {"service-drop", "service-head", "drip-loop", "meter", "mast", "attachment"};
    for (int many : new int[] {12, 20}) {
      MarkedPhoto p =
          new MarkedPhoto(4000, 3000)
              .finding(1, "Cracks on two of three conductors at the low point of the loop.")
              .finding(2, "No bushing");
      for (int i = 0; i < many; i++) {
        Integer finding = i == 4 ? Integer.valueOf(1) : i == 9 ? Integer.valueOf(2) : null;
        double x = many == 20 ? .3 + .4 * r.nextDouble() : .05 + .2 * r.nextDouble();
        double y = many == 20 ? .25 + .5 * r.nextDouble() : .7 + .28 * r.nextDouble();
        p.callout(parts[i % 6], finding, null, null, x, y);
      }
      Drawing d = p.drawing();
      BufferedImage java = GraphicsPainter.burn(ground(1080, 810), d, true);
      BufferedImage svg = byBatik(SvgPainter.svg(d, 1080, 810), 1080, 810);
      BufferedImage both = new BufferedImage(2164, 810, BufferedImage.TYPE_INT_RGB);
      both.getRaster().setRect(0, 0, java.getRaster());
      both.createGraphics().drawImage(svg, 1084, 0, null);
      new File("target/markup").mkdirs();
      ImageIO.write(both, "png", new File("target/markup/crowded-" + many + ".png"));
      int far = 0;
      int inked = 0;
      for (int y = 2; y < 808; y++) {
        for (int x = 2; x < 1078; x++) {
          inked += difference(java.getRGB(x, y), GROUND) > 8 ? 1 : 0;
          far += isNear(java, svg, x, y) && isNear(svg, java, x, y) ? 0 : 1;
        }
      }
      assertTrue(far <= inked * .004, far + " of " + inked + " pixels differ");
    }
  }

  /**
   * Whether a pixel lies between the darkest and the lightest that the other picture has up to two
   * pixels away: Batik moves strokes by half a pixel and spaces letters by whole ones, so smoothed
   * edges come out differently.
   */
  private static boolean isNear(BufferedImage one, BufferedImage other, int x, int y) {
    for (int shift = 0; shift <= 16; shift += 8) {
      int least = 255;
      int most = 0;
      for (int dy = -2; dy <= 2; dy++) {
        for (int dx = -2; dx <= 2; dx++) {
          int there = other.getRGB(x + dx, y + dy) >> shift & 0xFF;
          least = Math.min(least, there);
          most = Math.max(most, there);
        }
      }
      int here = one.getRGB(x, y) >> shift & 0xFF;
      if (here < least - 24 || here > most + 24) {
        return false;
      }
    }
    return true;
  }

  @Test
  void aMissingLeaderWouldBeNoticed() throws Exception {
    Drawing d = everything(4000, 3000).drawing();
    List<Shape> fewer = new ArrayList<>(d.shapes());
    fewer.remove(fewer.stream().filter(s -> s instanceof Leader).findFirst().orElseThrow());
    BufferedImage java = GraphicsPainter.burn(ground(720, 540), d, true);
    Drawing less = new Drawing(fewer, d.legend());
    BufferedImage svg = byBatik(SvgPainter.svg(less, 720, 540), 720, 540);
    int far = 0;
    for (int y = 2; y < 538; y++) {
      for (int x = 2; x < 718; x++) {
        far += isNear(java, svg, x, y) ? 0 : 1;
      }
    }
    assertTrue(far > 40, far + " pixels differ");
  }

  @Test
  void svgIsValidXmlWithTextAndNothingFromOutside() throws Exception {
    MarkedPhoto p = new MarkedPhoto(4000, 3000).finding(1, "a < b & \"c\" 'd' ]]> \u0000\uD800");
    p.callout("<script>alert(1)</script>", 1, null, null, .5, .5)
        .callout("meter", null, "\uD83D\uDE00 \u05E9", null, .2, .2)
        .redact(.1, .7, .1, .1)
        .outline("mast", null, null, .6, .7, .8, .7, .8, .9);
    String svg = SvgPainter.svg(p.drawing(), 4000, 3000);
    DocumentBuilderFactory f = DocumentBuilderFactory.newInstance();
    f.setNamespaceAware(true);
    Document doc = f.newDocumentBuilder().parse(new InputSource(new StringReader(svg)));
    assertEquals("http://www.w3.org/2000/svg", doc.getDocumentElement().getNamespaceURI());
    assertEquals("0 0 4000 3000", doc.getDocumentElement().getAttribute("viewBox"));
    NodeList texts = doc.getElementsByTagName("text");
    List<String> read = new ArrayList<>();
    for (int i = 0; i < texts.getLength(); i++) {
      read.add(texts.item(i).getTextContent());
    }
    assertEquals(
        List.of(
            "1 <script>alert(1)</script> F1",
            "a < b & \"c\" 'd' ]]> [U+D800]",
            "2 Meter",
            "[U+1F600] [U+05E9]",
            "3 Mast"),
        read);
    assertEquals(0, doc.getElementsByTagName("script").getLength());
    String without = svg.replace("http://www.w3.org/2000/svg", "");
    for (String no : new String[] {"http", "href", "url(", "<style", " id=", "<image", "@"}) {
      assertFalse(without.contains(no), no);
    }
    assertTrue(svg.chars().allMatch(c -> c >= ' ' && c < 0xD800), "only plain characters");
  }

  @Test
  void theDataUriHoldsTheSameAndNoQuotes() {
    Drawing d = everything(4000, 3000).drawing();
    String uri = SvgPainter.dataUri(d, 800, 600);
    String prefix = "data:image/svg+xml;base64,";
    assertTrue(uri.startsWith(prefix));
    assertTrue(uri.matches("[A-Za-z0-9+/=:;,]+"));
    byte[] back = Base64.getDecoder().decode(uri.substring(prefix.length()));
    assertEquals(SvgPainter.svg(d, 800, 600), new String(back, StandardCharsets.UTF_8));
  }

  // ---- redactions ----

  /** Every pixel another, none the cover's colour. */
  private static BufferedImage noise(int w, int h, Random r) {
    BufferedImage image = new BufferedImage(w, h, BufferedImage.TYPE_INT_RGB);
    for (int y = 0; y < h; y++) {
      for (int x = 0; x < w; x++) {
        image.setRGB(x, y, r.nextInt() | 0x010000);
      }
    }
    return image;
  }

  @Test
  void noPixelThatARedactionTouchesKeepsAnythingOfWhatWasThere() {
    long seed = Long.getLong("seed", 17);
    System.out.println("redactions: seed " + seed);
    Random r = new Random(seed);
    for (int round = 0; round < 40; round++) {
      int w = 40 + r.nextInt(160);
      int h = 40 + r.nextInt(160);
      MarkedPhoto p = new MarkedPhoto(w * 10, h * 10);
      List<Point> corners = new ArrayList<>();
      for (int i = 0; i < 3 + r.nextInt(5); i++) {
        corners.add(new Point(r.nextDouble(), r.nextDouble())); // crosses itself as often as not
      }
      p.redact(corners);
      Path2D path = new Path2D.Double(Path2D.WIND_NON_ZERO);
      for (int i = 0; i < corners.size(); i++) {
        double x = corners.get(i).x() * w;
        double y = corners.get(i).y() * h;
        if (i == 0) {
          path.moveTo(x, y);
        } else {
          path.lineTo(x, y);
        }
      }
      path.closePath();
      Area area = new Area(path);
      BufferedImage before = noise(w, h, r);
      BufferedImage after = GraphicsPainter.burn(before, p.drawing(), false);
      int covered = 0;
      int kept = 0;
      for (int y = 0; y < h; y++) {
        for (int x = 0; x < w; x++) {
          int rgb = after.getRGB(x, y) & 0xFFFFFF;
          if (area.intersects(new Rectangle2D.Double(x, y, 1, 1))) {
            assertEquals(Tone.COVER.rgb(), rgb, "round " + round + " at " + x + "," + y);
            covered++;
          } else if (rgb == (before.getRGB(x, y) & 0xFFFFFF)) {
            kept++;
          } else {
            assertEquals(Tone.COVER.rgb(), rgb, "nothing in between");
          }
        }
      }
      assertTrue(covered > 0 && kept > 0 || round > 0);
    }
  }

  @Test
  void aThinRedactionAndOneAtTheEdgeAreBurntToo() {
    Random r = new Random(2);
    MarkedPhoto p = new MarkedPhoto(1000, 1000);
    p.redact(0, 0, .2, .1).redact(.5, .5, .4, 1e-6).redact(.9, .9, .1, .1);
    BufferedImage after = GraphicsPainter.burn(noise(100, 100, r), p.drawing(), false);
    for (int[] at : new int[][] {{0, 0}, {19, 9}, {50, 50}, {89, 50}, {99, 99}, {90, 90}}) {
      assertEquals(Tone.COVER.rgb(), after.getRGB(at[0], at[1]) & 0xFFFFFF);
    }
  }

  @Test
  void marksLieOverTheCoverAndThePictureItselfIsNotChanged() {
    MarkedPhoto p = new MarkedPhoto(4000, 3000);
    p.callout("meter", .5, .5).redact(.3, .3, .6, .6);
    BufferedImage before = noise(1600, 1200, new Random(4));
    BufferedImage copy = new BufferedImage(1600, 1200, BufferedImage.TYPE_INT_RGB);
    copy.setData(before.getData());
    BufferedImage bare = GraphicsPainter.burn(before, p.drawing(), false);
    BufferedImage marked = GraphicsPainter.burn(before, p.drawing(), true);
    assertEquals(Tone.COVER.rgb(), bare.getRGB(800 + 17, 600) & 0xFFFFFF);
    boolean ring = false;
    for (int x = 800; x < 840; x++) {
      ring |= (marked.getRGB(x, 600) & 0xFFFFFF) == Tone.INK.rgb();
    }
    assertTrue(ring, "the ring is painted over the cover");
    for (int y = 0; y < 1200; y++) {
      for (int x = 0; x < 1600; x++) {
        assertEquals(copy.getRGB(x, y), before.getRGB(x, y));
      }
    }
  }

  @Test
  void transparentPicturesAreBurntOnWhite() {
    BufferedImage clear = new BufferedImage(50, 50, BufferedImage.TYPE_INT_ARGB);
    MarkedPhoto p = new MarkedPhoto(50, 50).redact(.5, .5, .2, .2);
    BufferedImage out = GraphicsPainter.burn(clear, p.drawing(), true);
    assertEquals(0xFFFFFFFF, out.getRGB(2, 2));
    assertEquals(BufferedImage.TYPE_INT_RGB, out.getType());
  }
}

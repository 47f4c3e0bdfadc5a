package meterside.picture;

import static meterside.picture.TestPictures.difference;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.awt.Graphics2D;
import java.awt.color.ColorSpace;
import java.awt.image.BufferedImage;
import java.awt.image.ComponentColorModel;
import java.awt.image.DataBuffer;
import java.awt.image.Raster;
import java.awt.image.WritableRaster;
import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.Random;
import javax.imageio.IIOImage;
import javax.imageio.ImageIO;
import javax.imageio.ImageWriter;
import meterside.job.Format;
import meterside.job.Orientation;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class PixelsTest {
  private static final BufferedImage SCENE = TestPictures.scene(400, 300, 11);

  @ParameterizedTest
  @CsvSource({
    // stored 1600 wide: what is asked, what comes
    "0,1600",
    "1600,1600",
    "801,1600",
    "800,800",
    "401,800",
    "400,400",
    "200,200",
    "100,200"
  })
  void jpegsComeAtTheSmallestCheapScaleThatIsEnough(int asked, int expected) throws Exception {
    byte[] jpeg = Jpegs.encode(TestPictures.scene(1600, 1203, 2), 0.9f);
    BufferedImage image = Pixels.uprightAtLeast(jpeg, Format.JPEG, Orientation.ROTATE_90, asked);
    assertEquals(expected, image.getHeight());
    assertEquals((1203 * expected + 1599) / 1600, image.getWidth());
    BufferedImage reference =
        Rgb.upright(Rgb.shrink(Rgb.of(read(jpeg)), expected), Orientation.ROTATE_90);
    if (reference.getWidth() == image.getWidth()) {
      assertTrue(difference(reference, image) < 5, "" + difference(reference, image));
    }
  }

  @ParameterizedTest
  @ValueSource(strings = {"png", "tiff"})
  void losslessFilesComeExactly(String kind) throws Exception {
    byte[] bytes = written(SCENE, kind);
    Format format = kind.equals("png") ? Format.PNG : Format.TIFF;
    assertEquals(0, difference(SCENE, Pixels.upright(bytes, format, Orientation.NORMAL, 0)));
    assertEquals(100, Pixels.upright(bytes, format, Orientation.NORMAL, 100).getWidth());
  }

  @ParameterizedTest
  @ValueSource(
      ints = {
        BufferedImage.TYPE_BYTE_GRAY,
        BufferedImage.TYPE_USHORT_GRAY,
        BufferedImage.TYPE_BYTE_BINARY,
        BufferedImage.TYPE_BYTE_INDEXED,
        BufferedImage.TYPE_4BYTE_ABGR
      })
  void graySixteenBitPaletteAndAlphaAreShown(int type) throws Exception {
    BufferedImage image = new BufferedImage(400, 300, type);
    Graphics2D g = image.createGraphics();
    g.drawImage(SCENE, 0, 0, null);
    g.dispose();
    for (String kind : new String[] {"png", "tiff"}) {
      byte[] bytes = written(image, kind);
      Picture p = (Picture) PictureReader.read(bytes, "a." + kind);
      assertNull(p.trouble(), kind);
      BufferedImage upright = Pixels.upright(bytes, p.format(), Orientation.NORMAL, 0);
      assertTrue(
          difference(Rgb.of(image), upright) < 1, kind + " " + difference(Rgb.of(image), upright));
    }
  }

  @Test
  void sixteenBitColourIsShown() throws Exception {
    WritableRaster raster =
        Raster.createInterleavedRaster(DataBuffer.TYPE_USHORT, 400, 300, 3, null);
    for (int y = 0; y < 300; y++) {
      for (int x = 0; x < 400; x++) {
        int p = SCENE.getRGB(x, y);
        raster.setPixel(
            x, y, new int[] {(p >> 16 & 0xff) * 257, (p >> 8 & 0xff) * 257, (p & 0xff) * 257});
      }
    }
    ComponentColorModel model =
        new ComponentColorModel(
            ColorSpace.getInstance(ColorSpace.CS_sRGB), false, false, 1, DataBuffer.TYPE_USHORT);
    byte[] png = written(new BufferedImage(model, raster, false, null), "png");
    assertEquals(16, png[24], "the file must be a 16-bit one");
    BufferedImage shown = Pixels.upright(png, Format.PNG, Orientation.NORMAL, 0);
    assertTrue(difference(SCENE, shown) < 1);
  }

  @Test
  void seeThroughPixelsAreLaidOnWhite() throws Exception {
    BufferedImage clear = new BufferedImage(20, 20, BufferedImage.TYPE_INT_ARGB);
    BufferedImage shown = Pixels.upright(written(clear, "png"), Format.PNG, Orientation.NORMAL, 0);
    assertEquals(0xffffff, shown.getRGB(3, 3) & 0xffffff);
  }

  @Test
  void grayAndProgressiveJpegsAreShown() throws Exception {
    BufferedImage gray = new BufferedImage(400, 300, BufferedImage.TYPE_BYTE_GRAY);
    gray.createGraphics().drawImage(SCENE, 0, 0, null);
    byte[] bytes = written(gray, "jpeg");
    assertTrue(
        difference(Rgb.of(gray), Pixels.upright(bytes, Format.JPEG, Orientation.NORMAL, 0)) < 4);
    byte[] progressive = BadInputTest.progressive(SCENE);
    assertTrue(
        difference(SCENE, Pixels.upright(progressive, Format.JPEG, Orientation.NORMAL, 0)) < 6);
  }

  @Test
  void inkJpegsOfAdobeAreShownInRightColours() throws Exception {
    // Four components, stored inverted, with an Adobe segment (transform 0: CMYK), as image
    // editors for print write them. No outside file at hand: written by the JDK's encoder.
    WritableRaster inks = Raster.createInterleavedRaster(DataBuffer.TYPE_BYTE, 400, 300, 4, null);
    for (int y = 0; y < 300; y++) {
      for (int x = 0; x < 400; x++) {
        int p = SCENE.getRGB(x, y);
        inks.setPixel(x, y, new int[] {p >> 16 & 0xff, p >> 8 & 0xff, p & 0xff, 255});
      }
    }
    ImageWriter writer = ImageIO.getImageWritersByFormatName("jpeg").next();
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    try (var stream = ImageIO.createImageOutputStream(out)) {
      writer.setOutput(stream);
      writer.write(null, new IIOImage(inks, null, null), null);
    }
    byte[] plain = out.toByteArray();
    ByteArrayOutputStream adobe = new ByteArrayOutputStream();
    adobe.write(plain, 0, 2);
    adobe.writeBytes(new byte[] {(byte) 0xff, (byte) 0xee, 0, 14});
    adobe.writeBytes("Adobe".getBytes(StandardCharsets.US_ASCII));
    adobe.writeBytes(new byte[] {0, 100, 0, 0, 0, 0, 0});
    adobe.write(plain, 2, plain.length - 2);
    Picture p = (Picture) PictureReader.read(adobe.toByteArray(), "ink.jpg");
    assertNull(p.trouble());
    BufferedImage shown = Pixels.upright(adobe.toByteArray(), Format.JPEG, Orientation.NORMAL, 0);
    assertTrue(difference(SCENE, shown) < 6, "" + difference(SCENE, shown));
  }

  @Test
  void realFilesOfAnImageEditorAreShown() {
    Picture p =
        (Picture)
            PictureReader.read(
                SharedData.bytes("bep-imagemeta/testdata/images/metadata-extractor/adobeJpeg1.jpg"),
                "adobeJpeg1.jpg");
    assertNull(p.trouble());
  }

  @Test
  void damagedPicturesAreRefusedWithASentence() {
    byte[] half = Arrays.copyOf(TestPictures.jpeg(4), 2000);
    UnreadablePicture e =
        assertThrows(
            UnreadablePicture.class,
            () -> Pixels.upright(half, Format.JPEG, Orientation.NORMAL, 0));
    assertTrue(e.damaged());
    assertEquals("The picture inside is damaged.", e.getMessage());
  }

  @Test
  void heicIsShownUprightWhereItsLibraryIsInstalled() throws Exception {
    byte[] bytes = SharedData.bytes("exifr/test/fixtures/heic-single.heic");
    assumeTrue(HeifDecoder.available(), "libheif is not installed");
    Picture p = (Picture) PictureReader.read(bytes, "a.heic");
    assertNull(p.trouble());
    assertEquals(1440, p.width());
    assertEquals(960, p.height());
    assertEquals(1008, read(p.previewJpeg()).getWidth());
    BufferedImage full = Pixels.upright(bytes, Format.HEIC, Orientation.ROTATE_90, 0);
    assertEquals(
        1440, full.getWidth(), "the library has turned it; the tag must not turn it again");
  }

  @Test
  void encodedJpegsHoldPixelsAndNothingElse() throws Exception {
    byte[] jpeg = Jpegs.encode(SCENE, 0.9f);
    assertTrue(difference(SCENE, read(jpeg)) < 4);
    String text = new String(jpeg, StandardCharsets.ISO_8859_1);
    assertFalse(text.contains("Exif"));
    // Markers up to the scan: JFIF, tables, one baseline frame with 4:2:0 sampling.
    int at = 2;
    boolean frame = false;
    while ((jpeg[at + 1] & 0xff) != 0xda) {
      int marker = jpeg[at + 1] & 0xff;
      assertTrue(
          marker == 0xe0 || marker == 0xdb || marker == 0xc4 || marker == 0xc0,
          Integer.toHexString(marker));
      if (marker == 0xc0) {
        frame = true;
        assertEquals(0x22, jpeg[at + 11], "luma twice as fine in both directions");
        assertEquals(0x11, jpeg[at + 14]);
        assertEquals(0x11, jpeg[at + 17]);
      }
      at += 2 + ((jpeg[at + 2] & 0xff) << 8 | jpeg[at + 3] & 0xff);
    }
    assertTrue(frame);
    assertEquals((byte) 0xd9, jpeg[jpeg.length - 1]);
  }

  @Test
  void shrinkingAveragesTheAreaThatAPixelCovers() {
    long seed = Long.getLong("seed", System.nanoTime());
    System.out.println("seed " + seed);
    Random random = new Random(seed);
    for (int k = 0; k < 40; k++) {
      int w = 2 + random.nextInt(60);
      int h = 2 + random.nextInt(60);
      int to = 1 + random.nextInt(Math.max(w, h) - 1);
      BufferedImage image = TestPictures.scene(w, h, seed + k);
      BufferedImage small = Rgb.shrink(image, to);
      assertEquals(to, Math.max(small.getWidth(), small.getHeight()));
      for (int n = 0; n < 10; n++) {
        int x = random.nextInt(small.getWidth());
        int y = random.nextInt(small.getHeight());
        assertEquals(
            average(image, small, x, y),
            small.getRGB(x, y) >> 16 & 0xff,
            1.01,
            w + "x" + h + " to " + to + " at " + x + "," + y + ", seed " + seed);
      }
    }
  }

  /** Red, averaged over the exact area by summing sub-areas, straight from the definition. */
  private static double average(BufferedImage image, BufferedImage small, int x, int y) {
    double sx = (double) image.getWidth() / small.getWidth();
    double sy = (double) image.getHeight() / small.getHeight();
    double sum = 0;
    for (int v = 0; v < image.getHeight(); v++) {
      double down = Math.min(v + 1, (y + 1) * sy) - Math.max(v, y * sy);
      for (int u = 0; u < image.getWidth() && down > 0; u++) {
        double across = Math.min(u + 1, (x + 1) * sx) - Math.max(u, x * sx);
        sum += across > 0 ? across * down * (image.getRGB(u, v) >> 16 & 0xff) : 0;
      }
    }
    return sum / sx / sy;
  }

  @Test
  void sharpnessIsTheVarianceOfTheLaplacian() {
    BufferedImage flat = Rgb.create(10, 10);
    assertEquals(0.0, Sharpness.of(flat));
    assertNull(Sharpness.of(Rgb.create(2, 2)));
    // One white pixel in the middle of 3 x 3 inner pixels: Laplacian −4·255 once, 255 four times,
    // 0 four times; mean 0; variance (16 + 4)·255²/9.
    BufferedImage dot = Rgb.create(5, 5);
    dot.setRGB(2, 2, 0xffffff);
    assertEquals(20 * 255.0 * 255.0 / 9, Sharpness.of(dot), 1e-6);
  }

  @Test
  void aBlurredPictureIsLessSharp() throws Exception {
    // The public set pdq holds one picture blurred a little and a lot.
    Double sharp = sharpness("aaa-orig.jpg");
    Double little = sharpness("blur-a-little.jpg");
    Double lot = sharpness("blur-a-lot.jpg");
    assertNotNull(sharp);
    assertTrue(sharp > little && little > lot, sharp + " " + little + " " + lot);
  }

  private static Double sharpness(String name) {
    return ((Picture) PictureReader.read(SharedData.bytes("pdq/bridge-mods/" + name), name))
        .sharpness();
  }

  private static BufferedImage read(byte[] bytes) throws IOException {
    return ImageIO.read(new ByteArrayInputStream(bytes));
  }

  private static byte[] written(BufferedImage image, String kind) throws IOException {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    assertTrue(ImageIO.write(image, kind, out), kind);
    return out.toByteArray();
  }
}

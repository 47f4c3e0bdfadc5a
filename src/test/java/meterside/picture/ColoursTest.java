package meterside.picture;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.awt.color.ColorSpace;
import java.awt.color.ICC_Profile;
import java.awt.image.BufferedImage;
import java.io.ByteArrayOutputStream;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import meterside.job.Format;
import meterside.job.Orientation;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Colour profiles (ICC.1:2010, matrix profiles). The pairs of equal colours in Display P3 and sRGB
 * are those of CSS Color Module Level 4 (W3C), section on predefined colour spaces: sRGB red is
 * {@code color(display-p3 0.9175 0.2003 0.1386)}, sRGB green {@code (0.4584 0.9853 0.2983)}, sRGB
 * blue {@code (0 0 0.9596)}; rounded to 8 bits here. Grays are the same in both.
 */
class ColoursTest {

  @ParameterizedTest
  @CsvSource({
    "234, 51, 35, 255, 0, 0",
    "117, 251, 76, 0, 255, 0",
    "0, 0, 245, 0, 0, 255",
    "128, 128, 128, 128, 128, 128",
    "255, 255, 255, 255, 255, 255"
  })
  void wideColoursOfAJpegComeOutRight(int r, int g, int b, int sr, int sg, int sb)
      throws Exception {
    BufferedImage image = Rgb.create(64, 64);
    java.util.Arrays.fill(Rgb.pixels(image), r << 16 | g << 8 | b);
    byte[] jpeg = withProfile(Jpegs.encode(image, 1f), displayP3());
    int p = Pixels.upright(jpeg, Format.JPEG, Orientation.NORMAL, 0).getRGB(30, 30);
    String got = (p >> 16 & 0xff) + " " + (p >> 8 & 0xff) + " " + (p & 0xff);
    assertEquals(sr, p >> 16 & 0xff, 6, got);
    assertEquals(sg, p >> 8 & 0xff, 6, got);
    assertEquals(sb, p & 0xff, 6, got);
    Picture picture = (Picture) PictureReader.read(jpeg, "wide.jpg");
    assertEquals(null, picture.trouble());
  }

  @Test
  void theProfileOfSrgbChangesNothing() {
    BufferedImage image = TestPictures.scene(20, 20, 1);
    byte[] srgb = ICC_Profile.getInstance(ColorSpace.CS_sRGB).getData();
    assertSame(image, Colours.toSrgb(image, srgb));
    assertSame(image, Colours.toSrgb(image, null));
  }

  @Test
  void aProfileThatMakesNoSenseChangesNothing() throws Exception {
    BufferedImage image = TestPictures.scene(20, 20, 1);
    byte[] cut = java.util.Arrays.copyOf(displayP3(), 200);
    assertSame(image, Colours.toSrgb(image, cut));
    assertSame(image, Colours.toSrgb(image, new byte[5]));
    assertSame(
        image,
        Colours.toSrgb(image, ICC_Profile.getInstance(ColorSpace.CS_GRAY).getData()),
        "a gray profile on colour pixels");
    byte[] mad = displayP3();
    java.util.Random random = new java.util.Random(3);
    for (int k = 0; k < 200; k++) {
      byte[] mutant = mad.clone();
      for (int n = 0; n < 8; n++) {
        mutant[random.nextInt(400)] = (byte) random.nextInt(256);
      }
      assertEquals(20, Colours.toSrgb(image, mutant).getWidth());
    }
  }

  @Test
  void aPhotoOfAPhoneThatRecordsDisplayP3IsConverted() throws Exception {
    byte[] heic = SharedData.bytes("exifr/test/fixtures/heic-iphone7.heic");
    org.junit.jupiter.api.Assumptions.assumeTrue(HeifDecoder.available(), "no libheif");
    BufferedImage image = Pixels.upright(heic, Format.HEIC, Orientation.NORMAL, 300);
    assertEquals(300, Math.max(image.getWidth(), image.getHeight()));
    assertTrue(image.getWidth() > 0);
  }

  private static byte[] withProfile(byte[] jpeg, byte[] profile) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    out.write(jpeg, 0, 2);
    // In two pieces, to be put together again.
    int half = profile.length / 2;
    piece(out, 1, profile, 0, half);
    piece(out, 2, profile, half, profile.length - half);
    out.write(jpeg, 2, jpeg.length - 2);
    return out.toByteArray();
  }

  private static void piece(ByteArrayOutputStream out, int number, byte[] p, int at, int length) {
    int size = 2 + 14 + length;
    out.writeBytes(new byte[] {(byte) 0xff, (byte) 0xe2, (byte) (size >> 8), (byte) size});
    out.writeBytes("ICC_PROFILE\0".getBytes(StandardCharsets.US_ASCII));
    out.write(number);
    out.write(2);
    out.write(p, at, length);
  }

  /** A matrix profile with the primaries of Display P3, adapted to D50, and sRGB's curve. */
  private static byte[] displayP3() {
    int curve = 12 + 1024 * 2;
    String[] names = {"wtpt", "rXYZ", "gXYZ", "bXYZ", "rTRC", "gTRC", "bTRC"};
    double[][] xyz = {
      {0.9642, 1.0, 0.8249},
      {0.51512, 0.24120, -0.00105},
      {0.29198, 0.69225, 0.04189},
      {0.15710, 0.06657, 0.78407}
    };
    int dataAt = 128 + 4 + 12 * names.length;
    ByteBuffer b = ByteBuffer.allocate(dataAt + 4 * 20 + curve);
    b.putInt(0, b.capacity()).putInt(8, 0x02400000);
    text(b, 12, "mntr");
    text(b, 16, "RGB ");
    text(b, 20, "XYZ ");
    text(b, 36, "acsp");
    b.putInt(68, fixed(0.9642)).putInt(72, fixed(1)).putInt(76, fixed(0.8249));
    b.putInt(128, names.length);
    for (int i = 0; i < names.length; i++) {
      text(b, 132 + 12 * i, names[i]);
      b.putInt(136 + 12 * i, i < 4 ? dataAt + 20 * i : dataAt + 80);
      b.putInt(140 + 12 * i, i < 4 ? 20 : curve);
    }
    for (int i = 0; i < 4; i++) {
      text(b, dataAt + 20 * i, "XYZ ");
      for (int k = 0; k < 3; k++) {
        b.putInt(dataAt + 20 * i + 8 + 4 * k, fixed(xyz[i][k]));
      }
    }
    text(b, dataAt + 80, "curv");
    b.putInt(dataAt + 88, 1024);
    for (int i = 0; i < 1024; i++) {
      double v = i / 1023.0;
      double linear = v <= 0.04045 ? v / 12.92 : Math.pow((v + 0.055) / 1.055, 2.4);
      b.putShort(dataAt + 92 + 2 * i, (short) Math.round(linear * 65535));
    }
    return b.array();
  }

  private static void text(ByteBuffer b, int at, String four) {
    b.put(at, four.getBytes(StandardCharsets.US_ASCII));
  }

  private static int fixed(double v) {
    return (int) Math.round(v * 65536);
  }
}

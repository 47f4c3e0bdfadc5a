package meterside.picture;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.zxing.BarcodeFormat;
import com.google.zxing.BinaryBitmap;
import com.google.zxing.DecodeHintType;
import com.google.zxing.EncodeHintType;
import com.google.zxing.RGBLuminanceSource;
import com.google.zxing.common.BitMatrix;
import com.google.zxing.common.HybridBinarizer;
import com.google.zxing.qrcode.QRCodeReader;
import com.google.zxing.qrcode.QRCodeWriter;
import com.google.zxing.qrcode.decoder.ErrorCorrectionLevel;
import java.awt.image.BufferedImage;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Random;
import meterside.job.Code;
import meterside.job.StopKey;
import org.junit.jupiter.api.Test;

/**
 * Codes (ISO/IEC 18004) are written so that another library reads them, and the other way round.
 */
class CodesTest {
  private static final List<Code> SOME =
      List.of(
          Code.job("2026-05-12-wren-hollow-18"),
          Code.job("Hof Löwenzahn 3, Hinterhaus"),
          Code.stop(StopKey.parse("panelboard#garage subpanel")),
          Code.clock(Instant.parse("2026-05-12T13:14:05.250Z")));

  @Test
  void anotherLibraryReadsWhatIsDrawn() throws Exception {
    for (Code code : SOME) {
      BufferedImage drawn = Codes.draw(code, 6);
      int w = drawn.getWidth();
      int h = drawn.getHeight();
      RGBLuminanceSource source = new RGBLuminanceSource(w, h, Rgb.pixels(Rgb.of(drawn)));
      String text =
          new QRCodeReader()
              .decode(
                  new BinaryBitmap(new HybridBinarizer(source)),
                  Map.of(DecodeHintType.PURE_BARCODE, true))
              .getText();
      assertEquals(code.text(), text);
    }
  }

  @Test
  void whatAnotherLibraryDrawsIsRead() throws Exception {
    for (Code code : SOME) {
      BitMatrix bits =
          new QRCodeWriter()
              .encode(
                  code.text(),
                  BarcodeFormat.QR_CODE,
                  300,
                  300,
                  Map.of(
                      EncodeHintType.ERROR_CORRECTION,
                      ErrorCorrectionLevel.M,
                      EncodeHintType.CHARACTER_SET,
                      "UTF-8"));
      BufferedImage image = new BufferedImage(300, 300, BufferedImage.TYPE_INT_RGB);
      for (int y = 0; y < 300; y++) {
        for (int x = 0; x < 300; x++) {
          image.setRGB(x, y, bits.get(x, y) ? 0x101010 : 0xf0f0f0);
        }
      }
      assertEquals(List.of(code), Codes.read(image));
    }
  }

  @Test
  void bentTiltedDimAndNoisyCodesAreRead() {
    Random random = new Random(5);
    int read = 0;
    int all = 0;
    for (Code code : SOME) {
      BufferedImage drawn = Codes.draw(code, 8);
      for (double turn : new double[] {0, 0.35, 1.2}) {
        for (double tilt : new double[] {0, 0.5}) {
          for (double bend : new double[] {0, 0.06}) {
            for (double dim : new double[] {1, 0.12}) {
              BufferedImage photo = photographed(drawn, turn, tilt, bend, dim, random);
              all++;
              read += Codes.readJpeg(Jpegs.encode(photo, 0.85f)).equals(List.of(code)) ? 1 : 0;
            }
          }
        }
      }
    }
    System.out.println("codes read: " + read + " of " + all + " (seed 5)");
    assertTrue(read >= 0.95 * all, read + " of " + all);
  }

  @Test
  void codesOfOthersAndPicturesWithoutAreNone() throws Exception {
    BitMatrix bits =
        new QRCodeWriter().encode("https://example.org/", BarcodeFormat.QR_CODE, 200, 200);
    BufferedImage image = new BufferedImage(200, 200, BufferedImage.TYPE_INT_RGB);
    for (int y = 0; y < 200; y++) {
      for (int x = 0; x < 200; x++) {
        image.setRGB(x, y, bits.get(x, y) ? 0 : 0xffffff);
      }
    }
    assertEquals(List.of(), Codes.read(image));
    assertEquals(List.of(), Codes.read(new BufferedImage(50, 40, BufferedImage.TYPE_INT_RGB)));
    assertEquals(List.of(), Codes.readJpeg(new byte[] {1, 2, 3}));
  }

  /** A sheet with the code seen by a camera: turned, tilted away, bent like paper, dim, noisy. */
  private static BufferedImage photographed(
      BufferedImage code, double turn, double tilt, double bend, double dim, Random random) {
    int w = 1008;
    int h = 756;
    BufferedImage out = new BufferedImage(w, h, BufferedImage.TYPE_INT_RGB);
    double side = 330;
    for (int y = 0; y < h; y++) {
      for (int x = 0; x < w; x++) {
        double u = (x - w / 2.0) / side;
        double v = (y - h / 2.0) / side;
        double depth = 1 + tilt * u;
        double s = u / depth;
        double t = v / depth;
        double a = Math.cos(turn) * s + Math.sin(turn) * t;
        double b = -Math.sin(turn) * s + Math.cos(turn) * t;
        b += bend * Math.sin(Math.PI * (a + 0.5));
        double value = 120 + 40 * Math.sin(x / 97.0) * Math.cos(y / 61.0);
        int cx = (int) Math.floor((a + 0.5) * code.getWidth());
        int cy = (int) Math.floor((b + 0.5) * code.getHeight());
        if (cx >= 0 && cy >= 0 && cx < code.getWidth() && cy < code.getHeight()) {
          value = code.getRaster().getSample(cx, cy, 0) > 0 ? 215 : 35;
        }
        value = value * dim * (0.8 + 0.4 * x / w) + 2.0 * random.nextGaussian() + 6;
        int g = (int) Math.max(0, Math.min(255, value));
        out.setRGB(x, y, g << 16 | g << 8 | g);
      }
    }
    return out;
  }
}

package meterside.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.util.HashMap;
import java.util.Map;
import java.util.Random;
import javax.imageio.ImageIO;
import meterside.picture.Jpegs;
import org.junit.jupiter.api.Test;

/** A PDF that can be mailed: pictures shrink until it is below 10 MB, and no further. */
class MailSizeTest {
  /** Noise is the hardest picture to make small. */
  private static Pictures.Shot noise(int width, int height, long seed) {
    BufferedImage image = new BufferedImage(width, height, BufferedImage.TYPE_INT_RGB);
    Random random = new Random(seed);
    for (int y = 0; y < height; y++) {
      for (int x = 0; x < width; x++) {
        image.setRGB(x, y, random.nextInt(0x1000000));
      }
    }
    return new Pictures.Shot(Jpegs.encode(image, 0.8f), width, height, "<svg/>", null, null);
  }

  @Test
  void picturesShrinkUntilItCanBeMailedAndKeepTheirShapeAndMarks() throws Exception {
    Map<Integer, Pictures.Shot> figures = new HashMap<>();
    for (int i = 1; i <= 18; i++) {
      figures.put(i, i % 2 == 0 ? noise(1500, 1125, i) : noise(1125, 1500, i));
    }
    figures.put(19, new Pictures.Shot(null, 0, 0, null, null, "gone"));
    Pictures.Set full = new Pictures.Set(figures, Map.of(1, noise(900, 675, 99)));
    long rest = 400_000;
    assertTrue(MailSize.bytes(full) > MailSize.MOST_BYTES, "it would be too large");
    Pictures.Set mail = MailSize.of(full, rest);
    long bytes = MailSize.bytes(mail) + rest;
    assertTrue(bytes < MailSize.MOST_BYTES, "bytes: " + bytes);
    assertTrue(bytes > MailSize.MOST_BYTES / 5, "no smaller than it must be: " + bytes);
    assertEquals(full.figures().keySet(), mail.figures().keySet());
    Pictures.Shot two = mail.figures().get(2);
    assertEquals(1500, two.width(), "the frame that the marks are drawn in stays");
    assertEquals("<svg/>", two.svg());
    BufferedImage small = ImageIO.read(new ByteArrayInputStream(two.page()));
    assertEquals(4.0 / 3, (double) small.getWidth() / small.getHeight(), 0.01);
    assertSame(figures.get(19), mail.figures().get(19));
  }
}

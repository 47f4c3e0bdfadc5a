package meterside.picture;

import static meterside.picture.TestPictures.difference;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.util.Random;
import javax.imageio.ImageIO;
import meterside.job.Format;
import meterside.job.Orientation;
import meterside.job.Point;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;

/**
 * Orientation (CIPA DC-008, tag 0x0112). Oracle: the public set exif-orientation-examples, nine
 * files each whose upright pictures are the same scene.
 */
class UprightTest {

  @ParameterizedTest
  @CsvSource({"Landscape,1800,1200", "Portrait,1200,1800"})
  void allNineFilesOfASetLookTheSameUpright(String set, int width, int height) throws Exception {
    BufferedImage first = null;
    for (int tag = 0; tag <= 8; tag++) {
      String name = set + "_" + tag + ".jpg";
      byte[] bytes = SharedData.bytes("exif-orientation-examples/" + name);
      Picture p = assertInstanceOf(Picture.class, PictureReader.read(bytes, name));
      assertEquals(tag, p.orientationTag(), name);
      assertNull(p.trouble(), name);
      BufferedImage preview = image(p.previewJpeg());
      assertEquals(1008, Math.max(preview.getWidth(), preview.getHeight()), name);
      assertEquals(width > height, preview.getWidth() > preview.getHeight(), name);
      BufferedImage full = Pixels.upright(bytes, Format.JPEG, p.orientation(), 0);
      assertEquals(width, full.getWidth(), name);
      assertEquals(height, full.getHeight(), name);
      if (first == null) {
        first = preview;
      }
      // The files were compressed one by one; a wrong turn differs by more than 30.
      assertTrue(difference(first, preview) < 4, name + " " + difference(first, preview));
      BufferedImage thumbnail = image(p.thumbnailJpeg());
      assertEquals(256, Math.max(thumbnail.getWidth(), thumbnail.getHeight()), name);
      // A small picture full of detail loses more in a JPEG than a large one.
      double off = difference(Rgb.shrink(Rgb.of(first), 256), thumbnail);
      assertTrue(off < 8, name + " " + off);
    }
  }

  @Test
  void aWrongTurnWouldBeSeen() throws Exception {
    byte[] bytes = SharedData.bytes("exif-orientation-examples/Landscape_1.jpg");
    BufferedImage right = Pixels.upright(bytes, Format.JPEG, Orientation.NORMAL, 500);
    BufferedImage wrong = Pixels.upright(bytes, Format.JPEG, Orientation.ROTATE_180, 500);
    assertTrue(difference(right, wrong) > 30);
  }

  @ParameterizedTest
  @EnumSource(Orientation.class)
  void pixelsMoveAsPointsDo(Orientation o) {
    long seed = Long.getLong("seed", System.nanoTime());
    System.out.println("seed " + seed);
    Random random = new Random(seed);
    BufferedImage stored = TestPictures.scene(7, 5, seed);
    BufferedImage upright = Rgb.upright(stored, o);
    assertEquals(o.swapsSides() ? 5 : 7, upright.getWidth());
    for (int k = 0; k < 20; k++) {
      int x = random.nextInt(7);
      int y = random.nextInt(5);
      Point p = o.toUpright(new Point((x + 0.5) / 7, (y + 0.5) / 5));
      int ux = (int) (p.x() * upright.getWidth());
      int uy = (int) (p.y() * upright.getHeight());
      assertEquals(stored.getRGB(x, y), upright.getRGB(ux, uy), o + " " + x + "," + y);
    }
  }

  @ParameterizedTest
  @CsvSource({"0", "9", "36865", "65535"})
  void anIllegalValueIsKeptAndTreatedAsUpright(int tag) {
    byte[] jpeg = new ExifBlock().mainShort(0x0112, tag).into(TestPictures.jpeg(1));
    Picture p = (Picture) PictureReader.read(jpeg, "a.jpg");
    assertEquals(tag, p.orientationTag());
    assertEquals(Orientation.NORMAL, p.orientation());
  }

  private static BufferedImage image(byte[] jpeg) throws IOException {
    return ImageIO.read(new ByteArrayInputStream(jpeg));
  }
}

package meterside.picture;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.awt.Color;
import java.awt.Graphics2D;
import java.awt.image.BufferedImage;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import java.util.Set;
import java.util.stream.Stream;
import javax.imageio.ImageIO;
import org.junit.jupiter.api.Test;

/** Looks are of length one, survive their file, and stay near when light and camera change. */
class LookTest {

  /** Near-duplicates on purpose, which are no other photo than the first of their burst. */
  private static final Set<String> TAKEN_AGAIN =
      Set.of("IMG_0416.jpg", "IMG_0417.jpg", "IMG_0436.jpg", "P5120033.JPG", "IMG_0460.jpg");

  private static List<BufferedImage> samples() throws IOException {
    List<Path> files;
    try (Stream<Path> all = Files.walk(Path.of("sample-photos"))) {
      files =
          all.filter(f -> f.toString().toLowerCase(Locale.ROOT).endsWith(".jpg"))
              .filter(f -> !TAKEN_AGAIN.contains(f.getFileName().toString()))
              .sorted()
              .toList();
    }
    List<BufferedImage> out = new ArrayList<>();
    for (Path f : files) {
      Picture p = (Picture) PictureReader.read(Files.readAllBytes(f), f.toString());
      out.add(ImageIO.read(new java.io.ByteArrayInputStream(p.thumbnailJpeg())));
    }
    return out;
  }

  @Test
  void ofAnyPictureIsOfLengthOneAndOfFixedSize() {
    for (int[] size : new int[][] {{1, 1}, {2, 300}, {300, 2}, {3, 3}, {160, 120}, {1008, 756}}) {
      BufferedImage image = new BufferedImage(size[0], size[1], BufferedImage.TYPE_INT_RGB);
      Graphics2D g = image.createGraphics();
      g.setColor(Color.ORANGE);
      g.fillRect(0, 0, size[0] / 2 + 1, size[1]);
      g.dispose();
      float[] look = Look.of(image);
      assertEquals(Look.LENGTH, look.length);
      assertEquals(1, Look.alike(look, look), 1e-5, size[0] + " x " + size[1]);
    }
  }

  @Test
  void survivesItsFileAndIsNoneWhenTheFileIsDamaged() throws IOException {
    float[] look = Look.of(samples().get(0));
    byte[] packed = Look.pack(look);
    float[] again = Look.unpack(packed).orElseThrow();
    assertEquals(1, Look.alike(look, again), 1e-3);
    assertArrayEquals(again, Look.unpack(Look.pack(again)).orElseThrow(), 1e-6f);
    for (int i = 0; i < packed.length; i++) {
      byte[] broken = packed.clone();
      broken[i] ^= 0x10;
      assertTrue(Look.unpack(broken).isEmpty(), "byte " + i);
    }
    assertTrue(Look.unpack(new byte[packed.length]).isEmpty());
    assertTrue(Look.unpack(java.util.Arrays.copyOf(packed, packed.length - 1)).isEmpty());
    assertTrue(Look.ofJpeg(new byte[] {1, 2, 3}).isEmpty());
  }

  @Test
  void staysNearestToItsOwnPhotoInOtherLightFrameAndWhiteBalance() throws IOException {
    List<BufferedImage> photos = samples();
    photos.forEach(Look::of); // warm
    long began = System.nanoTime();
    List<float[]> looks = photos.stream().map(Look::of).toList();
    double each = (System.nanoTime() - began) / 1e6 / photos.size();
    Random r = new Random(20260512);
    int first = 0;
    int tried = 0;
    for (int i = 0; i < photos.size(); i++) {
      for (int k = 0; k < 5; k++) {
        float[] variant = Look.of(Variants.of(photos.get(i), r, 1));
        int best = 0;
        for (int j = 1; j < looks.size(); j++) {
          if (Look.alike(variant, looks.get(j)) > Look.alike(variant, looks.get(best))) {
            best = j;
          }
        }
        first += best == i ? 1 : 0;
        tried++;
      }
    }
    System.out.printf(
        Locale.ROOT,
        "Look: nearest is the own photo for %d of %d variants of %d photos (by chance %d);"
            + " %.1f ms a look%n",
        first,
        tried,
        photos.size(),
        tried / photos.size(),
        each);
    assertTrue(first >= 0.9 * tried, first + " of " + tried);
  }

  @Test
  void mirroredIsTheLookOfTheMirroredPhoto() throws IOException {
    for (BufferedImage image : samples()) {
      BufferedImage mirrored = new BufferedImage(image.getWidth(), image.getHeight(), 1);
      Graphics2D g = mirrored.createGraphics();
      g.drawImage(image, image.getWidth(), 0, -image.getWidth(), image.getHeight(), null);
      g.dispose();
      float[] look = Look.of(image);
      float[] numbers = Look.mirrored(look);
      assertTrue(Look.alike(Look.of(mirrored), numbers) > 0.995, "not the same as from pixels");
      assertArrayEquals(look, Look.mirrored(numbers), 1e-6f);
    }
  }

  @Test
  void isMadeByTheReaderFromWhatItShows() throws IOException {
    BufferedImage image = samples().get(0);
    Picture p = (Picture) PictureReader.read(Jpegs.encode(image, 0.9f), "x.jpg");
    float[] kept = Look.unpack(p.look()).orElseThrow();
    float[] fromThumbnail = Look.ofJpeg(p.thumbnailJpeg()).orElseThrow();
    assertTrue(Look.alike(kept, fromThumbnail) > 0.97, "made lazily it is all but the same");
  }
}

package meterside.bench;

import java.awt.image.BufferedImage;
import java.awt.image.DataBufferInt;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import meterside.picture.Jpegs;
import org.apache.commons.imaging.common.RationalNumber;
import org.apache.commons.imaging.formats.jpeg.exif.ExifRewriter;
import org.apache.commons.imaging.formats.tiff.constants.ExifTagConstants;
import org.apache.commons.imaging.formats.tiff.constants.TiffTagConstants;
import org.apache.commons.imaging.formats.tiff.write.TiffOutputDirectory;
import org.apache.commons.imaging.formats.tiff.write.TiffOutputSet;

/**
 * A card full of JPEGs with the grain of a real sensor, so that decoding and writing cost what they
 * cost with a camera's files. Twelve pictures are drawn; each file is one of them with its own time
 * and camera in EXIF, so no two files are alike.
 */
final class NoisyCard {
  private static final int PICTURES = 12;
  private static final DateTimeFormatter EXIF =
      DateTimeFormatter.ofPattern("yyyy:MM:dd HH:mm:ss", Locale.ROOT);

  private NoisyCard() {}

  /**
   * Fills a folder.
   *
   * @param width of each photo in pixels; photos are 4:3
   * @param quality JPEG quality, 0 to 1
   * @return how many bytes were written
   */
  static long fill(Path folder, int photos, int width, float quality) throws IOException {
    Files.createDirectories(folder);
    List<byte[]> drawn = new ArrayList<>();
    for (int i = 0; i < Math.min(PICTURES, photos); i++) {
      drawn.add(Jpegs.encode(grain(width, width * 3 / 4, i), quality));
    }
    long bytes = 0;
    LocalDateTime start = LocalDateTime.of(2026, 5, 12, 9, 0);
    for (int i = 0; i < photos; i++) {
      boolean second = i % 3 == 0;
      TiffOutputSet set = new TiffOutputSet();
      TiffOutputDirectory root = set.getOrCreateRootDirectory();
      root.add(TiffTagConstants.TIFF_TAG_MAKE, "Larkfield");
      root.add(TiffTagConstants.TIFF_TAG_MODEL, second ? "L2" : "L7");
      root.add(TiffTagConstants.TIFF_TAG_ORIENTATION, (short) 1);
      TiffOutputDirectory exif = set.getOrCreateExifDirectory();
      LocalDateTime at = start.plusSeconds(20L * i);
      exif.add(ExifTagConstants.EXIF_TAG_DATE_TIME_ORIGINAL, EXIF.format(at));
      exif.add(ExifTagConstants.EXIF_TAG_FNUMBER, RationalNumber.valueOf(2.8));
      exif.add(
          ExifTagConstants.EXIF_TAG_EXPOSURE_TIME,
          RationalNumber.valueOf(i < photos / 2 ? 1 / 800.0 : 1 / 40.0));
      exif.add(ExifTagConstants.EXIF_TAG_ISO, (short) (i < photos / 2 ? 100 : 800));
      ByteArrayOutputStream out = new ByteArrayOutputStream(8 << 20);
      new ExifRewriter().updateExifMetadataLossless(drawn.get(i % drawn.size()), out, set);
      Path file = folder.resolve(String.format(Locale.ROOT, "IMG_%05d.JPG", i));
      Files.write(file, out.toByteArray());
      bytes += out.size();
    }
    return bytes;
  }

  /** Soft shapes with grain of about 4 % on each channel. */
  private static BufferedImage grain(int w, int h, int seed) {
    Random random = new Random(seed);
    double fx = 1 + random.nextDouble() * 6;
    double fy = 1 + random.nextDouble() * 6;
    double turn = random.nextDouble() * 6;
    BufferedImage image = new BufferedImage(w, h, BufferedImage.TYPE_INT_RGB);
    int[] to = ((DataBufferInt) image.getRaster().getDataBuffer()).getData();
    for (int y = 0, i = 0; y < h; y++) {
      for (int x = 0; x < w; x++, i++) {
        double base = 128 + 70 * Math.sin(turn + fx * x / w * 6.28) * Math.cos(fy * y / h * 6.28);
        int r = level(base + 9 * random.nextGaussian());
        int g = level(base * 0.9 + 12 + 9 * random.nextGaussian());
        int b = level(base * 0.8 + 20 + 9 * random.nextGaussian());
        to[i] = r << 16 | g << 8 | b;
      }
    }
    return image;
  }

  private static int level(double v) {
    return (int) Math.max(0, Math.min(255, v));
  }
}

package meterside.desk;

import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.geom.CubicCurve2D;
import java.awt.image.BufferedImage;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.time.format.DateTimeFormatter;
import java.util.Locale;
import java.util.Random;
import meterside.picture.Jpegs;
import org.apache.commons.imaging.common.RationalNumber;
import org.apache.commons.imaging.formats.jpeg.exif.ExifRewriter;
import org.apache.commons.imaging.formats.tiff.constants.ExifTagConstants;
import org.apache.commons.imaging.formats.tiff.constants.TiffTagConstants;
import org.apache.commons.imaging.formats.tiff.write.TiffOutputDirectory;
import org.apache.commons.imaging.formats.tiff.write.TiffOutputSet;

/** A card with drawn photos of an invented house, with real EXIF: enough to fill the window. */
final class TestCard {
  private static final DateTimeFormatter EXIF =
      DateTimeFormatter.ofPattern("yyyy:MM:dd HH:mm:ss", Locale.ROOT);

  private TestCard() {}

  /**
   * Writes a photo.
   *
   * @param scene which drawing, by its number
   * @param inside whether it is lit like a room
   */
  static Path photo(
      Path folder, String name, LocalDateTime at, int scene, boolean inside, String model)
      throws IOException {
    return photo(folder, name, at, scene, inside, model, 2016);
  }

  /**
   * Writes a photo of a width.
   *
   * @param width in pixels; photos are 4:3
   */
  static Path photo(
      Path folder,
      String name,
      LocalDateTime at,
      int scene,
      boolean inside,
      String model,
      int width)
      throws IOException {
    Files.createDirectories(folder);
    BufferedImage drawn = draw(scene, inside);
    BufferedImage sized = new BufferedImage(width, width * 3 / 4, BufferedImage.TYPE_INT_RGB);
    Graphics2D g = sized.createGraphics();
    g.setRenderingHint(
        RenderingHints.KEY_INTERPOLATION, RenderingHints.VALUE_INTERPOLATION_BILINEAR);
    g.drawImage(drawn, 0, 0, sized.getWidth(), sized.getHeight(), null);
    g.dispose();
    byte[] jpeg = Jpegs.encode(sized, 0.85f);
    TiffOutputSet set = new TiffOutputSet();
    TiffOutputDirectory root = set.getOrCreateRootDirectory();
    root.add(TiffTagConstants.TIFF_TAG_MAKE, "Larkfield");
    root.add(TiffTagConstants.TIFF_TAG_MODEL, model);
    TiffOutputDirectory exif = set.getOrCreateExifDirectory();
    exif.add(ExifTagConstants.EXIF_TAG_DATE_TIME_ORIGINAL, EXIF.format(at));
    exif.add(
        ExifTagConstants.EXIF_TAG_EXPOSURE_TIME,
        RationalNumber.valueOf(inside ? 1 / 40.0 : 1 / 1000.0));
    exif.add(ExifTagConstants.EXIF_TAG_FNUMBER, RationalNumber.valueOf(2.8));
    exif.add(ExifTagConstants.EXIF_TAG_ISO, (short) (inside ? 800 : 100));
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    new ExifRewriter().updateExifMetadataLossless(jpeg, out, set);
    return Files.write(folder.resolve(name), out.toByteArray());
  }

  /** A whole walk: outside with one camera, inside with another. */
  static void walk(Path folder) throws IOException {
    LocalDateTime start = LocalDateTime.of(2026, 5, 12, 10, 2, 4);
    int[] counts = {4, 5, 3, 3, 4, 0, 5, 7, 2};
    int n = 1;
    LocalDateTime at = start;
    for (int stop = 0; stop < counts.length; stop++) {
      boolean inside = stop >= 6;
      for (int i = 0; i < counts[stop]; i++) {
        String name = String.format(Locale.ROOT, "P512%04d.JPG", n);
        photo(
            folder.resolve(inside ? "second" : "first"),
            name,
            at,
            stop * 100 + i,
            inside,
            inside ? "Wren 2" : "Heron 40");
        n++;
        at = at.plusSeconds(11 + 7L * (i % 3));
      }
      at = at.plusSeconds(stop == 5 ? 420 : 150);
    }
  }

  /** Two houses of one day, an hour and a half apart. */
  static void twoHouses(Path folder) throws IOException {
    LocalDateTime at = LocalDateTime.of(2026, 5, 12, 9, 3, 0);
    for (int i = 0; i < 12; i++) {
      LocalDateTime when = at.plusSeconds(25L * i).plusMinutes(i < 6 ? 0 : 95);
      String name = String.format(Locale.ROOT, "P512%04d.JPG", i + 1);
      photo(folder, name, when, (i < 6 ? 0 : 400) + i, false, "Heron 40", 640);
    }
  }

  private static BufferedImage draw(int scene, boolean inside) {
    int w = 2016;
    int h = 1512;
    Random random = new Random(scene);
    BufferedImage image = new BufferedImage(w, h, BufferedImage.TYPE_INT_RGB);
    Graphics2D g = image.createGraphics();
    g.setRenderingHint(RenderingHints.KEY_ANTIALIASING, RenderingHints.VALUE_ANTIALIAS_ON);
    g.setColor(inside ? new Color(0xB9B1A4) : new Color(0xC9CDBF));
    g.fillRect(0, 0, w, h);
    double tilt = (random.nextDouble() - 0.5) * 0.06;
    g.rotate(tilt, w / 2.0, h / 2.0);
    if (inside) {
      int x = 640 + random.nextInt(200);
      g.setColor(new Color(0x8C8F8E));
      g.fillRect(x, 260, 620, 1000);
      g.setColor(new Color(0x6E7170));
      g.fillRect(x + 60, 330, 500, 860);
      g.setColor(new Color(0x2B2D2E));
      for (int row = 0; row < 10; row++) {
        g.fillRect(x + 110, 380 + row * 78, 180, 54);
        g.fillRect(x + 330, 380 + row * 78, 180, 54);
      }
    } else {
      g.setStroke(new BasicStroke(6));
      for (int y = -200; y < h + 200; y += 96) {
        g.setColor(new Color(0x9AA08F));
        g.drawLine(-200, y, w + 200, y + 18);
        g.setColor(new Color(0xDADDCF));
        g.drawLine(-200, y + 8, w + 200, y + 26);
      }
      int x = 900 + random.nextInt(240);
      g.setColor(new Color(0x7E8482));
      g.fillRect(x, 420, 44, 900);
      g.fillOval(x - 36, 360, 120, 110);
      g.setColor(new Color(0x1C1D1E));
      g.setStroke(new BasicStroke(16));
      for (int k = 0; k < 3; k++) {
        g.draw(
            new CubicCurve2D.Double(
                -100, 40 + k * 22, 300, 300 + k * 26, x - 260, 900 + k * 20, x - 10, 420 + k * 8));
      }
      if (scene / 100 == 4) {
        g.setColor(new Color(0xA7ACA9));
        g.fillRect(x - 150, 980, 340, 420);
        g.setColor(new Color(0xE4E7E2));
        g.fillOval(x - 90, 1050, 220, 220);
      }
    }
    g.dispose();
    // A little noise, so that neighbours differ as photos do.
    for (int i = 0; i < 60_000; i++) {
      int px = random.nextInt(w);
      int py = random.nextInt(h);
      int rgb = image.getRGB(px, py);
      int d = random.nextInt(24) - 12;
      image.setRGB(px, py, shift(rgb, d));
    }
    return image;
  }

  private static int shift(int rgb, int d) {
    int r = Math.max(0, Math.min(255, (rgb >> 16 & 255) + d));
    int gr = Math.max(0, Math.min(255, (rgb >> 8 & 255) + d));
    int b = Math.max(0, Math.min(255, (rgb & 255) + d));
    return r << 16 | gr << 8 | b;
  }
}

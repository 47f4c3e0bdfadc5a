package meterside.report;

import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.GradientPaint;
import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.geom.CubicCurve2D;
import java.awt.geom.Path2D;
import java.awt.image.BufferedImage;
import java.io.ByteArrayOutputStream;
import java.nio.charset.StandardCharsets;
import java.util.Random;
import meterside.picture.Jpegs;
import org.apache.commons.imaging.formats.jpeg.exif.ExifRewriter;
import org.apache.commons.imaging.formats.tiff.constants.ExifTagConstants;
import org.apache.commons.imaging.formats.tiff.constants.TiffTagConstants;
import org.apache.commons.imaging.formats.tiff.write.TiffOutputDirectory;
import org.apache.commons.imaging.formats.tiff.write.TiffOutputSet;

/** Photos of an invented house, drawn, with metadata as full of private things as a camera's. */
final class DrawnPhotos {
  /** Private texts that the metadata holds; none may be in anything delivered. */
  static final String[] PRIVATE = {
    "SERIALQ4711X", "Ottoline Privately", "MAKERNOTESECRET", "LENSSERIAL99Z", "SOURCEFOLDERZZ"
  };

  static final double LATITUDE = 39.417253;
  static final double LONGITUDE = -77.412987;

  private DrawnPhotos() {}

  /** A wall with siding, a mast with conductors and a drip loop, and a meter. */
  static BufferedImage house(int width, int height, long seed) {
    BufferedImage image = new BufferedImage(width, height, BufferedImage.TYPE_INT_RGB);
    Graphics2D g = image.createGraphics();
    g.setRenderingHint(RenderingHints.KEY_ANTIALIASING, RenderingHints.VALUE_ANTIALIAS_ON);
    g.setPaint(new GradientPaint(0, 0, new Color(0xC9D6DC), 0, height, new Color(0xE8E4DA)));
    g.fillRect(0, 0, width, height);
    Random random = new Random(seed);
    int eave = (int) (height * (0.16 + random.nextDouble() * 0.06));
    g.setColor(new Color(0x6A6258));
    g.fillRect(0, eave - height / 30, width, height / 30);
    for (int y = eave; y < height; y += height / 22) {
      int shade = 205 + random.nextInt(14);
      g.setColor(new Color(shade, shade - 4, shade - 18));
      g.fillRect(0, y, width, height / 22);
      g.setColor(new Color(0, 0, 0, 60));
      g.fillRect(0, y + height / 22 - 3, width, 3);
    }
    int x = (int) (width * (0.45 + random.nextDouble() * 0.15));
    g.setColor(new Color(0x8C9296));
    g.fillRect(x, (int) (height * 0.3), width / 50, (int) (height * 0.5));
    g.setColor(new Color(0xA9AFB3));
    g.fillRoundRect(x - width / 22, (int) (height * 0.76), width / 9, height / 6, 12, 12);
    g.setColor(new Color(0x4C5357));
    g.fillOval(x - width / 60, (int) (height * 0.79), width / 16, width / 16);
    g.setStroke(new BasicStroke(width / 160f));
    g.setColor(new Color(0x20, 0x22, 0x24));
    for (int i = 0; i < 3; i++) {
      double dy = i * height * 0.012;
      g.draw(
          new CubicCurve2D.Double(
              0,
              height * 0.05 + dy,
              width * 0.2,
              height * 0.2 + dy,
              width * 0.3,
              height * 0.5 + dy,
              x,
              height * 0.3 + dy));
    }
    Path2D head = new Path2D.Double();
    head.moveTo(x - width / 60.0, height * 0.3);
    head.lineTo(x + width / 28.0, height * 0.3);
    head.lineTo(x + width / 60.0, height * 0.26);
    head.closePath();
    g.setColor(new Color(0x70767A));
    g.fill(head);
    g.dispose();
    return image;
  }

  /**
   * A JPEG with EXIF: serial numbers, owner, maker note and position.
   *
   * @param orientation EXIF Orientation to record
   */
  static byte[] jpeg(BufferedImage image, int orientation) {
    try {
      TiffOutputSet set = new TiffOutputSet();
      TiffOutputDirectory root = set.getOrCreateRootDirectory();
      root.add(TiffTagConstants.TIFF_TAG_MAKE, "Halden");
      root.add(TiffTagConstants.TIFF_TAG_MODEL, "Halden H2");
      root.add(TiffTagConstants.TIFF_TAG_ORIENTATION, (short) orientation);
      TiffOutputDirectory exif = set.getOrCreateExifDirectory();
      exif.add(ExifTagConstants.EXIF_TAG_BODY_SERIAL_NUMBER, PRIVATE[0]);
      exif.add(ExifTagConstants.EXIF_TAG_CAMERA_OWNER_NAME, PRIVATE[1]);
      exif.add(ExifTagConstants.EXIF_TAG_LENS_SERIAL_NUMBER, PRIVATE[3]);
      exif.add(
          ExifTagConstants.EXIF_TAG_MAKER_NOTE, PRIVATE[2].getBytes(StandardCharsets.US_ASCII));
      exif.add(ExifTagConstants.EXIF_TAG_DATE_TIME_ORIGINAL, "2026:05:12 10:07:42");
      set.setGpsInDegrees(LONGITUDE, LATITUDE);
      ByteArrayOutputStream out = new ByteArrayOutputStream();
      new ExifRewriter().updateExifMetadataLossless(Jpegs.encode(image, 0.85f), out, set);
      return out.toByteArray();
    } catch (Exception e) {
      throw new IllegalStateException(e);
    }
  }
}

package meterside;

import java.awt.Color;
import java.awt.Graphics2D;
import java.awt.image.BufferedImage;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.Locale;
import java.util.Random;
import javax.imageio.ImageIO;
import org.apache.commons.imaging.common.RationalNumber;
import org.apache.commons.imaging.formats.jpeg.exif.ExifRewriter;
import org.apache.commons.imaging.formats.tiff.constants.ExifTagConstants;
import org.apache.commons.imaging.formats.tiff.constants.GpsTagConstants;
import org.apache.commons.imaging.formats.tiff.constants.TiffDirectoryType;
import org.apache.commons.imaging.formats.tiff.constants.TiffTagConstants;
import org.apache.commons.imaging.formats.tiff.taginfos.TagInfoAscii;
import org.apache.commons.imaging.formats.tiff.write.TiffOutputDirectory;
import org.apache.commons.imaging.formats.tiff.write.TiffOutputSet;

/**
 * JPEG files as a camera writes them, made for tests: pixels from a seed, EXIF by Commons Imaging.
 * Makers and places are invented.
 */
public final class TestPhotos {
  private static final DateTimeFormatter EXIF =
      DateTimeFormatter.ofPattern("yyyy:MM:dd HH:mm:ss", Locale.ROOT);

  /** CIPA DC-008 since Exif 2.31; the library has no constant for it. */
  private static final TagInfoAscii OFFSET_TIME_ORIGINAL =
      new TagInfoAscii("OffsetTimeOriginal", 0x9011, 7, TiffDirectoryType.EXIF_DIRECTORY_EXIF_IFD);

  private final int seed;
  private int width = 320;
  private int height = 240;
  private String make = "Oriel";
  private String model = "P3";
  private String serial;
  private LocalDateTime time;
  private String subSecond;
  private String offset;
  private LocalDateTime gps;
  private double ev = 14;
  private int orientation = 1;

  private TestPhotos(int seed) {
    this.seed = seed;
  }

  /** A photo whose pixels follow from a seed: another seed, other content. */
  public static TestPhotos photo(int seed) {
    return new TestPhotos(seed);
  }

  public TestPhotos size(int w, int h) {
    width = w;
    height = h;
    return this;
  }

  public TestPhotos camera(String maker, String type, String number) {
    make = maker;
    model = type;
    serial = number;
    return this;
  }

  public TestPhotos at(LocalDateTime wall) {
    time = wall;
    return this;
  }

  public TestPhotos subSecond(String digits) {
    subSecond = digits;
    return this;
  }

  public TestPhotos offset(String text) {
    offset = text;
    return this;
  }

  /** GPS position (open water) and time of the fix, UTC. */
  public TestPhotos gps(LocalDateTime utc) {
    gps = utc;
    return this;
  }

  /** Exposure value at ISO 100: near 14 outside, near 5 in a room. */
  public TestPhotos light(double ev100) {
    ev = ev100;
    return this;
  }

  public TestPhotos orientation(int tag) {
    orientation = tag;
    return this;
  }

  /** The file's bytes. */
  public byte[] bytes() {
    try {
      byte[] plain = pixels();
      if (time == null && gps == null && make == null) {
        return plain;
      }
      TiffOutputSet set = new TiffOutputSet();
      TiffOutputDirectory root = set.getOrCreateRootDirectory();
      if (make != null) {
        root.add(TiffTagConstants.TIFF_TAG_MAKE, make);
        root.add(TiffTagConstants.TIFF_TAG_MODEL, model);
      }
      root.add(TiffTagConstants.TIFF_TAG_ORIENTATION, (short) orientation);
      TiffOutputDirectory exif = set.getOrCreateExifDirectory();
      if (time != null) {
        exif.add(ExifTagConstants.EXIF_TAG_DATE_TIME_ORIGINAL, EXIF.format(time));
      }
      if (subSecond != null) {
        exif.add(ExifTagConstants.EXIF_TAG_SUB_SEC_TIME_ORIGINAL, subSecond);
      }
      if (offset != null) {
        exif.add(OFFSET_TIME_ORIGINAL, offset);
      }
      if (serial != null) {
        exif.add(ExifTagConstants.EXIF_TAG_BODY_SERIAL_NUMBER, serial);
      }
      // f/2 at ISO 100: t = N² / 2^EV (APEX)
      exif.add(ExifTagConstants.EXIF_TAG_FNUMBER, RationalNumber.valueOf(2));
      exif.add(
          ExifTagConstants.EXIF_TAG_EXPOSURE_TIME,
          new RationalNumber(1000, (int) Math.round(1000 * Math.pow(2, ev) / 4)));
      exif.add(ExifTagConstants.EXIF_TAG_ISO, (short) 100);
      if (gps != null) {
        set.setGpsInDegrees(-70.0, 40.0);
        TiffOutputDirectory place = set.getOrCreateGpsDirectory();
        place.add(
            GpsTagConstants.GPS_TAG_GPS_DATE_STAMP,
            gps.format(DateTimeFormatter.ofPattern("yyyy:MM:dd", Locale.ROOT)));
        place.add(
            GpsTagConstants.GPS_TAG_GPS_TIME_STAMP,
            RationalNumber.valueOf(gps.getHour()),
            RationalNumber.valueOf(gps.getMinute()),
            RationalNumber.valueOf(gps.getSecond()));
      }
      ByteArrayOutputStream out = new ByteArrayOutputStream();
      new ExifRewriter().updateExifMetadataLossless(plain, out, set);
      return out.toByteArray();
    } catch (IOException e) {
      throw new IllegalStateException(e);
    }
  }

  /** Writes the file, with a fixed file time. */
  public Path write(Path file) throws IOException {
    Files.createDirectories(file.getParent());
    Files.write(file, bytes());
    LocalDateTime when = time == null ? LocalDateTime.of(2026, 5, 12, 18, 0) : time;
    Files.setLastModifiedTime(
        file, java.nio.file.attribute.FileTime.from(when.toInstant(ZoneOffset.UTC)));
    return file;
  }

  private byte[] pixels() throws IOException {
    Random random = new Random(seed);
    BufferedImage image = new BufferedImage(width, height, BufferedImage.TYPE_INT_RGB);
    Graphics2D g = image.createGraphics();
    g.setColor(new Color(random.nextInt(0x1000000)));
    g.fillRect(0, 0, width, height);
    for (int i = 0; i < 12; i++) {
      g.setColor(new Color(random.nextInt(0x1000000)));
      g.fillOval(random.nextInt(width), random.nextInt(height), 1 + width / 5, 1 + height / 5);
    }
    g.dispose();
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    ImageIO.write(image, "jpg", out);
    return out.toByteArray();
  }
}

package meterside.scenes;

import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.geom.AffineTransform;
import java.awt.image.AffineTransformOp;
import java.awt.image.BufferedImage;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.time.LocalDateTime;
import java.time.ZoneOffset;
import java.time.ZonedDateTime;
import java.time.format.DateTimeFormatter;
import java.util.Locale;
import java.util.Random;
import javax.imageio.IIOImage;
import javax.imageio.ImageIO;
import javax.imageio.ImageWriteParam;
import javax.imageio.ImageWriter;
import javax.imageio.stream.MemoryCacheImageOutputStream;
import meterside.scenes.Development.Developed;
import meterside.scenes.ShotList.CameraBody;
import meterside.scenes.ShotList.JobShots;
import meterside.scenes.ShotList.Shot;
import org.apache.commons.imaging.common.RationalNumber;
import org.apache.commons.imaging.formats.jpeg.exif.ExifRewriter;
import org.apache.commons.imaging.formats.tiff.JpegImageData;
import org.apache.commons.imaging.formats.tiff.constants.ExifTagConstants;
import org.apache.commons.imaging.formats.tiff.constants.GpsTagConstants;
import org.apache.commons.imaging.formats.tiff.constants.TiffDirectoryType;
import org.apache.commons.imaging.formats.tiff.constants.TiffTagConstants;
import org.apache.commons.imaging.formats.tiff.fieldtypes.AbstractFieldType;
import org.apache.commons.imaging.formats.tiff.taginfos.TagInfoAscii;
import org.apache.commons.imaging.formats.tiff.write.TiffOutputDirectory;
import org.apache.commons.imaging.formats.tiff.write.TiffOutputField;
import org.apache.commons.imaging.formats.tiff.write.TiffOutputSet;

/** Writes a developed picture as the JPEG its camera would have written. */
final class CameraFile {

  private static final DateTimeFormatter EXIF_TIME =
      DateTimeFormatter.ofPattern("yyyy:MM:dd HH:mm:ss", Locale.ROOT);
  private static final float QUALITY = 0.85f;

  /** Directory of the thumbnail: the one after the root (TIFF 6.0, IFD 1). */
  private static final int THUMBNAIL_DIRECTORY = 1;

  // Time zone tags of Exif 2.31, which the library does not know yet.
  private static final TagInfoAscii OFFSET_TIME = ascii("OffsetTime", 0x9010);
  private static final TagInfoAscii OFFSET_TIME_ORIGINAL = ascii("OffsetTimeOriginal", 0x9011);
  private static final TagInfoAscii OFFSET_TIME_DIGITIZED = ascii("OffsetTimeDigitized", 0x9012);
  private static final TagInfoAscii GPS_DATE =
      new TagInfoAscii("GPSDateStamp", 0x1D, 11, TiffDirectoryType.EXIF_DIRECTORY_GPS);

  private CameraFile() {}

  private static TagInfoAscii ascii(String name, int tag) {
    return new TagInfoAscii(name, tag, 7, TiffDirectoryType.EXIF_DIRECTORY_EXIF_IFD);
  }

  static void write(Path out, Developed picture, JobShots job, Shot shot) throws IOException {
    CameraBody camera = job.cameras().get(shot.camera());
    BufferedImage stored = store(picture.image(), shot.orientation());
    TiffOutputSet exif =
        new TiffOutputSet(camera.thumbnail() ? ByteOrder.LITTLE_ENDIAN : ByteOrder.BIG_ENDIAN);
    root(exif, camera, job, shot);
    details(exif, picture, stored, camera, job, shot);
    if (camera.knowsPlace()) {
      place(exif, job, shot);
    }
    if (camera.thumbnail()) {
      thumbnail(exif, stored);
    }
    ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    new ExifRewriter().updateExifMetadataLossless(jpeg(stored, QUALITY), bytes, exif);
    Files.createDirectories(out.getParent());
    Files.write(out, bytes.toByteArray());
  }

  private static void root(TiffOutputSet exif, CameraBody camera, JobShots job, Shot shot)
      throws IOException {
    TiffOutputDirectory d = exif.getOrCreateRootDirectory();
    d.add(TiffTagConstants.TIFF_TAG_MAKE, camera.make());
    d.add(TiffTagConstants.TIFF_TAG_MODEL, camera.model());
    d.add(TiffTagConstants.TIFF_TAG_SOFTWARE, camera.software());
    d.add(TiffTagConstants.TIFF_TAG_ORIENTATION, (short) shot.orientation());
    d.add(TiffTagConstants.TIFF_TAG_XRESOLUTION, RationalNumber.valueOf(72));
    d.add(TiffTagConstants.TIFF_TAG_YRESOLUTION, RationalNumber.valueOf(72));
    d.add(
        TiffTagConstants.TIFF_TAG_RESOLUTION_UNIT,
        (short) TiffTagConstants.RESOLUTION_UNIT_VALUE_INCHES);
    d.add(TiffTagConstants.TIFF_TAG_DATE_TIME, cameraTime(camera, shot).format(EXIF_TIME));
  }

  /** What the camera's own clock showed, wrong as it is. */
  static LocalDateTime cameraTime(CameraBody camera, Shot shot) {
    return shot.at().plusNanos(Math.round(camera.clockSeconds() * 1e9));
  }

  private static void details(
      TiffOutputSet exif,
      Developed picture,
      BufferedImage stored,
      CameraBody camera,
      JobShots job,
      Shot shot)
      throws IOException {
    TiffOutputDirectory d = exif.getOrCreateExifDirectory();
    LocalDateTime wall = cameraTime(camera, shot);
    String fraction =
        String.format(
            Locale.ROOT,
            camera.knowsPlace() ? "%03d" : "%02d",
            camera.knowsPlace() ? wall.getNano() / 1_000_000 : wall.getNano() / 10_000_000);
    byte[] version = "0232".getBytes(StandardCharsets.US_ASCII);
    d.add(
        new TiffOutputField(
            ExifTagConstants.EXIF_TAG_EXIF_VERSION, AbstractFieldType.UNDEFINED, 4, version));
    d.add(ExifTagConstants.EXIF_TAG_DATE_TIME_ORIGINAL, wall.format(EXIF_TIME));
    d.add(ExifTagConstants.EXIF_TAG_DATE_TIME_DIGITIZED, wall.format(EXIF_TIME));
    d.add(ExifTagConstants.EXIF_TAG_SUB_SEC_TIME_ORIGINAL, fraction);
    d.add(ExifTagConstants.EXIF_TAG_SUB_SEC_TIME_DIGITIZED, fraction);
    if (camera.knowsPlace()) {
      String offset = ZonedDateTime.of(shot.at(), job.zone()).getOffset().getId();
      d.add(OFFSET_TIME, offset);
      d.add(OFFSET_TIME_ORIGINAL, offset);
      d.add(OFFSET_TIME_DIGITIZED, offset);
    }
    d.add(
        ExifTagConstants.EXIF_TAG_EXPOSURE_TIME,
        new RationalNumber(1000, (int) Math.round(1000 / picture.exposureSeconds())));
    d.add(ExifTagConstants.EXIF_TAG_FNUMBER, rational(picture.fNumber(), 10));
    d.add(
        ExifTagConstants.EXIF_TAG_EXPOSURE_PROGRAM,
        (short) ExifTagConstants.EXPOSURE_PROGRAM_VALUE_PROGRAM_AE);
    d.add(ExifTagConstants.EXIF_TAG_ISO, (short) picture.iso());
    d.add(
        ExifTagConstants.EXIF_TAG_METERING_MODE,
        (short) ExifTagConstants.METERING_MODE_VALUE_CENTER_WEIGHTED_AVERAGE);
    d.add(ExifTagConstants.EXIF_TAG_FLASH, (short) ExifTagConstants.FLASH_VALUE_OFF);
    d.add(
        ExifTagConstants.EXIF_TAG_WHITE_BALANCE_1,
        (short) ExifTagConstants.WHITE_BALANCE_1_VALUE_AUTO);
    d.add(ExifTagConstants.EXIF_TAG_FOCAL_LENGTH, rational(shot.mm() / camera.crop(), 100));
    d.add(ExifTagConstants.EXIF_TAG_FOCAL_LENGTH_IN_35MM_FORMAT, (short) Math.round(shot.mm()));
    d.add(ExifTagConstants.EXIF_TAG_EXIF_IMAGE_WIDTH, (short) stored.getWidth());
    d.add(ExifTagConstants.EXIF_TAG_EXIF_IMAGE_LENGTH, (short) stored.getHeight());
    if (!camera.serial().isEmpty()) {
      d.add(ExifTagConstants.EXIF_TAG_BODY_SERIAL_NUMBER, camera.serial());
    }
  }

  /**
   * Where the phone believes it is. Its error wanders slowly, as that of a receiver beside walls
   * does, so photos taken close together share most of it; under the sky a few metres (usual
   * accuracy of a phone under open sky: 4.9 m, GPS.gov), under a roof more. Under a roof fixes are
   * rare, so the newest one may be half a minute old, and the compass is led astray by steel.
   */
  private static void place(TiffOutputSet exif, JobShots job, Shot shot) throws IOException {
    Random random = new Random(shot.seed() ^ 17);
    boolean sky = shot.evBase() > 11;
    double a = Math.toRadians(shot.wallAzimuth());
    double east = shot.houseAt()[0] + shot.from()[0] * Math.cos(a) + shot.from()[2] * Math.sin(a);
    double north = shot.houseAt()[1] - shot.from()[0] * Math.sin(a) + shot.from()[2] * Math.cos(a);
    double age = sky ? 0.3 + 0.5 * random.nextDouble() : 0.5 + 24 * random.nextDouble();
    double[] wander = wander(job, shot.at().toLocalTime().toNanoOfDay() / 1e9 - age);
    east += wander[0] * (sky ? 2.4 : 4.2) + random.nextGaussian() * (sky ? 0.6 : 1.5);
    north += wander[1] * (sky ? 2.4 : 4.2) + random.nextGaussian() * (sky ? 0.6 : 1.5);
    double latitude = job.latitude() + north / 111_132.0;
    double longitude =
        job.longitude() + east / (111_320.0 * Math.cos(Math.toRadians(job.latitude())));
    double dx = shot.look()[0] - shot.from()[0];
    double dz = shot.look()[2] - shot.from()[2];
    double heading =
        shot.wallAzimuth()
            + Math.toDegrees(Math.atan2(dx, dz))
            + random.nextGaussian() * (sky ? 4 : 9);
    heading = ((heading % 360) + 360) % 360;
    Instant utc = shot.at().atZone(job.zone()).toInstant().minusMillis(Math.round(age * 1000));
    ZonedDateTime fix = utc.atZone(ZoneOffset.UTC);

    TiffOutputDirectory d = exif.getOrCreateGpsDirectory();
    d.add(GpsTagConstants.GPS_TAG_GPS_VERSION_ID, (byte) 2, (byte) 3, (byte) 0, (byte) 0);
    d.add(GpsTagConstants.GPS_TAG_GPS_LATITUDE_REF, latitude < 0 ? "S" : "N");
    d.add(GpsTagConstants.GPS_TAG_GPS_LATITUDE, sexagesimal(Math.abs(latitude)));
    d.add(GpsTagConstants.GPS_TAG_GPS_LONGITUDE_REF, longitude < 0 ? "W" : "E");
    d.add(GpsTagConstants.GPS_TAG_GPS_LONGITUDE, sexagesimal(Math.abs(longitude)));
    d.add(GpsTagConstants.GPS_TAG_GPS_ALTITUDE_REF, (byte) 0);
    d.add(GpsTagConstants.GPS_TAG_GPS_ALTITUDE, rational(12 + random.nextGaussian(), 10));
    d.add(
        GpsTagConstants.GPS_TAG_GPS_TIME_STAMP,
        RationalNumber.valueOf(fix.getHour()),
        RationalNumber.valueOf(fix.getMinute()),
        RationalNumber.valueOf(fix.getSecond()));
    d.add(GPS_DATE, fix.format(DateTimeFormatter.ofPattern("yyyy:MM:dd", Locale.ROOT)));
    d.add(GpsTagConstants.GPS_TAG_GPS_IMG_DIRECTION_REF, "T");
    d.add(GpsTagConstants.GPS_TAG_GPS_IMG_DIRECTION, rational(heading, 100));
    d.add(GpsTagConstants.GPS_TAG_GPS_MAP_DATUM, "WGS-84");
  }

  /** A smooth wander of unit variance on each axis: east and north, at a second of the day. */
  private static double[] wander(JobShots job, double second) {
    Random random = new Random(job.id().hashCode());
    double[] out = new double[2];
    for (int axis = 0; axis < 2; axis++) {
      for (double period : new double[] {190, 430, 1100}) {
        double phase = 2 * Math.PI * random.nextDouble();
        out[axis] += Math.sqrt(2 / 3.0) * Math.sin(2 * Math.PI * second / period + phase);
      }
    }
    return out;
  }

  private static RationalNumber[] sexagesimal(double degrees) {
    int d = (int) degrees;
    int m = (int) ((degrees - d) * 60);
    double s = ((degrees - d) * 60 - m) * 60;
    return new RationalNumber[] {
      RationalNumber.valueOf(d), RationalNumber.valueOf(m), rational(s, 10_000)
    };
  }

  private static RationalNumber rational(double v, int denominator) {
    return new RationalNumber((int) Math.round(v * denominator), denominator);
  }

  private static void thumbnail(TiffOutputSet exif, BufferedImage stored) throws IOException {
    BufferedImage small = new BufferedImage(160, 120, BufferedImage.TYPE_INT_RGB);
    Graphics2D g = small.createGraphics();
    g.setRenderingHint(
        RenderingHints.KEY_INTERPOLATION, RenderingHints.VALUE_INTERPOLATION_BILINEAR);
    BufferedImage half = new BufferedImage(504, 378, BufferedImage.TYPE_INT_RGB);
    Graphics2D g2 = half.createGraphics();
    g2.setRenderingHint(
        RenderingHints.KEY_INTERPOLATION, RenderingHints.VALUE_INTERPOLATION_BILINEAR);
    g2.drawImage(stored, 0, 0, 504, 378, null);
    g2.dispose();
    g.drawImage(half, 0, 0, 160, 120, null);
    g.dispose();
    byte[] bytes = jpeg(small, 0.75f);
    TiffOutputDirectory d = new TiffOutputDirectory(THUMBNAIL_DIRECTORY, exif.byteOrder);
    exif.addDirectory(d);
    d.add(TiffTagConstants.TIFF_TAG_XRESOLUTION, RationalNumber.valueOf(72));
    d.add(TiffTagConstants.TIFF_TAG_YRESOLUTION, RationalNumber.valueOf(72));
    d.add(
        TiffTagConstants.TIFF_TAG_RESOLUTION_UNIT,
        (short) TiffTagConstants.RESOLUTION_UNIT_VALUE_INCHES);
    d.setJpegImageData(new JpegImageData(0, bytes.length, bytes));
  }

  /** Upright pixels as they lie in a file of this orientation (Exif 2.32, tag 0x0112). */
  static BufferedImage store(BufferedImage upright, int orientation) {
    int w = upright.getWidth();
    int h = upright.getHeight();
    AffineTransform t;
    boolean turned = false;
    switch (orientation) {
      case 1:
        return upright;
      case 3:
        t = new AffineTransform(-1, 0, 0, -1, w, h);
        break;
      case 6:
        t = new AffineTransform(0, -1, 1, 0, 0, w);
        turned = true;
        break;
      case 8:
        t = new AffineTransform(0, 1, -1, 0, h, 0);
        turned = true;
        break;
      default:
        throw new IllegalArgumentException("orientation " + orientation);
    }
    BufferedImage out =
        new BufferedImage(turned ? h : w, turned ? w : h, BufferedImage.TYPE_INT_RGB);
    new AffineTransformOp(t, AffineTransformOp.TYPE_NEAREST_NEIGHBOR).filter(upright, out);
    return out;
  }

  /** Baseline JPEG, YCbCr 4:2:0 as the JDK's encoder subsamples. */
  private static byte[] jpeg(BufferedImage image, float quality) throws IOException {
    ImageWriter writer = ImageIO.getImageWritersByFormatName("jpeg").next();
    ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    try (MemoryCacheImageOutputStream out = new MemoryCacheImageOutputStream(bytes)) {
      ImageWriteParam p = writer.getDefaultWriteParam();
      p.setCompressionMode(ImageWriteParam.MODE_EXPLICIT);
      p.setCompressionQuality(quality);
      writer.setOutput(out);
      writer.write(null, new IIOImage(image, null, null), p);
    } finally {
      writer.dispose();
    }
    return bytes.toByteArray();
  }
}

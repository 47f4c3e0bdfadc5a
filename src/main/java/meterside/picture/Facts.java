package meterside.picture;

import com.drew.imaging.tiff.TiffProcessingException;
import com.drew.imaging.tiff.TiffReader;
import com.drew.lang.ByteArrayReader;
import com.drew.lang.RandomAccessReader;
import com.drew.lang.Rational;
import com.drew.metadata.Directory;
import com.drew.metadata.Metadata;
import com.drew.metadata.exif.ExifIFD0Directory;
import com.drew.metadata.exif.ExifSubIFDDirectory;
import com.drew.metadata.exif.ExifTiffHandler;
import com.drew.metadata.exif.GpsDirectory;
import java.io.IOException;
import java.util.Arrays;
import java.util.Set;
import meterside.job.Exposure;
import meterside.job.Position;
import meterside.job.Recorded;

/**
 * What an EXIF block (CIPA DC-008) records, word for word.
 *
 * <p>metadata-extractor does the reading, but only of the tags below: a value longer than {@value
 * #LONGEST} bytes, maker notes, thumbnails and further directories are never entered, and one block
 * may cost at most {@value #MOST_READS} reads. So time and memory are bounded whatever the block
 * claims; what was read before something illegal counts.
 *
 * <p>Times are read as text. The library's own dates assume GMT where no offset is recorded.
 */
final class Facts {
  static final int LONGEST = 0x10000;
  static final int MOST_READS = 2_000_000;

  private static final int EXIF_POINTER = 0x8769;
  private static final int GPS_POINTER = 0x8825;
  private static final int WIDTH = 0x0100;
  private static final int HEIGHT = 0x0101;
  private static final int BITS = 0x0102;
  private static final int SAMPLES = 0x0115;
  private static final int MAKE = 0x010f;
  private static final int MODEL = 0x0110;
  private static final int ORIENTATION = 0x0112;
  private static final int RAW_VERSION = 0xc612;
  private static final int SUBFILE_TYPE = 0x00fe;
  private static final int SUB_IFDS = 0x014a;
  private static final int EXPOSURE_TIME = 0x829a;
  private static final int F_NUMBER = 0x829d;
  private static final int ISO = 0x8827;
  private static final int SENSITIVITY_TYPE = 0x8830;
  private static final int STANDARD_OUTPUT = 0x8831;
  private static final int RECOMMENDED_INDEX = 0x8832;
  private static final int ISO_SPEED = 0x8833;
  private static final int ORIGINAL = 0x9003;
  private static final int DIGITIZED = 0x9004;
  private static final int OFFSET_ORIGINAL = 0x9011;
  private static final int SHUTTER_SPEED = 0x9201;
  private static final int APERTURE = 0x9202;
  private static final int SUBSEC_ORIGINAL = 0x9291;
  private static final int FOCAL_35 = 0xa405;
  private static final int BODY_SERIAL = 0xa431;
  private static final Set<Integer> IFD0_TAGS =
      Set.of(
          WIDTH,
          HEIGHT,
          BITS,
          SAMPLES,
          MAKE,
          MODEL,
          ORIENTATION,
          RAW_VERSION,
          SUBFILE_TYPE,
          SUB_IFDS);
  private static final Set<Integer> EXIF_TAGS =
      Set.of(
          EXPOSURE_TIME,
          F_NUMBER,
          ISO,
          SENSITIVITY_TYPE,
          STANDARD_OUTPUT,
          RECOMMENDED_INDEX,
          ISO_SPEED,
          ORIGINAL,
          DIGITIZED,
          OFFSET_ORIGINAL,
          SHUTTER_SPEED,
          APERTURE,
          SUBSEC_ORIGINAL,
          FOCAL_35,
          BODY_SERIAL);
  private static final Set<Integer> GPS_TAGS =
      Set.of(
          GpsDirectory.TAG_LATITUDE_REF,
          GpsDirectory.TAG_LATITUDE,
          GpsDirectory.TAG_LONGITUDE_REF,
          GpsDirectory.TAG_LONGITUDE,
          GpsDirectory.TAG_TIME_STAMP,
          GpsDirectory.TAG_DATE_STAMP,
          GpsDirectory.TAG_IMG_DIRECTION_REF,
          GpsDirectory.TAG_IMG_DIRECTION,
          GpsDirectory.TAG_H_POSITIONING_ERROR);

  private final Directory main;
  private final Directory exif;
  private final Directory gps;

  /** Nothing recorded. */
  static final Facts NONE = new Facts(new Metadata());

  private Facts(Metadata metadata) {
    main = metadata.getFirstDirectoryOfType(ExifIFD0Directory.class);
    exif = metadata.getFirstDirectoryOfType(ExifSubIFDDirectory.class);
    gps = metadata.getFirstDirectoryOfType(GpsDirectory.class);
  }

  /** Reads the TIFF structure that starts at an offset and is at most so many bytes long. */
  static Facts read(byte[] bytes, int at, int length) {
    Metadata metadata = new Metadata();
    byte[] block =
        at == 0 && length == bytes.length ? bytes : Arrays.copyOfRange(bytes, at, at + length);
    try {
      new TiffReader().processTiff(new Limited(block), new Wanted(metadata), 0);
    } catch (TiffProcessingException | IOException | RuntimeException e) {
      // What was read up to here counts; a block that makes no sense records nothing.
      return new Facts(metadata);
    }
    return new Facts(metadata);
  }

  /** Whether anything at all is recorded about the taking of the picture. */
  boolean any() {
    return (main != null && (main.containsTag(MAKE) || main.containsTag(MODEL)))
        || (exif != null && exif.getTagCount() > 0)
        || (gps != null && gps.getTagCount() > 0);
  }

  /** Whether a TIFF holds a camera's raw data instead of a picture to look at. */
  boolean raw() {
    if (main == null) {
      return false;
    }
    // Raw files keep a small picture in front (subfile type 1) and the data in further directories.
    Double type = number(main, SUBFILE_TYPE);
    boolean small = type != null && (type.intValue() & 1) != 0;
    return main.containsTag(RAW_VERSION) || (small && main.containsTag(SUB_IFDS));
  }

  /** ImageWidth of a TIFF, 0 if not there. */
  int width() {
    return size(WIDTH);
  }

  /** ImageLength of a TIFF, 0 if not there. */
  int height() {
    return size(HEIGHT);
  }

  /** Bytes for one pixel of a TIFF as stored, at least 1. */
  int bytesPerPixel() {
    Double samples = number(main, SAMPLES);
    Double bits = number(main, BITS);
    double bytes = (samples == null ? 1 : samples) * (bits == null ? 8 : bits) / 8;
    return (int) Math.max(1, Math.min(64, bytes));
  }

  /** Orientation as recorded, whatever its value; 1 if none. */
  int orientationTag() {
    Integer v = main == null ? null : main.getInteger(ORIENTATION);
    return v == null ? 1 : v;
  }

  String make() {
    return label(main, MAKE);
  }

  String model() {
    return label(main, MODEL);
  }

  String serial() {
    return label(exif, BODY_SERIAL);
  }

  Recorded recorded() {
    return new Recorded(
        text(exif, ORIGINAL),
        text(exif, DIGITIZED),
        text(exif, SUBSEC_ORIGINAL),
        text(exif, OFFSET_ORIGINAL),
        text(gps, GpsDirectory.TAG_DATE_STAMP),
        gpsTime(),
        null);
  }

  /**
   * The exposure: FNumber and ExposureTime, or else ApertureValue and ShutterSpeedValue (APEX: N =
   * 2^(Av/2), t = 2^−Tv). Null if nothing is recorded.
   */
  Exposure exposure() {
    Double n = positive(number(exif, F_NUMBER));
    if (n == null) {
      Double av = number(exif, APERTURE);
      n = av == null ? null : positive(Math.pow(2, av / 2));
    }
    Double t = positive(number(exif, EXPOSURE_TIME));
    if (t == null) {
      Double tv = number(exif, SHUTTER_SPEED);
      t = tv == null ? null : positive(Math.pow(2, -tv));
    }
    Double iso = iso();
    return n == null && t == null && iso == null ? null : new Exposure(n, t, iso);
  }

  /** Focal length as for 35 mm film in millimetres; 0 means unknown (CIPA DC-008). */
  Double focal35() {
    return positive(number(exif, FOCAL_35));
  }

  /**
   * The position; null if a coordinate, its reference or its range is missing or impossible. 0° N
   * 0° E is what receivers write without a fix, not a place where a house stands.
   */
  Position position() {
    Double lat = degrees(GpsDirectory.TAG_LATITUDE, GpsDirectory.TAG_LATITUDE_REF, 'N', 'S', 90);
    Double lon = degrees(GpsDirectory.TAG_LONGITUDE, GpsDirectory.TAG_LONGITUDE_REF, 'E', 'W', 180);
    if (lat == null || lon == null || (lat == 0 && lon == 0)) {
      return null;
    }
    Double error = number(gps, GpsDirectory.TAG_H_POSITIONING_ERROR);
    Double heading = number(gps, GpsDirectory.TAG_IMG_DIRECTION);
    boolean possible = heading != null && heading >= 0 && heading <= 360;
    String ref = label(gps, GpsDirectory.TAG_IMG_DIRECTION_REF);
    return new Position(
        lat,
        lon,
        error != null && error >= 0 ? error : null,
        possible ? Double.valueOf(heading % 360) : null,
        possible && ref != null && ref.startsWith("M"));
  }

  private int size(int tag) {
    Double v = number(main, tag);
    return v == null || v < 0 || v > Integer.MAX_VALUE ? 0 : v.intValue();
  }

  /**
   * Photographic sensitivity. Its own tag ends at 65,535; beyond, or where it is missing, the value
   * that SensitivityType points at counts.
   */
  private Double iso() {
    Double iso = positive(number(exif, ISO));
    if (iso != null && iso < 65535) {
      return iso;
    }
    Double type = number(exif, SENSITIVITY_TYPE);
    int[] order =
        switch (type == null ? 0 : type.intValue()) {
          case 1 -> new int[] {STANDARD_OUTPUT, RECOMMENDED_INDEX, ISO_SPEED};
          case 3, 5 -> new int[] {ISO_SPEED, STANDARD_OUTPUT, RECOMMENDED_INDEX};
          default -> new int[] {RECOMMENDED_INDEX, ISO_SPEED, STANDARD_OUTPUT};
        };
    for (int tag : order) {
      Double v = positive(number(exif, tag));
      if (v != null) {
        return v;
      }
    }
    return iso;
  }

  private String gpsTime() {
    double[] hms = triple(GpsDirectory.TAG_TIME_STAMP);
    if (hms == null) {
      return text(gps, GpsDirectory.TAG_TIME_STAMP);
    }
    return plain(hms[0]) + ":" + plain(hms[1]) + ":" + plain(hms[2]);
  }

  private Double degrees(int tag, int refTag, char plus, char minus, double most) {
    double[] dms = triple(tag);
    String ref = label(gps, refTag);
    if (dms == null || ref == null) {
      return null;
    }
    char side = Character.toUpperCase(ref.charAt(0));
    if (side != plus && side != minus) {
      return null;
    }
    double v = dms[0] + dms[1] / 60 + dms[2] / 3600;
    if (!(v >= 0 && v <= most)) {
      return null;
    }
    return side == minus ? -v : v;
  }

  /** Three finite numbers; missing seconds or minutes, and 0/0, count as 0. Null if none. */
  private double[] triple(int tag) {
    Rational[] r = gps == null ? null : gps.getRationalArray(tag);
    if (r == null || r.length == 0) {
      return null;
    }
    double[] out = new double[3];
    for (int i = 0; i < Math.min(3, r.length); i++) {
      double v = r[i] == null ? Double.NaN : r[i].doubleValue();
      if (r[i] != null && r[i].getDenominator() == 0) {
        if (i == 0 || r[i].getNumerator() != 0) {
          return null;
        }
        v = 0;
      }
      if (!Double.isFinite(v)) {
        return null;
      }
      out[i] = v;
    }
    return out;
  }

  /** Two digits before the point, decimals only if there are any. */
  private static String plain(double v) {
    String s =
        v == Math.rint(v) && Math.abs(v) < 1e9 ? Long.toString((long) v) : Double.toString(v);
    return v >= 0 && v < 10 ? "0" + s : s;
  }

  private static Double positive(Double v) {
    return v != null && v > 0 && Double.isFinite(v) ? v : null;
  }

  /** The first number of a tag; null if there is none, or it is 0/0 or infinite. */
  private static Double number(Directory d, int tag) {
    Object o = d == null ? null : d.getObject(tag);
    if (o == null) {
      return null;
    }
    if (o.getClass().isArray()) {
      o = java.lang.reflect.Array.getLength(o) == 0 ? null : java.lang.reflect.Array.get(o, 0);
    }
    double v;
    if (o instanceof Rational r) {
      v = r.getDenominator() == 0 ? Double.NaN : (double) r.getNumerator() / r.getDenominator();
    } else if (o instanceof Number n) {
      v = n.doubleValue();
    } else if (o != null) {
      try {
        v = Double.parseDouble(o.toString().strip());
      } catch (NumberFormatException e) {
        return null;
      }
    } else {
      return null;
    }
    return Double.isFinite(v) ? v : null;
  }

  /** A text as recorded, up to its first NUL; null if there is none. */
  private static String text(Directory d, int tag) {
    Object o = d == null ? null : d.getObject(tag);
    String s;
    if (o instanceof byte[] bytes) {
      s = new String(bytes, java.nio.charset.StandardCharsets.ISO_8859_1);
    } else {
      s = o == null ? null : d.getString(tag);
    }
    if (s == null) {
      return null;
    }
    int nul = s.indexOf('\0');
    return nul >= 0 ? s.substring(0, nul) : s;
  }

  /** A text without blanks around it and without control characters; null if nothing is left. */
  private static String label(Directory d, int tag) {
    String s = text(d, tag);
    if (s == null) {
      return null;
    }
    s = s.replaceAll("\\p{Cntrl}", " ").strip();
    return s.isEmpty() ? null : s;
  }

  /** Lets only the wanted tags through and enters no other directory than EXIF and GPS. */
  private static final class Wanted extends ExifTiffHandler {
    private int asked;

    Wanted(Metadata metadata) {
      super(metadata, null, 0);
    }

    @Override
    public boolean tryEnterSubIfd(int tagId) {
      // Asked once for each four bytes of every value: a block that claims huge values would take
      // very long here.
      if (++asked > MOST_READS) {
        throw new IllegalStateException("too many values in one EXIF block");
      }
      boolean wanted = tagId == EXIF_POINTER || tagId == GPS_POINTER;
      return wanted && super.tryEnterSubIfd(tagId);
    }

    @Override
    public boolean hasFollowerIfd() {
      return false; // the thumbnail's directory, or the next page
    }

    @Override
    public boolean customProcessTag(
        int tagOffset,
        Set<Integer> processedIfdOffsets,
        int tiffHeaderOffset,
        RandomAccessReader reader,
        int tagId,
        int byteCount) {
      Set<Integer> tags =
          _currentDirectory instanceof GpsDirectory
              ? GPS_TAGS
              : _currentDirectory instanceof ExifSubIFDDirectory ? EXIF_TAGS : IFD0_TAGS;
      boolean leave = byteCount > LONGEST || !tags.contains(tagId);
      // A repeated tag does not replace the first.
      return leave || _currentDirectory.containsTag(tagId);
    }
  }

  /** A reader that gives up after so many reads, so that no chain of directories runs on. */
  private static final class Limited extends ByteArrayReader {
    private int reads;

    Limited(byte[] block) {
      super(block);
    }

    @Override
    public byte getByte(int index) throws IOException {
      if (++reads > MOST_READS) {
        throw new IOException("too many reads in one EXIF block");
      }
      return super.getByte(index);
    }
  }
}

package meterside.picture;

import java.io.ByteArrayOutputStream;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.TreeMap;

/**
 * Builds an EXIF block (a big-endian TIFF structure with IFD0, EXIF and GPS directories; TIFF 6.0
 * and CIPA DC-008) entry by entry, also illegal ones, for tests.
 */
public final class ExifBlock {
  private record Entry(int type, int count, byte[] value) {}

  private final TreeMap<Integer, Entry> main = new TreeMap<>();
  private final TreeMap<Integer, Entry> exif = new TreeMap<>();
  private final TreeMap<Integer, Entry> gps = new TreeMap<>();

  /** Text in IFD0. */
  public ExifBlock main(int tag, String text) {
    main.put(tag, ascii(text));
    return this;
  }

  /** A SHORT in IFD0. */
  public ExifBlock mainShort(int tag, int value) {
    main.put(tag, shorts(value));
    return this;
  }

  /** Text in the EXIF directory. */
  public ExifBlock exif(int tag, String text) {
    exif.put(tag, ascii(text));
    return this;
  }

  /** A SHORT in the EXIF directory. */
  public ExifBlock exifShort(int tag, int value) {
    exif.put(tag, shorts(value));
    return this;
  }

  /** Pairs of numerator and denominator in the EXIF directory. */
  public ExifBlock exifRational(int tag, long... pairs) {
    exif.put(tag, rationals(pairs));
    return this;
  }

  /** Text in the GPS directory. */
  public ExifBlock gps(int tag, String text) {
    gps.put(tag, ascii(text));
    return this;
  }

  /** Pairs of numerator and denominator in the GPS directory. */
  public ExifBlock gpsRational(int tag, long... pairs) {
    gps.put(tag, rationals(pairs));
    return this;
  }

  /** Make, model and DateTimeOriginal, as any camera writes them. */
  public static ExifBlock camera(String make, String model, String dateTimeOriginal) {
    return new ExifBlock().main(0x010f, make).main(0x0110, model).exif(0x9003, dateTimeOriginal);
  }

  /** The TIFF structure. */
  public byte[] bytes() {
    // Pointers have a fixed size, so lay out with zeros first and again with the right offsets.
    int exifAt = 8 + size(main, (exif.isEmpty() ? 0 : 1) + (gps.isEmpty() ? 0 : 1));
    int gpsAt = exifAt + (exif.isEmpty() ? 0 : size(exif, 0));
    if (!exif.isEmpty()) {
      main.put(0x8769, longs(exifAt));
    }
    if (!gps.isEmpty()) {
      main.put(0x8825, longs(gpsAt));
    }
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    out.writeBytes(new byte[] {'M', 'M', 0, 42, 0, 0, 0, 8});
    write(out, main);
    if (!exif.isEmpty()) {
      write(out, exif);
    }
    if (!gps.isEmpty()) {
      write(out, gps);
    }
    main.remove(0x8769);
    main.remove(0x8825);
    return out.toByteArray();
  }

  /** The JPEG with this block as its APP1 segment. */
  public byte[] into(byte[] jpeg) {
    byte[] tiff = bytes();
    int length = 2 + 6 + tiff.length;
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    out.write(jpeg, 0, 2);
    out.writeBytes(new byte[] {(byte) 0xff, (byte) 0xe1, (byte) (length >> 8), (byte) length});
    out.writeBytes("Exif\0\0".getBytes(StandardCharsets.ISO_8859_1));
    out.writeBytes(tiff);
    out.write(jpeg, 2, jpeg.length - 2);
    return out.toByteArray();
  }

  private static int size(TreeMap<Integer, Entry> directory, int pointers) {
    int size = 2 + 12 * (directory.size() + pointers) + 4;
    for (Entry e : directory.values()) {
      size += e.value.length > 4 ? even(e.value.length) : 0;
    }
    return size;
  }

  private static void write(ByteArrayOutputStream out, TreeMap<Integer, Entry> directory) {
    int dataAt = out.size() + 2 + 12 * directory.size() + 4;
    ByteArrayOutputStream data = new ByteArrayOutputStream();
    ByteBuffer entries = ByteBuffer.allocate(2 + 12 * directory.size() + 4);
    entries.putShort((short) directory.size());
    directory.forEach(
        (tag, e) -> {
          entries.putShort(tag.shortValue()).putShort((short) e.type).putInt(e.count);
          if (e.value.length <= 4) {
            entries.put(e.value).put(new byte[4 - e.value.length]);
          } else {
            entries.putInt(dataAt + data.size());
            data.writeBytes(e.value);
            data.writeBytes(new byte[even(e.value.length) - e.value.length]);
          }
        });
    out.writeBytes(entries.array());
    out.writeBytes(data.toByteArray());
  }

  private static int even(int n) {
    return n + (n & 1);
  }

  private static Entry ascii(String text) {
    byte[] value = (text + "\0").getBytes(StandardCharsets.UTF_8);
    return new Entry(2, value.length, value);
  }

  private static Entry shorts(int v) {
    return new Entry(3, 1, new byte[] {(byte) (v >> 8), (byte) v});
  }

  private static Entry longs(int v) {
    return new Entry(4, 1, ByteBuffer.allocate(4).putInt(v).array());
  }

  private static Entry rationals(long... pairs) {
    ByteBuffer b = ByteBuffer.allocate(pairs.length * 4);
    for (long p : pairs) {
      b.putInt((int) p);
    }
    return new Entry(5, pairs.length / 2, b.array());
  }
}

package meterside.picture;

import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import meterside.job.Format;

/**
 * Tells the kind of a file by its first bytes: JPEG (ISO/IEC 10918-1 SOI), PNG (ISO/IEC 15948
 * signature), TIFF 6.0 (byte order and 42), HEIC (ISO/IEC 14496-12 {@code ftyp} with a brand of
 * ISO/IEC 23008-12). Names are only asked for what a user expects of a file.
 */
public final class Signature {
  /** So many first bytes are enough to tell. */
  public static final int LENGTH = 64;

  private static final byte[] PNG = {(byte) 0x89, 'P', 'N', 'G', '\r', '\n', 0x1a, '\n'};
  private static final Set<String> HEIC_BRANDS =
      Set.of("heic", "heix", "heim", "heis", "hevc", "hevx", "hevm", "hevs");
  private static final Set<String> VIDEO_BRANDS =
      Set.of(
          "qt", "isom", "iso2", "iso4", "iso5", "iso6", "mp41", "mp42", "avc1", "M4V", "M4VH",
          "M4VP", "mmp4", "MSNV", "XAVC", "3gp4", "3gp5", "3gp6", "3g2a", "3g2b", "3g2c");
  private static final Set<String> QUICKTIME_BOXES =
      Set.of("moov", "mdat", "wide", "free", "skip", "pnot");
  private static final Set<String> ISO_NAMES = Set.of("mp4", "mov", "m4v", "3gp", "3g2");
  private static final Set<String> EXTENSIONS =
      Set.of("jpg", "jpeg", "jpe", "png", "tif", "tiff", "heic", "heif");

  private Signature() {}

  /** The kind of picture that these first bytes begin, if it is one that is kept as a photo. */
  public static Optional<Format> of(byte[] head) {
    if (head.length >= 3
        && head[0] == (byte) 0xff
        && head[1] == (byte) 0xd8
        && head[2] == (byte) 0xff) {
      return Optional.of(Format.JPEG);
    }
    if (head.length >= PNG.length && Arrays.equals(head, 0, PNG.length, PNG, 0, PNG.length)) {
      return Optional.of(Format.PNG);
    }
    if (isTiff(head)) {
      // Two makers put their own mark behind a TIFF header: raw data, not a picture to look at.
      boolean raw = head.length >= 10 && head[8] == 'C' && head[9] == 'R';
      return raw ? Optional.empty() : Optional.of(Format.TIFF);
    }
    return isHeic(head) ? Optional.of(Format.HEIC) : Optional.empty();
  }

  /**
   * Whether these first bytes begin a video, and the extension it is kept under: MP4, QuickTime and
   * 3GP (ISO/IEC 14496-12 {@code ftyp} with a brand that is registered for moving pictures; older
   * QuickTime files begin with another box), AVI (a RIFF form {@code AVI }), and the transport
   * streams of cameras (ISO/IEC 13818-1: a sync byte 0x47 every 188 bytes, here behind four bytes
   * of time). The lists are from memory.
   *
   * @param head at least {@link #LENGTH} bytes of it, or all
   * @param fileName tells the kinds of one family apart
   */
  public static Optional<String> video(byte[] head, String fileName) {
    int dot = fileName.lastIndexOf('.');
    String named = dot < 0 ? "" : fileName.substring(dot + 1).toLowerCase(Locale.ROOT);
    if (head.length >= 12 && ascii(head, 0).equals("RIFF") && ascii(head, 8).equals("AVI ")) {
      return Optional.of("avi");
    }
    if (head.length >= LENGTH
        && (head[0] == 0x47 || head[4] == 0x47)
        && (named.equals("mts") || named.equals("m2ts"))) {
      return Optional.of(named);
    }
    if (head.length < 12) {
      return Optional.empty();
    }
    String box = ascii(head, 4);
    boolean quickTime = QUICKTIME_BOXES.contains(box) && named.equals("mov");
    boolean brand = box.equals("ftyp") && VIDEO_BRANDS.contains(ascii(head, 8).strip());
    if (!quickTime && !brand) {
      return Optional.empty();
    }
    return Optional.of(ISO_NAMES.contains(named) ? named : "mp4");
  }

  /** Whether a user expects a photo behind this file name. */
  public static boolean promisesPicture(String fileName) {
    int dot = fileName.lastIndexOf('.');
    return dot >= 0 && EXTENSIONS.contains(fileName.substring(dot + 1).toLowerCase(Locale.ROOT));
  }

  /** The extension under which files of a kind are kept. */
  public static String extension(Format format) {
    return switch (format) {
      case JPEG -> "jpg";
      case PNG -> "png";
      case TIFF -> "tif";
      case HEIC -> "heic";
    };
  }

  private static boolean isTiff(byte[] b) {
    return b.length >= 8
        && ((b[0] == 'I' && b[1] == 'I' && b[2] == 42 && b[3] == 0)
            || (b[0] == 'M' && b[1] == 'M' && b[2] == 0 && b[3] == 42));
  }

  private static boolean isHeic(byte[] b) {
    if (b.length < 16 || !ascii(b, 4).equals("ftyp")) {
      return false;
    }
    int size = (b[0] & 0xff) << 24 | (b[1] & 0xff) << 16 | (b[2] & 0xff) << 8 | b[3] & 0xff;
    if (HEIC_BRANDS.contains(ascii(b, 8))) {
      return true;
    }
    // The general brand mif1 says HEIC only together with one of the brands above.
    for (int at = 16; at + 4 <= Math.min(size, b.length); at += 4) {
      if (HEIC_BRANDS.contains(ascii(b, at))) {
        return true;
      }
    }
    return false;
  }

  private static String ascii(byte[] b, int at) {
    return new String(b, at, 4, StandardCharsets.ISO_8859_1);
  }
}

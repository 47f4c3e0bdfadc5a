package meterside.picture;

import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.TreeMap;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * Walks the markers of a JPEG (ISO/IEC 10918-1, annex B) without decoding it: size, where the EXIF
 * block lies, and whether the picture has its end. A decoder shows a truncated file as fine, so the
 * end marker is looked for here. Bytes after it are of no concern.
 */
final class JpegWalk {
  private static final byte[] EXIF = "Exif\0".getBytes(StandardCharsets.ISO_8859_1);
  private static final byte[] ICC = "ICC_PROFILE\0".getBytes(StandardCharsets.ISO_8859_1);
  private static final byte[] ADOBE = "Adobe".getBytes(StandardCharsets.ISO_8859_1);

  private static final Pattern EXTRANEOUS =
      Pattern.compile("Corrupt JPEG data: (\\d+) extraneous bytes before marker 0xd9");

  /**
   * Some encoders leave a few bytes before the end marker of a good picture; where data are
   * damaged, the decoder loses its place and leaves many.
   */
  private static final int HARMLESS_LEFT_OVER = 8;

  private final byte[] b;
  private int width;
  private int height;
  private int components;
  private int frame = -1;
  private int exifAt = -1;
  private int exifLength;
  private boolean adobe;
  private final TreeMap<Integer, byte[]> profile = new TreeMap<>();
  private int profilePieces;
  private boolean scans;
  private int end = -1;

  private JpegWalk(byte[] bytes) {
    b = bytes;
  }

  static JpegWalk of(byte[] bytes) {
    JpegWalk walk = new JpegWalk(bytes);
    walk.walk();
    return walk;
  }

  /** Width from the frame header, 0 if there is none. */
  int width() {
    return width;
  }

  /** Height from the frame header, 0 if there is none. */
  int height() {
    return height;
  }

  /** Number of colour components. */
  int components() {
    return components;
  }

  /** Whether a frame header was found. */
  boolean hasFrame() {
    return frame >= 0;
  }

  /** Whether the frame is progressive, which a decoder must hold whole. */
  boolean progressive() {
    return frame == 0xc2;
  }

  /** Whether the frame is of a kind that decoders commonly know: Huffman-coded, not lossless. */
  boolean common() {
    return frame == 0xc0 || frame == 0xc1 || frame == 0xc2;
  }

  /** Where the TIFF structure of the EXIF block starts, −1 if there is none. */
  int exifAt() {
    return exifAt;
  }

  /** Length of that structure, as far as it is there. */
  int exifLength() {
    return exifLength;
  }

  /** Whether an Adobe segment says that four-component pictures are stored inverted. */
  boolean adobe() {
    return adobe;
  }

  /** The ICC profile of three-component pictures, or null if there is none or not all of it. */
  byte[] profile() {
    int length = 0;
    for (byte[] piece : profile.values()) {
      length += piece.length;
    }
    boolean all = profile.size() == profilePieces && profilePieces > 0;
    if (!all || length > Colours.LARGEST || components != 3) {
      return null;
    }
    byte[] out = new byte[length];
    int to = 0;
    for (byte[] piece : profile.values()) {
      System.arraycopy(piece, 0, out, to, piece.length);
      to += piece.length;
    }
    return out;
  }

  /** Whether the end marker follows the picture's data. */
  boolean complete() {
    return end >= 0 && scans;
  }

  /**
   * Whether the {@code count} bytes before the end marker are all alike: some cameras fill up that
   * way, which a decoder reports as left-over bytes.
   */
  private boolean paddedBeforeEnd(int count) {
    if (end < 0 || count > end - 2) {
      return false;
    }
    for (int i = end - count; i < end; i++) {
      if (b[i] != b[end - 1]) {
        return false;
      }
    }
    return true;
  }

  /**
   * Whether a warning of a decoder means that the picture's data are damaged. The decoders at hand
   * share their origin and the wording.
   */
  boolean tellsDamage(String warning) {
    Matcher m = EXTRANEOUS.matcher(warning);
    if (m.matches()) {
      int count = m.group(1).length() > 9 ? Integer.MAX_VALUE : Integer.parseInt(m.group(1));
      return count > HARMLESS_LEFT_OVER && !paddedBeforeEnd(count);
    }
    return warning.startsWith("Corrupt JPEG data") || warning.startsWith("Premature end");
  }

  private void walk() {
    int at = 2;
    while (at < b.length - 1) {
      if (b[at] != (byte) 0xff) {
        at++; // stray bytes between segments: decoders look for the next marker too
        continue;
      }
      int marker = b[at + 1] & 0xff;
      if (marker == 0xff) {
        at++; // fill byte
      } else if (marker == 0xd9) {
        end = at;
        return;
      } else if (marker <= 0x01 || (marker >= 0xd0 && marker <= 0xd8)) {
        at += 2; // stands alone
      } else {
        if (at + 4 > b.length) {
          return;
        }
        int length = u16(at + 2);
        segment(marker, at + 4, Math.max(0, length - 2));
        at += 2 + Math.max(2, length);
        if (marker == 0xda) {
          scans = true;
          at = pastScan(at);
        }
      }
    }
  }

  private void segment(int marker, int at, int length) {
    int there = Math.min(length, b.length - at);
    boolean frameHeader =
        marker >= 0xc0 && marker <= 0xcf && marker != 0xc4 && marker != 0xc8 && marker != 0xcc;
    if (frameHeader && frame < 0 && there >= 6) {
      frame = marker;
      height = u16(at + 1);
      width = u16(at + 3);
      components = b[at + 5] & 0xff;
    } else if (marker == 0xe1 && exifAt < 0 && there > 6 && starts(at, EXIF)) {
      exifAt = at + 6;
      exifLength = there - 6;
    } else if (marker == 0xe2 && there > 14 && starts(at, ICC)) {
      // Pieces are numbered from 1 (ICC.1, annex B.4).
      profilePieces = b[at + 13] & 0xff;
      profile.putIfAbsent(b[at + 12] & 0xff, Arrays.copyOfRange(b, at + 14, at + there));
    } else if (marker == 0xee && there >= 5 && starts(at, ADOBE)) {
      adobe = true;
    }
  }

  /** The first marker after entropy-coded data; restart markers and stuffed zeros belong to it. */
  private int pastScan(int from) {
    int last = b.length - 1;
    for (int i = from; i < last; i++) {
      if (b[i] == (byte) 0xff) {
        int next = b[i + 1] & 0xff;
        if (next != 0 && next != 0xff && (next < 0xd0 || next > 0xd7)) {
          return i;
        }
      }
    }
    return b.length;
  }

  private boolean starts(int at, byte[] text) {
    for (int i = 0; i < text.length; i++) {
      if (b[at + i] != text[i]) {
        return false;
      }
    }
    return true;
  }

  private int u16(int at) {
    return (b[at] & 0xff) << 8 | b[at + 1] & 0xff;
  }
}

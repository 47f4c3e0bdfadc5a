package meterside.picture;

import java.util.zip.CRC32;

/**
 * Walks the chunks of a PNG (ISO/IEC 15948, clause 5) without decoding it: size, where the EXIF
 * block lies ({@code eXIf}), and whether all critical chunks are there with the right CRC.
 */
final class PngWalk {
  private static final int IHDR = 0x49484452;
  private static final int IDAT = 0x49444154;
  private static final int IEND = 0x49454e44;
  private static final int EXIF = 0x65584966;

  private final byte[] b;
  private int width;
  private int height;
  private int bytesPerPixel = 4;
  private int exifAt = -1;
  private int exifLength;
  private boolean data;
  private boolean complete;
  private boolean wrongCrc;

  private PngWalk(byte[] bytes) {
    b = bytes;
  }

  static PngWalk of(byte[] bytes) {
    PngWalk walk = new PngWalk(bytes);
    walk.walk();
    return walk;
  }

  int width() {
    return width;
  }

  int height() {
    return height;
  }

  /** Upper bound of the bytes a decoder holds for one pixel. */
  int bytesPerPixel() {
    return bytesPerPixel;
  }

  int exifAt() {
    return exifAt;
  }

  int exifLength() {
    return exifLength;
  }

  /** Whether there is a header with a size. */
  boolean hasHeader() {
    return width > 0 && height > 0;
  }

  /** Whether the file reaches its end chunk and no critical chunk has a wrong CRC. */
  boolean whole() {
    return complete && data && !wrongCrc;
  }

  private void walk() {
    int at = 8;
    while (at + 12 <= b.length) {
      int length = i32(at);
      int type = i32(at + 4);
      if (length < 0 || length > b.length - at - 12) {
        return; // cut short
      }
      int body = at + 8;
      boolean critical = (b[at + 4] & 0x20) == 0;
      if (critical) {
        CRC32 crc = new CRC32();
        crc.update(b, at + 4, length + 4);
        wrongCrc |= (int) crc.getValue() != i32(body + length);
      }
      if (type == IHDR && length >= 13 && at == 8) {
        width = Math.max(0, i32(body));
        height = Math.max(0, i32(body + 4));
        bytesPerPixel = b[body + 8] == 16 ? 8 : 4;
      } else if (type == IDAT) {
        data = true;
      } else if (type == EXIF && exifAt < 0) {
        exifAt = body;
        exifLength = length;
      } else if (type == IEND) {
        complete = true;
        return;
      }
      at = body + length + 4;
    }
  }

  private int i32(int at) {
    return (b[at] & 0xff) << 24
        | (b[at + 1] & 0xff) << 16
        | (b[at + 2] & 0xff) << 8
        | b[at + 3] & 0xff;
  }
}

package meterside.picture;

import java.nio.charset.StandardCharsets;

/**
 * Walks the boxes of a HEIC file (ISO/IEC 14496-12 boxes, ISO/IEC 23008-12 items) for what can be
 * known without decoding: upright size of the primary image and where its EXIF block lies. Every
 * length is held against what is there, nothing is copied but the EXIF block.
 */
final class HeifWalk {
  private static final int MOST_ITEMS = 4096;

  private final byte[] b;
  private int width;
  private int height;
  private byte[] exif;
  private boolean media;
  private boolean whole = true;

  // What the boxes of the meta box say.
  private int primary = -1;
  private int exifItem = -1;
  private int itemDataAt = -1;
  private int itemDataEnd;
  private int propertiesAt = -1;
  private int propertiesEnd;
  private int associationsAt = -1;
  private int associationsEnd;
  private int locationsAt = -1;
  private int locationsEnd;

  private HeifWalk(byte[] bytes) {
    b = bytes;
  }

  static HeifWalk of(byte[] bytes) {
    HeifWalk walk = new HeifWalk(bytes);
    walk.boxes(0, bytes.length, 0);
    walk.size();
    walk.findExif();
    return walk;
  }

  /** Upright width in pixels, 0 if unknown. */
  int width() {
    return width;
  }

  /** Upright height in pixels, 0 if unknown. */
  int height() {
    return height;
  }

  /** The TIFF structure of the EXIF block, or null. */
  byte[] exif() {
    return exif;
  }

  /** Whether there are image items and data for them at all. */
  boolean hasImage() {
    return primary >= 0 && locationsAt >= 0 && (media || itemDataAt >= 0);
  }

  /** Whether every box is there in its full length, the one with the picture's data included. */
  boolean whole() {
    return whole && (media || itemDataAt >= 0);
  }

  private void boxes(int from, int to, int depth) {
    int at = from;
    while (to - at >= 8) {
      long size = u32(at);
      int type = i32(at + 4);
      int head = 8;
      if (size == 1 && to - at >= 16) {
        size = u32(at + 8) << 32 | u32(at + 12);
        head = 16;
      } else if (size == 0) {
        size = (long) to - at;
      }
      if (size < head || size > to - at) {
        whole = false;
      }
      if (size < head) {
        return;
      }
      int end = size > to - at ? to : at + (int) size;
      box(type, at + head, end, depth);
      at = end;
    }
  }

  private void box(int type, int at, int end, int depth) {
    if (type == name("meta") && depth == 0 && end - at >= 4) {
      boxes(at + 4, end, 1);
    } else if (type == name("mdat") && depth == 0) {
      media = true;
    } else if (depth == 1) {
      if (type == name("pitm") && end - at >= 6) {
        primary = b[at] == 0 ? u16(at + 4) : end - at >= 8 ? i32(at + 4) : -1;
      } else if (type == name("iinf")) {
        int entries = b.length > at && b[at] == 0 ? at + 6 : at + 8;
        boxes(entries, end, 2);
      } else if (type == name("iloc")) {
        locationsAt = at;
        locationsEnd = end;
      } else if (type == name("idat")) {
        itemDataAt = at;
        itemDataEnd = end;
      } else if (type == name("iprp")) {
        boxes(at, end, 3);
      }
    } else if (depth == 2 && type == name("infe") && end - at >= 12) {
      int version = b[at];
      int id = version >= 3 ? i32(at + 4) : u16(at + 4);
      int kindAt = version >= 3 ? at + 10 : at + 8;
      if (version >= 2 && kindAt + 4 <= end && i32(kindAt) == name("Exif") && exifItem < 0) {
        exifItem = id;
      }
    } else if (depth == 3 && type == name("ipco")) {
      propertiesAt = at;
      propertiesEnd = end;
    } else if (depth == 3 && type == name("ipma")) {
      associationsAt = at;
      associationsEnd = end;
    }
  }

  /** Applies the primary item's size and turns ({@code ispe}, {@code irot}). */
  private void size() {
    if (propertiesAt < 0 || associationsAt < 0 || associationsEnd - associationsAt < 8) {
      return;
    }
    int version = b[associationsAt];
    boolean wide = (b[associationsAt + 3] & 1) != 0;
    long entries = Math.min(MOST_ITEMS, u32(associationsAt + 4));
    int at = associationsAt + 8;
    int idBytes = version < 1 ? 2 : 4;
    for (long e = 0; e < entries && at + idBytes + 1 <= associationsEnd; e++) {
      int id = idBytes == 2 ? u16(at) : i32(at);
      int count = b[at + idBytes] & 0xff;
      at += idBytes + 1;
      for (int k = 0; k < count && at + (wide ? 2 : 1) <= associationsEnd; k++) {
        int index = wide ? u16(at) & 0x7fff : b[at] & 0x7f;
        at += wide ? 2 : 1;
        if (id == primary) {
          property(index);
        }
      }
    }
  }

  private void property(int index) {
    int at = propertiesAt;
    for (int i = 1; propertiesEnd - at >= 8; i++) {
      long size = u32(at);
      if (size < 8 || size > propertiesEnd - at) {
        return;
      }
      int body = at + 8;
      int end = at + (int) size;
      if (i == index) {
        if (i32(at + 4) == name("ispe") && end - body >= 12) {
          width = Math.max(0, i32(body + 4));
          height = Math.max(0, i32(body + 8));
        } else if (i32(at + 4) == name("irot") && end - body >= 1 && (b[body] & 1) != 0) {
          int w = width;
          width = height;
          height = w;
        }
        return;
      }
      at = end;
    }
  }

  private void findExif() {
    if (exifItem < 0 || locationsAt < 0 || locationsEnd - locationsAt < 8) {
      return;
    }
    int version = b[locationsAt];
    int sizes = u16(locationsAt + 4);
    int offsetSize = sizes >> 12;
    int lengthSize = sizes >> 8 & 15;
    int baseSize = sizes >> 4 & 15;
    int indexSize = version >= 1 ? sizes & 15 : 0;
    int idSize = version >= 2 ? 4 : 2;
    int at = locationsAt + 6;
    long items = number(at, idSize, locationsEnd);
    at += idSize;
    for (long i = 0; i < Math.min(MOST_ITEMS, items); i++) {
      long id = number(at, idSize, locationsEnd);
      at += idSize;
      int method = 0;
      if (version >= 1) {
        method = (int) number(at, 2, locationsEnd) & 15;
        at += 2;
      }
      at += 2; // data reference: only this file is looked at
      long base = number(at, baseSize, locationsEnd);
      at += baseSize;
      long extents = number(at, 2, locationsEnd);
      at += 2;
      for (long k = 0; k < extents; k++) {
        at += indexSize;
        long offset = number(at, offsetSize, locationsEnd);
        at += offsetSize;
        long length = number(at, lengthSize, locationsEnd);
        at += lengthSize;
        if (at > locationsEnd || offset < 0 || length < 0) {
          return;
        }
        if (id == (exifItem & 0xffffffffL) && k == 0) {
          takeExif(method, base + offset, length);
          return;
        }
      }
    }
  }

  private void takeExif(int method, long offset, long length) {
    long from = method == 1 ? itemDataAt + offset : offset;
    long limit = method == 1 ? itemDataEnd : b.length;
    if (method > 1 || (method == 1 && itemDataAt < 0) || from < 0 || from + 8 > limit) {
      return;
    }
    long end = length == 0 ? limit : Math.min(limit, from + length);
    // The item starts with the distance from there to the TIFF header.
    long tiff = from + 4 + u32((int) from);
    if (tiff + 8 <= end) {
      exif = java.util.Arrays.copyOfRange(b, (int) tiff, (int) end);
    }
  }

  /** A big-endian number of 0, 2, 4 or 8 bytes; −1 if it is not there. */
  private long number(int at, int size, int end) {
    if (size == 0) {
      return 0;
    }
    if (at < 0 || at + size > end) {
      return -1;
    }
    long v = 0;
    for (int i = 0; i < size; i++) {
      v = v << 8 | b[at + i] & 0xff;
    }
    return v;
  }

  private static int name(String four) {
    byte[] c = four.getBytes(StandardCharsets.ISO_8859_1);
    return c[0] << 24 | c[1] << 16 | c[2] << 8 | c[3];
  }

  private int u16(int at) {
    return (b[at] & 0xff) << 8 | b[at + 1] & 0xff;
  }

  private int i32(int at) {
    return u16(at) << 16 | u16(at + 2);
  }

  private long u32(int at) {
    return i32(at) & 0xffffffffL;
  }
}

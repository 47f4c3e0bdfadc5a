package meterside.picture;

import java.awt.Rectangle;
import java.awt.image.BufferedImage;
import java.io.IOException;
import java.util.zip.DataFormatException;
import meterside.job.Format;
import meterside.job.Orientation;
import meterside.job.Sentences;
import meterside.picture.UnreadablePicture.Why;

/**
 * Decodes the bytes of an original to upright pixels, {@code TYPE_INT_RGB}, in sRGB: colour
 * profiles of JPEG and HEIC are applied. JPEGs are decoded at 1, 1/2, 1/4 or 1/8 of their size
 * where that is enough.
 */
public final class Pixels {
  /** Most pixels that a header may claim. */
  static final long MOST_PIXELS = 400_000_000L;

  /** Most pixels on a side; the limit of JPEG decoders. */
  static final int LONGEST_SIDE = 65_500;

  /** Progressive JPEGs are held whole by the decoder, outside the heap: about 3 bytes a pixel. */
  private static final long MOST_PROGRESSIVE = 100_000_000L;

  /** HEIC is decoded whole, in a process of its own. */
  private static final long MOST_HEIC = 100_000_000L;

  private Pixels() {}

  /**
   * The upright picture, no larger than asked.
   *
   * @param bytes an original
   * @param format its kind
   * @param o its orientation; ignored for HEIC, which is decoded upright
   * @param maxLongSide most pixels on the long side; 0 for the full size
   * @throws UnreadablePicture if it is damaged, too large or there is no decoder
   */
  public static BufferedImage upright(byte[] bytes, Format format, Orientation o, int maxLongSide)
      throws UnreadablePicture {
    return decode(bytes, format, maxLongSide, maxLongSide).finish(maxLongSide, o);
  }

  /**
   * The upright picture at the smallest of 1, 1/2, 1/4 and 1/8 of its size that is at least as
   * large as asked. Formats other than JPEG come in full size.
   *
   * @param minLongSide pixels on the long side that are needed; 0 for the full size
   * @throws UnreadablePicture if it is damaged, too large or there is no decoder
   */
  public static BufferedImage uprightAtLeast(
      byte[] bytes, Format format, Orientation o, int minLongSide) throws UnreadablePicture {
    return decode(bytes, format, minLongSide, 0).finish(0, o);
  }

  /**
   * A part of the upright picture in its full size, for pictures too large to be held whole. The
   * whole picture down to that part is decoded; only the part is kept. HEIC is decoded whole, in a
   * process of its own.
   *
   * @param part in pixels of the upright picture; what lies off it is left out
   * @throws UnreadablePicture if it is damaged, too large, or there is no decoder
   */
  public static BufferedImage uprightRegion(
      byte[] bytes, Format format, Orientation o, Rectangle part) throws UnreadablePicture {
    try {
      byte[] profile = null;
      String kind;
      switch (format) {
        case HEIC -> {
          return heic(bytes, 0, part).image();
        }
        case JPEG -> {
          JpegWalk walk = JpegWalk.of(bytes);
          checkSize(walk.width(), walk.height());
          profile = walk.profile();
          kind = "jpeg";
        }
        case PNG -> kind = "png";
        case TIFF -> kind = "tiff";
        default -> throw new IllegalStateException(format.name());
      }
      BufferedImage read = RasterDecoder.region(bytes, kind, o, part);
      return Rgb.upright(Colours.toSrgb(read, profile), o);
    } catch (IOException | RuntimeException e) {
      throw broken(e);
    } catch (OutOfMemoryError e) {
      throw new UnreadablePicture(Why.TOO_LARGE, say("pixels.memory"), e);
    }
  }

  /**
   * Decoded pixels that are not finished yet.
   *
   * @param image as stored, or upright already where that is all there is
   * @param profile its colour profile, or null
   * @param isUpright whether the decoder has turned it
   */
  record Stored(BufferedImage image, byte[] profile, boolean isUpright) {
    /** Makes it smaller first, then sRGB, then upright: so the least pixels are touched. */
    BufferedImage finish(int maxLongSide, Orientation o) {
      BufferedImage srgb = Colours.toSrgb(Rgb.shrink(image, maxLongSide), profile);
      return isUpright ? srgb : Rgb.upright(srgb, o);
    }
  }

  /**
   * The stored picture at the smallest cheap scale whose long side is at least as asked.
   *
   * @param needed pixels on the long side that are needed, 0 for all
   * @param most pixels on the long side that are of use, 0 for all
   */
  private static Stored decode(byte[] bytes, Format format, int needed, int most)
      throws UnreadablePicture {
    try {
      return switch (format) {
        case JPEG -> jpeg(bytes, JpegWalk.of(bytes), needed, most);
        case PNG -> {
          PngWalk walk = PngWalk.of(bytes);
          yield raster(bytes, "png", walk.width(), walk.height(), walk.bytesPerPixel(), needed);
        }
        case TIFF -> {
          Facts facts = Facts.read(bytes, 0, bytes.length);
          yield raster(bytes, "tiff", facts.width(), facts.height(), facts.bytesPerPixel(), needed);
        }
        case HEIC -> heic(bytes, most, null);
      };
    } catch (IOException | DataFormatException | RuntimeException | StackOverflowError e) {
      throw broken(e);
    } catch (OutOfMemoryError e) {
      throw new UnreadablePicture(Why.TOO_LARGE, say("pixels.memory"), e);
    }
  }

  /**
   * The stored picture of a walked JPEG.
   *
   * @param needed pixels on the long side that are needed, 0 for all
   * @param most pixels on the long side that are of use, 0 for all
   */
  static Stored jpeg(byte[] bytes, JpegWalk walk, int needed, int most)
      throws UnreadablePicture, IOException, DataFormatException {
    long pixels = checkSize(walk.width(), walk.height());
    if (walk.progressive() && pixels > MOST_PROGRESSIVE) {
      throw tooLarge(walk.width(), walk.height());
    }
    int denominator = denominator(Math.max(walk.width(), walk.height()), needed);
    long out = pixels / denominator / denominator;
    // The decoder's own array, and ours.
    long need = out * (walk.components() == 4 ? 8 : 7);
    if (need > Runtime.getRuntime().maxMemory() * 3 / 4) {
      throw tooLarge(walk.width(), walk.height());
    }
    try (PixelBudget.Share share = PixelBudget.take(need)) {
      try {
        return new Stored(
            JpegDecoder.decode(bytes, walk, denominator, most), walk.profile(), false);
      } catch (IOException | LinkageError e) {
        if (!walk.complete()) {
          throw new IOException(e);
        }
        // A kind this decoder does not know, or it is not there: the JDK's.
        return new Stored(otherJpeg(bytes, walk, denominator, e), walk.profile(), false);
      }
    }
  }

  private static BufferedImage otherJpeg(
      byte[] bytes, JpegWalk walk, int denominator, Throwable first) throws UnreadablePicture {
    try {
      return RasterDecoder.decode(bytes, "jpeg", denominator, walk::tellsDamage);
    } catch (IOException | RuntimeException e) {
      e.addSuppressed(first);
      if (walk.common()) {
        throw broken(e);
      }
      throw new UnreadablePicture(Why.NO_DECODER, say("pixels.rare"), e);
    }
  }

  /** The stored picture of a PNG or TIFF whose header was read. */
  static Stored raster(
      byte[] bytes, String kind, int width, int height, int bytesPerPixel, int longSide)
      throws UnreadablePicture, IOException {
    long pixels = checkSize(width, height);
    int every = 1;
    while (pixels / every / every * (bytesPerPixel + 4L) > PixelBudget.bytes()) {
      every++;
    }
    if (every > 1 && (longSide == 0 || Math.max(width, height) / every < longSide)) {
      throw tooLarge(width, height);
    }
    try (PixelBudget.Share share =
        PixelBudget.take(pixels / every / every * (bytesPerPixel + 4L))) {
      return new Stored(RasterDecoder.decode(bytes, kind, every), null, false);
    }
  }

  /**
   * The upright picture of a HEIC.
   *
   * @param longSide most pixels on the long side that are of use, 0 for all
   * @param part the part of it that is wanted, null for all
   */
  static Stored heic(byte[] bytes, int longSide, Rectangle part)
      throws UnreadablePicture, IOException {
    if (!HeifDecoder.available()) {
      throw new UnreadablePicture(Why.NO_DECODER, say("pixels.no-heic"), null);
    }
    HeifWalk walk = HeifWalk.of(bytes);
    long pixels = checkSize(walk.width(), walk.height());
    long out = pixels;
    if (longSide > 0 && Math.max(walk.width(), walk.height()) > longSide) {
      out = (long) longSide * longSide;
    }
    if (part != null) {
      out = Math.min(out, (long) part.width * part.height);
    }
    if (pixels > MOST_HEIC || out * 4 > Runtime.getRuntime().maxMemory() / 2) {
      throw tooLarge(walk.width(), walk.height());
    }
    try (PixelBudget.Share share = PixelBudget.take(out * 4)) {
      return new Stored(HeifProcess.decode(bytes, longSide, MOST_HEIC, part), null, true);
    } catch (HeifProcess.Died e) {
      throw broken(e);
    } catch (IOException e) {
      // Older libraries refuse files of newer phones that are in order.
      Why why = walk.whole() ? Why.NO_DECODER : Why.BROKEN;
      throw new UnreadablePicture(why, say("pixels.heic-refused"), e);
    }
  }

  private static long checkSize(int width, int height) throws UnreadablePicture, IOException {
    if (width <= 0 || height <= 0) {
      throw new IOException("no size");
    }
    long pixels = (long) width * height;
    if (pixels > MOST_PIXELS || width > LONGEST_SIDE || height > LONGEST_SIDE) {
      throw tooLarge(width, height);
    }
    return pixels;
  }

  private static int denominator(int stored, int longSide) {
    int d = 1;
    while (longSide > 0 && d < 8 && scaled(stored, 2 * d) >= longSide) {
      d *= 2;
    }
    return d;
  }

  /** A side's length at 1/1, 1/2, 1/4 or 1/8, as JPEG decoders round it. */
  static int scaled(int size, int denominator) {
    return (size + denominator - 1) / denominator;
  }

  private static UnreadablePicture tooLarge(int width, int height) {
    return new UnreadablePicture(Why.TOO_LARGE, say("pixels.too-large", width, height), null);
  }

  static UnreadablePicture broken(Throwable cause) {
    return new UnreadablePicture(Why.BROKEN, say("pixels.broken"), cause);
  }

  private static String say(String key, Object... arguments) {
    return Sentences.in(Pixels.class).say(key, arguments);
  }
}

package meterside.picture;

import java.awt.image.BufferedImage;
import java.io.IOException;
import java.util.zip.DataFormatException;
import meterside.job.Format;
import meterside.job.Orientation;
import meterside.job.Sentences;
import meterside.picture.UnreadablePicture.Why;

/**
 * Decodes the bytes of an original to upright pixels, {@code TYPE_INT_RGB}, taken as sRGB (a colour
 * profile in the file is not applied). JPEGs are decoded at 1, 1/2, 1/4 or 1/8 of their size where
 * that is enough.
 */
public final class Pixels {
  /** Most pixels that a header may claim. */
  static final long MOST_PIXELS = 400_000_000L;

  /** Most pixels on a side; the limit of JPEG decoders. */
  static final int LONGEST_SIDE = 65_500;

  /** Progressive JPEGs are held whole by the decoder, outside the heap: about 3 bytes a pixel. */
  private static final long MOST_PROGRESSIVE = 100_000_000L;

  /** HEIC is decoded whole by its library, outside the heap. */
  private static final long MOST_HEIC = 150_000_000L;

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
    BufferedImage stored = Rgb.shrink(decode(bytes, format, maxLongSide), maxLongSide);
    return format == Format.HEIC ? stored : Rgb.upright(stored, o);
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
    BufferedImage stored = decode(bytes, format, minLongSide);
    return format == Format.HEIC ? stored : Rgb.upright(stored, o);
  }

  /** The stored picture at the smallest cheap scale whose long side is at least as asked. */
  private static BufferedImage decode(byte[] bytes, Format format, int longSide)
      throws UnreadablePicture {
    try {
      return switch (format) {
        case JPEG -> jpeg(bytes, JpegWalk.of(bytes), longSide);
        case PNG -> {
          PngWalk walk = PngWalk.of(bytes);
          yield raster(bytes, "png", walk.width(), walk.height(), walk.bytesPerPixel(), longSide);
        }
        case TIFF -> {
          Facts facts = Facts.read(bytes, 0, bytes.length);
          yield raster(
              bytes, "tiff", facts.width(), facts.height(), facts.bytesPerPixel(), longSide);
        }
        case HEIC -> heic(bytes);
      };
    } catch (IOException | DataFormatException | RuntimeException | StackOverflowError e) {
      throw broken(e);
    } catch (OutOfMemoryError e) {
      throw new UnreadablePicture(Why.TOO_LARGE, say("pixels.memory"), e);
    }
  }

  /** The stored picture of a walked JPEG. */
  static BufferedImage jpeg(byte[] bytes, JpegWalk walk, int longSide)
      throws UnreadablePicture, IOException, DataFormatException {
    long pixels = checkSize(walk.width(), walk.height());
    if (walk.progressive() && pixels > MOST_PROGRESSIVE) {
      throw tooLarge(walk.width(), walk.height());
    }
    int denominator = denominator(Math.max(walk.width(), walk.height()), longSide);
    long out = pixels / denominator / denominator;
    // The decoder's own array, and ours.
    long need = out * (walk.components() == 4 ? 8 : 7);
    if (need > Runtime.getRuntime().maxMemory() * 3 / 4) {
      throw tooLarge(walk.width(), walk.height());
    }
    try (PixelBudget.Share share = PixelBudget.take(need)) {
      try {
        return JpegDecoder.decode(bytes, walk, denominator);
      } catch (IOException | LinkageError e) {
        if (!walk.complete()) {
          throw new IOException(e);
        }
        // A kind this decoder does not know, or it is not there: the JDK's.
        return otherJpeg(bytes, walk, denominator, e);
      }
    }
  }

  private static BufferedImage otherJpeg(
      byte[] bytes, JpegWalk walk, int denominator, Throwable first) throws UnreadablePicture {
    try {
      return RasterDecoder.decode(bytes, "jpeg", denominator);
    } catch (IOException | RuntimeException e) {
      e.addSuppressed(first);
      if (walk.common()) {
        throw broken(e);
      }
      throw new UnreadablePicture(Why.NO_DECODER, say("pixels.rare"), e);
    }
  }

  /** The stored picture of a PNG or TIFF whose header was read. */
  static BufferedImage raster(
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
      return RasterDecoder.decode(bytes, kind, every);
    }
  }

  /** The upright picture of a HEIC. */
  static BufferedImage heic(byte[] bytes) throws UnreadablePicture, IOException {
    if (!HeifDecoder.available()) {
      throw new UnreadablePicture(Why.NO_DECODER, say("pixels.no-heic"), null);
    }
    HeifWalk walk = HeifWalk.of(bytes);
    long pixels = checkSize(walk.width(), walk.height());
    if (pixels > MOST_HEIC || pixels * 4 > Runtime.getRuntime().maxMemory() / 2) {
      throw tooLarge(walk.width(), walk.height());
    }
    try (PixelBudget.Share share = PixelBudget.take(pixels * 4)) {
      return HeifDecoder.decode(bytes, MOST_HEIC);
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
    while (longSide > 0 && d < 8 && JpegDecoder.ceil(stored, 2 * d) >= longSide) {
      d *= 2;
    }
    return d;
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

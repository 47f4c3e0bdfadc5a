package meterside.picture;

import java.awt.Rectangle;
import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.util.concurrent.atomic.AtomicReference;
import java.util.function.Predicate;
import javax.imageio.ImageIO;
import javax.imageio.ImageReadParam;
import javax.imageio.ImageReader;
import javax.imageio.event.IIOReadWarningListener;
import javax.imageio.stream.ImageInputStream;
import javax.imageio.stream.MemoryCacheImageInputStream;
import meterside.job.Orientation;
import meterside.job.Point;
import org.apache.commons.imaging.Imaging;

/**
 * Decodes PNG and TIFF by the JDK's readers, and by Commons Imaging what these don't know. What is
 * too large for the memory budget is thinned out while reading.
 */
final class RasterDecoder {
  static {
    ImageIO.setUseCache(false);
  }

  private RasterDecoder() {}

  /**
   * Decodes the first picture of a file.
   *
   * @param kind {@code png} or {@code tiff}
   * @param every 1 for all pixels, n for every n-th of every n-th row
   */
  static BufferedImage decode(byte[] bytes, String kind, int every) throws IOException {
    return decode(bytes, kind, every, warning -> false);
  }

  /**
   * The same, where some of the decoder's warnings mean that the picture is damaged.
   *
   * @param tellsDamage whether a warning does
   */
  static BufferedImage decode(byte[] bytes, String kind, int every, Predicate<String> tellsDamage)
      throws IOException {
    AtomicReference<String> damage = new AtomicReference<>();
    BufferedImage image =
        decode(
            bytes,
            kind,
            every,
            (reader, warning) -> {
              if (tellsDamage.test(warning)) {
                damage.compareAndSet(null, warning);
              }
            });
    if (damage.get() != null) {
      throw new IOException(damage.get());
    }
    return image;
  }

  /**
   * A part of the first picture of a file, as stored, in its full size.
   *
   * @param o how the stored picture is turned to be upright
   * @param part in pixels of the upright picture
   */
  static BufferedImage region(byte[] bytes, String kind, Orientation o, Rectangle part)
      throws IOException {
    ImageReader reader = ImageIO.getImageReadersByFormatName(kind).next();
    try (ImageInputStream in = new MemoryCacheImageInputStream(new ByteArrayInputStream(bytes))) {
      reader.setInput(in, true, true);
      int w = reader.getWidth(0);
      int h = reader.getHeight(0);
      double uw = o.swapsSides() ? h : w;
      double uh = o.swapsSides() ? w : h;
      Point a = o.toStored(new Point(part.getMinX() / uw, part.getMinY() / uh));
      Point b = o.toStored(new Point(part.getMaxX() / uw, part.getMaxY() / uh));
      Rectangle stored =
          new Rectangle(
                  (int) Math.round(Math.min(a.x(), b.x()) * w),
                  (int) Math.round(Math.min(a.y(), b.y()) * h),
                  (int) Math.round(Math.abs(a.x() - b.x()) * w),
                  (int) Math.round(Math.abs(a.y() - b.y()) * h))
              .intersection(new Rectangle(0, 0, w, h));
      if (stored.isEmpty()) {
        throw new IOException("nothing of the picture lies there");
      }
      ImageReadParam param = reader.getDefaultReadParam();
      param.setSourceRegion(stored);
      return Rgb.of(reader.read(0, param));
    } finally {
      reader.dispose();
    }
  }

  private static BufferedImage decode(
      byte[] bytes, String kind, int every, IIOReadWarningListener warnings) throws IOException {
    ImageReader reader = ImageIO.getImageReadersByFormatName(kind).next();
    try (ImageInputStream in = new MemoryCacheImageInputStream(new ByteArrayInputStream(bytes))) {
      reader.setInput(in, true, true);
      reader.addIIOReadWarningListener(warnings);
      ImageReadParam param = reader.getDefaultReadParam();
      if (every > 1) {
        param.setSourceSubsampling(every, every, 0, 0);
      }
      return Rgb.of(reader.read(0, param));
    } catch (IOException | RuntimeException first) {
      if (every > 1) {
        throw new IOException(first);
      }
      try {
        return Rgb.of(Imaging.getBufferedImage(bytes));
      } catch (IOException | RuntimeException second) {
        second.addSuppressed(first);
        throw new IOException(second);
      }
    } finally {
      reader.dispose();
    }
  }
}

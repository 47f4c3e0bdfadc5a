package meterside.picture;

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

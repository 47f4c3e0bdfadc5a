package meterside.picture;

import com.sun.javafx.iio.ImageFrame;
import com.sun.javafx.iio.ImageLoadListener;
import com.sun.javafx.iio.ImageLoader;
import com.sun.javafx.iio.ImageMetadata;
import com.sun.javafx.iio.ImageStorage.ImageType;
import com.sun.javafx.iio.jpeg.JPEGImageLoaderFactory;
import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.util.concurrent.atomic.AtomicReference;
import java.util.zip.DataFormatException;

/**
 * Decodes JPEGs at 1, 1/2, 1/4 or 1/8 of their size, which costs a fraction of a full decode.
 *
 * <p>The decoder is the one behind {@code javafx.scene.image.Image}. It is called directly for two
 * reasons: {@code Image} shows damaged pictures as fine and swallows what the decoder says about
 * them, and its pixels would be copied twice more. No toolkit is started. On the class path, where
 * the program runs, the package is open.
 */
final class JpegDecoder {
  private JpegDecoder() {}

  /**
   * Decodes the stored picture.
   *
   * @param denominator 1, 2, 4 or 8
   * @param most pixels on the long side that are of use, 0 for all
   * @throws DataFormatException if the decoder says that the picture's data are damaged
   * @throws IOException if it can't decode at all
   */
  static BufferedImage decode(byte[] bytes, JpegWalk walk, int denominator, int most)
      throws IOException, DataFormatException {
    AtomicReference<String> warning = new AtomicReference<>();
    ImageLoader loader =
        JPEGImageLoaderFactory.getInstance().createImageLoader(new ByteArrayInputStream(bytes));
    ImageFrame frame;
    try {
      loader.addListener(
          new ImageLoadListener() {
            @Override
            public void imageLoadProgress(ImageLoader from, float percent) {}

            @Override
            public void imageLoadWarning(ImageLoader from, String message) {
              warning.compareAndSet(null, message);
            }

            @Override
            public void imageLoadMetaData(ImageLoader from, ImageMetadata data) {}
          });
      // Asking for exactly what the scaled transform yields spares a second, slow scaling.
      frame =
          loader.load(
              0,
              Pixels.scaled(walk.width(), denominator),
              Pixels.scaled(walk.height(), denominator),
              false,
              false);
    } finally {
      loader.dispose();
    }
    if (frame == null) {
      throw new IOException("no picture");
    }
    String said = warning.get();
    if (said != null && walk.tellsDamage(said)) {
      throw new DataFormatException(said);
    }
    return pixels(frame, walk.adobe(), most);
  }

  private static BufferedImage pixels(ImageFrame frame, boolean inverted, int most)
      throws IOException {
    int w = frame.getWidth();
    int h = frame.getHeight();
    byte[] from = ((java.nio.ByteBuffer) frame.getImageData()).array();
    if (frame.getImageType() == ImageType.RGB && most > 0 && Math.max(w, h) > most) {
      return Rgb.shrink(from, w, h, most); // spares a copy of the large picture
    }
    BufferedImage out = Rgb.create(w, h);
    int[] to = Rgb.pixels(out);
    int n = w * h;
    switch (frame.getImageType()) {
      case GRAY -> {
        for (int i = 0; i < n; i++) {
          to[i] = (from[i] & 0xff) * 0x010101;
        }
      }
      case RGB -> {
        for (int i = 0, k = 0; i < n; i++, k += 3) {
          to[i] = (from[k] & 0xff) << 16 | (from[k + 1] & 0xff) << 8 | from[k + 2] & 0xff;
        }
      }
      case RGBA_PRE -> {
        // Four components are ink amounts; Adobe's files store them inverted. Without an ink
        // profile the plain formula is what there is.
        int flip = inverted ? 0 : 0xff;
        for (int i = 0, k = 0; i < n; i++, k += 4) {
          int key = (from[k + 3] & 0xff) ^ flip;
          int r = ((from[k] & 0xff) ^ flip) * key / 255;
          int g = ((from[k + 1] & 0xff) ^ flip) * key / 255;
          int b = ((from[k + 2] & 0xff) ^ flip) * key / 255;
          to[i] = r << 16 | g << 8 | b;
        }
      }
      default -> throw new IOException("unexpected pixels " + frame.getImageType());
    }
    return out;
  }
}

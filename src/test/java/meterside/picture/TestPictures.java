package meterside.picture;

import java.awt.image.BufferedImage;
import java.util.Random;

/** Pictures made up for tests. */
public final class TestPictures {
  private TestPictures() {}

  /** A smooth scene with some noise; different for each seed. */
  public static BufferedImage scene(int width, int height, long seed) {
    Random random = new Random(seed);
    double fx = 0.01 + random.nextDouble() * 0.05;
    double fy = 0.01 + random.nextDouble() * 0.05;
    int blue = random.nextInt(200);
    BufferedImage image = new BufferedImage(width, height, BufferedImage.TYPE_INT_RGB);
    for (int y = 0; y < height; y++) {
      for (int x = 0; x < width; x++) {
        int r = (int) (128 + 90 * Math.sin(x * fx) + random.nextInt(8));
        int g = (int) (128 + 90 * Math.cos(y * fy) + random.nextInt(8));
        image.setRGB(x, y, r << 16 | g << 8 | blue);
      }
    }
    return image;
  }

  /** A small JPEG without metadata; different for each seed. */
  public static byte[] jpeg(long seed) {
    return Jpegs.encode(scene(160, 120, seed), 0.9f);
  }

  /** The mean of the absolute differences of all channels, 0 to 255. */
  public static double difference(BufferedImage a, BufferedImage b) {
    if (a.getWidth() != b.getWidth() || a.getHeight() != b.getHeight()) {
      return 255;
    }
    long sum = 0;
    for (int y = 0; y < a.getHeight(); y++) {
      for (int x = 0; x < a.getWidth(); x++) {
        int p = a.getRGB(x, y);
        int q = b.getRGB(x, y);
        sum += Math.abs((p >> 16 & 0xff) - (q >> 16 & 0xff));
        sum += Math.abs((p >> 8 & 0xff) - (q >> 8 & 0xff));
        sum += Math.abs((p & 0xff) - (q & 0xff));
      }
    }
    return sum / 3.0 / a.getWidth() / a.getHeight();
  }
}

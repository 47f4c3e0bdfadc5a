package meterside.picture;

import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.util.Optional;
import javax.imageio.ImageIO;

/**
 * How light and dark a picture is, by the luma of ITU-R BT.601 in steps of 0 to 255.
 *
 * @param dark twentieth part: 5 % of the pixels are darker
 * @param light 95 % of the pixels are darker
 * @param burnt share of pixels, 0 to 1, at 250 and above, where nothing can be told any more
 */
public record Tones(int dark, int light, double burnt) {
  /** Below this even the light parts of a picture are hard to see. */
  private static final int NIGHT = 48;

  /** Above this even the dark parts are washed out. */
  private static final int WASHED = 215;

  private static final double MOST_BURNT = 0.6;
  private static final int BURNT_FROM = 250;

  /** The tones of a picture; a thumbnail is enough. */
  public static Tones of(BufferedImage image) {
    int[] rgb = Rgb.pixels(Rgb.of(image));
    int[] count = new int[256];
    for (int v : rgb) {
      count[(299 * (v >> 16 & 255) + 587 * (v >> 8 & 255) + 114 * (v & 255)) / 1000]++;
    }
    int burnt = 0;
    for (int i = BURNT_FROM; i < 256; i++) {
      burnt += count[i];
    }
    return new Tones(
        below(count, rgb.length * 0.05),
        below(count, rgb.length * 0.95),
        burnt / (double) rgb.length);
  }

  /** The tones of a kept thumbnail, or nothing if it is no readable picture. */
  public static Optional<Tones> ofJpeg(byte[] jpeg) {
    try {
      BufferedImage image = ImageIO.read(new ByteArrayInputStream(jpeg));
      return image == null ? Optional.empty() : Optional.of(of(image));
    } catch (IOException | RuntimeException e) {
      return Optional.empty(); // a derived picture that is not whole; it can be made again
    }
  }

  private static int below(int[] count, double share) {
    long sum = 0;
    for (int i = 0; i < count.length; i++) {
      sum += count[i];
      if (sum >= share) {
        return i;
      }
    }
    return 255;
  }

  /** Whether hardly anything can be seen for darkness. */
  public boolean tooDark() {
    return light < NIGHT;
  }

  /** Whether hardly anything can be seen for light. */
  public boolean tooLight() {
    return dark > WASHED || burnt > MOST_BURNT;
  }
}

package meterside.report;

import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.HashMap;
import java.util.Map;
import javax.imageio.ImageIO;
import meterside.picture.Jpegs;

/**
 * Makes the pictures of a report small enough that its PDF can be mailed. Only the pixels shrink:
 * callouts stay drawings, and text stays text.
 */
final class MailSize {
  /** Most bytes of the PDF that is to be mailed: 10 MB, as mail programs count. */
  static final int MOST_BYTES = 10_000_000;

  /** Sizes and qualities to try, one after the other. */
  private enum Rung {
    GOOD(1150, 0.72f),
    FAIR(900, 0.68f),
    SMALL(700, 0.62f),
    SMALLER(520, 0.58f),
    LEAST(360, 0.5f);

    private final int side;
    private final float quality;

    Rung(int side, float quality) {
      this.side = side;
      this.quality = quality;
    }
  }

  private MailSize() {}

  /**
   * Smaller pictures.
   *
   * @param rest bytes of the PDF that are no pictures: its size less that of its pictures
   * @return pictures that, with the rest, are below {@link #MOST_BYTES} if any rung reaches it
   */
  static Pictures.Set of(Pictures.Set full, long rest) {
    Pictures.Set at = full;
    for (Rung rung : Rung.values()) {
      at = new Pictures.Set(all(full.figures(), rung), all(full.closeUps(), rung));
      if (bytes(at) + rest < MOST_BYTES) {
        break;
      }
    }
    return at;
  }

  /** Bytes of all pictures of a set. */
  static long bytes(Pictures.Set set) {
    return sum(set.figures()) + sum(set.closeUps());
  }

  private static long sum(Map<Integer, Pictures.Shot> shots) {
    return shots.values().stream().mapToLong(s -> s.page() == null ? 0 : s.page().length).sum();
  }

  private static Map<Integer, Pictures.Shot> all(Map<Integer, Pictures.Shot> shots, Rung rung) {
    Map<Integer, Pictures.Shot> out = new HashMap<>();
    shots.forEach((number, shot) -> out.put(number, smaller(shot, rung)));
    return out;
  }

  private static Pictures.Shot smaller(Pictures.Shot shot, Rung rung) {
    if (shot.page() == null) {
      return shot;
    }
    try {
      BufferedImage image = ImageIO.read(new ByteArrayInputStream(shot.page()));
      byte[] page = Jpegs.encode(Pictures.within(image, rung.side), rung.quality);
      // Width and height stay: they give the shape, to which the drawing was made.
      return page.length < shot.page().length
          ? new Pictures.Shot(page, shot.width(), shot.height(), shot.svg(), null, null)
          : shot;
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}

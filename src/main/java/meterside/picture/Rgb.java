package meterside.picture;

import java.awt.Color;
import java.awt.Graphics2D;
import java.awt.image.BufferedImage;
import java.awt.image.DataBufferInt;
import meterside.job.Orientation;

/** Whole-picture operations on opaque sRGB pixels, one {@code int} 0xRRGGBB each. */
final class Rgb {
  private Rgb() {}

  /** A new picture of this size, black. */
  static BufferedImage create(int width, int height) {
    return new BufferedImage(width, height, BufferedImage.TYPE_INT_RGB);
  }

  /** The pixels of a picture made by {@link #create}, row by row; changes write through. */
  static int[] pixels(BufferedImage image) {
    return ((DataBufferInt) image.getRaster().getDataBuffer()).getData();
  }

  /** The same picture as one of {@link #create}; see-through pixels are laid on white. */
  static BufferedImage of(BufferedImage any) {
    if (any.getType() == BufferedImage.TYPE_INT_RGB
        && any.getRaster().getParent() == null
        && any.getRaster().getDataBuffer().getSize() == any.getWidth() * any.getHeight()) {
      return any;
    }
    BufferedImage out = create(any.getWidth(), any.getHeight());
    Graphics2D g = out.createGraphics();
    try {
      if (any.getColorModel().hasAlpha()) {
        g.setColor(Color.WHITE);
        g.fillRect(0, 0, out.getWidth(), out.getHeight());
      }
      g.drawImage(any, 0, 0, null);
    } finally {
      g.dispose();
    }
    return out;
  }

  /** Turns a stored picture upright. */
  static BufferedImage upright(BufferedImage stored, Orientation o) {
    if (o == Orientation.NORMAL) {
      return stored;
    }
    int w = stored.getWidth();
    int h = stored.getHeight();
    int[] from = pixels(stored);
    BufferedImage out = o.swapsSides() ? create(h, w) : create(w, h);
    int[] to = pixels(out);
    int outWidth = out.getWidth();
    // A step along a stored row moves by dx in the upright array, a step to the next row by dy.
    int dx;
    int dy;
    int start;
    switch (o) {
      case MIRROR_HORIZONTAL -> {
        dx = -1;
        dy = outWidth;
        start = w - 1;
      }
      case ROTATE_180 -> {
        dx = -1;
        dy = -outWidth;
        start = w * h - 1;
      }
      case MIRROR_VERTICAL -> {
        dx = 1;
        dy = -outWidth;
        start = (h - 1) * outWidth;
      }
      case TRANSPOSE -> {
        dx = outWidth;
        dy = 1;
        start = 0;
      }
      case ROTATE_90 -> {
        dx = outWidth;
        dy = -1;
        start = h - 1;
      }
      case TRANSVERSE -> {
        dx = -outWidth;
        dy = -1;
        start = w * h - 1;
      }
      case ROTATE_270 -> {
        dx = -outWidth;
        dy = 1;
        start = (w - 1) * outWidth;
      }
      default -> throw new IllegalStateException("not an orientation: " + o);
    }
    for (int y = 0, i = 0; y < h; y++) {
      int at = start + y * dy;
      for (int x = 0; x < w; x++, i++) {
        to[at] = from[i];
        at += dx;
      }
    }
    return out;
  }

  /**
   * Makes a picture smaller: each new pixel is the average of the area it covers. A long side that
   * is not above the limit leaves the picture as it is.
   *
   * @param longSide most pixels of the long side; 0 for no limit
   */
  static BufferedImage shrink(BufferedImage image, int longSide) {
    int w = image.getWidth();
    int h = image.getHeight();
    if (longSide <= 0 || Math.max(w, h) <= longSide) {
      return image;
    }
    int[] from = pixels(image);
    return shrink(w, h, longSide, (across, row, into) -> across.average(from, row * w, into));
  }

  /**
   * The same from rows of three bytes a pixel, as decoders yield them.
   *
   * @param longSide less than the long side of the picture
   */
  static BufferedImage shrink(byte[] from, int width, int height, int longSide) {
    return shrink(
        width,
        height,
        longSide,
        (across, row, into) -> across.average(from, row * width * 3, into));
  }

  /** Averages a source row across. */
  private interface Lines {
    void average(Span across, int row, int[] into);
  }

  private static BufferedImage shrink(int w, int h, int longSide, Lines lines) {
    int most = Math.max(w, h);
    int outW = Math.max(1, (int) Math.round((double) w * longSide / most));
    int outH = Math.max(1, (int) Math.round((double) h * longSide / most));
    Span across = new Span(w, outW);
    Span down = new Span(h, outH);
    BufferedImage out = create(outW, outH);
    int[] to = pixels(out);
    int[] sums = new int[outW * 3];
    int[] line = new int[outW * 3];
    int ready = -1;
    for (int oy = 0; oy < outH; oy++) {
      java.util.Arrays.fill(sums, 0);
      for (int y = down.first[oy]; y <= down.last[oy]; y++) {
        if (ready != y) {
          lines.average(across, y, line);
          ready = y;
        }
        add(line, down.weight(oy, y), sums);
      }
      for (int ox = 0, i = 0; ox < outW; ox++, i += 3) {
        to[oy * outW + ox] = round(sums[i]) << 16 | round(sums[i + 1]) << 8 | round(sums[i + 2]);
      }
    }
    return out;
  }

  // A loop of its own, plain enough for the compiler to do several at once.
  private static void add(int[] line, int weight, int[] sums) {
    for (int i = 0; i < sums.length; i++) {
      sums[i] += line[i] * weight;
    }
  }

  // 255 times 2^8 across (see Span) times 2^12 down: stays below 2^31.
  private static int round(int sum) {
    return Math.min(255, (sum + (1 << 19)) >> 20);
  }

  /**
   * Which source pixels each output pixel covers in one direction, and how much of each, in steps
   * of 2^-12. Averages are handed on with 8 bits behind the point.
   */
  private static final class Span {
    private static final int ONE = 1 << 12;
    private final int[] first;
    private final int[] last;
    private final int[] firstWeight;
    private final int[] lastWeight;
    private final int[] midWeight;

    Span(int in, int out) {
      first = new int[out];
      last = new int[out];
      firstWeight = new int[out];
      lastWeight = new int[out];
      midWeight = new int[out];
      double step = (double) in / out;
      for (int i = 0; i < out; i++) {
        double from = i * step;
        double to = Math.min(in, from + step);
        first[i] = (int) from;
        last[i] = Math.min(in - 1, (int) Math.ceil(to - 1e-9) - 1);
        midWeight[i] = (int) (ONE / step);
        int inner = Math.max(0, last[i] - first[i] - 1) * midWeight[i];
        if (last[i] == first[i]) {
          firstWeight[i] = ONE;
        } else {
          lastWeight[i] = (int) Math.round((to - last[i]) / step * ONE);
          // Whatever rounding leaves goes to the first, so that the weights add up.
          firstWeight[i] = ONE - inner - lastWeight[i];
        }
      }
    }

    int weight(int i, int source) {
      return source == first[i] ? firstWeight[i] : source == last[i] ? lastWeight[i] : midWeight[i];
    }

    void average(int[] from, int row, int[] into) {
      for (int i = 0, k = 0; i < first.length; i++, k += 3) {
        int p = from[row + first[i]];
        int weight = firstWeight[i];
        int r = (p >> 16 & 0xff) * weight;
        int g = (p >> 8 & 0xff) * weight;
        int b = (p & 0xff) * weight;
        if (last[i] > first[i]) {
          weight = midWeight[i];
          for (int x = first[i] + 1; x < last[i]; x++) {
            p = from[row + x];
            r += (p >> 16 & 0xff) * weight;
            g += (p >> 8 & 0xff) * weight;
            b += (p & 0xff) * weight;
          }
          p = from[row + last[i]];
          weight = lastWeight[i];
          r += (p >> 16 & 0xff) * weight;
          g += (p >> 8 & 0xff) * weight;
          b += (p & 0xff) * weight;
        }
        into[k] = r >> 4;
        into[k + 1] = g >> 4;
        into[k + 2] = b >> 4;
      }
    }

    void average(byte[] from, int row, int[] into) {
      for (int i = 0, k = 0; i < first.length; i++, k += 3) {
        int at = row + 3 * first[i];
        int weight = firstWeight[i];
        int r = (from[at] & 0xff) * weight;
        int g = (from[at + 1] & 0xff) * weight;
        int b = (from[at + 2] & 0xff) * weight;
        int end = row + 3 * last[i];
        if (end > at) {
          weight = midWeight[i];
          for (at += 3; at < end; at += 3) {
            r += (from[at] & 0xff) * weight;
            g += (from[at + 1] & 0xff) * weight;
            b += (from[at + 2] & 0xff) * weight;
          }
          weight = lastWeight[i];
          r += (from[end] & 0xff) * weight;
          g += (from[end + 1] & 0xff) * weight;
          b += (from[end + 2] & 0xff) * weight;
        }
        into[k] = r >> 4;
        into[k + 1] = g >> 4;
        into[k + 2] = b >> 4;
      }
    }
  }
}

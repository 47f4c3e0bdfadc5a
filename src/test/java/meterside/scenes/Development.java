package meterside.scenes;

import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Locale;
import java.util.Random;
import meterside.scenes.ShotList.CameraBody;
import meterside.scenes.ShotList.Shot;

/**
 * Turns linear light into the picture a small camera makes of it: metering, white balance, corner
 * fall-off, hand movement, tone curve, sharpening, grain. The same light and shot give the same
 * pixels.
 */
final class Development {

  /** Changes whenever the development does, so that photos made before are known to be older. */
  private static final String VERSION = "development 2";

  /** Where the meter puts the average, as linear reflectance. */
  private static final double GREY = 0.20;

  /**
   * The developed picture and how it was exposed.
   *
   * @param image upright pixels
   * @param exposureSeconds exposure time
   * @param fNumber aperture
   * @param iso sensitivity
   */
  record Developed(BufferedImage image, double exposureSeconds, double fNumber, int iso) {

    /** Exposure value at ISO 100: log2(N² / t) − log2(ISO / 100). */
    double ev100() {
      return log2(fNumber * fNumber / exposureSeconds) - log2(iso / 100.0);
    }
  }

  private Development() {}

  static String recipe(Shot shot) {
    return String.format(
        Locale.ROOT,
        "%s ev %.3f base %.3f blur %s defocus %.2f scale %d camera %s",
        VERSION,
        shot.ev(),
        shot.evBase(),
        Arrays.toString(shot.blur()),
        shot.defocus(),
        shot.scale(),
        shot.camera());
  }

  /**
   * Develops a rendering.
   *
   * @param light linear light as Radiance RGBE
   * @param width width of the picture in pixels; a smaller rendering is enlarged to it
   */
  static Developed develop(Path light, int width, Shot shot, CameraBody camera) throws IOException {
    Light in = read(light);
    if (in.width != width) {
      in = enlarge(in, width);
    }
    int w = in.width;
    int h = in.height;
    float[] px = in.rgb;
    double scale = w / (double) shot.uprightWidth();
    double metered = meter(px, w, h);
    double gain = GREY / metered * Math.pow(2, shot.ev());
    double ev100 = shot.evBase() + log2(metered / GREY) - shot.ev();

    balance(
        px,
        shot.camera().equals("A")
            ? new double[] {1.015, 1.0, 0.985}
            : new double[] {0.985, 1.0, 1.03});
    fallOff(px, w, h, shot.camera().equals("A") ? 0.20 : 0.28);
    move(px, w, h, shot.blur()[0] * scale, shot.blur()[1] * scale);
    if (shot.defocus() > 0) {
      disc(px, w, h, shot.defocus() * scale);
    }
    for (int i = 0; i < px.length; i++) {
      px[i] = (float) encode(tone(px[i] * gain));
    }
    soften(px, w, h);
    sharpen(px, w, h, shot.camera().equals("A") ? 0.55f : 0.35f);

    double fNumber = ev100 > 9 ? camera.fNumbers()[1] : camera.fNumbers()[0];
    double iso = camera.baseIso();
    double seconds = fNumber * fNumber / Math.pow(2, ev100) * 100 / iso;
    double slowest = 1 / 30.0;
    if (seconds > slowest) {
      iso = Math.min(3200, iso * seconds / slowest);
      iso = Math.round(iso / 10) * 10;
      seconds = fNumber * fNumber / Math.pow(2, ev100) * 100 / iso;
    }
    grain(px, w, h, 1.0 + 0.40 * log2(iso / camera.baseIso()), new Random(shot.seed()));

    BufferedImage image = new BufferedImage(w, h, BufferedImage.TYPE_INT_RGB);
    int[] row = new int[w];
    for (int y = 0; y < h; y++) {
      for (int x = 0; x < w; x++) {
        int i = (y * w + x) * 3;
        row[x] = eight(px[i]) << 16 | eight(px[i + 1]) << 8 | eight(px[i + 2]);
      }
      image.setRGB(0, y, w, 1, row, 0, w);
    }
    return new Developed(image, seconds, fNumber, (int) iso);
  }

  /** Centre-weighted logarithmic average, held back where much of the picture would burn out. */
  private static double meter(float[] px, int w, int h) {
    double sum = 0;
    double weight = 0;
    float[] all = new float[w * h / 7 + 1];
    int n = 0;
    for (int y = 0; y < h; y++) {
      for (int x = 0; x < w; x++) {
        int p = y * w + x;
        double l = luminance(px, p * 3);
        double dx = (x + 0.5) / w - 0.5;
        double dy = (y + 0.5) / h - 0.5;
        double k = Math.exp(-(dx * dx + dy * dy) * 5);
        sum += k * Math.log(l + 0.002);
        weight += k;
        if (p % 7 == 0 && n < all.length) {
          all[n++] = (float) l;
        }
      }
    }
    double average = Math.exp(sum / weight);
    Arrays.sort(all, 0, n);
    double bright = all[(int) (n * 0.96)];
    return Math.max(average, GREY * bright / 2.0);
  }

  /** Part of a grey-world correction, and the camera's own leaning. */
  private static void balance(float[] px, double[] leaning) {
    double[] mean = new double[3];
    for (int i = 0; i < px.length; i++) {
      mean[i % 3] += Math.min(px[i], 4);
    }
    double grey = (mean[0] + mean[1] + mean[2]) / 3;
    double[] k = new double[3];
    for (int c = 0; c < 3; c++) {
      k[c] = Math.max(0.88, Math.min(1.14, Math.pow(grey / mean[c], 0.35))) * leaning[c];
    }
    for (int i = 0; i < px.length; i++) {
      px[i] *= (float) k[i % 3];
    }
  }

  private static void fallOff(float[] px, int w, int h, double depth) {
    double r2 = (w * (double) w + h * (double) h) / 4;
    for (int y = 0; y < h; y++) {
      for (int x = 0; x < w; x++) {
        double dx = x - w / 2.0;
        double dy = y - h / 2.0;
        float k = (float) (1 - depth * (dx * dx + dy * dy) / r2);
        int i = (y * w + x) * 3;
        px[i] *= k;
        px[i + 1] *= k;
        px[i + 2] *= k;
      }
    }
  }

  /** A straight movement of the hand during the exposure. */
  private static void move(float[] px, int w, int h, double mx, double my) {
    int steps = (int) Math.ceil(Math.hypot(mx, my));
    if (steps < 2) {
      return;
    }
    float[] from = px.clone();
    Arrays.fill(px, 0);
    for (int s = 0; s < steps; s++) {
      double t = (s + 0.5) / steps - 0.5;
      int ox = (int) Math.round(mx * t + Math.sin(t * 5) * my * 0.08);
      int oy = (int) Math.round(my * t + Math.sin(t * 5) * mx * 0.08);
      for (int y = 0; y < h; y++) {
        int sy = Math.min(h - 1, Math.max(0, y + oy));
        for (int x = 0; x < w; x++) {
          int sx = Math.min(w - 1, Math.max(0, x + ox));
          int i = (y * w + x) * 3;
          int j = (sy * w + sx) * 3;
          px[i] += from[j] / steps;
          px[i + 1] += from[j + 1] / steps;
          px[i + 2] += from[j + 2] / steps;
        }
      }
    }
  }

  /** A disc of confusion, as three box blurs. */
  private static void disc(float[] px, int w, int h, double radius) {
    int r = (int) Math.max(1, Math.round(radius * 0.6));
    for (int pass = 0; pass < 3; pass++) {
      box(px, w, h, r);
    }
  }

  private static void box(float[] px, int w, int h, int r) {
    float[] from = px.clone();
    for (int y = 0; y < h; y++) {
      for (int c = 0; c < 3; c++) {
        double sum = 0;
        for (int x = -r; x <= r; x++) {
          sum += from[(y * w + Math.min(w - 1, Math.max(0, x))) * 3 + c];
        }
        for (int x = 0; x < w; x++) {
          px[(y * w + x) * 3 + c] = (float) (sum / (2 * r + 1));
          sum +=
              from[(y * w + Math.min(w - 1, x + r + 1)) * 3 + c]
                  - from[(y * w + Math.max(0, x - r)) * 3 + c];
        }
      }
    }
    System.arraycopy(px, 0, from, 0, px.length);
    for (int x = 0; x < w; x++) {
      for (int c = 0; c < 3; c++) {
        double sum = 0;
        for (int y = -r; y <= r; y++) {
          sum += from[(Math.min(h - 1, Math.max(0, y)) * w + x) * 3 + c];
        }
        for (int y = 0; y < h; y++) {
          px[(y * w + x) * 3 + c] = (float) (sum / (2 * r + 1));
          sum +=
              from[(Math.min(h - 1, y + r + 1) * w + x) * 3 + c]
                  - from[(Math.max(0, y - r) * w + x) * 3 + c];
        }
      }
    }
  }

  /** A tone curve with a soft shoulder, linear in and out. */
  private static double tone(double v) {
    double x = Math.max(0, v) * 0.85;
    return Math.min(1, x * (2.51 * x + 0.03) / (x * (2.43 * x + 0.59) + 0.14));
  }

  /** The sRGB transfer function (IEC 61966-2-1). */
  private static double encode(double v) {
    return v <= 0.0031308 ? 12.92 * v : 1.055 * Math.pow(v, 1 / 2.4) - 0.055;
  }

  private static void soften(float[] px, int w, int h) {
    convolve(px, w, h, 0.10f);
  }

  private static void sharpen(float[] px, int w, int h, float amount) {
    float[] soft = px.clone();
    convolve(soft, w, h, 0.22f);
    for (int i = 0; i < px.length; i++) {
      float d = px[i] - soft[i];
      px[i] += amount * Math.max(-0.06f, Math.min(0.06f, d));
    }
  }

  /** Separable [k, 1 − 2k, k]. */
  private static void convolve(float[] px, int w, int h, float k) {
    float[] from = px.clone();
    for (int y = 0; y < h; y++) {
      for (int x = 0; x < w; x++) {
        for (int c = 0; c < 3; c++) {
          int i = (y * w + x) * 3 + c;
          float l = from[x > 0 ? i - 3 : i];
          float r = from[x < w - 1 ? i + 3 : i];
          px[i] = from[i] * (1 - 2 * k) + (l + r) * k;
        }
      }
    }
    System.arraycopy(px, 0, from, 0, px.length);
    int row = w * 3;
    for (int y = 0; y < h; y++) {
      for (int j = 0; j < row; j++) {
        int i = y * row + j;
        float u = from[y > 0 ? i - row : i];
        float d = from[y < h - 1 ? i + row : i];
        px[i] = from[i] * (1 - 2 * k) + (u + d) * k;
      }
    }
  }

  /** Brightness grain and weaker colour grain, a little more in the shadows. */
  private static void grain(float[] px, int w, int h, double sigma8, Random random) {
    double sigma = Math.max(0.5, sigma8) / 255;
    float[] noise = new float[w * h * 3];
    for (int p = 0; p < w * h; p++) {
      double l = random.nextGaussian();
      for (int c = 0; c < 3; c++) {
        noise[p * 3 + c] = (float) (l + 0.45 * random.nextGaussian());
      }
    }
    convolve(noise, w, h, 0.16f);
    for (int i = 0; i < px.length; i++) {
      double k = 1.25 - 0.75 * Math.min(1, Math.max(0, px[i]));
      px[i] += (float) (noise[i] * sigma * k);
    }
  }

  private static double luminance(float[] px, int i) {
    return 0.2126 * px[i] + 0.7152 * px[i + 1] + 0.0722 * px[i + 2];
  }

  private static int eight(float v) {
    return Math.max(0, Math.min(255, Math.round(v * 255)));
  }

  static double log2(double v) {
    return Math.log(v) / Math.log(2);
  }

  /** Catmull-Rom interpolation, first along the rows, then along the columns. */
  private static Light enlarge(Light in, int width) {
    int height = Math.round(in.height * (float) width / in.width);
    float[] wide = new float[width * in.height * 3];
    for (int x = 0; x < width; x++) {
      double at = (x + 0.5) * in.width / width - 0.5;
      int base = (int) Math.floor(at);
      double[] k = cubic(at - base);
      for (int y = 0; y < in.height; y++) {
        for (int c = 0; c < 3; c++) {
          double v = 0;
          for (int i = 0; i < 4; i++) {
            int sx = Math.min(in.width - 1, Math.max(0, base - 1 + i));
            v += k[i] * Math.min(8, in.rgb[(y * in.width + sx) * 3 + c]);
          }
          wide[(y * width + x) * 3 + c] = (float) Math.max(0, v);
        }
      }
    }
    float[] out = new float[width * height * 3];
    int row = width * 3;
    for (int y = 0; y < height; y++) {
      double at = (y + 0.5) * in.height / height - 0.5;
      int base = (int) Math.floor(at);
      double[] k = cubic(at - base);
      for (int j = 0; j < row; j++) {
        double v = 0;
        for (int i = 0; i < 4; i++) {
          v += k[i] * wide[Math.min(in.height - 1, Math.max(0, base - 1 + i)) * row + j];
        }
        out[y * row + j] = (float) Math.max(0, v);
      }
    }
    return new Light(width, height, out);
  }

  private static double[] cubic(double t) {
    return new double[] {
      ((-0.5 * t + 1) * t - 0.5) * t,
      (1.5 * t - 2.5) * t * t + 1,
      ((-1.5 * t + 2) * t + 0.5) * t,
      (0.5 * t - 0.5) * t * t
    };
  }

  private record Light(int width, int height, float[] rgb) {}

  /** Reads a Radiance RGBE picture, flat or run-length encoded. */
  private static Light read(Path file) throws IOException {
    ByteArrayInputStream in = new ByteArrayInputStream(Files.readAllBytes(file));
    String size = "";
    for (String line = line(in); ; line = line(in)) {
      if (line.startsWith("-Y ")) {
        size = line;
        break;
      }
      if (line.isEmpty() && in.available() == 0) {
        throw new IOException("not a Radiance picture: " + file);
      }
    }
    String[] words = size.split(" ");
    int h = Integer.parseInt(words[1]);
    int w = Integer.parseInt(words[3]);
    float[] rgb = new float[w * h * 3];
    byte[] scan = new byte[w * 4];
    for (int y = 0; y < h; y++) {
      scanline(in, scan, w);
      for (int x = 0; x < w; x++) {
        int e = scan[w * 3 + x] & 255;
        float f = e == 0 ? 0 : (float) Math.scalb(1.0, e - 136);
        for (int c = 0; c < 3; c++) {
          rgb[(y * w + x) * 3 + c] = e == 0 ? 0 : ((scan[c * w + x] & 255) + 0.5f) * f;
        }
      }
    }
    return new Light(w, h, rgb);
  }

  private static void scanline(ByteArrayInputStream in, byte[] scan, int w) {
    int a = in.read();
    int b = in.read();
    int c = in.read();
    int d = in.read();
    if (a == 2 && b == 2 && (c << 8 | d) == w && w >= 8) {
      for (int plane = 0; plane < 4; plane++) {
        int x = 0;
        while (x < w) {
          int n = in.read();
          if (n > 128) {
            byte v = (byte) in.read();
            for (int i = 0; i < n - 128; i++) {
              scan[plane * w + x++] = v;
            }
          } else {
            for (int i = 0; i < n; i++) {
              scan[plane * w + x++] = (byte) in.read();
            }
          }
        }
      }
      return;
    }
    for (int x = 0; x < w; x++) {
      if (x > 0) {
        a = in.read();
        b = in.read();
        c = in.read();
        d = in.read();
      }
      scan[x] = (byte) a;
      scan[w + x] = (byte) b;
      scan[2 * w + x] = (byte) c;
      scan[3 * w + x] = (byte) d;
    }
  }

  private static String line(ByteArrayInputStream in) {
    StringBuilder s = new StringBuilder();
    for (int c = in.read(); c >= 0 && c != '\n'; c = in.read()) {
      s.append((char) c);
    }
    return s.toString();
  }
}

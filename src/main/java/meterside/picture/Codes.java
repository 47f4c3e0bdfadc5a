package meterside.picture;

import boofcv.abst.fiducial.QrCodeDetector;
import boofcv.alg.fiducial.qrcode.QrCode;
import boofcv.alg.fiducial.qrcode.QrCodeEncoder;
import boofcv.alg.fiducial.qrcode.QrCodeGeneratorImage;
import boofcv.factory.fiducial.FactoryFiducial;
import boofcv.struct.image.GrayU8;
import georegression.struct.point.Point2D_F64;
import georegression.struct.shapes.Polygon2D_F64;
import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import javax.imageio.ImageIO;
import meterside.job.Code;

/**
 * Writes and reads the codes that are photographed on site: QR codes (ISO/IEC 18004) with error
 * correction level M (about an eighth of the symbol may be lost), by BoofCV.
 *
 * <p>Reading looks at the picture as it is and, if nothing is found, at it with its contrast
 * stretched block by block, which brings dim codes out. A code that is seen and not read is turned
 * to the front and unbent, with a few bends tried.
 */
public final class Codes {
  /** White modules around a code (ISO/IEC 18004 asks for four). */
  private static final int QUIET = 4;

  /** Side of a code, and the margin around it, when it is looked at from the front, in pixels. */
  private static final int FLAT = 360;

  private static final int MARGIN = 60;

  /** How far the middle of an edge may be bent, as fractions of the side. */
  private static final double[] BENDS = {0, 0.03, -0.03, 0.06, -0.06};

  private Codes() {}

  /**
   * Draws a code.
   *
   * @param module side of one module in pixels, at least 1
   * @return black on white, with the quiet zone
   */
  public static BufferedImage draw(Code code, int module) {
    QrCode qr =
        new QrCodeEncoder().setError(QrCode.ErrorLevel.M).addAutomatic(code.text()).fixate();
    QrCodeGeneratorImage generator = new QrCodeGeneratorImage(module);
    generator.setBorderModule(QUIET);
    generator.render(qr);
    GrayU8 gray = generator.getGray();
    BufferedImage out = new BufferedImage(gray.width, gray.height, BufferedImage.TYPE_BYTE_GRAY);
    for (int y = 0; y < gray.height; y++) {
      for (int x = 0; x < gray.width; x++) {
        out.getRaster().setSample(x, y, 0, gray.get(x, y));
      }
    }
    return out;
  }

  /** Our codes in a picture, in no particular order; codes of anybody else are passed by. */
  public static List<Code> read(BufferedImage image) {
    GrayU8 gray = gray(image);
    if (!mayHoldCode(gray)) {
      return List.of();
    }
    Set<Code> found = new LinkedHashSet<>();
    List<Polygon2D_F64> unread = detect(gray, found);
    if (found.isEmpty() && unread.isEmpty()) {
      GrayU8 clear = stretched(gray);
      unread = detect(clear, found);
      gray = clear;
    }
    for (Polygon2D_F64 corners : unread) {
      flattened(gray, corners, found);
    }
    return List.copyOf(found);
  }

  /** Our codes in an upright JPEG as {@link Jpegs} writes it; none if it can't be read. */
  public static List<Code> readJpeg(byte[] jpeg) {
    try {
      BufferedImage image = ImageIO.read(new ByteArrayInputStream(jpeg));
      return image == null ? List.of() : read(image);
    } catch (IOException | RuntimeException e) {
      return List.of(); // a derived picture that is not whole; it can be made again
    }
  }

  /** Adds what is read, and returns where a code was seen and not read. */
  private static List<Polygon2D_F64> detect(GrayU8 gray, Set<Code> found) {
    QrCodeDetector<GrayU8> detector = FactoryFiducial.qrcode(null, GrayU8.class);
    detector.process(gray);
    for (QrCode qr : detector.getDetections()) {
      Code.parse(qr.message).ifPresent(found::add);
    }
    return detector.getFailures().stream().map(qr -> qr.bounds.copy()).toList();
  }

  /** Looks again at a code that was seen and not read: straight from the front, and unbent. */
  private static void flattened(GrayU8 gray, Polygon2D_F64 corners, Set<Code> found) {
    if (corners.size() != 4) {
      return;
    }
    int before = found.size();
    for (double across : BENDS) {
      for (double down : BENDS) {
        detect(flat(gray, corners, across, down), found);
        if (found.size() > before) {
          return;
        }
      }
    }
  }

  /**
   * The code as if seen from the front, with a margin, and with a bend like that of a curled sheet
   * undone. The unit square goes to the four corners by the projective map of P. S. Heckbert,
   * "Fundamentals of texture mapping and image warping", 1989, section 2.2.3.
   */
  private static GrayU8 flat(GrayU8 in, Polygon2D_F64 quad, double across, double down) {
    Point2D_F64 p0 = quad.get(0);
    Point2D_F64 p1 = quad.get(1);
    Point2D_F64 p2 = quad.get(2);
    Point2D_F64 p3 = quad.get(3);
    double dx1 = p1.x - p2.x;
    double dx2 = p3.x - p2.x;
    double dy1 = p1.y - p2.y;
    double dy2 = p3.y - p2.y;
    double sx = p0.x - p1.x + p2.x - p3.x;
    double sy = p0.y - p1.y + p2.y - p3.y;
    double det = dx1 * dy2 - dx2 * dy1;
    double g = (sx * dy2 - dx2 * sy) / det;
    double h = (dx1 * sy - sx * dy1) / det;
    int side = FLAT + 2 * MARGIN;
    GrayU8 out = new GrayU8(side, side);
    for (int y = 0; y < side; y++) {
      for (int x = 0; x < side; x++) {
        double s = (x - MARGIN) / (double) FLAT;
        double t = (y - MARGIN) / (double) FLAT;
        double u = s + across * Math.sin(Math.PI * t);
        double v = t + down * Math.sin(Math.PI * s);
        double w = g * u + h * v + 1;
        double px = ((p1.x - p0.x + g * p1.x) * u + (p3.x - p0.x + h * p3.x) * v + p0.x) / w;
        double py = ((p1.y - p0.y + g * p1.y) * u + (p3.y - p0.y + h * p3.y) * v + p0.y) / w;
        int fromX = (int) Math.round(px);
        int fromY = (int) Math.round(py);
        boolean inside = w > 0 && fromX >= 0 && fromY >= 0 && fromX < in.width && fromY < in.height;
        out.set(x, y, inside ? in.get(fromX, fromY) : 255);
      }
    }
    return out;
  }

  /**
   * Whether some lines across the picture hold the dark and light stretches 1 : 1 : 3 : 1 : 1 of a
   * code's corner, with the like of it down the picture at the same place. Cheap, and true for
   * every code that can be read.
   */
  private static boolean mayHoldCode(GrayU8 gray) {
    int w = gray.width;
    int h = gray.height;
    long[] sums = new long[(w + 1) * (h + 1)];
    for (int y = 0; y < h; y++) {
      long line = 0;
      for (int x = 0; x < w; x++) {
        line += gray.data[y * w + x] & 0xff;
        sums[(y + 1) * (w + 1) + x + 1] = sums[y * (w + 1) + x + 1] + line;
      }
    }
    int reach = Math.max(8, Math.max(w, h) / 32);
    boolean[] dark = new boolean[w * h];
    for (int y = 0; y < h; y++) {
      int y0 = Math.max(0, y - reach);
      int y1 = Math.min(h, y + reach + 1);
      for (int x = 0; x < w; x++) {
        int x0 = Math.max(0, x - reach);
        int x1 = Math.min(w, x + reach + 1);
        long sum =
            sums[y1 * (w + 1) + x1]
                - sums[y0 * (w + 1) + x1]
                - sums[y1 * (w + 1) + x0]
                + sums[y0 * (w + 1) + x0];
        int area = (x1 - x0) * (y1 - y0);
        // Smoothed a little, since noise would break the stretches up.
        int here = gray.data[y * w + x] & 0xff;
        int beside = gray.data[y * w + Math.min(w - 1, x + 1)] & 0xff;
        int below = gray.data[Math.min(h - 1, y + 1) * w + x] & 0xff;
        dark[y * w + x] = (2L * here + beside + below) * area < 4 * sum - area * 2L;
      }
    }
    int seen = 0;
    int[] runs = new int[5];
    for (int y = 0; y < h; y += 2) {
      java.util.Arrays.fill(runs, 0);
      for (int x = 0; x < w; x++) {
        boolean same = x > 0 && dark[y * w + x] == dark[y * w + x - 1];
        if (same) {
          runs[4]++;
          continue;
        }
        if (x > 0 && dark[y * w + x - 1] && corner(runs)) {
          int centre = x - 1 - runs[4] - runs[3] - runs[2] / 2;
          if (cornerDown(dark, w, h, centre, y, runs[2]) && ++seen >= 3) {
            return true;
          }
        }
        System.arraycopy(runs, 1, runs, 0, 4);
        runs[4] = 1;
      }
    }
    return false;
  }

  private static boolean corner(int[] runs) {
    int sum = runs[0] + runs[1] + runs[2] + runs[3] + runs[4];
    if (sum < 9 || runs[0] == 0) {
      return false;
    }
    double module = sum / 7.0;
    double slack = 0.75 * module;
    return Math.abs(runs[0] - module) <= slack
        && Math.abs(runs[1] - module) <= slack
        && Math.abs(runs[2] - 3 * module) <= 2.2 * slack
        && Math.abs(runs[3] - module) <= slack
        && Math.abs(runs[4] - module) <= slack;
  }

  /** The same pattern down the picture through a point that lies in the middle stretch. */
  private static boolean cornerDown(boolean[] dark, int w, int h, int x, int y, int middle) {
    if (x < 0 || x >= w || !dark[y * w + x]) {
      return false;
    }
    int[] runs = new int[5];
    int up = y;
    for (int part = 2; part >= 0; part--) {
      boolean want = part != 1;
      while (up >= 0 && dark[up * w + x] == want && runs[part] <= 4 * middle) {
        runs[part]++;
        up--;
      }
    }
    int down = y + 1;
    for (int part = 2; part <= 4; part++) {
      boolean want = part != 3;
      while (down < h && dark[down * w + x] == want && runs[part] <= 4 * middle) {
        runs[part]++;
        down++;
      }
    }
    return corner(runs);
  }

  private static GrayU8 gray(BufferedImage image) {
    int w = image.getWidth();
    int h = image.getHeight();
    int[] rgb = Rgb.pixels(Rgb.of(image));
    GrayU8 out = new GrayU8(w, h);
    for (int i = 0; i < rgb.length; i++) {
      int r = rgb[i] >> 16 & 0xff;
      int g = rgb[i] >> 8 & 0xff;
      int b = rgb[i] & 0xff;
      out.data[i] = (byte) ((299 * r + 587 * g + 114 * b + 500) / 1000);
    }
    return out;
  }

  /** Stretches each block's range, smoothed over its neighbours, to the whole range. */
  private static GrayU8 stretched(GrayU8 in) {
    int block = Math.max(16, Math.max(in.width, in.height) / 16);
    int cols = (in.width + block - 1) / block;
    int rows = (in.height + block - 1) / block;
    int[][] low = new int[rows][cols];
    int[][] high = new int[rows][cols];
    for (int r = 0; r < rows; r++) {
      for (int c = 0; c < cols; c++) {
        int lo = 255;
        int hi = 0;
        for (int y = r * block; y < Math.min(in.height, (r + 1) * block); y++) {
          for (int x = c * block; x < Math.min(in.width, (c + 1) * block); x++) {
            int v = in.get(x, y);
            lo = Math.min(lo, v);
            hi = Math.max(hi, v);
          }
        }
        low[r][c] = lo;
        high[r][c] = hi;
      }
    }
    GrayU8 out = new GrayU8(in.width, in.height);
    for (int y = 0; y < in.height; y++) {
      for (int x = 0; x < in.width; x++) {
        int r = y / block;
        int c = x / block;
        int lo = 255;
        int hi = 0;
        for (int i = Math.max(0, r - 1); i <= Math.min(rows - 1, r + 1); i++) {
          for (int j = Math.max(0, c - 1); j <= Math.min(cols - 1, c + 1); j++) {
            lo = Math.min(lo, low[i][j]);
            hi = Math.max(hi, high[i][j]);
          }
        }
        int range = Math.max(12, hi - lo);
        out.set(x, y, Math.max(0, Math.min(255, (in.get(x, y) - lo) * 255 / range)));
      }
    }
    return out;
  }
}

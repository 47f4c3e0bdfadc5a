package meterside.picture;

import boofcv.abst.fiducial.QrCodeDetector;
import boofcv.alg.fiducial.qrcode.QrCode;
import boofcv.alg.fiducial.qrcode.QrCodeEncoder;
import boofcv.alg.fiducial.qrcode.QrCodeGeneratorImage;
import boofcv.concurrency.BoofConcurrency;
import boofcv.factory.fiducial.FactoryFiducial;
import boofcv.struct.image.GrayU8;
import georegression.struct.point.Point2D_F64;
import georegression.struct.shapes.Polygon2D_F64;
import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
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

  /** Every so many rows are searched for a corner of a code. */
  private static final int LINE = 2;

  // Photos are read on all cores already.
  static {
    BoofConcurrency.USE_CONCURRENT = false;
  }

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
    return mayHoldCode(gray) ? ungated(gray) : List.of();
  }

  private static List<Code> ungated(GrayU8 gray) {
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
   * code's corner, with the like of it down the picture and aslant at the same place, at two
   * places. Cheap, and true for every code that can be read.
   */
  static boolean mayHoldCode(GrayU8 gray) {
    int w = gray.width;
    int h = gray.height;
    byte[] dark = darkerThanAround(gray.data, w, h);
    List<Corner> corners = new ArrayList<>();
    int[] runs = new int[5];
    for (int y = 0; y < h; y += LINE) {
      Arrays.fill(runs, 0);
      int row = y * w;
      int from = 0;
      for (int x = 1; x < w; x++) {
        if (dark[row + x] == dark[row + x - 1]) {
          continue;
        }
        runs[4] = x - from;
        from = x;
        if (dark[row + x - 1] == 1 && corner(runs)) {
          int centre = x - 1 - runs[4] - runs[3] - runs[2] / 2;
          if (cornerAround(dark, w, h, centre, y, runs[2]) && another(corners, centre, y, runs)) {
            return true;
          }
        }
        System.arraycopy(runs, 1, runs, 0, 4);
      }
    }
    return false;
  }

  /** Where a corner of a code may be: seen on so many lines, the last one at y. */
  private static final class Corner {
    private final int x;
    private final double side;
    private int y;
    private int lines = 1;

    Corner(int x, int y, double side) {
      this.x = x;
      this.y = y;
      this.side = side;
    }
  }

  /** Takes a corner in; whether there is another one now, of its size and apart from it. */
  private static boolean another(List<Corner> corners, int x, int y, int[] runs) {
    double side = Arrays.stream(runs).sum();
    Corner here = null;
    for (int i = corners.size() - 1; i >= 0 && here == null; i--) {
      Corner c = corners.get(i);
      if (y - c.y <= 3 * LINE && Math.abs(c.x - x) <= Math.max(2, side / 5)) {
        here = c;
      }
    }
    if (here == null) {
      corners.add(new Corner(x, y, side));
      return false;
    }
    here.y = y;
    here.lines++;
    for (Corner c : corners) {
      double apart = Math.hypot(c.x - here.x, c.y - here.y);
      double larger = Math.max(c.side, here.side);
      boolean alike = larger <= 3 * Math.min(c.side, here.side);
      if (c != here && c.lines > 1 && alike && apart > 0.9 * larger && apart < 20 * larger) {
        return true;
      }
    }
    return false;
  }

  /**
   * Which pixels, smoothed a little since noise would break stretches up, are darker than the mean
   * of the square around them: 1, else 0.
   */
  private static byte[] darkerThanAround(byte[] gray, int w, int h) {
    int reach = Math.max(24, Math.max(w, h) / 16);
    byte[] dark = new byte[w * h];
    int[] columns = new int[w]; // sums over the rows of the square
    for (int y = 0; y < Math.min(h, reach); y++) {
      add(gray, y * w, columns);
    }
    for (int y = 0; y < h; y++) {
      if (y + reach < h) {
        add(gray, (y + reach) * w, columns);
      }
      if (y - reach - 1 >= 0) {
        subtract(gray, (y - reach - 1) * w, columns);
      }
      int rows = Math.min(h, y + reach + 1) - Math.max(0, y - reach);
      int at = y * w;
      int below = Math.min(h - 1, y + 1) * w;
      int sum = 0;
      for (int x = 0; x < Math.min(w, reach); x++) {
        sum += columns[x];
      }
      int inner = Math.min(w, reach + 1);
      int outer = Math.max(inner, w - reach);
      for (int x = 0; x < inner; x++) {
        sum += x + reach < w ? columns[x + reach] : 0;
        int area = (Math.min(w, x + reach + 1) - Math.max(0, x - reach)) * rows;
        dark[at + x] = darker(smooth(gray, at + x, below + x, x + 1 < w), area, sum);
      }
      int whole = (2 * reach + 1) * rows;
      for (int x = inner; x < outer; x++) {
        sum += columns[x + reach] - columns[x - reach - 1];
        dark[at + x] = darker(smooth(gray, at + x, below + x, true), whole, sum);
      }
      for (int x = outer; x < w; x++) {
        sum -= columns[x - reach - 1];
        int area = (w - x + reach) * rows;
        dark[at + x] = darker(smooth(gray, at + x, below + x, x + 1 < w), area, sum);
      }
    }
    return dark;
  }

  /** Four times the brightness of a pixel and a little of those beside and below it. */
  private static int smooth(byte[] gray, int at, int below, boolean more) {
    return 2 * (gray[at] & 0xff) + (gray[more ? at + 1 : at] & 0xff) + (gray[below] & 0xff);
  }

  /** The sign of the difference, so that no branch is taken by chance a million times. */
  private static byte darker(int fourTimes, int area, int sum) {
    return (byte) ((fourTimes + 2) * area - 4 * sum >>> 31);
  }

  private static void add(byte[] gray, int row, int[] columns) {
    for (int x = 0; x < columns.length; x++) {
      columns[x] += gray[row + x] & 0xff;
    }
  }

  private static void subtract(byte[] gray, int row, int[] columns) {
    for (int x = 0; x < columns.length; x++) {
      columns[x] -= gray[row + x] & 0xff;
    }
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

  /**
   * Whether the pattern is there in the other directions too, through a point that lies in the
   * middle stretch: a corner is three squares about one point, so each line through it is cut in
   * the same shares.
   */
  private static boolean cornerAround(byte[] dark, int w, int h, int x, int y, int middle) {
    if (x < 0 || x >= w || dark[y * w + x] == 0) {
      return false;
    }
    int[] runs = new int[5];
    for (int dx = -1; dx <= 1; dx++) {
      Arrays.fill(runs, 0);
      walk(dark, w, h, x, y, -dx, -1, 2, -1, 4 * middle, runs);
      walk(dark, w, h, x + dx, y + 1, dx, 1, 2, 1, 4 * middle, runs);
      if (!corner(runs)) {
        return false;
      }
    }
    return true;
  }

  /** Counts the pixels of the stretches from a point on, the middle one first. */
  private static void walk(
      byte[] dark,
      int w,
      int h,
      int fromX,
      int fromY,
      int dx,
      int dy,
      int part,
      int next,
      int most,
      int[] runs) {
    int x = fromX;
    int y = fromY;
    for (int p = part; p >= 0 && p < runs.length; p += next) {
      int want = 1 - p % 2;
      while (x >= 0 && y >= 0 && x < w && y < h && dark[y * w + x] == want && runs[p] <= most) {
        runs[p]++;
        x += dx;
        y += dy;
      }
    }
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
      out.data[i] = (byte) (306 * r + 601 * g + 117 * b + 512 >> 10);
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
    byte[] to = new byte[256];
    for (int r = 0; r < rows; r++) {
      for (int c = 0; c < cols; c++) {
        int lo = 255;
        int hi = 0;
        for (int i = Math.max(0, r - 1); i <= Math.min(rows - 1, r + 1); i++) {
          for (int j = Math.max(0, c - 1); j <= Math.min(cols - 1, c + 1); j++) {
            lo = Math.min(lo, low[i][j]);
            hi = Math.max(hi, high[i][j]);
          }
        }
        int range = Math.max(12, hi - lo);
        for (int v = 0; v < to.length; v++) {
          to[v] = (byte) Math.max(0, Math.min(255, (v - lo) * 255 / range));
        }
        for (int y = r * block; y < Math.min(in.height, (r + 1) * block); y++) {
          for (int x = c * block; x < Math.min(in.width, (c + 1) * block); x++) {
            out.data[y * in.width + x] = to[in.data[y * in.width + x] & 0xff];
          }
        }
      }
    }
    return out;
  }
}

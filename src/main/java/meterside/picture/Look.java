package meterside.picture;

import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.util.Arrays;
import java.util.Optional;
import java.util.zip.CRC32;
import javax.imageio.ImageIO;

/**
 * What a photo looks like, as a vector of numbers: two photos are as alike as the cosine of their
 * vectors is near to 1. Made from the thumbnail, so it costs a few milliseconds and does not depend
 * on the camera's resolution. It tells look-alikes and kinds of scene; it does not recognize
 * objects.
 *
 * <p>Five blocks, each made alike in length and weighted, then the whole to length 1:
 *
 * <ol>
 *   <li>Edges: histograms of gradient directions, nine unsigned bins with votes shared between
 *       neighbours, after N. Dalal and B. Triggs, "Histograms of oriented gradients for human
 *       detection", CVPR 2005, over the whole, its quarters and its sixteenths (spatial pyramid: S.
 *       Lazebnik, C. Schmid and J. Ponce, "Beyond bags of features", CVPR 2006).
 *   <li>Colours: histograms of hue and chroma, with greys by lightness, over the whole and five
 *       overlapping parts.
 *   <li>Layout: the first coefficients of the cosine transform of 8 × 8 averages in YCbCr, the idea
 *       of the colour layout descriptor of ISO/IEC 15938-3; our own numbers of coefficients.
 *   <li>Texture: uniform rotation-invariant local binary patterns of eight neighbours, after T.
 *       Ojala, M. Pietikäinen and T. Mäenpää, IEEE Transactions on Pattern Analysis and Machine
 *       Intelligence 24, 2002, at two scales, over the whole and its middle.
 *   <li>Bustle: how much the lightness varies within each sixteenth.
 * </ol>
 *
 * <p>Histograms enter by the root of their shares, so that the cosine compares them as the
 * Hellinger kernel does (R. Arandjelović and A. Zisserman, "Three things everyone should know to
 * improve object retrieval", CVPR 2012). The mean lightness is left out, and gradients are taken
 * after a gamma of one half, so that a brighter or darker photo of a thing stays near.
 */
public final class Look {
  /** Raised whenever the numbers come out differently; a kept look of another version is none. */
  public static final int VERSION = 1;

  private static final int SIDE = 160;
  private static final int DIRECTIONS = 9;
  private static final int GRID = 4;
  private static final int HUES = 8;
  private static final int GREYS = 5;
  private static final int COLOURS = GREYS + HUES * 3;
  private static final int REGIONS = 6;
  private static final int TILES = 8;
  private static final int LUMA_TERMS = 14;
  private static final int CHROMA_TERMS = 6;
  private static final int PATTERNS = 10;

  private static final int EDGES_LENGTH = (1 + 4 + 16) * DIRECTIONS;
  private static final int COLOURS_LENGTH = REGIONS * COLOURS;
  private static final int LAYOUT_LENGTH = LUMA_TERMS + 2 * CHROMA_TERMS;
  private static final int TEXTURE_LENGTH = 4 * PATTERNS;
  private static final int BUSTLE_LENGTH = GRID * GRID;

  /** How many numbers a look has. */
  public static final int LENGTH =
      EDGES_LENGTH + COLOURS_LENGTH + LAYOUT_LENGTH + TEXTURE_LENGTH + BUSTLE_LENGTH;

  private static final double EDGES_WEIGHT = 1.0;
  private static final double COLOURS_WEIGHT = 0.8;
  private static final double LAYOUT_WEIGHT = 0.4;
  private static final double TEXTURE_WEIGHT = 0.5;
  private static final double BUSTLE_WEIGHT = 0.4;

  private static final double[] EDGE_LEVELS = {0.6, 0.7, 1.0};

  /** Chroma, in steps of 0 to 255, below which a pixel counts as grey. */
  private static final double GREY_BELOW = 8;

  /** Chroma from which a pixel counts as fully coloured. */
  private static final double COLOUR_FROM = 20;

  private static final int[][] DIAGONALS = diagonals();
  private static final double[][] COSINES = cosines();
  private static final int[] UNIFORM = uniform();
  private static final int MAGIC = 0x4c4f4f4b;
  private static final int HEAD = 13;

  private Look() {}

  /**
   * The look of a picture.
   *
   * @param upright any upright picture; a thumbnail is enough
   * @return {@link #LENGTH} numbers, together of length 1
   */
  public static float[] of(BufferedImage upright) {
    BufferedImage small = Rgb.shrink(Rgb.of(upright), SIDE);
    int w = small.getWidth();
    int h = small.getHeight();
    int[] rgb = Rgb.pixels(small);
    float[] luma = new float[w * h];
    float[] cb = new float[w * h];
    float[] cr = new float[w * h];
    for (int i = 0; i < rgb.length; i++) {
      int r = rgb[i] >> 16 & 0xff;
      int g = rgb[i] >> 8 & 0xff;
      int b = rgb[i] & 0xff;
      // ITU-R BT.601, chroma about 0.
      luma[i] = 0.299f * r + 0.587f * g + 0.114f * b;
      cb[i] = -0.168736f * r - 0.331264f * g + 0.5f * b;
      cr[i] = 0.5f * r - 0.418688f * g - 0.081312f * b;
    }
    float[] out = new float[LENGTH];
    int at = 0;
    at = put(out, at, edges(luma, w, h), EDGES_WEIGHT);
    at = put(out, at, colours(luma, cb, cr, w, h), COLOURS_WEIGHT);
    at = put(out, at, layout(luma, cb, cr, w, h), LAYOUT_WEIGHT);
    at = put(out, at, texture(luma, w, h), TEXTURE_WEIGHT);
    put(out, at, bustle(luma, w, h), BUSTLE_WEIGHT);
    return unit(out);
  }

  /**
   * The look of a thumbnail or preview.
   *
   * @param jpeg an upright JPEG as {@link Jpegs} writes it
   * @return the look, or nothing if it is no readable picture
   */
  public static Optional<float[]> ofJpeg(byte[] jpeg) {
    try {
      BufferedImage image = ImageIO.read(new ByteArrayInputStream(jpeg));
      return image == null ? Optional.empty() : Optional.of(of(image));
    } catch (IOException | RuntimeException e) {
      return Optional.empty(); // a derived picture that is not whole; it can be made again
    }
  }

  /** How alike two looks are: their cosine, up to 1. Looks of two lengths are not alike: 0. */
  public static double alike(float[] a, float[] b) {
    if (a.length != b.length) {
      return 0;
    }
    double sum = 0;
    for (int i = 0; i < a.length; i++) {
      sum += a[i] * b[i];
    }
    return sum;
  }

  /**
   * The look of the same photo with left and right exchanged: what it would look like in a house
   * that is built the other way round. Made from the numbers alone.
   */
  public static float[] mirrored(float[] look) {
    float[] out = look.clone();
    int at = 0;
    for (int across = 1; across <= GRID; across *= 2) {
      for (int c = 0; c < across * across; c++) {
        int other = c / across * across + across - 1 - c % across;
        for (int d = 0; d < DIRECTIONS; d++) {
          out[at + other * DIRECTIONS + (DIRECTIONS - d) % DIRECTIONS] =
              look[at + c * DIRECTIONS + d];
        }
      }
      at += across * across * DIRECTIONS;
    }
    for (int region = 0; region < REGIONS; region++) {
      int other = region == 0 || region == REGIONS - 1 ? region : (region - 1 ^ 1) + 1;
      System.arraycopy(look, at + region * COLOURS, out, at + other * COLOURS, COLOURS);
    }
    at += COLOURS_LENGTH;
    at = mirrorTerms(out, at, 1, LUMA_TERMS);
    at = mirrorTerms(out, at, 0, CHROMA_TERMS);
    at = mirrorTerms(out, at, 0, CHROMA_TERMS);
    at += TEXTURE_LENGTH;
    for (int c = 0; c < GRID * GRID; c++) {
      out[at + c / GRID * GRID + GRID - 1 - c % GRID] = look[at + c];
    }
    return out;
  }

  private static int mirrorTerms(float[] out, int at, int from, int count) {
    for (int k = 0; k < count; k++) {
      if (DIAGONALS[from + k][0] % 2 == 1) {
        out[at + k] = -out[at + k];
      }
    }
    return at + count;
  }

  // ---- kept in a file ----

  /**
   * A look in steps of one byte, for vectors that are only compared by angle.
   *
   * @return {@link #LENGTH} signed steps, the largest 127
   */
  public static byte[] steps(float[] look) {
    float most = 1e-12f;
    for (float v : look) {
      most = Math.max(most, Math.abs(v));
    }
    byte[] out = new byte[look.length];
    for (int i = 0; i < out.length; i++) {
      out[i] = (byte) Math.round(look[i] / most * 127);
    }
    return out;
  }

  /** The look to keep in a file: a head with the version, the steps, a checksum (CRC-32). */
  public static byte[] pack(float[] look) {
    byte[] steps = steps(look);
    java.nio.ByteBuffer b = java.nio.ByteBuffer.allocate(HEAD + steps.length);
    b.putInt(MAGIC).put((byte) VERSION).putInt(steps.length);
    b.putInt(checksum(steps)).put(steps);
    return b.array();
  }

  /** A kept look of this version, or nothing if it is of another one or not whole. */
  public static Optional<float[]> unpack(byte[] packed) {
    if (packed.length != HEAD + LENGTH) {
      return Optional.empty();
    }
    java.nio.ByteBuffer b = java.nio.ByteBuffer.wrap(packed);
    boolean known = b.getInt() == MAGIC && b.get() == VERSION && b.getInt() == LENGTH;
    int sum = b.getInt();
    byte[] steps = Arrays.copyOfRange(packed, HEAD, packed.length);
    if (!known || checksum(steps) != sum) {
      return Optional.empty();
    }
    float[] out = new float[LENGTH];
    for (int i = 0; i < LENGTH; i++) {
      out[i] = steps[i];
    }
    return Optional.of(unit(out));
  }

  private static int checksum(byte[] steps) {
    CRC32 crc = new CRC32();
    crc.update(steps);
    return (int) crc.getValue();
  }

  // ---- the blocks ----

  private static int put(float[] out, int at, double[] block, double weight) {
    double length = 0;
    for (double v : block) {
      length += v * v;
    }
    double by = length == 0 ? 0 : weight / Math.sqrt(length);
    for (int i = 0; i < block.length; i++) {
      out[at + i] = (float) (block[i] * by);
    }
    return at + block.length;
  }

  private static float[] unit(float[] v) {
    double length = 0;
    for (float x : v) {
      length += (double) x * x;
    }
    if (length > 0) {
      float by = (float) (1 / Math.sqrt(length));
      for (int i = 0; i < v.length; i++) {
        v[i] *= by;
      }
    }
    return v;
  }

  private static double[] edges(float[] luma, int w, int h) {
    double[] fine = new double[GRID * GRID * DIRECTIONS];
    float[] soft = new float[luma.length];
    for (int i = 0; i < luma.length; i++) {
      soft[i] = (float) Math.sqrt(luma[i]);
    }
    for (int y = 1; y < h - 1; y++) {
      double cy = (y + 0.5) / h * GRID - 0.5;
      int y0 = (int) Math.floor(cy);
      float fy = (float) (cy - y0);
      for (int x = 1; x < w - 1; x++) {
        int i = y * w + x;
        float dx = soft[i + 1] - soft[i - 1];
        float dy = soft[i + w] - soft[i - w];
        float size = (float) Math.sqrt(dx * dx + dy * dy);
        if (size < 0.15f) {
          continue; // noise of a smooth surface
        }
        double turn = Math.atan2(dy, dx) / Math.PI;
        turn = (turn < 0 ? turn + 1 : turn) * DIRECTIONS;
        int d0 = (int) turn;
        float fd = (float) (turn - d0);
        d0 %= DIRECTIONS;
        int d1 = (d0 + 1) % DIRECTIONS;
        double cx = (x + 0.5) / w * GRID - 0.5;
        int x0 = (int) Math.floor(cx);
        float fx = (float) (cx - x0);
        for (int j = 0; j < 4; j++) {
          int gx = Math.max(0, Math.min(GRID - 1, x0 + (j & 1)));
          int gy = Math.max(0, Math.min(GRID - 1, y0 + (j >> 1)));
          float share = ((j & 1) == 0 ? 1 - fx : fx) * (j >> 1 == 0 ? 1 - fy : fy) * size;
          int cell = (gy * GRID + gx) * DIRECTIONS;
          fine[cell + d0] += share * (1 - fd);
          fine[cell + d1] += share * fd;
        }
      }
    }
    double[] out = new double[EDGES_LENGTH];
    double[] whole = new double[DIRECTIONS];
    double[][] quarters = new double[4][DIRECTIONS];
    for (int cell = 0; cell < GRID * GRID; cell++) {
      int quarter = cell / GRID / 2 * 2 + cell % GRID / 2;
      for (int d = 0; d < DIRECTIONS; d++) {
        double v = fine[cell * DIRECTIONS + d];
        whole[d] += v;
        quarters[quarter][d] += v;
      }
    }
    int at = level(whole, EDGE_LEVELS[0], out, 0);
    double[] middle = new double[4 * DIRECTIONS];
    for (int q = 0; q < 4; q++) {
      System.arraycopy(quarters[q], 0, middle, q * DIRECTIONS, DIRECTIONS);
    }
    at = level(middle, EDGE_LEVELS[1], out, at);
    level(fine, EDGE_LEVELS[2], out, at);
    return out;
  }

  /** Writes the roots of shares, weighted. */
  private static int level(double[] votes, double weight, double[] out, int at) {
    double sum = 1e-9;
    for (double v : votes) {
      sum += v;
    }
    for (int i = 0; i < votes.length; i++) {
      out[at + i] = weight * Math.sqrt(votes[i] / sum);
    }
    return at + votes.length;
  }

  private static double[] colours(float[] luma, float[] cb, float[] cr, int w, int h) {
    double[] out = new double[COLOURS_LENGTH];
    double[] cell = new double[GRID * GRID * COLOURS];
    double mean = 1e-6;
    for (float v : luma) {
      mean += v;
    }
    mean /= luma.length;
    for (int y = 0; y < h; y++) {
      int gy = y * GRID / h;
      for (int x = 0; x < w; x++) {
        int i = y * w + x;
        int base = (gy * GRID + x * GRID / w) * COLOURS;
        double chroma = Math.hypot(cb[i], cr[i]);
        double coloured =
            Math.max(0, Math.min(1, (chroma - GREY_BELOW) / (COLOUR_FROM - GREY_BELOW)));
        // Lightness against the photo's mean: an exposure step does not move a thing's bin much.
        double light = Math.log((luma[i] + 4) / (mean + 4)) / Math.log(2);
        if (coloured < 1) {
          double g = Math.max(0, Math.min(GREYS - 1, (light + 2) / 3.5 * (GREYS - 1)));
          int g0 = (int) g;
          double f = g - g0;
          cell[base + g0] += (1 - coloured) * (1 - f);
          cell[base + Math.min(GREYS - 1, g0 + 1)] += (1 - coloured) * f;
        }
        if (coloured > 0) {
          double turn = Math.atan2(cr[i], cb[i]) / (2 * Math.PI);
          turn = (turn < 0 ? turn + 1 : turn) * HUES;
          int h0 = (int) turn;
          double f = turn - h0;
          int strength = chroma > 45 ? 2 : light > -0.3 ? 1 : 0;
          int row = base + GREYS + strength * HUES;
          cell[row + h0 % HUES] += coloured * (1 - f);
          cell[row + (h0 + 1) % HUES] += coloured * f;
        }
      }
    }
    int at = 0;
    for (int region = 0; region < REGIONS; region++) {
      double[] sum = new double[COLOURS];
      for (int c = 0; c < GRID * GRID; c++) {
        if (in(region, c % GRID, c / GRID)) {
          for (int k = 0; k < COLOURS; k++) {
            sum[k] += cell[c * COLOURS + k];
          }
        }
      }
      at = level(sum, region == 0 ? 1.5 : 0.7, out, at);
    }
    return out;
  }

  /** The whole, four corners of three by three cells, the middle of two by two. */
  private static boolean in(int region, int x, int y) {
    return switch (region) {
      case 0 -> true;
      case 1 -> x < 3 && y < 3;
      case 2 -> x > 0 && y < 3;
      case 3 -> x < 3 && y > 0;
      case 4 -> x > 0 && y > 0;
      default -> x > 0 && x < 3 && y > 0 && y < 3;
    };
  }

  private static double[] layout(float[] luma, float[] cb, float[] cr, int w, int h) {
    double[] out = new double[LAYOUT_LENGTH];
    int at = 0;
    at = terms(luma, w, h, 1, LUMA_TERMS, 1, out, at); // without the mean
    at = terms(cb, w, h, 0, CHROMA_TERMS, 1.5, out, at);
    terms(cr, w, h, 0, CHROMA_TERMS, 1.5, out, at);
    return out;
  }

  private static int terms(
      float[] plane, int w, int h, int from, int count, double weight, double[] out, int at) {
    double[] tiles = new double[TILES * TILES];
    int[] n = new int[TILES * TILES];
    for (int y = 0; y < h; y++) {
      for (int x = 0; x < w; x++) {
        int t = y * TILES / h * TILES + x * TILES / w;
        tiles[t] += plane[y * w + x];
        n[t]++;
      }
    }
    for (int t = 0; t < tiles.length; t++) {
      tiles[t] /= Math.max(1, n[t]);
    }
    for (int k = 0; k < count; k++) {
      int u = DIAGONALS[from + k][0];
      int v = DIAGONALS[from + k][1];
      double sum = 0;
      for (int y = 0; y < TILES; y++) {
        for (int x = 0; x < TILES; x++) {
          sum += tiles[y * TILES + x] * COSINES[u][x] * COSINES[v][y];
        }
      }
      // Large terms drown the others; the root keeps their order.
      out[at + k] = weight * Math.signum(sum) * Math.sqrt(Math.abs(sum));
    }
    return at + count;
  }

  private static double[] texture(float[] luma, int w, int h) {
    double[] out = new double[TEXTURE_LENGTH];
    int at = patterns(luma, w, h, 1, out, 0);
    patterns(luma, w, h, 3, out, at);
    return out;
  }

  private static int patterns(float[] luma, int w, int h, int r, double[] out, int at) {
    double[] whole = new double[PATTERNS];
    double[] middle = new double[PATTERNS];
    int diagonal = Math.max(1, (int) Math.round(r * Math.sqrt(0.5)));
    int[] ring = {
      r,
      diagonal * w + diagonal,
      r * w,
      diagonal * w - diagonal,
      -r,
      -diagonal * w - diagonal,
      -r * w,
      -diagonal * w + diagonal
    };
    for (int y = r; y < h - r; y++) {
      for (int x = r; x < w - r; x++) {
        int i = y * w + x;
        float here = luma[i] + 2; // a step above noise
        int bits = 0;
        for (int k = 0; k < 8; k++) {
          bits |= (luma[i + ring[k]] > here ? 1 : 0) << k;
        }
        int pattern = UNIFORM[bits];
        whole[pattern]++;
        if (x > w / 4 && x < w * 3 / 4 && y > h / 4 && y < h * 3 / 4) {
          middle[pattern]++;
        }
      }
    }
    int next = level(whole, 1, out, at);
    return level(middle, 0.7, out, next);
  }

  private static double[] bustle(float[] luma, int w, int h) {
    double[] sum = new double[BUSTLE_LENGTH];
    double[] squares = new double[BUSTLE_LENGTH];
    int[] n = new int[BUSTLE_LENGTH];
    for (int y = 0; y < h; y++) {
      for (int x = 0; x < w; x++) {
        int c = y * GRID / h * GRID + x * GRID / w;
        float v = luma[y * w + x];
        sum[c] += v;
        squares[c] += v * v;
        n[c]++;
      }
    }
    double[] out = new double[BUSTLE_LENGTH];
    for (int c = 0; c < out.length; c++) {
      double mean = sum[c] / Math.max(1, n[c]);
      double spread = Math.sqrt(Math.max(0, squares[c] / Math.max(1, n[c]) - mean * mean));
      out[c] = Math.sqrt(spread / (mean + 8));
    }
    return out;
  }

  // ---- tables ----

  /** The transform's terms from coarse to fine, along the diagonals. */
  private static int[][] diagonals() {
    int[][] out = new int[LUMA_TERMS + 1][];
    int n = 0;
    for (int sum = 0; n < out.length; sum++) {
      for (int u = 0; u <= sum && n < out.length; u++) {
        out[n++] = new int[] {u, sum - u};
      }
    }
    return out;
  }

  private static double[][] cosines() {
    double[][] out = new double[TILES][TILES];
    for (int u = 0; u < TILES; u++) {
      for (int x = 0; x < TILES; x++) {
        double scale = Math.sqrt((u == 0 ? 1.0 : 2.0) / TILES);
        out[u][x] = scale * Math.cos(Math.PI * (2 * x + 1) * u / (2 * TILES));
      }
    }
    return out;
  }

  /** For each of 256 rings: how many bits are set if they are one run, else 9. */
  private static int[] uniform() {
    int[] out = new int[256];
    for (int bits = 0; bits < 256; bits++) {
      int turned = (bits << 1 | bits >> 7) & 0xff;
      boolean oneRun = Integer.bitCount(bits ^ turned) <= 2;
      out[bits] = oneRun ? Integer.bitCount(bits) : PATTERNS - 1;
    }
    return out;
  }
}

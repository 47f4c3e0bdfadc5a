package meterside.picture;

import java.awt.image.BufferedImage;

/**
 * How sharp a picture is: the variance of its Laplacian, after J. L. Pech-Pacheco, G. Cristóbal, J.
 * Chamorro-Martínez and J. Fernández-Valdivia, "Diatom autofocusing in brightfield microscopy: a
 * comparative study", ICPR 2000. Kernel: four neighbours minus four times the middle, on the luma
 * of ITU-R BT.601 in steps of 0 to 255. Larger is sharper; only pictures of one size and kind can
 * be compared.
 */
final class Sharpness {
  private Sharpness() {}

  /** The measure of a picture, or null if it has fewer than 3 × 3 pixels. */
  static Double of(BufferedImage image) {
    int w = image.getWidth();
    int h = image.getHeight();
    if (w < 3 || h < 3) {
      return null;
    }
    int[] rgb = Rgb.pixels(image);
    int[] above = new int[w];
    int[] row = new int[w];
    int[] below = new int[w];
    luma(rgb, 0, above);
    luma(rgb, w, row);
    long sum = 0;
    double squares = 0;
    for (int y = 1; y < h - 1; y++) {
      luma(rgb, (y + 1) * w, below);
      long rowSquares = 0;
      for (int x = 1; x < w - 1; x++) {
        int l = above[x] + below[x] + row[x - 1] + row[x + 1] - 4 * row[x];
        sum += l;
        rowSquares += l * l;
      }
      squares += rowSquares;
      int[] free = above;
      above = row;
      row = below;
      below = free;
    }
    double n = (double) (w - 2) * (h - 2);
    double mean = sum / n;
    return squares / n - mean * mean;
  }

  private static void luma(int[] rgb, int from, int[] into) {
    for (int x = 0; x < into.length; x++) {
      int p = rgb[from + x];
      into[x] = (77 * (p >> 16 & 0xff) + 150 * (p >> 8 & 0xff) + 29 * (p & 0xff)) >> 8;
    }
  }
}

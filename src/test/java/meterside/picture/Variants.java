package meterside.picture;

import java.awt.Color;
import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.geom.AffineTransform;
import java.awt.image.BufferedImage;
import java.util.Random;

/**
 * Another look at what a photo shows, as another day, house and camera would give it: turned,
 * sheared, framed otherwise, in other light and white balance, noisy, compressed.
 */
public final class Variants {
  private Variants() {}

  /**
   * A variant.
   *
   * @param image the photo, at preview size
   * @param r what to vary by
   * @param strength 1 for another photo by another camera; 0 for the same one
   */
  public static BufferedImage of(BufferedImage image, Random r, double strength) {
    int w = image.getWidth();
    int h = image.getHeight();
    double turn = Math.toRadians((r.nextDouble() * 2 - 1) * 6 * strength);
    double zoom = 1.06 + r.nextDouble() * 0.25 * strength;
    AffineTransform t = AffineTransform.getTranslateInstance(w / 2.0, h / 2.0);
    t.scale(zoom, zoom * (1 + (r.nextDouble() * 2 - 1) * 0.08 * strength));
    t.rotate(turn);
    t.shear((r.nextDouble() * 2 - 1) * 0.08 * strength, (r.nextDouble() * 2 - 1) * 0.08 * strength);
    t.translate(
        -w / 2.0 + (r.nextDouble() * 2 - 1) * 0.05 * w * strength,
        -h / 2.0 + (r.nextDouble() * 2 - 1) * 0.05 * h * strength);
    BufferedImage out = new BufferedImage(w, h, BufferedImage.TYPE_INT_RGB);
    Graphics2D g = out.createGraphics();
    g.setRenderingHint(
        RenderingHints.KEY_INTERPOLATION, RenderingHints.VALUE_INTERPOLATION_BILINEAR);
    g.setColor(new Color(110, 110, 105));
    g.fillRect(0, 0, w, h);
    g.drawImage(image, t, null);
    g.dispose();
    double stops = (r.nextDouble() * 2 - 1) * 0.8 * strength;
    double warm = (r.nextDouble() * 2 - 1) * 0.10 * strength;
    double[] gain = {
      Math.pow(2, stops) * (1 + warm), Math.pow(2, stops), Math.pow(2, stops) * (1 - warm)
    };
    double tilt = (r.nextDouble() * 2 - 1) * 0.35 * strength; // light from one side
    double noise = 6 * strength;
    for (int y = 0; y < h; y++) {
      for (int x = 0; x < w; x++) {
        int p = out.getRGB(x, y);
        double side = 1 + tilt * (2.0 * x / w - 1);
        int rgb = 0;
        for (int c = 0; c < 3; c++) {
          double v = p >> (16 - 8 * c) & 0xff;
          double linear = Math.pow(v / 255, 2.2) * gain[c] * side;
          double now = 255 * Math.pow(Math.min(1, linear), 1 / 2.2) + r.nextGaussian() * noise;
          rgb = rgb << 8 | (int) Math.max(0, Math.min(255, now));
        }
        out.setRGB(x, y, rgb);
      }
    }
    return out;
  }
}

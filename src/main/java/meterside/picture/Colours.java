package meterside.picture;

import java.awt.color.CMMException;
import java.awt.color.ColorSpace;
import java.awt.color.ICC_ColorSpace;
import java.awt.color.ICC_Profile;
import java.awt.color.ICC_ProfileRGB;
import java.awt.image.BufferedImage;
import java.awt.image.ColorConvertOp;
import java.awt.image.ComponentColorModel;
import java.awt.image.DataBuffer;
import java.awt.image.DataBufferByte;
import java.awt.image.Raster;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;

/**
 * Brings pixels with a colour profile (ICC.1) to sRGB: phones record a wider space, in which the
 * insulation of a wire looks pale when it is taken for sRGB.
 */
final class Colours {
  /** Larger profiles are tables for printing inks. */
  static final int LARGEST = 1 << 18;

  private static final int REMEMBERED = 8;
  private static final int[] RGB_ORDER = {0, 1, 2};
  private static final float ALIKE = 0.003f;

  /** A job's photos carry the same one or two profiles. Empty: nothing is to be done. */
  private static final Map<Key, Optional<ICC_ColorSpace>> SPACES =
      new LinkedHashMap<>(16, 0.75f, true) {
        private static final long serialVersionUID = 1L;

        @Override
        protected boolean removeEldestEntry(Map.Entry<Key, Optional<ICC_ColorSpace>> eldest) {
          return size() > REMEMBERED;
        }
      };

  private Colours() {}

  @SuppressWarnings("ArrayRecordComponent") // compared by content below
  private record Key(byte[] profile) {
    @Override
    public boolean equals(Object other) {
      return other instanceof Key k && Arrays.equals(profile, k.profile);
    }

    @Override
    public int hashCode() {
      return Arrays.hashCode(profile);
    }
  }

  /**
   * The picture in sRGB. A profile that is sRGB's own, is not for three-colour pixels or makes no
   * sense changes nothing.
   *
   * @param profile an ICC profile, or null if there is none
   */
  static BufferedImage toSrgb(BufferedImage image, byte[] profile) {
    if (profile == null || profile.length > LARGEST) {
      return image;
    }
    Optional<ICC_ColorSpace> space;
    synchronized (SPACES) {
      space = SPACES.computeIfAbsent(new Key(profile), k -> space(k.profile));
    }
    if (space.isEmpty()) {
      return image;
    }
    try {
      return convert(image, space.get());
    } catch (CMMException | IllegalArgumentException e) {
      return image; // a profile that promised more than it holds
    }
  }

  private static Optional<ICC_ColorSpace> space(byte[] bytes) {
    try {
      ICC_Profile profile = ICC_Profile.getInstance(bytes);
      boolean three = profile.getColorSpaceType() == ColorSpace.TYPE_RGB;
      if (!three || (profile instanceof ICC_ProfileRGB rgb && alike(rgb))) {
        return Optional.empty();
      }
      ICC_ColorSpace space = new ICC_ColorSpace(profile);
      space.toRGB(new float[] {0.5f, 0.5f, 0.5f}); // fails here rather than later
      return Optional.of(space);
    } catch (CMMException | IllegalArgumentException e) {
      return Optional.empty();
    }
  }

  /** Whether the primaries are sRGB's. */
  private static boolean alike(ICC_ProfileRGB profile) {
    float[][] a = profile.getMatrix();
    float[][] b = ((ICC_ProfileRGB) ICC_Profile.getInstance(ColorSpace.CS_sRGB)).getMatrix();
    for (int i = 0; i < 3; i++) {
      for (int k = 0; k < 3; k++) {
        if (Math.abs(a[i][k] - b[i][k]) > ALIKE) {
          return false;
        }
      }
    }
    return true;
  }

  private static BufferedImage convert(BufferedImage image, ICC_ColorSpace space) {
    int[] pixels = Rgb.pixels(image);
    byte[] bytes = new byte[pixels.length * 3];
    for (int i = 0, k = 0; i < pixels.length; i++) {
      bytes[k++] = (byte) (pixels[i] >> 16);
      bytes[k++] = (byte) (pixels[i] >> 8);
      bytes[k++] = (byte) pixels[i];
    }
    int w = image.getWidth();
    int h = image.getHeight();
    ComponentColorModel model =
        new ComponentColorModel(space, false, false, BufferedImage.OPAQUE, DataBuffer.TYPE_BYTE);
    BufferedImage from =
        new BufferedImage(
            model,
            Raster.createInterleavedRaster(
                new DataBufferByte(bytes, bytes.length), w, h, w * 3, 3, RGB_ORDER, null),
            false,
            null);
    BufferedImage out = Rgb.create(w, h);
    new ColorConvertOp(null).filter(from, out);
    return out;
  }
}

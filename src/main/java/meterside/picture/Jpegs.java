package meterside.picture;

import java.awt.image.BufferedImage;
import java.awt.image.ComponentColorModel;
import java.awt.image.DataBuffer;
import java.awt.image.DataBufferByte;
import java.awt.image.Raster;
import java.awt.image.WritableRaster;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import javax.imageio.IIOImage;
import javax.imageio.ImageIO;
import javax.imageio.ImageTypeSpecifier;
import javax.imageio.ImageWriteParam;
import javax.imageio.ImageWriter;
import javax.imageio.stream.MemoryCacheImageOutputStream;

/** Writes JPEGs that hold pixels and nothing else. */
public final class Jpegs {
  private static final int[] RGB_ORDER = {0, 1, 2};

  static {
    ImageIO.setUseCache(false); // no temporary files beside private pictures
  }

  private Jpegs() {}

  /**
   * Encodes a picture as baseline JPEG, YCbCr 4:2:0, with a JFIF header and no metadata.
   *
   * @param image any picture; see-through pixels are laid on white
   * @param quality 0 to 1
   */
  public static byte[] encode(BufferedImage image, float quality) {
    BufferedImage rgb = Rgb.of(image);
    int w = rgb.getWidth();
    int h = rgb.getHeight();
    // The writer copies rows of interleaved bytes as they are; packed pixels take its slow path.
    int[] pixels = Rgb.pixels(rgb);
    byte[] bytes = new byte[w * h * 3];
    for (int i = 0, k = 0; i < pixels.length; i++) {
      int p = pixels[i];
      bytes[k++] = (byte) (p >> 16);
      bytes[k++] = (byte) (p >> 8);
      bytes[k++] = (byte) p;
    }
    ComponentColorModel model =
        new ComponentColorModel(
            rgb.getColorModel().getColorSpace(),
            false,
            false,
            BufferedImage.OPAQUE,
            DataBuffer.TYPE_BYTE);
    WritableRaster raster =
        Raster.createInterleavedRaster(
            new DataBufferByte(bytes, bytes.length), w, h, w * 3, 3, RGB_ORDER, null);
    BufferedImage interleaved = new BufferedImage(model, raster, false, null);

    ImageWriter writer =
        ImageIO.getImageWriters(ImageTypeSpecifier.createFromRenderedImage(interleaved), "jpeg")
            .next();
    ByteArrayOutputStream out = new ByteArrayOutputStream(Math.max(1024, w * h / 4));
    try (MemoryCacheImageOutputStream stream = new MemoryCacheImageOutputStream(out)) {
      ImageWriteParam param = writer.getDefaultWriteParam();
      param.setCompressionMode(ImageWriteParam.MODE_EXPLICIT);
      param.setCompressionQuality(quality);
      writer.setOutput(stream);
      writer.write(null, new IIOImage(interleaved, null, null), param);
    } catch (IOException e) {
      throw new UncheckedIOException("writing to memory", e);
    } finally {
      writer.dispose();
    }
    return out.toByteArray();
  }
}

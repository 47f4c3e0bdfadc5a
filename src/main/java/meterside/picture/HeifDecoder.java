package meterside.picture;

import com.sun.jna.Library;
import com.sun.jna.Memory;
import com.sun.jna.Native;
import com.sun.jna.NativeLong;
import com.sun.jna.Pointer;
import com.sun.jna.Structure;
import com.sun.jna.ptr.IntByReference;
import com.sun.jna.ptr.PointerByReference;
import java.awt.image.BufferedImage;
import java.io.IOException;
import java.util.Optional;

/**
 * Decodes HEIC by the system's libheif (LGPL), where it is installed. The library applies the
 * file's own turns and mirrors, so its pixels are upright, whatever EXIF Orientation says.
 */
final class HeifDecoder {
  private static final int COLORSPACE_RGB = 1;
  private static final int INTERLEAVED_RGB = 10;

  /** "prof" and "rICC", the kinds of colour information that hold an ICC profile. */
  private static final int PROFILE = 0x70726f66;

  private static final int RESTRICTED_PROFILE = 0x72494343;

  private HeifDecoder() {}

  /** The calls of libheif's C interface (since 1.4) that are used. */
  interface LibHeif extends Library {
    Pointer heif_context_alloc();

    void heif_context_free(Pointer context);

    void heif_context_set_maximum_image_size_limit(Pointer context, int width);

    Status.ByValue heif_context_read_from_memory_without_copy(
        Pointer context, Pointer bytes, long size, Pointer options);

    Status.ByValue heif_context_get_primary_image_handle(
        Pointer context, PointerByReference handle);

    void heif_image_handle_release(Pointer handle);

    int heif_image_handle_get_width(Pointer handle);

    int heif_image_handle_get_height(Pointer handle);

    int heif_image_handle_get_color_profile_type(Pointer handle);

    NativeLong heif_image_handle_get_raw_color_profile_size(Pointer handle);

    Status.ByValue heif_image_handle_get_raw_color_profile(Pointer handle, Pointer into);

    Status.ByValue heif_decode_image(
        Pointer handle, PointerByReference image, int colorspace, int chroma, Pointer options);

    int heif_image_get_width(Pointer image, int channel);

    int heif_image_get_height(Pointer image, int channel);

    Pointer heif_image_get_plane_readonly(Pointer image, int channel, IntByReference stride);

    void heif_image_release(Pointer image);
  }

  /** What a call of libheif answers. Public so that JNA can make it. */
  @Structure.FieldOrder({"code", "subcode", "message"})
  public static class Status extends Structure {
    /** 0 if all went well. */
    public int code;

    /** A closer reason. */
    public int subcode;

    /** A sentence of the library. */
    public Pointer message;

    /** Returned by value. */
    public static class ByValue extends Status implements Structure.ByValue {}

    void check() throws IOException {
      if (code != 0) {
        throw new IOException(message == null ? "libheif " + code : message.getString(0));
      }
    }
  }

  /** Loaded when the first HEIC comes along; empty where libheif is not installed. */
  private static final class Loaded {
    private static final Optional<LibHeif> LIBRARY = load();

    private static Optional<LibHeif> load() {
      for (String name : new String[] {"heif", "libheif.so.1", "libheif-1"}) {
        try {
          return Optional.of(Native.load(name, LibHeif.class));
        } catch (UnsatisfiedLinkError | NoClassDefFoundError e) {
          continue; // not under this name
        }
      }
      return Optional.empty();
    }
  }

  /** Whether libheif is there. */
  static boolean available() {
    return Loaded.LIBRARY.isPresent();
  }

  /**
   * Decodes the primary image, upright, in sRGB, in this process.
   *
   * @param longSide most pixels on the long side, 0 for the full size
   * @param mostPixels refuse above so many
   */
  static BufferedImage decode(byte[] bytes, int longSide, long mostPixels) throws IOException {
    LibHeif lib = Loaded.LIBRARY.orElseThrow(() -> new IOException("no libheif"));
    Pointer context = lib.heif_context_alloc();
    Pointer handle = null;
    Pointer image = null;
    // The context reads from this memory without copying it: it must outlive the context.
    Memory memory = new Memory(bytes.length);
    try {
      memory.write(0, bytes, 0, bytes.length);
      lib.heif_context_set_maximum_image_size_limit(context, 32768);
      lib.heif_context_read_from_memory_without_copy(context, memory, bytes.length, null).check();
      PointerByReference ref = new PointerByReference();
      lib.heif_context_get_primary_image_handle(context, ref).check();
      handle = ref.getValue();
      long w = lib.heif_image_handle_get_width(handle);
      long h = lib.heif_image_handle_get_height(handle);
      if (w <= 0 || h <= 0 || w * h > mostPixels) {
        throw new IOException("size " + w + " x " + h);
      }
      PointerByReference out = new PointerByReference();
      lib.heif_decode_image(handle, out, COLORSPACE_RGB, INTERLEAVED_RGB, null).check();
      image = out.getValue();
      return Colours.toSrgb(Rgb.shrink(pixels(lib, image), longSide), profile(lib, handle));
    } finally {
      if (image != null) {
        lib.heif_image_release(image);
      }
      if (handle != null) {
        lib.heif_image_handle_release(handle);
      }
      lib.heif_context_free(context);
      memory.close();
    }
  }

  /** The ICC profile of the image, or null. */
  private static byte[] profile(LibHeif lib, Pointer handle) {
    int type = lib.heif_image_handle_get_color_profile_type(handle);
    if (type != PROFILE && type != RESTRICTED_PROFILE) {
      return null;
    }
    long size = lib.heif_image_handle_get_raw_color_profile_size(handle).longValue();
    if (size <= 0 || size > Colours.LARGEST) {
      return null;
    }
    try (Memory memory = new Memory(size)) {
      Status.ByValue status = lib.heif_image_handle_get_raw_color_profile(handle, memory);
      return status.code == 0 ? memory.getByteArray(0, (int) size) : null;
    }
  }

  private static BufferedImage pixels(LibHeif lib, Pointer image) throws IOException {
    int w = lib.heif_image_get_width(image, INTERLEAVED_RGB);
    int h = lib.heif_image_get_height(image, INTERLEAVED_RGB);
    IntByReference strideRef = new IntByReference();
    Pointer plane = lib.heif_image_get_plane_readonly(image, INTERLEAVED_RGB, strideRef);
    int stride = strideRef.getValue();
    if (plane == null || w <= 0 || h <= 0 || stride < 3 * w) {
      throw new IOException("no pixels");
    }
    BufferedImage result = Rgb.create(w, h);
    int[] to = Rgb.pixels(result);
    byte[] row = new byte[3 * w];
    for (int y = 0, i = 0; y < h; y++) {
      plane.read((long) y * stride, row, 0, row.length);
      for (int k = 0; k < row.length; k += 3) {
        to[i++] = (row[k] & 0xff) << 16 | (row[k + 1] & 0xff) << 8 | row[k + 2] & 0xff;
      }
    }
    return result;
  }
}

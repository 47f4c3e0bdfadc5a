package meterside.job;

import java.util.regex.Pattern;

/**
 * A photo as it came from the camera: facts only. What is said about it lies in the job.
 *
 * @param id SHA-256 of its bytes
 * @param name original file name
 * @param folder folder of the source, as a path with {@code /}, relative to what was read in
 * @param bytes length of the file
 * @param format kind of file
 * @param extension extension under which the bytes are kept, lower case, without a dot
 * @param width stored width in pixels, 0 if unknown
 * @param height stored height in pixels, 0 if unknown
 * @param orientationTag EXIF Orientation as recorded (any value occurs in real files); 1 if none
 * @param recorded what was recorded about the time
 * @param camera id of the camera ("A")
 * @param exposure exposure as recorded, or null
 * @param position position as recorded, or null
 * @param focal35 focal length in millimetres as for 35 mm film, or null
 * @param sharpness measure of sharpness of the preview, larger is sharper, or null if none
 * @param trouble a sentence if the picture is damaged or can't be shown, else null
 */
public record Photo(
    PhotoId id,
    String name,
    String folder,
    long bytes,
    Format format,
    String extension,
    int width,
    int height,
    int orientationTag,
    Recorded recorded,
    String camera,
    Exposure exposure,
    Position position,
    Double focal35,
    Double sharpness,
    String trouble) {
  private static final Pattern EXTENSION = Pattern.compile("[a-z0-9]{1,8}");

  /**
   * Refuses an extension that would lead out of the folder the bytes are kept in.
   *
   * @throws EditRefused if it is not one to eight small letters or digits
   */
  public Photo {
    requireExtension(extension, name);
  }

  static void requireExtension(String extension, String name) {
    if (extension != null && !EXTENSION.matcher(extension).matches()) {
      throw new EditRefused("photo.extension", name);
    }
  }

  /** The orientation; an illegal tag counts as 1. HEIC pixels are decoded upright already. */
  public Orientation orientation() {
    return format == Format.HEIC ? Orientation.NORMAL : Orientation.of(orientationTag);
  }

  /** Width of the upright picture in pixels. */
  public int uprightWidth() {
    return orientation().swapsSides() ? height : width;
  }

  /** Height of the upright picture in pixels. */
  public int uprightHeight() {
    return orientation().swapsSides() ? width : height;
  }

  /** The name of the file that holds the bytes, within the job's photos folder. */
  public String storedName() {
    return id.hex() + "." + extension;
  }

  /** The same photo seen through another camera id. */
  public Photo withCamera(String other) {
    return new Photo(
        id,
        name,
        folder,
        bytes,
        format,
        extension,
        width,
        height,
        orientationTag,
        recorded,
        other,
        exposure,
        position,
        focal35,
        sharpness,
        trouble);
  }
}

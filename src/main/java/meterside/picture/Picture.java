package meterside.picture;

import java.util.List;
import meterside.job.Code;
import meterside.job.Exposure;
import meterside.job.Format;
import meterside.job.Orientation;
import meterside.job.Position;
import meterside.job.Recorded;

/**
 * A picture with what its file records.
 *
 * @param format kind of file, by its content
 * @param extension extension to keep it under, lower case, without a dot
 * @param width stored width in pixels (of HEIC: upright), 0 if unknown
 * @param height stored height in pixels (of HEIC: upright), 0 if unknown
 * @param orientationTag EXIF Orientation as recorded, any value; 1 if none
 * @param recorded what is recorded about the time, word for word; the file time is null
 * @param exposure exposure as recorded, or null if nothing is
 * @param position position as recorded, or null
 * @param focal35 focal length in millimetres as for 35 mm film, or null
 * @param make maker of the camera as recorded, or null
 * @param model model of the camera as recorded, or null
 * @param serial body serial number as recorded, or null
 * @param sharpness variance of the Laplacian of the preview, see {@link Sharpness}; null if none
 * @param trouble a sentence if the picture is damaged or can't be shown, else null
 * @param damaged whether the trouble lies in the file; false if it is only not shown here
 * @param hasMetadata whether the file records anything at all about its taking
 * @param previewJpeg upright JPEG of at most 1,008 pixels on the long side; null if none
 * @param thumbnailJpeg upright JPEG of at most 256 pixels on the long side; null if none
 * @param look the {@link Look} of the thumbnail, packed; null if there is none
 * @param codes our {@link Codes} that are seen in the preview
 */
@SuppressWarnings("ArrayRecordComponent") // handed over once, compared by nobody
public record Picture(
    Format format,
    String extension,
    int width,
    int height,
    int orientationTag,
    Recorded recorded,
    Exposure exposure,
    Position position,
    Double focal35,
    String make,
    String model,
    String serial,
    Double sharpness,
    String trouble,
    boolean damaged,
    boolean hasMetadata,
    byte[] previewJpeg,
    byte[] thumbnailJpeg,
    byte[] look,
    List<Code> codes)
    implements Reading {

  /** How stored pixels are turned upright; HEIC is decoded upright already. */
  public Orientation orientation() {
    return format == Format.HEIC ? Orientation.NORMAL : Orientation.of(orientationTag);
  }

  /** The same without preview, thumbnail and look, which are large. */
  public Picture withoutPictures() {
    return new Picture(
        format,
        extension,
        width,
        height,
        orientationTag,
        recorded,
        exposure,
        position,
        focal35,
        make,
        model,
        serial,
        sharpness,
        trouble,
        damaged,
        hasMetadata,
        null,
        null,
        null,
        codes);
  }
}

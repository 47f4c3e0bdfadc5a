package meterside.search;

import java.io.IOException;
import java.util.Optional;
import meterside.archive.ArchiveException;
import meterside.archive.JobFolder;
import meterside.job.Photo;
import meterside.picture.Look;
import meterside.picture.Pixels;
import meterside.picture.UnreadablePicture;

/**
 * Looks of a job's photos. An intake keeps them beside the thumbnails; one that is not there, not
 * whole or of an older kind is made again from the thumbnail, the preview or the original, and kept
 * where that is possible.
 */
public final class PhotoLooks {
  private static final int THUMBNAIL = 256;

  private PhotoLooks() {}

  /**
   * The look of a photo, as {@link Look#of} makes it; nothing if the photo can't be shown.
   *
   * @param folder the job that holds it
   */
  public static Optional<float[]> of(JobFolder folder, Photo photo) {
    Optional<float[]> kept = folder.look(photo.id()).flatMap(Look::unpack);
    if (kept.isPresent()) {
      return kept;
    }
    Optional<float[]> made =
        folder
            .thumbnail(photo.id())
            .flatMap(Look::ofJpeg)
            .or(() -> folder.preview(photo.id()).flatMap(Look::ofJpeg))
            .or(() -> fromOriginal(folder, photo));
    made.ifPresent(look -> keep(folder, photo, look));
    return made;
  }

  private static Optional<float[]> fromOriginal(JobFolder folder, Photo photo) {
    if (!folder.originals().has(photo.id(), photo.extension()) || photo.trouble() != null) {
      return Optional.empty();
    }
    try {
      byte[] bytes = folder.originals().bytes(photo);
      return Optional.of(
          Look.of(Pixels.upright(bytes, photo.format(), photo.orientation(), THUMBNAIL)));
    } catch (IOException | UnreadablePicture | ArchiveException e) {
      return Optional.empty(); // what is wrong with the photo is said where it is looked at
    }
  }

  private static void keep(JobFolder folder, Photo photo, float[] look) {
    try {
      folder.keepLook(photo.id(), Look.pack(look));
    } catch (ArchiveException e) {
      // A disk that is full or read-only: it is made again next time.
    }
  }
}

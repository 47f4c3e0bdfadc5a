package meterside.picture;

import java.awt.image.BufferedImage;
import java.util.List;
import java.util.Optional;
import meterside.job.Code;
import meterside.job.Format;
import meterside.job.Orientation;
import meterside.job.Sentences;

/**
 * Reads one file's bytes once: facts, upright preview, thumbnail, look, codes and sharpness from
 * one scaled decode.
 */
public final class PictureReader {
  /** Most pixels on the long side of a preview, unless the picture is smaller. */
  public static final int PREVIEW = 1008;

  /**
   * A quarter of a 4,000 pixel photo is eight pixels short of a preview, and costs half of what a
   * half of it costs: so close is close enough.
   */
  private static final int LEAST_PREVIEW = 1000;

  /** Pixels on the long side of a thumbnail, unless the picture is smaller. */
  public static final int THUMBNAIL = 256;

  private static final float PREVIEW_QUALITY = 0.82f;
  private static final float THUMBNAIL_QUALITY = 0.78f;
  private static final Sentences SENTENCES = Sentences.in(PictureReader.class);

  private PictureReader() {}

  /**
   * What the bytes are. Never throws for bad input; memory and time are bounded (see the package's
   * page).
   *
   * @param bytes the whole file
   * @param name what to call it in a sentence
   */
  public static Reading read(byte[] bytes, String name) {
    if (bytes.length == 0) {
      return new NotAPicture(SENTENCES.say("not.empty", name));
    }
    Optional<Format> format = Signature.of(bytes);
    if (format.isEmpty()) {
      return new NotAPicture(SENTENCES.say("not.picture", name));
    }
    try {
      return switch (format.get()) {
        case JPEG -> jpeg(bytes, name);
        case PNG -> png(bytes, name);
        case TIFF -> tiff(bytes, name);
        case HEIC -> heic(bytes, name);
      };
    } catch (OutOfMemoryError e) {
      // Header and metadata are read within bounds, so this is a heap that is all but full.
      return bare(format.get(), SENTENCES.say("trouble.memory", name));
    }
  }

  private static Reading jpeg(byte[] bytes, String name) {
    JpegWalk walk = JpegWalk.of(bytes);
    Facts facts =
        walk.exifAt() < 0 ? Facts.NONE : Facts.read(bytes, walk.exifAt(), walk.exifLength());
    boolean sized = walk.hasFrame() && walk.width() > 0 && walk.height() > 0;
    if (!sized && !facts.any()) {
      return new NotAPicture(SENTENCES.say("not.inside", name));
    }
    Shown shown;
    if (!sized || !walk.complete()) {
      shown = Shown.trouble(SENTENCES.say("trouble.truncated", name), true);
    } else {
      shown =
          show(
              name, facts.orientationTag(), () -> Pixels.jpeg(bytes, walk, LEAST_PREVIEW, PREVIEW));
    }
    return picture(Format.JPEG, walk.width(), walk.height(), facts, shown);
  }

  private static Reading png(byte[] bytes, String name) {
    PngWalk walk = PngWalk.of(bytes);
    if (!walk.hasHeader()) {
      return new NotAPicture(SENTENCES.say("not.inside", name));
    }
    Facts facts =
        walk.exifAt() < 0 ? Facts.NONE : Facts.read(bytes, walk.exifAt(), walk.exifLength());
    Shown shown;
    if (!walk.whole()) {
      shown = Shown.trouble(SENTENCES.say("trouble.truncated", name), true);
    } else {
      shown =
          show(
              name,
              facts.orientationTag(),
              () ->
                  Pixels.raster(
                      bytes, "png", walk.width(), walk.height(), walk.bytesPerPixel(), PREVIEW));
    }
    return picture(Format.PNG, walk.width(), walk.height(), facts, shown);
  }

  private static Reading tiff(byte[] bytes, String name) {
    Facts facts = Facts.read(bytes, 0, bytes.length);
    if (facts.raw()) {
      return new NotAPicture(SENTENCES.say("not.raw", name));
    }
    if (facts.width() <= 0 || facts.height() <= 0) {
      return new NotAPicture(SENTENCES.say("not.inside", name));
    }
    Shown shown =
        show(
            name,
            facts.orientationTag(),
            () ->
                Pixels.raster(
                    bytes, "tiff", facts.width(), facts.height(), facts.bytesPerPixel(), PREVIEW));
    return picture(Format.TIFF, facts.width(), facts.height(), facts, shown);
  }

  private static Reading heic(byte[] bytes, String name) {
    HeifWalk walk = HeifWalk.of(bytes);
    if (!walk.hasImage()) {
      return new NotAPicture(SENTENCES.say("not.inside", name));
    }
    byte[] exif = walk.exif();
    Facts facts = exif == null ? Facts.NONE : Facts.read(exif, 0, exif.length);
    Shown shown;
    if (!walk.whole()) {
      shown = Shown.trouble(SENTENCES.say("trouble.truncated", name), true);
    } else if (!HeifDecoder.available()) {
      shown = Shown.trouble(SENTENCES.say("trouble.no-heic", name), false);
    } else {
      shown = show(name, 1, () -> Pixels.heic(bytes, PREVIEW, null));
    }
    return picture(Format.HEIC, walk.width(), walk.height(), facts, shown);
  }

  /** Yields the stored picture, at least as large as a preview or in full size. */
  private interface Decoding {
    Pixels.Stored run() throws Exception;
  }

  /** What can be shown of a picture, and what can't. */
  @SuppressWarnings("ArrayRecordComponent")
  private record Shown(
      byte[] preview,
      byte[] thumbnail,
      byte[] look,
      List<Code> codes,
      Double sharpness,
      String trouble,
      boolean damaged) {
    static Shown trouble(String sentence, boolean damaged) {
      return new Shown(null, null, null, List.of(), null, sentence, damaged);
    }
  }

  private static Shown show(String name, int orientationTag, Decoding decoding) {
    try {
      BufferedImage preview = decoding.run().finish(PREVIEW, Orientation.of(orientationTag));
      BufferedImage thumbnail = Rgb.shrink(preview, THUMBNAIL);
      return new Shown(
          Jpegs.encode(preview, PREVIEW_QUALITY),
          Jpegs.encode(thumbnail, THUMBNAIL_QUALITY),
          Look.pack(Look.of(thumbnail)),
          Codes.read(preview),
          Sharpness.of(preview),
          null,
          false);
    } catch (UnreadablePicture e) {
      return Shown.trouble(SENTENCES.say("trouble.kept", name, e.getMessage()), e.damaged());
    } catch (OutOfMemoryError e) {
      return Shown.trouble(SENTENCES.say("trouble.memory", name), true);
    } catch (Exception | StackOverflowError e) {
      // Decoders answer hostile bytes with all sorts of exceptions; each means the same here.
      UnreadablePicture broken = Pixels.broken(e);
      return Shown.trouble(SENTENCES.say("trouble.kept", name, broken.getMessage()), true);
    }
  }

  private static Picture picture(Format format, int width, int height, Facts facts, Shown shown) {
    return new Picture(
        format,
        Signature.extension(format),
        width,
        height,
        facts.orientationTag(),
        facts.recorded(),
        facts.exposure(),
        facts.position(),
        facts.focal35(),
        facts.make(),
        facts.model(),
        facts.serial(),
        shown.sharpness(),
        shown.trouble(),
        shown.damaged(),
        facts.any(),
        shown.preview(),
        shown.thumbnail(),
        shown.look(),
        shown.codes());
  }

  private static Picture bare(Format format, String trouble) {
    return picture(format, 0, 0, Facts.NONE, Shown.trouble(trouble, true));
  }
}

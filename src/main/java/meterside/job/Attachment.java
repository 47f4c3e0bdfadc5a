package meterside.job;

import java.time.Instant;

/**
 * A file that is kept beside the photos: a short video of what moves or makes a sound. It lies
 * among the originals under its hash, is never changed, and is on no stop.
 *
 * @param id SHA-256 of its bytes
 * @param name original file name
 * @param folder folder of the source, as a path with {@code /}
 * @param bytes length of the file
 * @param extension extension under which the bytes are kept, lower case, without a dot
 * @param fileTime when the source file was last modified, or null
 */
public record Attachment(
    PhotoId id, String name, String folder, long bytes, String extension, Instant fileTime) {

  /**
   * Refuses an extension that would lead out of the folder the bytes are kept in.
   *
   * @throws EditRefused if it is not one to eight small letters or digits
   */
  public Attachment {
    Photo.requireExtension(extension, name);
  }

  /** The name of the file that holds the bytes, within the job's photos folder. */
  public String storedName() {
    return id.hex() + "." + extension;
  }
}

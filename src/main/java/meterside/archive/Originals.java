package meterside.archive;

import java.io.IOException;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Pattern;
import meterside.job.Photo;
import meterside.job.PhotoId;

/**
 * The camera's bytes of a job: {@code photos/<sha256>.<ext>}, read-only, never changed. A file
 * comes in under a temporary name beside its own, its length is checked, it is forced, moved to its
 * name in one step, and the folder is forced; so a name leads to the whole photo or to nothing. The
 * source is only ever read.
 *
 * <p>Only the holder of the job's lock keeps photos here. Safe for several threads.
 */
public final class Originals {
  private static final Pattern EXTENSION = Pattern.compile("[a-z0-9]{1,8}");

  private final FileOps ops;
  private final Path folder;

  Originals(FileOps ops, Path folder) {
    this.ops = ops;
    this.folder = folder;
  }

  /** The folder that holds them. */
  public Path folder() {
    return folder;
  }

  /**
   * Keeps a photo for good: when this returns, it outlasts a power cut.
   *
   * @param id SHA-256 of the bytes
   * @param extension lower case, without a dot
   * @return the file
   * @throws DiskFull if there is no room; nothing is left behind
   * @throws IOException if it can't be written for another reason
   */
  public Path keep(PhotoId id, String extension, byte[] bytes) throws IOException {
    try (Batch one = batch()) {
      Path kept = one.keep(id, extension, bytes);
      one.commit();
      return kept;
    }
  }

  /** Starts to keep several photos with one force of the folder. */
  public Batch batch() {
    return new Batch();
  }

  /** The file of a photo, whether it is there or not. */
  public Path path(Photo photo) {
    return path(photo.id(), photo.extension());
  }

  /**
   * The file that holds, or would hold, these bytes.
   *
   * @throws IllegalArgumentException if the extension is not one
   */
  public Path path(PhotoId id, String extension) {
    if (!EXTENSION.matcher(extension).matches()) {
      throw new IllegalArgumentException("not an extension: " + extension);
    }
    return folder.resolve(id.hex() + "." + extension);
  }

  /** The bytes of a photo, as they lie there (use {@link Verify} to have them checked). */
  public byte[] bytes(Photo photo) throws IOException {
    return Files.readAllBytes(path(photo));
  }

  /** Whether a file for this photo is there. */
  public boolean has(PhotoId id, String extension) {
    return Files.isRegularFile(path(id, extension));
  }

  /**
   * Clears away temporary files of an interrupted run. Only for the holder of the lock.
   *
   * @return how many
   */
  int clearTemporaries() throws IOException {
    List<Path> left = new ArrayList<>();
    try (DirectoryStream<Path> files = Files.newDirectoryStream(folder, Durable::isTemporary)) {
      files.forEach(left::add);
    } catch (NoSuchFileException none) {
      return 0;
    }
    for (Path file : left) {
      ops.delete(file);
    }
    return left.size();
  }

  /** Several photos, one force of the folder. */
  public final class Batch implements AutoCloseable {
    private volatile boolean unforced;

    private Batch() {}

    /**
     * Keeps a photo; it lasts for good only after {@link #commit}. A file that is there already is
     * accepted if its length and hash are right, and put right if not.
     *
     * @return the file
     * @throws DiskFull if there is no room; nothing of this photo is left behind
     * @throws IOException if it can't be written for another reason
     */
    public Path keep(PhotoId id, String extension, byte[] bytes) throws IOException {
      Path target = path(id, extension);
      try {
        if (isThere(target, id, bytes.length)) {
          unforced = true; // an earlier run may have ended before its folder was forced
          return target;
        }
        Durable.folder(ops, folder);
        unforced = true;
        Durable.place(ops, target, bytes, true, true);
        return target;
      } catch (IOException e) {
        throw full(e, bytes.length);
      }
    }

    /**
     * As {@link #keep(PhotoId, String, byte[])}, from a file that may be too large to be held in
     * memory.
     *
     * @param source only read; if it is not what was hashed any more, nothing is kept
     * @param length its length in bytes
     * @throws DiskFull if there is no room; nothing of this file is left behind
     * @throws IOException if it can't be written for another reason, or changed meanwhile
     */
    public Path keep(PhotoId id, String extension, Path source, long length) throws IOException {
      Path target = path(id, extension);
      try {
        if (isThere(target, id, length)) {
          unforced = true;
          return target;
        }
        Durable.folder(ops, folder);
        unforced = true;
        Durable.copy(ops, source, target, id.hex(), true);
        return target;
      } catch (IOException e) {
        throw full(e, length);
      }
    }

    /** Forces the folder: from here on the kept photos outlast a power cut. */
    public void commit() throws IOException {
      if (unforced) {
        try {
          ops.forceFolder(folder);
        } catch (IOException e) {
          throw full(e, 0);
        }
        unforced = false;
      }
    }

    /** Ends the batch. What was not committed stays, and may or may not outlast a power cut. */
    @Override
    public void close() {
      unforced = false;
    }

    private IOException full(IOException e, long needed) {
      if (Durable.isFull(ops, folder.getParent(), e, needed)) {
        throw new DiskFull(e, "full.photo", folder.getParent().getFileName());
      }
      return e;
    }
  }

  private static boolean isThere(Path file, PhotoId id, long length) throws IOException {
    if (!Files.isRegularFile(file)) {
      return false;
    }
    if (Files.size(file) == length && Sha256.of(file).equals(id)) {
      return true;
    }
    // Damaged: it will be replaced, and Windows lets nobody replace a read-only file.
    JobFolder.writable(file);
    return false;
  }
}

package meterside.archive;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.ThreadLocalRandom;

/**
 * The one way a whole file comes into the archive: a temporary file beside it, written, its length
 * checked, forced, moved to its name in one step; then the folder is forced. At every moment the
 * name leads to the whole old file, the whole new one, or nothing.
 */
final class Durable {
  private static final String PREFIX = ".";
  private static final String SUFFIX = ".part";

  private Durable() {}

  /** Whether a name is that of a temporary file left by an interrupted write. */
  static boolean isTemporary(Path file) {
    String name = file.getFileName().toString();
    return name.startsWith(PREFIX) && name.endsWith(SUFFIX);
  }

  /**
   * Puts a file in place, all but the folder's force.
   *
   * @param readOnly whether nobody may write to it afterwards
   * @param forced whether its bytes must be on the disk before it gets its name
   */
  static void place(FileOps ops, Path target, byte[] bytes, boolean readOnly, boolean forced)
      throws IOException {
    place(
        ops,
        target,
        part -> {
          ops.write(part, bytes);
          long length = Files.size(part);
          if (length != bytes.length) {
            throw new IOException(
                "wrote " + length + " of " + bytes.length + " bytes of " + target);
          }
        },
        part -> {},
        readOnly,
        forced);
  }

  /**
   * Puts a copy of a file in place, all but the folder's force. What was written is read again and
   * hashed before it gets its name. Takes no more memory for a large file than for a small one.
   *
   * @param hash SHA-256 that it must have
   * @param readOnly whether nobody may write to it afterwards
   * @throws OtherBytes if what was written has another hash; nothing is in place then
   */
  static void copy(FileOps ops, Path source, Path target, String hash, boolean readOnly)
      throws IOException {
    place(
        ops,
        target,
        part -> ops.copy(source, part),
        part -> {
          if (!Sha256.of(part).hex().equals(hash)) {
            throw new OtherBytes(target);
          }
        },
        readOnly,
        true);
  }

  /** What was written is not what should have been. */
  static final class OtherBytes extends IOException {
    private static final long serialVersionUID = 1L;

    OtherBytes(Path file) {
      super("read back otherwise than it should be: " + file.getFileName());
    }
  }

  private interface Step {
    void on(Path part) throws IOException;
  }

  private static void place(
      FileOps ops, Path target, Step write, Step check, boolean readOnly, boolean forced)
      throws IOException {
    String random = Long.toUnsignedString(ThreadLocalRandom.current().nextLong(), 36);
    Path part = target.resolveSibling(PREFIX + target.getFileName() + "." + random + SUFFIX);
    try {
      write.on(part);
      if (forced) {
        ops.force(part);
      }
      check.on(part);
      if (readOnly) {
        ops.readOnly(part);
      }
      ops.move(part, target);
    } catch (IOException e) {
      try {
        ops.delete(part);
      } catch (IOException stays) {
        // The next holder of the job's lock clears it away.
        e.addSuppressed(stays);
      }
      throw e;
    }
  }

  /**
   * Makes a folder and those above it, and forces each name that is new, so that what is forced in
   * the folder later can be found after a power cut.
   */
  static void folder(FileOps ops, Path folder) throws IOException {
    List<Path> fresh = new ArrayList<>();
    for (Path p = folder; p != null && !Files.isDirectory(p); p = p.getParent()) {
      fresh.add(p);
    }
    if (fresh.isEmpty()) {
      return;
    }
    ops.createFolder(folder);
    for (Path p : fresh) {
      ops.forceFolder(p.getParent());
    }
  }

  /** Puts a file in place for good. */
  static void put(FileOps ops, Path target, byte[] bytes) throws IOException {
    place(ops, target, bytes, false, true);
    ops.forceFolder(target.getParent());
  }

  /**
   * Whether a failure means that the disk, the quota or the largest file size is used up. The
   * system's words may come in any language, so the room that is left is looked at too.
   *
   * @param needed bytes that should have been written
   */
  static boolean isFull(FileOps ops, Path where, IOException e, long needed) {
    String words = String.valueOf(e.getMessage()).toLowerCase(Locale.ROOT);
    if (words.contains("no space left")
        || words.contains("quota exceeded")
        || words.contains("not enough space")
        || words.contains("file too large")) {
      return true;
    }
    try {
      return ops.usableSpace(where) < needed;
    } catch (IOException unknown) {
      return false;
    }
  }
}

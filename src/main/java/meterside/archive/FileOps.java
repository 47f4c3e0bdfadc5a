package meterside.archive;

import java.io.Closeable;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;

/**
 * Everything the archive does to files that must last, one small step at a time, so that a test can
 * put a double in its place: a disk that fills up, or one that loses, tears and reorders what was
 * not forced.
 *
 * <p>A step that ends without exception has happened as far as this process can see; it is on the
 * disk for good only after {@link #force} (a file's bytes) and {@link #forceFolder} (names in a
 * folder). Reading needs no double and goes straight to the file system.
 */
public interface FileOps {

  /** The real disk. */
  static FileOps disk() {
    return DiskOps.INSTANCE;
  }

  /** Makes a folder and those above it; it may be there already. */
  void createFolder(Path folder) throws IOException;

  /** Makes a new file with these bytes; fails if it is there. */
  void write(Path newFile, byte[] bytes) throws IOException;

  /**
   * Makes a new file with the bytes of another; fails if it is there. A double that only knows
   * {@link #write} has the whole file in memory for it.
   */
  default void copy(Path from, Path newFile) throws IOException {
    write(newFile, Files.readAllBytes(from));
  }

  /** Forces a file's bytes to the disk. */
  void force(Path file) throws IOException;

  /** Makes a file read-only. */
  void readOnly(Path file) throws IOException;

  /** Renames within one file system, all or nothing; a file of the new name is replaced. */
  void move(Path from, Path to) throws IOException;

  /** Forces the names in a folder to the disk, where the system can. */
  void forceFolder(Path folder) throws IOException;

  /** Deletes a file or an empty folder if it is there. */
  void delete(Path file) throws IOException;

  /** Opens a file to append to it. */
  Appender appender(Path file) throws IOException;

  /** Bytes that may still be written to the disk that holds a file or folder. */
  long usableSpace(Path where) throws IOException;

  /** A file that grows at its end. */
  interface Appender extends Closeable {
    /** Its length in bytes. */
    long size() throws IOException;

    /** Writes all bytes at the end. If it fails, any number of them may have been written. */
    void append(byte[] bytes) throws IOException;

    /** Forces what was appended, and the length, to the disk. */
    void force() throws IOException;

    /** Cuts the file to a length. */
    void truncate(long length) throws IOException;
  }
}

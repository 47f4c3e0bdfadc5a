package meterside.archive;

import java.io.IOException;
import java.nio.file.FileSystemException;
import java.nio.file.Path;
import java.util.Arrays;

/** The real disk with room for only so many bytes: what goes beyond is written in part. */
public final class FullDisk extends RealDisk {
  private long room;

  /** So many bytes fit. */
  public FullDisk(long room) {
    this.room = room;
  }

  /** From here on all fits. */
  public synchronized void makeRoom() {
    room = Long.MAX_VALUE;
  }

  private synchronized byte[] fitting(byte[] bytes) {
    int fits = (int) Math.min(room, bytes.length);
    room -= fits;
    return Arrays.copyOf(bytes, fits);
  }

  private static IOException full(Path file) {
    return new FileSystemException(file.toString(), null, "No space left on device");
  }

  @Override
  public void write(Path newFile, byte[] bytes) throws IOException {
    byte[] part = fitting(bytes);
    super.write(newFile, part);
    if (part.length < bytes.length) {
      throw full(newFile);
    }
  }

  @Override
  public long usableSpace(Path where) {
    return room;
  }

  @Override
  public Appender appender(Path file) throws IOException {
    return new RealAppender(super.appender(file)) {
      @Override
      public void append(byte[] bytes) throws IOException {
        byte[] part = fitting(bytes);
        super.append(part);
        if (part.length < bytes.length) {
          throw full(file);
        }
      }
    };
  }
}

package meterside.archive;

import java.io.IOException;
import java.nio.file.FileSystemException;
import java.nio.file.Path;
import java.util.Arrays;

/**
 * The real disk with room for only so many bytes: what goes beyond is written in part. Nothing is
 * forced, since nothing here is about a power cut and forcing is what takes the time.
 */
final class FullDisk implements FileOps {
  private final FileOps disk = FileOps.disk();
  private long room;

  FullDisk(long room) {
    this.room = room;
  }

  void makeRoom() {
    room = Long.MAX_VALUE;
  }

  private byte[] fitting(byte[] bytes) {
    int fits = (int) Math.min(room, bytes.length);
    room -= fits;
    return Arrays.copyOf(bytes, fits);
  }

  private static IOException full(Path file) {
    return new FileSystemException(file.toString(), null, "No space left on device");
  }

  @Override
  public void createFolder(Path folder) throws IOException {
    disk.createFolder(folder);
  }

  @Override
  public void write(Path newFile, byte[] bytes) throws IOException {
    byte[] part = fitting(bytes);
    disk.write(newFile, part);
    if (part.length < bytes.length) {
      throw full(newFile);
    }
  }

  @Override
  public void force(Path file) {}

  @Override
  public void readOnly(Path file) throws IOException {
    disk.readOnly(file);
  }

  @Override
  public void move(Path from, Path to) throws IOException {
    disk.move(from, to);
  }

  @Override
  public void forceFolder(Path folder) {}

  @Override
  public void delete(Path file) throws IOException {
    disk.delete(file);
  }

  @Override
  public long usableSpace(Path where) {
    return room;
  }

  @Override
  public Appender appender(Path file) throws IOException {
    Appender appender = disk.appender(file);
    return new Appender() {
      @Override
      public long size() throws IOException {
        return appender.size();
      }

      @Override
      public void append(byte[] bytes) throws IOException {
        byte[] part = fitting(bytes);
        appender.append(part);
        if (part.length < bytes.length) {
          throw full(file);
        }
      }

      @Override
      public void force() {}

      @Override
      public void truncate(long length) throws IOException {
        appender.truncate(length);
      }

      @Override
      public void close() throws IOException {
        appender.close();
      }
    };
  }
}

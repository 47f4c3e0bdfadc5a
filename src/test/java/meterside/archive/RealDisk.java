package meterside.archive;

import java.io.IOException;
import java.nio.file.Path;

/** The real disk, but for forcing, which takes time and shows nothing while the power stays on. */
class RealDisk implements FileOps {
  private final FileOps disk = FileOps.disk();

  @Override
  public void createFolder(Path folder) throws IOException {
    disk.createFolder(folder);
  }

  @Override
  public void write(Path newFile, byte[] bytes) throws IOException {
    disk.write(newFile, bytes);
  }

  @Override
  public void force(Path file) throws IOException {}

  @Override
  public void readOnly(Path file) throws IOException {
    disk.readOnly(file);
  }

  @Override
  public void move(Path from, Path to) throws IOException {
    disk.move(from, to);
  }

  @Override
  public void forceFolder(Path folder) throws IOException {}

  @Override
  public void delete(Path file) throws IOException {
    disk.delete(file);
  }

  @Override
  public long usableSpace(Path where) throws IOException {
    return disk.usableSpace(where);
  }

  @Override
  public Appender appender(Path file) throws IOException {
    return new RealAppender(disk.appender(file));
  }

  /** An appender of the real disk that does not force. */
  static class RealAppender implements Appender {
    private final Appender real;

    RealAppender(Appender real) {
      this.real = real;
    }

    @Override
    public long size() throws IOException {
      return real.size();
    }

    @Override
    public void append(byte[] bytes) throws IOException {
      real.append(bytes);
    }

    @Override
    public void force() throws IOException {}

    @Override
    public void truncate(long length) throws IOException {
      real.truncate(length);
    }

    @Override
    public void close() throws IOException {
      real.close();
    }
  }
}

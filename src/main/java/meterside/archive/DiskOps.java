package meterside.archive;

import java.io.IOException;
import java.io.RandomAccessFile;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.AtomicMoveNotSupportedException;
import java.nio.file.FileSystemException;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.DosFileAttributeView;
import java.nio.file.attribute.PosixFileAttributeView;
import java.nio.file.attribute.PosixFilePermission;
import java.util.EnumSet;
import java.util.Locale;
import java.util.Set;

/** {@link FileOps} on the real disk. */
final class DiskOps implements FileOps {
  static final DiskOps INSTANCE = new DiskOps();

  /** Bytes that are copied at once. */
  private static final int PIECE = 1 << 18;

  private DiskOps() {}

  @Override
  public void createFolder(Path folder) throws IOException {
    Files.createDirectories(folder);
  }

  @Override
  public void write(Path newFile, byte[] bytes) throws IOException {
    try (FileChannel out =
        FileChannel.open(newFile, StandardOpenOption.CREATE_NEW, StandardOpenOption.WRITE)) {
      writeAll(out, bytes);
    }
  }

  @Override
  public void copy(Path from, Path newFile) throws IOException {
    try (FileChannel in = FileChannel.open(from, StandardOpenOption.READ);
        FileChannel out =
            FileChannel.open(newFile, StandardOpenOption.CREATE_NEW, StandardOpenOption.WRITE)) {
      ByteBuffer piece = ByteBuffer.allocateDirect(PIECE);
      while (in.read(piece) >= 0) {
        piece.flip();
        while (piece.hasRemaining()) {
          out.write(piece);
        }
        piece.clear();
      }
    }
  }

  @Override
  public void force(Path file) throws IOException {
    try (FileChannel channel = FileChannel.open(file, StandardOpenOption.WRITE)) {
      channel.force(true);
    }
  }

  @Override
  public void readOnly(Path file) throws IOException {
    PosixFileAttributeView posix = Files.getFileAttributeView(file, PosixFileAttributeView.class);
    if (posix != null) {
      Set<PosixFilePermission> may = EnumSet.copyOf(posix.readAttributes().permissions());
      may.remove(PosixFilePermission.OWNER_WRITE);
      may.remove(PosixFilePermission.GROUP_WRITE);
      may.remove(PosixFilePermission.OTHERS_WRITE);
      posix.setPermissions(may);
      return;
    }
    DosFileAttributeView dos = Files.getFileAttributeView(file, DosFileAttributeView.class);
    if (dos != null) {
      dos.setReadOnly(true);
    }
  }

  @Override
  public void move(Path from, Path to) throws IOException {
    try {
      Files.move(from, to, StandardCopyOption.ATOMIC_MOVE);
    } catch (AtomicMoveNotSupportedException e) {
      throw new FileSystemException(from.toString(), to.toString(), "not moved in one step");
    }
  }

  @Override
  public void forceFolder(Path folder) throws IOException {
    try (FileChannel channel = FileChannel.open(folder, StandardOpenOption.READ)) {
      channel.force(true);
    } catch (IOException e) {
      // Windows can't open a folder; there the file system's own log keeps the order of renames.
      if (!System.getProperty("os.name").toLowerCase(Locale.ROOT).startsWith("windows")) {
        throw e;
      }
    }
  }

  @Override
  public void delete(Path file) throws IOException {
    Files.deleteIfExists(file);
  }

  @Override
  public Appender appender(Path file) throws IOException {
    if (!Files.isRegularFile(file)) {
      throw new NoSuchFileException(file.toString());
    }
    // Not a FileChannel: an interrupt of the thread that writes would close it under our hands.
    RandomAccessFile open = new RandomAccessFile(file.toFile(), "rw");
    return new Appender() {
      @Override
      public long size() throws IOException {
        return open.length();
      }

      @Override
      public void append(byte[] bytes) throws IOException {
        open.seek(open.length());
        open.write(bytes);
      }

      @Override
      public void force() throws IOException {
        open.getFD().sync();
      }

      @Override
      public void truncate(long length) throws IOException {
        open.setLength(length);
      }

      @Override
      public void close() throws IOException {
        open.close();
      }
    };
  }

  @Override
  public long usableSpace(Path where) throws IOException {
    return Files.getFileStore(where).getUsableSpace();
  }

  private static void writeAll(FileChannel out, byte[] bytes) throws IOException {
    ByteBuffer left = ByteBuffer.wrap(bytes);
    while (left.hasRemaining()) {
      out.write(left);
    }
  }
}

package meterside.archive;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;

/** The real disk; remembers what was asked of it. */
final class CountingOps implements FileOps {
  private final FileOps disk = FileOps.disk();
  final List<String> steps = new ArrayList<>();
  int forces;
  int folderForces;

  void reset() {
    steps.clear();
    forces = 0;
    folderForces = 0;
  }

  @Override
  public void createFolder(Path folder) throws IOException {
    steps.add("createFolder");
    disk.createFolder(folder);
  }

  @Override
  public void write(Path newFile, byte[] bytes) throws IOException {
    steps.add("write");
    disk.write(newFile, bytes);
  }

  @Override
  public void force(Path file) throws IOException {
    steps.add("force");
    forces++;
    disk.force(file);
  }

  @Override
  public void readOnly(Path file) throws IOException {
    steps.add("readOnly");
    disk.readOnly(file);
  }

  @Override
  public void move(Path from, Path to) throws IOException {
    steps.add("move");
    disk.move(from, to);
  }

  @Override
  public void forceFolder(Path folder) throws IOException {
    steps.add("forceFolder");
    folderForces++;
    disk.forceFolder(folder);
  }

  @Override
  public void delete(Path file) throws IOException {
    steps.add("delete");
    disk.delete(file);
  }

  @Override
  public Appender appender(Path file) throws IOException {
    return disk.appender(file);
  }

  @Override
  public long usableSpace(Path where) throws IOException {
    return disk.usableSpace(where);
  }
}

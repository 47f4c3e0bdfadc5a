package meterside.archive;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;

/** The real disk; remembers what was asked of it. */
final class CountingOps extends RealDisk {
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
    super.createFolder(folder);
  }

  @Override
  public void write(Path newFile, byte[] bytes) throws IOException {
    steps.add("write");
    super.write(newFile, bytes);
  }

  @Override
  public void force(Path file) {
    steps.add("force");
    forces++;
  }

  @Override
  public void readOnly(Path file) throws IOException {
    steps.add("readOnly");
    super.readOnly(file);
  }

  @Override
  public void move(Path from, Path to) throws IOException {
    steps.add("move");
    super.move(from, to);
  }

  @Override
  public void forceFolder(Path folder) {
    steps.add("forceFolder");
    folderForces++;
  }
}

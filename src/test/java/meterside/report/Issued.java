package meterside.report;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.TreeMap;
import java.util.stream.Stream;

/** Reports of the three test houses, each written once for all tests, under {@code target}. */
record Issued(TestHouse house, Path dir, ReportFiles files) {
  private static Issued full;
  private static Issued empty;
  private static Issued hostile;
  private static Issued limits;

  static synchronized Issued full() {
    if (full == null) {
      full = write("full", TestHouse.full(fresh("full-archive")), false, false);
    }
    return full;
  }

  static synchronized Issued empty() {
    if (empty == null) {
      empty = write("empty", TestHouse.empty(fresh("empty-archive")), true, false);
    }
    return empty;
  }

  static synchronized Issued hostile() {
    if (hostile == null) {
      hostile = write("hostile", TestHouse.hostile(fresh("hostile-archive")), true, true);
    }
    return hostile;
  }

  static synchronized Issued limits() {
    if (limits == null) {
      limits = write("limits", TestHouse.limits(fresh("limits-archive")), false, false);
    }
    return limits;
  }

  static Issued write(String name, TestHouse house, boolean draft, boolean keepLocation) {
    Path dir = fresh(name);
    return new Issued(house, dir, house.report(dir, draft, keepLocation));
  }

  Path file(String name) {
    return dir.resolve(name);
  }

  String text(String name) {
    try {
      return Files.readString(file(name));
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  byte[] bytes(String name) {
    try {
      return Files.readAllBytes(file(name));
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  /** Every file that lies in the folder, by name. */
  TreeMap<String, byte[]> all() {
    TreeMap<String, byte[]> out = new TreeMap<>();
    try (Stream<Path> files = Files.walk(dir)) {
      for (Path f : files.filter(Files::isRegularFile).toList()) {
        out.put(dir.relativize(f).toString().replace('\\', '/'), Files.readAllBytes(f));
      }
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
    return out;
  }

  /** An empty folder under {@code target/test-reports}. */
  static Path fresh(String name) {
    Path dir = Path.of("target", "test-reports", name);
    try {
      if (Files.exists(dir)) {
        try (Stream<Path> old = Files.walk(dir)) {
          for (Path p : old.sorted(java.util.Comparator.reverseOrder()).toList()) {
            p.toFile().setWritable(true);
            Files.delete(p);
          }
        }
      }
      return Files.createDirectories(dir);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}

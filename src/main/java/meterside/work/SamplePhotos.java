package meterside.work;

import java.io.IOException;
import java.net.URI;
import java.net.URISyntaxException;
import java.nio.file.FileSystem;
import java.nio.file.FileSystems;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;
import java.util.stream.Stream;

/**
 * The sample house's photos: packed as a jar in the program's {@code lib} folder, or in {@code
 * sample-photos} of a checkout that was not packaged.
 */
final class SamplePhotos implements AutoCloseable {
  private static final String JAR = "meterside-sample-photos.jar";
  private final FileSystem jar;
  private final Path root;

  private SamplePhotos(FileSystem jar, Path root) {
    this.jar = jar;
    this.root = root;
  }

  /**
   * Finds them.
   *
   * @throws NotDone if they are not there
   */
  static SamplePhotos open() {
    Path code = codeFolder();
    // A checkout, with its classes in target/classes, comes before a jar that may be older.
    Path checkout = code.resolveSibling("..").resolve("sample-photos").normalize();
    if (Files.isRegularFile(checkout.resolve("truth.json"))) {
      return new SamplePhotos(null, checkout);
    }
    Path lib = code.resolve("lib").resolve(JAR);
    if (Files.isRegularFile(lib)) {
      try {
        FileSystem zip = FileSystems.newFileSystem(URI.create("jar:" + lib.toUri()), Map.of());
        return new SamplePhotos(zip, zip.getPath("/"));
      } catch (IOException e) {
        throw new NotDone(NotDone.NOT_NOW, "sample.unreadable", lib);
      }
    }
    throw new NotDone(NotDone.NOT_NOW, "sample.missing", code);
  }

  private static Path codeFolder() {
    try {
      Path code =
          Path.of(SamplePhotos.class.getProtectionDomain().getCodeSource().getLocation().toURI());
      return Files.isDirectory(code) ? code : code.getParent();
    } catch (URISyntaxException e) {
      throw new IllegalStateException(e);
    }
  }

  /** A file of the collection, as bytes. */
  byte[] read(String name) throws IOException {
    return Files.readAllBytes(root.resolve(name));
  }

  /** Copies a folder of the collection with all it holds. */
  void copy(String folder, Path to) throws IOException {
    Path from = root.resolve(folder);
    try (Stream<Path> walk = Files.walk(from)) {
      for (Path file : walk.filter(Files::isRegularFile).sorted().toList()) {
        Path target = to.resolve(from.relativize(file).toString());
        Files.createDirectories(target.getParent());
        Files.copy(file, target);
      }
    }
  }

  @Override
  public void close() throws IOException {
    if (jar != null) {
      jar.close();
    }
  }
}

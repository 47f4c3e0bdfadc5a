package meterside.picture;

import static org.junit.jupiter.api.Assumptions.assumeTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;

/** The public files that tests read where they are at hand. */
final class SharedData {
  private SharedData() {}

  /** The folder, or the test is skipped and says why. */
  static Path dir() {
    Path dir = Path.of(System.getProperty("meterside.data", "../shared/data"));
    assumeTrue(
        Files.isDirectory(dir.resolve("expected-exiftool")),
        "the shared test data are not at hand (-Dmeterside.data=FOLDER)");
    return dir;
  }

  static byte[] bytes(String relative) {
    try {
      return Files.readAllBytes(dir().resolve(relative));
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  /** Every regular file, in path order. */
  static List<Path> files() {
    try (Stream<Path> all = Files.walk(dir())) {
      return all.filter(Files::isRegularFile).sorted().toList();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  /** What exiftool 12.57 reads, one entry for each file. */
  static List<JsonNode> expected() {
    List<JsonNode> out = new ArrayList<>();
    try (Stream<Path> lists = Files.list(dir().resolve("expected-exiftool"))) {
      for (Path list : lists.sorted().toList()) {
        new ObjectMapper().readTree(list.toFile()).forEach(out::add);
      }
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
    return out;
  }
}

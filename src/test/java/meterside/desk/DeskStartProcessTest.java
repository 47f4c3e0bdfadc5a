package meterside.desk;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import javax.imageio.ImageIO;
import org.junit.jupiter.api.Assumptions;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Starts the real program without a display. */
@Tag("process")
class DeskStartProcessTest {
  @TempDir Path temporary;

  private record Ended(int exit, List<String> out, List<String> err) {}

  @Test
  void withoutADisplayTheDeskSaysSoInOneSentence() throws Exception {
    Ended e = run(List.of());
    assertEquals(2, e.exit(), e.toString());
    assertEquals(List.of(), e.out());
    assertEquals(1, e.err().size(), e.toString());
    assertTrue(e.err().get(0).startsWith("No display answers"), e.toString());
    assertFalse(Files.exists(temporary.resolve("archive")), "nothing was made");
  }

  @Test
  void withoutADisplayTheSampleJobIsDoneAndThePictureOfTheWindowIsSaved() throws Exception {
    Assumptions.assumeTrue(
        Files.isRegularFile(Path.of("sample-photos", "demo.json")),
        "the sample house's photos are not here");
    Path run = temporary.resolve("sample-run");
    Ended e = run(List.of("-Dmeterside.sample.run=" + run));
    assertEquals(0, e.exit(), e.toString());
    assertTrue(e.out().get(0).startsWith("No display answers"), e.toString());
    assertTrue(Files.size(run.resolve("report").resolve("report.pdf")) > 1000);
    Assumptions.assumeTrue(
        Files.exists(run.resolve("window.png")),
        "pictures of the window need freetype, pango, fontconfig and a font from the system");
    assertEquals(1440, ImageIO.read(run.resolve("window.png").toFile()).getWidth());
    Ended again = run(List.of("-Dmeterside.sample.run=" + run));
    assertEquals(0, again.exit(), again.toString());
  }

  private Ended run(List<String> options) throws IOException, InterruptedException {
    List<String> command = new ArrayList<>();
    command.add(Path.of(System.getProperty("java.home"), "bin", "java").toString());
    command.add("-Djava.awt.headless=true");
    if (Runtime.version().feature() >= 22) {
      command.add("--enable-native-access=ALL-UNNAMED");
    }
    command.addAll(options);
    command.addAll(List.of("-cp", System.getProperty("java.class.path"), "meterside.Meterside"));
    ProcessBuilder builder = new ProcessBuilder(command);
    builder.environment().remove("DISPLAY");
    builder.environment().put("METERSIDE_HOME", temporary.resolve("home").toString());
    builder.environment().put("METERSIDE_ARCHIVE", temporary.resolve("archive").toString());
    Path out = temporary.resolve("out.txt");
    Path err = temporary.resolve("err.txt");
    builder.redirectOutput(out.toFile()).redirectError(err.toFile());
    Process process = builder.start();
    assertTrue(process.waitFor(300, TimeUnit.SECONDS));
    return new Ended(process.exitValue(), lines(out), lines(err));
  }

  private static List<String> lines(Path file) throws IOException {
    return Files.readAllLines(file, StandardCharsets.UTF_8).stream()
        .filter(l -> !l.startsWith("SLF4J"))
        .toList();
  }
}

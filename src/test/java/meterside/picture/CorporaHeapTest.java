package meterside.picture;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/** Every file of the shared data in one process of its own whose heap is 512 MB. */
@Tag("process")
class CorporaHeapTest {

  /** The process: reads every file it is given a list of, and says what became of each. */
  static final class Reader {
    private Reader() {}

    /** A file with one path in each line. */
    public static void main(String[] args) throws Exception {
      for (String path : Files.readAllLines(Path.of(args[0]))) {
        Path file = Path.of(path);
        Reading r = PictureReader.read(Files.readAllBytes(file), file.getFileName().toString());
        System.out.println(r instanceof Picture ? "PICTURE" : "SENTENCE");
      }
      System.out.println("HEAP " + (Runtime.getRuntime().maxMemory() >> 20));
      System.exit(0);
    }
  }

  @Test
  void everyFileEndsAsAPictureOrASentenceUnderAHeapOf512Megabytes() throws Exception {
    List<Path> files = SharedData.files();
    Path list = Files.createTempFile("corpora", ".txt");
    Path out = Files.createTempFile("corpora", ".out");
    try {
      Files.write(list, files.stream().map(p -> p.toAbsolutePath().toString()).toList());
      long begun = System.nanoTime();
      Process process =
          new ProcessBuilder(
                  Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                  "-Xmx512m",
                  "-Djava.awt.headless=true",
                  "-cp",
                  System.getProperty("java.class.path"),
                  Reader.class.getName(),
                  list.toString())
              .redirectErrorStream(true)
              .redirectOutput(out.toFile())
              .start();
      assertTrue(process.waitFor(15, TimeUnit.MINUTES), "still reading");
      String said = Files.readString(out, StandardCharsets.UTF_8);
      assertEquals(0, process.exitValue(), said);
      long pictures = said.lines().filter("PICTURE"::equals).count();
      long sentences = said.lines().filter("SENTENCE"::equals).count();
      assertEquals(files.size(), pictures + sentences, said);
      assertTrue(pictures > 100, pictures + " pictures");
      System.out.println(
          files.size()
              + " files under 512 MB: "
              + pictures
              + " pictures, "
              + sentences
              + " sentences, "
              + TimeUnit.NANOSECONDS.toSeconds(System.nanoTime() - begun)
              + " s; "
              + said.lines().filter(l -> l.startsWith("HEAP")).findFirst().orElse(""));
    } finally {
      Files.delete(list);
      Files.delete(out);
    }
  }
}

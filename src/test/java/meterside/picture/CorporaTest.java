package meterside.picture;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.TreeMap;
import org.junit.jupiter.api.Test;

/**
 * Every file of the shared data, whatever it is: pictures of real cameras, corrupt ones, fuzz
 * inputs, texts. Each must end as a picture or as a sentence, soon.
 */
class CorporaTest {
  /** Far above what any of them takes here, far below what a user would wait for one file. */
  private static final long MOST_MILLIS = 10_000;

  @Test
  void everyFileEndsAsAPictureOrASentenceInTime() throws IOException {
    List<String> wrong = new ArrayList<>();
    TreeMap<String, Integer> counts = new TreeMap<>();
    long slowest = 0;
    Path slow = null;
    for (Path file : SharedData.files()) {
      byte[] bytes = Files.readAllBytes(file);
      long start = System.nanoTime();
      Reading reading = PictureReader.read(bytes, file.getFileName().toString());
      long millis = (System.nanoTime() - start) / 1_000_000;
      if (millis > slowest) {
        slowest = millis;
        slow = file.getFileName();
      }
      if (millis > MOST_MILLIS) {
        wrong.add(file + " took " + millis + " ms");
      }
      String sentence = null;
      if (reading instanceof NotAPicture not) {
        sentence = not.sentence();
        counts.merge("no picture", 1, Integer::sum);
      } else if (reading instanceof Picture p) {
        sentence = p.trouble();
        counts.merge(
            p.format() + (p.trouble() == null ? "" : p.damaged() ? " damaged" : " not shown"),
            1,
            Integer::sum);
        if ((p.trouble() == null) != (p.previewJpeg() != null)) {
          wrong.add(file + ": a preview or a sentence, one of both");
        }
      }
      if (sentence != null && !sentence.contains(file.getFileName().toString())) {
        wrong.add(file + ": the sentence does not name it: " + sentence);
      }
    }
    System.out.println(counts + ", slowest " + slowest + " ms: " + slow);
    assertEquals(List.of(), wrong);
    assertTrue(counts.get("JPEG") > 100, counts.toString());
  }

  @Test
  void nothingIsWrittenForAUserToSeeWhileReadingCorruptFiles() throws IOException {
    java.io.PrintStream err = System.err;
    java.io.ByteArrayOutputStream said = new java.io.ByteArrayOutputStream();
    System.setErr(new java.io.PrintStream(said, true));
    try {
      for (Path file : SharedData.files()) {
        if (file.toString().contains("corrupt") || file.toString().contains("fuzz")) {
          PictureReader.read(Files.readAllBytes(file), file.getFileName().toString());
        }
      }
    } finally {
      System.setErr(err);
    }
    assertFalse(said.toString().contains("Exception"), said.toString());
  }
}

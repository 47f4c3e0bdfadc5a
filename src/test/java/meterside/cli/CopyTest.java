package meterside.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.util.stream.Stream;
import meterside.TestPhotos;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The second copy from the command line, and when a card may be wiped. */
class CopyTest {
  @TempDir Path tmp;

  @Test
  void aCardMayBeWipedOnlyWhenArchiveAndCopyBothHoldAllOfItRightly() throws IOException {
    Path root = tmp.resolve("archive");
    Path card = Files.createDirectories(tmp.resolve("card"));
    Path copy = tmp.resolve("copy");
    Line line = new Line(root);
    LocalDateTime t = LocalDateTime.of(2026, 5, 12, 10, 0);
    for (int i = 0; i < 3; i++) {
      TestPhotos.photo(i).at(t.plusMinutes(i)).write(card.resolve("IMG_000" + i + ".jpg"));
    }
    Files.writeString(card.resolve("notes.txt"), "no photo");
    line.json("new", "j", "--site", "x", "--date", "2026-05-12", "--zone", "America/New_York");
    line.json("intake", "j", card.toString());

    JsonNode done = line.json("copy", copy.toString(), "--card", card.toString());
    assertTrue(done.path("whole").asBoolean());
    assertEquals(1, done.path("jobs").asInt());
    assertTrue(done.path("card").path("mayBeWiped").asBoolean(), done.toString());
    assertEquals(3, done.path("card").path("kept").asInt());
    assertEquals(1, done.path("card").path("others").asInt());

    // One byte of the copy is wrong: lengths don't show it, reading the card's photos through does.
    Path there;
    try (Stream<Path> files = Files.list(copy.resolve("jobs/j/photos"))) {
      there = files.sorted().findFirst().orElseThrow();
    }
    byte[] bytes = Files.readAllBytes(there);
    bytes[bytes.length / 2] ^= 1;
    assertTrue(there.toFile().setWritable(true));
    Files.write(there, bytes);
    JsonNode wrong = line.json("copy", copy.toString(), "--card", card.toString());
    assertFalse(wrong.path("card").path("mayBeWiped").asBoolean());
    assertEquals(1, wrong.path("card").path("missing").size());
    JsonNode right = line.json("copy", copy.toString(), "--full", "--card", card.toString());
    assertTrue(right.path("card").path("mayBeWiped").asBoolean());

    // A photo that was never taken in.
    TestPhotos.photo(7).at(t.plusHours(1)).write(card.resolve("IMG_0007.jpg"));
    JsonNode more = line.json("copy", copy.toString(), "--card", card.toString());
    assertFalse(more.path("card").path("mayBeWiped").asBoolean());
    assertEquals("IMG_0007.jpg", more.path("card").path("missing").get(0).asText());
  }

  @Test
  void aPlaceInTheArchiveOrNoPlaceIsWrongUseAndDamageIsExitThree() throws IOException {
    Path root = tmp.resolve("archive");
    Line line = new Line(root);
    line.json("new", "j", "--site", "x", "--date", "2026-05-12", "--zone", "America/New_York");
    assertEquals(2, line.run("copy", root.resolve("jobs/in").toString()).exit());
    assertEquals(2, line.run("copy").exit());
    Path journal = root.resolve("jobs/j/journal.jsonl");
    byte[] bytes = Files.readAllBytes(journal);
    bytes[30] ^= 1;
    Files.write(journal, bytes);
    assertEquals(3, line.run("copy", tmp.resolve("copy").toString()).exit());
  }

  @Test
  void aCopyOpensAsAnArchiveAndSaysWhatItIs() {
    Path root = tmp.resolve("archive");
    Line line = new Line(root);
    line.json("new", "j", "--site", "x", "--date", "2026-05-12", "--zone", "America/New_York");
    Path copy = tmp.resolve("copy");
    line.json("copy", copy.toString());
    Line there = new Line(copy);
    assertEquals(0, there.run("verify").exit());
    Line.Ran set = there.run("set", "j", "--fact", "client=K. Ostrow");
    assertEquals(0, set.exit());
    assertTrue(set.err().contains("second copy"), set.err());
    assertEquals(3, line.run("copy", copy.toString()).exit(), "the copy was changed by itself");
  }
}

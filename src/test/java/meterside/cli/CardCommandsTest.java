package meterside.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.util.stream.Stream;
import meterside.TestPhotos;
import meterside.TestVideos;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Cards, photos that belong elsewhere and codes, from the command line. */
class CardCommandsTest {
  private static final LocalDateTime START = LocalDateTime.of(2026, 5, 12, 9, 0);

  @TempDir Path tmp;
  private Path card;
  private Line line;

  @BeforeEach
  void aCardOfTwoHouses() throws Exception {
    card = tmp.resolve("CARD 7");
    Path dir = card.resolve("DCIM").resolve("100HOUSE");
    for (int i = 0; i < 10; i++) {
      LocalDateTime t = START.plusHours(i < 6 ? 0 : 4).plusSeconds(20L * i);
      TestPhotos.photo(i)
          .at(t)
          .light(i % 6 < 3 ? 14 : 5)
          .write(dir.resolve("IMG_010" + i + ".jpg"));
    }
    TestVideos.write(3, dir.resolve("IMG_0107_1.MP4"));
    line = new Line(tmp.resolve("archive"));
    for (String job : new String[] {"wren", "mill"}) {
      line.json("new", job, "--site", job, "--date", "2026-05-12", "--zone", "America/New_York");
    }
  }

  private String group(String job, int number) {
    return line.json("intake", job, card.toString(), "--group", "" + number).toString();
  }

  @Test
  void splitShowsGroupsAndChangesNothingAndNeedsNoArchive() {
    Line nowhere = new Line(tmp.resolve("no archive"));
    JsonNode split = nowhere.json("split", card.toString(), "--zone", "America/New_York");
    assertEquals(2, split.path("groups").size());
    JsonNode first = split.path("groups").get(0);
    assertEquals(6, first.path("photos").asInt());
    assertEquals("2026-05-12", first.path("day").asText());
    assertEquals("DCIM/100HOUSE/IMG_0100.jpg", first.path("files").get(0).asText());
    assertEquals(
        "DCIM/100HOUSE/IMG_0107_1.MP4", split.path("groups").get(1).path("videos").get(0).asText());
    assertFalse(Files.exists(tmp.resolve("no archive")));
    assertEquals(2, nowhere.run("split").exit());
    Line.Ran text = nowhere.run("split", card.toString());
    assertEquals(0, text.exit());
    assertTrue(text.err().contains("zone"), "an assumed zone is said: " + text.err());
  }

  @Test
  void aGroupIsTakenInAsTheCardHasItAndTheNextSplitSaysSo() {
    assertTrue(group("wren", 1).contains("\"taken\":6"));
    JsonNode mill = line.json("intake", "mill", card.toString(), "--group", "2");
    assertEquals(4, mill.path("taken").asInt());
    assertEquals(1, mill.path("videos").asInt());
    JsonNode split = line.json("split", card.toString(), "--zone", "America/New_York");
    assertEquals(6, split.path("groups").get(0).path("kept").asInt());
    assertEquals("wren", split.path("groups").get(0).path("keptIn").asText());
    assertEquals("mill", split.path("groups").get(1).path("keptIn").asText());
    Line.Ran none = line.run("intake", "mill", card.toString(), "--group", "9");
    assertEquals(2, none.exit());
    assertTrue(none.err().contains("no group 9"), none.err());
    assertTrue(line.run("show", "mill").out().contains("IMG_0107_1.MP4"));
  }

  @Test
  void whatIsWithdrawnLeavesItsRecordAndComesBackOnlyIfInsisted() throws Exception {
    line.json("intake", "wren", card.toString());
    assertEquals(2, line.run("withdraw", "wren", "IMG_0103.jpg").exit(), "a reason is needed");
    assertEquals(
        2, line.run("withdraw", "wren", "IMG_9.jpg", "--reason", "x").exit(), "no such photo");
    JsonNode away =
        line.json(
            "withdraw", "wren", "IMG_0103.jpg", "IMG_0107_1.MP4", "--reason", "the neighbor's");
    assertEquals(2, away.path("withdrawn").asInt());
    assertEquals(9, away.path("photos").asInt());
    assertTrue(line.run("history", "wren").out().contains("the neighbor's"));
    Line.Ran again = line.run("intake", "wren", card.toString());
    assertEquals(0, again.exit());
    assertTrue(again.out().contains("was withdrawn from this job by"), again.out());
    assertTrue(again.out().contains("the neighbor's"), again.out());
    JsonNode insisted = line.json("intake", "wren", card.toString(), "--also");
    assertEquals(1, insisted.path("taken").asInt());
    assertEquals(1, insisted.path("videos").asInt());
    assertEquals(0, line.run("verify", "wren").exit());
  }

  @Test
  void photosMoveToTheJobTheyBelongTo() throws Exception {
    line.json("intake", "wren", card.toString());
    assertEquals(
        2, line.run("withdraw", "wren", "IMG_0108.jpg", "--reason", "x", "--to", "none").exit());
    JsonNode moved =
        line.json(
            "withdraw", "wren", "IMG_0108.jpg", "IMG_0109.jpg", "--reason", "x", "--to", "mill");
    assertEquals("mill", moved.path("movedTo").asText());
    assertEquals(2, line.json("show", "mill").path("photos").asInt());
    assertEquals(8, line.json("show", "wren").path("photos").asInt());
    assertEquals(0, line.run("verify").exit());
    try (Stream<Path> files = Files.list(tmp.resolve("archive/jobs/mill/photos"))) {
      assertEquals(2, files.count());
    }
  }

  @Test
  void aHeldJobLetsNothingBeWithdrawn() {
    line.json("intake", "wren", card.toString());
    line.json("keep", "wren", "--hold", "a letter of May 20");
    Line.Ran refused = line.run("withdraw", "wren", "IMG_0103.jpg", "--reason", "x");
    assertFalse(refused.exit() == 0);
    assertTrue(refused.err().contains("a letter of May 20"), refused.err());
    assertEquals(10, line.json("show", "wren").path("photos").asInt());
  }

  @Test
  void theSourceAndThePhotographerAreSaidAndRecorded() throws Exception {
    line.json("intake", "wren", card.toString(), "--source", "synced-folder");
    assertEquals(2, line.run("intake", "wren", card.toString(), "--source", "moon").exit());
    line.json("set", "wren", "--photographer", "A=J. Ostrow");
    assertEquals(2, line.run("set", "wren", "--photographer", "Q=J. Ostrow").exit());
    String journal = Files.readString(tmp.resolve("archive/jobs/wren/journal.jsonl"));
    assertTrue(journal.contains("\"kind\":\"synced-folder\""));
    assertTrue(journal.contains("\"maybeReencoded\":true"));
    assertTrue(journal.contains("\"photographer\":\"J. Ostrow\""));
  }

  @Test
  void codesAreWrittenAsPdfOnly() throws Exception {
    Path pdf = tmp.resolve("codes.pdf");
    JsonNode codes = line.json("codes", "-o", pdf.toString(), "--job", "wren", "--job", "next");
    assertEquals(2, codes.path("jobs").asInt());
    assertEquals("%PDF", new String(Files.readAllBytes(pdf), 0, 4, StandardCharsets.ISO_8859_1));
    assertEquals(2, line.run("codes", "-o", tmp.resolve("codes.txt").toString()).exit());
    assertEquals(2, line.run("codes", "-o", pdf.toString(), "--route", "sideways").exit());
  }
}

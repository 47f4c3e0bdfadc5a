package meterside.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** {@code similar} on the command line: from a finding, from a photo, and what it refuses. */
class SimilarLineTest {
  private static final Path PHOTOS = Path.of("sample-photos", "wren-hollow-18", "phone");

  @TempDir Path temporary;
  private Line line;

  @BeforeEach
  void jobs() {
    line = new Line(temporary.resolve("archive"));
    job("2024-05-01-fen");
    job("2025-06-02-lark");
    job("2026-07-03-moss");
    finding(
        "2024-05-01-fen", "meter-and-base", "meter-base", "Meter can rusted through at the hub");
    finding("2024-05-01-fen", "panelboard", "breaker", "Two wires on one breaker");
    finding("2025-06-02-lark", "panelboard", "breaker", "Double tap on the dryer's breaker");
    finding("2025-06-02-lark", "alarms", "smoke-alarm", "Smoke detectors beyond their date");
    finding("2026-07-03-moss", "meter-and-base", "meter-base", "Meter socket rusty at its hub");
    finding("2026-07-03-moss", "panelboard", "breaker", "Double lug at a breaker");
  }

  private void job(String name) {
    line.json("new", name, "--site", name, "--date", name.substring(0, 10), "--zone", "UTC");
  }

  private void finding(String job, String stop, String part, String seen) {
    line.json(
        "finding",
        job,
        "--stop",
        stop,
        "--part",
        part,
        "--kind",
        "needs-correction",
        "--seen",
        seen);
  }

  @Test
  void aFindingFindsTheSameDefectOfOtherHousesInOtherWords() {
    JsonNode hits = line.json("similar", "2026-07-03-moss", "--finding", "1").get("hits");
    assertEquals("2024-05-01-fen", hits.get(0).get("job").asText());
    assertEquals("Meter can rusted through at the hub", hits.get(0).get("text").asText());
    assertTrue(hits.get(0).get("samePart").asBoolean());
    assertTrue(hits.get(0).get("shared").toString().contains("meter socket"), hits.toString());
    assertTrue(hits.get(0).get("because").asText().contains("meter socket, hub"), hits.toString());
    for (JsonNode h : hits) {
      assertTrue(!h.get("job").asText().equals("2026-07-03-moss"), "of other jobs only");
    }

    JsonNode taps = line.json("similar", "2026-07-03-moss", "--finding", "F2").get("hits");
    assertEquals(2, taps.size(), taps.toString());
    for (JsonNode h : taps) {
      assertTrue(h.get("parts").toString().contains("breaker"), taps.toString());
    }
    JsonNode one =
        line.json("similar", "2026-07-03-moss", "--finding", "2", "--limit", "1").get("hits");
    assertEquals(1, one.size());
    String said = line.run("similar", "2026-07-03-moss", "--finding", "1").out();
    assertTrue(said.contains("Meter can rusted through at the hub"), said);
  }

  @Test
  void aPhotoFindsTheLookAlikeOfAnotherHouse() {
    assumeTrue(Files.isDirectory(PHOTOS), "the sample photos are not here");
    // The same plate in two jobs, and another scene beside it; each marked in the older job.
    for (String photo : new String[] {"IMG_0448.jpg", "IMG_0456.jpg"}) {
      line.json("intake", "2025-06-02-lark", PHOTOS.resolve(photo).toString());
      line.json("callout", "2025-06-02-lark", photo, "--part", "cover-plate", "--at", "0.5,0.5");
    }
    line.json("intake", "2026-07-03-moss", "--also", PHOTOS.resolve("IMG_0448.jpg").toString());
    JsonNode hits = line.json("similar", "2026-07-03-moss", "--photo", "IMG_0448.jpg").get("hits");
    assertEquals("IMG_0448.jpg", hits.get(0).get("photo").asText());
    assertEquals("2025-06-02-lark", hits.get(0).get("job").asText());
    assertEquals(1.0, hits.get(0).get("look").asDouble(), 1e-9);
    assertTrue(hits.get(0).get("because").asText().contains("look"), hits.toString());
  }

  @Test
  void whatIsNotThereIsRefused() {
    Line.Ran none = line.run("similar", "2026-07-03-moss", "--finding", "9");
    assertEquals(2, none.exit());
    assertTrue(none.err().contains("F9"), none.err());
    assertEquals(2, line.run("similar", "2026-07-03-moss", "--photo", "IMG_9.jpg").exit());
    assertEquals(2, line.run("similar", "2026-07-03-moss").exit());
  }
}

package meterside.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Measuring, spots and views on the command line, on photos of the sample house. Where things lie
 * on them, and how long they are, is what sample-photos/truth.json says.
 */
class MeasureCommandTest {
  private static final Path PHOTOS = Path.of("sample-photos", "wren-hollow-18", "phone");

  /** Ends of the scorched plate on IMG_0448, 4.5 in apart. */
  private static final String PLATE = "0.50115,0.39791,0.49537,0.6467";

  @TempDir Path temporary;
  private Line line;

  @BeforeEach
  void job() {
    assumeTrue(Files.isDirectory(PHOTOS), "the sample photos are not here");
    line = new Line(temporary.resolve("archive"));
    line.json("new", "one", "--site", "x", "--date", "2026-05-12", "--zone", "UTC");
    line.json(
        "intake",
        "one",
        PHOTOS.resolve("IMG_0448.jpg").toString(),
        PHOTOS.resolve("IMG_0456.jpg").toString());
  }

  @Test
  void aLengthIsMeasuredWithItsBandAndUndone() {
    JsonNode m =
        line.json(
            "measure",
            "one",
            "IMG_0448.jpg",
            "--by",
            "plate-1-gang-height",
            "--known",
            PLATE,
            "--from",
            "0.50115,0.39791",
            "--to",
            "0.49826,0.5223",
            "--clearance",
            "ROOF_BASE");
    // Half of the plate, in its own plane.
    double truth = 0.1143 / 2;
    assertEquals(truth, m.get("metres").asDouble(), m.get("plusMinus").asDouble());
    assertEquals(truth, m.get("metres").asDouble(), 0.03 * truth);
    assertTrue(m.get("text").asText().startsWith("about 2 "), m.get("text").asText());
    assertTrue(m.get("clearance").get(0).asText().contains("8 ft"));
    line.json("undo", "one");
    line.json("redo", "one");
  }

  @Test
  void aShortReferenceIsRefusedAndNothingIsKept() {
    Line.Ran ran =
        line.run(
            "measure",
            "one",
            "IMG_0448.jpg",
            "--by",
            "plate-1-gang-height",
            "--known",
            "0.5,0.5,0.505,0.5",
            "--from",
            "0.1,0.1",
            "--to",
            "0.9,0.1",
            "--json");
    assertEquals(4, ran.exit());
    assertTrue(ran.json().get("refused").asText().contains("short"));
    assertEquals(2, line.run("measure", "one", "IMG_0448.jpg", "--by", "plate-9-gang").exit());
  }

  @Test
  void theListSaysSourcesAndWhatToAsk() {
    JsonNode groups = line.json("measure", "--sizes").get("groups");
    assertTrue(groups.size() > 5);
    groups.forEach(g -> assertFalse(g.get("ask").asText().isBlank()));
    groups.forEach(
        g -> g.get("sizes").forEach(s -> assertFalse(s.get("source").asText().isBlank())));
  }

  @Test
  void aCloseViewIsTiedAndAViewForTheReportIsSaid() {
    assertTrue(
        line.json("spot", "one", "IMG_0448.jpg", "IMG_0456.jpg", "--box", "0.4,0.3,0.2,0.4")
            .has("mark"));
    assertEquals(
        2, line.run("spot", "one", "IMG_0448.jpg", "IMG_0448.jpg", "--box", "0,0,1,1").exit());
    assertEquals(
        "Shown turned, cropped; the original is unchanged.",
        line.json("view", "one", "IMG_0448.jpg", "--turn", "1", "--crop", "0,0,0.5,0.5")
            .get("view")
            .asText());
    assertEquals(2, line.run("view", "one", "IMG_0448.jpg", "--turn", "5").exit());
    assertEquals(
        "As it was taken.",
        line.json("view", "one", "IMG_0448.jpg", "--as-taken").get("view").asText());
  }
}

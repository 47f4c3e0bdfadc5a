package meterside.cli;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.util.stream.Stream;
import meterside.TestPhotos;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Handing out and checking what was handed out, by the command line. */
class HandOverTest {
  private static final String JOB = "tansy-bend-41";

  @TempDir Path folder;
  private Line line;

  @BeforeEach
  void aJobWithAFinding() throws Exception {
    line = new Line(folder.resolve("archive"));
    line.json("new", JOB, "--site", "41 Tansy Bend", "--date", "2026-05-12", "--zone", "UTC");
    for (int i = 0; i < 3; i++) {
      TestPhotos.photo(i)
          .at(LocalDateTime.of(2026, 5, 12, 10, i, 0))
          .write(folder.resolve("card/IMG_" + i + ".jpg"));
    }
    line.json("intake", JOB, folder.resolve("card").toString());
    line.json("sort", JOB, "IMG_0.jpg=service-drop", "IMG_1.jpg=service-drop");
    line.json(
        "finding",
        JOB,
        "--stop",
        "service-drop",
        "--kind",
        "needs-correction",
        "--seen",
        "Covering cracked.",
        "--photo",
        "IMG_1.jpg");
  }

  private String out(String name) {
    return folder.resolve(name).toString();
  }

  @Test
  void eachExtractIsWrittenAndEnteredWithWhoGotIt() throws Exception {
    JsonNode list =
        line.json(
            "extract", JOB, "--fix-list", "-o", out("fix"), "--to", "Agent", "--leave", "Orla");
    assertEquals("fix-list", list.get("extract").asText());
    assertEquals("Agent", list.get("to").asText());
    assertTrue(Files.isRegularFile(folder.resolve("fix/fix-list.pdf")));
    line.json("extract", JOB, "--for-electrician", "-o", out("el"), "--paper", "a4");
    assertTrue(Files.isRegularFile(folder.resolve("el/for-electrician.pdf")));
    line.json("extract", JOB, "--originals", "-o", out("orig"), "--to", "Insurer");
    try (Stream<Path> files = Files.list(folder.resolve("orig/originals"))) {
      assertTrue(files.count() >= 2);
    }
    String history = line.json("history", JOB).toString();
    assertTrue(history.contains("fix list handed out to Agent, with the leave of Orla"), history);
    assertTrue(history.contains("originals handed out to Insurer"), history);
    JsonNode undo = line.json(2, "undo", JOB);
    assertTrue(undo.has("error"), "what was handed out can't be undone");
  }

  @Test
  void oneExtractAtATime() {
    line.json(2, "extract", JOB, "-o", out("none"));
    line.json(2, "extract", JOB, "--fix-list", "--originals", "-o", out("two"));
    line.json(2, "report", JOB, "-o", out("odd"), "--paper", "a5");
  }

  @Test
  void everyFileThatWasIssuedIsKnownAgainWhereverItLies() throws Exception {
    line.json("report", JOB, "-o", out("r1"));
    line.json("extract", JOB, "--fix-list", "-o", out("fix"), "--to", "Agent");
    Path moved = folder.resolve("from a mail.pdf");
    Files.copy(folder.resolve("r1/report.pdf"), moved);
    JsonNode file = line.json("verify", moved.toString()).get("files").get(0);
    assertTrue(file.get("issued").asBoolean());
    assertEquals("report", file.get("what").asText());
    assertEquals(JOB, file.get("job").asText());
    for (String name : new String[] {"r1/report.html", "r1/tables/findings.csv"}) {
      assertTrue(check(0, name).get("issued").asBoolean(), name);
    }
    assertEquals("extract", check(0, "fix/fix-list.pdf").get("what").asText());
    assertEquals("original", check(0, "card/IMG_1.jpg").get("what").asText());
  }

  @Test
  void whatWasChangedOrIsADraftOrForeignIsNotTakenForIssued() throws Exception {
    line.json("report", JOB, "-o", out("r1"));
    Path html = folder.resolve("r1/report.html");
    Files.writeString(html, Files.readString(html).replace("Covering cracked.", "All is well."));
    JsonNode changed = check(3, "r1/report.html");
    assertEquals("changed", changed.get("what").asText());
    assertFalse(changed.get("issued").asBoolean());
    Path pdf = folder.resolve("r1/report.pdf");
    byte[] longer = java.util.Arrays.copyOf(Files.readAllBytes(pdf), (int) Files.size(pdf) + 1);
    longer[longer.length - 1] = '\n';
    Files.write(pdf, longer);
    assertEquals("changed", check(3, "r1/report.pdf").get("what").asText());
    Files.writeString(folder.resolve("other.txt"), "something else");
    assertEquals("unknown", check(3, "other.txt").get("what").asText());
    line.json("report", JOB, "-o", out("draft"), "--draft");
    assertFalse(check(3, "draft/report.pdf").get("issued").asBoolean());
  }

  @Test
  void aSecondReportHasTheNextNumberSaysWhatChangedAndTheFirstStays() throws Exception {
    line.json("report", JOB, "-o", out("r1"));
    byte[] first = Files.readAllBytes(folder.resolve("r1/report.pdf"));
    line.json("set", JOB, "--fact", "weather=Rain");
    assertEquals(2, line.json("report", JOB, "-o", out("r2")).get("report").asInt());
    String html = Files.readString(folder.resolve("r2/report.html"));
    assertTrue(html.contains("What changed since report 1"));
    assertTrue(html.contains("Job facts changed: Weather."));
    Path kept = folder.resolve("archive/jobs/" + JOB + "/reports/0001/report.pdf");
    assertArrayEquals(first, Files.readAllBytes(kept));
    JsonNode check = check(0, "r1/report.pdf");
    assertTrue(check.get("sentences").get(1).asText().contains("Report 2"), check.toString());
  }

  private JsonNode check(int exit, String name) {
    JsonNode all =
        exit == 0
            ? line.json("verify", folder.resolve(name).toString())
            : line.json(exit, "verify", folder.resolve(name).toString());
    return all.get("files").get(0);
  }
}

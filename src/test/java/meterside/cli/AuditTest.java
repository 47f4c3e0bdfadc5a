package meterside.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import meterside.archive.Archive;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Who did what when, and how long a job is kept. */
class AuditTest {
  @TempDir Path tmp;
  private Line line;

  @BeforeEach
  void aJob() {
    line = new Line(tmp.resolve("archive"));
    line.json("new", "j", "--site", "x", "--date", "2026-05-12", "--zone", "Asia/Kolkata");
  }

  @Test
  void theTableHasEveryLineInUtcAndJobTimeWithItsHashAndWhatWasUndone() throws IOException {
    line.json("set", "j", "--fact", "client=\"Ostrow, K.\"");
    line.json("set", "j", "--fact", "weather=dry");
    line.json("undo", "j");
    Path table = tmp.resolve("audit.csv");
    assertEquals(0, line.run("history", "j", "--table", table.toString()).exit());
    List<String> rows = Files.readAllLines(table);
    assertEquals("\ufeffline,utc,job time,author,step,what,state,hash", rows.get(0));
    assertEquals(4, rows.size());
    assertTrue(rows.get(1).startsWith("2,"), rows.get(1));
    assertTrue(rows.get(1).contains(" +05:30,"), rows.get(1));
    assertTrue(rows.get(1).contains(",in force,"), rows.get(1));
    assertTrue(rows.get(2).contains(",undone,"), rows.get(2));
    List<String> hashes = Archive.open(tmp.resolve("archive")).job("j").heads();
    for (int i = 1; i < rows.size(); i++) {
      assertTrue(rows.get(i).endsWith("," + hashes.get(i)), rows.get(i));
    }
    JsonNode step = line.json("history", "j").path("steps").get(0);
    assertTrue(step.path("at").asText().endsWith("Z"));
    assertTrue(step.path("atJob").asText().endsWith("+05:30"), step.toString());
  }

  @Test
  void aTextThatLooksLikeAFormulaIsNoneInTheTable() throws IOException {
    line.json("set", "j", "--site", "=1+1");
    Path table = tmp.resolve("audit.csv");
    line.run("history", "j", "--table", table.toString());
    assertFalse(Files.readString(table).contains(",\"="));
  }

  @Test
  void aJobIsKeptUntilADayAndHeldForAReasonAlsoWhenItIsPacked() {
    line.json("keep", "j", "--until", "2020-01-01");
    JsonNode now = line.json("keep").path("jobs").get(0);
    assertEquals("2020-01-01", now.path("keepUntil").asText());
    assertTrue(now.path("past").asBoolean());
    assertTrue(now.path("hold").isNull());

    assertEquals(0, line.run("pack", "j", "-o", tmp.resolve("bag").toString()).exit());
    assertEquals(4, line.run("set", "j", "--fact", "weather=dry").exit());
    assertEquals(0, line.run("keep", "j", "--hold", "complaint by letter").exit());
    assertEquals(
        "complaint by letter", line.json("keep", "j").path("jobs").get(0).path("hold").asText());
    assertEquals(4, line.run("set", "j", "--fact", "weather=dry").exit(), "still packed");
    assertEquals(0, line.run("keep", "j", "--release", "settled").exit());
    assertTrue(line.json("keep", "j").path("jobs").get(0).path("hold").isNull());
    assertEquals(0, line.run("verify", "j").exit());

    assertEquals(2, line.run("keep", "j", "--hold", " ").exit());
    assertEquals(2, line.run("keep", "j", "--until", "soon").exit());
    assertEquals(2, line.run("keep", "--hold", "x").exit());
  }
}

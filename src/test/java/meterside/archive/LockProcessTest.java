package meterside.archive;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.BufferedReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.concurrent.TimeUnit;
import meterside.job.Edit;
import meterside.job.Examples;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** The lock between two real processes. */
@Tag("process")
@Timeout(60)
class LockProcessTest {
  @TempDir Path dir;
  private JobFolder job;

  @BeforeEach
  void aJob() {
    job =
        Archive.create(dir.resolve("archive"))
            .createJob("wren", Examples.header(), "t", Examples.AT);
  }

  private Process holder(String who) throws Exception {
    return new ProcessBuilder(
            Path.of(System.getProperty("java.home"), "bin", "java").toString(),
            "-cp",
            System.getProperty("java.class.path"),
            LockHolder.class.getName(),
            dir.resolve("archive").toString(),
            "wren",
            who)
        .redirectError(ProcessBuilder.Redirect.INHERIT)
        .start();
  }

  private static String firstLine(Process process) throws Exception {
    BufferedReader said = process.inputReader(StandardCharsets.UTF_8);
    return said.readLine();
  }

  @Test
  void anotherProcessIsToldWhoHoldsTheJobAndGetsItWhenThatOneIsKilled() throws Exception {
    Instant before = Instant.now().minus(Duration.ofSeconds(1));
    Process holder = holder("the other desk");
    try {
      assertTrue(firstLine(holder).startsWith("held "));
      for (int i = 0; i < 2; i++) {
        InUse e = assertThrows(InUse.class, () -> JournalWriter.open(job, "me", Clock.systemUTC()));
        assertEquals(4, e.exitCode());
        assertEquals("the other desk", e.who());
        assertTrue(e.since().isAfter(before) && e.since().isBefore(Instant.now()));
        assertTrue(e.getMessage().contains("process " + holder.pid()), e.getMessage());
      }
      assertEquals(Examples.header(), job.read().header(), "reading needs no lock");
    } finally {
      holder.destroyForcibly();
    }
    assertTrue(holder.waitFor(20, TimeUnit.SECONDS));
    try (JournalWriter mine = JournalWriter.open(job, "me", Clock.systemUTC())) {
      assertEquals(1, mine.append("me", 1, List.of(new Edit.SetSite("x"))).size());
    }
  }

  @Test
  void aSecondTryInTheHoldingProcessDoesNotDropItsLock() throws Exception {
    try (JournalWriter mine = JournalWriter.open(job, "this desk", Clock.systemUTC())) {
      // On POSIX systems, opening and closing the locked file here would drop the lock.
      assertThrows(InUse.class, () -> JournalWriter.open(job, "again", Clock.systemUTC()));
      job.read();
      Verify.job(job, false, List.of(), meterside.job.Progress.NONE);
      Process other = holder("the other");
      String said = firstLine(other);
      assertTrue(said.startsWith("4 ") && said.contains("this desk"), said);
      assertTrue(other.waitFor(20, TimeUnit.SECONDS));
      assertEquals(1, mine.append("me", 1, List.of(new Edit.SetSite("x"))).size());
    }
    Process other = holder("the other");
    assertTrue(firstLine(other).startsWith("held "));
    other.getOutputStream().close();
    assertTrue(other.waitFor(20, TimeUnit.SECONDS));
  }
}

package meterside.intake;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.BufferedReader;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Random;
import java.util.TreeSet;
import java.util.concurrent.TimeUnit;
import meterside.archive.Archive;
import meterside.archive.JobFolder;
import meterside.archive.Sha256;
import meterside.job.Job;
import meterside.job.Photo;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A real process killed in the middle of an intake: a few times always, 50 times when asked. */
class KilledIntakeTest {
  @TempDir Path tmp;

  @Test
  @Tag("process")
  void theSameCommandAgainMakesTheSameJobAsAnUndisturbedRun() throws Exception {
    kill(12);
  }

  @Test
  @Tag("heavy")
  void soItDoesAfterEachOfFiftyKills() throws Exception {
    kill(Integer.getInteger("meterside.kills", 50));
  }

  private void kill(int kills) throws Exception {
    long seed = Long.getLong("seed", System.nanoTime());
    System.out.println("seed " + seed);
    Random random = new Random(seed);
    Path card = Cards.make(tmp.resolve("card"), 100);
    Archive archive = Archive.create(tmp.resolve("archive"));
    long start = System.nanoTime();
    Job whole = Cards.intake(Cards.job(archive, "whole"), card);
    long millis = Math.max(200, (System.nanoTime() - start) / 1_000_000);
    TreeSet<Integer> reached = new TreeSet<>();
    for (int k = 0; k < kills; k++) {
      JobFolder folder = Cards.job(archive, "killed-" + k);
      kill(archive, folder, card, random.nextInt((int) millis * 2));
      Job left = folder.read().history().job();
      String where = "seed " + seed + ", kill " + k;
      int n = left.intakeOrder().size();
      reached.add(n);
      assertEquals(whole.intakeOrder().subList(0, n), left.intakeOrder(), where);
      for (Photo p : left.photos().values()) {
        assertEquals(p.id(), Sha256.of(folder.originals().path(p)), where);
      }
      assertEquals(whole, Cards.intake(folder, card), where);
      try (var files = Files.list(folder.originals().folder())) {
        assertEquals(100, files.count(), "nothing but the photos: " + where);
      }
    }
    System.out.println("photos in the job when killed: " + reached);
    assertTrue(reached.size() >= 2, "all kills hit at the same state " + reached);
  }

  private static void kill(Archive archive, JobFolder folder, Path card, int afterMillis)
      throws IOException, InterruptedException {
    Process process =
        new ProcessBuilder(
                List.of(
                    Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                    "-Djava.awt.headless=true",
                    "-XX:TieredStopAtLevel=1",
                    "-cp",
                    System.getProperty("java.class.path"),
                    Cards.class.getName(),
                    archive.root().toString(),
                    folder.name(),
                    card.toString()))
            .redirectError(ProcessBuilder.Redirect.DISCARD)
            .start();
    try (BufferedReader out = process.inputReader()) {
      assertEquals("ready", out.readLine());
      process.waitFor(afterMillis, TimeUnit.MILLISECONDS);
    } finally {
      process.destroyForcibly().waitFor();
    }
  }
}

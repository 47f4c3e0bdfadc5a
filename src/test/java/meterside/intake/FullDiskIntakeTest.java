package meterside.intake;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.List;
import java.util.Random;
import meterside.archive.Archive;
import meterside.archive.DiskFull;
import meterside.archive.FullDisk;
import meterside.archive.JobFolder;
import meterside.archive.JournalWriter;
import meterside.job.Job;
import meterside.job.Photo;
import meterside.job.Progress;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A disk that fills up while photos come in. */
class FullDiskIntakeTest {
  @TempDir Path tmp;

  @Test
  void whatWasAcknowledgedStaysAndAfterMakingRoomTheRestFollows() throws IOException {
    long seed = Long.getLong("seed", System.nanoTime());
    System.out.println("seed " + seed);
    Random random = new Random(seed);
    Path card = Cards.make(tmp.resolve("card"), 80);
    Archive good = Archive.create(tmp.resolve("good"));
    Job whole = Cards.intake(Cards.job(good, "whole"), card);
    long need = size(good.root());
    int full = 0;
    for (int round = 0; round < 12; round++) {
      FullDisk disk = new FullDisk(4_000 + (long) (random.nextDouble() * need));
      Path root = tmp.resolve("archive" + round);
      JobFolder folder;
      try {
        folder = Cards.job(Archive.create(root, disk), "job");
      } catch (DiskFull e) {
        continue; // not even room for the job itself
      }
      int acknowledged = 0;
      int[] seen = {0};
      try (JournalWriter writer = JournalWriter.open(folder, "tester", Clock.systemUTC())) {
        Job before = writer.content().history().job();
        Intake.run(
            folder,
            before,
            List.of(card),
            Intake.Options.PLAIN,
            edits -> {
              writer.append("tester", 1, edits);
              seen[0] += Cards.photosIn(edits);
            },
            Progress.NONE);
      } catch (DiskFull e) {
        full++;
        assertEquals(4, e.exitCode());
        assertTrue(e.getMessage().length() > 20, e.getMessage());
      }
      acknowledged = seen[0];
      disk.makeRoom();
      Job left = folder.read().history().job();
      assertEquals(
          whole.intakeOrder().subList(0, acknowledged),
          left.intakeOrder(),
          "seed " + seed + ", round " + round);
      for (Photo p : left.photos().values()) {
        assertEquals(p.bytes(), Files.size(folder.originals().path(p)));
      }
      assertEquals(whole, Cards.intake(folder, card), "seed " + seed + ", round " + round);
    }
    assertTrue(full >= 6, "the disk was full only " + full + " times");
  }

  private static long size(Path root) throws IOException {
    try (var files = Files.walk(root)) {
      return files.filter(Files::isRegularFile).mapToLong(f -> f.toFile().length()).sum();
    }
  }
}

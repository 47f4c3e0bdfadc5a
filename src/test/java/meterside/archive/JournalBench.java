package meterside.archive;

import java.lang.management.ManagementFactory;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import meterside.job.Camera;
import meterside.job.Edit;
import meterside.job.Examples;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.PlacementBasis;
import meterside.job.Progress;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * How long a long evening's journal, 20,000 edits on 700 photos, takes to write, to open and to
 * check. Baseline of the opening: reading the same file, hashing its lines and parsing them as JSON
 * into trees, with nothing made of them.
 */
@Tag("bench")
class JournalBench {
  @TempDir Path dir;

  private static long processorNanos() {
    return ManagementFactory.getThreadMXBean().getCurrentThreadCpuTime();
  }

  @Test
  void sevenHundredPhotosAndALongEvening() throws Exception {
    JobFolder job =
        Archive.create(dir.resolve("a")).createJob("wren", Examples.header(), "t", Examples.AT);
    Random random = new Random(1);
    List<PhotoId> ids = new ArrayList<>();
    try (JournalWriter w = JournalWriter.open(job, "t", Clock.systemUTC())) {
      w.append("t", 1, List.of(new Edit.PutCamera(new Camera("A", "m", "n", null, null, null))));
      for (int i = 0; i < 44; i++) {
        List<Photo> photos = new ArrayList<>();
        for (int k = 0; k < 16; k++) {
          byte[] bytes = new byte[8];
          random.nextBytes(bytes);
          ids.add(Sha256.of(bytes));
          photos.add(Examples.fullPhoto(Sha256.of(bytes), "IMG_" + i + "_" + k + ".JPG", "A"));
        }
        w.append("t", 1, List.of(new Edit.AddPhotos(photos)));
      }
      long[] took = new long[10_000];
      for (int i = 0; i < took.length; i++) {
        List<PhotoId> one = List.of(ids.get(random.nextInt(ids.size())));
        List<PhotoId> moved = new ArrayList<>();
        List<Double> confidence = new ArrayList<>();
        for (int k = 0; k < 5; k++) {
          moved.add(ids.get((i + k) % ids.size()));
          confidence.add(random.nextDouble());
        }
        List<Edit> edits = new ArrayList<>();
        edits.add(new Edit.SetAside(one, i % 2 == 0, null));
        edits.add(
            new Edit.RecordSorting(
                "bench",
                "none",
                List.of(new Edit.Run(Examples.DROP, PlacementBasis.INFERRED, moved, confidence))));
        long start = System.nanoTime();
        w.append("t", 2 + i, edits);
        took[i] = System.nanoTime() - start;
      }
      java.util.Arrays.sort(took);
      System.out.printf(
          "append of two edits: median %.2f ms, 99 %% %.2f ms%n",
          took[took.length / 2] / 1e6, took[took.length * 99 / 100] / 1e6);
    }
    double[] opened = new double[7];
    double[] plain = new double[7];
    for (int i = 0; i < opened.length; i++) {
      // Processor time of this thread: other programs may be busy too.
      long start = processorNanos();
      plainly(job);
      long between = processorNanos();
      JournalContent read = job.read();
      read.history();
      plain[i] = (between - start) / 1e6;
      opened[i] = (processorNanos() - between) / 1e6;
      if (i == 0) {
        System.out.printf(
            "journal of %d lines, %d bytes, for the first time: %.0f ms (processor time)%n",
            read.entries().size() + 1, Files.size(job.journalFile()), opened[i]);
      }
    }
    java.util.Arrays.sort(opened);
    java.util.Arrays.sort(plain);
    System.out.printf(
        "opened in %.0f ms, baseline %.0f ms, ratio %.2f (medians of %d, processor time)%n",
        opened[3], plain[3], opened[3] / plain[3], opened.length);
    long start = System.nanoTime();
    Verify.job(job, true, List.of(), Progress.NONE);
    System.out.printf("quick check: %.0f ms%n", (System.nanoTime() - start) / 1e6);
  }

  private static void plainly(JobFolder job) throws Exception {
    java.security.MessageDigest digest = java.security.MessageDigest.getInstance("SHA-256");
    com.fasterxml.jackson.databind.ObjectMapper json =
        new com.fasterxml.jackson.databind.ObjectMapper();
    for (String line : Files.readAllLines(job.journalFile())) {
      digest.digest(line.getBytes(java.nio.charset.StandardCharsets.UTF_8));
      json.readTree(line);
    }
  }
}

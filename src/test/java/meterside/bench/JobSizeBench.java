package meterside.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import meterside.job.Edit;
import meterside.job.Photo;
import meterside.job.Progress;
import meterside.work.Home;
import meterside.work.JobSession;
import meterside.work.Workspace;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Whether a photo costs the same in a job of 100 and of 10,000: intake, opening, an edit. Baseline
 * is the job of 300 photos in the same run. {@code -Dmeterside.bench.most=10000} says how far to
 * go, {@code -Dmeterside.bench.sizes=300,10000} which sizes to try.
 */
@Tag("bench")
class JobSizeBench {
  private static final int MOST = Integer.getInteger("meterside.bench.most", 10_000);
  private static final int[] SIZES =
      Arrays.stream(
              System.getProperty("meterside.bench.sizes", "100,300,1000,3000,10000").split(","))
          .mapToInt(Integer::parseInt)
          .toArray();

  @TempDir Path tmp;

  @Test
  void photosOfAMegapixel() throws Exception {
    Path card = tmp.resolve("card");
    NoisyCard.fill(card, MOST, 1152, 0.85f);
    List<Path> files;
    try (var all = Files.list(card)) {
      files = all.sorted().toList();
    }
    Home home = new Home(tmp.resolve("home"), tmp.resolve("archive"));
    try (Workspace w = Workspace.open(tmp.resolve("archive"), true, home, Clock.systemUTC())) {
      // Warm code is what is compared: the first job only heats it.
      take(w, "warm", files.subList(0, Math.min(300, MOST)));
      double base = 0;
      for (int size : SIZES) {
        if (size > MOST) {
          break;
        }
        String name = "job-" + size;
        double before = processor();
        double took = take(w, name, files.subList(0, size));
        // Processor time is what can be compared while other programs are busy too.
        double each = (processor() - before) / size * 1e3;
        base = size == 300 ? each : base;
        List<Double> opening = new ArrayList<>();
        List<Double> edits = new ArrayList<>();
        for (int i = 0; i < 5; i++) {
          JobSession[] open = new JobSession[1];
          opening.add(Runs.seconds(() -> open[0] = JobSession.open(w, name)));
          try (JobSession session = open[0]) {
            assertEquals(size, session.job().photos().size());
            List<Photo> photos = session.job().inTrueOrder();
            for (int k = 0; k < 40; k++) {
              Photo p = photos.get(k * photos.size() / 40);
              boolean aside = i % 2 == 0;
              edits.add(
                  Runs.seconds(() -> session.act(new Edit.SetAside(List.of(p.id()), aside, null))));
            }
          }
        }
        System.out.printf(
            Locale.ROOT,
            "%d photos: %.2f ms of processor time each to take in (%.2f ms by the clock), %.2f of a"
                + " job of 300; opened in %.0f ms, an edit %.2f ms, heap in use %d MB%n",
            size,
            each,
            took / size * 1e3,
            base == 0 ? Double.NaN : each / base,
            Runs.median(opening) * 1e3,
            Runs.median(edits) * 1e3,
            used());
      }
    }
  }

  private static double take(Workspace w, String name, List<Path> files) throws Exception {
    w.newJob(name, "Noise", LocalDate.of(2026, 5, 12), ZoneOffset.UTC, "overhead");
    try (JobSession session = JobSession.open(w, name)) {
      return Runs.seconds(() -> session.intake(files, true, Progress.NONE));
    }
  }

  private static double processor() {
    return ((com.sun.management.OperatingSystemMXBean)
                java.lang.management.ManagementFactory.getOperatingSystemMXBean())
            .getProcessCpuTime()
        / 1e9;
  }

  private static long used() {
    System.gc();
    return (Runtime.getRuntime().totalMemory() - Runtime.getRuntime().freeMemory()) >> 20;
  }
}

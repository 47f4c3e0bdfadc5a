package meterside.bench;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import meterside.job.Callout;
import meterside.job.Edit;
import meterside.job.Finding;
import meterside.job.FindingKind;
import meterside.job.Photo;
import meterside.job.Point;
import meterside.job.Progress;
import meterside.job.StopKey;
import meterside.search.Ask;
import meterside.work.Home;
import meterside.work.JobSession;
import meterside.work.Verification;
import meterside.work.Workspace;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * An evening's work over and over in one process: does the heap that stays in use grow? Each round
 * takes a card in, sorts, marks, records findings, steps back and forth, asks the archive, writes a
 * report and checks the job; after ten jobs the archive is begun anew, so that a growing archive
 * does not hide a growing heap. The baseline is the heap after the first three rounds of the same
 * run. {@code -Dmeterside.bench.minutes=60} says how long.
 */
@Tag("bench")
class SoakBench {
  private static final double MINUTES =
      Double.parseDouble(System.getProperty("meterside.bench.minutes", "2"));

  @TempDir Path tmp;

  @Test
  void theHeapStaysAsItIs() throws Exception {
    Path card = tmp.resolve("card");
    NoisyCard.fill(card, 24, 1600, 0.85f);
    long end = System.nanoTime() + (long) (MINUTES * 60e9);
    List<Double> heap = new ArrayList<>();
    int round = 0;
    while (System.nanoTime() < end) {
      Path archive = tmp.resolve("archive");
      Home home = new Home(tmp.resolve("home"), archive);
      try (Workspace w = Workspace.open(archive, true, home, Clock.systemUTC())) {
        for (int i = 0; i < 10 && System.nanoTime() < end; i++) {
          evening(w, "noise-" + i, card);
          System.gc();
          heap.add((Runtime.getRuntime().totalMemory() - Runtime.getRuntime().freeMemory()) / 1e6);
          round++;
        }
      }
      Runs.clear(archive, tmp.resolve("log"));
    }
    int tenth = Math.max(3, heap.size() / 10);
    double early = Runs.median(heap.subList(0, Math.min(heap.size(), tenth)));
    double late = Runs.median(heap.subList(Math.max(0, heap.size() - tenth), heap.size()));
    System.out.printf(
        Locale.ROOT,
        "%d rounds in %.0f minutes: heap in use %.1f MB early, %.1f MB late, ratio %.2f;"
            + " most %.1f MB of %d MB%n",
        round,
        MINUTES,
        early,
        late,
        late / early,
        heap.stream().mapToDouble(Double::doubleValue).max().orElseThrow(),
        Runtime.getRuntime().maxMemory() >> 20);
    assertTrue(late < early * 1.5, "the heap in use grew from " + early + " to " + late + " MB");
  }

  private void evening(Workspace w, String name, Path card) throws IOException {
    w.newJob(name, "Noise Lane", LocalDate.of(2026, 5, 12), ZoneOffset.UTC, "overhead");
    Path out = tmp.resolve("out");
    try (JobSession s = JobSession.open(w, name)) {
      s.intake(List.of(card), true, Progress.NONE);
      List<Photo> photos = s.job().inTrueOrder();
      StopKey panel = StopKey.of("panelboard");
      s.actAndSort(List.of(new Edit.PlaceByHand(List.of(photos.get(12).id()), panel)));
      for (int i = 0; i < 10; i++) {
        Photo p = photos.get(i);
        int number = s.nextFinding();
        s.act(
            new Edit.PutFinding(
                new Finding(
                    number,
                    panel,
                    "basement, row " + i,
                    "breaker",
                    FindingKind.NEEDS_CORRECTION,
                    "Two conductors under one breaker terminal",
                    "May work loose and heat",
                    "licensed electrician",
                    List.of(p.id()),
                    null,
                    false)));
        s.act(
            new Edit.PutCallout(
                new Callout(
                    s.nextMark(),
                    p.id(),
                    "breaker",
                    List.of(new Point(0.3, 0.1 + i * 0.05)),
                    null,
                    number,
                    null)));
      }
      for (int i = 0; i < 6; i++) {
        s.undo();
      }
      for (int i = 0; i < 6; i++) {
        s.redo();
      }
      w.pastJobs().follow(name);
      for (String words : List.of("double tap", "braker", "\"work loose\"", "panelboard heat")) {
        w.pastJobs().find(new Ask(words, null, null, null, null, null, null, 20));
      }
      s.report(out, true, false, Progress.NONE);
      assertTrue(Verification.of(w, name, false, Progress.NONE).intact());
    }
    if (!Files.isRegularFile(out.resolve("report.pdf"))) {
      throw new IOException("no report was written");
    }
  }
}

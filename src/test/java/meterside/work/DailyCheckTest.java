package meterside.work;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import meterside.job.Progress;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A share of the archive each day. */
class DailyCheckTest {
  @TempDir Path tmp;

  private Workspace on(String day) {
    Clock clock = Clock.fixed(Instant.parse(day + "T06:00:00Z"), ZoneOffset.UTC);
    return Workspace.open(tmp.resolve("archive"), true, new Home(tmp.resolve("home"), null), clock);
  }

  @Test
  void inThirtyDaysEveryJobHasHadItsTurnOnceWhateverTheirNumber() {
    for (int jobs : new int[] {1, 7, 30, 31, 95}) {
      List<String> names = new ArrayList<>();
      for (int i = 0; i < jobs; i++) {
        names.add("job" + i);
      }
      Map<String, String> looked = new HashMap<>();
      Set<String> seen = new HashSet<>();
      LocalDate day = LocalDate.of(2026, 5, 12);
      for (int d = 0; d < DailyCheck.ROUND_DAYS; d++) {
        LocalDate now = day.plusDays(d);
        for (String name : DailyCheck.share(names, looked, now)) {
          looked.put(name, now.toString());
          seen.add(name);
        }
        assertEquals(List.of(), DailyCheck.share(names, looked, now), "once a day");
      }
      assertEquals(Set.copyOf(names), seen);
    }
  }

  @Test
  void damageIsSaidOnTheDayOfItsJob() throws Exception {
    try (Workspace w = on("2026-05-12")) {
      for (String name : List.of("a", "b")) {
        w.newJob(name, "x", LocalDate.of(2026, 5, 12), ZoneId.of("UTC"), "overhead");
      }
      assertEquals(List.of("a"), DailyCheck.today(w, Progress.NONE).checked());
      assertEquals(List.of(), DailyCheck.today(w, Progress.NONE).checked());
    }
    Path journal = tmp.resolve("archive/jobs/b/journal.jsonl");
    byte[] bytes = Files.readAllBytes(journal);
    bytes[25] ^= 1;
    Files.write(journal, bytes);
    try (Workspace w = on("2026-05-13")) {
      DailyCheck.Result r = DailyCheck.today(w, Progress.NONE);
      assertEquals(List.of("b"), r.checked());
      assertEquals(1, r.broken().size());
      assertTrue(r.broken().get(0).startsWith("b: "), r.broken().get(0));
    }
    try (Workspace w = on("2026-05-14")) {
      assertEquals(List.of("a"), DailyCheck.today(w, Progress.NONE).checked());
    }
  }
}

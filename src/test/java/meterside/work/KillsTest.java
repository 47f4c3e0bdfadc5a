package meterside.work;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.PrintStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;
import java.util.concurrent.TimeUnit;
import meterside.TestPhotos;
import meterside.archive.JobFolder;
import meterside.archive.Verify;
import meterside.job.Edit;
import meterside.job.Job;
import meterside.job.Progress;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Ends a real process at a random moment of an intake, of edits, of issuing a report and of
 * packing, again and again on the same jobs. Whatever was acknowledged must be there: the journal
 * holds the last head that was told, every photo it names has its hash, every report it names its
 * files; and the job opens for work. {@code -Dkills=N} for another number, {@code -Dseed=N} to
 * repeat.
 */
class KillsTest {
  private static final String JOB = "killed";
  private static final List<String> ACTS = List.of("intake", "edit", "report", "pack");
  private static final Map<String, Integer> LONGEST_MILLIS =
      Map.of("intake", 900, "edit", 400, "report", 2500, "pack", 1200);
  private static final int KILLS_PER_ARCHIVE = 24;
  private static final int PHOTOS_PER_INTAKE = 12;

  @TempDir Path tmp;

  @Test
  @Tag("process")
  void whateverAKillInterruptsNothingAcknowledgedIsLost() throws Exception {
    kills(Integer.getInteger("kills", 12));
  }

  @Test
  @Tag("heavy")
  void fiveHundredKillsLoseNothingAcknowledged() throws Exception {
    kills(Integer.getInteger("kills", 500));
  }

  /** The process that is killed: does one kind of act over and over, and tells what it did. */
  static final class Victim {
    private Victim() {}

    /** Folder of the archive, home, kind of act, seed, and for an intake the card. */
    public static void main(String[] args) throws Exception {
      PrintStream out = System.out;
      Random random = new Random(Long.parseLong(args[3]));
      Home home = new Home(Path.of(args[1]), null);
      try (Workspace w = Workspace.open(Path.of(args[0]), false, home, Clock.systemUTC());
          JobSession session = JobSession.open(w, JOB)) {
        session.onChange(job -> out.println("ACK " + session.head()));
        if (session.job().packaging().isPresent()) {
          Packing.reopen(session, "go on");
        }
        out.println("READY");
        for (int i = 0; i < 100_000; i++) {
          out.println("TRY");
          switch (args[2]) {
            case "intake" -> session.intake(List.of(Path.of(args[4])), false, Progress.NONE);
            case "report" -> session.report(Path.of(args[4]), false, false, Progress.NONE);
            case "pack" -> {
              Path bag = Path.of(args[4]).resolve("bag" + i);
              Packing.pack(session, bag, null, Progress.NONE);
              Packing.reopen(session, "once more");
            }
            default -> edit(session, random);
          }
          out.println("DONE");
          if (args[2].equals("intake")) {
            Thread.sleep(60_000); // all of the card is in
          }
        }
      }
    }

    private static void edit(JobSession session, Random random) {
      int what = random.nextInt(6);
      if (what == 0 && session.undoable().isPresent()) {
        session.undo();
      } else if (what == 1 && session.redoable().isPresent()) {
        session.redo();
      } else {
        session.act(new Edit.SetFact("fact" + random.nextInt(9), "x".repeat(random.nextInt(900))));
      }
    }
  }

  private void kills(int count) throws Exception {
    long seed = Long.getLong("seed", System.nanoTime());
    System.out.println("KillsTest seed " + seed);
    Random random = new Random(seed);
    Map<String, Integer> killed = new TreeMap<>();
    Map<String, Integer> midway = new TreeMap<>();
    long acknowledged = 0;
    Path root = null;
    for (int i = 0; i < count; i++) {
      if (i % KILLS_PER_ARCHIVE == 0) {
        root = archive(i);
      }
      String act = ACTS.get(i % ACTS.size());
      String say = "seed " + seed + ", kill " + i + ", " + act;
      Path out = tmp.resolve("out.txt");
      Process process = start(root, act, random.nextLong(), i, out);
      await(process, out, say);
      long millis = random.nextInt(LONGEST_MILLIS.get(act));
      process.waitFor(millis, TimeUnit.MILLISECONDS);
      process.destroyForcibly().waitFor();
      List<String> lines = Files.readAllLines(out);
      killed.merge(act, 1, Integer::sum);
      long tries = lines.stream().filter("TRY"::equals).count();
      long done = lines.stream().filter("DONE"::equals).count();
      if (tries > done) {
        midway.merge(act, 1, Integer::sum);
      }
      List<String> acks =
          lines.stream()
              .filter(l -> l.matches("ACK [0-9a-f]{64}"))
              .map(l -> l.substring(4))
              .toList();
      acknowledged += acks.size();
      check(root, acks, say);
    }
    System.out.println(
        count
            + " kills "
            + killed
            + ", of these in the midst of an act "
            + midway
            + ", "
            + acknowledged
            + " acknowledged acts, none lost");
    int all = midway.values().stream().mapToInt(Integer::intValue).sum();
    assertTrue(all > count / 2, "too few kills hit an act: " + midway);
  }

  private void check(Path root, List<String> acks, String say) throws IOException {
    Home home = new Home(tmp.resolve("home"), null);
    try (Workspace w = Workspace.open(root, false, home, Clock.systemUTC())) {
      JobFolder folder = w.folder(JOB);
      List<Verify.NamedHead> named =
          acks.stream().map(head -> new Verify.NamedHead("what was told", head)).toList();
      List<Verify.Result> results = Verify.job(folder, false, named, Progress.NONE);
      assertEquals(0, Verify.exitCode(results), say + ": " + results);
      try (JobSession session = JobSession.open(w, JOB)) {
        if (session.job().packaging().isPresent()) {
          Packing.reopen(session, "after the kill");
        }
        Job next = session.act(new Edit.SetFact("opened", say));
        assertEquals(say, next.facts().get("opened"));
      }
    }
  }

  private Path archive(int number) throws IOException {
    Path root = tmp.resolve("archive" + number);
    Home home = new Home(tmp.resolve("home"), null);
    try (Workspace w = Workspace.open(root, true, home, Clock.systemUTC())) {
      w.newJob(
          JOB,
          "3 Ember Court",
          LocalDate.of(2026, 5, 12),
          ZoneId.of("America/New_York"),
          "overhead");
      try (JobSession s = JobSession.open(w, JOB)) {
        s.intake(List.of(card(10_000 + number, 4)), false, Progress.NONE);
      }
    }
    return root;
  }

  private Path card(int number, int photos) throws IOException {
    Path card = tmp.resolve("card" + number);
    for (int i = 0; i < photos; i++) {
      TestPhotos.photo(number * 100 + i)
          .at(LocalDateTime.of(2026, 5, 12, 9, 0).plusSeconds(number * 37L + i * 9L))
          .write(card.resolve(String.format(Locale.ROOT, "IMG_%06d.JPG", number * 100 + i)));
    }
    return card;
  }

  private Process start(Path root, String act, long seed, int number, Path out) throws IOException {
    Path last = act.equals("intake") ? card(number, PHOTOS_PER_INTAKE) : tmp.resolve(act + number);
    return new ProcessBuilder(
            Path.of(System.getProperty("java.home"), "bin", "java").toString(),
            "-Xmx300m",
            "-XX:TieredStopAtLevel=1",
            "-XX:+UseSerialGC",
            "-Djava.awt.headless=true",
            "-cp",
            System.getProperty("java.class.path"),
            Victim.class.getName(),
            root.toString(),
            tmp.resolve("home").toString(),
            act,
            Long.toString(seed),
            last.toString())
        .redirectErrorStream(true)
        .redirectOutput(out.toFile())
        .start();
  }

  private static void await(Process process, Path out, String say) throws Exception {
    for (int i = 0; i < 6000; i++) {
      String said = Files.exists(out) ? Files.readString(out) : "";
      if (said.contains("READY")) {
        return;
      }
      assertTrue(process.isAlive(), say + ": " + said);
      Thread.sleep(10);
    }
    process.destroyForcibly();
    throw new AssertionError(say + ": never ready");
  }
}

package meterside.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.time.LocalDateTime;
import java.util.List;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import meterside.TestPhotos;
import meterside.archive.Archive;
import meterside.job.Job;
import meterside.job.PhotoId;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Ends a real intake at a random moment, fifty times, then gives the same command again: the job is
 * that of an undisturbed run. {@code -Dkills=N} for another number, {@code -Dseed=N} to repeat.
 */
@Tag("process")
class IntakeKillTest {
  private static final String JOB = "killed";
  private static final int PHOTOS = 120;

  @TempDir static Path folder;
  private static Path card;
  private static Path fresh;

  @BeforeAll
  static void prepare() throws IOException {
    card = folder.resolve("card");
    fresh = folder.resolve("fresh");
    LocalDateTime t = LocalDateTime.of(2026, 5, 12, 10, 0);
    for (int i = 0; i < PHOTOS; i++) {
      t = t.plusSeconds(i % 20 == 19 ? 140 : 9);
      TestPhotos photo = TestPhotos.photo(i).at(t).light(i < 80 ? 14 : 5);
      if (i % 3 == 0) {
        photo.camera("Kestova", "C20", "K20-1");
      } else {
        photo.offset("-04:00").gps(t.plusHours(4));
      }
      photo.write(card.resolve(String.format("IMG_%04d.jpg", i)));
    }
    new Line(fresh)
        .json(
            "new",
            JOB,
            "--site",
            "18 Wren Hollow",
            "--date",
            "2026-05-12",
            "--zone",
            "America/New_York");
  }

  private static Path copyOfFresh(String name) throws IOException {
    Path to = folder.resolve(name);
    try (Stream<Path> walk = Files.walk(fresh)) {
      for (Path p : walk.toList()) {
        Path target = to.resolve(fresh.relativize(p).toString());
        if (Files.isDirectory(p)) {
          Files.createDirectories(target);
        } else {
          Files.copy(p, target, StandardCopyOption.COPY_ATTRIBUTES);
        }
      }
    }
    return to;
  }

  private static Process intake(Path archive) throws IOException {
    return new ProcessBuilder(
            Path.of(System.getProperty("java.home"), "bin", "java").toString(),
            "-Xmx256m",
            "-XX:TieredStopAtLevel=1",
            "-Djava.awt.headless=true",
            "-cp",
            System.getProperty("java.class.path"),
            "meterside.Meterside",
            "--archive",
            archive.toString(),
            "intake",
            JOB,
            card.toString(),
            "--json")
        .redirectErrorStream(true)
        .redirectOutput(folder.resolve("out.txt").toFile())
        .start();
  }

  private static Job job(Path archive) {
    return Archive.open(archive).find(JOB).orElseThrow().read().history().job();
  }

  @Test
  void aKilledIntakeGivenAgainEndsAsAnUndisturbedOne() throws Exception {
    int kills = Integer.getInteger("kills", 50);
    long seed = Long.getLong("seed", System.nanoTime());
    System.out.println("IntakeKillTest seed " + seed);
    Random random = new Random(seed);

    Path undisturbed = copyOfFresh("undisturbed");
    long begun = System.nanoTime();
    Process whole = intake(undisturbed);
    assertEquals(0, whole.waitFor(), () -> read(folder.resolve("out.txt")));
    long millis = TimeUnit.NANOSECONDS.toMillis(System.nanoTime() - begun);
    Job expected = job(undisturbed);
    assertEquals(PHOTOS, expected.photos().size());

    int cutShort = 0;
    for (int i = 0; i < kills; i++) {
      Path archive = copyOfFresh("killed-" + i);
      Process process = intake(archive);
      boolean ended = process.waitFor(random.nextLong(millis + 1), TimeUnit.MILLISECONDS);
      process.destroyForcibly().waitFor();
      List<PhotoId> left = job(archive).intakeOrder();
      assertEquals(expected.intakeOrder().subList(0, left.size()), left, "seed " + seed);
      if (!ended && left.size() < PHOTOS) {
        cutShort++;
      }
      Line.Ran again = new Line(archive).run("intake", JOB, card.toString(), "--json");
      assertEquals(0, again.exit(), again.err());
      assertEquals(expected, job(archive), "kill " + i + " of seed " + seed);
      assertEquals(0, new Line(archive).run("verify", JOB).exit());
      delete(archive);
    }
    assertTrue(cutShort > kills / 4, "too few runs were really cut short: " + cutShort);
  }

  private static String read(Path file) {
    try {
      return Files.readString(file);
    } catch (IOException e) {
      return e.toString();
    }
  }

  private static void delete(Path root) throws IOException {
    List<Path> all;
    try (Stream<Path> walk = Files.walk(root)) {
      all = walk.sorted(java.util.Comparator.reverseOrder()).toList();
    }
    for (Path p : all) {
      Files.delete(p);
    }
  }
}

package meterside.archive;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.FileVisitResult;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.SimpleFileVisitor;
import java.nio.file.attribute.BasicFileAttributes;
import java.time.Clock;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.stream.LongStream;
import java.util.stream.Stream;
import meterside.job.Camera;
import meterside.job.Edit;
import meterside.job.Examples;
import meterside.job.Format;
import meterside.job.History;
import meterside.job.IssuedReport;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.Progress;
import meterside.job.Recorded;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * The power goes at every write, and the disk loses, tears and reorders what was not forced: what
 * was acknowledged is recovered, what is recovered was submitted, and every job opens.
 */
class PowerCutTest {
  private static final Clock CLOCK = Clock.systemUTC();
  @TempDir Path dir;

  /** Seeds to try; {@code -Dseed=N} repeats one, {@code -Dseeds=N} tries more. */
  static LongStream seeds() {
    Long one = Long.getLong("seed");
    return one != null ? LongStream.of(one) : LongStream.range(0, Long.getLong("seeds", 1));
  }

  static LongStream manySeeds() {
    return LongStream.range(1000, 1040);
  }

  /** What was handed to the archive, and what it said was done. */
  private static final class Ledger {
    final List<Edit> submitted = new ArrayList<>();
    int acknowledged;
    boolean jobAcknowledged;
    final List<PhotoId> kept = new ArrayList<>();
  }

  private static byte[] picture(int number) {
    byte[] bytes = new byte[700 + 300 * number];
    new Random(number).nextBytes(bytes);
    return bytes;
  }

  private static Photo photo(PhotoId id, int number) {
    return new Photo(
        id,
        "IMG_" + number + ".JPG",
        "",
        picture(number).length,
        Format.JPEG,
        "jpg",
        1,
        1,
        1,
        Recorded.NONE,
        "A",
        null,
        null,
        null,
        null,
        null);
  }

  private static void append(JournalWriter w, Ledger l, long step, Edit... edits) {
    l.submitted.addAll(List.of(edits));
    w.append("t", step, List.of(edits));
    l.acknowledged = l.submitted.size();
  }

  /** A short evening's work: a new job, an intake, marks, a step back, a report. */
  private static void work(Archive archive, Ledger l) throws IOException {
    JobFolder job = archive.createJob("wren", Examples.header(), "t", Examples.AT);
    l.jobAcknowledged = true;
    try (JournalWriter w = JournalWriter.open(job, "t", CLOCK)) {
      List<Photo> photos = new ArrayList<>();
      try (Originals.Batch batch = job.originals().batch()) {
        for (int i = 0; i < 3; i++) {
          PhotoId id = Sha256.of(picture(i));
          batch.keep(id, "jpg", picture(i));
          photos.add(photo(id, i));
        }
        batch.commit();
        photos.forEach(p -> l.kept.add(p.id()));
      }
      append(
          w,
          l,
          1,
          new Edit.PutCamera(new Camera("A", "Fenwick", "F-2", null, null, null)),
          new Edit.AddPhotos(photos),
          new Edit.PlaceByHand(l.kept, Examples.DROP));
      append(w, l, 2, new Edit.SetFact("weather", "rain ".repeat(300)));
      append(w, l, 3, new Edit.StepBack());
      IssuedReport report = new IssuedReport(1, false, w.head(), Map.of());
      job.noteIssued(report);
      append(w, l, 4, new Edit.IssueReport(report));
      append(w, l, 5, new Edit.SetSite("x"), new Edit.SetFact("power", "on"));
    }
  }

  @ParameterizedTest(name = "seed {0}")
  @MethodSource("seeds")
  void whateverTheDiskForgetsNothingAcknowledgedIsLost(long seed) throws Exception {
    for (long cut = 0; ; cut++) {
      Path live = dir.resolve("live");
      Archive.create(live, new RealDisk());
      UnsteadyDisk disk = new UnsteadyDisk(live, cut, seed * 1000 + cut);
      Ledger ledger = new Ledger();
      boolean done = false;
      try {
        work(Archive.open(live, disk), ledger);
        done = true;
      } catch (UnsteadyDisk.PowerCut e) {
        assertTrue(cut < disk.steps());
      }
      Path after = dir.resolve("after");
      disk.survivors(after);
      String say = "seed " + seed + " cut at " + cut;
      check(after, ledger, say);

      // The power goes again while the next opening clears up.
      Path live2 = dir.resolve("live2");
      disk.survivors(live2);
      UnsteadyDisk disk2 = new UnsteadyDisk(live2, cut % 4, seed * 1000 + cut);
      Archive archive = Archive.open(live2, disk2);
      if (archive.find("wren").isPresent()) {
        try {
          JournalWriter.open(archive.job("wren"), "t", CLOCK).close();
        } catch (UnsteadyDisk.PowerCut e) {
          assertTrue(cut % 4 < disk2.steps());
        }
      }
      Path again = dir.resolve("again");
      disk2.survivors(again);
      check(again, ledger, say + ", and again while clearing up");
      delete(again);
      delete(live2);
      delete(live);
      delete(after);
      if (done) {
        assertTrue(cut > 30, "the work had " + cut + " steps");
        return;
      }
    }
  }

  @Tag("heavy")
  @ParameterizedTest(name = "seed {0}")
  @MethodSource("manySeeds")
  void whateverTheDiskForgetsWithManySeeds(long seed) throws Exception {
    whateverTheDiskForgetsNothingAcknowledgedIsLost(seed);
  }

  private static void check(Path root, Ledger ledger, String say) throws Exception {
    Archive archive = Archive.open(root, new RealDisk());
    if (archive.find("wren").isEmpty()) {
      assertTrue(!ledger.jobAcknowledged, say);
      archive.createJob("wren", Examples.header(), "t", Examples.AT);
      return;
    }
    JobFolder job = archive.job("wren");
    JournalContent content;
    try (JournalWriter w = JournalWriter.open(job, "t", CLOCK)) {
      content = w.content();
      List<Edit> recovered = content.entries().stream().map(History.Entry::edit).toList();
      assertTrue(recovered.size() >= ledger.acknowledged, say + ": lost");
      assertTrue(recovered.size() <= ledger.submitted.size(), say + ": made up");
      assertEquals(ledger.submitted.subList(0, recovered.size()), recovered, say);
    }
    for (PhotoId id : ledger.kept) {
      assertEquals(id, Sha256.of(job.originals().path(id, "jpg")), say);
    }
    if (Files.isDirectory(job.originals().folder())) {
      try (Stream<Path> files = Files.list(job.originals().folder())) {
        for (Path file : files.toList()) {
          String name = file.getFileName().toString();
          assertEquals(
              name, Sha256.of(file).hex() + ".jpg", say + ": a name leads to a whole photo");
        }
      }
    }
    for (Verify.Result r : Verify.job(job, false, List.of(), Progress.NONE)) {
      assertTrue(r.severity() != Verify.Severity.BROKEN, say + ": " + r);
    }
  }

  /** The double itself forgets: without forces, acknowledged edits would be lost. */
  @Test
  void theDoubleLosesWhatWasNotForced() throws Exception {
    int lost = 0;
    int torn = 0;
    for (long seed = 0; seed < 40; seed++) {
      Path live = Files.createDirectory(dir.resolve("l" + seed));
      byte[] start = "start".getBytes();
      Files.write(live.resolve("f"), start);
      UnsteadyDisk disk = new UnsteadyDisk(live, 1000, seed);
      try (FileOps.Appender a = disk.appender(live.resolve("f"))) {
        a.append(picture(9));
      }
      disk.survivors(dir.resolve("s" + seed));
      byte[] left = Files.readAllBytes(dir.resolve("s" + seed).resolve("f"));
      assertEquals("start", new String(left, 0, 5));
      lost += left.length == start.length ? 1 : 0;
      torn += left.length > start.length && left.length < 5 + picture(9).length ? 1 : 0;
    }
    assertTrue(lost > 3 && torn > 3, lost + " lost, " + torn + " torn");
  }

  private static void delete(Path folder) throws IOException {
    Files.walkFileTree(
        folder,
        new SimpleFileVisitor<>() {
          @Override
          public FileVisitResult visitFile(Path file, BasicFileAttributes a) throws IOException {
            Files.delete(file);
            return FileVisitResult.CONTINUE;
          }

          @Override
          public FileVisitResult postVisitDirectory(Path f, IOException e) throws IOException {
            Files.delete(f);
            return FileVisitResult.CONTINUE;
          }
        });
  }
}

package meterside.archive;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.TreeMap;
import java.util.stream.LongStream;
import java.util.stream.Stream;
import meterside.job.Attachment;
import meterside.job.Camera;
import meterside.job.Edit;
import meterside.job.Examples;
import meterside.job.Extract;
import meterside.job.ExtractKind;
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
 * The power goes at every write of what is made of a job beside its journal - an issued report, a
 * hand-over, the second copy, the evidence package, the job made again from one, a withdrawal - and
 * the disk loses, tears and reorders what was not forced. What was said to be done is there and
 * whole; what was not is either not there or whole; and doing it again works.
 */
class PowerCutCopiesTest {
  private static final Clock CLOCK = Clock.systemUTC();
  private static final Instant AT = Instant.parse("2026-05-13T06:00:00Z");
  private static final LocalDate DAY = LocalDate.of(2026, 5, 13);

  @TempDir Path dir;

  /** Seeds to try; {@code -Dseed=N} repeats one, {@code -Dseeds=N} tries more. */
  static LongStream seeds() {
    Long one = Long.getLong("seed");
    return one != null ? LongStream.of(one) : LongStream.range(0, Long.getLong("seeds", 1));
  }

  static LongStream manySeeds() {
    return LongStream.range(2000, 2040);
  }

  /** What was said to be done. */
  private static final class Ledger {
    int submitted;
    int acknowledged;
    Map<String, String> report;
    Map<String, String> extract;
    int copied;
    String packed;
    boolean restored;
    boolean withdrawn;
    int copiedAgain;
  }

  private static byte[] bytes(int number, int length) {
    byte[] bytes = new byte[length];
    new Random(number).nextBytes(bytes);
    return bytes;
  }

  private static byte[] picture(int number) {
    return bytes(number, 600 + 200 * number);
  }

  private static Photo photo(int number) {
    return new Photo(
        Sha256.of(picture(number)),
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

  private static final byte[] VIDEO = bytes(77, 2300);

  /** An archive with one job of two photos and a video, all of it forced. */
  private static void begin(Path root) throws IOException {
    Archive archive = Archive.create(root.resolve("archive"), new RealDisk());
    Archive.create(root.resolve("second archive"), new RealDisk());
    JobFolder job = archive.createJob("wren", Examples.header(), "t", Examples.AT);
    try (JournalWriter w = JournalWriter.open(job, "t", CLOCK)) {
      for (int i = 0; i < 2; i++) {
        job.originals().keep(photo(i).id(), "jpg", picture(i));
      }
      job.originals().keep(Sha256.of(VIDEO), "mp4", VIDEO);
      w.append(
          "t",
          1,
          List.of(
              new Edit.PutCamera(new Camera("A", "Fenwick", "F-2", null, null, null)),
              new Edit.AddPhotos(List.of(photo(0), photo(1))),
              new Edit.AddAttachments(
                  List.of(
                      new Attachment(
                          Sha256.of(VIDEO), "V.MP4", "", VIDEO.length, "mp4", Examples.AT)))));
    }
  }

  private static void append(JournalWriter w, Ledger l, long step, Edit... edits) {
    l.submitted += edits.length;
    w.append("t", step, List.of(edits));
    l.acknowledged = l.submitted;
  }

  private static Map<String, String> put(UnsteadyDisk disk, Path folder, String... names)
      throws IOException {
    Map<String, String> files = new TreeMap<>();
    for (String name : names) {
      byte[] content = (name + "\n").repeat(90).getBytes(StandardCharsets.UTF_8);
      Path file = folder.resolve(name);
      disk.createFolder(file.getParent());
      disk.write(file, content);
      files.put(name, Sha256.hex(content));
    }
    return files;
  }

  private static void work(Path root, UnsteadyDisk disk, Ledger l) throws IOException {
    Archive archive = Archive.open(root.resolve("archive"), disk);
    JobFolder job = archive.job("wren");
    try (JournalWriter w = JournalWriter.open(job, "t", CLOCK)) {
      append(w, l, 2, new Edit.KeepUntil(DAY.plusYears(5)), new Edit.SetHold(true, "a letter"));
      Map<String, String> issued =
          put(disk, job.report(1), "report.html", "marked/F1.jpg", "tables/findings.csv");
      IssuedReport report = new IssuedReport(1, false, w.head(), issued);
      job.noteIssued(report);
      append(w, l, 3, new Edit.IssueReport(report));
      l.report = issued;

      Path given = root.resolve("given");
      Map<String, String> handed = put(disk, given, "fix-list.html", "photos/F1.jpg");
      job.keepExtract(1, given, handed);
      append(
          w,
          l,
          4,
          new Edit.RecordExtract(
              new Extract(ExtractKind.FOR_ELECTRICIAN, null, null, w.head(), handed)));
      l.extract = handed;
      copy(archive, root, disk);
      l.copied = l.acknowledged;

      append(w, l, 5, new Edit.SetHold(false, "settled"));
      byte[] video = bytes(78, 900);
      PhotoId id = Sha256.of(video);
      Path card = Files.write(root.resolveSibling("card.mp4"), video);
      try (Originals.Batch batch = job.originals().batch()) {
        batch.keep(id, "mp4", card, video.length);
        batch.commit();
      }
      append(
          w,
          l,
          6,
          new Edit.AddAttachments(
              List.of(new Attachment(id, "W.MP4", "", video.length, "mp4", Examples.AT))));
      append(w, l, 7, new Edit.WithdrawPhotos(List.of(photo(1).id()), "another house", null));
      job.forget(photo(1).id());
      l.withdrawn = true;
      copy(archive, root, disk);
      l.copiedAgain = l.acknowledged;

      append(w, l, 8, new Edit.StartPacking("bag"));
      String hash =
          JobPackage.write(
              job,
              Files.readAllBytes(job.journalFile()),
              Map.of("about.txt", "about".getBytes(StandardCharsets.UTF_8)),
              DAY,
              null,
              bag(root),
              Progress.NONE);
      job.notePacked("bag", w.head(), hash);
      append(w, l, 9, new Edit.FinishPacking(hash));
      l.packed = hash;
    }
    restore(root, disk);
    l.restored = true;
  }

  private static Path bag(Path root) {
    return root.resolve("packages").resolve("2026").resolve("bag");
  }

  private static void restore(Path root, FileOps disk) {
    Archive second = Archive.open(root.resolve("second archive"), disk);
    JobPackage.Whole whole = JobPackage.open(bag(root), Progress.NONE).orElseThrow();
    JobPackage.restore(second, bag(root), whole, Progress.NONE).orElseThrow();
  }

  private static void copy(Archive archive, Path root, FileOps disk) {
    Path copy = root.resolve("other disk").resolve("copy");
    SecondCopy.Result r = SecondCopy.update(archive, copy, disk, false, AT, Progress.NONE);
    assertTrue(r.whole(), r.problems().toString());
  }

  @ParameterizedTest(name = "seed {0}")
  @MethodSource("seeds")
  void whateverTheDiskForgetsWhatWasSaidToBeDoneIsThere(long seed) throws Exception {
    for (long cut = 0; ; cut++) {
      Path live = dir.resolve("live");
      begin(live);
      UnsteadyDisk disk = new UnsteadyDisk(live, cut, seed * 1000 + cut);
      Ledger ledger = new Ledger();
      boolean done = false;
      try {
        work(live, disk, ledger);
        done = true;
      } catch (UnsteadyDisk.PowerCut e) {
        assertTrue(cut < disk.steps());
      }
      Path after = dir.resolve("after");
      disk.survivors(after);
      check(after, ledger, "seed " + seed + " cut at " + cut);
      delete(live);
      delete(after);
      if (done) {
        System.out.println("seed " + seed + ": the power went at each of " + cut + " writes");
        assertTrue(cut > 150, "the work had " + cut + " steps");
        return;
      }
    }
  }

  @Tag("heavy")
  @ParameterizedTest(name = "seed {0}")
  @MethodSource("manySeeds")
  void whateverTheDiskForgetsWithManySeeds(long seed) throws Exception {
    whateverTheDiskForgetsWhatWasSaidToBeDoneIsThere(seed);
  }

  private static void check(Path root, Ledger l, String say) throws Exception {
    RealDisk disk = new RealDisk();
    Archive archive = Archive.open(root.resolve("archive"), disk);
    JobFolder job = archive.job("wren");
    JournalContent content;
    try (JournalWriter w = JournalWriter.open(job, "t", CLOCK)) {
      content = w.content();
    }
    int recovered = content.entries().size() - 3;
    assertTrue(recovered >= l.acknowledged, say + ": lost");
    assertTrue(recovered <= l.submitted, say + ": made up");
    sound(Verify.job(job, false, List.of(), Progress.NONE), say);
    files(l.report, job.report(1), say);
    files(l.extract, job.extract(1), say);
    if (l.withdrawn) {
      assertFalse(job.originals().has(photo(1).id(), "jpg"), say + ": withdrawn and still there");
    }

    // The second copy at any moment names only what is there.
    Path at = root.resolve("other disk").resolve("copy");
    Optional<SecondCopy.State> state = SecondCopy.state(at);
    assertTrue(l.copied == 0 || state.isPresent() && state.get().whole(), say + ": no copy");
    if (Files.isRegularFile(at.resolve("archive.json"))) {
      Archive copy = Archive.open(at, disk);
      int held = 0;
      // A job's journal comes last: without it the copy does not say yet that it holds the job.
      if (Files.exists(copy.root().resolve("jobs/wren/journal.jsonl"))) {
        held = copy.job("wren").read().entries().size() - 3;
        sound(Verify.job(copy.job("wren"), false, List.of(), Progress.NONE), say + ", copy");
        files(l.copied > 0 ? l.report : null, copy.job("wren").report(1), say + ", copy");
        files(l.copied > 0 ? l.extract : null, copy.job("wren").extract(1), say + ", copy");
      }
      assertTrue(held >= Math.max(l.copied, l.copiedAgain), say + ": the copy lost " + held);
    }

    // The package is whole or not there, and what was acknowledged is there.
    Path bag = bag(root);
    if (Files.exists(bag)) {
      assertEquals(List.of(), Bag.check(bag, Progress.NONE).problems(), say);
    }
    assertTrue(l.packed == null || l.packed.equals(JobPackage.tagManifest(bag)), say);
    Archive second = Archive.open(root.resolve("second archive"), disk);
    if (second.find("wren").isPresent()) {
      sound(Verify.job(second.job("wren"), false, List.of(), Progress.NONE), say + ", restored");
    }
    assertTrue(!l.restored || second.find("wren").isPresent(), say + ": not restored");

    again(root, archive, job, content, disk, say);
  }

  /** What was cut short is done again. */
  private static void again(
      Path root, Archive archive, JobFolder job, JournalContent content, RealDisk disk, String say)
      throws IOException {
    copy(archive, root, disk);
    Archive copy = Archive.open(root.resolve("other disk").resolve("copy"), disk);
    assertEquals(content.head(), copy.job("wren").read().head(), say);
    sound(Verify.job(copy.job("wren"), false, List.of(), Progress.NONE), say + ", copied again");
    List<Edit> edits = content.entries().stream().map(History.Entry::edit).toList();
    boolean begun = edits.get(edits.size() - 1) instanceof Edit.StartPacking;
    if (begun && !Files.exists(bag(root))) {
      JobPackage.clearLeftovers(bag(root));
      JobPackage.write(
          job,
          Files.readAllBytes(job.journalFile()),
          Map.of(),
          DAY,
          null,
          bag(root),
          Progress.NONE);
      assertEquals(List.of(), Bag.check(bag(root), Progress.NONE).problems(), say);
    }
    Archive second = Archive.open(root.resolve("second archive"), disk);
    if (Files.exists(bag(root)) && second.find("wren").isEmpty()) {
      restore(root, disk);
      assertTrue(second.find("wren").isPresent(), say);
    }
  }

  private static void sound(List<Verify.Result> results, String say) {
    for (Verify.Result r : results) {
      assertTrue(r.severity() != Verify.Severity.BROKEN, say + ": " + r);
    }
  }

  private static void files(Map<String, String> files, Path folder, String say) throws IOException {
    if (files == null) {
      return;
    }
    for (Map.Entry<String, String> f : files.entrySet()) {
      assertEquals(f.getValue(), Sha256.of(folder.resolve(f.getKey())).hex(), say + ": " + f);
    }
  }

  /** A hand-over's photos that are originals are not kept twice. */
  @Test
  void aHandOverOfOriginalsKeepsOnlyWhatIsNoOriginal() throws Exception {
    Path live = dir.resolve("live");
    begin(live);
    Archive archive = Archive.open(live.resolve("archive"), new RealDisk());
    JobFolder job = archive.job("wren");
    Path given = dir.resolve("given");
    Files.createDirectories(given.resolve("originals"));
    Files.write(given.resolve("originals/F1.jpg"), picture(0));
    Files.writeString(given.resolve("READ-ME.txt"), "read me");
    Map<String, String> files =
        Map.of(
            "originals/F1.jpg", photo(0).id().hex(),
            "READ-ME.txt", Sha256.of(given.resolve("READ-ME.txt")).hex());
    try (JournalWriter w = JournalWriter.open(job, "t", CLOCK)) {
      job.keepExtract(1, given, files);
      w.append(
          "t",
          2,
          List.of(
              new Edit.RecordExtract(
                  new Extract(ExtractKind.ORIGINALS, null, null, w.head(), files))));
    }
    List<String> kept = new ArrayList<>();
    try (Stream<Path> all = Files.walk(job.extracts())) {
      all.filter(Files::isRegularFile)
          .forEach(f -> kept.add(job.extracts().relativize(f).toString()));
    }
    assertEquals(List.of("0001/READ-ME.txt"), kept);
    assertEquals(0, Verify.exitCode(Verify.job(job, false, List.of(), Progress.NONE)));
    Files.writeString(job.extract(1).resolve("READ-ME.txt"), "other");
    assertEquals(3, Verify.exitCode(Verify.job(job, false, List.of(), Progress.NONE)));
    SecondCopy.Result r =
        SecondCopy.update(archive, dir.resolve("copy"), new RealDisk(), false, AT, Progress.NONE);
    assertFalse(r.whole());
  }

  private static void delete(Path folder) throws IOException {
    List<Path> all;
    try (Stream<Path> walk = Files.walk(folder)) {
      all = new ArrayList<>(walk.toList());
    }
    for (int i = all.size() - 1; i >= 0; i--) {
      Files.delete(all.get(i));
    }
  }
}

package meterside.intake;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeFalse;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.function.Function;
import java.util.stream.Stream;
import meterside.archive.Archive;
import meterside.archive.JobFolder;
import meterside.archive.Sha256;
import meterside.job.Camera;
import meterside.job.Edit;
import meterside.job.Job;
import meterside.job.JobHeader;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.Progress;
import meterside.picture.ExifBlock;
import meterside.picture.TestPictures;
import meterside.trade.Trade;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class IntakeTest {
  @TempDir Path tmp;
  private Path card;
  private Archive archive;
  private JobFolder folder;
  private Job job;
  private final List<List<Edit>> accepted = new ArrayList<>();

  @BeforeEach
  void start() throws IOException {
    card = Files.createDirectories(tmp.resolve("card"));
    archive = Archive.create(tmp.resolve("archive"));
    newJob("one");
  }

  private void newJob(String name) {
    JobHeader header =
        new JobHeader(
            JobHeader.FORMAT,
            "00000000-0000-4000-8000-000000000001",
            "12 Made-up Lane",
            LocalDate.of(2026, 5, 12),
            ZoneId.of("America/Chicago"),
            Trade.standard().route("overhead"),
            Trade.standard().profile("general"));
    folder = archive.createJob(name, header, "tester", Instant.parse("2026-05-12T12:00:00Z"));
    job = Job.start(header);
    accepted.clear();
  }

  private void accept(List<Edit> edits) {
    accepted.add(edits);
    for (Edit e : edits) {
      if (e instanceof Edit.AddPhotos add) {
        for (Photo p : add.photos()) {
          assertTrue(folder.originals().has(p.id(), p.extension()), "bytes before the edit");
        }
      }
      job = e.applyTo(job);
    }
  }

  private Intake.Result take(Path... sources) {
    return take(Intake.Options.PLAIN, Progress.NONE, sources);
  }

  private Intake.Result take(Intake.Options options, Progress progress, Path... sources) {
    return Intake.run(folder, job, List.of(sources), options, this::accept, progress);
  }

  private Path photo(String path, long seed, String make, String model, String time)
      throws IOException {
    return file(path, ExifBlock.camera(make, model, time).into(TestPictures.jpeg(seed)));
  }

  private Path file(String path, byte[] bytes) throws IOException {
    Path file = card.resolve(path);
    Files.createDirectories(file.getParent());
    Files.write(file, bytes);
    Files.setLastModifiedTime(file, FileTime.from(Instant.parse("2026-05-12T20:00:00Z")));
    return file;
  }

  private List<String> names() {
    return job.intakeOrder().stream().map(id -> job.photo(id).name()).toList();
  }

  @Test
  void takesPhotosInPathOrderAndKeepsTheirBytes() throws IOException {
    Path b = photo("b/2.jpg", 1, "Acme", "One", "2026:05:12 09:00:00");
    photo("a/10.jpg", 2, "Acme", "One", "2026:05:12 09:00:01");
    photo("a/z/1.jpg", 3, "Acme", "One", "2026:05:12 09:00:02");
    photo("1.jpg", 4, "Acme", "One", "2026:05:12 09:00:03");
    Intake.Result r = take(card);
    assertEquals(new Intake.Result(4, 0, 0, List.of(), false, 0, r.codes()), r);
    assertEquals(4, r.codes().size());
    assertEquals(List.of("1.jpg", "10.jpg", "1.jpg", "2.jpg"), names());
    Photo last = job.photo(job.intakeOrder().get(3));
    assertEquals("b", last.folder());
    assertEquals(Instant.parse("2026-05-12T20:00:00Z"), last.recorded().fileTime());
    assertEquals("2026:05:12 09:00:00", last.recorded().original());
    assertEquals(Sha256.of(b), last.id());
    assertArrayEquals(Files.readAllBytes(b), folder.originals().bytes(last));
    assertTrue(folder.preview(last.id()).isPresent());
    assertTrue(folder.thumbnail(last.id()).isPresent());
    assertEquals(Files.size(b), last.bytes());
  }

  @Test
  void theSameCommandAgainTakesOnlyWhatIsNew() throws IOException {
    photo("1.jpg", 1, "Acme", "One", "2026:05:12 09:00:00");
    take(card);
    photo("0.jpg", 2, "Acme", "One", "2026:05:12 09:00:01");
    Intake.Result r = take(card);
    assertEquals(1, r.taken());
    assertEquals(1, r.known());
    assertEquals(List.of("1.jpg", "0.jpg"), names());
    assertEquals(List.of("A"), List.copyOf(job.cameras().keySet()));
  }

  @Test
  void theSameContentTwiceIsTakenOnceUnderItsFirstPath() throws IOException {
    photo("b.jpg", 1, "Acme", "One", "2026:05:12 09:00:00");
    photo("a.jpg", 1, "Acme", "One", "2026:05:12 09:00:00");
    photo("c/a.jpg", 1, "Acme", "One", "2026:05:12 09:00:00");
    Intake.Result r = take(card, card.resolve("c"), card.resolve("b.jpg"));
    assertEquals(1, r.taken());
    assertEquals(2, r.known());
    assertEquals(List.of("a.jpg"), names());
  }

  @Test
  void whatIsInAnotherJobIsLeftThereAndSaid() throws IOException {
    photo("1.jpg", 1, "Acme", "One", "2026:05:12 09:00:00");
    Function<PhotoId, Optional<String>> other = id -> Optional.of("last-week");
    Intake.Result r = take(new Intake.Options(false, other, 2), Progress.NONE, card);
    assertEquals(0, r.taken());
    assertEquals(1, r.known());
    assertEquals(
        List.of(
            new Intake.Problem(
                "1.jpg",
                false,
                false,
                "1.jpg is in the job last-week already and was not taken in again.")),
        r.problems());
    assertFalse(r.anyFailed());
    assertEquals(1, take(new Intake.Options(true, other, 2), Progress.NONE, card).taken());
  }

  @Test
  void oneBadFileNeverStopsTheOthers() throws IOException {
    photo("1.jpg", 1, "Acme", "One", "2026:05:12 09:00:00");
    file("2.jpg", new byte[0]);
    file("3.jpg", "shopping".getBytes(StandardCharsets.UTF_8));
    byte[] whole = Files.readAllBytes(photo("x", 4, "Acme", "One", "2026:05:12 09:00:00"));
    Files.delete(card.resolve("x"));
    file("4.jpg", Arrays.copyOf(whole, whole.length * 2 / 3));
    photo("5.jpg", 5, "Acme", "One", "2026:05:12 09:00:00");
    file("6.txt", "notes".getBytes(StandardCharsets.UTF_8));
    file("7", new byte[0]);
    Intake.Result r = take(card);
    assertEquals(3, r.taken());
    assertEquals(2, r.ignored());
    assertTrue(r.anyFailed());
    assertEquals(
        List.of("2.jpg false true", "3.jpg false true", "4.jpg true true"),
        r.problems().stream().map(p -> p.file() + " " + p.kept() + " " + p.failed()).toList());
    for (Intake.Problem p : r.problems()) {
      assertTrue(p.sentence().startsWith(p.file()), p.sentence());
    }
    Photo damaged = job.photosNamed("4.jpg").get(0);
    assertTrue(damaged.trouble().contains("damaged"));
    assertTrue(folder.preview(damaged.id()).isEmpty());
    assertEquals("2026:05:12 09:00:00", damaged.recorded().original());
    assertTrue(Files.exists(card.resolve("2.jpg")));
  }

  @Test
  void aPhotoUnderAStrangeNameIsTakenForWhatItIs() throws IOException {
    Files.move(photo("1.jpg", 1, "Acme", "One", "2026:05:12 09:00:00"), card.resolve("1.dat"));
    take(card);
    assertEquals("jpg", job.photosNamed("1.dat").get(0).extension());
  }

  @Test
  void hiddenAndSystemFilesAndLinksAreIgnored() throws IOException {
    photo("1.jpg", 1, "Acme", "One", "2026:05:12 09:00:00");
    photo("._1.jpg", 2, "Acme", "One", "2026:05:12 09:00:00");
    photo(".hidden/1.jpg", 3, "Acme", "One", "2026:05:12 09:00:00");
    photo("$RECYCLE.BIN/1.jpg", 4, "Acme", "One", "2026:05:12 09:00:00");
    Path outside = Files.createDirectories(tmp.resolve("outside"));
    Files.write(outside.resolve("2.jpg"), TestPictures.jpeg(9));
    int links = 0;
    try {
      Files.createSymbolicLink(card.resolve("out"), outside);
      Files.createSymbolicLink(card.resolve("2.jpg"), outside.resolve("2.jpg"));
      Files.createSymbolicLink(card.resolve("loop"), card);
      links = 3;
    } catch (IOException | UnsupportedOperationException e) {
      System.out.println("this system makes no links; only hidden files are tested");
    }
    Intake.Result r = take(card);
    assertEquals(1, r.taken());
    assertEquals(3 + links, r.ignored());
    assertEquals(List.of(), r.problems());
  }

  @Test
  void theArchiveItselfIsNeverASource() throws IOException {
    photo("1.jpg", 1, "Acme", "One", "2026:05:12 09:00:00");
    take(card);
    assertThrows(IntakeRefused.class, () -> take(folder.originals().folder()));
    newJob("two");
    assertEquals(1, take(tmp).taken(), "a folder that holds the archive is walked without it");
  }

  @Test
  void aMissingFolderIsSaidAndTheRestIsDone() throws IOException {
    photo("1.jpg", 1, "Acme", "One", "2026:05:12 09:00:00");
    Intake.Result r = take(card, tmp.resolve("no-such-card"));
    assertEquals(1, r.taken());
    Intake.Problem missing = r.problems().get(0);
    assertTrue(missing.sentence().contains("no-such-card"), missing.sentence());
    assertTrue(missing.failed());
    assertFalse(missing.kept());
  }

  @Test
  void aFolderThatMayNotBeReadIsSaidAndTheRestIsDone() throws IOException {
    photo("1.jpg", 1, "Acme", "One", "2026:05:12 09:00:00");
    Path closed = photo("closed.jpg", 2, "Acme", "One", "2026:05:12 09:00:00");
    assumeTrue(closed.toFile().setReadable(false), "permissions can't be taken away here");
    assumeFalse(Files.isReadable(closed), "this user reads everything");
    Intake.Result r = take(card);
    assertEquals(1, r.taken());
    assertEquals("closed.jpg", r.problems().get(0).file());
    assertTrue(r.anyFailed());
  }

  @Test
  void camerasAreToldApartByMakeModelSerialAndElseByFolder() throws IOException {
    photo("a/DCIM/100ACMEE/1.jpg", 1, "Acme", "One", "2026:05:12 09:00:00");
    photo("a/DCIM/101ACMEE/1.jpg", 2, "Acme", "One", "2026:05:12 09:00:00");
    photo("b/DCIM/100ACMEE/1.jpg", 3, "Acme", "One", "2026:05:12 09:00:00");
    photo("b/DCIM/100ACMEE/2.jpg", 4, "Acme", "Two", "2026:05:12 09:00:00");
    for (String dir : new String[] {"c", "d"}) {
      file(
          dir + "/1.jpg",
          ExifBlock.camera("Acme", "One", "2026:05:12 09:00:00")
              .exif(0xa431, "S-77")
              .into(TestPictures.jpeg(dir.charAt(0))));
    }
    take(card);
    assertEquals(
        List.of("A", "A", "B", "C", "D", "D"),
        job.intakeOrder().stream().map(id -> job.photo(id).camera()).toList());
    assertEquals(new Camera("B", "Acme", "One", null, "b", null), job.cameras().get("B"));
    assertEquals(new Camera("D", "Acme", "One", "S-77", null, null), job.cameras().get("D"));
    // Later, from the phone's folder alone, cameras are known again and letters go on.
    photo("b/DCIM/100ACMEE/9.jpg", 9, "Acme", "One", "2026:05:12 09:00:00");
    photo("b/DCIM/100ACMEE/99.jpg", 10, "Other", "One", "2026:05:12 09:00:00");
    take(card.resolve("b"));
    assertEquals("B", job.photosNamed("9.jpg").get(0).camera());
    assertEquals("E", job.photosNamed("99.jpg").get(0).camera());
  }

  @Test
  void lettersGoOnAfterZ() {
    assertEquals("A", Cameras.letters(0));
    assertEquals("Z", Cameras.letters(25));
    assertEquals("AA", Cameras.letters(26));
    assertEquals("ZZ", Cameras.letters(701));
    assertEquals("AAA", Cameras.letters(702));
  }

  @Test
  void missingZeroAndFactoryDatesAreNotedAndNoFailure() throws IOException {
    file("1.jpg", TestPictures.jpeg(1));
    photo("2.jpg", 2, "Acme", "One", "0000:00:00 00:00:00");
    photo("3.jpg", 3, "Acme", "One", "    :  :     :  :  ");
    photo("4.jpg", 4, "Acme", "One", "2000:01:01 00:00:13");
    photo("5.jpg", 5, "Acme", "One", "2026:05:12 09:00:00");
    Intake.Result r = take(card);
    assertEquals(5, r.taken());
    assertFalse(r.anyFailed());
    Map<String, String> said =
        Map.of(
            "1.jpg", "records nothing",
            "2.jpg", "zeros",
            "3.jpg", "does not record when",
            "4.jpg", "2000-01-01");
    assertEquals(4, r.problems().size());
    for (Intake.Problem p : r.problems()) {
      assertTrue(p.sentence().contains(said.get(p.file())), p.sentence());
      assertTrue(p.kept());
    }
  }

  @Test
  void progressReachesItsEnd() throws IOException {
    for (int i = 0; i < 5; i++) {
      photo(i + ".jpg", i, "Acme", "One", "2026:05:12 09:00:00");
    }
    AtomicInteger most = new AtomicInteger();
    Progress counting =
        new Progress() {
          @Override
          public void at(long done, long total) {
            assertEquals(5, total);
            most.accumulateAndGet((int) done, Math::max);
          }

          @Override
          public boolean cancelled() {
            return false;
          }
        };
    take(Intake.Options.PLAIN, counting, card);
    assertEquals(5, most.get());
  }

  @Test
  void afterCancellingABeginningIsThereAndTheRestFollows() throws IOException {
    many(100);
    Job whole = undisturbed();
    for (int at : new int[] {0, 1, 31, 32, 33, 64}) {
      newJob("cancelled-at-" + at);
      AtomicInteger done = new AtomicInteger();
      Progress stops =
          new Progress() {
            @Override
            public void at(long n, long total) {
              done.set((int) n);
            }

            @Override
            public boolean cancelled() {
              return done.get() >= at;
            }
          };
      Intake.Result first = take(new Intake.Options(false, id -> Optional.empty(), 3), stops, card);
      assertTrue(first.cancelled(), "at " + at);
      assertTrue(first.taken() >= Math.min(at, 1) && first.taken() < 100);
      assertEquals(whole.intakeOrder().subList(0, first.taken()), job.intakeOrder());
      assertEquals(first.taken(), stored(), "no orphans after a cancel");
      Intake.Result second = take(card);
      assertFalse(second.cancelled());
      assertEquals(first.taken(), second.known());
      assertEquals(whole, job);
    }
  }

  @Test
  void afterAnyInterruptionTheSameCommandMakesTheSameJob() throws IOException {
    long seed = Long.getLong("seed", System.nanoTime());
    System.out.println("seed " + seed);
    Random random = new Random(seed);
    many(80);
    Job whole = undisturbed();
    for (int round = 0; round < 8; round++) {
      newJob("interrupted-" + round);
      for (int tries = random.nextInt(4); tries >= 0; tries--) {
        int groups = random.nextInt(3);
        IllegalStateException stop = new IllegalStateException("killed");
        AtomicInteger seen = new AtomicInteger();
        Intake.Options options =
            new Intake.Options(false, id -> Optional.empty(), 1 + random.nextInt(4));
        try {
          Intake.run(
              folder,
              job,
              List.of(card),
              options,
              edits -> {
                if (seen.getAndIncrement() >= groups) {
                  throw stop;
                }
                accept(edits);
              },
              Progress.NONE);
        } catch (IllegalStateException e) {
          assertSame(stop, e);
        }
        assertEquals(whole.intakeOrder().subList(0, job.intakeOrder().size()), job.intakeOrder());
      }
      take(card);
      assertEquals(whole, job, "seed " + seed + ", round " + round);
    }
  }

  @Test
  void oneThreadAndManyMakeTheSameJob() throws IOException {
    many(66);
    take(new Intake.Options(false, id -> Optional.empty(), 1), Progress.NONE, card);
    Job one = job;
    newJob("two");
    take(new Intake.Options(false, id -> Optional.empty(), 8), Progress.NONE, card);
    assertEquals(one, job);
    assertEquals(3, accepted.size(), "one append for each group");
  }

  private Job undisturbed() {
    newJob("whole");
    Intake.Result r = take(card);
    assertEquals(List.of(), r.problems());
    return job;
  }

  private long stored() throws IOException {
    if (!Files.exists(folder.originals().folder())) {
      return 0;
    }
    try (Stream<Path> files = Files.list(folder.originals().folder())) {
      return files.count();
    }
  }

  private void many(int n) throws IOException {
    byte[] jpeg = TestPictures.jpeg(1);
    for (int i = 0; i < n; i++) {
      String time = String.format("2026:05:12 %02d:%02d:%02d", 9 + i / 60, i % 60, i % 50);
      ExifBlock exif = ExifBlock.camera("Acme", i % 3 == 0 ? "One" : "Two", time);
      file(String.format("IMG_%04d.jpg", i), exif.into(jpeg));
    }
  }
}

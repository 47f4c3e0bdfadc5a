package meterside.archive;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.stream.Stream;
import meterside.job.Camera;
import meterside.job.Edit;
import meterside.job.Examples;
import meterside.job.Format;
import meterside.job.IssuedReport;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.Progress;
import meterside.job.Recorded;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A second copy: what comes over, what must not, and what a full disk or a kill leaves. */
class SecondCopyTest {
  private static final Instant AT = Instant.parse("2026-05-13T06:00:00Z");
  @TempDir Path tmp;
  private Archive archive;
  private Path copy;
  private int photos;

  @BeforeEach
  void anArchiveOfTwoJobs() throws IOException {
    archive = Archive.create(tmp.resolve("archive"));
    copy = tmp.resolve("other disk").resolve("copy");
    for (String name : List.of("wren", "finch")) {
      JobFolder job = archive.createJob(name, Examples.header(), "t", Examples.AT);
      try (JournalWriter w = open(job)) {
        w.append(
            "t", 1, List.of(new Edit.PutCamera(new Camera("A", null, null, null, null, null))));
      }
      add(job, 3);
    }
  }

  private static JournalWriter open(JobFolder job) {
    return JournalWriter.open(job, "t", Clock.systemUTC());
  }

  private void add(JobFolder job, int count) throws IOException {
    try (JournalWriter w = open(job)) {
      for (int i = 0; i < count; i++) {
        byte[] bytes = new byte[2000 + photos];
        new Random(photos++).nextBytes(bytes);
        PhotoId id = Sha256.of(bytes);
        job.originals().keep(id, "jpg", bytes);
        w.append("t", 100L + photos, List.of(new Edit.AddPhotos(List.of(photo(id, bytes.length)))));
      }
    }
  }

  private static Photo photo(PhotoId id, int length) {
    return new Photo(
        id,
        id.brief() + ".JPG",
        "",
        length,
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

  private SecondCopy.Result update() {
    return SecondCopy.update(archive, copy, false, AT, Progress.NONE);
  }

  private static Path anOriginal(Archive a, String job) throws IOException {
    try (Stream<Path> files = Files.list(a.job(job).originals().folder())) {
      return files.sorted().findFirst().orElseThrow();
    }
  }

  private static void overwrite(Path file, byte[] bytes) throws IOException {
    assertTrue(file.toFile().setWritable(true));
    Files.write(file, bytes);
  }

  @Test
  void theCopyIsAnArchiveThatHoldsTheSameAndVerifies() throws IOException {
    SecondCopy.Result first = update();
    assertTrue(first.whole(), first.problems().toString());
    assertEquals(2, first.jobs());
    assertEquals(8, first.files()); // two journals, six photos
    Archive there = Archive.open(copy);
    assertEquals(archive.id(), there.id());
    assertEquals(archive.jobNames(), there.jobNames());
    for (String name : archive.jobNames()) {
      assertEquals(archive.job(name).read(), there.job(name).read());
    }
    assertEquals(0, Verify.exitCode(Verify.archive(there, false, Progress.NONE)));
    assertEquals(
        new SecondCopy.State(archive.id(), AT, true), SecondCopy.state(copy).orElseThrow());

    assertEquals(0, update().files(), "nothing new, nothing written");
    add(archive.job("wren"), 1);
    assertEquals(2, update().files(), "the new photo and the journal");
  }

  @Test
  void whatCanBeMadeAgainAndTheLockStayOut() throws IOException {
    archive.job("wren").keepPreview(new PhotoId("0".repeat(64)), new byte[] {1});
    update();
    try (Stream<Path> all = Files.walk(copy)) {
      assertEquals(
          List.of(),
          all.filter(p -> p.toString().contains("derived") || p.endsWith("job.lock")).toList());
    }
  }

  @Test
  void aDamagedPhotoIsNotCopiedAndTheGoodOneThereStays() throws IOException {
    Path damaged = anOriginal(archive, "wren");
    byte[] good = Files.readAllBytes(damaged);
    byte[] bad = good.clone();
    bad[5] ^= 1;
    overwrite(damaged, bad);
    SecondCopy.Result r = update();
    assertEquals(1, r.problems().size());
    assertTrue(r.problems().get(0).contains("wren"), r.problems().get(0));
    assertFalse(SecondCopy.state(copy).orElseThrow().whole());
    assertEquals(List.of("finch"), readable(), "no journal names a photo that the copy lacks");

    overwrite(damaged, good);
    assertTrue(update().whole());
    overwrite(damaged, bad);
    add(archive.job("wren"), 1);
    SecondCopy.Result later = SecondCopy.update(archive, copy, true, AT, Progress.NONE);
    assertTrue(later.whole(), "the copy's own photo is good: " + later.problems());
    assertArrayEquals(good, Files.readAllBytes(anOriginal(Archive.open(copy), "wren")));
  }

  private List<String> readable() {
    return Archive.open(copy).jobNames().stream()
        .filter(n -> Files.exists(Archive.open(copy).job(n).journalFile()))
        .toList();
  }

  @Test
  void aDamagedFileOfTheCopyIsPutRightByTheFullRunAndAShortOneByEveryRun() throws IOException {
    update();
    Path there = anOriginal(Archive.open(copy), "wren");
    byte[] good = Files.readAllBytes(there);
    byte[] bad = good.clone();
    bad[9] ^= 4;
    overwrite(there, bad);
    assertEquals(0, update().files(), "lengths only");
    SecondCopy.Result full = SecondCopy.update(archive, copy, true, AT, Progress.NONE);
    assertEquals(1, full.files());
    assertEquals(1, full.notes().size());
    assertArrayEquals(good, Files.readAllBytes(there));
    overwrite(there, new byte[3]);
    assertEquals(1, update().files());
    assertArrayEquals(good, Files.readAllBytes(there));
  }

  @Test
  void anArchiveThatLostLinesDoesNotTakeThemFromTheCopy() throws IOException {
    update();
    Path journal = archive.job("wren").journalFile();
    byte[] whole = Files.readAllBytes(journal);
    String text = new String(whole, StandardCharsets.UTF_8);
    String cut = text.substring(0, text.lastIndexOf('\n', text.length() - 2) + 1);
    Files.writeString(journal, cut);
    SecondCopy.Result r = update();
    assertEquals(1, r.problems().size());
    assertTrue(r.problems().get(0).contains("lost"), r.problems().get(0));
    assertArrayEquals(whole, Files.readAllBytes(Archive.open(copy).job("wren").journalFile()));

    try (JournalWriter w = open(archive.job("wren"))) {
      w.append("t", 500, List.of(new Edit.SetSite("another way")));
    }
    SecondCopy.Result other = update();
    assertTrue(other.problems().get(0).contains("another way"), other.problems().toString());
    assertArrayEquals(whole, Files.readAllBytes(Archive.open(copy).job("wren").journalFile()));
  }

  @Test
  void aBrokenJournalIsNotCopiedAndABrokenOneOfTheCopyIsPutRight() throws IOException {
    update();
    Path here = archive.job("wren").journalFile();
    Path there = Archive.open(copy).job("wren").journalFile();
    byte[] good = Files.readAllBytes(here);
    byte[] bad = good.clone();
    bad[40] ^= 1;
    Files.write(here, bad);
    assertEquals(1, update().problems().size());
    assertArrayEquals(good, Files.readAllBytes(there));
    Files.write(here, good);
    Files.write(there, bad);
    assertTrue(update().whole());
    assertArrayEquals(good, Files.readAllBytes(there));
  }

  @Test
  void aTornTailStaysOutOfTheCopy() throws IOException {
    Path here = archive.job("wren").journalFile();
    byte[] good = Files.readAllBytes(here);
    Files.writeString(here, "{\"seq\":9", java.nio.file.StandardOpenOption.APPEND);
    assertTrue(update().whole());
    assertArrayEquals(good, Files.readAllBytes(Archive.open(copy).job("wren").journalFile()));
  }

  @Test
  void aWithdrawnPhotoLeavesTheCopyTooAndAJobThatIsGoneStays() throws IOException {
    update();
    JobFolder job = archive.job("wren");
    PhotoId away = job.read().history().job().intakeOrder().get(0);
    Path there = copy.resolve("jobs/wren/photos/" + away.hex() + ".jpg");
    assertTrue(Files.exists(there));
    try (JournalWriter w = open(job)) {
      w.append("t", 300, List.of(new Edit.WithdrawPhotos(List.of(away), "neighbor's house", null)));
    }
    job.forget(away);
    assertTrue(update().whole());
    assertFalse(Files.exists(there));
    assertEquals(0, Verify.exitCode(Verify.archive(Archive.open(copy), false, Progress.NONE)));

    Files.move(archive.root().resolve("jobs/finch"), tmp.resolve("moved away"));
    SecondCopy.Result r = update();
    assertTrue(r.whole());
    assertEquals(1, r.notes().size());
    assertTrue(Archive.open(copy).find("finch").isPresent());
  }

  @Test
  void issuedReportsComeAlong() throws IOException {
    JobFolder job = archive.job("wren");
    Files.createDirectories(job.report(1).resolve("marked"));
    Files.writeString(job.report(1).resolve("report.html"), "<p>one</p>");
    Files.writeString(job.report(1).resolve("marked/a.jpg"), "picture");
    String head = job.read().head();
    IssuedReport issued =
        new IssuedReport(
            1,
            false,
            head,
            Map.of(
                "report.html",
                Sha256.hex("<p>one</p>".getBytes(StandardCharsets.UTF_8)),
                "marked/a.jpg",
                Sha256.hex("picture".getBytes(StandardCharsets.UTF_8))));
    job.noteIssued(issued);
    try (JournalWriter w = open(job)) {
      w.append("t", 400, List.of(new Edit.IssueReport(issued)));
    }
    assertTrue(update().whole());
    Archive there = Archive.open(copy);
    assertEquals("picture", Files.readString(there.job("wren").report(1).resolve("marked/a.jpg")));
    assertEquals(0, Verify.exitCode(Verify.archive(there, false, Progress.NONE)));
  }

  @Test
  void aPlaceThatDoesNotDoIsRefusedAndNotTouched() throws IOException {
    refused(archive.root().resolve("jobs").resolve("copy"));
    refused(archive.root());
    refused(tmp);
    Path other = Files.createDirectory(tmp.resolve("holiday"));
    Files.writeString(other.resolve("beach.txt"), "sand");
    refused(other);
    assertEquals(List.of("beach.txt"), List.of(other.toFile().list()));
    refused(other.resolve("beach.txt"));
    Archive stranger = Archive.create(tmp.resolve("stranger"));
    refused(stranger.root());
    Path strangersCopy = tmp.resolve("strangers copy");
    SecondCopy.update(stranger, strangersCopy, false, AT, Progress.NONE);
    refused(strangersCopy);
    Path link = tmp.resolve("link");
    Files.createSymbolicLink(link, archive.root());
    refused(link.resolve("inside"));
  }

  private void refused(Path place) {
    BadName e =
        assertThrows(
            BadName.class, () -> SecondCopy.update(archive, place, false, AT, Progress.NONE));
    assertEquals(2, e.exitCode());
  }

  @Test
  void onADiskThatFillsUpNothingWrongIsLeftAndItGoesOnAfterRoomIsMade() throws IOException {
    int full = 0;
    for (int room = 0; room < 40_000; room += 1500) {
      Path place = tmp.resolve("full" + room);
      FullDisk disk = new FullDisk(room);
      try {
        SecondCopy.update(archive, place, disk, false, AT, Progress.NONE);
      } catch (DiskFull e) {
        full++;
        assertEquals(4, e.exitCode());
        assertFalse(SecondCopy.state(place).map(SecondCopy.State::whole).orElse(false));
      }
      disk.makeRoom();
      SecondCopy.Result r = SecondCopy.update(archive, place, disk, false, AT, Progress.NONE);
      assertTrue(r.whole(), r.problems().toString());
      assertEquals(0, Verify.exitCode(Verify.archive(Archive.open(place), false, Progress.NONE)));
    }
    assertTrue(full > 5, "full " + full + " times");
  }

  @Test
  void aCopyThatIsStoppedSaysSoAndGoesOnLater() {
    int[] asked = {0};
    SecondCopy.Result r =
        SecondCopy.update(
            archive,
            copy,
            false,
            AT,
            new Progress() {
              @Override
              public void at(long done, long total) {}

              @Override
              public boolean cancelled() {
                return ++asked[0] > 2;
              }
            });
    assertTrue(r.stopped());
    assertFalse(r.whole());
    assertFalse(SecondCopy.state(copy).orElseThrow().whole());
    assertTrue(update().whole());
  }
}

package meterside.archive;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.time.Clock;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import meterside.archive.Verify.NamedHead;
import meterside.archive.Verify.Result;
import meterside.archive.Verify.Severity;
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

class VerifyTest {
  private static final Clock CLOCK = Clock.systemUTC();
  @TempDir Path dir;
  private Archive archive;
  private JobFolder job;
  private final List<Path> originals = new ArrayList<>();
  private String headOfReport;

  @BeforeEach
  void aJobWithThreePhotosAndAReport() throws IOException {
    archive = Archive.create(dir.resolve("archive"));
    job = archive.createJob("wren", Examples.header(), "t", Examples.AT);
    try (JournalWriter w = JournalWriter.open(job, "t", CLOCK)) {
      w.append("t", 1, List.of(new Edit.PutCamera(new Camera("A", null, null, null, null, null))));
      for (int i = 0; i < 3; i++) {
        byte[] bytes = ("picture " + i).getBytes();
        PhotoId id = Sha256.of(bytes);
        originals.add(job.originals().keep(id, "jpg", bytes));
        w.append("t", 1, List.of(new Edit.AddPhotos(List.of(photo(id, "IMG_" + i, bytes.length)))));
      }
      headOfReport = w.head();
      Files.createDirectories(job.report(1));
      Files.writeString(job.report(1).resolve("report.html"), "<p>issued</p>");
      IssuedReport report =
          new IssuedReport(
              1, false, w.head(), Map.of("report.html", Sha256.hex("<p>issued</p>".getBytes())));
      job.noteIssued(report);
      w.append("t", 2, List.of(new Edit.IssueReport(report)));
    }
  }

  private static Photo photo(PhotoId id, String name, int bytes) {
    return new Photo(
        id,
        name,
        "",
        bytes,
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

  private List<Result> verify(boolean quick) {
    List<Result> results = Verify.job(job, quick, List.of(), Progress.NONE);
    for (Result r : results) {
      assertEquals("wren", r.job());
      assertTrue(r.sentence().endsWith("."), r.sentence());
      assertEquals(r.severity() == Severity.FINE, r.advice() == null, r.toString());
    }
    return results;
  }

  private static void overwrite(Path file, String text) throws IOException {
    Files.delete(file);
    Files.writeString(file, text);
  }

  /** What is found besides "fine", as "SEVERITY subject". */
  private List<String> found(boolean quick) {
    return verify(quick).stream()
        .filter(r -> r.severity() != Severity.FINE)
        .map(r -> r.severity() + " " + r.subject())
        .toList();
  }

  private String stored(int i) {
    return "photos/" + originals.get(i).getFileName();
  }

  @Test
  void anUntouchedJobIsFine() {
    for (boolean quick : new boolean[] {true, false}) {
      List<Result> results = verify(quick);
      assertEquals(1, results.size(), results.toString());
      assertEquals(Severity.FINE, results.get(0).severity());
      assertTrue(results.get(0).sentence().contains("3 photos"), results.get(0).sentence());
      assertEquals(0, Verify.exitCode(results));
    }
    assertEquals(
        List.of(Severity.FINE),
        Verify.archive(archive, false, Progress.NONE).stream().map(Result::severity).toList());
  }

  @Test
  void aChangedByteIsFoundByTheFullCheckAndAChangedLengthByTheQuickOneToo() throws Exception {
    overwrite(originals.get(1), "pictuRe 1");
    assertEquals(List.of(), found(true));
    assertEquals(List.of("BROKEN " + stored(1)), found(false));
    assertTrue(verify(false).get(0).sentence().contains("IMG_1"));
    assertEquals(3, Verify.exitCode(verify(false)));
    overwrite(originals.get(1), "picture 1 ");
    assertEquals(List.of("BROKEN " + stored(1)), found(true));
  }

  @Test
  void aMissingPhotoIsBroken() throws Exception {
    Files.delete(originals.get(0));
    assertEquals(List.of("BROKEN " + stored(0)), found(true));
    assertTrue(verify(true).get(0).sentence().contains("IMG_0"));
  }

  @Test
  void whatDoesNotBelongIsSaidAndNothingIsDeleted() throws Exception {
    Path photos = job.originals().folder();
    Files.writeString(photos.resolve("notes.txt"), "mine");
    Files.writeString(photos.resolve(Sha256.hex("later".getBytes()) + ".jpg"), "later");
    Files.writeString(photos.resolve(".x.part"), "half");
    assertEquals(
        List.of(
            "WARNING photos/notes.txt",
            "NOTE photos/.x.part",
            "NOTE photos/" + Sha256.hex("later".getBytes()) + ".jpg"),
        found(false));
    assertEquals(0, Verify.exitCode(verify(false)));
    try (Stream<Path> files = Files.list(photos)) {
      assertEquals(6, files.count());
    }
  }

  @Test
  void aDamagedLineIsNamedAndThePhotosAreStillCheckedByTheirNames() throws Exception {
    List<String> lines = Files.readAllLines(job.journalFile());
    lines.set(2, lines.get(2).replace("IMG_0", "IMG_9"));
    Files.writeString(job.journalFile(), String.join("\n", lines) + "\n");
    overwrite(originals.get(2), "other");
    assertEquals(List.of("BROKEN line 3", "BROKEN " + stored(2)), found(false));
  }

  @Test
  void aTornTailIsANote() throws Exception {
    Files.writeString(job.journalFile(), "{\"seq\":", StandardOpenOption.APPEND);
    assertEquals(List.of("NOTE journal.jsonl"), found(false));
    assertEquals(0, Verify.exitCode(verify(false)));
  }

  @Test
  void aJournalWhoseLastLinesWereCutOffIsFoundByTheReportThatNamesALaterHead() throws Exception {
    List<String> lines = Files.readAllLines(job.journalFile());
    // Only the line that records the report is gone: the head it names is still there.
    Files.writeString(
        job.journalFile(), String.join("\n", lines.subList(0, lines.size() - 1)) + "\n");
    assertEquals(List.of("WARNING reports/0001"), found(false));
    // The line the report was made from is gone too.
    Files.writeString(
        job.journalFile(), String.join("\n", lines.subList(0, lines.size() - 2)) + "\n");
    assertEquals(List.of("BROKEN reports/0001", "NOTE " + stored(2)), found(false));
    assertEquals(3, Verify.exitCode(verify(false)));
  }

  @Test
  void aCutIsFoundByTheHeadThatAReportPrintsEvenWithoutItsNote() throws Exception {
    Files.writeString(
        job.report(1).resolve("report.html"),
        "<p>Photo " + originals.get(0).getFileName() + ", journal " + headOfReport + "</p>");
    Files.delete(job.report(1).resolve("issued.json"));
    List<String> lines = Files.readAllLines(job.journalFile());
    Files.writeString(
        job.journalFile(), String.join("\n", lines.subList(0, lines.size() - 1)) + "\n");
    assertEquals(List.of("WARNING reports/0001"), found(false));
    Files.writeString(
        job.journalFile(), String.join("\n", lines.subList(0, lines.size() - 2)) + "\n");
    assertEquals(List.of("BROKEN reports/0001", "NOTE " + stored(2)), found(false));
  }

  @Test
  void aHeadThatAnIndexNamesMustBeInTheChain() {
    NamedHead right = new NamedHead("the index", headOfReport);
    NamedHead wrong = new NamedHead("the index", "0".repeat(64));
    assertEquals(Severity.FINE, Verify.worst(Verify.job(job, true, List.of(right), Progress.NONE)));
    List<Result> results = Verify.job(job, true, List.of(right, wrong), Progress.NONE);
    assertEquals("BROKEN the index", results.get(0).severity() + " " + results.get(0).subject());
  }

  @Test
  void aChangedMissingOrUnknownReportFileIsFound() throws Exception {
    Path html = job.report(1).resolve("report.html");
    Files.writeString(html, "<p>Issued</p>");
    assertEquals(List.of("BROKEN reports/0001/report.html"), found(false));
    Files.delete(html);
    assertEquals(List.of("BROKEN reports/0001/report.html"), found(true));
    Files.writeString(job.report(1).resolve("issued.json"), "{}");
    assertTrue(found(true).contains("BROKEN reports/0001/issued.json"));
    Files.delete(job.report(1).resolve("issued.json"));
    Files.delete(job.report(1));
    Files.writeString(job.reports().resolve("loose.txt"), "x");
    assertEquals(List.of("WARNING reports/0001", "WARNING reports/loose.txt"), sorted(found(true)));
  }

  private static List<String> sorted(List<String> list) {
    return list.stream().sorted().toList();
  }

  @Test
  void aCheckThatIsStoppedSaysSoAndIsNotCalledFine() {
    Progress stop =
        new Progress() {
          @Override
          public void at(long done, long total) {}

          @Override
          public boolean cancelled() {
            return true;
          }
        };
    List<Result> results = Verify.job(job, false, List.of(), stop);
    assertEquals(List.of(Severity.NOTE), results.stream().map(Result::severity).toList());
  }

  @Test
  void aLostJournalIsBroken() throws Exception {
    Files.delete(job.journalFile());
    assertEquals(List.of("BROKEN journal.jsonl"), found(false));
  }

  @Test
  void aJobThatLostItsJournalIsStillAJob() throws Exception {
    Files.delete(job.journalFile());
    assertEquals(List.of("wren"), archive.jobNames());
    assertEquals(3, Verify.exitCode(Verify.archive(archive, true, Progress.NONE)));
    assertEquals(
        3, assertThrows(BrokenIntegrity.class, () -> archive.job("wren").read()).exitCode());
  }

  @Test
  void aJobOfANewerFormatIsNotChecked() throws Exception {
    String line =
        Files.readString(job.journalFile()).split("\n")[0].replace("\"format\":1", "\"format\":9");
    String body = line.substring(0, line.lastIndexOf(",\"hash\""));
    Files.writeString(
        job.journalFile(), body + ",\"hash\":\"" + Sha256.hex(body.getBytes("UTF-8")) + "\"}\n");
    assertEquals(List.of("NOT_CHECKED journal.jsonl"), found(false));
    assertEquals(4, Verify.exitCode(verify(false)));
  }

  @Test
  void aPhotoThatIsNoFileIsBroken() throws Exception {
    Files.delete(originals.get(0));
    Files.createDirectory(originals.get(0));
    assertEquals(List.of("BROKEN " + stored(0)), found(false));
  }

  @Test
  void aSecondCopyOfTheJournalAndForeignFilesAreSaid() throws Exception {
    Files.copy(job.journalFile(), job.path().resolve("journal (conflict).jsonl"));
    Files.writeString(job.path().resolve("todo.txt"), "x");
    assertEquals(List.of("WARNING journal (conflict).jsonl", "WARNING todo.txt"), found(false));
    assertTrue(verify(false).get(0).sentence().contains("second copy"));
  }

  @Test
  void secondCopiesOfPhotosAndFilesThatAreOnlyOnlineAreSaid() throws Exception {
    String name = originals.get(0).getFileName().toString();
    Path second = originals.get(0).resolveSibling(name.replace(".jpg", " (2).jpg"));
    Files.copy(originals.get(0), second);
    assertEquals(List.of("WARNING photos/" + second.getFileName()), found(false));
    assertTrue(verify(false).get(0).sentence().contains("second copy"));
    Files.delete(second);

    Files.delete(originals.get(0));
    Files.writeString(originals.get(0).resolveSibling("." + name + ".online"), "stands for it");
    assertEquals(List.of("BROKEN " + stored(0)), found(false));
    assertTrue(verify(false).get(0).sentence().contains("not downloaded"));
  }

  @Test
  void aCutThatOnlyAPackageNamesIsFound() throws IOException {
    byte[] whole = Files.readAllBytes(job.journalFile());
    Path bag = dir.resolve("bag");
    String tag;
    try (JournalWriter w = JournalWriter.open(job, "t", CLOCK)) {
      w.append("t", 3, List.of(new Edit.StartPacking("bag")));
      tag =
          JobPackage.write(
              job,
              Files.readAllBytes(job.journalFile()),
              Map.of(),
              java.time.LocalDate.of(2026, 5, 13),
              null,
              bag,
              Progress.NONE);
      job.notePacked("bag", w.head(), tag);
      w.append("t", 4, List.of(new Edit.FinishPacking(tag)));
    }
    JobPackage.Whole packed = JobPackage.read(bag);
    assertEquals(tag, packed.tagManifest());
    assertEquals(List.of(), found(false));
    assertEquals(Severity.FINE, Verify.against(job, packed).orElseThrow().severity());
    Files.write(job.journalFile(), whole); // whole lines are gone, the chain is right in itself
    assertEquals(List.of("BROKEN packages/0001.json"), found(false));
    Result cut = Verify.against(job, packed).orElseThrow();
    assertEquals(Severity.BROKEN, cut.severity());
    assertTrue(cut.sentence().contains("this package"), cut.sentence());
    JobFolder other = archive.createJob("finch", otherHeader(), "t", Examples.AT);
    assertTrue(Verify.against(other, packed).isEmpty(), "another job says nothing about it");
  }

  private static meterside.job.JobHeader otherHeader() {
    meterside.job.JobHeader h = Examples.header();
    return new meterside.job.JobHeader(
        h.format(),
        "3f0c1c9e-0000-4000-8000-000000000002",
        h.site(),
        h.date(),
        h.zone(),
        h.route(),
        h.profile());
  }

  @Test
  void secondCopiesThatSyncingLeavesAreNamedWhereverTheyLie() throws IOException {
    Files.writeString(job.report(1).resolve("report (laptop's copy).html"), "<p>issued</p>");
    assertEquals(List.of("WARNING reports/0001/report (laptop's copy).html"), found(true));
    assertEquals(List.of(), Verify.around(archive));
    Files.writeString(archive.root().resolve("archive 2.json"), "{}");
    Files.writeString(archive.root().resolve("jobs").resolve("wren.tmp"), "");
    Files.createDirectories(archive.root().resolve("jobs").resolve("wren copy"));
    List<Result> around = Verify.around(archive);
    assertEquals(3, around.size(), around.toString());
    assertTrue(around.stream().allMatch(r -> r.severity() == Severity.WARNING));
    assertTrue(around.stream().anyMatch(r -> r.sentence().contains("second copy of archive.json")));
  }

  @Test
  void aJournalThatWasNotDownloadedIsNotCalledLost() throws IOException {
    Files.move(job.journalFile(), job.path().resolve(".journal.jsonl.stand-in"));
    Result r = verify(true).get(0);
    assertEquals(Severity.BROKEN, r.severity());
    assertTrue(r.sentence().contains("not downloaded"), r.sentence());
    Files.delete(job.path().resolve(".journal.jsonl.stand-in"));
    assertTrue(verify(true).get(0).sentence().contains("has lost its journal"));
  }
}

package meterside.work;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import gov.loc.repository.bagit.reader.BagReader;
import gov.loc.repository.bagit.verify.BagVerifier;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.stream.Stream;
import meterside.TestPhotos;
import meterside.archive.ArchiveException;
import meterside.archive.Bag;
import meterside.archive.JournalWriter;
import meterside.job.Edit;
import meterside.job.Job;
import meterside.job.Progress;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Evidence packages: a second reader (the Library of Congress's bagit-java) finds them valid, the
 * identical job comes back from one, and whatever ends in between is finished or withdrawn.
 */
class PackingTest {
  private static final String JOB = "2026-05-12-ember-court-3";

  @TempDir Path tmp;
  private Workspace w;

  @BeforeEach
  void job() throws Exception {
    w = workspace("archive");
    w.newJob(
        JOB, "3 Ember Court", LocalDate.of(2026, 5, 12), ZoneId.of("America/New_York"), "overhead");
    for (int i = 0; i < 5; i++) {
      TestPhotos.photo(i)
          .at(LocalDateTime.of(2026, 5, 12, 9, i))
          .write(tmp.resolve("card/IMG_000" + i + ".JPG"));
    }
    try (JobSession s = JobSession.open(w, JOB)) {
      s.intake(List.of(tmp.resolve("card")), false, Progress.NONE);
      s.act(new Edit.SetFact("client", "R. Alder"));
      s.report(tmp.resolve("report"), false, false, Progress.NONE);
    }
  }

  @AfterEach
  void close() {
    w.close();
  }

  private Workspace workspace(String name) {
    Home home = new Home(tmp.resolve("home"), tmp.resolve(name));
    return Workspace.open(tmp.resolve(name), true, home, Clock.systemUTC());
  }

  private Packing.Packed pack(String name, SigningKey key) {
    try (JobSession s = JobSession.open(w, JOB)) {
      return Packing.pack(s, tmp.resolve(name), key, Progress.NONE).orElseThrow();
    }
  }

  private static Map<String, byte[]> files(Path root) throws Exception {
    Map<String, byte[]> out = new TreeMap<>();
    try (Stream<Path> all = Files.walk(root)) {
      for (Path f : all.filter(Files::isRegularFile).toList()) {
        out.put(root.relativize(f).toString(), Files.readAllBytes(f));
      }
    }
    return out;
  }

  @Test
  void aSecondReaderFindsThePackageValid() throws Exception {
    Path bag = pack("bag", null).folder();
    try (BagVerifier verifier = new BagVerifier()) {
      gov.loc.repository.bagit.domain.Bag read = new BagReader().read(bag);
      verifier.isValid(read, false);
      assertEquals(2, read.getPayLoadManifests().size());
      assertEquals(2, read.getTagManifests().size());
    }
    assertEquals(List.of(), Bag.check(bag, Progress.NONE).problems());
    assertEquals(List.of(), Bag.check(bag, Progress.NONE).warnings());
    String about = Files.readString(bag.resolve("data/about.txt"));
    assertTrue(about.contains("3 Ember Court") && !about.contains("{"), about);
    assertTrue(Verification.ofPackage(bag, Progress.NONE).intact());
  }

  @Test
  void theIdenticalJobComesBackFromAPackage() throws Exception {
    Path bag = pack("bag", null).folder();
    Job before = w.folder(JOB).read().history().job();
    try (Workspace other = workspace("elsewhere")) {
      Packing.Imported imported = Packing.restore(other, bag, Progress.NONE).orElseThrow();
      assertEquals(new Packing.Imported(JOB, false), imported);
      Job after = other.folder(JOB).read().history().job();
      assertEquals(before, after);
      Map<String, byte[]> ours = files(w.folder(JOB).path());
      Map<String, byte[]> theirs = files(other.folder(JOB).path());
      for (String path : ours.keySet()) {
        if (path.startsWith("photos") || path.startsWith("reports")) {
          assertArrayEquals(ours.get(path), theirs.get(path), path);
        }
      }
      String journal = Files.readString(bag.resolve("data/journal.jsonl"));
      assertTrue(Files.readString(w.folder(JOB).journalFile()).startsWith(journal));
      assertTrue(Files.readString(other.folder(JOB).journalFile()).startsWith(journal));
      assertTrue(Verification.of(other, JOB, false, Progress.NONE).intact());
      assertTrue(Packing.restore(other, bag, Progress.NONE).orElseThrow().wasThere());
    }
  }

  @Test
  void aPackedJobTakesNoEditsUntilItIsReopened() {
    pack("bag", null);
    try (JobSession s = JobSession.open(w, JOB)) {
      NotDone refused =
          assertThrows(NotDone.class, () -> s.act(new Edit.SetFact("client", "nobody")));
      assertEquals(NotDone.NOT_NOW, refused.exitCode());
      assertThrows(NotDone.class, s::undo);
      assertThrows(
          NotDone.class, () -> s.intake(List.of(tmp.resolve("card")), false, Progress.NONE));
      assertThrows(NotDone.class, () -> s.report(tmp.resolve("r2"), false, false, Progress.NONE));
      Packing.reopen(s, "the client sent a further photo");
      s.act(new Edit.SetFact("client", "R. Alder and family"));
      assertEquals("R. Alder and family", s.job().facts().get("client"));
    }
    pack("bag-2", null);
  }

  @Test
  void everyChangedFileOfAPackageIsFound() throws Exception {
    Path bag = pack("bag", null).folder();
    for (String path : files(bag).keySet()) {
      Path file = bag.resolve(path);
      byte[] before = Files.readAllBytes(file);
      byte[] after = before.clone();
      after[after.length / 2] ^= 4;
      file.toFile().setWritable(true);
      Files.write(file, after);
      assertFalse(Verification.ofPackage(bag, Progress.NONE).intact(), path);
      try (Workspace other = workspace("refusing")) {
        assertThrows(
            ArchiveException.class, () -> Packing.restore(other, bag, Progress.NONE), path);
        assertEquals(List.of(), other.jobNames());
      }
      Files.write(file, before);
    }
    assertTrue(Verification.ofPackage(bag, Progress.NONE).intact());
  }

  @Test
  void aPackageThatWasWholeWhenTheProgramEndedIsFinishedAtTheNextOpening() throws Exception {
    Path bag = pack("bag", null).folder();
    cutLastLine();
    Files.writeString(w.folder(JOB).derived().resolve("packing.txt"), bag.toString());
    try (JobSession s = JobSession.open(w, JOB)) {
      assertTrue(s.job().packaging().orElseThrow().done());
      assertEquals(1, s.notices().size(), s.notices().toString());
    }
    assertTrue(Verification.of(w, JOB, false, Progress.NONE).intact());
  }

  @Test
  void aPackageThatWasNotWholeIsWithdrawnAtTheNextOpening() throws Exception {
    Path bag = pack("bag", null).folder();
    cutLastLine();
    Files.writeString(w.folder(JOB).derived().resolve("packing.txt"), bag.toString());
    Files.delete(bag.resolve("manifest-sha512.txt"));
    try (JobSession s = JobSession.open(w, JOB)) {
      assertEquals(Optional.empty(), s.job().packaging());
      assertEquals(1, s.notices().size(), s.notices().toString());
      s.act(new Edit.SetFact("client", "R. Alder"));
    }
  }

  @Test
  void aLostNoteWithdrawsThePackage() throws Exception {
    pack("bag", null);
    cutLastLine();
    try (JobSession s = JobSession.open(w, JOB)) {
      assertEquals(Optional.empty(), s.job().packaging());
    }
  }

  @Test
  void aStoppedPackingLeavesNothingAndTheJobOpen() {
    Progress stopped =
        new Progress() {
          @Override
          public void at(long done, long total) {}

          @Override
          public boolean cancelled() {
            return true;
          }
        };
    try (JobSession s = JobSession.open(w, JOB)) {
      assertEquals(Optional.empty(), Packing.pack(s, tmp.resolve("bag"), null, stopped));
      assertEquals(Optional.empty(), s.job().packaging());
    }
    assertEquals(List.of(), List.of(tmp.toFile().list((d, n) -> n.contains("bag"))));
  }

  @Test
  void aPlaceThatIsTakenIsRefusedBeforeAnythingIsWritten() throws Exception {
    Files.createDirectories(tmp.resolve("full"));
    Files.writeString(tmp.resolve("full/letter.txt"), "hello");
    try (JobSession s = JobSession.open(w, JOB)) {
      int edits = s.entries().size();
      assertThrows(
          ArchiveException.class, () -> Packing.pack(s, tmp.resolve("full"), null, Progress.NONE));
      assertThrows(
          NotDone.class, () -> Packing.pack(s, w.root().resolve("bag"), null, Progress.NONE));
      assertEquals(edits, s.entries().size());
    }
  }

  @Test
  void aSignatureFitsItsPackageAndNoOther() throws Exception {
    Home home = new Home(tmp.resolve("home"), tmp.resolve("archive"));
    SigningKey key = SigningKey.findOrMake(home);
    assertEquals(key.fingerprint(), SigningKey.findOrMake(home).fingerprint());
    Path bag = pack("bag", key).folder();
    assertEquals(
        new SigningKey.Signed(SigningKey.Verdict.FITS, key.fingerprint()), SigningKey.check(bag));
    assertTrue(Verification.ofPackage(bag, Progress.NONE).intact());
    if (Files.getFileStore(key.file()).supportsFileAttributeView("posix")) {
      assertEquals(2, Files.getPosixFilePermissions(key.file()).size());
    }
    Path signature = bag.resolve("signature.txt");
    Files.writeString(
        signature, Files.readString(signature).replaceFirst("Signature: .", "Signature: A"));
    assertEquals(SigningKey.Verdict.DOES_NOT_FIT, SigningKey.check(bag).verdict());
    assertFalse(Verification.ofPackage(bag, Progress.NONE).intact());
    try (BagVerifier verifier = new BagVerifier()) {
      verifier.isValid(new BagReader().read(bag), false); // to a bag's tools it is only a tag file
    }
  }

  @Test
  void aPhotoThatIsNotWhatWasTakenInIsNotPacked() throws Exception {
    Path photo;
    try (Stream<Path> photos = Files.list(w.folder(JOB).path().resolve("photos"))) {
      photo = photos.findFirst().orElseThrow();
    }
    photo.toFile().setWritable(true);
    Files.write(photo, new byte[] {1, 2, 3});
    try (JobSession s = JobSession.open(w, JOB)) {
      assertThrows(
          ArchiveException.class, () -> Packing.pack(s, tmp.resolve("bag"), null, Progress.NONE));
      assertEquals(Optional.empty(), s.job().packaging());
    }
    assertFalse(Files.exists(tmp.resolve("bag")));
  }

  /** As if the program had ended between the package and the edit that says it is there. */
  @Test
  void aJournalCutBelowWhatTheIndexWasMadeFromIsToldByAProgramThatNeverSearched() throws Exception {
    try (JobSession s = JobSession.open(w, JOB)) {
      s.act(new Edit.SetFact("weather", "rain"));
    }
    w.pastJobs().catchUp(Progress.NONE);
    w.close();
    w = workspace("archive");
    assertTrue(Verification.of(w, JOB, true, Progress.NONE).intact());
    Path journal = w.folder(JOB).journalFile();
    String text = Files.readString(journal);
    Files.writeString(journal, text.substring(0, text.lastIndexOf('\n', text.length() - 2) + 1));
    Verification v = Verification.of(w, JOB, true, Progress.NONE);
    assertFalse(v.intact(), v.toString());
    // An index whose bytes are not its own accuses nobody.
    w.close();
    w = workspace("archive");
    try (Stream<Path> files = Files.list(w.root().resolve("index"))) {
      for (Path f : files.filter(f -> !f.endsWith("write.lock")).toList()) {
        byte[] bytes = Files.readAllBytes(f);
        bytes[bytes.length / 2] ^= 0x55;
        Files.write(f, bytes);
      }
    }
    assertTrue(Verification.of(w, JOB, true, Progress.NONE).intact());
  }

  private void cutLastLine() throws Exception {
    Path journal = w.folder(JOB).journalFile();
    String text = Files.readString(journal);
    int cut = text.lastIndexOf('\n', text.length() - 2) + 1;
    Files.writeString(journal, text.substring(0, cut));
    try (JournalWriter writer = JournalWriter.open(w.folder(JOB), "t", Clock.systemUTC())) {
      assertFalse(writer.content().history().job().packaging().orElseThrow().done());
    }
  }
}

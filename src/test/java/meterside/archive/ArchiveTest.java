package meterside.archive;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.time.Clock;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.stream.Stream;
import meterside.job.Edit;
import meterside.job.EditRefused;
import meterside.job.Examples;
import meterside.job.History;
import meterside.job.PhotoId;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class ArchiveTest {
  private static final Clock CLOCK =
      Clock.fixed(Instant.parse("2026-05-12T22:00:00.123456Z"), ZoneOffset.UTC);
  @TempDir Path dir;
  private Archive archive;

  @BeforeEach
  void create() {
    archive = Archive.create(dir.resolve("archive"));
  }

  private JobFolder job(String name) {
    return archive.createJob(name, Examples.header(), "tester", Examples.AT);
  }

  // ---- the archive ----

  @Test
  void aNewArchiveIsOpenedAgainWithItsId() throws Exception {
    Archive again = Archive.open(archive.root());
    assertEquals(archive.id(), again.id());
    assertEquals(archive.created(), again.created());
    assertEquals(List.of(), again.jobNames());
    assertTrue(Files.isDirectory(archive.root().resolve("jobs")));
    assertEquals(archive.root().resolve("index"), archive.indexDir());
    String marker = Files.readString(archive.root().resolve("archive.json"));
    assertTrue(
        marker.matches("\\{\"format\":1,\"id\":\"[0-9a-f-]{36}\",\"created\":\"[^\"]+Z\"}\n"));
    assertEquals(archive.id(), Archive.openOrCreate(archive.root()).id());
    assertThrows(AlreadyThere.class, () -> Archive.create(archive.root()));
  }

  @Test
  void whatIsNoArchiveIsSaid() throws Exception {
    assertEquals(
        2, assertThrows(NotAnArchive.class, () -> Archive.open(dir.resolve("none"))).exitCode());
    Path file = Files.writeString(dir.resolve("file"), "x");
    assertThrows(NotAnArchive.class, () -> Archive.open(file));
    assertThrows(NotAnArchive.class, () -> Archive.openOrCreate(file));
    for (String bad : List.of("", "{", "[]", "{\"format\":\"1\"}", "{\"format\":1,\"id\":\"x\"}")) {
      Files.writeString(archive.root().resolve("archive.json"), bad);
      assertThrows(NotAnArchive.class, () -> Archive.open(archive.root()), bad);
    }
  }

  @Test
  void anArchiveThatLostItsMarkerIsNotMadeAnew() throws Exception {
    job("wren");
    Files.delete(archive.root().resolve("archive.json"));
    assertThrows(NotAnArchive.class, () -> Archive.openOrCreate(archive.root()));
  }

  @Test
  void anArchiveOfANewerFormatIsRefused() throws Exception {
    Files.writeString(archive.root().resolve("archive.json"), "{\"format\":2,\"new\":true}");
    NewerFormat e = assertThrows(NewerFormat.class, () -> Archive.open(archive.root()));
    assertEquals(4, e.exitCode());
    assertTrue(e.getMessage().contains("newer version"));
  }

  @Test
  void whateverStandsInTheMarkerTheArchiveOpensOrASentenceSaysWhyNot() throws Exception {
    long seed = Long.getLong("seed", 1);
    System.out.println("marker mutations, seed " + seed);
    Random random = new Random(seed);
    Path marker = archive.root().resolve("archive.json");
    byte[] right = Files.readAllBytes(marker);
    int opened = 0;
    for (int i = 0; i < 3000; i++) {
      byte[] bytes = right.clone();
      for (int n = random.nextInt(4); n >= 0; n--) {
        bytes[random.nextInt(bytes.length)] = (byte) random.nextInt(256);
      }
      Files.write(marker, Arrays.copyOf(bytes, right.length - random.nextInt(3) * 10));
      try {
        Archive.open(archive.root());
        opened++;
      } catch (NotAnArchive | NewerFormat e) {
        assertTrue(e.getMessage().contains("Nothing was changed"), e.getMessage());
      }
    }
    assertTrue(opened < 3000, "opened " + opened);
  }

  // ---- jobs ----

  @Test
  void jobsAreListedByNameAndFound() throws Exception {
    job("b");
    job("2026-05-12-wren-hollow-18");
    job("Ägypten 3");
    Files.createDirectory(archive.root().resolve("jobs/no journal"));
    Files.writeString(archive.root().resolve("jobs/file"), "x");
    assertEquals(List.of("2026-05-12-wren-hollow-18", "b", "Ägypten 3"), archive.jobNames());
    assertEquals(Optional.empty(), archive.find("no journal"));
    assertEquals(Optional.empty(), archive.find("../jobs/b"));
    assertEquals(2, assertThrows(NoSuchJob.class, () -> archive.job("c")).exitCode());
    JournalContent read = archive.find("b").orElseThrow().read();
    assertEquals(Examples.header(), read.header());
    assertEquals(List.of(), read.entries());
  }

  @Test
  void aJobIsNotStartedTwice() {
    job("wren");
    assertEquals(2, assertThrows(AlreadyThere.class, () -> job("wren")).exitCode());
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "",
        " ",
        ".",
        "..",
        ".hidden",
        "a/b",
        "a\\b",
        "../up",
        "a:b",
        "a*",
        "a?",
        "a|b",
        "a<b",
        "a>b",
        "a\"b",
        "a\nb",
        "a\u0000b",
        "a\u007fb",
        "a\u202eb",
        "a\ud800b",
        "end.",
        "end ",
        " start",
        "CON",
        "con",
        "Con.txt",
        "con .txt",
        "NUL",
        "aux",
        "PRN",
        "com1",
        "COM9.jpg",
        "lpt0",
        "LPT\u00b2",
        "conin$",
        "CONOUT$"
      })
  void aNameThatIsNoFolderNameOnEverySystemIsRefused(String name) {
    BadName e = assertThrows(BadName.class, () -> job(name));
    assertEquals(2, e.exitCode());
    assertFalse(e.getMessage().chars().anyMatch(c -> c < ' '));
    assertEquals(List.of(), archive.jobNames());
  }

  @Test
  void aNameMayHaveAHundredCharactersAndNotMore() {
    job("n".repeat(100));
    assertThrows(BadName.class, () -> job("n".repeat(101)));
    // 255 bytes is the most that common file systems take.
    assertThrows(BadName.class, () -> job("日".repeat(100)));
    job("console com10 lpt nullable");
  }

  // ---- the writer ----

  @Test
  void appendedEditsAreReadBackWithTimeAuthorAndStep() {
    JobFolder job = job("wren");
    List<History.Entry> written;
    try (JournalWriter w = JournalWriter.open(job, "tester", CLOCK)) {
      written =
          w.append(
              "ann",
              1,
              List.of(new Edit.SetFact("weather", "rain"), new Edit.SetFact("power", "on")));
      assertEquals(Optional.of(w.head()), job.lastHead());
      assertEquals(List.of(), w.append("ann", 2, List.of()));
    }
    Instant at = Instant.parse("2026-05-12T22:00:00.123Z");
    assertEquals(
        List.of(
            new History.Entry(2, at, "ann", 1, new Edit.SetFact("weather", "rain")),
            new History.Entry(3, at, "ann", 1, new Edit.SetFact("power", "on"))),
        written);
    assertEquals(written, job.read().entries());
    try (JournalWriter w = JournalWriter.open(job, "tester", CLOCK)) {
      assertEquals(written, w.content().entries());
      assertEquals(4, w.append("ann", 2, List.of(new Edit.StepBack())).get(0).seq());
    }
    assertEquals(3, job.read().entries().size());
    assertEquals(4, job.heads().size());
  }

  @Test
  void ofABatchWithARefusedEditNothingIsWritten() throws Exception {
    JobFolder job = job("wren");
    byte[] before = Files.readAllBytes(job.journalFile());
    try (JournalWriter w = JournalWriter.open(job, "t", CLOCK)) {
      List<Edit> edits = List.of(new Edit.SetSite("other"), new Edit.RemoveMark(9));
      assertThrows(EditRefused.class, () -> w.append("t", 1, edits));
      assertThrows(EditRefused.class, () -> w.append("t", 1, List.of(new Edit.StepBack())));
      assertArrayEquals(before, Files.readAllBytes(job.journalFile()));
      w.append("t", 1, List.of(new Edit.SetSite("third")));
    }
    assertEquals("third", job.read().history().job().site());
  }

  @Test
  void aTornTailIsDroppedByReadersAndCutByTheNextWriterWithASentence() throws Exception {
    JobFolder job = job("wren");
    byte[] good = Files.readAllBytes(job.journalFile());
    Files.write(
        job.journalFile(), "{\"seq\":2,\"at".getBytes(), java.nio.file.StandardOpenOption.APPEND);
    JournalContent read = job.read();
    assertTrue(read.tornTail());
    assertEquals(Optional.of(read.head()), job.lastHead());
    assertTrue(Files.size(job.journalFile()) > good.length, "a reader cuts nothing");
    try (JournalWriter w = JournalWriter.open(job, "t", CLOCK)) {
      assertEquals(read.notices(), w.notices());
      assertEquals(1, w.notices().size());
      assertArrayEquals(good, Files.readAllBytes(job.journalFile()));
    }
    try (JournalWriter w = JournalWriter.open(job, "t", CLOCK)) {
      assertEquals(List.of(), w.notices());
    }
  }

  @Test
  void aBrokenJournalIsNotOpenedForWritingAndNotChanged() throws Exception {
    JobFolder job = job("wren");
    byte[] bytes = Files.readAllBytes(job.journalFile());
    bytes[40] ^= 1;
    Files.write(job.journalFile(), bytes);
    assertThrows(BrokenIntegrity.class, () -> JournalWriter.open(job, "t", CLOCK));
    assertArrayEquals(bytes, Files.readAllBytes(job.journalFile()));
    // The lock was given back.
    bytes[40] ^= 1;
    Files.write(job.journalFile(), bytes);
    JournalWriter.open(job, "t", CLOCK).close();
  }

  @Test
  void anInterruptedThreadStillWritesAndTheWriterGoesOn() {
    JobFolder job = job("wren");
    try (JournalWriter w = JournalWriter.open(job, "t", CLOCK)) {
      Thread.currentThread().interrupt();
      w.append("t", 1, List.of(new Edit.SetSite("one")));
      assertTrue(Thread.interrupted());
      w.append("t", 2, List.of(new Edit.SetSite("two")));
    }
    assertEquals(2, job.read().entries().size());
  }

  @Test
  void aJournalThatGrewBehindTheWritersBackIsNotWrittenTo() throws Exception {
    JobFolder job = job("wren");
    try (JournalWriter w = JournalWriter.open(job, "t", CLOCK)) {
      Files.writeString(job.journalFile(), "x", java.nio.file.StandardOpenOption.APPEND);
      long size = Files.size(job.journalFile());
      assertThrows(
          BrokenIntegrity.class, () -> w.append("t", 1, List.of(new Edit.SetSite("other"))));
      assertEquals(size, Files.size(job.journalFile()));
    }
  }

  @Test
  void aSecondWriterOfTheSameProcessIsToldWhoHoldsTheJobSinceWhen() {
    JobFolder job = job("wren");
    try (JournalWriter w = JournalWriter.open(job, "the desk", CLOCK)) {
      assertEquals(List.of(), w.notices());
      for (int i = 0; i < 2; i++) {
        InUse e = assertThrows(InUse.class, () -> JournalWriter.open(job, "other", CLOCK));
        assertEquals(4, e.exitCode());
        assertEquals("the desk", e.who());
        assertEquals(Instant.parse("2026-05-12T22:00:00.123Z"), e.since());
        assertTrue(e.getMessage().contains("the desk") && e.getMessage().contains("2026-05-12"));
      }
      // Reading needs no lock.
      assertEquals(Examples.header(), job.read().header());
    }
    JournalWriter.open(job, "other", CLOCK).close();
  }

  // ---- originals and derived files ----

  @Test
  void anOriginalIsKeptReadOnlyUnderItsHash() throws Exception {
    JobFolder job = job("wren");
    byte[] bytes = "camera".getBytes();
    PhotoId id = Sha256.of(bytes);
    assertFalse(job.originals().has(id, "jpg"));
    Path kept = job.originals().keep(id, "jpg", bytes);
    assertEquals(job.path().resolve("photos").resolve(id.hex() + ".jpg"), kept);
    assertArrayEquals(bytes, Files.readAllBytes(kept));
    assertTrue(job.originals().has(id, "jpg"));
    if (Files.getFileStore(kept).supportsFileAttributeView("posix")) {
      String may = PosixFilePermissions.toString(Files.getPosixFilePermissions(kept));
      assertFalse(may.contains("w"), may);
    }
    assertArrayEquals(bytes, job.originals().bytes(Examples.fullPhoto(id, "x", "A")));
  }

  @Test
  void anOriginalThatIsThereIsAcceptedAndADamagedOneIsPutRight() throws Exception {
    JobFolder job = job("wren");
    byte[] bytes = "camera".getBytes();
    PhotoId id = Sha256.of(bytes);
    Path kept = job.originals().keep(id, "jpg", bytes);
    Object key = Files.readAttributes(kept, "unix:ino").get("ino");
    job.originals().keep(id, "jpg", bytes);
    assertEquals(key, Files.readAttributes(kept, "unix:ino").get("ino"), "not written again");
    for (String damage : List.of("camerX", "came", "")) {
      Files.delete(kept);
      Files.writeString(kept, damage);
      job.originals().keep(id, "jpg", bytes);
      assertArrayEquals(bytes, Files.readAllBytes(kept));
    }
  }

  @Test
  void severalOriginalsAreKeptWithOneForceOfTheFolder() throws Exception {
    CountingOps ops = new CountingOps();
    JobFolder job =
        Archive.open(archive.root(), ops).createJob("wren", Examples.header(), "t", Examples.AT);
    ops.reset();
    try (Originals.Batch batch = job.originals().batch()) {
      for (int i = 0; i < 5; i++) {
        byte[] bytes = ("camera " + i).getBytes();
        batch.keep(Sha256.of(bytes), "jpg", bytes);
      }
      batch.commit();
      batch.commit();
    }
    assertEquals(5, ops.forces);
    assertEquals(1, ops.folderForces);
    // Written, forced and moved, in this order, each.
    assertEquals(List.of("write", "force", "readOnly", "move"), ops.steps.subList(0, 4));
  }

  @Test
  void anExtensionThatWouldLeaveTheFolderIsRefused() {
    JobFolder job = job("wren");
    for (String bad : List.of("", "../x", "JPG", "a/b", "jpg.exe", "123456789")) {
      assertThrows(
          IllegalArgumentException.class,
          () -> job.originals().keep(Examples.P1, bad, new byte[] {1}),
          bad);
    }
  }

  @Test
  void temporaryFilesOfAnInterruptedRunAreClearedByTheHolderOfTheLock() throws Exception {
    JobFolder job = job("wren");
    Path left = job.originals().folder().resolve("." + Examples.P1.hex() + ".jpg.x1.part");
    Path other = job.originals().folder().resolve("note.txt");
    Files.writeString(left, "half");
    Files.writeString(other, "mine");
    job.read();
    assertTrue(Files.exists(left));
    JournalWriter.open(job, "t", CLOCK).close();
    assertFalse(Files.exists(left));
    assertTrue(Files.exists(other));
  }

  @Test
  void derivedPicturesAreKeptReplacedAndMayBeMissingOrTorn() throws Exception {
    JobFolder job = job("wren");
    assertTrue(job.preview(Examples.P1).isEmpty());
    job.keepPreview(Examples.P1, new byte[] {1, 2, 3});
    job.keepPreview(Examples.P1, new byte[] {4, 5});
    job.keepThumbnail(Examples.P1, new byte[] {6});
    assertArrayEquals(new byte[] {4, 5}, job.preview(Examples.P1).orElseThrow());
    assertArrayEquals(new byte[] {6}, job.thumbnail(Examples.P1).orElseThrow());
    Path file = job.derived().resolve("previews").resolve(Examples.P1.hex() + ".jpg");
    Files.write(file, new byte[] {4, 0, 0});
    assertTrue(job.preview(Examples.P1).isEmpty());
    Files.write(file, new byte[0]);
    assertTrue(job.preview(Examples.P1).isEmpty());
    try (Stream<Path> files = Files.list(file.getParent())) {
      assertEquals(1, files.count());
    }
  }
}

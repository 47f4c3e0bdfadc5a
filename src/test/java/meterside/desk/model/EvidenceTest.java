package meterside.desk.model;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.List;
import java.util.stream.Stream;
import meterside.archive.Bag;
import meterside.archive.Sha256;
import meterside.desk.CardMaker;
import meterside.job.Edit;
import meterside.job.Progress;
import meterside.work.Audit;
import meterside.work.Copying;
import meterside.work.Home;
import meterside.work.JobSession;
import meterside.work.SigningKey;
import meterside.work.Workspace;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What the desk does to keep a job, on a real archive, everything on the calling thread. */
class EvidenceTest {
  private static final Instant NOW = Instant.parse("2026-05-12T21:00:00Z");
  @TempDir Path temporary;
  private Home home;
  private Path card;
  private Workspace workspace;
  private Tasks tasks;
  private JobDesk desk;
  private Evidence evidence;

  @BeforeEach
  void open() throws Exception {
    home = new Home(temporary.resolve("home"), null);
    card = temporary.resolve("card");
    CardMaker.small(card, 4);
    openAt(NOW);
    workspace.newJob(
        "one", "18 Wren Hollow", LocalDate.of(2026, 5, 12), ZoneId.of("UTC"), "overhead");
    openJob();
    desk.addPhotos(List.of(card), () -> {});
  }

  private void openAt(Instant now) {
    workspace =
        Workspace.open(temporary.resolve("archive"), true, home, Clock.fixed(now, ZoneOffset.UTC));
    tasks = new Tasks(Threads.calling());
  }

  private void openJob() {
    desk = new JobDesk(JobSession.openOrRead(workspace, "one"), Threads.calling(), tasks);
    evidence = new Evidence(desk);
  }

  @AfterEach
  void close() {
    desk.close();
    workspace.close();
  }

  @Test
  void aJobIsPackedShownAsPackedRefusesChangesAndIsReopenedWithAReason() {
    Path out = temporary.resolve("packages");
    evidence.pack(out, true, () -> {});
    assertFalse(tasks.notice().trouble(), tasks.notice().text());
    Path bag = out.resolve("one-package");
    assertTrue(tasks.notice().text().contains("one-package"));
    assertTrue(Bag.check(bag, Progress.NONE).valid());
    assertTrue(evidence.packed());
    assertTrue(evidence.packedSentence().contains("one-package"));
    assertEquals(out.resolve("one-package-2"), evidence.freeFolder(out));

    desk.release();
    desk.act(false, () -> List.of(new Edit.SetFact("weather", "dry")), () -> {});
    assertTrue(tasks.notice().trouble());
    assertFalse(desk.job().facts().containsKey("weather"));

    evidence.reopen(" ", () -> {});
    assertTrue(tasks.notice().trouble());
    assertTrue(evidence.packed());
    evidence.reopen("a photo was forgotten", () -> {});
    assertFalse(evidence.packed());
    Path report = temporary.resolve("report");
    desk.report(report, false, false, meterside.report.Paper.LETTER, r -> {}, () -> {});
    String fingerprint = SigningKey.find(home).orElseThrow().fingerprint();
    assertTrue(read(report.resolve("report.html")).contains(fingerprint), "the key is named");
    assertTrue(read(bag.resolve("signature.txt")).contains(fingerprint));
    Audit audit = evidence.audit();
    String last = Evidence.line(audit, audit.rows().get(audit.rows().size() - 2));
    assertTrue(last.contains("a photo was forgotten"), last);
    assertTrue(last.startsWith("2026-05-12 21:00:00 "), last);
  }

  private static String read(Path file) {
    try {
      return Files.readString(file);
    } catch (IOException e) {
      throw new java.io.UncheckedIOException(e);
    }
  }

  @Test
  void theCheckSaysWhatIsWrongAndAFineJobIsFine() throws IOException {
    evidence.check(() -> {});
    assertFalse(tasks.notice().trouble(), tasks.notice().text());
    Path photo = aPhoto(temporary.resolve("archive"));
    byte[] bytes = Files.readAllBytes(photo);
    bytes[bytes.length / 2] ^= 1;
    assertTrue(photo.toFile().setWritable(true));
    Files.write(photo, bytes);
    evidence.check(() -> {});
    assertTrue(tasks.notice().trouble());
    assertTrue(tasks.notice().text().contains("SHA-256"), tasks.notice().text());
  }

  private static Path aPhoto(Path archive) throws IOException {
    try (Stream<Path> all = Files.list(archive.resolve("jobs/one/photos"))) {
      return all.sorted().findFirst().orElseThrow();
    }
  }

  @Test
  void theSecondCopyFollowsAnIntakeSaysOfTheCardAndItsAgeStandsInTheFoot() throws Exception {
    assertEquals("No second copy", Copying.ageSentence(workspace));
    workspace.keep(workspace.settings().withSecondCopy(temporary.resolve("copy").toString(), null));
    assertEquals("Second copy: not made yet", Copying.ageSentence(workspace));
    Evidence.copy(workspace, tasks, List.of(card), () -> {});
    assertTrue(tasks.notice().text().contains("may be wiped"), tasks.notice().text());
    assertFalse(tasks.notice().text().contains("Do not"), tasks.notice().text());
    assertEquals("Second copy: of today", Copying.ageSentence(workspace));

    Files.write(aPhoto(temporary.resolve("copy")).resolveSibling("x.txt"), new byte[1]);
    Path there = aPhoto(temporary.resolve("copy"));
    byte[] bytes = Files.readAllBytes(there);
    bytes[9] ^= 1;
    assertTrue(there.toFile().setWritable(true));
    Files.write(there, bytes);
    Evidence.copy(workspace, tasks, List.of(card), () -> {});
    assertTrue(tasks.notice().text().contains("Do not wipe"), tasks.notice().text());

    desk.close();
    workspace.close();
    openAt(NOW.plus(Duration.ofDays(3)));
    assertEquals("Second copy: 3 days old", Copying.ageSentence(workspace));
    openJob();
  }

  @Test
  void theDailyCareIsSilentUnlessSomethingIsWrong() throws IOException {
    workspace.keep(workspace.settings().withSecondCopy(temporary.resolve("copy").toString(), null));
    Files.createDirectories(temporary.resolve("copy"));
    tasks.say(Notice.NONE);
    Evidence.care(workspace, tasks);
    assertEquals(Notice.NONE, tasks.notice());
    assertEquals("Second copy: of today", Copying.ageSentence(workspace));
    Path photo = aPhoto(temporary.resolve("archive"));
    byte[] bytes = Files.readAllBytes(photo);
    bytes[5] ^= 1;
    assertTrue(photo.toFile().setWritable(true));
    Files.write(photo, bytes);
    desk.close();
    workspace.close();
    openAt(NOW.plus(Duration.ofDays(1)));
    Evidence.care(workspace, tasks);
    assertTrue(tasks.notice().trouble());
    assertEquals(1, tasks.notice().details().size());
    openJob();
  }

  @Test
  void aJobIsKeptUntilADayAndHeld() {
    assertFalse(evidence.keepUntil("soon"));
    assertTrue(evidence.keepUntil("2020-05-12"));
    assertEquals("2020-05-12", evidence.keepUntil());
    assertTrue(evidence.past());
    evidence.hold(true, "complaint", () -> {});
    assertTrue(evidence.holdSentence().contains("complaint"));
    evidence.hold(false, "settled", () -> {});
    assertTrue(evidence.keepUntil(""));
    assertEquals("", evidence.keepUntil());
  }

  @Test
  void aJobThatANewerProgramWroteIntoIsShownAndNotChanged() throws IOException {
    int photos = desk.job().photos().size();
    desk.close();
    Path journal = temporary.resolve("archive/jobs/one/journal.jsonl");
    List<String> lines = Files.readAllLines(journal);
    String last = lines.get(lines.size() - 1);
    String previous = last.substring(last.length() - 66, last.length() - 2);
    String body =
        "{\"seq\":"
            + (lines.size() + 1)
            + ",\"at\":\"2026-05-12T21:00:00.000Z\",\"by\":\"t\",\"step\":99,\"type\":\"hologram\","
            + "\"v\":1,\"edit\":{\"x\":1}";
    String hash = Sha256.hex((previous + body).getBytes(StandardCharsets.UTF_8));
    Files.writeString(journal, body + ",\"hash\":\"" + hash + "\"}\n", StandardOpenOption.APPEND);
    byte[] before = Files.readAllBytes(journal);

    openJob();
    assertTrue(desk.session().readOnly());
    assertTrue(tasks.notice().text().contains("newer version"), tasks.notice().text());
    assertEquals(photos, desk.job().photos().size());
    desk.act(false, () -> List.of(new Edit.SetFact("weather", "dry")), () -> {});
    assertTrue(tasks.notice().trouble());
    assertFalse(desk.job().facts().containsKey("weather"));
    evidence.pack(temporary.resolve("packages"), false, () -> {});
    assertTrue(tasks.notice().trouble());
    assertEquals(Sha256.hex(before), Sha256.hex(Files.readAllBytes(journal)));
  }
}

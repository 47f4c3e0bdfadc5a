package meterside.work;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import meterside.TestPhotos;
import meterside.TestVideos;
import meterside.archive.Sha256;
import meterside.archive.Verify;
import meterside.intake.Card;
import meterside.intake.Intake;
import meterside.job.Attachment;
import meterside.job.EditRefused;
import meterside.job.Job;
import meterside.job.PhotoId;
import meterside.job.Progress;
import meterside.job.SourceKind;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Videos beside the photos, what was withdrawn and comes again, and one house of a card. */
class VideosTest {
  private static final LocalDateTime START = LocalDateTime.of(2026, 5, 12, 10, 0);

  @TempDir Path folder;
  private Workspace workspace;
  private Path card;

  @BeforeEach
  void open() throws Exception {
    workspace =
        Workspace.open(
            folder.resolve("archive"),
            true,
            new Home(folder.resolve("home"), null),
            Clock.fixed(Instant.parse("2026-05-12T20:00:00Z"), ZoneOffset.UTC));
    for (String job : List.of("wren-hollow", "mill-lane")) {
      workspace.newJob(job, job, LocalDate.of(2026, 5, 12), ZoneId.of("UTC"), "overhead");
    }
    card = folder.resolve("YARD CARD");
    for (int i = 0; i < 4; i++) {
      TestPhotos.photo(i).at(START.plusSeconds(20L * i)).write(at("IMG_010" + 2 * i + ".jpg"));
    }
    TestVideos.write(1, at("IMG_0103.MOV"));
    TestVideos.write(2, at("IMG_0105.MP4"));
    Files.writeString(at("notes.txt"), "no video");
    Files.writeString(at("not-a-video.mp4"), "only text, whatever its name says");
  }

  private Path at(String name) throws Exception {
    Path dir = card.resolve("DCIM").resolve("100YARDS");
    Files.createDirectories(dir);
    return dir.resolve(name);
  }

  @AfterEach
  void close() {
    workspace.close();
  }

  private static Attachment video(Job job, String name) {
    return job.attachments().values().stream()
        .filter(a -> a.name().equals(name))
        .findFirst()
        .orElseThrow();
  }

  private void sound(String job) {
    List<Verify.Result> results =
        Verify.job(workspace.folder(job), false, List.of(), Progress.NONE);
    assertEquals(0, Verify.exitCode(results), results.toString());
  }

  @Test
  void videosAreKeptByTheirBytesAndAreAtNoStop() throws Exception {
    Path video;
    try (JobSession s = JobSession.open(workspace, "wren-hollow")) {
      Intake.Result r = s.intake(List.of(card), false, Progress.NONE);
      assertEquals(4, r.taken());
      assertEquals(2, r.videos());
      assertEquals(2, r.ignored(), "text files, one of them named like a video");
      Job job = s.job();
      assertEquals(4, job.photos().size());
      Attachment a = video(job, "IMG_0105.MP4");
      assertEquals(Sha256.of(TestVideos.mp4(2)), a.id());
      assertEquals("DCIM/100YARDS", a.folder());
      video = s.folder().originals().path(a.id(), a.extension());
      assertArrayEquals(TestVideos.mp4(2), Files.readAllBytes(video));
      assertEquals("mov", video(job, "IMG_0103.MOV").extension());
      Intake.Result again = s.intake(List.of(card), false, Progress.NONE);
      assertEquals(0, again.videos() + again.taken());
      assertEquals(6, again.known());
    }
    sound("wren-hollow");
    assertTrue(video.toFile().setWritable(true));
    byte[] bytes = Files.readAllBytes(video);
    bytes[100] ^= 1;
    Files.write(video, bytes);
    List<Verify.Result> results =
        Verify.job(workspace.folder("wren-hollow"), false, List.of(), Progress.NONE);
    assertEquals(3, Verify.exitCode(results));
    assertTrue(results.get(0).sentence().contains("IMG_0105.MP4"), results.toString());
  }

  @Test
  void videosGoIntoTheSecondCopyAndThePackageAndIntoNoReport() throws Exception {
    Path copy = folder.resolve("copy");
    Path bag = folder.resolve("out").resolve("bag");
    Path report = folder.resolve("report");
    try (JobSession s = JobSession.open(workspace, "wren-hollow")) {
      s.intake(List.of(card), false, Progress.NONE);
      s.report(report, false, false, Progress.NONE);
      assertTrue(Copying.update(workspace, copy, false, Progress.NONE).whole());
      Copying.Card wipe = Copying.card(workspace, List.of(card), copy, Progress.NONE);
      assertEquals(6, wipe.kept());
      assertTrue(wipe.mayBeWiped(), wipe.sentence());
      TestVideos.write(9, at("IMG_0200.MP4"));
      assertEquals(
          List.of("IMG_0200.MP4"),
          Copying.card(workspace, List.of(card), copy, Progress.NONE).missing());
      Packing.pack(s, bag, null, Progress.NONE).orElseThrow();
    }
    String stored = Sha256.of(TestVideos.mp4(1)).hex() + ".mov";
    assertTrue(Files.isRegularFile(copy.resolve("jobs/wren-hollow/photos").resolve(stored)));
    assertTrue(Files.isRegularFile(bag.resolve("data/photos").resolve(stored)));
    assertTrue(Files.readString(bag.resolve("data/about.txt")).contains("Videos:   2"));
    try (Stream<Path> all = Files.walk(report)) {
      for (Path file : all.filter(Files::isRegularFile).toList()) {
        String text = Files.readString(file, java.nio.charset.StandardCharsets.ISO_8859_1);
        assertFalse(text.contains("IMG_0103"), file.toString());
        assertFalse(file.toString().endsWith(".mov") || file.toString().endsWith(".mp4"));
      }
    }
    Workspace other =
        Workspace.open(
            folder.resolve("restored"),
            true,
            new Home(folder.resolve("home"), null),
            Clock.systemUTC());
    try (other) {
      Packing.restore(other, bag, Progress.NONE).orElseThrow();
      Job job = other.folder("wren-hollow").read().history().job();
      assertEquals(2, job.attachments().size());
      List<Verify.Result> results =
          Verify.job(other.folder("wren-hollow"), false, List.of(), Progress.NONE);
      assertEquals(0, Verify.exitCode(results), results.toString());
    }
  }

  @Test
  void whatWasWithdrawnIsNotTakenInAgainSilently() throws Exception {
    try (JobSession s = JobSession.open(workspace, "wren-hollow")) {
      s.intake(List.of(card), false, Progress.NONE);
      PhotoId photo = s.job().photosNamed("IMG_0102.jpg").get(0).id();
      PhotoId video = video(s.job(), "IMG_0103.MOV").id();
      assertThrows(EditRefused.class, () -> s.withdraw(List.of(video), " "));
      s.withdraw(List.of(photo, video), "another client's yard");
      assertEquals(1, s.job().attachments().size());
      assertFalse(Files.exists(s.folder().originals().path(video, "mov")));

      Intake.Result r = s.intake(List.of(card), false, Progress.NONE);
      assertEquals(0, r.taken() + r.videos());
      List<String> said = r.problems().stream().map(Intake.Problem::sentence).toList();
      assertEquals(2, said.size(), said.toString());
      for (String sentence : said) {
        assertTrue(sentence.contains("2026-05-12 20:00"), sentence);
        assertTrue(sentence.contains("another client's yard"), sentence);
      }
      assertFalse(r.anyFailed());

      Intake.Result all = s.intake(List.of(card), true, Progress.NONE);
      assertEquals(1, all.taken());
      assertEquals(1, all.videos());
      assertTrue(s.job().withdrawnPhotos().isEmpty());
    }
    JobSession.open(workspace, "wren-hollow").close(); // which removes what is withdrawn
    sound("wren-hollow");
  }

  @Test
  void photosAndVideosMoveToAnotherJobAndThatIsSaidWhenTheyComeAgain() throws Exception {
    try (JobSession s = JobSession.open(workspace, "wren-hollow")) {
      s.intake(List.of(card), false, Progress.NONE);
      PhotoId photo = s.job().photosNamed("IMG_0104.jpg").get(0).id();
      PhotoId video = video(s.job(), "IMG_0105.MP4").id();
      s.moveTo(List.of(video, photo), "mill-lane", "the other house");
      Job there = workspace.folder("mill-lane").read().history().job();
      assertEquals(List.of(video), List.copyOf(there.attachments().keySet()));
      assertEquals(1, there.photos().size());
      Intake.Result r = s.intake(List.of(card), false, Progress.NONE);
      assertEquals(0, r.taken() + r.videos());
      assertTrue(r.problems().get(0).sentence().contains("to the job mill-lane"), r.toString());
    }
    sound("wren-hollow");
    sound("mill-lane");
  }

  @Test
  void oneHouseOfACardKeepsTheCardsFoldersAndTakesItsVideosAlong() throws Exception {
    for (int i = 0; i < 6; i++) {
      TestPhotos.photo(50 + i)
          .at(START.plusHours(3).plusSeconds(15L * i))
          .write(at("IMG_030" + 2 * i / 10 + 2 * i % 10 + ".jpg"));
    }
    TestVideos.write(7, at("IMG_0307.MP4"));
    TestVideos.write(8, card.resolve("clips").resolve("far.mp4"));
    Card.Split split = workspace.split(List.of(card), ZoneId.of("UTC"), Progress.NONE);
    assertEquals(2, split.groups().size());
    assertEquals(
        List.of("DCIM/100YARDS/IMG_0103.MOV", "DCIM/100YARDS/IMG_0105.MP4"),
        split.groups().get(0).videos().stream().map(Card.Clip::label).toList());
    assertEquals(1, split.groups().get(1).videos().size());
    assertEquals(1, split.loose().size());
    try (JobSession s = JobSession.open(workspace, "mill-lane")) {
      Intake.Result r = s.intake(split, split.groups().get(1), false, null, Progress.NONE);
      assertEquals(6, r.taken());
      assertEquals(1, r.videos());
      List<String> folders = new ArrayList<>();
      s.job().photos().values().forEach(p -> folders.add(p.folder()));
      assertEquals(List.of("DCIM/100YARDS"), folders.stream().distinct().toList());
      assertEquals("YARD CARD", s.job().cameras().get("A").folder());
      PhotoId any = s.job().intakeOrder().get(0);
      assertEquals(SourceKind.CARD, s.job().source(any).orElseThrow().kind());
    }
    try (JobSession s = JobSession.open(workspace, "wren-hollow")) {
      Intake.Result r = s.intake(split, split.groups().get(0), false, null, Progress.NONE);
      assertEquals(4, r.taken());
      assertEquals("YARD CARD", s.job().cameras().get("A").folder());
    }
  }
}

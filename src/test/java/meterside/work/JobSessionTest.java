package meterside.work;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.charset.StandardCharsets;
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
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Stream;
import meterside.TestPhotos;
import meterside.archive.InUse;
import meterside.job.Edit;
import meterside.job.EditRefused;
import meterside.job.Job;
import meterside.job.PhotoId;
import meterside.job.PlacementBasis;
import meterside.job.Progress;
import meterside.job.StopKey;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class JobSessionTest {
  private static final LocalDateTime START = LocalDateTime.of(2026, 5, 12, 10, 0);

  @TempDir Path folder;
  private Workspace workspace;
  private JobSession session;

  @BeforeEach
  void open() {
    workspace =
        Workspace.open(
            folder.resolve("archive"),
            true,
            new Home(folder.resolve("home"), null),
            Clock.fixed(Instant.parse("2026-05-12T20:00:00Z"), ZoneOffset.UTC));
    workspace.newJob(
        "job", "18 Wren Hollow", LocalDate.of(2026, 5, 12), ZoneId.of("UTC"), "overhead");
    session = JobSession.open(workspace, "job");
  }

  @AfterEach
  void close() {
    session.close();
    workspace.close();
  }

  private void takeIn(int photos) throws Exception {
    Path card = folder.resolve("card");
    for (int i = 0; i < photos; i++) {
      TestPhotos.photo(i)
          .at(START.plusSeconds(20L * i))
          .light(i < photos / 2 ? 14 : 5)
          .write(card.resolve("IMG_" + (100 + i) + ".jpg"));
    }
    session.intake(List.of(card), false, Progress.NONE);
  }

  private JobSession reopened() {
    session.close();
    session = JobSession.open(workspace, "job");
    return session;
  }

  @Test
  void tellsListenersAfterWhatTheyHearIsKept() {
    List<Map<String, String>> heard = new ArrayList<>();
    session.onChange(
        job -> {
          heard.add(job.facts());
          assertEquals(job, workspace.folder("job").read().history().job());
        });
    session.act(new Edit.SetFact("weather", "rain"));
    assertEquals(List.of(Map.of("weather", "rain")), heard);
  }

  @Test
  void writesNothingOfAStepThatTheJobCantTake() {
    Job before = session.job();
    assertThrows(
        EditRefused.class,
        () -> session.act(List.of(new Edit.SetFact("weather", "rain"), new Edit.RemoveMark(9))));
    assertEquals(before, session.job());
    assertEquals(before, reopened().job());
  }

  @Test
  void anIntakeWithItsClocksAndSortingIsOneStep() throws Exception {
    takeIn(12);
    assertEquals(12, session.job().photos().size());
    assertTrue(
        session.job().intakeOrder().stream().allMatch(p -> session.job().placement(p).isPresent()));
    session.undo();
    assertEquals(0, session.job().photos().size());
    session.redo();
    assertEquals(12, session.job().photos().size());
  }

  @Test
  void stepsBackAfterARestart() throws Exception {
    takeIn(4);
    session.act(new Edit.SetFact("weather", "rain"));
    reopened().undo();
    assertEquals(Map.of(), session.job().facts());
    assertEquals(4, session.job().photos().size());
    reopened().redo();
    assertEquals(Map.of("weather", "rain"), session.job().facts());
  }

  @Test
  void aPhotoPutByHandStaysAndItsStepTakesTheSortingBackToo() throws Exception {
    takeIn(12);
    Job sorted = session.job();
    PhotoId last = sorted.inTrueOrder().get(11).id();
    Job now =
        session.actAndSort(
            List.of(new Edit.PlaceByHand(List.of(last), StopKey.of("meter-and-base"))));
    assertEquals(PlacementBasis.BY_HAND, now.placement(last).orElseThrow().basis());
    session.undo();
    assertEquals(sorted, session.job());
  }

  @Test
  void opensWithoutSortingAgain() throws Exception {
    takeIn(12);
    Job sorted = session.job();
    long lines = Files.lines(workspace.folder("job").journalFile()).count();
    assertEquals(sorted, reopened().job());
    assertEquals(lines, Files.lines(workspace.folder("job").journalFile()).count());
  }

  @Test
  void aSecondWriterHearsWhoHoldsTheJob() {
    InUse refused = assertThrows(InUse.class, () -> JobSession.open(workspace, "job"));
    assertEquals(4, refused.exitCode());
    assertTrue(refused.getMessage().contains(workspace.settings().authorOrUser()));
  }

  @Test
  void aDraftLeavesTheJobAsItIsAndAnIssuedReportBarsTheWay() throws Exception {
    takeIn(2);
    Job before = session.job();
    session.report(folder.resolve("draft"), true, false, Progress.NONE);
    assertEquals(before, session.job());
    assertTrue(Files.exists(folder.resolve("draft/report.html")));

    JobSession.Issued issued = session.report(folder.resolve("final"), false, false, Progress.NONE);
    assertEquals(1, issued.number());
    assertEquals(
        Files.readString(folder.resolve("final/report.html")),
        Files.readString(workspace.folder("job").report(1).resolve("report.html")));
    assertThrows(EditRefused.class, session::undo);
    assertFalse(session.undoable().isPresent());
    assertTrue(Verification.of(workspace, "job", false, Progress.NONE).intact());

    // A re-issue gets the next number; the old one stays.
    assertEquals(2, session.report(folder.resolve("final"), false, false, Progress.NONE).number());
    assertTrue(Files.exists(workspace.folder("job").report(1).resolve("report.html")));
  }

  @Test
  void aReportIsSignedByTheAuthorElseTheInspectorAndNeverByTheSystemsUser() throws Exception {
    String user = System.getProperty("user.name");
    System.setProperty("user.name", "qx-login-name");
    try {
      takeIn(2);
      Path out = folder.resolve("out");
      session.report(out, true, false, Progress.NONE);
      assertEquals(Set.of(), delivered(out, "qx-login-name"));
      session.act(new Edit.SetFact("inspector", "Orla Fenn"));
      session.report(out, true, false, Progress.NONE);
      assertTrue(delivered(out, "Orla Fenn").contains("report.html"));
      assertEquals(Set.of(), delivered(out, "qx-login-name"));
      session.act(new Edit.SetFact("inspector", ""));
      workspace.keep(workspace.settings().withAuthor("Imre Tallow", "Home inspector 0000"));
      session.report(out, true, false, Progress.NONE);
      String html = Files.readString(out.resolve("report.html"));
      assertTrue(
          html.contains("<th scope=\"row\">Inspector</th><td dir=\"auto\">Imre Tallow</td>"));
      assertTrue(
          html.contains("<th scope=\"row\">License</th><td dir=\"auto\">Home inspector 0000</td>"));
    } finally {
      System.setProperty("user.name", user);
    }
  }

  /** Names of the delivered files that hold a text. */
  private static Set<String> delivered(Path folder, String text) throws Exception {
    Set<String> out = new TreeSet<>();
    try (Stream<Path> files = Files.walk(folder)) {
      for (Path file : files.filter(Files::isRegularFile).toList()) {
        byte[] bytes = Files.readAllBytes(file);
        if (new String(bytes, StandardCharsets.ISO_8859_1).contains(text)) {
          out.add(folder.relativize(file).toString());
        }
      }
    }
    return out;
  }

  @Test
  void saysHowManyPhotosAreOfOtherDays() throws Exception {
    takeIn(2);
    assertEquals(Optional.empty(), session.otherDays());
    Path card = folder.resolve("other");
    for (int i = 0; i < 3; i++) {
      TestPhotos.photo(50 + i)
          .at(START.plusDays(1 + i / 2).plusSeconds(i))
          .write(card.resolve("IMG_" + i + ".jpg"));
    }
    session.intake(List.of(card), false, Progress.NONE);
    String said = session.otherDays().orElseThrow();
    assertTrue(
        said.startsWith("3 photos of this job are of other days (2026-05-13, 2026-05-14;"), said);
    List<PhotoId> two = session.job().intakeOrder().subList(3, 5);
    session.act(new Edit.SetAside(two, true, "another house"));
    assertTrue(
        session
            .otherDays()
            .orElseThrow()
            .startsWith("1 photo of this job is of another day (2026-05-13;"));
  }

  @Test
  void titlesEveryStepInWords() throws Exception {
    takeIn(2);
    session.act(new Edit.SetFact("weather", "rain"));
    assertEquals(
        List.of("2 photos taken in", "job fact \"weather\" set"),
        session.steps().stream().map(s -> StepTitles.of(s, session.job())).toList());
  }
}

package meterside.desk.model;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.List;
import java.util.Set;
import meterside.TestVideos;
import meterside.desk.CardMaker;
import meterside.job.Edit;
import meterside.job.Finding;
import meterside.job.FindingKind;
import meterside.job.PhotoId;
import meterside.job.StopKey;
import meterside.work.Home;
import meterside.work.JobSession;
import meterside.work.Workspace;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The sheet without a toolkit, on a real archive. */
class SheetTest {
  private static final StopKey METER = StopKey.of("meter-and-base");

  @TempDir Path temporary;
  private Workspace workspace;
  private JobDesk desk;
  private Sheet sheet;
  private List<PhotoId> ids;

  @BeforeEach
  void open() throws Exception {
    Path root = temporary.resolve("archive");
    Home home = new Home(temporary.resolve("home"), root);
    workspace = Workspace.open(root, true, home, Clock.systemUTC());
    workspace.newJob("one", "a house", LocalDate.of(2026, 5, 12), ZoneId.of("UTC"), "overhead");
    Tasks tasks = new Tasks(Threads.calling());
    desk = new JobDesk(JobSession.open(workspace, "one"), Threads.calling(), tasks);
    Path card = temporary.resolve("card");
    CardMaker.small(card, 6);
    desk.addPhotos(List.of(card), () -> {});
    desk.place(desk.walk().order().stream().map(Walk.Thumb::id).toList(), METER);
    ids = desk.walk().order().stream().map(Walk.Thumb::id).toList();
    desk.show(ids.get(0));
    sheet = new Sheet(desk);
  }

  @AfterEach
  void close() {
    desk.close();
    workspace.close();
  }

  @Test
  void aStopOrTheWholeWalkIsLaidOut() {
    assertEquals(List.of(ids), List.of(sheet.order().stream().map(Walk.Thumb::id).toList()));
    desk.place(List.of(ids.get(5)), StopKey.of("service-drop"));
    assertEquals(5, sheet.order().size());
    sheet.scope(Sheet.Scope.WALK);
    assertEquals(2, sheet.parts().size());
    assertEquals("6 photos", sheet.count());
  }

  @Test
  void arrowsGoAlongRowsAndShiftSelects() {
    sheet.stepRow(1, 4, false);
    assertEquals(ids.get(4), desk.current());
    sheet.step(-2, true);
    assertEquals(Set.of(ids.get(2), ids.get(3), ids.get(4)), desk.selection());
    sheet.step(1, true);
    assertEquals(Set.of(ids.get(3), ids.get(4)), desk.selection());
    sheet.selectAll();
    assertEquals(6, desk.selection().size());
  }

  @Test
  void theBestOfSeveralIsKeptInOneStep() {
    List<PhotoId> three = ids.subList(1, 4);
    sheet.keepBest(ids.get(2), three);
    assertEquals(Set.of(ids.get(1), ids.get(3)), desk.job().aside().keySet());
    assertEquals(ids.get(2), desk.current());
    assertTrue(desk.job().aside().get(ids.get(1)).contains(desk.job().photo(ids.get(2)).name()));
    desk.undo();
    assertTrue(desk.job().aside().isEmpty());
  }

  @Test
  void whatShowsAFindingStaysWhenTheBestIsKept() {
    desk.act(
        false,
        () ->
            List.of(
                new Edit.PutFinding(
                    new Finding(
                        1,
                        StopKey.of("service-drop"),
                        null,
                        null,
                        FindingKind.NEEDS_CORRECTION,
                        "Worn.",
                        null,
                        null,
                        List.of(ids.get(1)),
                        null,
                        false))),
        () -> {});
    assertEquals(List.of("F1"), sheet.findings(ids.get(1)));
    sheet.keepBest(ids.get(2), ids.subList(1, 4));
    assertEquals(Set.of(ids.get(3)), desk.job().aside().keySet());
  }

  @Test
  void twoToFourLieSideBySideAndThePhotoShownIsAmongThem() {
    desk.show(ids.get(5));
    assertEquals(List.of(ids.get(4), ids.get(5)), sheet.beside());
    sheet.selectAll();
    assertEquals(Sheet.MOST_BESIDE, sheet.beside().size());
    assertTrue(sheet.beside().contains(desk.current()));
    desk.show(ids.get(0));
    desk.toggle(ids.get(3));
    assertEquals(List.of(ids.get(0), ids.get(3)), sheet.beside());
  }

  @Test
  void whatMayGoIsSetAsideInOneStep() {
    boolean[] told = new boolean[1];
    sheet.look(() -> told[0] = true);
    assertTrue(told[0]);
    int n = sheet.mayGo().size();
    sheet.takeSuggestions();
    assertEquals(n, desk.job().aside().size());
    assertEquals(0, sheet.mayGo().size());
    assertFalse(desk.job().aside().size() == ids.size(), "one of each group stays");
  }

  @Test
  void videosLieAtTheEndOfTheWholeWalkAndAreNotAmongItsPhotos() throws Exception {
    assertEquals(List.of(), sheet.videos());
    Path videos = temporary.resolve("videos");
    TestVideos.write(2, videos.resolve("V2.MP4"));
    TestVideos.write(1, videos.resolve("V1.MP4"));
    desk.addPhotos(List.of(videos), () -> {});
    assertEquals(List.of(), sheet.videos(), "at no stop");
    sheet.scope(Sheet.Scope.WALK);
    assertEquals(List.of("V1.MP4", "V2.MP4"), sheet.videos().stream().map(v -> v.name()).toList());
    assertEquals("0.0 MB", Sheet.size(sheet.videos().get(0)));
    assertEquals(6, sheet.order().size());
  }
}

package meterside.desk.model;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import meterside.desk.CardMaker;
import meterside.job.Answer;
import meterside.job.AnswerKind;
import meterside.job.Callout;
import meterside.job.DutyKey;
import meterside.job.PhotoId;
import meterside.job.PlacementBasis;
import meterside.job.Point;
import meterside.job.StopKey;
import meterside.route.Sorter;
import meterside.work.Home;
import meterside.work.JobSession;
import meterside.work.Workspace;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The open job without a toolkit, on a real archive: everything on the calling thread. */
class JobDeskTest {
  private static final StopKey METER = StopKey.of("meter-and-base");

  @TempDir Path temporary;
  private Workspace workspace;
  private Tasks tasks;
  private JobDesk desk;

  @BeforeEach
  void open() throws Exception {
    Path root = temporary.resolve("archive");
    Home home = new Home(temporary.resolve("home"), root);
    workspace = Workspace.open(root, true, home, Clock.systemUTC());
    workspace.newJob(
        "one", "18 Wren Hollow", LocalDate.of(2026, 5, 12), ZoneId.of("UTC"), "overhead");
    tasks = new Tasks(Threads.calling());
    desk = new JobDesk(JobSession.open(workspace, "one"), Threads.calling(), tasks);
  }

  @AfterEach
  void close() {
    desk.close();
    workspace.close();
  }

  private void addSix() throws Exception {
    Path card = temporary.resolve("card");
    CardMaker.small(card, 6);
    desk.addPhotos(List.of(card), () -> {});
  }

  @Test
  void photosAreTakenInAndTheFootSaysHowMany() throws Exception {
    addSix();
    assertEquals(6, desk.job().photos().size());
    assertEquals("6 photos taken in.", tasks.notice().text());
    assertFalse(tasks.notice().trouble());
    assertNotNull(desk.current());
    desk.addPhotos(List.of(temporary.resolve("card")), () -> {});
    assertEquals("0 photos taken in. 6 were here already.", tasks.notice().text());
  }

  @Test
  void aPhotoPutByHandStaysAndIsFixedForTheSorting() throws Exception {
    addSix();
    PhotoId last = desk.walk().order().get(5).id();
    desk.show(last);
    desk.placeSelection(METER);
    assertEquals(METER, desk.job().placement(last).orElseThrow().at());
    assertEquals(PlacementBasis.BY_HAND, desk.job().placement(last).orElseThrow().basis());
    assertEquals(METER, desk.stop());
    desk.undo();
    assertFalse(desk.job().placement(last).orElseThrow().fixed());
    assertTrue(tasks.notice().text().startsWith("Taken back:"), tasks.notice().text());
    desk.redo();
    assertTrue(desk.job().placement(last).orElseThrow().fixed());
  }

  @Test
  void aFindingWrittenForAMarkIsTiedToItInOneStep() throws Exception {
    addSix();
    desk.addCallout(new Point(0.5, 0.5), "drip-loop");
    int mark = desk.mark();
    assertTrue(mark > 0);
    FindingDraft draft = FindingDraft.start(METER, "drip-loop", desk.current(), mark);
    List<Integer> numbers = new ArrayList<>();
    desk.keepFinding(withSeen(draft, "Cracked."), numbers::add);
    assertEquals(List.of(1), numbers);
    assertEquals(1, ((Callout) desk.job().marks().get(mark)).finding());
    desk.undo();
    assertTrue(desk.job().findings().isEmpty());
    assertEquals(null, ((Callout) desk.job().marks().get(mark)).finding());
    desk.undo();
    assertTrue(desk.job().marks().isEmpty());
    assertEquals(0, desk.mark());
    desk.keepFinding(withSeen(draft, "Loose."), numbers::add);
    assertEquals(List.of(1, 2), numbers, "an undone number is not used again");
  }

  private static FindingDraft withSeen(FindingDraft d, String seen) {
    return new FindingDraft(
        d.number(),
        d.at(),
        d.location(),
        d.part(),
        d.kind(),
        seen,
        d.why(),
        d.who(),
        d.photos(),
        false,
        "",
        "",
        "",
        false,
        d.mark());
  }

  @Test
  void aRefusedActIsASentenceAndChangesNothing() throws Exception {
    addSix();
    var before = desk.job();
    desk.answer(new DutyKey(METER, "no-such-duty"), Answer.of(AnswerKind.NO_CONDITION));
    assertTrue(tasks.notice().trouble());
    assertEquals("There is no duty \"no-such-duty\" at meter-and-base.", tasks.notice().text());
    assertEquals(before, desk.job());
    assertTrue(desk.saved());
  }

  @Test
  void everythingIsThereAgainAfterARestart() throws Exception {
    addSix();
    desk.show(desk.walk().order().get(2).id());
    desk.addCallout(new Point(0.25, 0.75), "meter");
    desk.toggleAside();
    var before = desk.job();
    desk.close();
    desk = new JobDesk(JobSession.open(workspace, "one"), Threads.calling(), tasks);
    assertEquals(before, desk.job());
    desk.undo();
    desk.undo();
    assertTrue(desk.job().marks().isEmpty());
    assertTrue(desk.job().aside().isEmpty());
  }

  @Test
  void steppingGoesAlongTheWalkAndStopsAtItsEnds() throws Exception {
    addSix();
    List<PhotoId> order = desk.walk().order().stream().map(Walk.Thumb::id).toList();
    desk.show(order.get(0));
    desk.step(-1);
    assertEquals(order.get(0), desk.current());
    desk.step(1);
    assertEquals(order.get(1), desk.current());
    desk.step(99);
    assertEquals(order.get(5), desk.current());
    desk.selectTo(order.get(3));
    assertEquals(3, desk.selection().size());
  }

  @Test
  void whatCanNotBeReadIsListedAndTheRestIsTaken() throws Exception {
    Path card = temporary.resolve("bad");
    CardMaker.small(card, 2);
    java.nio.file.Files.writeString(card.resolve("BROKEN.JPG"), "not a picture");
    java.nio.file.Files.writeString(card.resolve("notes.txt"), "hello");
    desk.addPhotos(List.of(card), () -> {});
    assertEquals(2, desk.job().photos().size());
    assertTrue(tasks.notice().trouble());
    assertEquals(1, tasks.notice().details().size());
    assertTrue(tasks.notice().details().get(0).contains("BROKEN.JPG"), tasks.notice().toString());
  }

  @Test
  void theNextOneToLookAtIsWhatIsWorthAskingAndABeginningIsAnsweredWhereItIs() throws Exception {
    addSix();
    List<Sorter.Question> worth = desk.session().ask();
    assertFalse(worth.isEmpty());
    boolean began = false;
    for (Sorter.Question q : worth) {
      desk.nextToLookAt();
      assertEquals(q.photo(), desk.current());
      assertFalse(tasks.notice().isEmpty());
      if (q instanceof Sorter.WhereItBegins border) {
        PhotoId before = border.around().get(border.around().indexOf(q.photo()) - 1);
        desk.beginsHere();
        for (var at :
            List.of(List.of(before, border.before()), List.of(q.photo(), border.after()))) {
          var placed = desk.job().placement((PhotoId) at.get(0)).orElseThrow();
          assertEquals(PlacementBasis.BY_HAND, placed.basis());
          assertEquals(at.get(1), placed.at());
        }
        began = true;
        break;
      }
      desk.beginsHere(); // nothing was asked that it could answer
      assertTrue(desk.job().placement(q.photo()).filter(p -> p.fixed()).isEmpty());
    }
    assertTrue(began, "no beginning was asked for: " + worth);
  }

  @Test
  void whoHeldACameraIsNamedAndTakenAwayAgain() throws Exception {
    addSix();
    String camera = desk.job().cameras().keySet().iterator().next();
    CameraClocks.heldBy(desk, camera, " J. Ostrow ");
    assertEquals("J. Ostrow", desk.job().cameras().get(camera).photographer());
    int entries = desk.session().entries().size();
    CameraClocks.heldBy(desk, camera, "J. Ostrow");
    assertEquals(entries, desk.session().entries().size(), "nothing changed, nothing written");
    CameraClocks.heldBy(desk, camera, " ");
    assertEquals(null, desk.job().cameras().get(camera).photographer());
  }
}

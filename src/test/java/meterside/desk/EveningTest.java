package meterside.desk;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDateTime;
import java.util.List;
import java.util.Optional;
import javafx.scene.Node;
import javafx.scene.input.KeyCode;
import javafx.stage.Stage;
import meterside.desk.model.JobDesk;
import meterside.desk.model.Walk;
import meterside.job.Callout;
import meterside.job.DutyKey;
import meterside.job.PhotoId;
import meterside.job.PlacementBasis;
import meterside.job.Progress;
import meterside.job.StopKey;
import meterside.search.Hit;
import meterside.work.Home;
import meterside.work.SampleJobs;
import meterside.work.Workspace;
import org.junit.jupiter.api.Assumptions;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Drives the real window with mouse and keys through an evening: photos in, one sorted by key and
 * one by drag, two callouts, one tied to a finding, undone and redone, a report, and the job found.
 */
@Tag("window")
class EveningTest {
  private static final StopKey METER = StopKey.of("meter-and-base");
  private static final StopKey DROP = StopKey.of("service-drop");

  @TempDir Path temporary;
  private DeskWindow window;
  private Hand hand;

  @Test
  void anInspectorsEveningFromCardToReport() throws Exception {
    Toolkit.start();
    Path card = temporary.resolve("card");
    LocalDateTime at = LocalDateTime.of(2026, 5, 12, 10, 2, 4);
    for (int i = 0; i < 9; i++) {
      TestCard.photo(
          card,
          "P512000" + (i + 1) + ".JPG",
          at.plusSeconds(20L * i + 200L * (i / 3)),
          i,
          false,
          "Heron 40",
          800);
    }
    Path root = temporary.resolve("archive");
    Home home = new Home(temporary.resolve("home"), root);
    try (DeskThreads threads = new DeskThreads()) {
      window =
          Toolkit.on(
              () -> {
                DeskWindow w =
                    new DeskWindow(
                        new Stage(),
                        Workspace.open(root, true, home, Clock.systemUTC()),
                        home,
                        threads.threads(),
                        new OneFolder(card),
                        path -> {});
                w.start(null);
                return w;
              });
      Toolkit.settle(500);
      hand = new Hand(window.scene());
      startAJobFromTheCard();
      sortOneByKeysAndOneByDrag();
      nameTwoParts();
      tieOneToANewFinding();
      undoAndRedo();
      Path out = issueTheReport();
      assertTrue(Files.size(out.resolve("report.html")) > 1000);
      assertTrue(Files.size(out.resolve("report.pdf")) > 1000);
      findTheJob();
      Toolkit.on(
          () -> {
            window.close();
            window.scene().getWindow().hide();
            return null;
          });
    }
  }

  @Test
  void theWholeEveningWithTheSampleHouse() throws Exception {
    Toolkit.start();
    Assumptions.assumeTrue(
        Files.isRegularFile(Path.of("sample-photos", "demo.json")), "needs the sample photos");
    Path root = temporary.resolve("sample");
    Home home = new Home(temporary.resolve("sample-home"), root);
    String job = SampleJobs.make(root, home, Progress.NONE).get(0);
    try (DeskThreads threads = new DeskThreads()) {
      window =
          Toolkit.on(
              () -> {
                DeskWindow w =
                    new DeskWindow(
                        new Stage(),
                        Workspace.open(root, true, home, Clock.systemUTC()),
                        home,
                        threads.threads(),
                        new OneFolder(root),
                        path -> {});
                w.start(job);
                return w;
              });
      Toolkit.settle(700);
      hand = new Hand(window.scene());
      try {
        noteAJobFact();
        keepTheBetterOfTwo();
        nameASubpanelAndAnswerForIt();
        countAndTestDevices();
        clearBeforeItGoesOut();
        setAClockByAPair();
      } finally {
        Toolkit.on(
            () -> {
              window.close();
              window.scene().getWindow().hide();
              return null;
            });
      }
    }
  }

  private void noteAJobFact() throws Exception {
    hand.key(KeyCode.J);
    hand.find("facts-form");
    Toolkit.settle(150);
    hand.type("Ten past ten"); // the first blank one: when it began
    hand.key(KeyCode.ENTER, KeyCode.CONTROL);
    Toolkit.await("a fact", () -> desk().job().facts().containsValue("Ten past ten"));
  }

  private void keepTheBetterOfTwo() throws Exception {
    Toolkit.on(
        () -> {
          desk().showStop(DROP);
          return null;
        });
    List<PhotoId> two =
        Toolkit.on(() -> desk().walk().stop(DROP).orElseThrow().photos().stream())
            .map(Walk.Thumb::id)
            .toList();
    hand.key(KeyCode.G);
    hand.find("sheet");
    Toolkit.settle(400);
    hand.key(KeyCode.RIGHT, KeyCode.SHIFT);
    Toolkit.await("both selected", () -> desk().selection().size() == 2);
    hand.key(KeyCode.C);
    hand.find("beside");
    Toolkit.settle(300);
    hand.key(KeyCode.DIGIT2);
    Toolkit.await("the other set aside", () -> desk().job().aside().containsKey(two.get(0)));
    hand.key(KeyCode.Z, KeyCode.CONTROL);
    Toolkit.await("taken back", () -> !desk().job().aside().containsKey(two.get(0)));
    hand.key(KeyCode.ESCAPE);
    Toolkit.await("the walk", () -> window.scene().lookup("#walk") != null);
  }

  private void nameASubpanelAndAnswerForIt() throws Exception {
    StopKey panel = StopKey.of("panelboard");
    StopKey sub = new StopKey("panelboard", "workshop subpanel");
    Toolkit.on(
        () -> {
          desk().showStop(panel);
          window.job().begin();
          return null;
        });
    hand.key(KeyCode.I);
    hand.find("instance-name");
    hand.type("workshop subpanel");
    hand.key(KeyCode.ENTER);
    Toolkit.await("an instance", () -> sub.equals(desk().stop()));
    DutyKey cover = new DutyKey(sub, "cover");
    Toolkit.on(
        () -> {
          window.job().notes().duties().openDuty(cover);
          return null;
        });
    hand.key(KeyCode.DIGIT8);
    hand.find("answer-words");
    hand.type("boxes in front");
    hand.key(KeyCode.ENTER);
    Toolkit.await("an answer", () -> desk().job().answer(cover).isPresent());
    assertEquals(
        "cover not removed, because boxes in front",
        Toolkit.on(() -> desk().job().answer(cover).orElseThrow().text()));
  }

  private void countAndTestDevices() throws Exception {
    StopKey rooms = StopKey.of("receptacles-and-switches");
    Toolkit.on(
        () -> {
          desk().showStop(StopKey.of("alarms"));
          window.job().begin();
          return null;
        });
    hand.key(KeyCode.Q);
    Node where = hand.find("new-test");
    Toolkit.settle(200);
    hand.click(where);
    int before = Toolkit.on(() -> desk().job().tests().size());
    hand.type("bedroom");
    hand.key(KeyCode.ENTER);
    Toolkit.await("a test", () -> desk().job().tests().size() == before + 1);
    assertEquals(
        "presence noted, not tested",
        Toolkit.on(() -> desk().job().tests().get(desk().job().tests().lastKey()).notTested()));
    Toolkit.settle(200);
    Toolkit.on(
        () -> {
          window.scene().lookup("#count-receptacles").requestFocus();
          return null;
        });
    DutyKey duty = new DutyKey(rooms, "receptacles");
    int counted = Toolkit.on(() -> desk().job().counts(duty).size());
    hand.type("attic 2 open ground");
    hand.key(KeyCode.ENTER);
    Toolkit.await("a count", () -> desk().job().counts(duty).size() == counted + 1);
    Node sum = hand.find("summary-receptacles");
    String said = Toolkit.on(() -> ((javafx.scene.control.Label) sum).getText());
    assertTrue(said.startsWith((counted + 1) + " rooms, "), said);
    assertTrue(said.contains("1 open ground"), said);
    hand.key(KeyCode.ESCAPE);
    Toolkit.await("the job", () -> window.scene().lookup("#walk") != null);
  }

  private void clearBeforeItGoesOut() throws Exception {
    Toolkit.on(
        () -> {
          window.job().begin();
          return null;
        });
    DutyKey clamps = new DutyKey(StopKey.of("grounding-and-bonding"), "clamps");
    Toolkit.on(
        () -> {
          desk().reopen(clamps);
          return null;
        });
    Toolkit.await("an open duty", () -> desk().job().answer(clamps).isEmpty());
    int open = Toolkit.on(() -> desk().job().openDuties().size());
    hand.key(KeyCode.B);
    hand.find("out-duty");
    Toolkit.settle(200);
    hand.key(KeyCode.DIGIT1);
    Toolkit.await("one less", () -> desk().job().openDuties().size() == open - 1);
    hand.key(KeyCode.ESCAPE);
    Toolkit.await("the job", () -> window.scene().lookup("#walk") != null);
  }

  private void setAClockByAPair() throws Exception {
    Toolkit.on(
        () -> {
          window.job().begin();
          return null;
        });
    hand.key(KeyCode.Y);
    Node axis = hand.find("axis-A");
    Toolkit.settle(200);
    Toolkit.on(
        () -> {
          axis.requestFocus();
          return null;
        });
    hand.key(KeyCode.RIGHT);
    // Both first photos show the clock code, which tells more than a pair of them.
    assertTrue(hand.find("pair-B").isDisabled());
    hand.key(KeyCode.RIGHT);
    Toolkit.await("another photo", () -> !window.scene().lookup("#pair-B").isDisabled());
    hand.click(hand.find("pair-B"));
    Toolkit.await("a pair", () -> desk().job().clock("B").basis() == meterside.job.ClockBasis.PAIR);
    hand.key(KeyCode.Z, KeyCode.CONTROL);
    Toolkit.await(
        "taken back", () -> desk().job().clock("B").basis() != meterside.job.ClockBasis.PAIR);
  }

  private JobDesk desk() {
    return window.job().desk();
  }

  private void startAJobFromTheCard() throws Exception {
    hand.click(hand.find("start-card"));
    hand.find("new-site");
    hand.type("18 Wren Hollow");
    hand.key(KeyCode.ENTER);
    Toolkit.await("the job", () -> window.job() != null);
    Toolkit.await("nine photos", () -> desk().job().photos().size() == 9);
    Toolkit.await("a photo shown", () -> desk().current() != null);
    Toolkit.await("the work to end", () -> window.tasks().count() == 0);
    assertEquals("18 Wren Hollow", Toolkit.on(() -> desk().job().site()));
    Toolkit.settle(400);
  }

  private void sortOneByKeysAndOneByDrag() throws Exception {
    List<PhotoId> order =
        Toolkit.on(() -> desk().walk().order().stream().map(Walk.Thumb::id).toList());
    hand.click(thumb(order.get(1)));
    assertEquals(order.get(1), Toolkit.on(() -> desk().current()));
    hand.key(KeyCode.P);
    hand.find("choice-typed");
    hand.type("meter");
    hand.key(KeyCode.ENTER);
    Toolkit.await(
        "put by keys",
        () -> desk().job().placement(order.get(1)).orElseThrow().basis() == PlacementBasis.BY_HAND);
    assertEquals(METER, Toolkit.on(() -> desk().job().placement(order.get(1)).orElseThrow().at()));

    Toolkit.on(
        () -> {
          desk().show(desk().walk().order().get(0).id());
          return null;
        });
    Toolkit.settle(300);
    PhotoId dragged = Toolkit.on(() -> desk().walk().order().get(0).id());
    hand.to(thumb(dragged));
    hand.dragTo(head(DROP));
    Toolkit.await(
        "put by drag",
        () -> desk().job().placement(dragged).orElseThrow().basis() == PlacementBasis.BY_HAND);
    assertEquals(DROP, Toolkit.on(() -> desk().job().placement(dragged).orElseThrow().at()));
  }

  private void nameTwoParts() throws Exception {
    Node photo = hand.find("photo");
    Toolkit.settle(500);
    hand.key(KeyCode.C);
    hand.to(photo, 0.4, 0.45);
    hand.click();
    hand.find("choice-typed");
    hand.type("drip");
    hand.key(KeyCode.ENTER);
    Toolkit.await("one callout", () -> desk().job().marks().size() == 1);
    hand.to(photo, 0.6, 0.6);
    hand.click();
    hand.find("choice-typed");
    hand.type("weatherhead");
    hand.key(KeyCode.ENTER);
    Toolkit.await("two callouts", () -> desk().job().marks().size() == 2);
    Callout first = (Callout) Toolkit.on(() -> desk().job().marks().get(1));
    Callout second = (Callout) Toolkit.on(() -> desk().job().marks().get(2));
    assertEquals("drip-loop", first.part());
    assertEquals("service-head", second.part());
    assertTrue(first.rings().get(0).x() > 0.3 && first.rings().get(0).x() < 0.5);
  }

  private void tieOneToANewFinding() throws Exception {
    hand.key(KeyCode.ESCAPE); // puts the tool away
    Toolkit.await("a selected mark", () -> desk().mark() == 2);
    hand.key(KeyCode.M);
    Toolkit.await("the first mark", () -> desk().mark() == 1);
    hand.key(KeyCode.T);
    hand.find("choice-typed");
    hand.key(KeyCode.ENTER); // a new finding, since there is none yet
    hand.find("finding-seen");
    Toolkit.settle(200);
    hand.type("Insulation is cracked");
    hand.key(KeyCode.ENTER, KeyCode.CONTROL);
    Toolkit.await("a finding", () -> desk().job().findings().size() == 1);
    assertEquals("Insulation is cracked", Toolkit.on(() -> desk().job().findings().get(1).seen()));
    assertEquals(1, ((Callout) Toolkit.on(() -> desk().job().marks().get(1))).finding());
  }

  private void undoAndRedo() throws Exception {
    hand.key(KeyCode.Z, KeyCode.CONTROL);
    Toolkit.await("the finding taken back", () -> desk().job().findings().isEmpty());
    assertNull(((Callout) Toolkit.on(() -> desk().job().marks().get(1))).finding());
    hand.key(KeyCode.Z, KeyCode.CONTROL);
    Toolkit.await("a callout taken back", () -> desk().job().marks().size() == 1);
    hand.key(KeyCode.Z, KeyCode.CONTROL, KeyCode.SHIFT);
    hand.key(KeyCode.Y, KeyCode.CONTROL);
    Toolkit.await("both taken in again", () -> desk().job().findings().size() == 1);
    assertEquals(2, Toolkit.on(() -> desk().job().marks().size()));
  }

  private Path issueTheReport() throws Exception {
    Path out = temporary.resolve("out");
    hand.key(KeyCode.R, KeyCode.CONTROL);
    Node folder = hand.find("report-folder");
    Toolkit.on(
        () -> {
          ((javafx.scene.control.TextField) folder).setText(out.toString());
          return null;
        });
    hand.click(hand.find("report-final"));
    hand.click(hand.find("report-write"));
    hand.find("report-done");
    assertEquals(1, Toolkit.on(() -> desk().job().reports().size()));
    return out;
  }

  private void findTheJob() throws Exception {
    hand.key(KeyCode.J, KeyCode.CONTROL);
    hand.find("past-words");
    Toolkit.settle(200);
    hand.type("cracked");
    Toolkit.await(
        "the finding among the hits",
        () ->
            window.pastJobs().found() != null
                && window.pastJobs().found().hits().stream()
                    .anyMatch(h -> h.kind() == Hit.Kind.FINDING && h.finding() == 1));
    hand.key(KeyCode.DOWN);
    hand.key(KeyCode.ENTER);
    Toolkit.await("the job again", () -> window.job().root().getScene() != null);
    assertEquals(2, Toolkit.on(() -> desk().notes().named().size()));
  }

  private Node thumb(PhotoId id) throws Exception {
    Node[] found = new Node[1];
    Toolkit.await(
        "a thumbnail",
        () -> {
          for (Node n : window.scene().getRoot().lookupAll(".thumb")) {
            if (n instanceof WalkView.ThumbNode t && id.equals(t.photo()) && t.isVisible()) {
              found[0] = n;
            }
          }
          return found[0] != null;
        });
    return found[0];
  }

  private Node head(StopKey at) throws Exception {
    String title = Toolkit.on(() -> desk().job().title(at));
    Node[] found = new Node[1];
    Toolkit.await(
        "the stop " + title,
        () -> {
          for (Node n : window.scene().getRoot().lookupAll(".walk-head-title")) {
            if (n instanceof javafx.scene.control.Label l && l.getText().equals(title)) {
              found[0] = n;
            }
          }
          return found[0] != null;
        });
    return found[0];
  }

  private record OneFolder(Path card) implements FilePicker {
    @Override
    public Optional<Path> folder(String title) {
      return Optional.of(card);
    }

    @Override
    public List<Path> photos() {
      return List.of();
    }

    @Override
    public Optional<Path> target(String title, Path start) {
      return Optional.empty();
    }
  }
}

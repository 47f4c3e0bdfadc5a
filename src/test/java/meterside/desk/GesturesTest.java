package meterside.desk;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.List;
import javafx.scene.Node;
import javafx.scene.input.KeyCode;
import javafx.stage.Stage;
import meterside.desk.model.JobDesk;
import meterside.desk.model.Walk;
import meterside.job.AnswerKind;
import meterside.job.Callout;
import meterside.job.DutyKey;
import meterside.job.Edit;
import meterside.job.Outline;
import meterside.job.PhotoId;
import meterside.job.Point;
import meterside.job.Progress;
import meterside.job.Redaction;
import meterside.job.StopKey;
import meterside.work.Home;
import meterside.work.JobSession;
import meterside.work.Workspace;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Mouse and keys on the photo, the walk and the notes of the real window. */
@Tag("window")
class GesturesTest {
  private static final StopKey DROP = StopKey.of("service-drop");
  private static final StopKey SPLICE = StopKey.of("splice-and-drip-loop");

  @TempDir Path temporary;
  private DeskWindow window;
  private DeskThreads threads;
  private Hand hand;

  @BeforeEach
  void open() throws Exception {
    Toolkit.start();
    Path card = temporary.resolve("card");
    CardMaker.small(card, 8);
    Path root = temporary.resolve("archive");
    Home home = new Home(temporary.resolve("home"), root);
    threads = new DeskThreads();
    Workspace workspace = Workspace.open(root, true, home, Clock.systemUTC());
    workspace.newJob(
        "one", "18 Wren Hollow", LocalDate.of(2026, 5, 12), ZoneId.of("UTC"), "overhead");
    try (JobSession s = JobSession.open(workspace, "one")) {
      s.intake(List.of(card), false, Progress.NONE);
      List<PhotoId> ids = s.job().inTrueOrder().stream().map(p -> p.id()).toList();
      s.act(
          List.of(
              new Edit.PlaceByHand(ids.subList(0, 5), DROP),
              new Edit.PlaceByHand(ids.subList(5, 8), SPLICE)));
    }
    window =
        Toolkit.on(
            () -> {
              DeskWindow w =
                  new DeskWindow(
                      new Stage(), workspace, home, threads.threads(), FilePicker.NONE, path -> {});
              w.start("one");
              return w;
            });
    Toolkit.settle(700);
    hand = new Hand(window.scene());
  }

  @AfterEach
  void close() throws Exception {
    if (window != null) {
      Toolkit.on(
          () -> {
            window.close();
            window.scene().getWindow().hide();
            return null;
          });
      threads.close();
    }
  }

  private JobDesk desk() {
    return window.job().desk();
  }

  @Test
  void aRingIsDraggedAndNudgedAndAPlateStaysWhereItIsPut() throws Exception {
    Toolkit.on(
        () -> {
          desk().addCallout(new Point(0.5, 0.5), "meter");
          return null;
        });
    Toolkit.await("a callout", () -> desk().job().marks().size() == 1);
    PhotoStage photo = (PhotoStage) hand.find("photo");
    at(photo, new Point(0.5, 0.5));
    hand.press();
    at(photo, new Point(0.6, 0.55));
    at(photo, new Point(0.7, 0.6));
    hand.release();
    Toolkit.await("the ring moved", () -> callout().rings().get(0).x() > 0.65);
    assertEquals(0.7, callout().rings().get(0).x(), 0.01);
    assertEquals(0.6, callout().rings().get(0).y(), 0.01);
    double before = callout().rings().get(0).x();
    hand.key(KeyCode.LEFT);
    hand.key(KeyCode.LEFT, KeyCode.SHIFT);
    Toolkit.await("nudged twice", () -> before - callout().rings().get(0).x() > 0.01);
    assertTrue(before - callout().rings().get(0).x() < 0.05);
    assertNull(callout().plate());
    // The plate lies somewhere beside the ring: find it by what it says it is.
    var plate =
        (meterside.markup.Plate)
            meterside.markup.Drawing.of(
                    desk().job(),
                    desk().job().photo(desk().current()),
                    p -> meterside.desk.model.Words.term(desk().trade(), p))
                .shapes()
                .stream()
                .filter(s -> s instanceof meterside.markup.Plate)
                .findFirst()
                .orElseThrow();
    double w = desk().job().photo(desk().current()).uprightWidth();
    double h = desk().job().photo(desk().current()).uprightHeight();
    double diagonal = Math.hypot(w, h);
    Point middle =
        new Point(
            plate.topLeft().x() + plate.width() * diagonal / w / 2,
            plate.topLeft().y() + plate.height() * diagonal / h / 2);
    at(photo, middle);
    hand.press();
    at(photo, new Point(0.3, 0.25));
    at(photo, new Point(0.25, 0.2));
    hand.release();
    Toolkit.await("the plate by hand", () -> callout().plate() != null);
    assertEquals(0.25, callout().plate().x(), 0.02);
    assertEquals(0.2, callout().plate().y(), 0.02);
    hand.key(KeyCode.DELETE);
    Toolkit.await("taken away", () -> desk().job().marks().isEmpty());
    hand.key(KeyCode.Z, KeyCode.CONTROL);
    Toolkit.await("back again", () -> desk().job().marks().size() == 1);
  }

  @Test
  void aBoxIsDrawnAsAnAreaAndAsARedaction() throws Exception {
    PhotoStage photo = (PhotoStage) hand.find("photo");
    hand.key(KeyCode.A);
    drag(photo, new Point(0.2, 0.2), new Point(0.4, 0.5));
    hand.find("choice-typed");
    hand.key(KeyCode.ESCAPE); // without a name
    Toolkit.await("an outline", () -> desk().job().marks().size() == 1);
    Outline o = (Outline) Toolkit.on(() -> desk().job().marks().get(1));
    assertNull(o.part());
    assertEquals(0.2, o.corners().get(0).x(), 0.01);
    assertEquals(0.5, o.corners().get(2).y(), 0.01);
    hand.key(KeyCode.R);
    drag(photo, new Point(0.6, 0.6), new Point(0.8, 0.8));
    Toolkit.await("a redaction", () -> desk().job().marks().size() == 2);
    assertTrue(Toolkit.on(() -> desk().job().marks().get(2)) instanceof Redaction);
  }

  @Test
  void zoomKeepsTheWholePhotoAKeyAway() throws Exception {
    PhotoStage photo = (PhotoStage) hand.find("photo");
    assertTrue(Toolkit.on(photo::fitted));
    int before = Toolkit.on(photo::percent);
    hand.key(KeyCode.ADD);
    Toolkit.await("larger", () -> photo.percent() > before && !photo.fitted());
    hand.key(KeyCode.Z);
    Toolkit.await("whole again", photo::fitted);
    assertEquals(before, Toolkit.on(photo::percent));
  }

  @Test
  void aDividerIsDraggedAndThePhotosInBetweenChangeStop() throws Exception {
    List<PhotoId> drop =
        Toolkit.on(
            () ->
                desk().walk().stop(DROP).orElseThrow().photos().stream()
                    .map(Walk.Thumb::id)
                    .toList());
    Node divider = Toolkit.on(() -> window.scene().getRoot().lookup(".walk-divider"));
    hand.to(divider);
    // Beside the fourth photo, so that the fourth and fifth go below.
    WalkView.ThumbNode third = thumb(drop.get(3));
    hand.press();
    hand.to(third, 0.3, 0.8);
    hand.to(third, 0.1, 0.5);
    hand.release();
    Toolkit.await(
        "two photos below", () -> desk().walk().stop(SPLICE).orElseThrow().photos().size() == 5);
    assertEquals(3, Toolkit.on(() -> desk().walk().stop(DROP).orElseThrow().photos().size()));
    hand.key(KeyCode.Z, KeyCode.CONTROL);
    Toolkit.await(
        "back in one step", () -> desk().walk().stop(DROP).orElseThrow().photos().size() == 5);
  }

  @Test
  void aStopsDutiesAreAnsweredByARowOfKeys() throws Exception {
    List<DutyKey> here =
        Toolkit.on(
            () -> desk().job().openDuties().stream().filter(k -> k.at().equals(DROP)).toList());
    hand.key(KeyCode.D);
    hand.key(KeyCode.DIGIT1);
    Toolkit.await("one answered", () -> desk().job().answer(here.get(0)).isPresent());
    hand.key(KeyCode.DIGIT6);
    hand.find("answer-words");
    hand.type("covered by ivy");
    hand.key(KeyCode.ENTER);
    Toolkit.await("two answered", () -> desk().job().answer(here.get(1)).isPresent());
    assertEquals(
        AnswerKind.NO_CONDITION,
        Toolkit.on(() -> desk().job().answer(here.get(0)).orElseThrow().kind()));
    assertEquals(
        "covered by ivy", Toolkit.on(() -> desk().job().answer(here.get(1)).orElseThrow().text()));
    assertNotEquals(here.get(0), here.get(1));
    hand.key(KeyCode.UP);
    hand.key(KeyCode.DIGIT0);
    Toolkit.await("open again", () -> desk().job().answer(here.get(1)).isEmpty());
  }

  @Test
  void severalPhotosAreSelectedAndSentByKey() throws Exception {
    List<PhotoId> splice =
        Toolkit.on(
            () ->
                desk().walk().stop(SPLICE).orElseThrow().photos().stream()
                    .map(Walk.Thumb::id)
                    .toList());
    hand.click(thumb(splice.get(0)));
    hand.key(KeyCode.RIGHT, KeyCode.SHIFT);
    assertEquals(2, Toolkit.on(() -> desk().selection().size()));
    hand.key(KeyCode.O);
    Toolkit.await(
        "other systems",
        () ->
            desk().job().placement(splice.get(1)).orElseThrow().at().isOtherSystems()
                && desk().job().placement(splice.get(0)).orElseThrow().at().isOtherSystems());
    hand.key(KeyCode.X);
    Toolkit.await("set aside", () -> desk().job().aside().size() == 2);
  }

  private Callout callout() {
    return (Callout) desk().job().marks().get(1);
  }

  private void at(PhotoStage photo, Point p) throws Exception {
    double x = Toolkit.on(() -> photo.inView(p).getX() / photo.getWidth());
    double y = Toolkit.on(() -> photo.inView(p).getY() / photo.getHeight());
    hand.to(photo, x, y);
  }

  private void drag(PhotoStage photo, Point from, Point to) throws Exception {
    at(photo, from);
    hand.press();
    at(photo, new Point((from.x() + to.x()) / 2, (from.y() + to.y()) / 2));
    at(photo, to);
    hand.release();
  }

  private WalkView.ThumbNode thumb(PhotoId id) throws Exception {
    WalkView.ThumbNode[] found = new WalkView.ThumbNode[1];
    Toolkit.await(
        "a thumbnail",
        () -> {
          for (Node n : window.scene().getRoot().lookupAll(".thumb")) {
            if (n instanceof WalkView.ThumbNode t && id.equals(t.photo()) && t.isVisible()) {
              found[0] = t;
            }
          }
          return found[0] != null;
        });
    return found[0];
  }
}

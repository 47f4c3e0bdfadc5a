package meterside.desk;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.awt.image.BufferedImage;
import java.io.File;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.List;
import java.util.Random;
import java.util.function.BooleanSupplier;
import javafx.event.Event;
import javafx.geometry.Point2D;
import javafx.scene.Node;
import javafx.scene.control.ButtonBase;
import javafx.scene.control.Label;
import javafx.scene.control.Slider;
import javafx.scene.input.KeyCode;
import javafx.scene.input.MouseButton;
import javafx.scene.input.MouseEvent;
import javafx.stage.Stage;
import javax.imageio.ImageIO;
import meterside.desk.model.JobDesk;
import meterside.desk.model.MeasureDraft;
import meterside.job.Callout;
import meterside.job.Edit;
import meterside.job.Finding;
import meterside.job.FindingKind;
import meterside.job.Job;
import meterside.job.Mark;
import meterside.job.Measure;
import meterside.job.PhotoId;
import meterside.job.Point;
import meterside.job.Progress;
import meterside.job.Reference;
import meterside.job.ReportView;
import meterside.job.Spot;
import meterside.job.StopKey;
import meterside.markup.Drawing;
import meterside.markup.GraphicsPainter;
import meterside.markup.Leader;
import meterside.markup.Plate;
import meterside.work.Home;
import meterside.work.JobSession;
import meterside.work.Workspace;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Measuring, close views, views for the report and copied marks, by hand in the real window. */
@Tag("window")
class MarkToolsTest {
  private static final Path SAMPLES = Path.of("sample-photos", "wren-hollow-18", "phone");
  private static final StopKey ROOM = StopKey.of("receptacles-and-switches");

  /** Ends of the scorched plate (4.5 in) on IMG_0448, as sample-photos/truth.json says. */
  private static final double[] TOP = {0.50115, 0.39791};

  private static final double[] BOTTOM = {0.49537, 0.6467};

  @TempDir Path temporary;
  private DeskWindow window;
  private DeskThreads threads;
  private Workspace workspace;
  private Home home;
  private Hand hand;
  private PhotoStage photo;

  @BeforeEach
  void open() throws Exception {
    assumeTrue(Files.isDirectory(SAMPLES), "the sample photos are not here");
    Toolkit.start();
    Path root = temporary.resolve("archive");
    Home home = new Home(temporary.resolve("home"), root);
    threads = new DeskThreads();
    workspace = Workspace.open(root, true, home, Clock.systemUTC());
    workspace.newJob(
        "one", "18 Wren Hollow", LocalDate.of(2026, 5, 12), ZoneId.of("UTC"), "overhead");
    try (JobSession s = JobSession.open(workspace, "one")) {
      s.intake(
          List.of(SAMPLES.resolve("IMG_0448.jpg"), SAMPLES.resolve("IMG_0456.jpg")),
          false,
          Progress.NONE);
      s.act(new Edit.PlaceByHand(s.job().intakeOrder(), ROOM));
      s.act(
          new Edit.PutFinding(
              new Finding(
                  s.nextFinding(),
                  ROOM,
                  "hall",
                  "receptacle",
                  FindingKind.NEEDS_CORRECTION,
                  "Scorched plate.",
                  null,
                  null,
                  List.of(),
                  null,
                  false)));
    }
    this.home = home;
    openWindow();
  }

  private void openWindow() throws Exception {
    window =
        Toolkit.on(
            () -> {
              DeskWindow w =
                  new DeskWindow(
                      new Stage(), workspace, home, threads.threads(), FilePicker.NONE, path -> {});
              w.start("one");
              return w;
            });
    Toolkit.await("the job", () -> window.job() != null);
    Toolkit.settle(900);
    hand = new Hand(window.scene());
    photo = (PhotoStage) hand.find("photo");
    Toolkit.on(
        () -> {
          desk().show(named("IMG_0448.jpg"));
          return null;
        });
    Toolkit.settle(400);
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

  private PhotoId named(String file) {
    return desk().job().photosNamed(file).get(0).id();
  }

  private Mark only() {
    return desk().job().marks().values().iterator().next();
  }

  private void at(Point p) throws Exception {
    double x = Toolkit.on(() -> photo.inView(p).getX() / photo.getWidth());
    double y = Toolkit.on(() -> photo.inView(p).getY() / photo.getHeight());
    hand.to(photo, x, y);
  }

  private void click(double x, double y) throws Exception {
    at(new Point(x, y));
    hand.click();
  }

  private void fire(String id) throws Exception {
    Node n = hand.find(id);
    Toolkit.on(
        () -> {
          ((ButtonBase) n).fire();
          return null;
        });
    Toolkit.settle(80);
  }

  private String text(String id) throws Exception {
    Node n = hand.find(id);
    return Toolkit.on(() -> ((Label) n).getText());
  }

  private void picture(String name) throws Exception {
    File file = new File("target/pictures/" + name + ".png");
    Files.createDirectories(file.toPath().getParent());
    Toolkit.settle(300);
    ImageIO.write(Toolkit.on(() -> WindowPicture.of(window.scene())), "png", file);
    assertTrue(file.length() > 10_000);
  }

  /** The plate's true ends lie where the scene says (sample-photos/truth.json). */
  @Test
  void aLengthIsMeasuredByThePlateAndWorkedOutAgainWhenAPointMoves() throws Exception {
    hand.key(KeyCode.H);
    hand.find("choice-typed");
    hand.type("plate height");
    hand.key(KeyCode.ENTER);
    assertTrue(text("measure-place-ask").contains("jumbo"));
    fire("measure-place");
    assertTrue(text("measure-hint").contains("one end of the reference"));
    click(TOP[0], TOP[1]);
    click(BOTTOM[0], BOTTOM[1]);
    assertTrue(text("measure-hint").contains("one end of what"));
    click(TOP[0], TOP[1] + 0.1);
    click(BOTTOM[0], BOTTOM[1]);
    assertTrue(text("measure-result").startsWith("About"));
    picture("measure-result");
    fire("measure-from-the-side");
    assertTrue(text("measure-result").contains("from the side"));
    picture("measure-from-the-side");
    fire("measure-square-on");
    assertTrue(text("measure-result").startsWith("About"));
    fire("measure-keep");
    Toolkit.await("a measurement", () -> desk().job().marks().size() == 1);
    Measure m = (Measure) Toolkit.on(this::only);
    double truth = 0.1143 * (BOTTOM[1] - TOP[1] - 0.1) / (BOTTOM[1] - TOP[1]);
    assertEquals(truth, m.metres(), Math.max(m.plusMinus(), 0.03 * truth));
    assertEquals("plate-1-gang-height", m.reference().id());
    // A point is dragged: the result follows, in one step.
    at(m.from());
    hand.press();
    at(new Point(TOP[0], TOP[1] + 0.15));
    at(new Point(TOP[0], TOP[1] + 0.2));
    hand.release();
    Toolkit.await("worked out again", () -> ((Measure) only()).metres() < 0.9 * m.metres());
    hand.key(KeyCode.Z, KeyCode.CONTROL);
    Toolkit.await("back", () -> ((Measure) only()).metres() == m.metres());
    hand.key(KeyCode.Z, KeyCode.CONTROL);
    Toolkit.await("gone", () -> desk().job().marks().isEmpty());
  }

  @Test
  void aClosePhotoIsTiedToItsSpotAndTheFindingToACalloutByDrag() throws Exception {
    hand.key(KeyCode.W);
    at(new Point(0.3, 0.3));
    hand.press();
    at(new Point(0.4, 0.4));
    at(new Point(0.55, 0.6));
    hand.release();
    hand.find("choice-typed");
    picture("spot-chooser");
    hand.key(KeyCode.ENTER);
    Toolkit.await("a spot", () -> desk().job().marks().size() == 1);
    Spot s = (Spot) Toolkit.on(this::only);
    assertEquals(named("IMG_0456.jpg"), s.close());
    assertEquals(0.3, s.corners().get(0).x(), 0.01);
    Toolkit.on(
        () -> {
          desk().addCallout(new Point(0.7, 0.3), "cover-plate");
          return null;
        });
    Toolkit.await("a callout", () -> desk().job().marks().size() == 2);
    at(new Point(0.7, 0.3));
    hand.dragTo(hand.find("finding-1"));
    Toolkit.await("tied", () -> Integer.valueOf(1).equals(callout().finding()));
    assertEquals(0.7, callout().rings().get(0).x(), 1e-9, "tied, and not moved");
  }

  @Test
  void threeConductorsShareOnePlateByShiftClickAndAreTiedByKey() throws Exception {
    Toolkit.on(
        () -> {
          desk().addCallout(new Point(0.3, 0.3), "receptacle");
          return null;
        });
    Toolkit.await("a callout", () -> desk().job().marks().size() == 1);
    Toolkit.await("it is selected", () -> desk().mark() == 1);
    for (Point p : List.of(new Point(0.4, 0.32), new Point(0.5, 0.3))) {
      Toolkit.on(
          () -> {
            Point2D in = photo.inView(p);
            Point2D scene = photo.localToScene(in);
            Point2D at = photo.localToScreen(in);
            MouseEvent press =
                new MouseEvent(
                    MouseEvent.MOUSE_PRESSED,
                    scene.getX(),
                    scene.getY(),
                    at.getX(),
                    at.getY(),
                    MouseButton.PRIMARY,
                    1,
                    true,
                    false,
                    false,
                    false,
                    true,
                    false,
                    false,
                    true,
                    false,
                    true,
                    null);
            Event.fireEvent(photo, press);
            return null;
          });
      Toolkit.settle(120);
    }
    Toolkit.await("three rings", () -> ((Callout) only()).rings().size() == 3);
    Callout three = (Callout) only();
    assertEquals(0.5, three.rings().get(2).x(), 0.005);
    Drawing d = Drawing.of(desk().job(), desk().job().photo(three.photo()), desk().trade());
    assertEquals(1, d.shapes().stream().filter(Plate.class::isInstance).count());
    assertEquals(3, d.shapes().stream().filter(Leader.class::isInstance).count());
    // By key: T, and the finding there is.
    hand.key(KeyCode.T);
    hand.find("choice-typed");
    hand.type("Scorched");
    hand.key(KeyCode.ENTER);
    Toolkit.await("tied", () -> Integer.valueOf(1).equals(mark(1).finding()));
    hand.key(KeyCode.Z, KeyCode.CONTROL);
    hand.key(KeyCode.Z, KeyCode.CONTROL);
    Toolkit.await("two rings again", () -> ((Callout) only()).rings().size() == 2);
  }

  private Callout callout() {
    return (Callout) desk().job().marks().get(2);
  }

  @Test
  void aPhotoIsTurnedAndCroppedForTheReportAndMarksStayOnTheirParts() throws Exception {
    Toolkit.on(
        () -> {
          desk().addCallout(new Point(0.4, 0.3), "cover-plate");
          return null;
        });
    Toolkit.await("a callout", () -> desk().job().marks().size() == 1);
    hand.key(KeyCode.V);
    hand.find("view-panel");
    fire("view-right");
    Toolkit.await("turned", () -> view().turn() == 1);
    Toolkit.settle(300);
    // Turned clockwise, what was at 0.4 across and 0.3 down is at 0.7 across and 0.4 down.
    double x = Toolkit.on(() -> photo.inView(new Point(0.4, 0.3)).getX());
    double left = Toolkit.on(() -> photo.inView(new Point(0, 1)).getX());
    double right = Toolkit.on(() -> photo.inView(new Point(0, 0)).getX());
    assertEquals(0.7, (x - left) / (right - left), 1e-6);
    assertEquals(new Point(0.4, 0.3), Toolkit.on(() -> ((Callout) only()).rings().get(0)));
    picture("turned");
    // The frame's corner at the top left of the turned photo is the photo's bottom left.
    at(new Point(0.012, 0.984));
    hand.press();
    at(new Point(0.1, 0.9));
    at(new Point(0.212, 0.784));
    hand.release();
    Toolkit.await("cropped", () -> view().cropX() > 0.15);
    assertEquals(0.2, view().cropX(), 0.01);
    assertEquals(0.2, view().cropY(), 0.01);
    assertEquals(0.8, view().cropWidth(), 0.01);
    picture("for-the-report");
    hand.key(KeyCode.Z, KeyCode.CONTROL);
    hand.key(KeyCode.Z, KeyCode.CONTROL);
    Toolkit.await("as taken", () -> view().equals(ReportView.AS_TAKEN));
    hand.key(KeyCode.ESCAPE);
    Toolkit.await("put away", () -> photo.tool() == PhotoStage.Tool.MOVE);
  }

  private ReportView view() {
    return desk().job().reportView(desk().current());
  }

  @Test
  void namesAreCopiedToALookAlikeInOneStep() throws Exception {
    Toolkit.on(
        () -> {
          desk().addCallout(new Point(0.4, 0.3), "cover-plate");
          desk().addCallout(new Point(0.5, 0.5), "receptacle");
          return null;
        });
    Toolkit.await("two callouts", () -> desk().job().marks().size() == 2);
    hand.key(KeyCode.D, KeyCode.CONTROL);
    hand.find("choice-typed");
    hand.key(KeyCode.ENTER);
    Toolkit.await("copied", () -> desk().job().marks().size() == 4);
    PhotoId other = named("IMG_0456.jpg");
    assertEquals(other, Toolkit.on(() -> desk().current()));
    List<Mark> on = Toolkit.on(() -> desk().job().marksOn(other));
    assertEquals(new Point(0.4, 0.3), ((Callout) on.get(0)).rings().get(0));
    hand.key(KeyCode.Z, KeyCode.CONTROL);
    Toolkit.await("in one step", () -> desk().job().marks().size() == 2);
  }

  @Test
  void everyMarkIsInAListThatAScreenReaderReads() throws Exception {
    Toolkit.on(
        () -> {
          desk().addCallout(new Point(0.4, 0.3), "cover-plate");
          desk()
              .addSpot(
                  List.of(new Point(.1, .1), new Point(.2, .1), new Point(.2, .2)),
                  named("IMG_0456.jpg"));
          return null;
        });
    Toolkit.await("two marks", () -> desk().job().marks().size() == 2);
    Node first = hand.find("mark-1");
    Node second = hand.find("mark-2");
    assertTrue(Toolkit.on(first::isFocusTraversable));
    assertTrue(Toolkit.on(() -> first.getAccessibleText()).contains("1 Cover plate"));
    assertTrue(Toolkit.on(() -> second.getAccessibleText()).contains("Close view: IMG_0456.jpg"));
    Toolkit.on(
        () -> {
          second.requestFocus();
          return null;
        });
    Toolkit.await("selected when drawn", () -> desk().mark() == 2);
    hand.key(KeyCode.ENTER);
    Toolkit.await("let go by key", () -> desk().mark() == 0);
    hand.key(KeyCode.ENTER);
    Toolkit.await("selected by key", () -> desk().mark() == 2);
  }

  /** Drags a slider's knob to a place along it, as a fraction of its width. */
  private void slide(String id, double from, double to) throws Exception {
    Node slider = hand.find(id);
    hand.to(slider, from, 0.5);
    hand.press();
    for (int i = 1; i <= 6; i++) {
      hand.to(slider, from + (to - from) * i / 6, 0.5);
    }
    hand.release();
    Toolkit.settle(120);
  }

  private long written() throws Exception {
    return Files.readAllLines(desk().session().folder().journalFile()).size();
  }

  @Test
  void aSlidersWayIsOneStepHoweverOftenItMovedOnTheWay() throws Exception {
    hand.key(KeyCode.V);
    hand.find("view-panel");
    long before = written();
    slide("view-brightness", 0.5, 0.8);
    Toolkit.await("brighter", () -> view().brightness() > 0.4);
    Toolkit.await("kept", () -> desk().saved());
    assertEquals(before + 1, written());
    double bright = view().brightness();
    slide("view-contrast", 0.5, 0.25);
    Toolkit.await("softer", () -> view().contrast() < -0.3);
    assertEquals(bright, view().brightness(), "the other sliders stay");
    slide("view-straighten", 0.5, 0.6);
    Toolkit.await("straightened", () -> view().straighten() > 0.5);
    double degrees = view().straighten();
    Toolkit.await("kept", () -> desk().saved());
    assertEquals(before + 3, written());
    picture("sliders");
    // By key, each press is a step of its own.
    Node slider = hand.find("view-straighten");
    Toolkit.on(
        () -> {
          slider.requestFocus();
          return null;
        });
    hand.key(KeyCode.RIGHT);
    Toolkit.await("a little more", () -> view().straighten() > degrees);
    Toolkit.await("kept", () -> desk().saved());
    assertEquals(before + 4, written());
    for (int i = 0; i < 4; i++) {
      hand.key(KeyCode.Z, KeyCode.CONTROL);
    }
    Toolkit.await("as taken", () -> view().equals(ReportView.AS_TAKEN));
    Slider knob = (Slider) hand.find("view-brightness");
    assertEquals(0, Toolkit.on(knob::getValue), "the knob goes back, too");
  }

  @Test
  void measureSpotViewAndTieAreUndoneOneByOneAfterARestart() throws Exception {
    hand.key(KeyCode.V);
    hand.find("view-panel");
    slide("view-brightness", 0.5, 0.8);
    slide("view-contrast", 0.5, 0.25);
    slide("view-straighten", 0.5, 0.6);
    Toolkit.await("straightened", () -> view().straighten() > 0.5);
    ReportView shown = view();
    fire("view-right");
    Toolkit.await("turned", () -> view().turn() == 1);
    hand.key(KeyCode.ESCAPE);
    Toolkit.await("put away", () -> photo.tool() == PhotoStage.Tool.MOVE);
    Toolkit.on(
        () -> {
          MeasureDraft draft =
              new MeasureDraft(
                  desk().job().photo(desk().current()),
                  Reference.length(null, "Plate", 0.1143, 0.001));
          draft.place(new Point(TOP[0], TOP[1]));
          draft.place(new Point(BOTTOM[0], BOTTOM[1]));
          draft.place(new Point(TOP[0], TOP[1] + 0.1));
          draft.place(new Point(BOTTOM[0], BOTTOM[1]));
          desk().addMeasure(draft);
          desk()
              .addSpot(
                  List.of(new Point(.1, .1), new Point(.2, .1), new Point(.2, .2)),
                  named("IMG_0456.jpg"));
          desk().addRedaction(List.of(new Point(.7, .7), new Point(.8, .7), new Point(.8, .8)));
          return null;
        });
    Toolkit.await("three marks", () -> desk().job().marks().size() == 3);
    Toolkit.on(
        () -> {
          desk().tie(1, 1);
          return null;
        });
    Toolkit.await("tied", () -> Integer.valueOf(1).equals(mark(1).finding()));
    restart();
    assertEquals(3, desk().job().marks().size());
    assertEquals(1, mark(1).finding());
    assertEquals(1, view().turn());
    undo("tie", () -> mark(1).finding() == null);
    undo("redaction", () -> desk().job().marks().size() == 2);
    undo("spot", () -> desk().job().marks().size() == 1);
    undo("measure", () -> desk().job().marks().isEmpty());
    undo("turn", () -> view().equals(shown));
    undo("straighten", () -> view().straighten() == 0 && view().contrast() < 0);
    undo("contrast", () -> view().contrast() == 0 && view().brightness() > 0.4);
    undo("brightness", () -> view().equals(ReportView.AS_TAKEN));
    restart();
    hand.key(KeyCode.Y, KeyCode.CONTROL);
    Toolkit.await("forward again", () -> view().brightness() > 0.4);
  }

  /** The photo as the window shows it: a part of the window's picture. */
  private BufferedImage stageNow() throws Exception {
    Toolkit.settle(500);
    BufferedImage all = Toolkit.on(() -> WindowPicture.of(window.scene()));
    Point2D a = Toolkit.on(() -> photo.localToScene(photo.inView(new Point(0, 0))));
    Point2D b = Toolkit.on(() -> photo.localToScene(photo.inView(new Point(1, 1))));
    BufferedImage out =
        new BufferedImage(
            (int) Math.round(b.getX() - a.getX()),
            (int) Math.round(b.getY() - a.getY()),
            BufferedImage.TYPE_INT_RGB);
    out.createGraphics()
        .drawImage(all, -(int) Math.round(a.getX()), -(int) Math.round(a.getY()), null);
    return out;
  }

  @Test
  void aCrowdedPhotoLooksInTheWindowAsTheReportPaintsIt() throws Exception {
    BufferedImage bare = stageNow();
    String[] parts = {"receptacle", "cover-plate", "switch", "luminaire", "junction-box"};
    Random r = new Random(18);
    Toolkit.on(
        () -> {
          for (int i = 0; i < 18; i++) {
            double x = .35 + .3 * r.nextDouble();
            double y = .3 + .4 * r.nextDouble();
            desk().addCallout(new Point(x, y), parts[i % 5]);
          }
          return null;
        });
    Toolkit.await("callouts", () -> desk().job().marks().size() == 18);
    Toolkit.on(
        () -> {
          desk().tie(5, 1);
          desk().selectMark(0);
          return null;
        });
    Toolkit.await("tied", () -> Integer.valueOf(1).equals(mark(5).finding()));
    BufferedImage shown = stageNow();
    Job job = desk().job();
    Drawing drawing = Drawing.of(job, job.photo(desk().current()), desk().trade());
    BufferedImage painted = GraphicsPainter.burn(bare, drawing, true);
    int w = shown.getWidth();
    int h = shown.getHeight();
    BufferedImage both = new BufferedImage(2 * w + 4, h, BufferedImage.TYPE_INT_RGB);
    both.createGraphics().drawImage(shown, 0, 0, null);
    both.createGraphics().drawImage(painted, w + 4, 0, null);
    ImageIO.write(both, "png", new File("target/pictures/crowded-desk-and-report.png"));
    int far = 0;
    int inked = 0;
    for (int y = 2; y < h - 2; y++) {
      for (int x = 2; x < w - 2; x++) {
        inked += apart(bare.getRGB(x, y), painted.getRGB(x, y)) > 24 ? 1 : 0;
        far += near(shown, painted, x, y) ? 0 : 1;
      }
    }
    System.out.printf("desk and report: %d of %d inked pixels differ%n", far, inked);
    assertTrue(inked > w * h / 50, "something is painted");
    assertTrue(far < inked / 50, far + " of " + inked + " pixels differ");
  }

  private static int apart(int a, int b) {
    int most = 0;
    for (int shift = 0; shift <= 16; shift += 8) {
      most = Math.max(most, Math.abs((a >> shift & 0xFF) - (b >> shift & 0xFF)));
    }
    return most;
  }

  /** Whether a pixel is much like one of the other picture up to two pixels away. */
  private static boolean near(BufferedImage one, BufferedImage other, int x, int y) {
    int least = 255;
    for (int dy = -2; dy <= 2; dy++) {
      for (int dx = -2; dx <= 2; dx++) {
        least = Math.min(least, apart(one.getRGB(x, y), other.getRGB(x + dx, y + dy)));
      }
    }
    return least < 48;
  }

  private Mark mark(int id) {
    return desk().job().marks().get(id);
  }

  private void undo(String what, BooleanSupplier gone) throws Exception {
    hand.key(KeyCode.Z, KeyCode.CONTROL);
    Toolkit.await(what + " undone", gone);
  }

  /** Closes the window and opens the job in a new one. */
  private void restart() throws Exception {
    Toolkit.await("kept", () -> desk().saved());
    close();
    for (int i = 0; ; i++) {
      try (JobSession s = JobSession.open(workspace, "one")) {
        break;
      } catch (meterside.archive.InUse e) {
        if (i == 100) {
          throw e; // the window lets go of the job once its acts are written
        }
        Thread.sleep(100);
      }
    }
    threads = new DeskThreads();
    openWindow();
  }
}

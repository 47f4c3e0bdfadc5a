package meterside.desk;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.List;
import java.util.concurrent.Callable;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.ListView;
import javafx.scene.control.RadioButton;
import javafx.scene.control.TextField;
import javafx.scene.image.Image;
import javafx.scene.image.ImageView;
import javafx.stage.Stage;
import meterside.job.Edit;
import meterside.job.ExtractKind;
import meterside.job.Progress;
import meterside.work.Home;
import meterside.work.JobSession;
import meterside.work.Workspace;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The report's place: its real pages, and handing out a part. */
@Tag("window")
class ReportPlaceTest {
  @TempDir Path folder;
  private DeskWindow window;

  private void open() throws Exception {
    Toolkit.start();
    Path root = folder.resolve("archive");
    Home home = new Home(folder.resolve("home"), root);
    Path card = folder.resolve("card");
    TestCard.walk(card);
    try (Workspace w = Workspace.open(root, true, home, Clock.systemUTC())) {
      ZoneId zone = ZoneId.of("America/New_York");
      w.newJob("job", "18 Wren Hollow", LocalDate.of(2026, 5, 12), zone, "overhead");
      try (JobSession s = JobSession.open(w, "job")) {
        s.intake(List.of(card), false, Progress.NONE);
      }
    }
    DeskThreads threads = new DeskThreads();
    window =
        Toolkit.on(
            () -> {
              DeskWindow d =
                  new DeskWindow(
                      new Stage(),
                      Workspace.open(root, true, home, Clock.systemUTC()),
                      home,
                      threads.threads(),
                      FilePicker.NONE,
                      path -> {});
              d.start("job");
              return d;
            });
    Toolkit.await("the job", () -> window.job() != null);
    Toolkit.on(
        () -> {
          window.showReport();
          return null;
        });
  }

  private Node find(String id) {
    return window.scene().lookup("#" + id);
  }

  private <T> T on(Callable<T> work) throws Exception {
    return Toolkit.on(work::call);
  }

  @SuppressWarnings("unchecked")
  private ListView<Integer> pages() {
    return (ListView<Integer>) find("report-pages");
  }

  private Image firstPage() {
    for (Node n : pages().lookupAll(".paper-page")) {
      ImageView view = (ImageView) n.lookup(".image-view");
      if (view != null && view.getImage() != null) {
        return view.getImage();
      }
    }
    return null;
  }

  private double painted() throws Exception {
    Toolkit.await("a painted page", () -> firstPage() != null);
    return on(
        () -> {
          Image i = firstPage();
          return i.getHeight() / i.getWidth();
        });
  }

  @Test
  void showsThePagesAsTheyWouldBePrintedAndLaysThemOutAnewForAnotherPaper() throws Exception {
    open();
    assertEquals(11 / 8.5, painted(), 0.01, "Letter, 8.5 by 11 inches");
    assertTrue(on(() -> pages().getItems().size()) > 3);
    Image before = on(this::firstPage);
    on(
        () -> {
          ((RadioButton) find("report-a4")).setSelected(true);
          return null;
        });
    Toolkit.await("other pages", () -> firstPage() != null && firstPage() != before);
    // ISO 216: A4 is 210 by 297 mm.
    Toolkit.await(
        "A4", () -> Math.abs(firstPage().getHeight() / firstPage().getWidth() - 297 / 210.0) < .01);
    assertTrue(on(() -> window.job().desk().job().reports().isEmpty()), "nothing was issued");
  }

  @Test
  void handsOutAPartAndEntersWhoGotIt() throws Exception {
    open();
    Path target = folder.resolve("out/job");
    on(
        () -> {
          ((TextField) find("report-folder")).setText(target.toString());
          ((RadioButton) find("hand-for-electrician")).setSelected(true);
          ((TextField) find("hand-to")).setText("Fenn Electric");
          ((TextField) find("hand-leave")).setText("the client");
          ((Button) find("hand-out")).fire();
          return null;
        });
    Toolkit.await("the extract", () -> find("hand-done") != null);
    Path part = folder.resolve("out/job-for-electrician");
    assertTrue(Files.isRegularFile(part.resolve("for-electrician.pdf")));
    List<Edit> edits =
        on(() -> window.job().desk().session().entries().stream().map(e -> e.edit()).toList());
    Edit.RecordExtract last = (Edit.RecordExtract) edits.get(edits.size() - 1);
    assertEquals(ExtractKind.FOR_ELECTRICIAN, last.extract().kind());
    assertEquals("Fenn Electric", last.extract().to());
    assertEquals("the client", last.extract().leave());
    assertTrue(on(() -> window.job().desk().handedOut().get(0).contains("Fenn Electric")));
  }
}

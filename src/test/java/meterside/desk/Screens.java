package meterside.desk;

import java.nio.file.Path;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.List;
import java.util.Optional;
import javafx.event.Event;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.ListView;
import javafx.scene.control.TextField;
import javafx.scene.image.ImageView;
import javafx.scene.input.KeyCode;
import javafx.scene.input.KeyEvent;
import meterside.desk.model.FindingDraft;
import meterside.desk.model.JobDesk;
import meterside.desk.model.Notice;
import meterside.job.DutyKey;
import meterside.job.DutyKind;
import meterside.job.Finding;
import meterside.job.PhotoId;
import meterside.job.StopKey;

/** Goes through every screen of the window, and lets a visitor look at each. */
final class Screens {
  /** Looks at a screen. */
  interface Visitor {
    void at(String name) throws Exception;
  }

  private final DeskWindow window;
  private final Path reports;
  private final Visitor visitor;

  Screens(DeskWindow window, Path reports, Visitor visitor) {
    this.window = window;
    this.reports = reports;
    this.visitor = visitor;
  }

  private interface Act {
    void run() throws Exception;
  }

  private void on(Act act, int settle) throws Exception {
    Toolkit.on(
        () -> {
          act.run();
          return null;
        });
    Toolkit.settle(settle);
  }

  private void look(String name) throws Exception {
    Toolkit.settle(250);
    visitor.at(name);
  }

  private JobDesk desk() {
    return window.job().desk();
  }

  /** The screens of an archive without jobs, then of a job without photos. */
  void empty() throws Exception {
    look("start-empty");
    on(window::newJob, 0);
    look("new-job");
    on(
        () -> {
          window.overlay().close();
          window
              .workspace()
              .newJob(
                  "2026-05-12-empty",
                  "18 Wren Hollow",
                  LocalDate.of(2026, 5, 12),
                  ZoneId.of("America/New_York"),
                  "overhead");
          window.openJob("2026-05-12-empty", null);
        },
        200);
    look("job-empty");
    on(window::showSheet, 400);
    look("sheet-empty");
    on(window::showClocks, 100);
    look("clocks-empty");
    on(window::showDevices, 100);
    look("devices-empty");
    on(window::showGoingOut, 100);
    look("going-out-empty");
    on(window::showReport, 100);
    pages();
    look("report-empty");
  }

  /** Waits for the report's pages. */
  private void pages() throws Exception {
    Toolkit.await(
        "the report's pages",
        () ->
            window.scene().getRoot().lookupAll(".paper-page").stream()
                .anyMatch(n -> ((ImageView) n.lookup(".image-view")).getImage() != null));
    Toolkit.settle(400);
  }

  /** A card with two houses. */
  void card(List<Path> sources) throws Exception {
    on(() -> window.readCard(sources), 0);
    Toolkit.await("the card", () -> window.scene().lookup("#card-take") != null);
    look("card");
  }

  /** The screens of the sample house. */
  void full() throws Exception {
    on(this::leaveSomethingToDo, 300);
    on(() -> WindowPicture.mostMarked(desk().job()).ifPresent(desk()::show), 1500);
    look("job");
    on(
        () -> {
          desk().nextMark();
          window.tasks().say(Notice.said("Taken back: callout \"Meter\" on P5120031.JPG"));
        },
        0);
    look("job-mark-selected");
    on(
        () -> {
          desk().selectMark(0);
          window.tasks().say(Notice.NONE);
          desk().showStop(StopKey.of("panelboard"));
          key(KeyCode.F);
        },
        700);
    look("job-finding-form");
    on(
        () -> {
          key(KeyCode.ESCAPE);
          key(KeyCode.D);
        },
        300);
    look("job-duty-open");
    on(() -> key(KeyCode.P), 0);
    look("job-put-at-stop");
    on(
        () -> {
          window.overlay().close();
          window.job().facts();
        },
        0);
    look("job-facts");
    on(
        () -> {
          window.overlay().close();
          window.job().addPhotos();
        },
        0);
    look("job-add-photos");
    on(
        () -> {
          window.overlay().close();
          window.job().notes().duties().nameInstance();
        },
        0);
    look("job-name-instance");
    on(
        () -> {
          window.overlay().close();
          desk().showStop(StopKey.of("receptacles-and-switches"));
        },
        400);
    look("job-sampled-duties");
    on(
        () -> {
          window.overlay().close();
          window.showKeys();
        },
        0);
    look("keys");
    on(
        () -> {
          window.overlay().close();
          window.showSheet();
          key(KeyCode.DIGIT2);
        },
        1500);
    look("sheet");
    on(
        () -> {
          desk().showStop(StopKey.of("service-drop"));
          key(KeyCode.RIGHT, true);
          key(KeyCode.C);
        },
        1200);
    look("sheet-beside");
    on(
        () -> {
          key(KeyCode.ESCAPE);
          key(KeyCode.DIGIT3);
        },
        600);
    look("sheet-may-go");
    on(
        () -> {
          key(KeyCode.DIGIT2);
          ListView<?> sheet = (ListView<?>) find("sheet");
          sheet.scrollTo(sheet.getItems().size() - 1);
        },
        600);
    look("sheet-end");
    on(window::showClocks, 200);
    on(() -> pick("axis-A"), 600);
    look("clocks");
    on(() -> ((Button) find("clock-code")).fire(), 300);
    look("clock-code");
    on(() -> window.overlay().close(), 0);
    on(window::showDevices, 300);
    look("devices");
    on(window::showGoingOut, 200);
    look("going-out");
    on(window::showEvidence, 300);
    look("evidence");
    on(window::showReport, 200);
    pages();
    look("report");
    on(
        () -> {
          ((TextField) find("report-folder")).setText(reports.toString());
          ((Button) find("report-write")).fire();
        },
        0);
    Toolkit.await("the report", () -> window.scene().lookup("#report-done") != null);
    look("report-written");
    on(window::showPastJobs, 900);
    look("past-jobs");
    on(() -> window.showPastJobs("drip loop"), 0);
    Toolkit.await("hits", () -> window.pastJobs().found() != null);
    Toolkit.settle(600);
    on(() -> key(KeyCode.DOWN), 700);
    look("past-jobs-found");
    on(window::showSettings, 0);
    look("settings");
  }

  /** The sample house is all done; an evening is not. */
  private void leaveSomethingToDo() {
    JobDesk desk = desk();
    for (DutyKey k : desk.job().dutyKeys()) {
      boolean later =
          k.at().equals(StopKey.of("panelboard")) && !k.duty().equals("panel-place")
              || k.at().equals(StopKey.of("alarms"))
              || k.at().equals(StopKey.of("grounding-and-bonding"));
      if (later && desk.job().duty(k).kind() != DutyKind.OWN_HABIT) {
        desk.reopen(k);
      }
    }
    List<PhotoId> aside = List.copyOf(desk.job().aside().keySet());
    if (!aside.isEmpty()) {
      PhotoId shown = desk.current();
      desk.show(aside.get(0));
      aside.subList(1, aside.size()).forEach(desk::toggle);
      desk.toggleAside();
      desk.show(shown);
    }
    Finding f = desk.job().findings().get(desk.job().findings().firstKey());
    FindingDraft d = FindingDraft.of(f);
    desk.keepFinding(
        new FindingDraft(
            d.number(),
            d.at(),
            "",
            d.part(),
            d.kind(),
            d.seen(),
            d.why(),
            d.who(),
            d.photos(),
            true,
            "",
            "",
            "",
            d.seenLater(),
            0),
        n -> {});
  }

  private void pick(String id) {
    Node axis = find(id);
    axis.requestFocus();
    key(KeyCode.RIGHT);
  }

  private Node find(String id) {
    return Optional.ofNullable(window.scene().lookup("#" + id))
        .orElseThrow(() -> new AssertionError("not there: #" + id));
  }

  private void key(KeyCode code) {
    key(code, false);
  }

  private void key(KeyCode code, boolean shift) {
    Node target = window.scene().getFocusOwner();
    if (target == null) {
      target = window.scene().getRoot();
    }
    for (var type : List.of(KeyEvent.KEY_PRESSED, KeyEvent.KEY_RELEASED)) {
      Event.fireEvent(target, new KeyEvent(type, "", "", code, shift, false, false, false));
    }
  }
}

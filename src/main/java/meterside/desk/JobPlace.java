package meterside.desk;

import java.nio.file.Path;
import java.util.List;
import javafx.geometry.Bounds;
import javafx.geometry.Pos;
import javafx.scene.AccessibleRole;
import javafx.scene.Node;
import javafx.scene.Parent;
import javafx.scene.control.Button;
import javafx.scene.control.Label;
import javafx.scene.input.KeyCode;
import javafx.scene.input.KeyEvent;
import javafx.scene.layout.BorderPane;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Priority;
import javafx.scene.layout.Region;
import javafx.scene.layout.StackPane;
import javafx.scene.layout.VBox;
import meterside.desk.PhotoStage.Tool;
import meterside.desk.model.Duties;
import meterside.desk.model.GoingOut;
import meterside.desk.model.JobDesk;
import meterside.desk.model.Keys;
import meterside.desk.model.Words;
import meterside.job.AnswerKind;
import meterside.job.DutyKey;
import meterside.job.Finding;
import meterside.job.Mark;
import meterside.job.PhotoId;
import meterside.job.StopKey;
import org.kordamp.ikonli.feather.Feather;

/** The job window. */
final class JobPlace implements Place {
  private static final double NUDGE = 1;
  private static final double FAR_NUDGE = 10;

  private final DeskWindow window;
  private final JobDesk desk;
  private final Overlay overlay;
  private final BorderPane root = new BorderPane();
  private final WalkView walk;
  private final PhotoView photo;
  private final NotesView notes;
  private final Foot foot;
  private final Label site = Ui.label("", "large", "bold");
  private final Label headline = Ui.label("", "quiet");
  private final Button open;
  private final HBox squares = new HBox(3);
  private final FindField find;

  JobPlace(DeskWindow window, JobDesk desk) {
    this.window = window;
    this.desk = desk;
    this.overlay = window.overlay();
    walk = new WalkView(desk, window.pictures());
    photo = new PhotoView(desk, window.pictures(), overlay, this::addPhotos);
    notes = new NotesView(desk, photo, overlay, window::showDevices);
    open = Ui.button("", window::showGoingOut, "bare");
    foot = new Foot(window.tasks(), overlay);
    find = new FindField(window, desk.session().name());
    Button back = Ui.button("‹ " + Words.say("place.past"), window::showPastJobs, "bare");
    Ui.named(back, Words.say("place.past"), Keys.PAST_JOBS);
    Button add = Ui.button(Words.say("job.add"), this::addPhotos);
    add.setId("add-photos");
    Ui.named(add, Words.say("job.add"), Keys.ADD);
    Button report = Ui.button(Words.say("job.report"), () -> window.showReport(), "strong");
    report.setId("report");
    Ui.named(report, Words.say("job.report"), Keys.REPORT);
    open.setId("going-out");
    Button settings =
        Ui.iconButton(Feather.SETTINGS, Words.say("place.settings"), window::showSettings, "bare");
    Ui.named(settings, Words.say("place.settings"), Keys.SETTINGS);
    Button help =
        Ui.iconButton(Feather.HELP_CIRCLE, Words.say("sheet.title"), window::showKeys, "bare");
    Ui.named(help, Words.say("sheet.title"), Keys.SHEET);
    squares.setAlignment(Pos.CENTER);
    Bar top =
        new Bar(16, 52)
            .left(back, site, headline)
            .right(open, squares, find.field(), new HBox(help, settings), add, report);
    top.getStyleClass().add("top-bar");
    Bar strip =
        new Bar(0, 36)
            .left(
                way("place.sheet", Keys.LAY_OUT, window::showSheet),
                way("place.clocks.short", Keys.CLOCKS, window::showClocks),
                way("place.devices.short", Keys.DEVICES, window::showDevices),
                way("place.facts", Keys.FACTS, this::facts),
                way("place.evidence", Keys.EVIDENCE, window::showEvidence));
    strip.getStyleClass().add("walk-strip");
    VBox left = new VBox(strip, walk);
    left.getStyleClass().add("walk");
    left.setMaxWidth(Ui.wide(WalkView.WIDTH, WalkView.GROWS));
    left.setPrefWidth(Ui.wide(WalkView.WIDTH, WalkView.GROWS));
    VBox.setVgrow(walk, Priority.ALWAYS);
    root.setTop(top);
    root.setLeft(left);
    root.setCenter(photo);
    root.setRight(notes);
    root.setBottom(foot);
    foot.also(
        () -> {
          int n = desk.walk().toLookAt().size();
          return n == 0 ? "" : Words.count("foot.look", n);
        },
        () -> Words.say(desk.saved() ? "foot.saved" : "foot.saving"));
    desk.onChange(this::changed);
    refreshTop();
  }

  private Button way(String key, Keys shortcut, Runnable to) {
    Button b = Ui.button(Words.say(key), to, "tiny", "bare");
    return Ui.named(b, Words.say(key), shortcut);
  }

  @Override
  public Parent root() {
    return root;
  }

  @Override
  public Foot foot() {
    return foot;
  }

  JobDesk desk() {
    return desk;
  }

  PhotoView photo() {
    return photo;
  }

  @Override
  public void begin() {
    photo.stage().requestFocus();
  }

  @Override
  public void leave() {
    overlay.close();
    photo.take(Tool.MOVE);
  }

  private void changed(JobDesk.Change what) {
    switch (what) {
      case JOB -> {
        refreshTop();
        walk.refresh();
        photo.refresh();
        notes.refresh();
        foot.refresh();
      }
      case SELECTION -> {
        walk.select();
        photo.refresh();
        notes.refresh();
      }
      case MARK -> {
        photo.repaint();
        notes.marks();
      }
      case SAVED -> foot.refresh();
    }
  }

  private void refreshTop() {
    site.setText(desk.job().site());
    headline.setText(desk.headline());
    int n = Duties.open(desk.walk());
    String owed = n == 0 ? Words.say("head.none-open") : Words.count("head.open", n);
    open.setText(owed);
    Ui.named(open, owed + ". " + Words.say("place.out"), Keys.GOING_OUT);
    squares.getChildren().clear();
    for (Duties.Square s : Duties.squares(desk.walk())) {
      squares.getChildren().add(square(s));
    }
  }

  private Node square(Duties.Square s) {
    Square node = new Square(s.open() > 0);
    node.setAccessibleRole(AccessibleRole.BUTTON);
    node.setAccessibleText(s.spoken());
    Ui.tip(node, s.spoken());
    node.setOnMouseClicked(e -> desk.showStop(s.at()));
    return node;
  }

  // ---- files ----

  void addPhotos() {
    javafx.scene.layout.VBox box = new javafx.scene.layout.VBox();
    box.getStyleClass().add("overlay-panel");
    Button folder =
        Ui.button(
            Words.say("add.folder"),
            () -> {
              overlay.close();
              window.picker().folder(Words.say("pick.folder")).ifPresent(p -> add(List.of(p)));
            });
    folder.setId("add-folder");
    Button files =
        Ui.button(
            Words.say("add.files"),
            () -> {
              overlay.close();
              List<Path> chosen = window.picker().photos();
              if (!chosen.isEmpty()) {
                add(chosen);
              }
            });
    folder.setMaxWidth(Double.MAX_VALUE);
    files.setMaxWidth(Double.MAX_VALUE);
    box.getChildren().addAll(folder, files);
    box.getChildren().add(Ui.wrapped(Words.say("add.hint"), "small", "quiet"));
    box.setPrefWidth(Ui.px(260));
    Bounds at =
        root.lookup("#add-photos").localToScene(root.lookup("#add-photos").getBoundsInLocal());
    overlay.near(box, at.getMinX() - 80, at.getMaxY() + 8, () -> {});
    folder.requestFocus();
  }

  /** Takes photos in. */
  void add(List<Path> sources) {
    desk.addPhotos(sources, () -> window.copyAfter(sources));
  }

  /** Asks for the facts of the job. */
  void facts() {
    FactsForm form = new FactsForm(desk, overlay::close);
    overlay.middle(form, () -> {});
    form.begin();
  }

  /** Shows a finding with the cursor where something is missing. */
  void toFinding(int number, GoingOut.Kind missing) {
    Finding f = desk.job().findings().get(number);
    if (f == null) {
      return;
    }
    desk.showStop(f.at());
    FindingForm.Field field =
        switch (missing) {
          case URGENT -> FindingForm.Field.TOLD;
          case NO_LOCATION -> FindingForm.Field.LOCATION;
          case NO_WHO -> FindingForm.Field.WHO;
          default -> FindingForm.Field.SEEN;
        };
    notes.editFinding(number, field);
  }

  /** Shows a duty with its ways to answer. */
  void toDuty(DutyKey key) {
    desk.showStop(key.at());
    notes.duties().openDuty(key);
  }

  /** Shows a duty and begins an answer that needs words or a finding. */
  void toDuty(DutyKey key, AnswerKind kind) {
    toDuty(key);
    notes.duties().answer(key, kind, List.of());
  }

  NotesView notes() {
    return notes;
  }

  // ---- keys ----

  @Override
  public void key(KeyEvent e) {
    if (e.getEventType() == KeyEvent.KEY_RELEASED) {
      KeyCode c = e.getCode();
      if (c == KeyCode.LEFT || c == KeyCode.RIGHT || c == KeyCode.UP || c == KeyCode.DOWN) {
        photo.stage().settle();
      }
      return;
    }
    if (overlay.open()) {
      return;
    }
    if (desk.mark() != 0 && nudge(e)) {
      e.consume();
      return;
    }
    Keys form = KeyMap.pressed(e, Keys.Place.FORM);
    if (form == Keys.KEEP_FORM && notes.keepForm()
        || form == Keys.PAST_WORDING && notes.pastWording()) {
      e.consume();
      return;
    }
    Keys k = KeyMap.pressed(e, Keys.Place.JOB);
    if (k != null) {
      act(k);
      e.consume();
    }
  }

  private boolean nudge(KeyEvent e) {
    if (e.isShortcutDown()
        || e.isAltDown()
        || e.getTarget() instanceof javafx.scene.control.TextInputControl) {
      return false;
    }
    double by = e.isShiftDown() ? FAR_NUDGE : NUDGE;
    switch (e.getCode()) {
      case LEFT -> photo.stage().nudge(-by, 0);
      case RIGHT -> photo.stage().nudge(by, 0);
      case UP -> photo.stage().nudge(0, -by);
      case DOWN -> photo.stage().nudge(0, by);
      default -> {
        return false;
      }
    }
    return true;
  }

  /** What past jobs hold that is like the mark's finding, else like the photo. */
  private void alike() {
    String job = desk.session().name();
    Integer finding = desk.selectedMark().map(Mark::finding).orElse(null);
    PhotoId shown = desk.current();
    if (finding != null) {
      window.showPastJobs(past -> past.similarTo(job, finding));
    } else if (shown != null) {
      String name = desk.job().photo(shown).name();
      window.showPastJobs(past -> past.similarTo(job, shown, name));
    }
  }

  private void act(Keys k) {
    switch (k) {
      case UNDO -> desk.undo();
      case REDO -> desk.redo();
      case ADD -> addPhotos();
      case REPORT -> window.showReport();
      case NEXT -> desk.step(1);
      case BEFORE -> desk.step(-1);
      case NEXT_STOP -> desk.stepStop(1);
      case STOP_BEFORE -> desk.stepStop(-1);
      case SELECT_NEXT -> select(1);
      case SELECT_BEFORE -> select(-1);
      case LOOK -> desk.nextToLookAt();
      case BEGINS -> desk.beginsHere();
      case KEEP -> desk.keepHere();
      case PUT -> putAt();
      case PUT_AFTER -> desk.placeSelectionBy(1);
      case PUT_BEFORE -> desk.placeSelectionBy(-1);
      case OTHER -> {
        if (desk.current() != null) {
          desk.placeSelection(StopKey.of(StopKey.OTHER_SYSTEMS));
        }
      }
      case RELEASE -> desk.release();
      case ASIDE -> desk.toggleAside();
      case NOTE -> desk.toggleNoteToSelf();
      case CALLOUT -> tool(Tool.CALLOUT);
      case AREA -> tool(Tool.AREA);
      case REDACT -> tool(Tool.REDACT);
      case MEASURE -> tool(Tool.MEASURE);
      case SPOT -> tool(Tool.SPOT);
      case FOR_REPORT -> tool(Tool.VIEW);
      case COPY_MARKS -> photo.copyMarks();
      case ALIKE -> alike();
      case FIT -> photo.stage().toggleFit();
      case LARGER -> photo.stage().zoom(1.25);
      case SMALLER -> photo.stage().zoom(0.8);
      case NEXT_MARK -> desk.nextMark();
      case RELABEL -> {
        if (!photo.stage().closeOutline() && desk.mark() != 0) {
          photo.relabel(desk.mark());
        }
      }
      case TIE -> notes.tie();
      case SECOND_LINE -> notes.writeNote();
      case REMOVE -> desk.removeMark();
      case FINDING -> notes.newFinding(desk.mark());
      case DUTY -> notes.duties().next();
      case INSTANCE -> notes.duties().nameInstance();
      case GOING_OUT -> window.showGoingOut();
      case LAY_OUT -> window.showSheet();
      case CLOCKS -> window.showClocks();
      case DEVICES -> window.showDevices();
      case FACTS -> facts();
      case EVIDENCE -> window.showEvidence();
      default -> {}
    }
  }

  private void tool(Tool t) {
    if (desk.current() != null) {
      photo.toggle(t);
    }
  }

  private void select(int by) {
    int at = desk.walk().indexOf(desk.current());
    int to = at + by;
    if (at >= 0 && to >= 0 && to < desk.walk().order().size()) {
      var id = desk.walk().order().get(to).id();
      if (desk.selection().contains(id)) {
        desk.toggle(desk.current());
      } else {
        desk.toggle(id);
      }
    }
  }

  /** Leaves the innermost thing that is open; false if nothing is. */
  boolean escape() {
    if (photo.stage().giveUp()) {
      return true;
    }
    if (photo.stage().tool() != Tool.MOVE) {
      photo.take(Tool.MOVE);
      return true;
    }
    if (notes.leaveForm()) {
      return true;
    }
    if (desk.mark() != 0) {
      desk.selectMark(0);
      return true;
    }
    photo.stage().requestFocus();
    return false;
  }

  private void putAt() {
    if (desk.current() == null) {
      return;
    }
    StopChoice.ask(
        desk, overlay, Ui.wide(WalkView.WIDTH, WalkView.GROWS) + 80, 120, desk::placeSelection);
  }

  void focusFind() {
    find.begin();
  }

  /** A square a stop: filled where all is answered, hatched where something is open. */
  private static final class Square extends StackPane {
    Square(boolean open) {
      getStyleClass().add("square");
      Region r = new Region();
      r.setMinSize(12, 12);
      r.setMaxSize(12, 12);
      r.setStyle(
          open
              ? "-fx-background-color: r-accent, r-panel, "
                  + "linear-gradient(from 0px 0px to 3px 3px, repeat, "
                  + "r-accent 0%, r-accent 42%, r-panel 43%, r-panel 100%);"
                  + "-fx-background-insets: 0, 1, 1;"
              : "-fx-background-color: r-done;");
      getChildren().add(r);
    }
  }
}

package meterside.desk;

import java.io.File;
import java.net.URL;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.util.List;
import java.util.Objects;
import java.util.function.Consumer;
import javafx.geometry.Pos;
import javafx.scene.Parent;
import javafx.scene.Scene;
import javafx.scene.input.KeyEvent;
import javafx.scene.input.TransferMode;
import javafx.scene.layout.Pane;
import javafx.scene.layout.Region;
import javafx.scene.layout.StackPane;
import javafx.stage.Stage;
import meterside.desk.model.CardDesk;
import meterside.desk.model.Evidence;
import meterside.desk.model.Folders;
import meterside.desk.model.JobDesk;
import meterside.desk.model.Keys;
import meterside.desk.model.NewJob;
import meterside.desk.model.Notice;
import meterside.desk.model.PastJobsModel;
import meterside.desk.model.Tasks;
import meterside.desk.model.Threads;
import meterside.desk.model.Words;
import meterside.job.PhotoId;
import meterside.search.Hit;
import meterside.work.Copying;
import meterside.work.Home;
import meterside.work.JobSession;
import meterside.work.SampleJobs;
import meterside.work.Settings;
import meterside.work.Workspace;

/** The one window: a place at a time fills it, what asks for a choice lies above. */
public final class DeskWindow implements AutoCloseable {
  private static final double WIDTH = 1440;
  private static final double HEIGHT = 900;

  /** Usual size of text in pixels. */
  private static final double TEXT = 13;

  private final Stage stage;
  private final Workspace workspace;
  private final Home home;
  private final Threads threads;
  private final FilePicker picker;
  private final Consumer<Path> opener;
  private final Tasks tasks;
  private final Pictures pictures;
  private final Overlay overlay = new Overlay();
  private final Pane belowLayer = new Pane();
  private final StackPane holder = new StackPane();
  private final StackPane root = new StackPane(holder, belowLayer, overlay);
  private Place place;
  private Place before;
  private JobPlace job;
  private ReportPlace report;
  private SheetPlace sheet;
  private ClocksPlace clocks;
  private DevicesPlace devices;
  private GoingOutPlace goingOut;
  private EvidencePlace evidence;
  private PastJobsPlace past;
  private PastJobsModel pastModel;
  private boolean systemDark;

  /**
   * Whether the key that is down did something: its letter is then no text for a field it opened.
   */
  private boolean keyTaken;

  /**
   * A window on an archive; shows nothing before {@link #start}.
   *
   * @param home where settings lie
   * @param threads the toolkit's thread and others beside it
   * @param picker how files come in
   * @param opener shows a file or folder outside the program
   */
  public DeskWindow(
      Stage stage,
      Workspace workspace,
      Home home,
      Threads threads,
      FilePicker picker,
      Consumer<Path> opener) {
    this.stage = stage;
    this.workspace = workspace;
    this.home = home;
    this.threads = threads;
    this.picker = picker;
    this.opener = opener;
    this.tasks = new Tasks(threads);
    tasks.standing(
        () ->
            Copying.place(workspace).isEmpty()
                ? Words.say("foot.no-copy")
                : Copying.ageSentence(workspace),
        this::showSecondCopy);
    Fonts.load();
    this.pictures = new Pictures(threads.ui());
    belowLayer.setPickOnBounds(false);
    Scene scene = new Scene(root, WIDTH, HEIGHT);
    URL css = Objects.requireNonNull(DeskWindow.class.getResource("desk.css"));
    scene.getStylesheets().add(css.toExternalForm());
    scene.addEventFilter(KeyEvent.KEY_PRESSED, e -> keyTaken = false);
    scene.addEventHandler(KeyEvent.KEY_PRESSED, this::key);
    scene.addEventHandler(KeyEvent.KEY_RELEASED, this::key);
    scene.addEventFilter(KeyEvent.KEY_TYPED, this::typed);
    stage.setScene(scene);
    stage.setTitle("Meterside");
    stage.setMinWidth(1080);
    stage.setMinHeight(640);
    stage.setOnCloseRequest(e -> close());
    acceptFiles(scene);
    applyText();
    applyTheme();
  }

  /**
   * Shows the first place: a job if one is named, else past jobs, or the first start if the archive
   * is empty.
   *
   * @param firstJob name of a job, or null
   */
  public void start(String firstJob) {
    if (firstJob != null) {
      openJob(firstJob, null);
    } else {
      showPastJobs();
    }
    stage.show();
  }

  Workspace workspace() {
    return workspace;
  }

  Overlay overlay() {
    return overlay;
  }

  Pictures pictures() {
    return pictures;
  }

  Tasks tasks() {
    return tasks;
  }

  FilePicker picker() {
    return picker;
  }

  /** The open job's place, or null. */
  JobPlace job() {
    return job;
  }

  /** The window's scene. */
  public Scene scene() {
    return stage.getScene();
  }

  // ---- places ----

  private void go(Place next) {
    overlay.close();
    below(null, 0, 0);
    if (!tasks.notice().trouble()) {
      tasks.say(Notice.NONE); // what was said belonged to the place that is left
    }
    if (place != null) {
      place.leave();
      before = place;
    }
    place = next;
    Parent shown = next.root();
    holder.getChildren().setAll(shown);
    next.foot().refresh();
    // What lies in a scroll pane is in the scene only once the pane has its skin.
    holder.applyCss();
    holder.layout();
    next.begin();
  }

  /** Goes to where one came from. */
  void back() {
    Place to = before;
    if (to != null && !(to instanceof SettingsPlace)) {
      go(to);
    } else {
      showPastJobs();
    }
  }

  void backToJob() {
    if (job != null) {
      go(job);
    }
  }

  PastJobsModel pastJobs() {
    if (pastModel == null) {
      pastModel = new PastJobsModel(workspace, threads, tasks);
    }
    return pastModel;
  }

  void showPastJobs() {
    if (workspace.jobNames().isEmpty()) {
      go(new StartPlace(this));
      return;
    }
    if (past == null) {
      past = new PastJobsPlace(this, pastJobs());
    }
    go(past);
  }

  void showPastJobs(String words) {
    showPastJobs();
    if (place == past) {
      past.search(words);
    }
  }

  /** Past jobs, asked something there. */
  void showPastJobs(Consumer<PastJobsModel> asking) {
    showPastJobs();
    if (place == past) {
      asking.accept(pastJobs());
    }
  }

  void showReport() {
    if (job == null) {
      return;
    }
    if (report == null) {
      report = new ReportPlace(this, job.desk());
    }
    go(report);
  }

  /**
   * Goes to the report with draft or final chosen.
   *
   * @param toIssue whether final is chosen
   */
  void showReport(boolean toIssue) {
    showReport();
    if (report != null) {
      report.choose(toIssue);
    }
  }

  void showSheet() {
    if (job != null) {
      if (sheet == null) {
        sheet = new SheetPlace(this, job.desk());
      }
      go(sheet);
    }
  }

  void showClocks() {
    if (job != null) {
      if (clocks == null) {
        clocks = new ClocksPlace(this, job.desk());
      }
      go(clocks);
    }
  }

  void showDevices() {
    if (job != null) {
      if (devices == null) {
        devices = new DevicesPlace(this, job.desk());
      }
      go(devices);
    }
  }

  void showGoingOut() {
    if (job != null) {
      if (goingOut == null) {
        goingOut = new GoingOutPlace(this, job.desk());
      }
      go(goingOut);
    }
  }

  private void forgetPlaces() {
    report = null;
    sheet = null;
    clocks = null;
    devices = null;
    goingOut = null;
    evidence = null;
  }

  void showEvidence() {
    if (job != null) {
      if (evidence == null) {
        evidence = new EvidencePlace(this, job.desk());
      }
      go(evidence);
    }
  }

  /** After an intake: the second copy follows, and says whether the card may be wiped. */
  void copyAfter(List<Path> sources) {
    if (Copying.place(workspace).isPresent()) {
      Evidence.copy(workspace, tasks, sources, () -> {});
    }
  }

  /** The day's care of the archive: a share is read through, the second copy follows. */
  public void care() {
    threads.ui().execute(() -> Evidence.care(workspace, tasks));
  }

  void showSettings() {
    go(new SettingsPlace(this));
  }

  /** Shows where the second copy is chosen. */
  void showSecondCopy() {
    SettingsPlace settings = new SettingsPlace(this);
    go(settings);
    settings.toCopy();
  }

  /** Goes to the job and asks which photos to add. */
  void addToJob() {
    backToJob();
    job().addPhotos();
  }

  /** Shows the keys. */
  void showKeys() {
    overlay.middle(new KeySheet(), () -> {});
  }

  /** Opens what was found. */
  void open(Hit hit) {
    PhotoId photo = hit.photoId();
    openJob(hit.job(), photo);
  }

  /**
   * Opens a job for work.
   *
   * @param photo photo to show, or null
   */
  void openJob(String name, PhotoId photo) {
    if (job != null && job.desk().session().name().equals(name)) {
      go(job);
      job.desk().show(photo);
      return;
    }
    JobSession session;
    try {
      session = JobSession.openOrRead(workspace, name);
    } catch (RuntimeException e) {
      tasks.sayTrouble(e);
      if (place == null) {
        showPastJobs();
      }
      return;
    }
    closeJob();
    JobDesk desk = new JobDesk(session, threads, tasks);
    job = new JobPlace(this, desk);
    stage.setTitle(desk.job().site() + " – Meterside");
    titleFollows(desk);
    go(job);
    if (photo != null) {
      desk.show(photo);
    }
    remember(name);
  }

  private void titleFollows(JobDesk desk) {
    desk.onChange(
        c -> {
          if (c == JobDesk.Change.JOB) {
            stage.setTitle(desk.job().site() + " – Meterside");
          }
        });
  }

  private void remember(String name) {
    Settings s = workspace.settings();
    if (!name.equals(s.recentJob())) {
      threads.work().execute(() -> keepQuietly(s.withRecentJob(name)));
    }
  }

  private void keepQuietly(Settings s) {
    try {
      workspace.keep(s);
    } catch (RuntimeException e) {
      threads.ui().execute(() -> tasks.sayTrouble(e));
    }
  }

  private void closeJob() {
    if (job != null) {
      job.desk().close();
      job = null;
      forgetPlaces();
      pictures.forget();
    }
  }

  /** Asks for a new job, and opens it. */
  void newJob() {
    askNewJob(name -> {});
  }

  private void askNewJob(Consumer<String> then) {
    NewJobForm form =
        new NewJobForm(
            workspace.trade(),
            LocalDate.now(workspace.clock()),
            workspace.settings(),
            wanted -> {
              overlay.close();
              String name = start(wanted);
              if (name != null) {
                openJob(name, null);
                then.accept(name);
              }
            },
            overlay::close);
    overlay.middle(form, () -> {});
    form.begin();
  }

  private String start(NewJob wanted) {
    String name = wanted.folderName(workspace.jobNames());
    try {
      workspace.newJob(
          name, wanted.site(), wanted.date(), wanted.zone(), wanted.route(), wanted.duties());
      return name;
    } catch (RuntimeException e) {
      tasks.sayTrouble(e);
      return null;
    }
  }

  /** The first way on: a job from a card or folder. */
  void startFromFolder() {
    picker.folder(Words.say("pick.folder")).ifPresent(folder -> readCard(List.of(folder)));
  }

  /** Reads a card: one house becomes a job, several are shown to be named. */
  void readCard(List<Path> sources) {
    CardDesk.read(
        workspace,
        tasks,
        sources,
        card -> {
          if (card.groups().size() > 1) {
            go(new CardPlace(this, card));
          } else {
            askNewJob(name -> job.add(sources));
          }
        });
  }

  /** The second way on: the sample jobs. */
  void startSample() {
    tasks.start(
        Words.say("task.sample"),
        progress -> SampleJobs.make(workspace.root(), home, progress),
        names -> openJob(names.get(0), null));
  }

  /** Where reports are written to unless the inspector says otherwise. */
  Path reportsFolder() {
    String chosen = workspace.settings().reportFolder();
    if (chosen != null && !chosen.isBlank()) {
      return Folders.read(chosen);
    }
    Path documents = Path.of(System.getProperty("user.home"), "Documents");
    Path base = Files.isDirectory(documents) ? documents : workspace.root().toAbsolutePath();
    return base.resolve(Words.say("report.folder-name"));
  }

  void openFolder(Path path) {
    opener.accept(path);
  }

  // ---- what lies over a place ----

  /** Shows a panel below a field without taking its focus; null takes it away. */
  void below(Region panel, double sceneX, double sceneY) {
    belowLayer.getChildren().clear();
    if (panel != null) {
      belowLayer.getChildren().add(panel);
      panel.applyCss();
      panel.autosize();
      double w = panel.prefWidth(-1);
      panel.relocate(Math.max(8, Math.min(root.getWidth() - w - 8, sceneX)), sceneY);
      StackPane.setAlignment(belowLayer, Pos.TOP_LEFT);
    }
  }

  // ---- keys ----

  private void typed(KeyEvent e) {
    if (keyTaken) {
      e.consume();
      return;
    }
    boolean typing = e.getTarget() instanceof javafx.scene.control.TextInputControl;
    if ("?".equals(e.getCharacter()) && !typing && !overlay.open()) {
      showKeys();
      e.consume();
    }
  }

  private void key(KeyEvent e) {
    if (e.isConsumed() || place == null) {
      return;
    }
    if (e.getEventType() == KeyEvent.KEY_RELEASED) {
      place.key(e);
      return;
    }
    Keys k = KeyMap.pressed(e, Keys.Place.ANYWHERE);
    if (k == null) {
      place.key(e);
      keyTaken = e.isConsumed();
      return;
    }
    if (overlay.open() && k != Keys.LEAVE) {
      return;
    }
    e.consume();
    switch (k) {
      case SHEET -> showKeys();
      case FIND -> find();
      case PAST_JOBS -> showPastJobs();
      case SETTINGS -> showSettings();
      case THEME -> theme(dark() ? "light" : "dark");
      case LEAVE -> escape();
      default -> {}
    }
  }

  private void find() {
    if (place == job && job != null) {
      job.focusFind();
    } else {
      showPastJobs();
    }
  }

  private void escape() {
    if (overlay.open()) {
      overlay.close();
    } else if (place == job && job != null) {
      job.escape();
    } else if (place == sheet && sheet != null && sheet.escape()) {
      return;
    } else if (place != past && place != job) {
      if (job != null) {
        backToJob();
      } else {
        showPastJobs();
      }
    } else if (place == past && job != null) {
      backToJob();
    }
  }

  // ---- what is dropped on the window ----

  private void acceptFiles(Scene scene) {
    scene.setOnDragOver(
        e -> {
          if (e.getDragboard().hasFiles()) {
            e.acceptTransferModes(TransferMode.COPY);
            e.consume();
          }
        });
    scene.setOnDragDropped(
        e -> {
          if (e.getDragboard().hasFiles()) {
            dropped(e.getDragboard().getFiles().stream().map(File::toPath).toList());
            e.setDropCompleted(true);
          }
          e.consume();
        });
  }

  /** Takes in photos or a card folder: into the open job, or into a new one from elsewhere. */
  void dropped(List<Path> files) {
    boolean inJob = job != null && !(place == past || place instanceof StartPlace);
    if (inJob) {
      job.add(files);
    } else {
      readCard(files);
    }
  }

  // ---- the size of text ----

  /** Sets the size of text in percent, and lays the window out anew. */
  void textSize(int percent) {
    keep(workspace.settings().withTextSize(percent));
    applyText();
    past = null;
    pastModel = null;
    if (job != null) {
      JobDesk desk = job.desk();
      desk.forgetListeners();
      forgetPlaces();
      job = new JobPlace(this, desk);
      titleFollows(desk);
    }
    if (place instanceof SettingsPlace) {
      before = job;
      holder.getChildren().clear();
      place = null;
      go(new SettingsPlace(this));
    }
  }

  private void applyText() {
    double scale = workspace.settings().textSize() / 100.0;
    Ui.scale(scale);
    root.setStyle(String.format(java.util.Locale.ROOT, "-fx-font-size: %.1fpx;", TEXT * scale));
  }

  // ---- light and dark ----

  /** Sets the theme: {@code system}, {@code light} or {@code dark}. */
  void theme(String theme) {
    keep(workspace.settings().withTheme(theme));
    applyTheme();
  }

  /** Keeps settings; what can't be kept is said. */
  void keep(Settings s) {
    try {
      workspace.keep(s);
    } catch (RuntimeException e) {
      tasks.sayTrouble(e);
    }
  }

  /** Takes in what the system is set to. */
  public void systemDark(boolean dark) {
    systemDark = dark;
    applyTheme();
  }

  private boolean dark() {
    String theme = workspace.settings().theme();
    return theme.equals("dark") || theme.equals("system") && systemDark;
  }

  private void applyTheme() {
    Ui.style(root, "dark", dark());
    stage.getScene().setFill(javafx.scene.paint.Color.web(dark() ? "#24292E" : "#FFFDF9"));
  }

  /** Stops what runs, and closes the job and the archive. */
  @Override
  public void close() {
    tasks.stopAll();
    closeJob();
    pictures.close();
    threads.acts().execute(workspace::close);
  }
}

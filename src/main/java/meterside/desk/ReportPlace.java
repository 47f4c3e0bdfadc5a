package meterside.desk;

import java.nio.file.Path;
import java.util.List;
import javafx.geometry.Pos;
import javafx.scene.Parent;
import javafx.scene.control.Button;
import javafx.scene.control.CheckBox;
import javafx.scene.control.Label;
import javafx.scene.control.RadioButton;
import javafx.scene.control.ScrollPane;
import javafx.scene.control.TextField;
import javafx.scene.control.ToggleGroup;
import javafx.scene.input.KeyEvent;
import javafx.scene.layout.BorderPane;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Priority;
import javafx.scene.layout.VBox;
import meterside.desk.model.Duties;
import meterside.desk.model.Folders;
import meterside.desk.model.JobDesk;
import meterside.desk.model.Words;
import meterside.job.ExtractKind;
import meterside.job.Finding;
import meterside.report.Paper;
import meterside.work.JobSession;
import meterside.work.Names;

/** The report: what it will say, whether it is a draft, what stays private, where it goes. */
final class ReportPlace implements Place {
  private final DeskWindow window;
  private final JobDesk desk;
  private final BorderPane root = new BorderPane();
  private final RadioButton draft = new RadioButton(Words.say("report.draft"));
  private final RadioButton issue = new RadioButton(Words.say("report.final"));
  private final CheckBox location = new CheckBox(Words.say("report.location"));
  private final TextField folder = new TextField();
  private final RadioButton letter = new RadioButton(Words.say("report.letter"));
  private final RadioButton a4 = new RadioButton(Words.say("report.a4"));
  private final RadioButton fixList = new RadioButton(Words.say("hand.fix-list"));
  private final RadioButton electrician = new RadioButton(Words.say("hand.for-electrician"));
  private final RadioButton originals = new RadioButton(Words.say("hand.originals"));
  private final TextField to = new TextField();
  private final TextField leave = new TextField();
  private final Button hand;
  private final VBox handed = new VBox(8);
  private final VBox log = new VBox(2);
  private final Button write;
  private final VBox result = new VBox(8);
  private final VBox state = new VBox(4);
  private final Foot foot;
  private final Label site;
  private final Label count = Ui.label("", "quiet");
  private final PagesView pages;

  ReportPlace(DeskWindow window, JobDesk desk) {
    this.window = window;
    this.desk = desk;
    this.foot = new Foot(window.tasks(), window.overlay());
    root.getStyleClass().add("place");
    Button back = Ui.button("‹ " + Words.say("report.back"), window::backToJob, "bare");
    back.setId("report-back");
    site = Ui.label("", "large", "bold");
    pages = new PagesView(desk, n -> count.setText(Words.count("report.pages.count", n)));
    HBox top =
        new HBox(back, site, Ui.label(Words.say("place.report"), "quiet"), Ui.spacer(), count);
    top.getStyleClass().add("top-bar");
    ToggleGroup group = new ToggleGroup();
    draft.setToggleGroup(group);
    issue.setToggleGroup(group);
    location.setSelected(Boolean.TRUE.equals(window.workspace().settings().reportLocation()));
    draft.setSelected(true);
    draft.setId("report-draft");
    issue.setId("report-final");
    folder.setId("report-folder");
    folder.setAccessibleText(Words.say("report.folder"));
    HBox.setHgrow(folder, Priority.ALWAYS);
    Button pick =
        Ui.button(
            Words.say("report.pick"),
            () ->
                window
                    .picker()
                    .target(Words.say("report.folder"), parent())
                    .ifPresent(
                        p -> folder.setText(Folders.shown(p.resolve(desk.session().name())))));
    write = Ui.button("", this::write, "strong");
    write.setId("report-write");
    ToggleGroup paper = new ToggleGroup();
    letter.setToggleGroup(paper);
    a4.setToggleGroup(paper);
    a4.setId("report-a4");
    boolean european = desk.session().paper() == Paper.A4;
    (european ? a4 : letter).setSelected(true);
    paper.selectedToggleProperty().addListener((o, a, b) -> keepPaper());
    ToggleGroup part = new ToggleGroup();
    for (RadioButton b : List.of(fixList, electrician, originals)) {
      b.setToggleGroup(part);
    }
    fixList.setSelected(true);
    fixList.setId("hand-fix-list");
    electrician.setId("hand-for-electrician");
    originals.setId("hand-originals");
    to.setId("hand-to");
    to.setPromptText(Words.say("hand.to"));
    to.setAccessibleText(Words.say("hand.to"));
    leave.setId("hand-leave");
    leave.setPromptText(Words.say("hand.leave"));
    leave.setAccessibleText(Words.say("hand.leave"));
    HBox.setHgrow(to, Priority.ALWAYS);
    HBox.setHgrow(leave, Priority.ALWAYS);
    hand = Ui.button(Words.say("hand.out"), this::handOut);
    hand.setId("hand-out");
    HBox where = new HBox(8, folder, pick);
    where.setAlignment(Pos.CENTER_LEFT);
    VBox page =
        new VBox(
            state,
            section("report.which"),
            explained(draft, "report.draft.more"),
            explained(issue, "report.final.more"),
            section("report.private"),
            Ui.wrapped(Words.say("report.private.more"), "quiet"),
            location,
            section("report.paper"),
            new HBox(16, letter, a4),
            section("report.folder"),
            where,
            write,
            result,
            section("hand.title"),
            Ui.wrapped(Words.say("hand.more"), "quiet"),
            explained(fixList, "hand.fix-list.more"),
            explained(electrician, "hand.for-electrician.more"),
            explained(originals, "hand.originals.more"),
            new HBox(8, to, leave),
            hand,
            handed,
            log);
    page.getStyleClass().add("side-page");
    ScrollPane scroll = new ScrollPane(page);
    scroll.setFitToWidth(true);
    scroll.setMinWidth(0);
    scroll.setPrefWidth(Ui.wide(420, 0.42));
    root.setTop(top);
    root.setLeft(scroll);
    root.setCenter(pages);
    root.setBottom(foot);
    group
        .selectedToggleProperty()
        .addListener(
            (o, a, b) -> {
              label();
              layOut();
            });
    location.selectedProperty().addListener((o, a, b) -> layOut());
    desk.onChange(
        c -> {
          if (c == JobDesk.Change.JOB && root.getScene() != null) {
            showState();
            layOut();
          }
        });
    label();
  }

  private static Label section(String key) {
    Label l = Ui.label(Words.say(key), "section");
    l.setPadding(new javafx.geometry.Insets(8, 0, 0, 0));
    return l;
  }

  private static VBox explained(RadioButton button, String key) {
    Label more = Ui.wrapped(Words.say(key), "small", "quiet");
    more.setPadding(new javafx.geometry.Insets(0, 0, 0, 22));
    return new VBox(2, button, more);
  }

  private void label() {
    String text = Words.say(draft.isSelected() ? "report.write-draft" : "report.write-final");
    write.setText(text);
    write.setAccessibleText(text);
  }

  private Path parent() {
    String text = folder.getText().strip();
    return text.isEmpty() ? null : Folders.read(text).getParent();
  }

  /** Chooses draft or final before it is shown. */
  void choose(boolean toIssue) {
    (toIssue ? issue : draft).setSelected(true);
  }

  @Override
  public Parent root() {
    return root;
  }

  @Override
  public Foot foot() {
    return foot;
  }

  @Override
  public void begin() {
    site.setText(desk.job().site());
    if (folder.getText().isBlank()) {
      folder.setText(Folders.shown(window.reportsFolder().resolve(desk.session().name())));
    }
    showState();
    layOut();
    write.requestFocus();
  }

  @Override
  public void leave() {
    pages.leave();
  }

  /** The pages as they would be now. */
  private void layOut() {
    if (root.getScene() != null) {
      pages.show(draft.isSelected(), location.isSelected(), paper());
    }
  }

  private void showState() {
    showLog();
    state.getChildren().clear();
    int open = Duties.open(desk.walk());
    state
        .getChildren()
        .add(
            Ui.wrapped(
                Words.count("report.findings", desk.job().findings().size())
                    + " · "
                    + (open == 0 ? Words.say("head.none-open") : Words.count("head.open", open))));
    List<String> gaps = new java.util.ArrayList<>();
    if (open > 0) {
      gaps.add(Words.count("report.gap.open", open));
    }
    int look = desk.walk().toLookAt().size();
    if (look > 0) {
      gaps.add(Words.count("report.gap.look", look));
    }
    long bare =
        desk.job().findings().values().stream()
            .filter(f -> f.photos().isEmpty() && untied(f))
            .count();
    if (bare > 0) {
      gaps.add(Words.count("report.gap.photo", bare));
    }
    long nobody =
        desk.job().findings().values().stream()
            .filter(f -> f.urgent() != null)
            .filter(f -> f.urgent().told() == null || f.urgent().told().isBlank())
            .count();
    if (nobody > 0) {
      gaps.add(Words.count("report.gap.urgent", nobody));
    }
    if (!gaps.isEmpty()) {
      VBox box = new VBox(2);
      box.getStyleClass().add("caution");
      gaps.forEach(g -> box.getChildren().add(Ui.wrapped(g)));
      state.getChildren().add(box);
    }
  }

  private boolean untied(Finding f) {
    return desk.job().marks().values().stream()
        .noneMatch(m -> Integer.valueOf(f.number()).equals(m.finding()));
  }

  private Paper paper() {
    return a4.isSelected() ? Paper.A4 : Paper.LETTER;
  }

  private void keepPaper() {
    var workspace = desk.session().workspace();
    workspace.keep(workspace.settings().withPaper(a4.isSelected() ? "a4" : "letter"));
    layOut();
  }

  /** Writes the chosen part beside where reports go, in a folder of its own. */
  private void handOut() {
    String text = folder.getText().strip();
    if (text.isEmpty()) {
      folder.requestFocus();
      return;
    }
    ExtractKind kind =
        originals.isSelected()
            ? ExtractKind.ORIGINALS
            : electrician.isSelected() ? ExtractKind.FOR_ELECTRICIAN : ExtractKind.FIX_LIST;
    Path target = Folders.read(text + "-" + Names.id(kind));
    handed.getChildren().clear();
    hand.setDisable(true);
    desk.extract(
        kind,
        to.getText(),
        leave.getText(),
        target,
        paper(),
        this::handedOut,
        () -> hand.setDisable(false));
  }

  private void handedOut(JobSession.Handed out) {
    hand.setDisable(false);
    handed.getChildren().clear();
    handed.setId("hand-done");
    handed.getChildren().add(Ui.wrapped(Words.say("hand.done", Folders.shown(out.folder()))));
    handed
        .getChildren()
        .add(Ui.button(Words.say("report.open"), () -> window.openFolder(out.folder())));
    out.files().leftOut().forEach(s -> handed.getChildren().add(Ui.wrapped(s, "quiet")));
    showLog();
  }

  /** What left the job so far. */
  private void showLog() {
    log.getChildren().clear();
    List<String> lines = desk.handedOut();
    if (!lines.isEmpty()) {
      log.getChildren().add(section("hand.log"));
      lines.forEach(l -> log.getChildren().add(Ui.wrapped(l, "small", "quiet")));
    }
  }

  private void write() {
    String text = folder.getText().strip();
    if (text.isEmpty()) {
      folder.requestFocus();
      return;
    }
    result.getChildren().clear();
    write.setDisable(true);
    desk.report(
        Folders.read(text),
        draft.isSelected(),
        location.isSelected(),
        paper(),
        this::written,
        () -> write.setDisable(false));
  }

  private void written(JobSession.Issued issued) {
    write.setDisable(false);
    result.getChildren().clear();
    result.setId("report-done");
    String done =
        draft.isSelected()
            ? Words.say("report.done-draft", Folders.shown(issued.folder()))
            : Words.say("report.done-final", issued.number(), Folders.shown(issued.folder()));
    result.getChildren().add(section("report.done"));
    result.getChildren().add(Ui.wrapped(done));
    result
        .getChildren()
        .add(Ui.wrapped(Words.say("report.files", issued.files().sha256ByName().size()), "quiet"));
    Button open = Ui.button(Words.say("report.open"), () -> window.openFolder(issued.folder()));
    Button pdf =
        Ui.button(
            Words.say("report.read"),
            () -> window.openFolder(issued.folder().resolve("report.pdf")));
    result.getChildren().add(new HBox(8, pdf, open));
    if (!issued.files().leftOut().isEmpty()) {
      result.getChildren().add(section("report.left-out"));
      for (String s : issued.files().leftOut()) {
        result.getChildren().add(Ui.wrapped(s, "quiet"));
      }
    }
    showState();
  }

  @Override
  public void key(KeyEvent e) {}
}

package meterside.desk;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.function.Consumer;
import java.util.function.Function;
import javafx.geometry.Insets;
import javafx.geometry.Point2D;
import javafx.geometry.Pos;
import javafx.scene.AccessibleRole;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.CheckBox;
import javafx.scene.control.TextField;
import javafx.scene.input.KeyCode;
import javafx.scene.input.KeyEvent;
import javafx.scene.layout.FlowPane;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Priority;
import javafx.scene.layout.Region;
import javafx.scene.layout.StackPane;
import javafx.scene.layout.VBox;
import meterside.desk.model.Devices;
import meterside.desk.model.Duties;
import meterside.desk.model.JobDesk;
import meterside.desk.model.Keys;
import meterside.desk.model.Notes;
import meterside.desk.model.Notes.DutyLine;
import meterside.desk.model.Notice;
import meterside.desk.model.Words;
import meterside.job.Answer;
import meterside.job.AnswerKind;
import meterside.job.DeviceTest;
import meterside.job.DutyKey;
import meterside.job.DutyKind;
import meterside.job.Finding;
import meterside.job.PhotoId;
import meterside.job.StopKey;

/** The duties of the stop shown: each open or with its one answer, answered by a digit. */
final class DutiesView extends VBox {
  /** The duty that asks for each panel whether its cover came off. */
  private static final String COVER = "cover";

  /**
   * What the view needs of the column it stands in.
   *
   * @param newFinding starts a finding
   * @param reveal scrolls to a node
   * @param devices goes to tests and counts
   */
  record Host(Runnable newFinding, Consumer<Node> reveal, Runnable devices) {}

  private final JobDesk desk;
  private final Overlay overlay;
  private final Host host;
  private DutyKey open;

  DutiesView(JobDesk desk, Overlay overlay, Host host) {
    this.desk = desk;
    this.overlay = overlay;
    this.host = host;
  }

  /** Another stop is shown: no duty is open. */
  void closeAll() {
    open = null;
  }

  /** The duty whose ways to answer are shown, or null. */
  DutyKey open() {
    return open;
  }

  /** Shows the duties of the stop. */
  void show(Notes n) {
    getChildren().clear();
    boolean some = !n.duties().isEmpty();
    setVisible(some);
    setManaged(some);
    getChildren().add(NotesView.section("notes.duties"));
    for (DutyLine d : n.duties()) {
      getChildren().add(duty(d));
    }
    if (!some || n.at() == null) {
      return;
    }
    FlowPane more = new FlowPane(8, 8);
    more.setPadding(new Insets(8, 0, 0, 0));
    if (Devices.triedAt(desk.job(), n.at())) {
      getChildren().addAll(tests(n.at()));
      Button b = Ui.button(Words.say("place.devices"), host.devices(), "tiny");
      b.setId("to-devices");
      more.getChildren().add(Ui.named(b, Words.say("place.devices"), Keys.DEVICES));
    }
    Button several = Ui.button(Words.say("instance.name"), this::nameInstance, "tiny");
    several.setId("name-instance");
    more.getChildren().add(Ui.named(several, Words.say("instance.more"), Keys.INSTANCE));
    getChildren().add(more);
  }

  private List<Node> tests(StopKey at) {
    List<Node> out = new ArrayList<>();
    for (DeviceTest t : desk.job().tests().values()) {
      if (t.at().equals(at)) {
        String what = Words.term(desk.trade(), t.part());
        String where = t.location() == null ? "" : ", " + t.location();
        List<String> said = new ArrayList<>();
        t.outcomes().forEach(o -> said.add(Devices.outcome(o)));
        if (t.notTested() != null) {
          said.add(t.notTested());
        }
        if (t.means() != null) {
          said.add(t.means());
        }
        Node line = Ui.wrapped(what + where + ": " + String.join(", ", said), "quiet", "small");
        VBox.setMargin(line, new Insets(0, 0, 0, 25));
        out.add(line);
      }
    }
    return out;
  }

  private Node duty(DutyLine d) {
    Region box = new Region();
    box.getStyleClass().add("duty-box");
    Ui.style(box, "answered", !d.open());
    Ui.style(box, "habit", d.habit() && d.open());
    StackPane holder = new StackPane(box);
    holder.setPadding(new Insets(2, 0, 0, 0));
    holder.setAlignment(Pos.TOP_CENTER);
    VBox text = new VBox(2, Ui.wrapped(d.text()), Ui.wrapped(d.answer(), "quiet"));
    if (d.sampled()) {
      text.getChildren()
          .add(
              Ui.wrapped(
                  d.counted().isEmpty() ? Words.say("duty.uncounted") : d.counted(),
                  "small",
                  d.counted().isEmpty() ? "quiet" : "accent"));
    }
    HBox.setHgrow(text, Priority.ALWAYS);
    HBox row = new HBox(8, holder, text);
    row.getStyleClass().add("duty");
    row.setId("duty-" + d.key().duty());
    row.setAccessibleRole(AccessibleRole.BUTTON);
    row.setAccessibleText(d.text() + ". " + d.answer());
    row.setFocusTraversable(true);
    if (d.key().equals(open)) {
      text.getChildren().add(ways(d));
    }
    row.setOnMouseClicked(e -> toggle(d.key()));
    row.addEventHandler(KeyEvent.KEY_PRESSED, e -> key(e, d));
    return row;
  }

  private void toggle(DutyKey key) {
    open = key.equals(open) ? null : key;
    show(desk.notes());
    focus(key);
  }

  /** Opens a duty of the stop shown. */
  void openDuty(DutyKey key) {
    open = key;
    show(desk.notes());
    focus(key);
  }

  /** Puts the focus on a duty. */
  void focus(DutyKey key) {
    Node n = key == null ? null : lookup("#duty-" + key.duty());
    if (n != null) {
      n.requestFocus();
      host.reveal().accept(n);
    }
  }

  /** Goes to the next open duty: of this stop, then of the stops after it. */
  void next() {
    List<DutyKey> all = desk.job().openDuties();
    if (all.isEmpty()) {
      desk.tasks().say(Notice.said(Words.say("duty.none-open")));
      return;
    }
    List<DutyKey> here = all.stream().filter(k -> k.at().equals(desk.stop())).toList();
    int at = open == null ? -1 : here.indexOf(open);
    DutyKey to = at + 1 < here.size() ? here.get(at + 1) : after(all);
    if (!to.at().equals(desk.stop())) {
      desk.showStop(to.at());
    }
    openDuty(to);
  }

  private DutyKey after(List<DutyKey> all) {
    List<StopKey> keys = desk.job().stopKeys();
    int at = keys.indexOf(desk.stop());
    for (DutyKey k : all) {
      if (keys.indexOf(k.at()) > at) {
        return k;
      }
    }
    return all.get(0);
  }

  // ---- ways to answer ----

  private Node ways(DutyLine d) {
    FlowPane flow = new FlowPane(4, 4);
    flow.setPadding(new Insets(6, 0, 2, 0));
    for (Map.Entry<Integer, AnswerKind> e : Duties.ways(kind(d.key())).entrySet()) {
      AnswerKind way = e.getValue();
      Button b = way(e.getKey() + "  " + Notes.way(way), () -> answer(d.key(), way, List.of()));
      b.setId("way-" + way.name());
      flow.getChildren().add(b);
    }
    if (d.key().duty().equals(COVER)) {
      flow.getChildren()
          .addAll(
              way("7  " + Words.say("way.cover-off"), () -> coverOff(d.key())),
              way("8  " + Words.say("way.cover-on"), () -> coverOn(d.key())));
    }
    if (!d.open()) {
      flow.getChildren().add(way("0  " + Words.say("way.reopen"), () -> desk.reopen(d.key())));
    }
    flow.setOnMouseClicked(javafx.event.Event::consume);
    VBox box = new VBox(2, flow);
    if (desk.current() != null) {
      box.getChildren().add(Ui.wrapped(Words.say("way.with-photo"), "small", "quiet"));
    }
    return box;
  }

  private static Button way(String text, Runnable act) {
    Button b = Ui.button(text, act, "tiny");
    b.setFocusTraversable(false);
    b.setWrapText(true);
    return b;
  }

  private void key(KeyEvent e, DutyLine d) {
    if (e.getTarget() instanceof TextField || e.isShortcutDown() || e.isAltDown()) {
      return;
    }
    int digit = digit(e.getCode());
    boolean shown = e.isShiftDown() && desk.current() != null;
    List<PhotoId> photos = shown ? List.of(desk.current()) : List.of();
    boolean cover = d.key().duty().equals(COVER);
    if (digit == 0) {
      open = d.key();
      desk.reopen(d.key());
    } else if (Duties.ways(kind(d.key())).containsKey(digit)) {
      answer(d.key(), Duties.ways(kind(d.key())).get(digit), photos);
    } else if (cover && digit == 7) {
      coverOff(d.key());
    } else if (cover && digit == 8) {
      coverOn(d.key());
    } else if (digit > 0) {
      desk.tasks().say(Duties.unfit(digit, kind(d.key())));
    } else if (e.getCode() == KeyCode.ENTER || e.getCode() == KeyCode.SPACE) {
      toggle(d.key());
    } else if (e.getCode() == KeyCode.DOWN || e.getCode() == KeyCode.UP) {
      step(d.key(), e.getCode() == KeyCode.DOWN ? 1 : -1);
    } else {
      return;
    }
    e.consume();
  }

  private DutyKind kind(DutyKey key) {
    return desk.job().duty(key).kind();
  }

  private static int digit(KeyCode code) {
    String name = code.getName();
    return code.isDigitKey() ? name.charAt(name.length() - 1) - '0' : -1;
  }

  private void step(DutyKey from, int by) {
    List<DutyLine> all = desk.notes().duties();
    for (int i = 0; i < all.size(); i++) {
      if (all.get(i).key().equals(from)) {
        openDuty(all.get(Math.max(0, Math.min(all.size() - 1, i + by))).key());
        return;
      }
    }
  }

  /** Answers a duty; what needs words or a finding asks for it. */
  void answer(DutyKey key, AnswerKind kind, List<PhotoId> photos) {
    open = key;
    switch (kind) {
      case NO_CONDITION, NOT_PRESENT, EXCLUDED -> {
        desk.answer(key, new Answer(kind, null, null, null, photos));
        moveOn(key);
      }
      case DESCRIPTION ->
          ask(key, kind, "way.describe.prompt", "way.how.prompt", Function.identity(), photos);
      case NOT_INSPECTED -> ask(key, kind, "way.because.prompt", null, Function.identity(), photos);
      case FINDING -> askFinding(key, photos);
    }
  }

  private void coverOff(DutyKey key) {
    open = key;
    desk.answer(
        key, new Answer(AnswerKind.DESCRIPTION, Words.say("cover.removed"), null, null, List.of()));
    moveOn(key);
  }

  private void coverOn(DutyKey key) {
    open = key;
    ask(
        key,
        AnswerKind.DESCRIPTION,
        "way.cover-on.prompt",
        null,
        because -> Words.say("cover.not-removed", because),
        List.of());
  }

  private void moveOn(DutyKey key) {
    // The next open duty of this stop, so that a stop is answered by a row of digits.
    boolean past = false;
    for (DutyLine d : desk.notes().duties()) {
      if (past && d.open()) {
        open = d.key();
        break;
      }
      past |= d.key().equals(key);
    }
    show(desk.notes());
    focus(open);
  }

  private void ask(
      DutyKey key,
      AnswerKind kind,
      String prompt,
      String howPrompt,
      Function<String, String> words,
      List<PhotoId> photos) {
    boolean plain = words.equals(Function.<String>identity());
    Answer was = desk.job().answer(key).filter(a -> a.kind() == kind).orElse(null);
    TextField text = new TextField(was == null || was.text() == null || !plain ? "" : was.text());
    text.setPromptText(Words.say(prompt));
    text.setAccessibleText(Words.say(prompt));
    text.setId("answer-words");
    TextField how = new TextField(was == null || was.howKnown() == null ? "" : was.howKnown());
    VBox box = new VBox(4, text);
    if (howPrompt != null) {
      how.setPromptText(Words.say(howPrompt));
      how.setAccessibleText(Words.say(howPrompt));
      box.getChildren().add(how);
    }
    // A limitation is best shown: the photo of what stood in the way.
    CheckBox shows =
        new CheckBox(
            Words.say(kind == AnswerKind.NOT_INSPECTED ? "way.photo-why" : "way.photo-it"));
    shows.setWrapText(true);
    shows.setId("answer-photo");
    PhotoId photo = desk.current();
    boolean before = was != null && photo != null && was.photos().contains(photo);
    shows.setSelected(before || !photos.isEmpty());
    if (photo != null) {
      box.getChildren().add(shows);
    }
    Runnable keep =
        () -> {
          if (!text.getText().isBlank()) {
            List<PhotoId> all = new ArrayList<>(was == null ? List.of() : was.photos());
            all.remove(photo);
            if (photo != null && shows.isSelected()) {
              all.add(photo);
            }
            String known = how.getText().isBlank() ? null : how.getText().strip();
            desk.answer(
                key,
                new Answer(
                    kind,
                    words.apply(text.getText().strip()),
                    kind == AnswerKind.DESCRIPTION ? known : null,
                    null,
                    all));
            moveOn(key);
          }
        };
    FlowPane row = new FlowPane(4, 4);
    row.getChildren()
        .addAll(
            Ui.button(Words.say("form.keep"), keep, "tiny", "strong"),
            Ui.button(Words.say("form.leave"), () -> back(key), "tiny"));
    if (howPrompt != null) {
      row.getChildren().add(Ui.button(Words.say("way.unlabeled"), () -> unlabeled(key), "tiny"));
    }
    box.getChildren().add(row);
    box.setPadding(new Insets(6, 0, 2, 0));
    box.setOnMouseClicked(javafx.event.Event::consume);
    box.addEventHandler(
        KeyEvent.KEY_PRESSED,
        e -> {
          if (e.getCode() == KeyCode.ENTER && e.getTarget() instanceof TextField) {
            keep.run();
            e.consume();
          } else if (e.getCode() == KeyCode.ESCAPE) {
            back(key);
            e.consume();
          } else if (e.getTarget() == shows) {
            e.consume(); // its own keys are no keys of the duty
          }
        });
    show(desk.notes());
    if (lookup("#duty-" + key.duty()) instanceof HBox dutyRow) {
      VBox column = (VBox) dutyRow.getChildren().get(1);
      column.getChildren().set(column.getChildren().size() - 1, box);
      text.requestFocus();
    }
  }

  private void unlabeled(DutyKey key) {
    desk.answer(
        key,
        new Answer(AnswerKind.DESCRIPTION, Words.say("way.unlabeled.text"), null, null, List.of()));
    moveOn(key);
  }

  private void back(DutyKey key) {
    show(desk.notes());
    focus(key);
  }

  private void askFinding(DutyKey key, List<PhotoId> photos) {
    List<Finding> here =
        desk.job().findings().values().stream()
            .sorted(
                Comparator.comparing((Finding f) -> !f.at().equals(key.at()))
                    .thenComparing(f -> -f.number()))
            .toList();
    if (here.isEmpty()) {
      host.newFinding().run();
      return;
    }
    Chooser<Finding> chooser =
        new Chooser<>(
            Words.say("choose.finding"),
            typed ->
                here.stream()
                    .filter(
                        f ->
                            (f.label() + " " + f.seen())
                                .toLowerCase(Locale.ROOT)
                                .contains(typed.toLowerCase(Locale.ROOT)))
                    .toList(),
            f -> new Chooser.Line(f.label() + "  " + f.seen(), ""),
            f -> {
              overlay.close();
              desk.answer(key, new Answer(AnswerKind.FINDING, null, null, f.number(), photos));
              moveOn(key);
            });
    chooser.setPrefWidth(Ui.wide(400, 0.5));
    Node row = lookup("#duty-" + key.duty());
    Point2D at = row == null ? localToScene(0, 0) : row.localToScene(0, 0);
    overlay.near(chooser, at.getX() - 40, at.getY() + 24, () -> {});
    chooser.begin();
  }

  // ---- named instances ----

  /** Asks for the name of one of several: "garage subpanel". */
  void nameInstance() {
    StopKey at = desk.stop();
    if (at == null || at.isOtherSystems()) {
      return;
    }
    TextField name = new TextField();
    name.setPromptText(Words.say("instance.prompt"));
    name.setAccessibleText(Words.say("instance.prompt"));
    name.setId("instance-name");
    VBox box = new VBox(8);
    box.getStyleClass().add("overlay-panel");
    box.setPrefWidth(Ui.wide(320, 0.6));
    Runnable keep =
        () -> {
          String text = name.getText().strip();
          if (!text.isEmpty()) {
            overlay.close();
            desk.nameInstance(at, text);
          }
        };
    name.setOnAction(e -> keep.run());
    box.getChildren()
        .addAll(
            Ui.wrapped(
                Words.say("instance.title", desk.job().title(StopKey.of(at.stop()))), "bold"),
            name,
            Ui.wrapped(Words.say("instance.hint"), "small", "quiet"),
            new HBox(8, Ui.button(Words.say("form.keep"), keep, "strong")));
    Point2D p = localToScene(0, 0);
    overlay.near(box, p.getX() - 24, Math.max(80, p.getY()), () -> {});
    name.requestFocus();
  }
}

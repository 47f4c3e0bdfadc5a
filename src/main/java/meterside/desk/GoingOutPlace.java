package meterside.desk;

import java.util.ArrayList;
import java.util.List;
import javafx.geometry.Pos;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.Label;
import javafx.scene.input.KeyEvent;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Priority;
import javafx.scene.layout.Region;
import javafx.scene.layout.StackPane;
import javafx.scene.layout.VBox;
import meterside.desk.model.GoingOut;
import meterside.desk.model.GoingOut.Item;
import meterside.desk.model.JobDesk;
import meterside.desk.model.Keys;
import meterside.desk.model.Words;
import meterside.job.Answer;
import meterside.job.AnswerKind;
import meterside.job.Placement;

/** Before it goes out: what is open, missing or guessed, one key each; then draft or final. */
final class GoingOutPlace extends JobPage {
  private final List<Node> rows = new ArrayList<>();
  private final List<Item> items = new ArrayList<>();
  private final Button draft;
  private int at;

  GoingOutPlace(DeskWindow window, JobDesk desk) {
    super(window, desk, "place.out");
    draft = Ui.button(Words.say("out.draft"), () -> window.showReport(false));
    draft.setId("out-draft");
    Ui.named(draft, Words.say("out.draft.more"), Keys.OUT_DRAFT);
    Button issue = Ui.button(Words.say("out.issue"), () -> window.showReport(true), "strong");
    issue.setId("out-issue");
    Ui.named(issue, Words.say("out.issue.more"), Keys.OUT_ISSUE);
    acts(draft, issue);
    narrow();
  }

  @Override
  void refresh() {
    GoingOut out = GoingOut.of(desk.job());
    body.getChildren().clear();
    rows.clear();
    items.clear();
    body.getChildren().add(Ui.wrapped(Words.say("place.out"), "huge", "bold"));
    body.getChildren()
        .add(
            Ui.wrapped(
                out.items().isEmpty() ? Words.say("out.nothing") : Words.say("out.hint"), "quiet"));
    for (GoingOut.Kind kind : GoingOut.Kind.values()) {
      List<Item> of = out.items().stream().filter(i -> i.kind() == kind).toList();
      if (of.isEmpty()) {
        continue;
      }
      VBox part = new VBox(2);
      part.getChildren().add(Ui.wrapped(GoingOut.heading(kind, of.size()), "bold"));
      if (!keyOf(kind).isEmpty()) {
        part.getChildren().add(Ui.wrapped(Words.say(keyOf(kind)), "small", "quiet"));
      }
      for (Item i : of) {
        Node row = row(i);
        rows.add(row);
        items.add(i);
        part.getChildren().add(row);
      }
      body.getChildren().add(part);
    }
    scroll.applyCss();
    scroll.layout();
    at = Math.max(0, Math.min(rows.size() - 1, at));
    if (rows.isEmpty()) {
      draft.requestFocus();
    } else {
      focus(at);
    }
  }

  private static String keyOf(GoingOut.Kind kind) {
    return switch (kind) {
      case DUTY -> "out.key.duty";
      case INFERRED -> "out.key.inferred";
      default -> ""; // Enter, as the page says above
    };
  }

  private Node row(Item i) {
    Region box = new Region();
    box.getStyleClass().add("duty-box");
    StackPane holder = new StackPane(box);
    holder.setPadding(new javafx.geometry.Insets(2, 0, 0, 0));
    holder.setAlignment(Pos.TOP_CENTER);
    Label title = Ui.wrapped(i.title());
    Label text = Ui.wrapped(i.text(), "quiet");
    VBox words = new VBox(2, title, text);
    HBox.setHgrow(words, Priority.ALWAYS);
    HBox row = new HBox(8, holder, words);
    row.getStyleClass().add("duty");
    row.setId("out-" + i.kind().name().toLowerCase(java.util.Locale.ROOT));
    Ui.actable(row, i.title() + ". " + i.text(), () -> go(i));
    row.focusedProperty()
        .addListener(
            (o, was, now) -> {
              if (now) {
                at = rows.indexOf(row);
              }
            });
    return row;
  }

  private void focus(int index) {
    Node n = rows.get(index);
    n.requestFocus();
    Ui.reveal(scroll, n);
  }

  /** Goes to where it is put right. */
  private void go(Item i) {
    switch (i.kind()) {
      case URGENT, NO_PHOTO, NO_LOCATION, NO_WHO -> {
        window.backToJob();
        window.job().toFinding(i.finding(), i.kind());
      }
      case DUTY -> {
        window.backToJob();
        window.job().toDuty(i.duty());
      }
      case INFERRED -> {
        window.backToJob();
        desk.show(i.photo());
      }
      case CLOCK -> window.showClocks();
    }
  }

  @Override
  public void key(KeyEvent e) {
    if (e.getEventType() != KeyEvent.KEY_PRESSED || window.overlay().open()) {
      return;
    }
    Keys out = KeyMap.pressed(e, Keys.Place.GOING_OUT);
    if (out != null) {
      window.showReport(out == Keys.OUT_ISSUE);
      e.consume();
      return;
    }
    Keys undo = KeyMap.pressed(e, Keys.Place.JOB);
    if (undo == Keys.UNDO || undo == Keys.REDO) {
      if (undo == Keys.UNDO) {
        desk.undo();
      } else {
        desk.redo();
      }
      e.consume();
      return;
    }
    if (rows.isEmpty()) {
      return;
    }
    Item here = items.get(at);
    switch (e.getCode()) {
      case DOWN -> focus(Math.min(rows.size() - 1, at + 1));
      case UP -> focus(Math.max(0, at - 1));
      default -> {
        if (undo == Keys.KEEP && here.canKeep()) {
          keep(here);
        } else if (here.canAnswer() && answer(here, KeyMap.pressed(e, Keys.Place.DUTY))) {
          e.consume();
          return;
        } else {
          return;
        }
      }
    }
    e.consume();
  }

  private void keep(Item i) {
    desk.job()
        .placement(i.photo())
        .map(Placement::at)
        .ifPresent(p -> desk.place(List.of(i.photo()), p));
  }

  private boolean answer(Item i, Keys k) {
    if (k == null) {
      return false;
    }
    switch (k) {
      case ANSWER_1 -> desk.answer(i.duty(), Answer.of(AnswerKind.NO_CONDITION));
      case ANSWER_4 -> desk.answer(i.duty(), Answer.of(AnswerKind.NOT_PRESENT));
      case ANSWER_5 -> desk.answer(i.duty(), Answer.of(AnswerKind.EXCLUDED));
      case ANSWER_2, ANSWER_3, ANSWER_6 -> go(i); // these need words
      default -> {
        return false;
      }
    }
    return true;
  }
}

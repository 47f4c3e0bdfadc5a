package meterside.desk;

import java.util.ArrayList;
import java.util.List;
import javafx.application.Platform;
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
import meterside.desk.model.Duties;
import meterside.desk.model.GoingOut;
import meterside.desk.model.GoingOut.Item;
import meterside.desk.model.JobDesk;
import meterside.desk.model.Keys;
import meterside.desk.model.Words;
import meterside.job.Answer;
import meterside.job.AnswerKind;
import meterside.job.DutyKind;
import meterside.job.Placement;

/** Before it goes out: what is open, missing or guessed, one key each; then draft or final. */
final class GoingOutPlace extends JobPage {
  private final List<Node> rows = new ArrayList<>();
  private final List<Item> items = new ArrayList<>();
  private final Button draft;
  private final Button issue;
  private final Label digits = Ui.wrapped("", "small", "quiet");
  private int at;

  GoingOutPlace(DeskWindow window, JobDesk desk) {
    super(window, desk, "place.out");
    draft = Ui.button(Words.say("out.draft"), () -> window.showReport(false));
    draft.setId("out-draft");
    Ui.named(draft, Words.say("out.draft.more"), Keys.OUT_DRAFT);
    issue = Ui.button(Words.say("out.issue"), () -> window.showReport(true), "strong");
    issue.setId("out-issue");
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
    int open = out.items().size();
    Ui.style(draft, "strong", open > 0);
    Ui.style(issue, "strong", open == 0);
    issue.setText(open == 0 ? Words.say("out.issue") : Words.say("out.issue.open", open));
    Ui.named(
        issue,
        open == 0
            ? Words.say("out.issue.more")
            : Words.say("out.issue.more") + ". " + issue.getText(),
        Keys.OUT_ISSUE);
    for (GoingOut.Kind kind : GoingOut.Kind.values()) {
      List<Item> of = out.items().stream().filter(i -> i.kind() == kind).toList();
      if (of.isEmpty()) {
        continue;
      }
      VBox part = new VBox(2);
      part.getChildren().add(Ui.wrapped(GoingOut.heading(kind, of.size()), "bold"));
      if (kind == GoingOut.Kind.DUTY) {
        digits(of.get(0));
        part.getChildren().add(digits);
      } else if (kind == GoingOut.Kind.INFERRED) {
        part.getChildren().add(Ui.wrapped(Words.say("out.key.inferred"), "small", "quiet"));
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
      // Before the page is laid out for the first time nothing can be scrolled to.
      Platform.runLater(
          () -> {
            if (root.getScene() != null && at < rows.size()) {
              Ui.reveal(scroll, rows.get(at));
            }
          });
    }
  }

  /** Names the digits that fit the duty in focus; no other is said to answer it. */
  private void digits(Item duty) {
    digits.setText(Words.say("out.key.duty", Duties.digits(desk.job().duty(duty.duty()).kind())));
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
                if (i.duty() != null) {
                  digits(i);
                }
                Ui.reveal(scroll, row);
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
    int digit =
        switch (k) {
          case ANSWER_1 -> 1;
          case ANSWER_2 -> 2;
          case ANSWER_3 -> 3;
          case ANSWER_4 -> 4;
          case ANSWER_5 -> 5;
          case ANSWER_6 -> 6;
          case ANSWER_7 -> 7;
          case ANSWER_8 -> 8;
          default -> 0;
        };
    if (digit == 0) {
      return false;
    }
    DutyKind asks = desk.job().duty(i.duty()).kind();
    AnswerKind way = Duties.ways(asks).get(digit);
    if (way == null) {
      window.tasks().say(Duties.unfit(digit, asks));
      return true;
    }
    switch (way) {
      case NO_CONDITION, NOT_PRESENT, EXCLUDED -> desk.answer(i.duty(), Answer.of(way));
      case DESCRIPTION, FINDING, NOT_INSPECTED -> { // these need words
        window.backToJob();
        window.job().toDuty(i.duty(), way);
      }
    }
    return true;
  }
}

package meterside.desk;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import javafx.geometry.Pos;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.CheckBox;
import javafx.scene.control.Label;
import javafx.scene.control.ListCell;
import javafx.scene.control.ListView;
import javafx.scene.control.TextField;
import javafx.scene.input.KeyEvent;
import javafx.scene.layout.FlowPane;
import meterside.desk.model.Evidence;
import meterside.desk.model.JobDesk;
import meterside.desk.model.Words;
import meterside.work.Audit;

/**
 * Evidence: the check, the package, until when the job is kept and what holds it, and who did what
 * when.
 */
final class EvidencePlace extends JobPage {
  private final Evidence evidence;
  private final Label packed = Ui.wrapped("");
  private final Label held = Ui.wrapped("");
  private final Label past = Ui.wrapped("", "quiet");
  private final TextField reason = new TextField();
  private final TextField until = new TextField();
  private final TextField why = new TextField();
  private final CheckBox sign = new CheckBox(Words.say("evidence.sign"));
  private final Button pack;
  private final Button reopen;
  private final Button hold;
  private final Button check;
  private final ListView<String> lines = new ListView<>();

  EvidencePlace(DeskWindow window, JobDesk desk) {
    super(window, desk, "place.evidence");
    this.evidence = new Evidence(desk);
    // A long line goes on in the next one; nothing has to be scrolled sideways.
    lines.setCellFactory(
        view -> {
          ListCell<String> cell =
              new ListCell<>() {
                @Override
                protected void updateItem(String line, boolean empty) {
                  super.updateItem(line, empty);
                  setText(empty ? null : line);
                }
              };
          cell.setWrapText(true);
          cell.setPrefWidth(0);
          return cell;
        });
    root.setId("evidence");
    check = Ui.button(Words.say("evidence.check"), () -> evidence.check(this::refresh));
    check.setId("evidence-check");
    pack = Ui.button(Words.say("evidence.pack"), this::pack);
    pack.setId("evidence-pack");
    reopen =
        Ui.button(
            Words.say("evidence.reopen"), () -> evidence.reopen(reason.getText(), this::refresh));
    reopen.setId("evidence-reopen");
    hold = Ui.button("", this::hold);
    hold.setId("evidence-hold");
    Button table =
        Ui.button(
            Words.say("audit.table"),
            () ->
                window
                    .picker()
                    .target(Words.say("audit.table"), window.reportsFolder())
                    .ifPresent(evidence::writeTable));
    table.setId("audit-table");
    named(reason, "evidence.reason");
    named(until, "evidence.until");
    named(why, "evidence.why");
    until.setPromptText("YYYY-MM-DD");
    until.setOnAction(e -> evidence.keepUntil(until.getText()));
    until
        .focusedProperty()
        .addListener(
            (o, was, now) -> {
              if (was && !now) {
                evidence.keepUntil(until.getText());
              }
            });
    lines.setId("audit");
    lines.setAccessibleText(Words.say("evidence.history"));
    lines.setPrefHeight(Ui.px(260));
    narrow();
    body.getChildren()
        .addAll(
            Ui.wrapped(Words.say("place.evidence"), "huge", "bold"),
            section("evidence.check.title"),
            Ui.wrapped(Words.say("evidence.check.more"), "small", "quiet"),
            row(check),
            section("evidence.package"),
            packed,
            Ui.wrapped(Words.say("evidence.package.more"), "small", "quiet"),
            sign,
            row(pack),
            row(reason, reopen),
            section("evidence.keep"),
            row(Ui.label(Words.say("evidence.until")), until, past),
            held,
            row(why, hold),
            section("evidence.history"),
            lines,
            row(table));
  }

  private static Label section(String key) {
    return Ui.label(Words.say(key), "section");
  }

  private static FlowPane row(Node... nodes) {
    FlowPane row = new FlowPane(12, 8, nodes);
    row.setAlignment(Pos.CENTER_LEFT);
    return row;
  }

  private static void named(TextField field, String key) {
    field.setPromptText(Words.say(key));
    field.setAccessibleText(Words.say(key));
    field.setPrefWidth(Ui.wide(360, 0.6));
  }

  private void pack() {
    window
        .picker()
        .target(Words.say("evidence.pack.where"), window.reportsFolder())
        .ifPresent(folder -> evidence.pack(folder, sign.isSelected(), this::refresh));
  }

  private void hold() {
    evidence.hold(evidence.job().hold().isEmpty(), why.getText(), why::clear);
  }

  @Override
  void refresh() {
    boolean closed = evidence.packed();
    packed.setText(evidence.packedSentence());
    pack.setDisable(closed);
    sign.setDisable(closed);
    reason.setDisable(!closed);
    reopen.setDisable(!closed);
    if (!until.isFocused()) {
      until.setText(evidence.keepUntil());
    }
    past.setText(evidence.past() ? Words.say("evidence.past") : "");
    boolean on = evidence.job().hold().isPresent();
    held.setText(evidence.holdSentence());
    hold.setText(Words.say(on ? "evidence.release" : "evidence.hold"));
    hold.setAccessibleText(hold.getText());
    evidence.audit(this::show);
  }

  /** Who did what when, the latest first. */
  private void show(Audit audit) {
    List<String> rows = new ArrayList<>();
    audit.rows().forEach(r -> rows.add(Evidence.line(audit, r)));
    Collections.reverse(rows);
    lines.getItems().setAll(rows);
  }

  @Override
  public void begin() {
    super.begin();
    check.requestFocus();
  }

  @Override
  public void key(KeyEvent e) {}
}

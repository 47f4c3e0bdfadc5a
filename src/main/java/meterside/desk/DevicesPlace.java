package meterside.desk;

import java.util.List;
import java.util.Locale;
import javafx.application.Platform;
import javafx.beans.binding.Bindings;
import javafx.geometry.Pos;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.ComboBox;
import javafx.scene.control.Label;
import javafx.scene.control.TextField;
import javafx.scene.control.ToggleButton;
import javafx.scene.input.KeyEvent;
import javafx.scene.layout.FlowPane;
import javafx.scene.layout.HBox;
import javafx.scene.layout.VBox;
import meterside.desk.model.Devices;
import meterside.desk.model.JobDesk;
import meterside.desk.model.Keys;
import meterside.desk.model.Notice;
import meterside.desk.model.Words;
import meterside.job.DeviceTest;
import meterside.job.RoomCount;
import meterside.job.StopKey;
import meterside.job.TestOutcome;

/** Tests and counts: sampled duties by room, and device tests as a quick table. */
final class DevicesPlace extends JobPage {
  private String focus = "new-test";
  private StopKey at;

  DevicesPlace(DeskWindow window, JobDesk desk) {
    super(window, desk, "place.devices");
  }

  @Override
  public void begin() {
    at = Devices.triedAt(desk.job(), desk.stop()) ? desk.stop() : firstTried();
    focus = "new-test";
    super.begin();
  }

  private StopKey firstTried() {
    return desk.job().stopKeys().stream()
        .filter(k -> Devices.triedAt(desk.job(), k))
        .findFirst()
        .orElse(null);
  }

  @Override
  void refresh() {
    Devices d = Devices.of(desk.job(), desk.trade());
    body.getChildren().clear();
    body.getChildren().add(Ui.wrapped(Words.say("place.devices"), "huge", "bold"));
    body.getChildren().add(Ui.wrapped(Words.say("devices.counts"), "bold"));
    body.getChildren().add(Ui.wrapped(Words.say("devices.counts.more"), "small", "quiet"));
    for (Devices.Counted c : d.counts()) {
      body.getChildren().add(counted(c));
    }
    body.getChildren().add(Ui.wrapped(Words.say("devices.tests"), "bold"));
    body.getChildren().add(Ui.wrapped(Words.say("devices.tests.more"), "small", "quiet"));
    String stop = "";
    for (Devices.Line l : d.tests()) {
      if (!l.stopTitle().equals(stop)) {
        stop = l.stopTitle();
        body.getChildren().add(Ui.wrapped(stop, "section"));
      }
      body.getChildren().add(line(l));
    }
    if (d.tests().isEmpty()) {
      body.getChildren().add(Ui.wrapped(Words.say("devices.none"), "quiet"));
    }
    if (at != null) {
      body.getChildren().add(fresh());
    }
    Platform.runLater(
        () -> {
          Node n = root.lookup("#" + focus);
          if (n != null) {
            n.requestFocus();
          }
        });
  }

  // ---- counts ----

  private Node counted(Devices.Counted c) {
    VBox box = new VBox(4);
    box.getChildren().add(Ui.wrapped(c.text()));
    if (!c.summary().isEmpty()) {
      Label sum = Ui.wrapped(c.summary(), "accent", "bold");
      sum.setId("summary-" + c.key().duty());
      box.getChildren().add(sum);
    }
    TextField typed = new TextField();
    String id = "count-" + c.key().duty() + (c.key().at().instance().isEmpty() ? "" : "-i");
    FlowPane rooms = new FlowPane(8, 8);
    for (RoomCount r : c.rooms()) {
      Button b =
          Ui.button(
              Devices.typed(r),
              () -> {
                typed.setText(Devices.typed(r));
                typed.requestFocus();
                typed.end();
              },
              "tiny");
      Ui.named(b, Words.say("devices.change", Devices.typed(r)), null);
      Button away =
          Ui.button(
              "×",
              () -> Devices.count(desk, c.key(), new RoomCount(r.room(), 0, List.of())),
              "tiny",
              "bare");
      Ui.named(away, Words.say("devices.away", r.room()), null);
      rooms.getChildren().add(new HBox(b, away));
    }
    typed.setId(id);
    typed.setPromptText(Words.say("devices.count.prompt"));
    typed.setAccessibleText(Words.say("devices.count.name", c.text()));
    typed.setPrefColumnCount(26);
    typed.setOnAction(
        e -> {
          var read = Devices.read(typed.getText());
          if (read.isPresent()) {
            focus = id;
            typed.clear();
            Devices.count(desk, c.key(), read.get());
          } else {
            window.tasks().say(Notice.trouble(Words.say("devices.count.wrong")));
          }
        });
    rooms.getChildren().add(typed);
    box.getChildren().add(rooms);
    return box;
  }

  // ---- tests ----

  private Node line(Devices.Line l) {
    DeviceTest t = l.test();
    TextField where = field("where-" + t.id(), t.location(), "devices.where", 22);
    TextField means = field("means-" + t.id(), t.means(), "devices.means", 22);
    TextField because = field("because-" + t.id(), t.notTested(), "devices.because", 22);
    ComboBox<String> part = partBox(t.part());
    part.setOnAction(e -> put("where-" + t.id(), with(t, where, part.getValue(), means)));
    where.setOnAction(e -> put("where-" + t.id(), with(t, where, t.part(), means)));
    means.setOnAction(e -> put("means-" + t.id(), with(t, where, t.part(), means)));
    because.setOnAction(e -> put("because-" + t.id(), Devices.notTested(t, because.getText())));
    onLeave(where, () -> put(null, with(t, where, t.part(), means)));
    onLeave(means, () -> put(null, with(t, where, t.part(), means)));
    onLeave(because, () -> put(null, Devices.notTested(t, because.getText())));
    // What is written can be read whole.
    means
        .prefColumnCountProperty()
        .bind(
            Bindings.createIntegerBinding(
                () -> Math.min(60, Math.max(22, means.getText().length() + 2)),
                means.textProperty()));
    means.setDisable(t.outcomes().isEmpty());
    FlowPane outcomes = new FlowPane(4, 4);
    for (TestOutcome o : Devices.outcomes(t)) {
      ToggleButton b = new ToggleButton(Devices.outcome(o));
      b.getStyleClass().add("tiny");
      b.setSelected(t.outcomes().contains(o));
      b.setId("out-" + t.id() + "-" + o.name().toLowerCase(Locale.ROOT));
      b.setAccessibleText(Devices.outcome(o));
      b.setOnAction(e -> put(b.getId(), Devices.toggled(t, o)));
      outcomes.getChildren().add(b);
    }
    Button remove = Ui.button("×", () -> Devices.remove(desk, t.id()), "tiny", "bare");
    Ui.named(remove, Words.say("devices.remove", t.location() == null ? "" : t.location()), null);
    FlowPane words = new FlowPane(8, 4, where, part, means, because);
    if (t.finding() != null) {
      words.getChildren().add(Ui.label("F" + t.finding(), "bold"));
    }
    words.getChildren().add(remove);
    VBox row = new VBox(6, words, outcomes);
    row.getStyleClass().add("device");
    return row;
  }

  private DeviceTest with(DeviceTest t, TextField where, String part, TextField means) {
    return Devices.worded(t, where.getText(), part, means.getText());
  }

  private void put(String nextFocus, DeviceTest changed) {
    if (nextFocus != null) {
      focus = nextFocus;
    }
    Devices.put(desk, changed);
  }

  private void onLeave(TextField f, Runnable keep) {
    f.focusedProperty()
        .addListener(
            (o, was, now) -> {
              if (!now && f.getScene() != null) {
                Node to = f.getScene().getFocusOwner();
                focus = to == null || to.getId() == null ? focus : to.getId();
                keep.run();
              }
            });
  }

  private static TextField field(String id, String text, String key, int columns) {
    TextField f = new TextField(text == null ? "" : text);
    f.setId(id);
    f.setPromptText(Words.say(key));
    f.setAccessibleText(Words.say(key));
    f.setPrefColumnCount(columns);
    return f;
  }

  private ComboBox<String> partBox(String part) {
    ComboBox<String> box = new ComboBox<>();
    List<String> parts = Devices.parts(desk.trade());
    box.getItems().setAll(parts);
    if (!parts.contains(part)) {
      box.getItems().add(0, part);
    }
    box.setConverter(
        new javafx.util.StringConverter<>() {
          @Override
          public String toString(String id) {
            return id == null ? "" : Words.term(desk.trade(), id);
          }

          @Override
          public String fromString(String text) {
            return text;
          }
        });
    box.setValue(part);
    box.setAccessibleText(Words.say("devices.part"));
    return box;
  }

  private Node fresh() {
    ComboBox<StopKey> stop = new ComboBox<>();
    stop.getItems()
        .setAll(
            desk.job().stopKeys().stream().filter(k -> Devices.triedAt(desk.job(), k)).toList());
    stop.setConverter(
        new javafx.util.StringConverter<>() {
          @Override
          public String toString(StopKey k) {
            return k == null ? "" : desk.job().title(k);
          }

          @Override
          public StopKey fromString(String text) {
            return null;
          }
        });
    stop.setValue(at);
    stop.setAccessibleText(Words.say("devices.stop"));
    ComboBox<String> part = partBox(Devices.usualPart(at));
    stop.setOnAction(
        e -> {
          at = stop.getValue();
          part.setValue(Devices.usualPart(at));
        });
    TextField where = field("new-test", "", "devices.new.prompt", 22);
    Runnable add =
        () -> {
          if (!where.getText().isBlank()) {
            focus = "new-test";
            Devices.add(desk, at, where.getText(), part.getValue(), null);
          }
        };
    where.setOnAction(e -> add.run());
    Button keep = Ui.button(Words.say("devices.add"), add, "tiny");
    FlowPane row = new FlowPane(8, 8, stop, part, where, keep);
    row.setAlignment(Pos.CENTER_LEFT);
    VBox box = new VBox(4, Ui.wrapped(Words.say("devices.new"), "section"), row);
    return box;
  }

  @Override
  public void key(KeyEvent e) {
    if (e.getEventType() != KeyEvent.KEY_PRESSED || window.overlay().open()) {
      return;
    }
    Keys k = KeyMap.pressed(e, Keys.Place.JOB);
    if (k == Keys.UNDO) {
      desk.undo();
      e.consume();
    } else if (k == Keys.REDO) {
      desk.redo();
      e.consume();
    }
  }
}

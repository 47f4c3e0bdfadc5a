package meterside.desk;

import java.util.List;
import javafx.animation.PauseTransition;
import javafx.geometry.Bounds;
import javafx.scene.AccessibleRole;
import javafx.scene.control.Label;
import javafx.scene.control.TextField;
import javafx.scene.input.KeyEvent;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Priority;
import javafx.scene.layout.VBox;
import javafx.util.Duration;
import meterside.desk.model.PastJobsModel;
import meterside.desk.model.Words;
import meterside.search.Hit;

/** The find field of the top bar: a few hits of this job and of all jobs below it as one types. */
final class FindField {
  private final DeskWindow window;
  private final String job;
  private final TextField field = new TextField();
  private final PauseTransition pause = new PauseTransition(Duration.millis(150));
  private List<Hit> hits = List.of();
  private VBox panel;
  private int at = -1;

  FindField(DeskWindow window, String job) {
    this.window = window;
    this.job = job;
    field.setPromptText(Words.say("find.prompt"));
    field.setAccessibleText(Words.say("find.prompt"));
    field.setPrefColumnCount(14);
    field.setId("find");
    pause.setOnFinished(e -> ask());
    field.textProperty().addListener((o, a, b) -> pause.playFromStart());
    field.addEventFilter(KeyEvent.KEY_PRESSED, this::key);
  }

  TextField field() {
    return field;
  }

  void begin() {
    field.requestFocus();
    field.selectAll();
  }

  private void key(KeyEvent e) {
    switch (e.getCode()) {
      case DOWN -> {
        choose(at + 1);
        e.consume();
      }
      case UP -> {
        choose(at - 1);
        e.consume();
      }
      case ENTER -> {
        pause.stop();
        if (panel != null && at >= 0 && at < hits.size()) {
          take(hits.get(at));
        } else if (!field.getText().isBlank()) {
          all();
        }
        e.consume();
      }
      case ESCAPE -> {
        if (panel != null) {
          hide();
          e.consume();
        }
      }
      default -> {}
    }
  }

  private void ask() {
    String text = field.getText().strip();
    if (text.isEmpty() || !field.isFocused()) {
      hide();
      return;
    }
    PastJobsModel past = window.pastJobs();
    past.quick(
        text,
        job,
        found -> {
          if (text.equals(field.getText().strip()) && field.isFocused()) {
            hits = found;
            show();
          }
        });
  }

  private void show() {
    hide();
    panel = new VBox();
    panel.getStyleClass().add("overlay-panel");
    panel.setSpacing(0);
    panel.setPrefWidth(Ui.wide(420, 0.6));
    boolean here = false;
    boolean there = false;
    for (Hit h : hits) {
      boolean mine = h.job().equals(job);
      if (mine && !here) {
        panel.getChildren().add(head("find.here"));
        here = true;
      } else if (!mine && !there) {
        panel.getChildren().add(head("find.there"));
        there = true;
      }
      Label text = Ui.wrapped(HitText.line(h, window.workspace().trade()));
      HBox.setHgrow(text, Priority.ALWAYS);
      text.setMaxWidth(Double.MAX_VALUE);
      Label more = Ui.wrapped(mine ? HitText.where(h) : h.job(), "small", "quiet");
      HBox row = new HBox(text, more);
      row.getStyleClass().add("choice");
      row.setUserData(h);
      row.setAccessibleRole(AccessibleRole.LIST_ITEM);
      row.setAccessibleText(text.getText());
      row.setOnMousePressed(
          e -> {
            take(h);
            e.consume();
          });
      panel.getChildren().add(row);
    }
    if (hits.isEmpty()) {
      panel.getChildren().add(Ui.label(Words.say("find.none"), "quiet"));
    }
    Label all = Ui.label(Words.say("find.all"), "accent");
    HBox last = new HBox(all);
    last.getStyleClass().add("choice");
    last.setOnMousePressed(
        e -> {
          all();
          e.consume();
        });
    panel.getChildren().add(last);
    at = -1;
    Bounds b = field.localToScene(field.getBoundsInLocal());
    window.below(panel, b.getMinX(), b.getMaxY() + 6);
  }

  private static Label head(String key) {
    Label l = Ui.label(Words.say(key), "section");
    l.setPadding(new javafx.geometry.Insets(4, 8, 4, 8));
    return l;
  }

  private void choose(int index) {
    if (panel == null || hits.isEmpty()) {
      return;
    }
    at = Math.floorMod(index, hits.size());
    panel.getChildren().forEach(n -> Ui.style(n, "chosen", n.getUserData() == hits.get(at)));
  }

  private void take(Hit h) {
    hide();
    window.open(h);
  }

  private void all() {
    hide();
    window.showPastJobs(field.getText().strip());
  }

  private void hide() {
    if (panel != null) {
      window.below(null, 0, 0);
      panel = null;
    }
  }
}

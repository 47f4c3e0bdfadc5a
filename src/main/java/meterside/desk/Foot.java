package meterside.desk;

import java.util.function.Supplier;
import javafx.scene.control.Button;
import javafx.scene.control.Hyperlink;
import javafx.scene.control.Label;
import javafx.scene.control.Labeled;
import javafx.scene.control.ProgressBar;
import javafx.scene.layout.Region;
import javafx.scene.layout.VBox;
import meterside.desk.model.Notice;
import meterside.desk.model.Tasks;
import meterside.desk.model.Words;
import meterside.work.LongTask;
import org.kordamp.ikonli.feather.Feather;

/** The foot: slow work with a way to stop it, what happened last, what is saved. */
final class Foot extends Bar {
  private final Tasks tasks;
  private final Overlay overlay;
  private final Label work = Ui.label("");
  private final ProgressBar bar = new ProgressBar();
  private final Label left = Ui.label("");
  private final Button stop;
  private final Label notice = Ui.label("", "notice");
  private final Button details;
  private final Button dismiss;
  private final Label look = Ui.label("");
  private final Label saved = Ui.label("");
  private final Hyperlink copy = new Hyperlink();
  private Supplier<String> looks = () -> "";
  private Supplier<String> saves = () -> "";

  Foot(Tasks tasks, Overlay overlay) {
    super(16, 32);
    this.tasks = tasks;
    this.overlay = overlay;
    getStyleClass().add("foot");
    setId("foot");
    stop = Ui.button(Words.say("task.stop"), tasks::stopAll);
    details = Ui.button(Words.say("notice.details"), this::details);
    dismiss =
        Ui.iconButton(Feather.X, Words.say("notice.dismiss"), () -> tasks.say(Notice.NONE), "bare");
    bar.setPrefWidth(150);
    bar.setAccessibleText(Words.say("task.progress"));
    copy.setId("foot-copy");
    copy.setOnAction(
        e -> {
          copy.setVisited(false);
          tasks.goToStanding();
        });
    notice.setWrapText(true);
    left(work, bar, left, stop, notice, details, dismiss).right(look, copy, saved);
    tasks.onChange(this::refresh);
    refresh();
  }

  /** What else it says: how many need a look, and whether everything is saved. */
  void also(Supplier<String> lookText, Supplier<String> savedText) {
    looks = lookText;
    saves = savedText;
    refresh();
  }

  void refresh() {
    LongTask<?> task = tasks.shown().orElse(null);
    for (Region r : new Region[] {work, bar, left, stop}) {
      r.setVisible(task != null);
      r.setManaged(task != null);
    }
    if (task != null) {
      String more = tasks.count() > 1 ? " " + Words.say("task.more", tasks.count() - 1) : "";
      work.setText(Tasks.line(task) + more);
      bar.setProgress(task.total() > 0 ? Math.min(1, task.done() / (double) task.total()) : -1);
      left.setText(Tasks.left(task));
    }
    Notice n = tasks.notice();
    notice.setText(n.text());
    Ui.style(notice, "trouble", n.trouble());
    notice.setVisible(!n.isEmpty());
    notice.setManaged(!n.isEmpty());
    details.setVisible(!n.details().isEmpty());
    details.setManaged(!n.details().isEmpty());
    dismiss.setVisible(!n.isEmpty());
    dismiss.setManaged(!n.isEmpty());
    look.setText(looks.get());
    saved.setText(saves.get());
    copy.setText(tasks.standing());
    copy.setAccessibleText(tasks.standing());
    for (Labeled l : new Labeled[] {look, copy, saved}) {
      l.setManaged(!l.getText().isEmpty());
    }
    requestLayout();
  }

  private void details() {
    VBox box = new VBox();
    box.getStyleClass().add("overlay-panel");
    box.setMaxWidth(Ui.wide(560, 0.6));
    box.getChildren().add(Ui.wrapped(tasks.notice().text(), "bold"));
    VBox lines = new VBox(4);
    for (String d : tasks.notice().details()) {
      lines.getChildren().add(Ui.wrapped(d));
    }
    javafx.scene.control.ScrollPane scroll = new javafx.scene.control.ScrollPane(lines);
    scroll.setFitToWidth(true);
    scroll.setPrefSize(
        Ui.wide(540, 0.6), Math.min(360, 40 + 28.0 * tasks.notice().details().size()));
    box.getChildren().add(scroll);
    Button done = Ui.button(Words.say("form.done"), overlay::close, "strong");
    box.getChildren().add(done);
    overlay.middle(box, () -> {});
    done.requestFocus();
  }
}

package meterside.desk;

import java.nio.file.Path;
import java.util.function.Supplier;
import javafx.animation.PauseTransition;
import javafx.application.Application;
import javafx.application.Platform;
import javafx.stage.Stage;
import javafx.util.Duration;
import meterside.desk.model.Threads;
import meterside.work.Home;
import meterside.work.Workspace;

/** The window as a JavaFX application. */
public final class DeskApplication extends Application {
  /**
   * What to open; set before the launch, since JavaFX makes the application itself.
   *
   * @param workspace the archive
   * @param home where settings lie
   * @param sample whether to make the sample jobs if they are missing, and open the first
   */
  record Opening(Supplier<Workspace> workspace, Home home, boolean sample) {}

  private static Opening opening;
  private static volatile boolean started;

  /** What kept the window from opening; thrown to the caller, since JavaFX would print it. */
  private static volatile RuntimeException failure;

  private DeskThreads threads;
  private DeskWindow window;
  private PauseTransition care;

  /** The day's care waits until the inspector is at work. */
  private static final Duration CARE_AFTER = Duration.minutes(2);

  /**
   * Opens the window and returns when it was closed.
   *
   * @throws RuntimeException if the display refuses, or the archive can't be opened
   */
  static void open(Opening what) {
    opening = what;
    launch(DeskApplication.class);
    if (failure != null) {
      throw failure;
    }
  }

  /** Whether the window got as far as being shown. */
  static boolean started() {
    return started;
  }

  @Override
  public void start(Stage stage) {
    started = true;
    try {
      show(stage);
    } catch (RuntimeException e) {
      failure = e;
      Platform.exit();
    }
  }

  private void show(Stage stage) {
    threads = new DeskThreads();
    Threads t = threads.threads();
    window =
        new DeskWindow(
            stage,
            opening.workspace().get(),
            opening.home(),
            t,
            FilePicker.ofSystem(stage),
            (Path p) -> getHostServices().showDocument(p.toUri().toString()));
    window.start(null);
    if (opening.sample()) {
      window.startSample();
    }
    care = new PauseTransition(CARE_AFTER);
    care.setOnFinished(e -> window.care());
    care.play();
    t.work()
        .execute(
            () -> {
              boolean dark = SystemTheme.dark();
              Platform.runLater(() -> window.systemDark(dark));
            });
  }

  @Override
  public void stop() {
    if (care != null) {
      care.stop();
    }
    if (window != null) {
      window.close();
    }
    if (threads != null) {
      threads.close();
    }
  }
}

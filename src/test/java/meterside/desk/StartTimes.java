package meterside.desk;

import java.lang.management.ManagementFactory;
import java.nio.file.Path;
import javafx.application.Application;
import javafx.application.Platform;
import javafx.scene.Scene;
import javafx.scene.layout.StackPane;
import javafx.stage.Stage;
import javafx.stage.Window;

/** Starts the desk, or an empty window, and prints how long it took from the JVM's start. */
public final class StartTimes {
  private StartTimes() {}

  /** A window with nothing in it. */
  public static final class Empty extends Application {
    @Override
    public void start(Stage stage) {
      stage.setScene(new Scene(new StackPane(), 1440, 900));
      stage.show();
    }
  }

  /**
   * Runs.
   *
   * @param args {@code empty}, or {@code desk} and the archive
   */
  public static void main(String[] args) {
    Thread watch = new Thread(StartTimes::watch, "watch");
    watch.setDaemon(true);
    watch.start();
    if (args[0].equals("empty")) {
      Application.launch(Empty.class);
    } else {
      DeskStart.run(Path.of(args[1]), System.out, System.err);
    }
  }

  private static void watch() {
    boolean[] shown = new boolean[1];
    while (!shown[0]) {
      try {
        Thread.sleep(3);
        Platform.runLater(
            () -> {
              for (Window w : Window.getWindows()) {
                if (w.isShowing() && w.getScene() != null && w.getScene().getRoot() != null) {
                  shown[0] = true;
                }
              }
            });
      } catch (IllegalStateException e) {
        continue; // the toolkit is not there yet
      } catch (InterruptedException e) {
        return;
      }
    }
    // One turn of the toolkit more: the first picture is laid out and drawn.
    Platform.runLater(() -> Platform.requestNextPulse());
    Platform.runLater(
        () -> {
          long millis =
              System.currentTimeMillis() - ManagementFactory.getRuntimeMXBean().getStartTime();
          System.out.println("shown after " + millis);
          Runtime.getRuntime().halt(0);
        });
  }
}

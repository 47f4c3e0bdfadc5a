package meterside.desk;

import java.awt.image.BufferedImage;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import javafx.application.Platform;
import javafx.embed.swing.SwingFXUtils;
import javafx.scene.Scene;
import javafx.stage.Stage;
import javax.imageio.ImageIO;
import meterside.job.Job;
import meterside.job.Mark;
import meterside.job.PhotoId;
import meterside.work.Home;
import meterside.work.NotDone;
import meterside.work.Workspace;

/** A picture of the window, drawn without a display. */
final class WindowPicture {
  private static final int PATIENCE_SECONDS = 60;

  /** Long enough for thumbnails and the photo to be decoded and laid out. */
  private static final int SETTLE_MILLIS = 2500;

  private WindowPicture() {}

  /**
   * Saves a picture of the job window on the first job of an archive, at its photo with most marks.
   *
   * @param file a PNG
   */
  static void save(Path archive, Home home, Path file) throws IOException {
    System.setProperty("glass.platform", "Monocle");
    System.setProperty("monocle.platform", "Headless");
    System.setProperty("prism.order", "sw");
    System.setProperty("headless.geometry", "1600x1000-32");
    System.setProperty("prism.text", "t2k");
    CompletableFuture<BufferedImage> picture = new CompletableFuture<>();
    try (DeskThreads threads = new DeskThreads()) {
      Platform.startup(() -> open(archive, home, threads, picture));
      BufferedImage got = picture.get(PATIENCE_SECONDS, TimeUnit.SECONDS);
      Files.createDirectories(file.toAbsolutePath().getParent());
      ImageIO.write(got, "png", file.toFile());
    } catch (ExecutionException | TimeoutException e) {
      throw new IOException(e);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    } finally {
      Platform.exit();
    }
  }

  private static void open(
      Path archive, Home home, DeskThreads threads, CompletableFuture<BufferedImage> picture) {
    try {
      Workspace workspace = Workspace.open(archive, false, home, Clock.systemUTC());
      DeskWindow window =
          new DeskWindow(
              new Stage(), workspace, home, threads.threads(), FilePicker.NONE, path -> {});
      List<String> jobs = workspace.jobNames();
      window.start(jobs.isEmpty() ? null : jobs.get(0));
      if (window.job() != null) {
        mostMarked(window.job().desk().job()).ifPresent(window.job().desk()::show);
      }
      threads
          .threads()
          .work()
          .execute(
              () -> {
                try {
                  Thread.sleep(SETTLE_MILLIS);
                } catch (InterruptedException e) {
                  Thread.currentThread().interrupt();
                }
                Platform.runLater(() -> take(window, picture));
              });
    } catch (RuntimeException e) {
      picture.completeExceptionally(e);
    }
  }

  private static void take(DeskWindow window, CompletableFuture<BufferedImage> picture) {
    try {
      picture.complete(of(window.scene()));
      window.close();
    } catch (RuntimeException e) {
      picture.completeExceptionally(new IllegalStateException(NotDone.sentenceOf(e), e));
    }
  }

  /** The photo with most marks. */
  static Optional<PhotoId> mostMarked(Job job) {
    return job.marks().values().stream()
        .map(Mark::photo)
        .max(java.util.Comparator.comparingInt(p -> job.marksOn(p).size()));
  }

  /** What a scene shows; on the toolkit's thread. */
  static BufferedImage of(Scene scene) {
    return SwingFXUtils.fromFXImage(scene.snapshot(null), null);
  }
}

package meterside.desk;

import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.TimeUnit;
import javafx.application.Platform;
import meterside.desk.model.Threads;

/** The desk's threads in a window: the toolkit's, one for acts, some for slow work. */
final class DeskThreads implements AutoCloseable {
  /** Longest wait for what is being written when the window closes. */
  private static final int LAST_SECONDS = 20;

  private final ExecutorService acts =
      Executors.newSingleThreadExecutor(task -> new Thread(task, "acts"));
  private final ExecutorService work =
      Executors.newCachedThreadPool(
          task -> {
            Thread t = new Thread(task, "work");
            t.setDaemon(true);
            return t;
          });

  /** As the desk takes them. */
  Threads threads() {
    return new Threads(DeskThreads::onToolkit, acts, work);
  }

  private static void onToolkit(Runnable task) {
    try {
      Platform.runLater(task);
    } catch (IllegalStateException e) {
      // The toolkit has ended, and with it whoever wanted to see this.
    }
  }

  /** Lets what is being written be written, and ends. */
  @Override
  public void close() {
    // Never interrupted while they may be writing: an interrupt would close the journal's file.
    acts.shutdown();
    try {
      acts.awaitTermination(LAST_SECONDS, TimeUnit.SECONDS);
      work.shutdown();
      work.awaitTermination(LAST_SECONDS, TimeUnit.SECONDS);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }
}

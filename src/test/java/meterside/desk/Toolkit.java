package meterside.desk;

import java.util.concurrent.Callable;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import java.util.function.BooleanSupplier;
import javafx.application.Platform;
import org.junit.jupiter.api.Assumptions;

/** The one toolkit of the window tests' process. */
final class Toolkit {
  private static boolean tried;
  private static boolean works;

  private Toolkit() {}

  /** Starts it; skips the test with a sentence where the system lacks what it needs. */
  static synchronized void start() throws Exception {
    if (!tried) {
      tried = true;
      if (System.getProperty("meterside.window.display") == null) {
        System.setProperty("glass.platform", "Monocle");
        System.setProperty("monocle.platform", "Headless");
        System.setProperty("headless.geometry", "1600x1000-32");
      }
      if (System.getProperty("prism.order") == null) {
        System.setProperty("prism.order", "sw");
      }
      try {
        CompletableFuture<Void> up = new CompletableFuture<>();
        Platform.startup(() -> up.complete(null));
        up.get(60, TimeUnit.SECONDS);
        Platform.setImplicitExit(false);
        on(
            () -> {
              Fonts.load();
              return null;
            });
        works = true;
      } catch (IllegalStateException e) {
        works = true; // started already
      } catch (LinkageError | java.util.concurrent.TimeoutException e) {
        works = false;
      }
    }
    Assumptions.assumeTrue(
        works, "window tests need freetype, pango, fontconfig and a font from the system");
  }

  /** Does something on the toolkit's thread and waits for it. */
  static <T> T on(Callable<T> act) throws Exception {
    if (Platform.isFxApplicationThread()) {
      return act.call();
    }
    CompletableFuture<T> done = new CompletableFuture<>();
    Platform.runLater(
        () -> {
          try {
            done.complete(act.call());
          } catch (Throwable t) {
            done.completeExceptionally(t);
          }
        });
    return done.get(60, TimeUnit.SECONDS);
  }

  /** Waits until something holds on the toolkit's thread. */
  static void await(String what, BooleanSupplier holds) throws Exception {
    long end = System.nanoTime() + TimeUnit.SECONDS.toNanos(60);
    while (!on(holds::getAsBoolean)) {
      if (System.nanoTime() > end) {
        throw new AssertionError("did not happen within 60 s: " + what);
      }
      Thread.sleep(40);
    }
  }

  /** Lets a few frames pass. */
  static void settle(int millis) throws Exception {
    Thread.sleep(millis);
    on(() -> null);
  }
}

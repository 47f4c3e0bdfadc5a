package meterside.desk;

import java.lang.management.ManagementFactory;
import java.nio.file.Path;
import java.time.Clock;
import java.util.Arrays;
import java.util.Locale;
import java.util.concurrent.atomic.AtomicLong;
import javafx.scene.control.skin.VirtualFlow;
import javafx.stage.Stage;
import meterside.work.Home;
import meterside.work.Workspace;

/** Works through a large job in a window, and prints how long each thing took. */
public final class LargeJobRun {
  private LargeJobRun() {}

  /**
   * Runs without a display.
   *
   * @param args the archive and the name of the job
   */
  public static void main(String[] args) throws Exception {
    Path root = Path.of(args[0]);
    Toolkit.start();
    Home home = new Home(root.resolveSibling("home"), root);
    AtomicLong most = new AtomicLong();
    Thread heap = new Thread(() -> watch(most), "heap");
    heap.setDaemon(true);
    heap.start();
    try (DeskThreads threads = new DeskThreads()) {
      Workspace workspace = Workspace.open(root, false, home, Clock.systemUTC());
      DeskWindow window =
          Toolkit.on(
              () ->
                  new DeskWindow(
                      new Stage(), workspace, home, threads.threads(), FilePicker.NONE, p -> {}));
      long t = System.nanoTime();
      Toolkit.on(
          () -> {
            window.start(args[1]);
            return null;
          });
      Toolkit.await("thumbnails", () -> window.scene().lookup(".thumb") != null);
      say("open", millis(t));
      Toolkit.settle(800);
      double[] scrolls = new double[150];
      for (int i = 0; i < scrolls.length; i++) {
        t = System.nanoTime();
        Toolkit.on(
            () -> {
              if (window.scene().lookup("#walk .virtual-flow") instanceof VirtualFlow<?> flow) {
                flow.scrollPixels(90);
                window.scene().getRoot().layout();
              }
              return null;
            });
        scrolls[i] = millis(t);
        Thread.sleep(8);
      }
      say("scroll", scrolls);
      double[] switches = new double[80];
      for (int i = 0; i < switches.length; i++) {
        t = System.nanoTime();
        Toolkit.on(
            () -> {
              window.job().desk().step(1);
              window.scene().getRoot().layout();
              return null;
            });
        switches[i] = millis(t);
        Thread.sleep(25);
      }
      say("switch", switches);
      t = System.nanoTime();
      Toolkit.on(
          () -> {
            window.showSheet();
            window.scene().getRoot().layout();
            return null;
          });
      say("sheet", millis(t));
      Toolkit.await("suggestions", () -> window.tasks().count() == 0);
      System.out.printf(Locale.ROOT, "heap %d%n", most.get() >> 20);
      Runtime.getRuntime().halt(0);
    }
  }

  private static void watch(AtomicLong most) {
    try {
      while (true) {
        long used = ManagementFactory.getMemoryMXBean().getHeapMemoryUsage().getUsed();
        most.accumulateAndGet(used, Math::max);
        Thread.sleep(50);
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  private static double millis(long from) {
    return (System.nanoTime() - from) / 1e6;
  }

  private static void say(String what, double... millis) {
    double[] sorted = millis.clone();
    Arrays.sort(sorted);
    System.out.printf(
        Locale.ROOT,
        "%s %.1f %.1f%n",
        what,
        sorted[sorted.length / 2],
        sorted[(int) (sorted.length * 0.95)]);
  }
}

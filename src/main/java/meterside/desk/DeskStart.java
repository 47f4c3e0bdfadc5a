package meterside.desk;

import java.io.IOException;
import java.io.PrintStream;
import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CompletionException;
import meterside.desk.model.Words;
import meterside.work.Home;
import meterside.work.NotDone;
import meterside.work.SampleRun;
import meterside.work.Settings;
import meterside.work.Workspace;

/**
 * Decides how the desk starts, before the toolkit is touched: whether a display answers, and what
 * to do without one.
 *
 * <p>Two system properties: {@code meterside.sample.run} names a folder; the desk then opens on the
 * sample jobs in it, and without a display the sample job is done without a window and a picture of
 * the window is saved. {@code meterside.no.display} says that the display is known to refuse.
 */
public final class DeskStart {
  /** Names the folder of the sample run. */
  static final String SAMPLE_RUN = "meterside.sample.run";

  private static final String NO_DISPLAY = "meterside.no.display";

  private DeskStart() {}

  /**
   * Opens the desk and returns when it is closed.
   *
   * @param archive the archive, or null for the usual one
   * @return the exit code: 0, or 2 if there is no display, or that of what went wrong
   */
  public static int run(Path archive, PrintStream out, PrintStream err) {
    String sample = System.getProperty(SAMPLE_RUN);
    Path samples = sample == null || archive != null ? null : Path.of(sample);
    boolean display = System.getProperty(NO_DISPLAY) == null && DisplayProbe.answers();
    try {
      if (display) {
        return window(archive, samples, err);
      }
      if (samples == null) {
        err.println(Words.say("display.none"));
        return NotDone.WRONG_USE;
      }
      out.println(Words.say("display.none-sample"));
      return withoutWindow(samples, out, err);
    } catch (RuntimeException e) {
      err.println(NotDone.sentenceOf(e));
      int code = NotDone.exitCodeOf(e);
      return code >= 0 ? code : NotDone.NOT_NOW;
    }
  }

  private static int window(Path archive, Path samples, PrintStream err) {
    Home home = samples == null ? Home.ofEnvironment() : homeOf(samples);
    Path root =
        samples != null
            ? samples.resolve("archive")
            : archive != null ? archive : home.archive(Settings.load(home));
    keepNativeFilesAt(home);
    // Beside the toolkit's start, which takes as long.
    CompletableFuture<Workspace> archiveOpening =
        CompletableFuture.supplyAsync(() -> Workspace.open(root, true, home, Clock.systemUTC()));
    DeskApplication.Opening opening =
        new DeskApplication.Opening(() -> joined(archiveOpening), home, samples != null);
    try {
      DeskApplication.open(opening);
      return 0;
    } catch (RuntimeException e) {
      if (DeskApplication.started()) {
        throw e;
      }
      // The display answered but refuses us. This process can't ask the toolkit again.
      if (samples == null) {
        err.println(Words.say("display.refuses"));
        return NotDone.WRONG_USE;
      }
      return child(err);
    }
  }

  /** JavaFX unpacks its native libraries; they lie with the program's other files. */
  private static void keepNativeFilesAt(Home home) {
    if (System.getProperty("javafx.cachedir") == null) {
      System.setProperty("javafx.cachedir", home.folder().resolve("native").toString());
    }
  }

  private static Workspace joined(CompletableFuture<Workspace> opening) {
    try {
      return opening.join();
    } catch (CompletionException e) {
      throw e.getCause() instanceof RuntimeException cause ? cause : e;
    }
  }

  /** The sample run keeps its settings to itself. */
  private static Home homeOf(Path samples) {
    return new Home(samples.resolve("home"), samples.resolve("archive"));
  }

  private static int withoutWindow(Path samples, PrintStream out, PrintStream err) {
    Home home = homeOf(samples);
    Path archive = SampleRun.run(samples, home, out);
    Path picture = samples.resolve("window.png");
    try {
      WindowPicture.save(archive, home, picture);
      out.println(Words.say("display.picture", picture));
    } catch (RuntimeException | IOException | LinkageError e) {
      // The job is done; only the picture is missing, for want of system libraries as a rule.
      err.println(Words.say("display.no-picture"));
    }
    return 0;
  }

  private static int child(PrintStream err) {
    List<String> command = new ArrayList<>();
    command.add(Path.of(System.getProperty("java.home"), "bin", "java").toString());
    if (Runtime.version().feature() >= 22) {
      command.add("--enable-native-access=ALL-UNNAMED");
    }
    command.add("-cp");
    command.add(System.getProperty("java.class.path"));
    for (String name : new String[] {SAMPLE_RUN, "java.awt.headless", "file.encoding"}) {
      String value = System.getProperty(name);
      if (value != null) {
        command.add("-D" + name + "=" + value);
      }
    }
    command.add("-D" + NO_DISPLAY + "=true");
    command.add("meterside.Meterside");
    try {
      return new ProcessBuilder(command).inheritIO().start().waitFor();
    } catch (IOException e) {
      err.println(Words.say("display.refuses"));
      return NotDone.WRONG_USE;
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      return NotDone.NOT_NOW;
    }
  }
}

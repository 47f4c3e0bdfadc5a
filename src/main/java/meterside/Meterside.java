package meterside;

import java.nio.file.Path;
import java.util.List;
import java.util.logging.Level;
import java.util.logging.Logger;
import meterside.cli.Cli;
import meterside.desk.DeskStart;

/**
 * The entry point: a plain class and not a JavaFX application, so that the program also runs from
 * the class path. With a command it runs the command line; without one it opens the desk.
 */
public final class Meterside {
  /** Held strongly: a logger nobody holds is collected, and its level with it. */
  private static final List<Logger> QUIET = quiet("javafx", "org.apache.lucene");

  private Meterside() {}

  /**
   * Starts the program.
   *
   * @param args a command with its arguments; or nothing, or {@code --archive DIR}, for the desk
   */
  public static void main(String[] args) {
    Path archive = null;
    boolean desk = args.length == 0;
    if (args.length == 2 && args[0].equals("--archive")) {
      archive = Path.of(args[1]);
      desk = true;
    } else if (args.length == 1 && args[0].startsWith("--archive=")) {
      archive = Path.of(args[0].substring("--archive=".length()));
      desk = true;
    }
    int exit =
        desk
            ? DeskStart.run(archive, System.out, System.err)
            : Cli.run(args, System.out, System.err);
    QUIET.forEach(Logger::getName);
    System.exit(exit);
  }

  private static List<Logger> quiet(String... names) {
    return java.util.Arrays.stream(names)
        .map(Logger::getLogger)
        .peek(l -> l.setLevel(Level.SEVERE))
        .toList();
  }
}

package meterside.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.time.Instant;
import meterside.work.Home;

/** Where a mistake of ours is written down in full, since the user only gets a sentence. */
final class Log {
  private Log() {}

  static void keep(Home home, Throwable thrown) {
    try {
      Path folder = Files.createDirectories(home.folder().resolve("logs"));
      try (PrintWriter out =
          new PrintWriter(
              Files.newBufferedWriter(
                  folder.resolve("meterside.log"),
                  StandardOpenOption.CREATE,
                  StandardOpenOption.APPEND))) {
        out.println(Instant.now());
        thrown.printStackTrace(out);
      }
    } catch (IOException e) {
      // Without a log the sentence must do.
    }
  }
}

package meterside.desk;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.TimeUnit;

/**
 * Whether the system is set to dark. JavaFX tells only from version 22 on, so the system's own
 * command is asked, beside the window and with little patience; light if nothing is known.
 */
final class SystemTheme {
  private static final int PATIENCE_MILLIS = 1500;

  private SystemTheme() {}

  /** Asks the system. */
  static boolean dark() {
    List<String> command = command(System.getProperty("os.name", ""));
    try {
      Process process = new ProcessBuilder(command).redirectErrorStream(true).start();
      process.getOutputStream().close();
      if (!process.waitFor(PATIENCE_MILLIS, TimeUnit.MILLISECONDS)) {
        process.destroyForcibly();
        return false;
      }
      byte[] said = process.getInputStream().readNBytes(4096);
      return process.exitValue() == 0 && saysDark(new String(said, StandardCharsets.UTF_8));
    } catch (IOException e) {
      return false;
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      return false;
    }
  }

  /** What to ask on a system. */
  static List<String> command(String os) {
    String name = os.toLowerCase(Locale.ROOT);
    if (name.contains("mac")) {
      return List.of("defaults", "read", "-g", "AppleInterfaceStyle");
    }
    if (name.contains("windows")) {
      return List.of(
          "reg",
          "query",
          "HKCU\\Software\\Microsoft\\Windows\\CurrentVersion\\Themes\\Personalize",
          "/v",
          "AppsUseLightTheme");
    }
    return List.of("gsettings", "get", "org.gnome.desktop.interface", "color-scheme");
  }

  /** Whether an answer means dark, on any of the systems. */
  static boolean saysDark(String answer) {
    String text = answer.toLowerCase(Locale.ROOT);
    return text.contains("dark")
        || text.contains("appsuselighttheme") && text.strip().endsWith("0x0");
  }
}

package meterside.work;

import java.nio.file.Path;
import java.util.Locale;
import java.util.Map;

/**
 * Where settings, key and logs lie ({@code METERSIDE_HOME}, else the system's usual place), and the
 * archive ({@code METERSIDE_ARCHIVE}, else the settings, else a folder "Meterside" in the user's
 * documents or home).
 *
 * @param folder folder of settings and logs; made when first written to
 * @param archiveFromEnvironment the archive the environment names, or null
 */
public record Home(Path folder, Path archiveFromEnvironment) {

  /** The places for this process. */
  public static Home ofEnvironment() {
    return of(System.getenv(), System.getProperty("os.name"), System.getProperty("user.home"));
  }

  /**
   * The places for an environment.
   *
   * @param environment environment variables
   * @param system name of the operating system
   * @param userHome the user's home folder
   */
  static Home of(Map<String, String> environment, String system, String userHome) {
    String archive = environment.get("METERSIDE_ARCHIVE");
    Path archivePath = archive == null || archive.isBlank() ? null : Path.of(archive);
    String own = environment.get("METERSIDE_HOME");
    if (own != null && !own.isBlank()) {
      return new Home(Path.of(own), archivePath);
    }
    String os = system.toLowerCase(Locale.ROOT);
    Path folder;
    if (os.contains("mac")) {
      folder = Path.of(userHome, "Library", "Application Support", "Meterside");
    } else if (os.contains("windows")) {
      String roaming = environment.get("APPDATA");
      folder =
          roaming == null
              ? Path.of(userHome, "AppData", "Roaming", "Meterside")
              : Path.of(roaming, "Meterside");
    } else {
      String config = environment.get("XDG_CONFIG_HOME");
      folder =
          config == null || config.isBlank()
              ? Path.of(userHome, ".config", "meterside")
              : Path.of(config, "meterside");
    }
    return new Home(folder, archivePath);
  }

  /** The archive to open if nobody names one. */
  public Path archive(Settings settings) {
    if (archiveFromEnvironment != null) {
      return archiveFromEnvironment;
    }
    if (settings.archive() != null && !settings.archive().isBlank()) {
      return Path.of(settings.archive());
    }
    return Path.of(System.getProperty("user.home"), "Meterside");
  }
}

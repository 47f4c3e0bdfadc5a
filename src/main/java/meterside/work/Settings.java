package meterside.work;

import com.fasterxml.jackson.annotation.JsonIgnoreProperties;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.SerializationFeature;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;

/**
 * The inspector's settings, kept in {@code settings.json} in the program's home. Never touched by a
 * job; a job's journal names its author in every line.
 *
 * @param author who writes, or null: then the system's user name
 * @param licenseLine line under the author's name in reports, or null
 * @param archive folder of the archive, or null
 * @param theme {@code system}, {@code light} or {@code dark}
 * @param units {@code feet} or {@code metres}
 * @param recentJob the job that was open last, or null
 */
@JsonIgnoreProperties(ignoreUnknown = true)
public record Settings(
    String author,
    String licenseLine,
    String archive,
    String theme,
    String units,
    String recentJob) {

  private static final String FILE = "settings.json";
  private static final ObjectMapper JSON =
      new ObjectMapper().enable(SerializationFeature.INDENT_OUTPUT);

  /** Fills in what is missing. */
  public Settings {
    theme = theme == null ? "system" : theme;
    units = units == null ? "feet" : units;
  }

  /** Settings of a first start. */
  public static final Settings FIRST = new Settings(null, null, null, null, null, null);

  /** Reads the settings; those of a first start if there are none or they can't be read. */
  public static Settings load(Home home) {
    Path file = home.folder().resolve(FILE);
    if (!Files.isRegularFile(file)) {
      return FIRST;
    }
    try {
      return JSON.readValue(file.toFile(), Settings.class);
    } catch (IOException e) {
      // A broken settings file must not keep anyone from their jobs.
      return FIRST;
    }
  }

  /** Writes the settings in place of those before. */
  public void save(Home home) {
    try {
      Files.createDirectories(home.folder());
      Path temporary = home.folder().resolve(FILE + ".new");
      Files.write(temporary, JSON.writeValueAsBytes(this));
      Files.move(
          temporary,
          home.folder().resolve(FILE),
          StandardCopyOption.REPLACE_EXISTING,
          StandardCopyOption.ATOMIC_MOVE);
    } catch (JsonProcessingException e) {
      throw new IllegalStateException(e);
    } catch (IOException e) {
      throw new NotDone(NotDone.NOT_NOW, "settings.not-saved", home.folder());
    }
  }

  /** Who writes: the author, else the system's user name. */
  public String authorOrUser() {
    if (author != null && !author.isBlank()) {
      return author;
    }
    String user = System.getProperty("user.name");
    return user == null || user.isBlank() ? "inspector" : user;
  }

  /** The same settings with another recent job. */
  public Settings withRecentJob(String job) {
    return new Settings(author, licenseLine, archive, theme, units, job);
  }

  /** The same settings with another theme. */
  public Settings withTheme(String other) {
    return new Settings(author, licenseLine, archive, other, units, recentJob);
  }

  /** The same settings with another author and license line. */
  public Settings withAuthor(String name, String line) {
    return new Settings(name, line, archive, theme, units, recentJob);
  }
}

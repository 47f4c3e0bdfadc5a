package meterside.work;

import com.fasterxml.jackson.annotation.JsonIgnoreProperties;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.SerializationFeature;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Consumer;

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
 * @param recentJobs names of jobs in the order they were opened last, newest first
 * @param textSize size of the desk's text in percent, 100 to 200
 * @param zone id of the zone for new jobs, or null for the system's
 * @param duties id of the duties' profile for new jobs, or null for the first
 * @param reportLocation whether reports keep where photos were taken; null is no
 * @param reportFolder folder that reports are written to, or null for the usual one
 * @param paper {@code letter} or {@code a4}: what reports are printed on
 * @param secondCopy folder of the archive's second copy, or null if there is none
 * @param secondCopyAt when the second copy was last brought up to date and held everything, ISO
 *     8601 in UTC, or null
 */
@JsonIgnoreProperties(ignoreUnknown = true)
public record Settings(
    String author,
    String licenseLine,
    String archive,
    String theme,
    String units,
    String recentJob,
    List<String> recentJobs,
    Integer textSize,
    String zone,
    String duties,
    Boolean reportLocation,
    String reportFolder,
    String paper,
    String secondCopy,
    String secondCopyAt) {

  private static final int MOST_RECENT = 6;

  private static final String FILE = "settings.json";
  private static final ObjectMapper JSON =
      new ObjectMapper().enable(SerializationFeature.INDENT_OUTPUT);

  /** Fills in what is missing. */
  public Settings {
    theme = theme == null ? "system" : theme;
    units = units == null ? "feet" : units;
    recentJobs = recentJobs == null ? List.of() : List.copyOf(recentJobs);
    paper = paper == null ? "letter" : paper;
    textSize = textSize == null ? 100 : Math.max(100, Math.min(200, textSize));
  }

  /** Settings of a first start. */
  public static final Settings FIRST =
      new Settings(
          null, null, null, null, null, null, null, null, null, null, null, null, null, null, null);

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

  /** The same settings with another recent job, which also leads the list of recent ones. */
  public Settings withRecentJob(String job) {
    List<String> recent = new ArrayList<>(recentJobs);
    recent.remove(job);
    recent.add(0, job);
    List<String> kept = List.copyOf(recent.subList(0, Math.min(MOST_RECENT, recent.size())));
    return copy(
        s -> {
          s.recentJob = job;
          s.recentJobs = kept;
        });
  }

  /** The same settings with another theme. */
  public Settings withTheme(String other) {
    return copy(s -> s.theme = other);
  }

  /** The same settings with another author and license line. */
  public Settings withAuthor(String name, String line) {
    return copy(
        s -> {
          s.author = name;
          s.licenseLine = line;
        });
  }

  /** The same settings with another archive, or null for the usual place. */
  public Settings withArchive(String folder) {
    return copy(s -> s.archive = folder);
  }

  /** The same settings with other units. */
  public Settings withUnits(String other) {
    return copy(s -> s.units = other);
  }

  /** The same settings with another size of text, in percent. */
  public Settings withTextSize(int percent) {
    return copy(s -> s.textSize = percent);
  }

  /** The same settings with another zone for new jobs, or null for the system's. */
  public Settings withZone(String id) {
    return copy(s -> s.zone = id);
  }

  /** The same settings with another profile of duties for new jobs, or null for the first. */
  public Settings withDuties(String profile) {
    return copy(s -> s.duties = profile);
  }

  /** The same settings with other choices for reports. */
  public Settings withReport(Boolean keepLocation, String folder) {
    return copy(
        s -> {
          s.reportLocation = keepLocation;
          s.reportFolder = folder;
        });
  }

  /** The same settings with another paper. */
  public Settings withPaper(String other) {
    return copy(s -> s.paper = other);
  }

  /**
   * The same settings with another place for the second copy.
   *
   * @param folder where, or null for none
   * @param at when it was last whole, or null
   */
  public Settings withSecondCopy(String folder, Instant at) {
    return copy(
        s -> {
          s.secondCopy = folder;
          s.secondCopyAt = at == null ? null : at.toString();
        });
  }

  private Settings copy(Consumer<Draft> change) {
    Draft d = new Draft();
    d.author = author;
    d.licenseLine = licenseLine;
    d.archive = archive;
    d.theme = theme;
    d.units = units;
    d.recentJob = recentJob;
    d.recentJobs = recentJobs;
    d.textSize = textSize;
    d.zone = zone;
    d.duties = duties;
    d.reportLocation = reportLocation;
    d.reportFolder = reportFolder;
    d.paper = paper;
    d.secondCopy = secondCopy;
    d.secondCopyAt = secondCopyAt;
    change.accept(d);
    return new Settings(
        d.author,
        d.licenseLine,
        d.archive,
        d.theme,
        d.units,
        d.recentJob,
        d.recentJobs,
        d.textSize,
        d.zone,
        d.duties,
        d.reportLocation,
        d.reportFolder,
        d.paper,
        d.secondCopy,
        d.secondCopyAt);
  }

  /** The members while one of them changes. */
  private static final class Draft {
    private String author;
    private String licenseLine;
    private String archive;
    private String theme;
    private String units;
    private String recentJob;
    private List<String> recentJobs;
    private Integer textSize;
    private String zone;
    private String duties;
    private Boolean reportLocation;
    private String reportFolder;
    private String paper;
    private String secondCopy;
    private String secondCopyAt;
  }
}

package meterside.work;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.UUID;
import java.util.function.Function;
import meterside.archive.Archive;
import meterside.archive.ArchiveException;
import meterside.archive.JobFolder;
import meterside.intake.Card;
import meterside.job.Job;
import meterside.job.JobHeader;
import meterside.job.PhotoId;
import meterside.job.Progress;
import meterside.search.LucenePastJobs;
import meterside.search.PastJobs;
import meterside.trade.Trade;

/**
 * An open archive with what belongs to it: the trade's knowledge, the settings, past jobs. Jobs are
 * read from it without a lock; to change one, open a {@link JobSession}.
 */
public final class Workspace implements AutoCloseable {
  private final Archive archive;
  private final Home home;
  private final Clock clock;
  private Settings settings;
  private PastJobs pastJobs;

  private Workspace(Archive archive, Home home, Settings settings, Clock clock) {
    this.archive = archive;
    this.home = home;
    this.settings = settings;
    this.clock = clock;
  }

  /**
   * Opens an archive.
   *
   * @param root folder of the archive
   * @param create whether to make it if it is missing
   * @throws NotDone if it is missing and may not be made
   * @throws ArchiveException if it is of a newer format or can't be read
   */
  public static Workspace open(Path root, boolean create, Home home, Clock clock) {
    if (!create && !Files.exists(root.resolve("archive.json"))) {
      throw new NotDone(NotDone.WRONG_USE, "archive.missing", root);
    }
    Archive archive = create ? Archive.openOrCreate(root) : Archive.open(root);
    return new Workspace(archive, home, Settings.load(home), clock);
  }

  /** The archive's folder. */
  public Path root() {
    return archive.root();
  }

  /** The trade's knowledge; read at first use. */
  public Trade trade() {
    return Trade.standard();
  }

  /** The settings. */
  public Settings settings() {
    return settings;
  }

  /** Keeps new settings. */
  public void keep(Settings changed) {
    changed.save(home);
    settings = changed;
  }

  /** The clock that dates edits. */
  public Clock clock() {
    return clock;
  }

  /** Where settings, key and logs lie. */
  public Home home() {
    return home;
  }

  Archive archive() {
    return archive;
  }

  /** Names of all jobs, sorted. */
  public List<String> jobNames() {
    return archive.jobNames();
  }

  /** The folder of a job. */
  public JobFolder folder(String job) {
    return archive
        .find(job)
        .orElseThrow(() -> new NotDone(NotDone.WRONG_USE, "job.unknown", job, archive.root()));
  }

  /**
   * Starts a job.
   *
   * @param name name of its folder
   * @param site the house
   * @param date day of the inspection, a label
   * @param zone zone of the house
   * @param route id of the route
   */
  public JobFolder newJob(String name, String site, LocalDate date, ZoneId zone, String route) {
    return newJob(name, site, date, zone, route, trade().profiles().get(0).id());
  }

  /**
   * Starts a job with the duties of a state or an agreement.
   *
   * @param profile id of the duties' profile
   */
  public JobFolder newJob(
      String name, String site, LocalDate date, ZoneId zone, String route, String profile) {
    JobHeader header =
        new JobHeader(
            JobHeader.FORMAT,
            UUID.randomUUID().toString(),
            site,
            date,
            zone,
            trade().route(route),
            trade().profile(profile));
    return archive.createJob(name, header, settings.authorOrUser(), clock.instant());
  }

  /** Past jobs, opened at first use. */
  public synchronized PastJobs pastJobs() {
    if (pastJobs == null) {
      pastJobs = LucenePastJobs.open(archive, trade());
    }
    return pastJobs;
  }

  /** The journal heads that a job was last taken into the index with; none if it never was. */
  synchronized List<String> indexedHeads(String job) {
    return pastJobs == null
        ? LucenePastJobs.indexedHeads(archive, job)
        : pastJobs.heads().getOrDefault(job, List.of());
  }

  /**
   * Finds out which other job of the archive holds a photo. What lies in a job's photo folder is
   * listed once; a hit is checked against that job's journal, which is the truth.
   *
   * @param except name of the job that does not count
   */
  Function<PhotoId, Optional<String>> elsewhere(String except) {
    Map<String, Set<String>> stored = new HashMap<>();
    for (String name : archive.jobNames()) {
      if (name.equals(except)) {
        continue;
      }
      Path photos = archive.find(name).orElseThrow().path().resolve("photos");
      String[] names = photos.toFile().list();
      for (String file : names == null ? new String[0] : names) {
        int dot = file.indexOf('.');
        stored
            .computeIfAbsent(dot < 0 ? file : file.substring(0, dot), k -> new HashSet<>())
            .add(name);
      }
    }
    Map<String, Set<PhotoId>> journaled = new HashMap<>();
    return id -> {
      for (String name : stored.getOrDefault(id.hex(), Set.of())) {
        Set<PhotoId> known =
            journaled.computeIfAbsent(
                name,
                n -> {
                  try {
                    Job other = folder(n).read().history().job();
                    Set<PhotoId> all = new HashSet<>(other.photos().keySet());
                    all.addAll(other.attachments().keySet());
                    return all;
                  } catch (ArchiveException e) {
                    return Set.of(); // that job is broken; verify says so, an intake goes on
                  }
                });
        if (known.contains(id)) {
          return Optional.of(name);
        }
      }
      return Optional.empty();
    };
  }

  /**
   * Shows how a card falls into houses and days; changes nothing.
   *
   * @param sources files and folders
   * @param zone zone in which the cameras' local times are compared with GPS
   */
  public Card.Split split(List<Path> sources, ZoneId zone, Progress progress) {
    return Card.read(sources, archive.root(), zone, elsewhere(null), progress);
  }

  @Override
  public synchronized void close() {
    if (pastJobs != null) {
      try {
        pastJobs.close();
      } catch (Exception e) {
        // The index can be made again at any time.
      }
      pastJobs = null;
    }
  }
}

package meterside.desk.model;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.atomic.AtomicLong;
import java.util.function.Supplier;
import meterside.archive.ArchiveException;
import meterside.job.Finding;
import meterside.job.FindingKind;
import meterside.job.Job;
import meterside.job.PhotoId;
import meterside.search.Ask;
import meterside.search.Counts;
import meterside.search.Found;
import meterside.search.Hit;
import meterside.search.Likeness;
import meterside.search.Overview;
import meterside.search.Stretch;
import meterside.work.NotDone;
import meterside.work.SimilarThings;
import meterside.work.Workspace;

/**
 * Past jobs: what is searched for, what was found, and the newest jobs while nothing is searched.
 * Lives on the desk's thread.
 */
public final class PastJobsModel {
  /** How many hits are shown. */
  /** How many jobs are kept at hand for their tiles. */
  private static final int AT_HAND = 64;

  private static final DateTimeFormatter DAY = DateTimeFormatter.ofPattern("d MMM yyyy", Locale.US);

  private final Map<String, String> houses = new ConcurrentHashMap<>();

  private final Map<String, Job> read =
      new LinkedHashMap<>(16, 0.75f, true) {
        private static final long serialVersionUID = 1L;

        @Override
        protected boolean removeEldestEntry(Map.Entry<String, Job> eldest) {
          return size() > AT_HAND;
        }
      };

  private static final int LIMIT = 60;

  /** How many alike are shown. */
  private static final int ALIKE = 24;

  /** How many of the newest jobs are shown while nothing is searched for. */
  private static final int NEWEST = 40;

  /**
   * A job as a card.
   *
   * @param name its folder
   * @param site the house
   * @param line date, photos, open duties
   * @param picture a photo to show, or null
   * @param trouble a sentence if the job can't be read, else null
   */
  public record Card(String name, String site, String line, PhotoId picture, String trouble) {}

  /**
   * What is like a photo or a finding.
   *
   * @param to what it is like, for the user
   * @param likenesses the most alike first
   */
  public record Similar(String to, List<Likeness> likenesses) {
    /** Copies the list. */
    public Similar {
      likenesses = List.copyOf(likenesses);
    }
  }

  private final Workspace workspace;
  private final Threads threads;
  private final Tasks tasks;
  private final List<Runnable> listeners = new ArrayList<>();
  private final AtomicLong asked = new AtomicLong();
  private String words = "";
  private String stop;
  private String part;
  private FindingKind kind;
  private Integer year;
  private String camera;
  private boolean withFinding;
  private Found found;
  private Counts counts;
  private Similar similar;
  private List<Card> cards = List.of();
  private final List<Runnable> naming = new ArrayList<>();
  private boolean looking;
  private boolean caughtUp;

  /** Past jobs of an archive. */
  public PastJobsModel(Workspace workspace, Threads threads, Tasks tasks) {
    this.workspace = workspace;
    this.threads = threads;
    this.tasks = tasks;
  }

  /** Names of jobs opened lately that the archive still holds, newest first. */
  public List<String> recent() {
    List<String> names = workspace.jobNames();
    return workspace.settings().recentJobs().stream().filter(names::contains).toList();
  }

  /** Calls this when something changed, on the desk's thread. */
  public void onChange(Runnable listener) {
    listeners.add(listener);
  }

  /** Calls this when houses of what was found got their names, on the desk's thread. */
  public void onNames(Runnable listener) {
    naming.add(listener);
  }

  /** The archive. */
  public Workspace workspace() {
    return workspace;
  }

  /** What was found, or null while nothing is searched for. */
  public Found found() {
    return found;
  }

  /** The newest jobs. */
  public List<Card> cards() {
    return cards;
  }

  /** Whether something is being looked for. */
  public boolean looking() {
    return looking;
  }

  /** What is searched for. */
  public String words() {
    return words;
  }

  /** Stop to search at, or null. */
  public String stop() {
    return stop;
  }

  /** Part to search for, or null. */
  public String part() {
    return part;
  }

  /** Kind of finding to search for, or null. */
  public FindingKind kind() {
    return kind;
  }

  /** Year to search in, or null. */
  public Integer year() {
    return year;
  }

  /** Camera whose photos are searched, by its label, or null. */
  public String camera() {
    return camera;
  }

  /** Whether only findings and the photos of findings are searched. */
  public boolean withFinding() {
    return withFinding;
  }

  /** How often there is each, of what was found or of all while nothing is asked; or null. */
  public Counts counts() {
    return counts;
  }

  /** What is like the thing that was last asked for, or null if words are asked for. */
  public Similar similar() {
    return similar;
  }

  /** Whether anything at all is searched for. */
  public boolean asking() {
    return !words.isBlank()
        || stop != null
        || part != null
        || kind != null
        || year != null
        || camera != null
        || withFinding;
  }

  /** Where a text meets what is searched for. */
  public List<Stretch> stretches(String text) {
    return words.isBlank() || similar != null
        ? List.of()
        : workspace.pastJobs().stretches(Ask.words(words.strip()).whileTyping(), text);
  }

  /** Searches for other words. */
  public void words(String text) {
    if (!text.equals(words) || similar != null) {
      words = text;
      similar = null;
      ask();
    }
  }

  /** Searches with other filters; null leaves one out. */
  public void filters(
      String atStop,
      String ofPart,
      FindingKind ofKind,
      Integer inYear,
      String byCamera,
      boolean onlyWithFinding) {
    stop = atStop;
    part = ofPart;
    kind = ofKind;
    year = inYear;
    camera = byCamera;
    withFinding = onlyWithFinding;
    similar = null;
    ask();
  }

  /** Looks for what is like a hit: a finding, or a photo. */
  public void similarTo(Hit hit) {
    if (hit.finding() != null) {
      similarTo(hit.job(), hit.finding());
    } else if (hit.photoId() != null) {
      similarTo(hit.job(), hit.photoId(), hit.photo());
    }
  }

  /** Looks for what is like a finding of a job. */
  public void similarTo(String jobName, int finding) {
    alike(
        "F" + finding + ", " + jobName,
        () -> {
          Job of = workspace.folder(jobName).read().history().job();
          Finding f = of.findings().get(finding);
          return f == null ? List.of() : SimilarThings.toFinding(workspace, jobName, of, f, ALIKE);
        });
  }

  /** Looks for what is like a photo. */
  public void similarTo(String jobName, PhotoId photo, String photoName) {
    alike(
        photoName + ", " + jobName,
        () -> {
          Job of = workspace.folder(jobName).read().history().job();
          return SimilarThings.toPhoto(workspace, jobName, of, photo, ALIKE);
        });
  }

  private void alike(String to, Supplier<List<Likeness>> looking) {
    long mine = asked.incrementAndGet();
    this.looking = true;
    tell();
    threads
        .work()
        .execute(
            () -> {
              List<Likeness> result = List.of();
              Throwable trouble = null;
              try {
                catchUp();
                result = looking.get();
              } catch (RuntimeException e) {
                trouble = e;
              }
              List<Likeness> now = result;
              Throwable thrown = trouble;
              threads
                  .ui()
                  .execute(
                      () -> {
                        if (mine == asked.get()) {
                          this.looking = false;
                          similar = thrown == null ? new Similar(to, now) : null;
                          if (thrown != null) {
                            tasks.sayTrouble(thrown);
                          }
                          tell();
                        }
                      });
              namesFollow(mine, now.stream().map(Likeness::hit).toList());
            });
  }

  /** Writes how often there is each, as it is shown, to a file: CSV. */
  public void writeCounts(Path file) {
    Counts now = counts;
    if (now == null) {
      return;
    }
    threads
        .work()
        .execute(
            () -> {
              Notice said;
              try {
                Files.write(file, now.csv().getBytes(StandardCharsets.UTF_8));
                said = Notice.said(Words.say("often.written", file));
              } catch (IOException e) {
                said = Notice.trouble(Words.say("often.not-written", file));
              }
              Notice say = said;
              threads.ui().execute(() -> tasks.say(say));
            });
  }

  /** Looks again: after the archive changed, or at the first show. */
  public void refresh() {
    caughtUp = false;
    houses.clear();
    synchronized (read) {
      read.clear();
    }
    if (similar == null) {
      ask();
    }
  }

  private void ask() {
    long mine = asked.incrementAndGet();
    boolean all = !asking();
    if (all) {
      found = null;
      newest();
    }
    looking = !all;
    tell();
    Ask ask =
        new Ask(
                words.strip(),
                stop,
                part,
                kind,
                year == null ? null : LocalDate.of(year, 1, 1),
                year == null ? null : LocalDate.of(year, 12, 31),
                null,
                all ? 1 : LIMIT)
            .withCamera(camera)
            .withHasFinding(withFinding ? Boolean.TRUE : null)
            .whileTyping();
    threads
        .work()
        .execute(
            () -> {
              Overview result = null;
              Throwable trouble = null;
              try {
                // While typing, only the last words matter.
                if (mine == asked.get()) {
                  catchUp();
                  result = workspace.pastJobs().findAndCount(ask);
                }
              } catch (RuntimeException e) {
                trouble = e;
              }
              Overview now = result;
              Throwable thrown = trouble;
              threads
                  .ui()
                  .execute(
                      () -> {
                        if (mine != asked.get()) {
                          return;
                        }
                        looking = false;
                        if (thrown != null) {
                          tasks.sayTrouble(thrown);
                        } else if (now != null) {
                          found = all ? null : now.found();
                          counts = now.counts();
                        }
                        tell();
                      });
              if (!all && now != null) {
                namesFollow(mine, now.found().hits());
              }
            });
  }

  private synchronized void catchUp() {
    if (!caughtUp) {
      workspace.pastJobs().catchUp(meterside.job.Progress.NONE);
      caughtUp = true;
    }
  }

  /**
   * A few hits for the find field of a job: those of this job first.
   *
   * @param then given the hits on the desk's thread
   */
  public void quick(String text, String job, java.util.function.Consumer<List<Hit>> then) {
    threads
        .work()
        .execute(
            () -> {
              List<Hit> hits = new ArrayList<>();
              try {
                caughtUp = false; // the open job changes under the index
                catchUp();
                hits.addAll(
                    workspace
                        .pastJobs()
                        .find(new Ask(text, null, null, null, null, null, job, 5).whileTyping())
                        .hits());
                for (Hit h :
                    workspace
                        .pastJobs()
                        .find(new Ask(text, null, null, null, null, null, null, 12).whileTyping())
                        .hits()) {
                  if (!h.job().equals(job) && hits.size() < 9) {
                    hits.add(h);
                  }
                }
              } catch (RuntimeException e) {
                threads.ui().execute(() -> tasks.say(Notice.trouble(NotDone.sentenceOf(e))));
              }
              threads.ui().execute(() -> then.accept(hits));
            });
  }

  private void newest() {
    long mine = asked.get();
    threads
        .work()
        .execute(
            () -> {
              List<String> names = new ArrayList<>(workspace.jobNames());
              names.sort(Comparator.reverseOrder());
              List<Card> out = new ArrayList<>();
              for (String name : names.subList(0, Math.min(NEWEST, names.size()))) {
                out.add(card(name));
              }
              threads
                  .ui()
                  .execute(
                      () -> {
                        if (mine == asked.get()) {
                          cards = List.copyOf(out);
                          tell();
                        }
                      });
            });
  }

  /** "18 Wren Hollow · 12 May 2026", or the job's name as long as nothing more is known of it. */
  public String house(String name) {
    return houses.getOrDefault(name, name);
  }

  /** What was found is shown at once; the names of its houses follow. */
  private void namesFollow(long mine, List<Hit> hits) {
    if (house(hits)) {
      threads
          .ui()
          .execute(
              () -> {
                if (mine == asked.get()) {
                  List.copyOf(naming).forEach(Runnable::run);
                }
              });
    }
  }

  /** Reads which houses and days hits are of, not on the desk's thread; true if any was new. */
  private boolean house(List<Hit> hits) {
    int before = houses.size();
    for (Hit h : hits) {
      if (!houses.containsKey(h.job())) {
        Job job = job(h.job());
        if (job != null) {
          houses.put(h.job(), job.site() + " · " + DAY.format(job.header().date()));
        }
      }
    }
    return houses.size() > before;
  }

  /** A job as it stands, or null if it can't be read; the last few are kept at hand. */
  public Job job(String name) {
    synchronized (read) {
      Job at = read.get(name);
      if (at != null) {
        return at;
      }
    }
    try {
      Job job = workspace.folder(name).read().history().job();
      synchronized (read) {
        read.put(name, job);
      }
      return job;
    } catch (RuntimeException e) {
      return null; // that job is broken or gone; its card says so
    }
  }

  private Card card(String name) {
    try {
      Job job = workspace.folder(name).read().history().job();
      synchronized (read) {
        read.put(name, job);
      }
      List<String> line = new ArrayList<>();
      line.add(DAY.format(job.header().date()));
      line.add(Words.count("head.photos", job.photos().size()));
      int findings = job.findings().size();
      if (findings > 0) {
        line.add(Words.count("card.findings", findings));
      }
      int open = job.openDuties().size();
      line.add(open == 0 ? Words.say("card.all-answered") : Words.count("head.open", open));
      PhotoId picture =
          job.inTrueOrder().stream()
              .map(p -> p.id())
              .filter(id -> !job.aside().containsKey(id))
              .findFirst()
              .orElse(null);
      // A marked photo says more of a job than its first one.
      if (!job.marks().isEmpty()) {
        picture = job.marks().get(job.marks().firstKey()).photo();
      }
      return new Card(name, job.site(), String.join(" · ", line), picture, null);
    } catch (ArchiveException e) {
      return new Card(name, name, "", null, e.getMessage());
    }
  }

  private void tell() {
    List.copyOf(listeners).forEach(Runnable::run);
  }
}

package meterside.desk.model;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Consumer;
import meterside.archive.ArchiveException;
import meterside.job.Finding;
import meterside.job.Job;
import meterside.search.Ask;
import meterside.search.Hit;
import meterside.search.Like;
import meterside.search.PastJobs;
import meterside.work.Workspace;

/**
 * The inspector's own past wording: findings of earlier jobs for the same part, those worded alike
 * first where something is written already, the newest first where nothing is.
 */
public final class PastWording {
  private static final int MOST = 12;
  private static final int LOOKED_THROUGH = 40;

  private PastWording() {}

  /**
   * A wording.
   *
   * @param finding the finding as it was written
   * @param job folder name of its job
   */
  public record Said(Finding finding, String job) {
    /** What it was seen as, and why. */
    public String text() {
      String why = finding.why() == null ? "" : " " + finding.why().strip();
      return finding.seen().strip() + why;
    }
  }

  /**
   * Looks for wording; told on the desk's thread.
   *
   * @param text what is written so far, may be blank
   * @param part id of the part, or null
   * @param stop id of the stop
   * @param job folder name of the job that is written, whose own findings don't count
   */
  public static void find(
      Workspace workspace,
      Threads threads,
      Tasks tasks,
      String text,
      String part,
      String stop,
      String job,
      Consumer<List<Said>> then) {
    threads
        .work()
        .execute(
            () -> {
              try {
                List<Said> all = find(workspace, text, part, stop, job);
                threads.ui().execute(() -> then.accept(all));
              } catch (RuntimeException e) {
                threads.ui().execute(() -> tasks.sayTrouble(e));
              }
            });
  }

  /** The same on the calling thread. */
  static List<Said> find(Workspace workspace, String text, String part, String stop, String job) {
    PastJobs past = workspace.pastJobs();
    past.catchUp(meterside.job.Progress.NONE);
    List<Hit> hits = new ArrayList<>();
    if (!text.isBlank()) {
      past.similar(new Like(text, part, stop, job, null, LOOKED_THROUGH))
          .forEach(l -> hits.add(l.hit()));
    }
    Ask ask =
        new Ask("", part == null ? stop : null, part, null, null, null, null, LOOKED_THROUGH)
            .withOnly(Hit.Kind.FINDING);
    hits.addAll(past.find(ask).hits());
    Map<String, Said> said = new LinkedHashMap<>();
    Map<String, Job> read = new LinkedHashMap<>();
    for (Hit h : hits) {
      if (h.finding() == null || h.job().equals(job) || said.size() >= MOST) {
        continue;
      }
      Finding f = finding(workspace, h, read);
      if (f != null) {
        // The same sentence from five houses is offered once.
        said.putIfAbsent(f.seen().strip().toLowerCase(java.util.Locale.ROOT), new Said(f, h.job()));
      }
    }
    return List.copyOf(said.values());
  }

  /** The finding of a hit as its journal has it, or null if that can't be read. */
  public static Finding finding(Workspace workspace, Hit hit) {
    return finding(workspace, hit, new LinkedHashMap<>());
  }

  private static Finding finding(Workspace workspace, Hit h, Map<String, Job> read) {
    try {
      Job job =
          read.computeIfAbsent(h.job(), name -> workspace.folder(name).read().history().job());
      return job.findings().get(h.finding());
    } catch (ArchiveException e) {
      return null; // that job is broken; verify says so
    }
  }
}

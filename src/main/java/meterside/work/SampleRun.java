package meterside.work;

import java.io.PrintStream;
import java.nio.file.Path;
import java.time.Clock;
import java.util.List;
import meterside.job.Job;
import meterside.job.Progress;
import meterside.job.Sentences;
import meterside.search.Ask;
import meterside.search.Found;

/**
 * The sample jobs without a window: intake, sorting, callouts, findings, answers, reports, a
 * search. Says what it did and where things lie.
 */
public final class SampleRun {
  private SampleRun() {}

  /**
   * Does it. A second run keeps what was done: sample jobs that are there stay as they are, and
   * their reports are written as drafts each time.
   *
   * @param folder where the archive and the reports go
   * @return the archive's folder
   */
  public static Path run(Path folder, Home home, PrintStream out) {
    Path archive = folder.resolve("archive");
    List<String> names = SampleJobs.make(archive, home, Progress.NONE);
    try (Workspace w = Workspace.open(archive, false, home, Clock.systemUTC())) {
      for (String name : names) {
        try (JobSession session = JobSession.open(w, name)) {
          Job job = session.job();
          out.println(
              say(
                  "sample.job",
                  job.site(),
                  job.photos().size(),
                  job.marks().size(),
                  job.findings().size(),
                  job.openDuties().size()));
          String where = name.equals(names.get(0)) ? "report" : "report-" + name;
          Path report = folder.resolve(where);
          session.report(report, true, false, Progress.NONE);
          out.println(say("sample.report", report));
          out.println(say("sample.marked", report.resolve("marked")));
        }
      }
      w.pastJobs().catchUp(Progress.NONE);
      String words = "cracked drip loop";
      Found found = w.pastJobs().find(new Ask(words, null, null, null, null, null, null, 3));
      out.println(
          say(
              "sample.found",
              words,
              found.total(),
              found.hits().isEmpty() ? "" : found.hits().get(0).text()));
      out.println(say("sample.archive", archive));
    }
    return archive;
  }

  private static String say(String key, Object... arguments) {
    return Sentences.in(SampleRun.class).say(key, arguments);
  }
}

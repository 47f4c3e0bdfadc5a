package meterside.work;

import java.util.ArrayList;
import java.util.List;
import meterside.archive.Verify;
import meterside.job.Progress;

/**
 * What a check of a job came to.
 *
 * @param lines one for each thing found, the worst first; at least one
 */
public record Verification(List<Line> lines) {

  /**
   * One thing found.
   *
   * @param severity {@code fine}, {@code note}, {@code warning} or {@code broken}
   * @param sentence what was found
   * @param advice what can be done, or null
   */
  public record Line(String severity, String sentence, String advice) {}

  /** Copies the list. */
  public Verification {
    lines = List.copyOf(lines);
  }

  /**
   * Checks that a job's journal and photos are as they were left.
   *
   * @param quick lengths and chain only, no re-hashing of photos
   */
  public static Verification of(Workspace workspace, String job, boolean quick, Progress progress) {
    List<Line> lines = new ArrayList<>();
    for (Verify.Result r : Verify.job(workspace.folder(job), quick, List.of(), progress)) {
      lines.add(new Line(Names.id(r.severity()), r.sentence(), r.advice()));
    }
    return new Verification(lines);
  }

  /** Whether nothing is broken. */
  public boolean intact() {
    return lines.stream().noneMatch(l -> l.severity().equals("broken"));
  }
}

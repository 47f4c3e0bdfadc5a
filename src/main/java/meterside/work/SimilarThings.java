package meterside.work;

import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import meterside.archive.JobFolder;
import meterside.job.Callout;
import meterside.job.Finding;
import meterside.job.Job;
import meterside.job.Mark;
import meterside.job.Outline;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.Placement;
import meterside.picture.Look;
import meterside.search.Hit;
import meterside.search.Like;
import meterside.search.Likeness;
import meterside.search.PhotoLooks;

/**
 * What past jobs hold that is like a photo or a finding of a job: worded alike, of the same part,
 * looking alike. Answers come from other jobs only. A photo is also compared as a house that is
 * built the other way round would show it.
 */
public final class SimilarThings {
  private SimilarThings() {}

  /**
   * Photos of past jobs that are like a photo, and findings there that are worded like those it
   * shows.
   *
   * @param job the job that holds the photo, as it is
   */
  public static List<Likeness> toPhoto(
      Workspace workspace, String name, Job job, PhotoId id, int limit) {
    Photo photo = job.photo(id);
    Set<String> parts = new LinkedHashSet<>();
    List<String> text = new ArrayList<>();
    Set<Integer> findings = new LinkedHashSet<>();
    for (Mark m : job.marksOn(id)) {
      if (m instanceof Callout c) {
        mark(c.part(), c.note(), c.finding(), parts, text, findings);
      } else if (m instanceof Outline o) {
        mark(o.part(), o.note(), o.finding(), parts, text, findings);
      }
    }
    for (Finding f : job.findings().values()) {
      if (f.photos().contains(id) || findings.contains(f.number())) {
        text.add(said(f));
        if (f.part() != null) {
          parts.add(f.part());
        }
      }
    }
    Like like =
        new Like(
            Hit.Kind.PHOTO,
            String.join(". ", text),
            List.copyOf(parts),
            job.placement(id).map(Placement::at).map(at -> at.stop()).orElse(null),
            looks(workspace.folder(name), List.of(photo)),
            name,
            null,
            false,
            limit);
    return workspace.pastJobs().similar(like);
  }

  private static void mark(
      String part,
      String note,
      Integer finding,
      Set<String> parts,
      List<String> text,
      Set<Integer> findings) {
    if (part != null) {
      parts.add(part);
    }
    if (note != null && !note.isBlank()) {
      text.add(note);
    }
    if (finding != null) {
      findings.add(finding);
    }
  }

  /**
   * Findings of past jobs that are like a finding.
   *
   * @param job the job that holds the finding, as it is
   */
  public static List<Likeness> toFinding(
      Workspace workspace, String name, Job job, Finding finding, int limit) {
    List<Photo> photos =
        finding.photos().stream().map(job.photos()::get).filter(p -> p != null).toList();
    Like like =
        new Like(
            Hit.Kind.FINDING,
            said(finding),
            finding.part() == null ? List.of() : List.of(finding.part()),
            finding.at().stop(),
            looks(workspace.folder(name), photos),
            name,
            finding.number(),
            false,
            limit);
    return workspace.pastJobs().similar(like);
  }

  private static String said(Finding f) {
    return f.why() == null ? f.seen() : f.seen() + " " + f.why();
  }

  private static List<float[]> looks(JobFolder folder, List<Photo> photos) {
    List<float[]> out = new ArrayList<>();
    for (Photo p : photos) {
      PhotoLooks.of(folder, p)
          .ifPresent(
              look -> {
                out.add(look);
                out.add(Look.mirrored(look));
              });
    }
    return out;
  }
}

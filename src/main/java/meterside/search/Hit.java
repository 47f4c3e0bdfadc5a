package meterside.search;

import java.util.List;
import meterside.job.FindingKind;
import meterside.job.PhotoId;

/**
 * One answer: a photo, a finding or a job.
 *
 * @param kind which of them
 * @param job folder name of the job
 * @param photo file name of the photo; for a finding its first photo; null if there is none
 * @param photoId the same photo's id, or null
 * @param finding number of the finding; null for photos and jobs
 * @param findingKind kind of the finding, else null
 * @param stop the stop, with its instance if it has one, as {@link meterside.job.StopKey} writes
 *     it; null for jobs and photos that are not sorted yet
 * @param parts ids of the parts: for a photo those named on it, for a finding its own
 * @param text the stored wording, whole. Finding: what was seen and why it matters, with a space
 *     between. Photo: the terms and notes of its callouts and outlines. Job: site and facts
 * @param score larger fits better; 0 if no words were asked for. Only comparable within one answer
 */
public record Hit(
    Kind kind,
    String job,
    String photo,
    PhotoId photoId,
    Integer finding,
    FindingKind findingKind,
    String stop,
    List<String> parts,
    String text,
    double score) {

  /** What was found. */
  public enum Kind {
    /** A photo. */
    PHOTO,
    /** A finding. */
    FINDING,
    /** A job. */
    JOB
  }

  /** Copies the list. */
  public Hit {
    parts = List.copyOf(parts);
  }
}

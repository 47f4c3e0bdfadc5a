package meterside.job;

import java.util.List;

/**
 * A finding: something the inspector reports.
 *
 * @param number F1, F2 …: given once, never used again
 * @param at the stop it belongs to
 * @param location where in or on the house ("kitchen, left of the sink"), or null
 * @param part id of the part, or null
 * @param kind what kind
 * @param seen what was seen
 * @param why why it matters, or null
 * @param who who should act, or null
 * @param photos photos that show it
 * @param urgent if it can't wait, else null
 * @param seenLater true if it was seen later in a photo and not on site
 */
public record Finding(
    int number,
    StopKey at,
    String location,
    String part,
    FindingKind kind,
    String seen,
    String why,
    String who,
    List<PhotoId> photos,
    Urgent urgent,
    boolean seenLater) {

  /** Checks that it says what was seen. */
  public Finding {
    photos = photos == null ? List.of() : List.copyOf(photos);
    if (seen == null || seen.isBlank()) {
      throw new EditRefused("finding.needs-seen");
    }
    if (number < 1) {
      throw new EditRefused("finding.needs-number");
    }
  }

  /** "F4". */
  public String label() {
    return "F" + number;
  }

  /** The same finding with other photos. */
  public Finding withPhotos(List<PhotoId> others) {
    return new Finding(number, at, location, part, kind, seen, why, who, others, urgent, seenLater);
  }
}

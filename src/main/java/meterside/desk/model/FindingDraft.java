package meterside.desk.model;

import java.util.List;
import meterside.job.Finding;
import meterside.job.FindingKind;
import meterside.job.PhotoId;
import meterside.job.StopKey;
import meterside.job.Urgent;

/**
 * A finding while it is written.
 *
 * @param number its number, or 0 if it is new
 * @param at the stop
 * @param location where in or on the house, may be blank
 * @param part id of the part, or null
 * @param kind what kind
 * @param seen what was seen; blank until something is written
 * @param why why it matters, may be blank
 * @param who who should act, may be blank
 * @param photos photos that show it
 * @param urgent whether it can't wait
 * @param told who was told, may be blank
 * @param how how, may be blank
 * @param when when, may be blank
 * @param seenLater whether it was seen later in a photo
 * @param mark mark that is tied to it when it is kept, or 0
 */
public record FindingDraft(
    int number,
    StopKey at,
    String location,
    String part,
    FindingKind kind,
    String seen,
    String why,
    String who,
    List<PhotoId> photos,
    boolean urgent,
    String told,
    String how,
    String when,
    boolean seenLater,
    int mark) {

  /** Copies the list. */
  public FindingDraft {
    photos = List.copyOf(photos);
  }

  /** A new finding at a stop, shown on a photo. */
  public static FindingDraft start(StopKey at, String part, PhotoId photo, int mark) {
    return new FindingDraft(
        0,
        at,
        "",
        part,
        FindingKind.NEEDS_CORRECTION,
        "",
        "",
        "",
        photo == null ? List.of() : List.of(photo),
        false,
        "",
        "",
        "",
        false,
        mark);
  }

  /** A new finding at a stop in the words of another, shown on a photo. */
  public static FindingDraft like(StopKey at, Finding f, PhotoId photo) {
    return new FindingDraft(
        0,
        at,
        "",
        f.part(),
        f.kind(),
        f.seen(),
        text(f.why()),
        text(f.who()),
        photo == null ? List.of() : List.of(photo),
        f.urgent() != null,
        "",
        "",
        "",
        false,
        0);
  }

  /** A finding that was written before. */
  public static FindingDraft of(Finding f) {
    Urgent u = f.urgent();
    return new FindingDraft(
        f.number(),
        f.at(),
        text(f.location()),
        f.part(),
        f.kind(),
        f.seen(),
        text(f.why()),
        text(f.who()),
        f.photos(),
        u != null,
        u == null ? "" : text(u.told()),
        u == null ? "" : text(u.how()),
        u == null ? "" : text(u.when()),
        f.seenLater(),
        0);
  }

  /** Whether it says enough to be kept. */
  public boolean complete() {
    return seen != null && !seen.isBlank();
  }

  /** The finding, under a number. */
  public Finding finding(int as) {
    Urgent u = urgent ? new Urgent(orNull(told), orNull(how), orNull(when)) : null;
    return new Finding(
        as,
        at,
        orNull(location),
        part,
        kind,
        seen.strip(),
        orNull(why),
        orNull(who),
        photos,
        u,
        seenLater);
  }

  private static String text(String s) {
    return s == null ? "" : s;
  }

  private static String orNull(String s) {
    return s == null || s.isBlank() ? null : s.strip();
  }
}

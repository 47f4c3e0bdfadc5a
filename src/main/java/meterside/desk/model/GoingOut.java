package meterside.desk.model;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Set;
import meterside.job.ClockBasis;
import meterside.job.Duty;
import meterside.job.DutyKey;
import meterside.job.DutyKind;
import meterside.job.Finding;
import meterside.job.FindingKind;
import meterside.job.Job;
import meterside.job.Mark;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.Placement;
import meterside.job.PlacementBasis;

/**
 * Before it goes out: everything that is open, missing or guessed, most pressing first.
 *
 * @param items one for each thing that wants a look
 */
public record GoingOut(List<Item> items) {

  /** What wants a look; in the order it is shown. */
  public enum Kind {
    /** An urgent finding of which nobody was told. */
    URGENT,
    /** A finding that no photo shows. */
    NO_PHOTO,
    /** A finding that does not say where. */
    NO_LOCATION,
    /** A finding that does not say who should act. */
    NO_WHO,
    /** A duty without an answer. */
    DUTY,
    /** A photo that goes into the report and lies where the sorting put it. */
    INFERRED,
    /** A camera whose clock was taken as right. */
    CLOCK
  }

  /**
   * One thing.
   *
   * @param kind what it is
   * @param title the finding, the duty's stop, or the photo
   * @param text what is missing or guessed, and for a duty what it asks
   * @param finding number of the finding, or 0
   * @param duty the duty, or null
   * @param photo the photo, or null
   */
  public record Item(
      Kind kind, String title, String text, int finding, DutyKey duty, PhotoId photo) {
    /** Whether a photo's place can be confirmed from here. */
    public boolean canKeep() {
      return kind == Kind.INFERRED;
    }

    /** Whether a duty can be answered from here by a digit. */
    public boolean canAnswer() {
      return kind == Kind.DUTY;
    }
  }

  /** Copies the list. */
  public GoingOut {
    items = List.copyOf(items);
  }

  /** What wants a look in a job. */
  public static GoingOut of(Job job) {
    List<Item> out = new ArrayList<>();
    for (Finding f : job.findings().values()) {
      findings(job, f, out);
    }
    for (DutyKey key : job.openDuties()) {
      Duty d = job.duty(key);
      if (d.kind() != DutyKind.OWN_HABIT) {
        out.add(new Item(Kind.DUTY, d.text(), job.title(key.at()), 0, key, null));
      }
    }
    Set<PhotoId> inReport = meterside.report.Selection.photos(job);
    List<Item> guessed = new ArrayList<>();
    for (Photo p : job.inTrueOrder()) {
      Placement at = job.placement(p.id()).orElse(null);
      if (inReport.contains(p.id()) && at != null && at.basis() == PlacementBasis.INFERRED) {
        guessed.add(
            new Item(
                Kind.INFERRED,
                p.name(),
                Words.say("out.inferred", job.title(at.at()), PhotoFacts.sure(at.confidence())),
                0,
                null,
                p.id()));
      } else if (inReport.contains(p.id()) && at == null) {
        guessed.add(new Item(Kind.INFERRED, p.name(), Words.say("out.unsorted"), 0, null, p.id()));
      }
    }
    guessed.sort(
        Comparator.comparing(
            i -> job.placement(i.photo()).map(Placement::confidence).orElse(-1.0)));
    out.addAll(guessed);
    if (job.cameras().size() > 1) {
      for (String c : job.cameras().keySet()) {
        if (job.clock(c).basis() == ClockBasis.ASSUMED) {
          out.add(
              new Item(
                  Kind.CLOCK,
                  Words.say("facts.camera", c) + " · " + job.cameras().get(c).label(),
                  Words.say("out.clock"),
                  0,
                  null,
                  null));
        }
      }
    }
    out.sort(Comparator.comparing(Item::kind));
    return new GoingOut(out);
  }

  private static void findings(Job job, Finding f, List<Item> out) {
    String seen = f.seen().strip();
    String title = f.label() + "  " + seen.substring(0, Notes.firstSentence(seen));
    if (f.urgent() != null && blank(f.urgent().told())) {
      out.add(new Item(Kind.URGENT, title, Words.say("out.urgent"), f.number(), null, null));
    }
    boolean marked = false;
    for (Mark m : job.marks().values()) {
      marked |= Integer.valueOf(f.number()).equals(m.finding());
    }
    boolean shown = marked || f.photos().stream().anyMatch(p -> !job.aside().containsKey(p));
    if (!shown) {
      out.add(new Item(Kind.NO_PHOTO, title, Words.say("out.no-photo"), f.number(), null, null));
    }
    if (blank(f.location())) {
      out.add(
          new Item(Kind.NO_LOCATION, title, Words.say("out.no-location"), f.number(), null, null));
    }
    if (blank(f.who()) && f.kind() != FindingKind.NOTE) {
      out.add(new Item(Kind.NO_WHO, title, Words.say("out.no-who"), f.number(), null, null));
    }
  }

  private static boolean blank(String text) {
    return text == null || text.isBlank();
  }

  /** How many there are of a kind. */
  public int count(Kind kind) {
    return (int) items.stream().filter(i -> i.kind() == kind).count();
  }

  /** What the screen calls a kind. */
  public static String heading(Kind kind, int count) {
    return Words.count(
        "out.head." + kind.name().toLowerCase(java.util.Locale.ROOT).replace('_', '-'), count);
  }
}

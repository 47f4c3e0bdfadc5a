package meterside.desk.model;

import java.time.Instant;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.TreeSet;
import meterside.job.Answer;
import meterside.job.DutyKey;
import meterside.job.DutyKind;
import meterside.job.Finding;
import meterside.job.Job;
import meterside.job.Mark;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.Placement;
import meterside.job.StopKey;
import meterside.job.TimeBasis;
import meterside.job.TrueTime;

/**
 * The walk as the screen shows it: stops in the route's order, each with its photos in true-time
 * order. Worked out from a job; holds no toolkit.
 *
 * @param stops every stop, those without photos too; what is not sorted yet comes first under the
 *     key null, other systems come last, each only if it has photos
 * @param order all photos in the order the screen shows them
 * @param toLookAt photos that need a look: not sorted yet, then inferred ones by rising confidence
 */
public record Walk(List<StopView> stops, List<Thumb> order, List<PhotoId> toLookAt) {

  /** Below this probability an inferred place is marked and asks for a look. */
  public static final double SURE = 0.8;

  private static final DateTimeFormatter CLOCK = DateTimeFormatter.ofPattern("HH:mm", Locale.ROOT);
  private static final DateTimeFormatter SECONDS =
      DateTimeFormatter.ofPattern("HH:mm:ss", Locale.ROOT);

  /**
   * A stop on the walk.
   *
   * @param key the stop, or null for what is not sorted yet
   * @param title what the screen calls it
   * @param start local time of its first photo ("10:06"), or empty
   * @param photos its photos in true-time order, set-aside ones too
   * @param open how many of its duties are open; own habits do not count
   * @param duties how many duties it has; own habits do not count
   */
  public record StopView(
      StopKey key, String title, String start, List<Thumb> photos, int open, int duties) {
    /** Whether it is the stop for what is not of the electrical service. */
    public boolean otherSystems() {
      return key != null && key.isOtherSystems();
    }

    /** Whether nothing lies here yet. */
    public boolean empty() {
      return photos.isEmpty();
    }
  }

  /**
   * A photo on the walk.
   *
   * @param id the photo
   * @param name file name
   * @param time local time with seconds, or empty if nothing is known
   * @param at its stop, or null if not sorted yet
   * @param uncertain whether its place is inferred with less than {@link #SURE}
   * @param aside whether it is set aside
   * @param findings labels of the findings it shows ("F4")
   * @param spoken what a screen reader says
   */
  public record Thumb(
      PhotoId id,
      String name,
      String time,
      StopKey at,
      boolean uncertain,
      boolean aside,
      List<String> findings,
      String spoken) {}

  /** Copies the lists. */
  public Walk {
    stops = List.copyOf(stops);
    order = List.copyOf(order);
    toLookAt = List.copyOf(toLookAt);
  }

  /** The walk of a job. */
  public static Walk of(Job job) {
    Map<StopKey, List<Photo>> byStop = job.photosByStop();
    Map<PhotoId, TreeSet<Integer>> findings = findingsByPhoto(job);
    Map<StopKey, int[]> duties = dutiesByStop(job);
    List<StopKey> keys = new ArrayList<>();
    if (byStop.containsKey(null)) {
      keys.add(null);
    }
    List<StopKey> last = new ArrayList<>();
    for (StopKey key : job.stopKeys()) {
      (key.isOtherSystems() ? last : keys).add(key);
    }
    // A place the route no longer has (it was changed later) keeps its photos.
    for (StopKey key : byStop.keySet()) {
      if (key != null && !keys.contains(key) && !last.contains(key)) {
        keys.add(key);
      }
    }
    for (StopKey key : last) {
      if (byStop.containsKey(key)) {
        keys.add(key);
      }
    }
    List<StopView> stops = new ArrayList<>();
    List<Thumb> order = new ArrayList<>();
    record Look(PhotoId id, double confidence) {}
    List<Look> looks = new ArrayList<>();
    for (StopKey key : keys) {
      List<Thumb> thumbs = new ArrayList<>();
      for (Photo p : byStop.getOrDefault(key, List.of())) {
        Optional<Placement> placement = job.placement(p.id());
        boolean aside = job.aside().containsKey(p.id());
        boolean uncertain = placement.map(w -> !w.fixed() && w.confidence() < SURE).orElse(false);
        if ((uncertain || placement.isEmpty()) && !aside) {
          looks.add(new Look(p.id(), placement.map(Placement::confidence).orElse(-1.0)));
        }
        String time = time(job, p, SECONDS);
        List<String> labels =
            findings.getOrDefault(p.id(), new TreeSet<>()).stream().map(n -> "F" + n).toList();
        thumbs.add(
            new Thumb(
                p.id(),
                p.name(),
                time,
                key,
                uncertain,
                aside,
                labels,
                spoken(job, p, key, time, uncertain, aside, labels)));
      }
      String start = "";
      if (!thumbs.isEmpty()) {
        start = time(job, job.photo(thumbs.get(0).id()), CLOCK);
      }
      int[] count = duties.getOrDefault(key, new int[2]);
      String title = key == null ? Words.say("walk.unsorted") : job.title(key);
      stops.add(new StopView(key, title, start, List.copyOf(thumbs), count[0], count[1]));
      order.addAll(thumbs);
    }
    looks.sort(Comparator.comparingDouble(Look::confidence));
    return new Walk(stops, order, looks.stream().map(Look::id).toList());
  }

  /** Local time of a photo, or empty if nothing is known. */
  static String time(Job job, Photo photo, DateTimeFormatter format) {
    TrueTime t = job.trueTime(photo);
    return t.basis() == TimeBasis.NONE ? "" : local(t.at(), job.zone(), format);
  }

  private static String local(Instant at, ZoneId zone, DateTimeFormatter format) {
    return format.format(at.atZone(zone));
  }

  /** The stop a photo lies at on the screen. */
  public Optional<StopView> stopOf(PhotoId id) {
    for (StopView s : stops) {
      for (Thumb t : s.photos()) {
        if (t.id().equals(id)) {
          return Optional.of(s);
        }
      }
    }
    return Optional.empty();
  }

  /** The stop with a key. */
  public Optional<StopView> stop(StopKey key) {
    return stops.stream().filter(s -> key != null && key.equals(s.key())).findFirst();
  }

  /** Position of a photo in the screen's order, or −1. */
  public int indexOf(PhotoId id) {
    for (int i = 0; i < order.size(); i++) {
      if (order.get(i).id().equals(id)) {
        return i;
      }
    }
    return -1;
  }

  /**
   * The next photo that needs a look, least certain first; after the last comes the first again.
   *
   * @param from the photo shown now, or null
   */
  public Optional<PhotoId> nextToLookAt(PhotoId from) {
    if (toLookAt.isEmpty()) {
      return Optional.empty();
    }
    int at = from == null ? -1 : toLookAt.indexOf(from);
    return Optional.of(toLookAt.get((at + 1) % toLookAt.size()));
  }

  /**
   * Stops that a divider can lie between: neighbours on the screen that both hold photos and lie on
   * the route.
   *
   * @param upper index of the upper stop
   * @return index of the lower stop, or −1 if no divider follows
   */
  public int dividerAfter(int upper) {
    StopView up = stops.get(upper);
    if (up.key() == null || up.empty() || up.otherSystems() || upper + 1 >= stops.size()) {
      return -1;
    }
    StopView down = stops.get(upper + 1);
    return down.empty() || down.otherSystems() ? -1 : upper + 1;
  }

  /**
   * What moving a divider does.
   *
   * @param photos photos that change stop; empty if none does
   * @param to the stop they go to
   */
  public record DividerMove(List<PhotoId> photos, StopKey to) {}

  /**
   * What it means to put the divider between two stops before the {@code k}-th of their photos
   * taken together.
   *
   * @param upper the stop above
   * @param lower the stop below
   * @param k from 0 (all go below) to the number of photos of both (all go above)
   */
  public static DividerMove moveDivider(StopView upper, StopView lower, int k) {
    int was = upper.photos().size();
    List<Thumb> both = new ArrayList<>(upper.photos());
    both.addAll(lower.photos());
    int now = Math.max(0, Math.min(both.size(), k));
    Collection<Thumb> moved = now < was ? both.subList(now, was) : both.subList(was, now);
    return new DividerMove(
        moved.stream().map(Thumb::id).toList(), now < was ? lower.key() : upper.key());
  }

  /** Findings each photo shows: named by the finding, by a mark tied to it, or by an answer. */
  static Map<PhotoId, TreeSet<Integer>> findingsByPhoto(Job job) {
    Map<PhotoId, TreeSet<Integer>> out = new HashMap<>();
    for (Finding f : job.findings().values()) {
      for (PhotoId p : f.photos()) {
        out.computeIfAbsent(p, k -> new TreeSet<>()).add(f.number());
      }
    }
    for (Mark m : job.marks().values()) {
      Integer tied = m.finding();
      if (tied != null) {
        out.computeIfAbsent(m.photo(), k -> new TreeSet<>()).add(tied);
      }
    }
    for (DutyKey key : job.dutyKeys()) {
      Answer a = job.answer(key).orElse(null);
      if (a != null && a.finding() != null) {
        for (PhotoId p : a.photos()) {
          out.computeIfAbsent(p, k -> new TreeSet<>()).add(a.finding());
        }
      }
    }
    return out;
  }

  private static Map<StopKey, int[]> dutiesByStop(Job job) {
    Map<StopKey, int[]> out = new LinkedHashMap<>();
    for (DutyKey key : job.dutyKeys()) {
      if (job.duty(key).kind() == DutyKind.OWN_HABIT) {
        continue;
      }
      int[] count = out.computeIfAbsent(key.at(), k -> new int[2]);
      count[1]++;
      if (job.answer(key).isEmpty()) {
        count[0]++;
      }
    }
    return out;
  }

  private static String spoken(
      Job job,
      Photo p,
      StopKey at,
      String time,
      boolean uncertain,
      boolean aside,
      List<String> findings) {
    StringBuilder out = new StringBuilder(p.name());
    if (!time.isEmpty()) {
      out.append(", ").append(time);
    }
    out.append(", ").append(at == null ? Words.say("walk.unsorted") : job.title(at));
    if (uncertain) {
      out.append(", ").append(Words.say("walk.uncertain"));
    }
    if (aside) {
      out.append(", ").append(Words.say("walk.aside"));
    }
    for (String f : findings) {
      out.append(", ").append(f);
    }
    return out.toString();
  }
}

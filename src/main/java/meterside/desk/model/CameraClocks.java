package meterside.desk.model;

import java.time.Instant;
import java.time.ZonedDateTime;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Objects;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import meterside.job.Camera;
import meterside.job.Clock;
import meterside.job.ClockBasis;
import meterside.job.Edit;
import meterside.job.Job;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.TimeBasis;
import meterside.job.TrueTime;
import meterside.route.Clocks;
import meterside.work.ClockPairs;

/**
 * The cameras' photos on one time axis, each at its true time as the clocks stand now.
 *
 * @param rows a row for each camera
 * @param from true time at the axis' left end
 * @param to true time at its right end
 * @param marks times to write on the axis
 */
public record CameraClocks(List<Row> rows, Instant from, Instant to, List<TimeMark> marks) {

  private static final Pattern OFFSET =
      Pattern.compile(
          "\\s*([+\\-−]?)\\s*(?:(\\d+)\\s*h)?\\s*(?:(\\d+)\\s*min)?\\s*(?:(\\d+(?:\\.\\d+)?)\\s*s?)?\\s*",
          Pattern.CASE_INSENSITIVE);

  /** Steps of the axis in minutes. */
  private static final int[] STEPS = {1, 2, 5, 10, 15, 30, 60, 120, 240, 720, 1440, 10080};

  private static final int MOST_MARKS = 9;

  /**
   * A camera.
   *
   * @param camera its id
   * @param label what it is
   * @param photos how many photos it has
   * @param ticks its photos with a time
   * @param state how its clock is set, and how that is known
   * @param said the rule in force for its clock, in one sentence
   * @param basis how its clock is known
   */
  public record Row(
      String camera,
      String label,
      int photos,
      List<Tick> ticks,
      String state,
      String said,
      ClockBasis basis) {
    /** Copies the list. */
    public Row {
      ticks = List.copyOf(ticks);
    }
  }

  /**
   * A photo on the axis.
   *
   * @param id the photo
   * @param at from 0, the left end, to 1
   * @param name file name
   * @param time true local time
   */
  public record Tick(PhotoId id, double at, String name, String time) {}

  /**
   * A time on the axis.
   *
   * @param at from 0 to 1
   * @param text local time
   */
  public record TimeMark(double at, String text) {}

  /** Copies the lists. */
  public CameraClocks {
    rows = List.copyOf(rows);
    marks = List.copyOf(marks);
  }

  /** The clocks of a job. */
  public static CameraClocks of(Job job) {
    Instant from = null;
    Instant to = null;
    for (Photo p : job.photos().values()) {
      TrueTime t = job.trueTime(p);
      if (known(t)) {
        from = from == null || t.at().isBefore(from) ? t.at() : from;
        to = to == null || t.at().isAfter(to) ? t.at() : to;
      }
    }
    if (from == null) {
      from = Instant.EPOCH;
      to = Instant.EPOCH.plusSeconds(3600);
    }
    // A little room at both ends, so that no tick lies on the edge.
    double room = Math.max(30, (to.getEpochSecond() - from.getEpochSecond()) * 0.03);
    Instant start = from.minusSeconds((long) room);
    Instant end = to.plusSeconds((long) room);
    List<Row> rows = new ArrayList<>();
    DateTimeFormatter seconds = DateTimeFormatter.ofPattern("HH:mm:ss", Locale.ROOT);
    for (String id : job.cameras().keySet()) {
      List<Tick> ticks = new ArrayList<>();
      for (Photo p : job.inTrueOrder()) {
        TrueTime t = job.trueTime(p);
        if (p.camera().equals(id) && known(t)) {
          ticks.add(
              new Tick(
                  p.id(),
                  share(t.at(), start, end),
                  p.name(),
                  seconds.format(t.at().atZone(job.zone()))));
        }
      }
      int photos = (int) job.photos().values().stream().filter(p -> p.camera().equals(id)).count();
      rows.add(
          new Row(
              id,
              job.cameras().get(id).label(),
              photos,
              ticks,
              state(job.clock(id)),
              Clocks.said(job, id),
              job.clock(id).basis()));
    }
    return new CameraClocks(rows, start, end, marks(job, start, end));
  }

  private static boolean known(TrueTime t) {
    return t.basis() != TimeBasis.NONE && t.basis() != TimeBasis.FILE;
  }

  private static double share(Instant at, Instant from, Instant to) {
    double all = to.toEpochMilli() - (double) from.toEpochMilli();
    return (at.toEpochMilli() - from.toEpochMilli()) / all;
  }

  private static List<TimeMark> marks(Job job, Instant from, Instant to) {
    long minutes = (to.getEpochSecond() - from.getEpochSecond()) / 60;
    int step = STEPS[STEPS.length - 1];
    for (int s : STEPS) {
      if (minutes / s <= MOST_MARKS) {
        step = s;
        break;
      }
    }
    DateTimeFormatter text =
        DateTimeFormatter.ofPattern(step >= 1440 ? "d MMM" : "HH:mm", Locale.US);
    ZonedDateTime at = from.atZone(job.zone());
    at = at.toLocalDate().atStartOfDay(job.zone());
    List<TimeMark> out = new ArrayList<>();
    while (at.toInstant().isBefore(to) && out.size() <= MOST_MARKS * 2) {
      if (!at.toInstant().isBefore(from)) {
        out.add(new TimeMark(share(at.toInstant(), from, to), text.format(at)));
        at = at.plusMinutes(step);
      } else {
        long behind = (from.getEpochSecond() - at.toEpochSecond()) / 60 / step;
        at = at.plusMinutes(Math.max(1, behind) * (long) step);
      }
    }
    return out;
  }

  /** "Clock set back 58 s (by hand)": how a clock stands. */
  static String state(Clock clock) {
    if (clock.basis() == ClockBasis.ASSUMED) {
      return Words.say("clocks.assumed");
    }
    String how =
        Words.say("clock." + clock.basis().name().toLowerCase(Locale.ROOT).replace('_', '-'));
    String text = PhotoFacts.offset(clock) + " (" + how + ")";
    if (clock.uncertaintySeconds() != null && clock.uncertaintySeconds() >= 0.5) {
      text += ", " + Words.say("clocks.within", Math.round(clock.uncertaintySeconds()));
    }
    return text.substring(0, 1).toUpperCase(Locale.ROOT) + text.substring(1);
  }

  /**
   * Reads how far a clock is off: "+58", "-1 h 2 min", "90 s". Positive if the camera is fast.
   *
   * @return milliseconds, or empty if it is not to be read
   */
  public static Optional<Long> offset(String typed) {
    Matcher m = OFFSET.matcher(typed);
    if (typed.isBlank() || !m.matches()) {
      return Optional.empty();
    }
    if (m.group(2) == null && m.group(3) == null && m.group(4) == null) {
      return Optional.empty();
    }
    double s =
        (m.group(2) == null ? 0 : Long.parseLong(m.group(2)) * 3600.0)
            + (m.group(3) == null ? 0 : Long.parseLong(m.group(3)) * 60.0)
            + (m.group(4) == null ? 0 : Double.parseDouble(m.group(4)));
    boolean slow = !m.group(1).isEmpty() && !m.group(1).equals("+");
    return Optional.of(Math.round((slow ? -s : s) * 1000));
  }

  /** How far apart two photos are by their true times, in a sentence; empty if that is unknown. */
  public static String apart(Job job, PhotoId one, PhotoId other) {
    TrueTime a = job.trueTime(job.photo(one));
    TrueTime b = job.trueTime(job.photo(other));
    if (!known(a) || !known(b)) {
      return "";
    }
    long millis = Math.abs(a.at().toEpochMilli() - b.at().toEpochMilli());
    return Words.say(
        "clocks.pair.apart", job.photo(one).name(), job.photo(other).name(), Clocks.spoken(millis));
  }

  /** Whether a photo carries a clock code that was read: nothing tells its time better. */
  public static boolean coded(Job job, PhotoId photo) {
    return job.codes(photo).stream().anyMatch(c -> c.moment().isPresent());
  }

  // ---- acts ----

  /** Sets a camera's clock by hand; photos are laid along the route again. */
  public static void set(JobDesk desk, String camera, long offsetMillis) {
    desk.act(
        true,
        () -> List.of(new Edit.SetClock(camera, new Clock(offsetMillis, ClockBasis.BY_HAND, null))),
        () -> {});
  }

  /** Names who held a camera; an empty name takes it away. Nothing is done if it is so already. */
  public static void heldBy(JobDesk desk, String camera, String name) {
    Camera c = desk.job().cameras().get(camera);
    String held = name.isBlank() ? null : name.strip();
    if (!Objects.equals(held, c.photographer())) {
      Camera next = new Camera(c.id(), c.make(), c.model(), c.serial(), c.folder(), held);
      desk.act(false, () -> List.of(new Edit.PutCamera(next)), () -> {});
    }
  }

  /** Sets a camera's clock by two photos of one moment. */
  public static void pair(JobDesk desk, PhotoId mine, PhotoId other) {
    Job job = desk.job();
    Photo m = job.photo(mine);
    desk.act(
        true,
        () -> List.of(new Edit.SetClock(m.camera(), ClockPairs.of(job, m, job.photo(other)))),
        () -> {});
  }

  /** Forgets what was said of a clock; GPS tells where it can. */
  public static void forget(JobDesk desk, String camera) {
    Job job = desk.job();
    Clocks.Estimate e = Clocks.estimate(job).get(camera);
    Clock next = e == null ? null : e.clock();
    desk.act(true, () -> List.of(new Edit.SetClock(camera, next)), () -> {});
  }
}

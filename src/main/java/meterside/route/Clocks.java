package meterside.route;

import java.time.Duration;
import java.time.Instant;
import java.time.LocalDateTime;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import meterside.job.Clock;
import meterside.job.ClockBasis;
import meterside.job.Code;
import meterside.job.Edit;
import meterside.job.Job;
import meterside.job.Photo;
import meterside.job.Sentences;

/**
 * How far each camera's clock is off, by GPS.
 *
 * <p>GPSTimeStamp is the UTC of the <em>fix</em>, not of the photo (CIPA DC-008), and a fix is
 * often older than the photo, never younger. So camera time minus GPS time is the clock's error
 * plus the age of the fix: fresh fixes lie together at the low end, stale ones are scattered above.
 * The estimate is the median of the densest three seconds, the lower of equally dense ones. A fix
 * that several photos share counts once, with the first photo that has it.
 *
 * <p>Refused: fixes with impossible dates; a single fix; a crowd too thin to be trusted; whole
 * days, since receivers are known to write a wrong date; and GPS times that merely repeat the
 * camera's local time.
 */
public final class Clocks {

  /** Fresh fixes lie within this many milliseconds of each other. */
  private static final long CROWD_MILLIS = 3_000;

  private static final long HOUR = 3_600_000L;
  private static final long DAY = 24 * HOUR;

  /** How near to a whole hour or day an offset must be to be called one, in milliseconds. */
  private static final long NEAR = 150_000;

  /** A clock this near to GPS counts as right, in milliseconds. */
  private static final long RIGHT = 2_000;

  /**
   * What is known of a camera's clock.
   *
   * @param photos photos of the camera
   * @param gps how many of them have a GPS time
   * @param clock the clock by GPS, or null if GPS does not tell
   * @param sentence what was found, for the inspector
   */
  public record Estimate(int photos, int gps, Clock clock, String sentence) {}

  private Clocks() {}

  /** An estimate for each camera of the job, whatever its clock is set to now. */
  public static Map<String, Estimate> estimate(Job job) {
    Map<String, List<Photo>> byCamera = new TreeMap<>();
    job.cameras().keySet().forEach(c -> byCamera.put(c, new ArrayList<>()));
    for (Photo p : job.photos().values()) {
      byCamera.computeIfAbsent(p.camera(), c -> new ArrayList<>()).add(p);
    }
    Map<String, Estimate> out = new TreeMap<>();
    byCamera.forEach((camera, photos) -> out.put(camera, estimate(job, camera, photos)));
    return out;
  }

  /**
   * The edits that set the clocks nobody has said anything about: by a clock code where one was
   * photographed, else by GPS; and where neither tells, by the offset that fits the walk best, if
   * that is clear enough.
   */
  public static List<Edit> settle(Job job) {
    List<Edit> out = new ArrayList<>();
    Map<String, Clock> codes = byCode(job);
    Job settled = job;
    for (Map.Entry<String, Estimate> e : estimate(job).entrySet()) {
      boolean open = job.clock(e.getKey()).basis() == ClockBasis.ASSUMED;
      Clock clock = codes.getOrDefault(e.getKey(), e.getValue().clock());
      if (clock != null && open && job.cameras().containsKey(e.getKey())) {
        Edit edit = new Edit.SetClock(e.getKey(), clock);
        out.add(edit);
        settled = edit.applyTo(settled);
      }
    }
    for (String camera : job.cameras().keySet()) {
      Optional<Clock> fits = ClockFit.fit(settled, camera);
      if (settled.clock(camera).basis() == ClockBasis.ASSUMED && fits.isPresent()) {
        Edit edit = new Edit.SetClock(camera, fits.get());
        out.add(edit);
        settled = edit.applyTo(settled);
      }
    }
    return out;
  }

  /**
   * Clocks by photographed clock codes: the code carries the moment at which it was shown, and the
   * photo was taken within the second in which it stood there. The median of several.
   */
  public static Map<String, Clock> byCode(Job job) {
    Map<String, List<Long>> offsets = new TreeMap<>();
    for (Photo p : job.photos().values()) {
      Optional<LocalDateTime> wall = p.recorded().wall();
      if (wall.isEmpty()) {
        continue;
      }
      for (Code code : job.codes(p.id())) {
        code.moment()
            .ifPresent(
                at -> {
                  ZoneOffset zone =
                      p.recorded()
                          .zoneOffset()
                          .orElseGet(() -> job.zone().getRules().getOffset(at));
                  long off =
                      Duration.between(LocalDateTime.ofInstant(at, zone), wall.get()).toMillis();
                  offsets.computeIfAbsent(p.camera(), c -> new ArrayList<>()).add(off);
                });
      }
    }
    Map<String, Clock> out = new TreeMap<>();
    offsets.forEach(
        (camera, all) -> {
          long[] sorted = all.stream().mapToLong(Long::longValue).sorted().toArray();
          double half = (sorted[sorted.length - 1] - sorted[0]) / 2000.0;
          out.put(camera, new Clock(median(sorted), ClockBasis.CODE, Math.max(1.0, half)));
        });
    return out;
  }

  /** A sentence on what a camera's clock rests on now, for the inspector. */
  public static String said(Job job, String camera) {
    Sentences s = Sentences.in(Clocks.class);
    Clock c = job.clock(camera);
    String off = spoken(Math.abs(c.offsetMillis()));
    String way = s.say(c.offsetMillis() > 0 ? "clock.fast" : "clock.slow");
    String within =
        c.uncertaintySeconds() == null ? "" : spoken(Math.round(c.uncertaintySeconds() * 1000));
    return switch (c.basis()) {
      case ASSUMED, GPS -> {
        Estimate e = estimate(job).get(camera);
        yield e == null || e.sentence() == null ? s.say("clock.no-gps", camera) : e.sentence();
      }
      case BY_HAND -> s.say("clock.by-hand", camera, off, way);
      case PAIR -> s.say("clock.by-pair", camera, off, way);
      case CODE -> s.say("clock.by-code", camera, off, way, within);
      case FITS_THE_WALK -> s.say("clock.fits", camera, off, way, within);
    };
  }

  private static Estimate estimate(Job job, String camera, List<Photo> photos) {
    Sentences s = Sentences.in(Clocks.class);
    int gps = 0;
    int repeats = 0;
    int compared = 0;
    Map<Instant, Long> leastByFix = new HashMap<>();
    for (Photo p : photos) {
      Optional<Instant> fix = p.recorded().gps();
      if (fix.isEmpty()) {
        continue;
      }
      gps++;
      Optional<LocalDateTime> wall = p.recorded().wall();
      if (wall.isEmpty()) {
        continue;
      }
      Optional<ZoneOffset> own = p.recorded().zoneOffset();
      // As wall times, since that is how a clock's offset is applied: a camera that believes it is
      // January must not be read with January's daylight saving.
      LocalDateTime fixWall =
          LocalDateTime.ofInstant(
              fix.get(), own.isPresent() ? own.get() : job.zone().getRules().getOffset(fix.get()));
      long diff = Duration.between(fixWall, wall.get()).toMillis();
      compared++;
      long asText = Duration.between(fix.get(), wall.get().toInstant(ZoneOffset.UTC)).toMillis();
      if (own.isPresent() && own.get().getTotalSeconds() != 0 && Math.abs(asText) < NEAR) {
        repeats++;
      }
      leastByFix.merge(fix.get(), diff, Math::min);
    }
    int n = photos.size();
    if (compared == 0) {
      long factory = photos.stream().filter(p -> p.recorded().looksLikeFactoryDate()).count();
      String key = factory * 2 > n ? "clock.factory" : "clock.no-gps";
      return new Estimate(n, gps, null, s.say(key, camera));
    }
    if (repeats * 2 > compared) {
      return new Estimate(n, gps, null, s.say("clock.gps-repeats-local", camera));
    }
    long[] diffs = leastByFix.values().stream().mapToLong(Long::longValue).sorted().toArray();
    int from = 0;
    int to = 0;
    for (int i = 0, j = 0; i < diffs.length; i++) {
      while (j < diffs.length && diffs[j] <= diffs[i] + CROWD_MILLIS) {
        j++;
      }
      if (j - i > to - from) {
        from = i;
        to = j;
      }
    }
    int crowd = to - from;
    if (crowd < 2 || crowd * 5 < diffs.length) {
      return new Estimate(n, gps, null, s.say("clock.gps-scattered", camera, gps));
    }
    long offset = median(Arrays.copyOfRange(diffs, from, to));
    long days = Math.round((double) offset / DAY);
    if (days != 0 && Math.abs(offset - days * DAY) < NEAR) {
      return new Estimate(n, gps, null, s.say("clock.whole-days", camera, Math.abs(days)));
    }
    double spread = Math.max(1.0, (diffs[to - 1] - diffs[from]) / 2000.0);
    // A fix is written in whole seconds and is a moment older than its photo: an offset within that
    // is none, and the fractions of a second that the camera wrote stay as they are.
    long told = Math.abs(offset) <= RIGHT ? 0 : offset;
    Clock clock = new Clock(told, ClockBasis.GPS, spread);
    return new Estimate(n, gps, clock, describe(camera, offset, crowd, s));
  }

  private static long median(long[] sorted) {
    int m = sorted.length / 2;
    return sorted.length % 2 == 1 ? sorted[m] : Math.floorDiv(sorted[m - 1] + sorted[m], 2);
  }

  private static String describe(String camera, long offset, int crowd, Sentences s) {
    if (Math.abs(offset) <= RIGHT) {
      return s.say("clock.right", camera, crowd);
    }
    String way = s.say(offset > 0 ? "clock.fast" : "clock.slow");
    String plain = s.say("clock.off", camera, spoken(Math.abs(offset)), way, crowd);
    long hours = Math.round((double) offset / HOUR);
    if (hours != 0 && Math.abs(offset - hours * HOUR) < NEAR) {
      String key = Math.abs(hours) == 1 ? "clock.one-hour" : "clock.whole-hours";
      return plain + " " + s.say(key, Math.abs(hours));
    }
    return plain;
  }

  /** Milliseconds as people say them: "1 h 0 min 3 s", "42.5 s". */
  public static String spoken(long millis) {
    long tenths = Math.round(millis / 100.0);
    long seconds = tenths / 10;
    if (seconds < 60) {
      return String.format(Locale.ROOT, tenths % 10 == 0 ? "%.0f s" : "%.1f s", tenths / 10.0);
    }
    if (seconds < 3600) {
      return seconds / 60 + " min " + seconds % 60 + " s";
    }
    if (seconds < 48 * 3600) {
      return seconds / 3600 + " h " + seconds % 3600 / 60 + " min " + seconds % 60 + " s";
    }
    return seconds / 86400 + " days " + seconds % 86400 / 3600 + " h";
  }
}

package meterside.intake;

import java.time.Duration;
import java.time.Instant;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.TreeSet;
import meterside.job.Code;
import meterside.job.Sentences;

/** Brings the clocks of a card's cameras in line, well enough to tell visits apart. */
final class CardClocks {
  private static final Sentences SENTENCES = Sentences.in(CardClocks.class);
  private static final long HOUR = 3600;

  /** A pause this long separates visits when two cameras are laid over each other, in seconds. */
  private static final long VISIT = 20 * 60;

  /** Photos of two cameras this near to each other are of one visit, in seconds. */
  private static final long NEAR = 4 * 60;

  private CardClocks() {}

  /**
   * The offset of each camera: its clock minus true local time.
   *
   * @param assumed takes a sentence for each camera whose clock was brought in line without code or
   *     GPS
   */
  static Map<String, Duration> offsets(
      Map<String, List<Card.Shot>> byCamera, ZoneId zone, List<String> assumed) {
    Map<String, Duration> out = new TreeMap<>();
    for (Map.Entry<String, List<Card.Shot>> e : byCamera.entrySet()) {
      Duration known = known(e.getValue(), zone);
      if (known != null) {
        out.put(e.getKey(), known);
      }
    }
    if (out.isEmpty() && !byCamera.isEmpty()) {
      String most =
          byCamera.entrySet().stream()
              .max(java.util.Comparator.comparingInt(e -> e.getValue().size()))
              .orElseThrow()
              .getKey();
      out.put(most, Duration.ZERO);
      if (byCamera.size() > 1) {
        assumed.add(SENTENCES.say("clock.right", most));
      }
    }
    TreeSet<Long> times = new TreeSet<>();
    for (String camera : out.keySet()) {
      for (Card.Shot s : byCamera.get(camera)) {
        if (s.wall() != null) {
          times.add(second(s.wall()) - out.get(camera).toSeconds());
        }
      }
    }
    for (Map.Entry<String, List<Card.Shot>> e : byCamera.entrySet()) {
      if (!out.containsKey(e.getKey())) {
        Long byCode = byJobCode(e.getValue(), byCamera, out);
        long off = byCode != null ? byCode : beside(e.getValue(), times);
        out.put(e.getKey(), Duration.ofSeconds(off));
        String key = off == 0 ? "clock.right" : byCode != null ? "clock.code" : "clock.beside";
        assumed.add(SENTENCES.say(key, e.getKey(), spoken(off)));
      }
    }
    return out;
  }

  private static String spoken(long off) {
    long a = Math.abs(off);
    if (a >= 48 * HOUR) {
      return (off < 0 ? "-" : "+") + a / 86400 + " d " + a % 86400 / HOUR + " h";
    }
    return (off < 0 ? "-" : "+") + a / HOUR + " h " + a % HOUR / 60 + " min";
  }

  private static long second(LocalDateTime t) {
    return t.toEpochSecond(java.time.ZoneOffset.UTC);
  }

  /** By clock code, or by GPS: the densest three seconds of camera time minus time of the fix. */
  private static Duration known(List<Card.Shot> shots, ZoneId zone) {
    List<Long> codes = new ArrayList<>();
    Map<Instant, Long> fixes = new HashMap<>();
    for (Card.Shot s : shots) {
      if (s.wall() == null) {
        continue;
      }
      for (Code c : s.codes()) {
        c.moment().ifPresent(m -> codes.add(millis(s.wall(), m, zone)));
      }
      if (s.gps() != null) {
        fixes.merge(s.gps(), millis(s.wall(), s.gps(), zone), Math::min);
      }
    }
    if (!codes.isEmpty()) {
      codes.sort(null);
      return Duration.ofMillis(codes.get(codes.size() / 2));
    }
    long[] d = fixes.values().stream().mapToLong(Long::longValue).sorted().toArray();
    int best = 0;
    long at = 0;
    for (int i = 0, j = 0; i < d.length; i++) {
      while (j < d.length && d[j] <= d[i] + 3000) {
        j++;
      }
      if (j - i > best) {
        best = j - i;
        at = d[(i + j - 1) / 2];
      }
    }
    return best >= 2 && best * 5 >= d.length ? Duration.ofMillis(at) : null;
  }

  private static long millis(LocalDateTime wall, Instant truth, ZoneId zone) {
    return Duration.between(LocalDateTime.ofInstant(truth, zone), wall).toMillis();
  }

  /** By a job code that a camera whose clock is in line photographed too; null if there is none. */
  private static Long byJobCode(
      List<Card.Shot> shots, Map<String, List<Card.Shot>> byCamera, Map<String, Duration> inLine) {
    Map<String, Long> theirs = new HashMap<>();
    inLine.forEach(
        (camera, off) ->
            first(byCamera.get(camera))
                .forEach((house, at) -> theirs.merge(house, at - off.toSeconds(), Math::min)));
    long[] d =
        first(shots).entrySet().stream()
            .filter(e -> theirs.containsKey(e.getKey()))
            .mapToLong(e -> e.getValue() - theirs.get(e.getKey()))
            .sorted()
            .toArray();
    if (d.length == 0) {
      return null;
    }
    long off = d[d.length / 2];
    return Math.abs(off) < NEAR ? 0 : off; // within the time it takes to use the second camera
  }

  private static Map<String, Long> first(Collection<Card.Shot> shots) {
    Map<String, Long> out = new HashMap<>();
    for (Card.Shot s : shots) {
      for (Code c : s.codes()) {
        if (c.kind() == Code.Kind.JOB && s.wall() != null) {
          out.merge(c.value(), second(s.wall()), Math::min);
        }
      }
    }
    return out;
  }

  /**
   * The offset that lays most photos beside those of the other cameras: none if that does well
   * enough, else whole hours, else what lays the beginning of a visit on that of another.
   */
  private static long beside(List<Card.Shot> shots, TreeSet<Long> times) {
    long[] own =
        shots.stream()
            .filter(s -> s.wall() != null)
            .mapToLong(s -> second(s.wall()))
            .sorted()
            .toArray();
    if (own.length == 0 || times.isEmpty()) {
      return 0;
    }
    double plain = share(own, 0, times);
    if (plain >= 0.6) {
      return 0;
    }
    long best = 0;
    double most = plain + 0.25;
    List<Long> tries = new ArrayList<>();
    for (int h = 1; h <= 14; h++) {
      tries.add(h * HOUR);
      tries.add(-h * HOUR);
    }
    int hours = tries.size();
    long[] all = times.stream().mapToLong(Long::longValue).toArray();
    for (long a : starts(own)) {
      for (long b : starts(all)) {
        tries.add(a - b);
      }
    }
    for (int i = 0; i < tries.size(); i++) {
      // A whole hour is the likelier mistake.
      double s = share(own, tries.get(i), times) - (i < hours ? 0 : 0.1);
      if (s > most) {
        most = s;
        best = tries.get(i);
      }
    }
    return best;
  }

  private static double share(long[] own, long off, TreeSet<Long> times) {
    int near = 0;
    for (long t : own) {
      Long before = times.floor(t - off);
      Long after = times.ceiling(t - off);
      boolean beside =
          (before != null && t - off - before <= NEAR)
              || (after != null && after - t + off <= NEAR);
      near += beside ? 1 : 0;
    }
    return near / (double) own.length;
  }

  private static long[] starts(long[] sorted) {
    return java.util.stream.IntStream.range(0, sorted.length)
        .filter(i -> i == 0 || sorted[i] - sorted[i - 1] >= VISIT)
        .mapToLong(i -> sorted[i])
        .toArray();
  }
}

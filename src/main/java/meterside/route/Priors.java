package meterside.route;

import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HashMap;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import meterside.job.Job;
import meterside.job.Phase;
import meterside.job.Photo;
import meterside.job.Placement;
import meterside.job.Stop;
import meterside.job.StopKey;

/**
 * What is expected of a walk before its photos are looked at.
 *
 * @param source where the figures come from
 * @param stops by stop id
 * @param otherShare expected share of the photos that are of other systems, 0 to 1
 * @param otherStart probability that a run of other systems comes after a run
 * @param returnToGrounding probability that the walk turns to grounding out of turn after a run
 *     inside
 * @param turnBack probability that the walk turns to any other stop it has passed after a run
 *     inside, and then goes on where it was
 * @param backward probability that the walk goes back to a stop it has passed and on from there
 * @param excursion probability of a short turn to a stop out of turn; only photos that are fixed
 *     can be such a turn
 */
public record Priors(
    String source,
    Map<String, OfStop> stops,
    double otherShare,
    double otherStart,
    double returnToGrounding,
    double turnBack,
    double backward,
    double excursion) {

  /**
   * What is expected of a stop.
   *
   * @param share expected share of the electrical photos if the stop is visited
   * @param absent probability that it has no photo
   * @param outdoors probability that its photos have daylight
   * @param brightness how much brighter than usual it is, in deviations of a run's light: wires
   *     against the sky are brighter, the ground by a wall and attics darker
   */
  public record OfStop(double share, double absent, double outdoors, double brightness) {}

  private static final class Holder {
    static final Priors STANDARD = load();
  }

  /** Copies the map. */
  public Priors {
    stops = Map.copyOf(new TreeMap<>(stops));
  }

  /** The priors that come with the program, for a first job. */
  public static Priors standard() {
    return Holder.STANDARD;
  }

  private static Priors load() {
    try (InputStream in = Priors.class.getResourceAsStream("priors.json")) {
      return new ObjectMapper().readValue(in, Priors.class);
    } catch (IOException e) {
      throw new UncheckedIOException("unreadable in this build: priors.json", e);
    }
  }

  /** What is expected of a stop; by its phase if nothing is known of it. */
  OfStop of(Stop stop) {
    OfStop known = stops.get(stop.id());
    return known != null
        ? known
        : new OfStop(0.07, 0.1, stop.phase() == Phase.OUTSIDE ? 0.95 : 0.05, 0);
  }

  /** How many jobs the priors that come with the program weigh against confirmed ones. */
  private static final double WEIGHT = 1.5;

  /** The same for other systems: whether one takes them with the same camera is a firm habit. */
  private static final double OTHER_WEIGHT = 0.4;

  /** Runs of a usual walk. */
  private static final int RUNS = 15;

  /**
   * Priors that go by confirmed jobs: the mean of these priors and of what was counted, these
   * priors weighing as one and a half jobs, for other systems as less than half a job. A job is
   * confirmed where at least half of its photos lie where they were put by hand or by a code, or
   * where a report was issued from it; others are left out.
   */
  public Priors learn(List<Job> jobs) {
    Map<String, double[]> counted = new TreeMap<>(); // share, absences, jobs with the stop
    double other = 0;
    double otherRuns = 0;
    double runs = 0;
    int used = 0;
    for (Job job : jobs) {
      if (!confirmed(job)) {
        continue;
      }
      used++;
      Map<String, Integer> count = new HashMap<>();
      String before = null;
      for (Photo p : job.inTrueOrder()) {
        String stop = job.placement(p.id()).map(at -> at.at().stop()).orElse(null);
        if (stop == null) {
          continue;
        }
        count.merge(stop, 1, Integer::sum);
        boolean starts = !stop.equals(before);
        runs += starts ? 1 : 0;
        otherRuns += starts && stop.equals(StopKey.OTHER_SYSTEMS) ? 1 : 0;
        before = stop;
      }
      double all = count.values().stream().mapToInt(Integer::intValue).sum();
      double others = count.getOrDefault(StopKey.OTHER_SYSTEMS, 0);
      other += others / Math.max(1, all);
      for (Stop stop : job.route().stops()) {
        double[] c = counted.computeIfAbsent(stop.id(), k -> new double[3]);
        int photos = count.getOrDefault(stop.id(), 0);
        c[0] += photos / Math.max(1, all - others);
        c[1] += photos == 0 ? 1 : 0;
        c[2]++;
      }
    }
    if (used == 0) {
      return this;
    }
    Map<String, OfStop> learned = new TreeMap<>(stops);
    counted.forEach(
        (id, c) ->
            learned.computeIfPresent(
                id,
                (k, was) -> {
                  double present = c[2] - c[1];
                  return new OfStop(
                      (WEIGHT * was.share() + c[0]) / (WEIGHT + present),
                      (WEIGHT * was.absent() + 0.5 * c[1]) / (WEIGHT + 0.5 * c[2]),
                      was.outdoors(),
                      was.brightness());
                }));
    double otherNow = (OTHER_WEIGHT * otherShare + other) / (OTHER_WEIGHT + used);
    double startNow = (OTHER_WEIGHT * RUNS * otherStart + otherRuns) / (OTHER_WEIGHT * RUNS + runs);
    return new Priors(
        source + "; learned from " + used + " jobs",
        learned,
        Math.min(0.8, otherNow),
        Math.min(0.3, startNow),
        returnToGrounding,
        turnBack,
        backward,
        excursion);
  }

  /** Whether a job's sorting can be taken as right. */
  public static boolean confirmed(Job job) {
    long fixed =
        job.intakeOrder().stream()
            .filter(id -> job.placement(id).filter(Placement::fixed).isPresent())
            .count();
    boolean mostly = fixed > 0 && fixed * 2 >= job.intakeOrder().size();
    return mostly || !job.reports().isEmpty();
  }

  /** The first 16 hexadecimal digits of the SHA-256 of these figures, to tell priors apart. */
  public String hash() {
    StringBuilder text = new StringBuilder();
    new TreeMap<>(stops).forEach((id, of) -> text.append(id).append(of).append('\n'));
    text.append(otherShare).append(' ').append(otherStart).append(' ');
    text.append(returnToGrounding)
        .append(' ')
        .append(turnBack)
        .append(' ')
        .append(backward)
        .append(' ')
        .append(excursion);
    try {
      byte[] digest =
          MessageDigest.getInstance("SHA-256")
              .digest(text.toString().getBytes(StandardCharsets.UTF_8));
      return HexFormat.of().formatHex(digest, 0, 8);
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java has SHA-256", e);
    }
  }
}

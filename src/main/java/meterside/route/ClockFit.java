package meterside.route;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.TreeSet;
import meterside.job.Clock;
import meterside.job.ClockBasis;
import meterside.job.Edit;
import meterside.job.Job;
import meterside.job.Photo;

/**
 * The clock of a camera that recorded nothing about it, from how its photos fit among those of the
 * others. First a rough look at many offsets (some minutes, whole and half hours, and what lays the
 * beginnings of the day on each other): photos near in time should have like light, and there
 * should be photos near. Then the best few are laid along the route by the model of a walk, and
 * that offset is taken under which all that was recorded is likeliest, if it is clearly likelier
 * than a right clock.
 */
final class ClockFit {

  /** Fewer photos than this tell nothing. */
  private static final int ENOUGH = 8;

  /** How much likelier than a right clock an offset must be, as a logarithm. */
  private static final double CLEAR = 9;

  /** Offsets within this of the likeliest are not ruled out, as a logarithm. */
  private static final double NOT_RULED_OUT = 2;

  private static final int PEAKS = 8;
  private static final long SECOND = 1000;
  private static final long MINUTE = 60 * SECOND;
  private static final long HALF_HOUR = 30 * MINUTE;

  private ClockFit() {}

  /** The offset of a camera's clock that fits the walk best; empty if none is clear enough. */
  static Optional<Clock> fit(Job job, String camera) {
    if (job.clock(camera).basis() != ClockBasis.ASSUMED || job.cameras().size() < 2) {
      return Optional.empty();
    }
    List<Photo> own = new ArrayList<>();
    List<Photo> others = new ArrayList<>();
    for (Photo p : job.photos().values()) {
      if (!Sorter.showsACard(job, p)
          && Sorter.credible(job.trueTime(p))
          && p.recorded().wall().isPresent()) {
        (p.camera().equals(camera) ? own : others).add(p);
      }
    }
    boolean anchored =
        others.stream().anyMatch(p -> job.clock(p.camera()).basis() != ClockBasis.ASSUMED);
    boolean smaller = own.size() < others.size();
    if (own.size() < ENOUGH || others.size() < ENOUGH || !(anchored || smaller)) {
      return Optional.empty();
    }
    Rough rough = new Rough(job, own, others);
    double plain = whole(job, camera, 0);
    long best = 0;
    double most = plain;
    for (long off : rough.peaks()) {
      double here = whole(job, camera, off);
      if (here > most) {
        most = here;
        best = off;
      }
    }
    double[] around = new double[17];
    long step = 15 * SECOND;
    long centre = best;
    for (int i = 0; i < around.length; i++) {
      long off = centre + (i - 8) * step;
      around[i] = whole(job, camera, off);
      if (around[i] > most) {
        most = around[i];
        best = off;
      }
    }
    if (best == 0 || most < plain + CLEAR) {
      return Optional.empty();
    }
    double low = 0;
    double high = 0;
    for (int i = 0; i < around.length; i++) {
      if (around[i] >= most - NOT_RULED_OUT) {
        double away = (centre + (i - 8) * step - best) / (double) SECOND;
        low = Math.min(low, away);
        high = Math.max(high, away);
      }
    }
    double uncertain = Math.max(-low, high) + step / (double) SECOND;
    return Optional.of(new Clock(best, ClockBasis.FITS_THE_WALK, uncertain));
  }

  /** How likely all that was recorded is under an offset, as a logarithm. */
  private static double whole(Job job, String camera, long offset) {
    Job moved =
        new Edit.SetClock(camera, new Clock(offset, ClockBasis.FITS_THE_WALK, null)).applyTo(job);
    List<Photo> chain =
        moved.inTrueOrder().stream()
            .filter(p -> !Sorter.showsACard(job, p) && Sorter.credible(moved.trueTime(p)))
            .toList();
    Evidence ev = Sorter.evidence(moved, chain, true, Sorter.Knowledge.standard());
    Arrays.fill(ev.fixed(), -1);
    WalkModel model =
        new WalkModel(job.route(), Priors.standard(), chain.size(), 0.95 * chain.size());
    return new Inference(model, ev, Levels.of(Levels.Habit.USUAL, ev, job.route().stops().size()))
        .logEvidence();
  }

  /** The rough look. */
  private static final class Rough {
    private final long[] times;
    private final double[] light;
    private final long[] ownTimes;
    private final double[] ownLight;

    Rough(Job job, List<Photo> own, List<Photo> others) {
      List<Photo> sorted =
          others.stream().sorted(Comparator.comparing((Photo p) -> at(job, p))).toList();
      List<Photo> ownSorted =
          own.stream().sorted(Comparator.comparing((Photo p) -> at(job, p))).toList();
      times = sorted.stream().mapToLong(p -> at(job, p).toEpochMilli()).toArray();
      light = sorted.stream().mapToDouble(Rough::ev).toArray();
      ownTimes = ownSorted.stream().mapToLong(p -> at(job, p).toEpochMilli()).toArray();
      ownLight = ownSorted.stream().mapToDouble(Rough::ev).toArray();
    }

    private static Instant at(Job job, Photo p) {
      return job.trueTime(p).at();
    }

    private static double ev(Photo p) {
      return p.exposure() == null ? Double.NaN : p.exposure().ev100().orElse(Double.NaN);
    }

    /** The offsets worth a closer look, the best first. */
    List<Long> peaks() {
      TreeSet<Long> tries = new TreeSet<>();
      for (long d = -HALF_HOUR; d <= HALF_HOUR; d += 10 * SECOND) {
        tries.add(d);
      }
      for (int h = -28; h <= 28; h++) {
        for (long d = -3 * MINUTE; d <= 3 * MINUTE; d += 20 * SECOND) {
          tries.add(h * HALF_HOUR + d);
        }
      }
      long first = ownTimes[0] - times[0];
      long last = ownTimes[ownTimes.length - 1] - times[times.length - 1];
      for (long d = -10 * MINUTE; d <= 10 * MINUTE; d += 20 * SECOND) {
        tries.add(first + d);
        tries.add(last + d);
      }
      record Tried(long offset, double score) {}
      List<Tried> scored =
          tries.stream()
              .map(o -> new Tried(o, score(o)))
              .sorted(Comparator.comparingDouble((Tried t) -> -t.score()))
              .toList();
      List<Long> out = new ArrayList<>();
      for (Tried t : scored) {
        if (out.size() < PEAKS && out.stream().allMatch(o -> Math.abs(o - t.offset()) > MINUTE)) {
          out.add(t.offset());
        }
      }
      return out;
    }

    private double score(long offset) {
      double sum = 0;
      for (int i = 0; i < ownTimes.length; i++) {
        long t = ownTimes[i] - offset;
        int j = Arrays.binarySearch(times, t);
        int right = j >= 0 ? j : -j - 1;
        int left = right - 1;
        long toRight = right < times.length ? times[right] - t : Long.MAX_VALUE / 2;
        long toLeft = left >= 0 ? t - times[left] : Long.MAX_VALUE / 2;
        long near = Math.min(toRight, toLeft);
        double seconds = Math.max(1, near / 1000.0);
        sum -= Math.min(4, Math.max(0, Math.log(seconds / 20)));
        double a = left >= 0 ? light[left] : Double.NaN;
        double b = right < times.length ? light[right] : Double.NaN;
        if (near < 3 * MINUTE && !Double.isNaN(ownLight[i])) {
          double like = Math.max(like(ownLight[i], a), like(ownLight[i], b));
          sum += like;
        }
      }
      return sum;
    }

    private static double like(double x, double y) {
      return Double.isNaN(y) ? 0 : Math.max(-3, 1 - (x - y) * (x - y) / 6);
    }
  }
}

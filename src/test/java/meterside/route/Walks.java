package meterside.route;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Random;
import meterside.job.RoutePlan;
import meterside.job.StopKey;

/**
 * Simulated walks: invented photos with the counts and habits that inspectors voice (20 to 60
 * electrical photos a job and about 300 in all, wide then whole then detail, cover closed then open
 * then close-ups, breaks for notes, a second camera for details, turns back to grounding). Every
 * walk draws its own habits, so that nothing can be tuned to one.
 */
final class Walks {

  /** A photo of a walk: what the camera saw and where it really belongs. */
  record Shot(double seconds, double light, double east, double north, int label, float[] look) {}

  /**
   * A walk.
   *
   * @param seed what it was drawn from
   * @param shots in time order
   * @param gps whether positions were recorded
   */
  record Walk(long seed, RoutePlan route, List<Shot> shots, boolean gps) {

    /** What the sorter sees of it. */
    Evidence evidence() {
      Evidence ev = Evidence.none(shots.size());
      for (int t = 0; t < shots.size(); t++) {
        Shot s = shots.get(t);
        ev.light()[t] = s.light();
        if (t > 0) {
          Shot b = shots.get(t - 1);
          double pause = Math.max(0.5, Math.min(1800, s.seconds() - b.seconds()));
          ev.pause()[t] = Math.log(pause);
          if (gps) {
            double m = Math.hypot(s.east() - b.east(), s.north() - b.north());
            ev.move()[t] = Math.log(Math.max(0.3, Math.min(200, m)));
          }
        }
      }
      return ev;
    }
  }

  /** How a walk's maker differs from others; each walk draws its own from these ranges. */
  private static final double[] SHARE = {7, 6, 6, 5, 7, 6, 6, 16, 10};

  /** How much brighter than usual a stop is, in EV at full strength; walks draw the strength. */
  private static final double[] BRIGHT = {1, 0.7, 0.7, 0, -0.3, -0.9, -0.2, -0.1, -1.1};

  /** How easy a walk is to tell apart. */
  enum Style {
    /** Usual: walking between stops takes a while, stops have light of their own. */
    USUAL,
    /** Hurried: pauses between stops are hardly longer than others, all stops have one light. */
    HURRIED
  }

  private final Style style;
  private double strength;
  private final Random random;
  private final RoutePlan route;
  private final int total;
  private double shortPause;
  private double itemPause;
  private double stopPause;
  private double sunLevel;
  private double roomLevel;
  private double stopLight;
  private double photoLight;
  private double clockNow;
  private final List<Shot> shots = new ArrayList<>();
  private double east;
  private double north;
  private double gpsEast;
  private double gpsNorth;
  private double level;

  private Walks(long seed, RoutePlan route, int total, Style style) {
    this.style = style;
    random = new Random(seed * 0x9E3779B97F4A7C15L + 12345);
    this.route = route;
    this.total = total;
  }

  /**
   * Draws a walk.
   *
   * @param total about how many photos it has
   * @param otherShare share of the photos that are of other systems
   */
  static Walk draw(long seed, RoutePlan route, int total, double otherShare) {
    return draw(seed, route, total, otherShare, Style.USUAL);
  }

  /** Draws a walk of a style. */
  static Walk draw(long seed, RoutePlan route, int total, double otherShare, Style style) {
    return new Walks(seed, route, total, style).walk(seed, otherShare);
  }

  /** How many photos a walk has: 50 to 700, as many small ones as large by logarithm. */
  static int size(long seed) {
    double u = new Random(seed * 0x9E3779B97F4A7C15L + 7).nextDouble();
    return (int) Math.round(50 * Math.pow(14, u));
  }

  /** Numbers in a simulated look. */
  private static final int LOOK = 12;

  /** Other systems have as many kinds of subject. */
  private static final int SUBJECTS = 6;

  /** What stops and other systems' subjects look like on average, the same in every walk. */
  private static final double[][] TYPICAL = new double[12 + SUBJECTS][LOOK];

  static {
    Random r = new Random(20260512);
    for (double[] typical : TYPICAL) {
      for (int i = 0; i < LOOK; i++) {
        typical[i] = r.nextGaussian();
      }
    }
  }

  private Random lookRandom;
  private final double[] houseLook = new double[LOOK];

  /**
   * A look: what is typical, this house's own, and much noise (more than a third of the photos have
   * their nearest neighbour at another stop).
   */
  private float[] look(int label) {
    if (lookRandom == null) {
      lookRandom = new Random(random.nextLong() ^ total);
      for (int i = 0; i < LOOK; i++) {
        houseLook[i] = 0.4 * lookRandom.nextGaussian();
      }
    }
    double[] typical = TYPICAL[label < 12 ? label : 12 + lookRandom.nextInt(SUBJECTS)];
    float[] out = new float[LOOK];
    for (int i = 0; i < LOOK; i++) {
      out[i] = (float) (typical[i] + houseLook[i] + 1.6 * lookRandom.nextGaussian());
    }
    return out;
  }

  private double between(double lo, double hi) {
    return lo + (hi - lo) * random.nextDouble();
  }

  private double logNormal(double median, double sigma) {
    return median * Math.exp(sigma * random.nextGaussian());
  }

  /** A Gamma variate of mean 1 and this shape, as a mean of squares and exponentials. */
  private double gamma(double shape) {
    double sum = 0;
    int whole = (int) shape;
    for (int i = 0; i < whole; i++) {
      sum -= Math.log(1 - random.nextDouble());
    }
    double g = random.nextGaussian();
    sum += (shape - whole) * g * g;
    return sum / shape;
  }

  private Walk walk(long seed, double otherShare) {
    shortPause = between(4, 9);
    itemPause = between(10, 24);
    boolean hurried = style == Style.HURRIED;
    stopPause = hurried ? between(22, 60) : between(28, 80);
    strength = hurried ? 0 : between(0.2, 1.2);
    sunLevel = between(11, 14.8);
    roomLevel = between(4, 7.8);
    stopLight = between(0.3, 1.1);
    photoLight = between(0.5, 1.2);
    boolean gps = random.nextDouble() < 0.6;
    boolean mainOutside = random.nextDouble() < 0.2;
    double electrical = total * (1 - otherShare);
    double roomsShare = between(0.18, 0.35);
    int ordered = SHARE.length;
    double sum = Arrays.stream(SHARE).sum();
    maybeOthers(otherShare, 0.5);
    for (int stop = 0; stop < ordered; stop++) {
      if (random.nextDouble() < 0.06) {
        continue;
      }
      boolean outside = stop < 6 || (stop == 6 && mainOutside);
      double mean = SHARE[stop] / sum * electrical * (1 - roomsShare);
      int count = Math.max(1, (int) Math.round(mean * gamma(style == Style.HURRIED ? 3 : 5)));
      arrive(outside, stop == 6 ? between(20, 90) : 0);
      level += strength * BRIGHT[stop];
      shoot(count, stop, outside);
      if (stop >= 6 && random.nextDouble() < 0.12) {
        arrive(false, 0);
        shoot(1 + random.nextInt(3), 5, false);
      }
      maybeOthers(otherShare, 0.12);
    }
    int rooms = Math.max(1, (int) Math.round(electrical * roomsShare));
    arrive(false, between(0, 40));
    int taken = 0;
    while (taken < rooms) {
      double kind = random.nextDouble();
      int label = kind < 0.55 ? 9 : kind < 0.8 ? 10 : 11;
      int count = Math.min(rooms - taken, 1 + random.nextInt(4));
      if (style == Style.USUAL && random.nextDouble() < 0.3) {
        level = roomLevel + 0.5 + stopLight * random.nextGaussian(); // another room
      }
      shoot(count, label, false);
      taken += count;
      if (otherShare > 0 && random.nextDouble() < 0.1) {
        clockNow += logNormal(itemPause * 1.3, 0.6);
        shoot(1 + random.nextInt(6), route.indexOf(StopKey.OTHER_SYSTEMS), false);
      }
      clockNow += logNormal(itemPause * 1.3, 0.6);
    }
    maybeOthers(otherShare, 0.3);
    List<Shot> sorted = new ArrayList<>(shots);
    sorted.sort(Comparator.comparingDouble(Shot::seconds));
    return new Walk(seed, route, sorted, gps);
  }

  private void maybeOthers(double share, double chance) {
    if (share > 0 && random.nextDouble() < chance * 3) {
      boolean outside = random.nextBoolean();
      arrive(outside, 0);
      int mean = Math.max(1, (int) Math.round(total * share / 5));
      int label = route.indexOf(StopKey.OTHER_SYSTEMS);
      shoot(Math.max(1, (int) Math.round(mean * gamma(1.5))), label, outside);
    }
  }

  private void arrive(boolean outside, double extra) {
    clockNow += logNormal(stopPause, 0.65) + extra;
    level = (outside ? sunLevel : roomLevel) + stopLight * random.nextGaussian();
    double step = between(2, 9);
    double way = between(0, 2 * Math.PI);
    east += step * Math.cos(way);
    north += step * Math.sin(way);
  }

  /** Photos at one stop: items, each wide, whole, detail; now and then a break for notes. */
  private void shoot(int count, int label, boolean outside) {
    int inItem = 0;
    int itemSize = 1 + random.nextInt(4);
    for (int i = 0; i < count; i++) {
      if (i > 0) {
        double pause;
        if (random.nextDouble() < 0.03) {
          pause = logNormal(45, 0.6);
        } else if (inItem >= itemSize) {
          pause = logNormal(itemPause, 0.55);
          inItem = 0;
          itemSize = 1 + random.nextInt(4);
        } else {
          pause = logNormal(shortPause, 0.5);
        }
        clockNow += pause;
      }
      inItem++;
      double light = level + photoLight * random.nextGaussian();
      if (!outside && random.nextDouble() < 0.05) {
        light += between(2, 6); // a lamp or a bright window
      }
      gpsEast = 0.8 * gpsEast + 0.6 * 3 * random.nextGaussian();
      gpsNorth = 0.8 * gpsNorth + 0.6 * 3 * random.nextGaussian();
      shots.add(new Shot(clockNow, light, east + gpsEast, north + gpsNorth, label, look(label)));
    }
  }
}

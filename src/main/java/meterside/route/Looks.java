package meterside.route;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Map;
import meterside.job.RoutePlan;
import meterside.job.Stop;

/**
 * What confirmed photos tell of where a photo lies that looks like some of them: nearest neighbours
 * (T. M. Cover and P. E. Hart, "Nearest neighbor pattern classification", IEEE Transactions on
 * Information Theory 13, 1967), weighted by nearness.
 *
 * <p>With the shares π of the stops among the examples, and weights w of the nearest ones, a stop's
 * probability is (Σ w at it + α π) / (Σ w + α); over π that is how much likelier the look is there
 * than in general. α keeps a few neighbours from being believed too much; the root taken of the
 * ratio allows for neighbouring photos of a walk looking alike for reasons of their own.
 *
 * <p>A look is a vector of numbers of one length; which numbers is the picture room's business.
 */
public final class Looks {

  /**
   * A confirmed photo.
   *
   * @param look its look
   * @param stop id of the stop it lies at
   */
  public record Example(float[] look, String stop) {}

  /** No examples: looks say nothing. */
  public static final Looks NONE = new Looks(List.of());

  private static final int NEIGHBOURS = 15;
  private static final double ALPHA = 2;
  private static final double POWER = 0.6;

  /** With fewer examples than this, looks say nothing. */
  private static final int ENOUGH = 20;

  private final List<Example> examples;
  private final Map<String, Double> shares = new HashMap<>();

  /**
   * What was worked out for a look, the very same array, on one route; solving again asks again.
   */
  private final Map<float[], double[]> known = new IdentityHashMap<>();

  private RoutePlan knownFor;

  private Looks(List<Example> examples) {
    this.examples = examples;
    for (Example e : examples) {
      shares.merge(e.stop(), 1.0 / examples.size(), Double::sum);
    }
  }

  /** Looks learned from these photos; those of another length than the first are left out. */
  public static Looks of(List<Example> confirmed) {
    List<Example> same = new ArrayList<>();
    for (Example e : confirmed) {
      if (same.isEmpty() || e.look().length == same.get(0).look().length) {
        same.add(e);
      }
    }
    return new Looks(List.copyOf(same));
  }

  /**
   * How much likelier a look is at each stop of a route than in general, or null if too little is
   * known. A stop without examples keeps the ratio 1.
   *
   * @param look the photo's look, or null if it has none
   */
  double[] ratios(float[] look, RoutePlan route) {
    if (look == null || examples.size() < ENOUGH || look.length != examples.get(0).look().length) {
      return null;
    }
    synchronized (known) {
      if (!route.equals(knownFor)) {
        known.clear();
        knownFor = route;
      }
      return known.computeIfAbsent(look, l -> work(l, route));
    }
  }

  private double[] work(float[] look, RoutePlan route) {
    int n = examples.size();
    int k = Math.min(NEIGHBOURS, n / 2);
    double[] distance = new double[n];
    for (int i = 0; i < n; i++) {
      distance[i] = distance(look, examples.get(i).look());
    }
    double[] sorted = distance.clone();
    Arrays.sort(sorted);
    double reach = Math.max(1e-12, sorted[k - 1]);
    Map<String, Double> weight = new HashMap<>();
    double all = 0;
    for (int i = 0; i < n; i++) {
      if (distance[i] <= reach) {
        double w = Math.exp(-2 * distance[i] / reach);
        weight.merge(examples.get(i).stop(), w, Double::sum);
        all += w;
      }
    }
    // Weights are scaled so that all neighbours at the same distance count as k.
    double scale = k / Math.max(all, 1e-300);
    double[] out = new double[route.stops().size()];
    for (int i = 0; i < out.length; i++) {
      Stop stop = route.stops().get(i);
      double share = shares.getOrDefault(stop.id(), 0.0);
      double at = weight.getOrDefault(stop.id(), 0.0) * scale;
      out[i] = share == 0 ? 1 : Math.pow((at + ALPHA * share) / (k + ALPHA) / share, POWER);
    }
    return out;
  }

  /** Squared Euclidean distance. */
  private static double distance(float[] a, float[] b) {
    double sum = 0;
    for (int i = 0; i < a.length; i++) {
      double d = a[i] - b[i];
      sum += d * d;
    }
    return sum;
  }
}

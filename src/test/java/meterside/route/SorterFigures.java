package meterside.route;

import java.util.Arrays;
import java.util.Locale;
import meterside.job.RoutePlan;
import meterside.trade.Trade;

/** Figures of the sorting on simulated walks; run by hand, see docs/sorting.md. */
final class SorterFigures {
  private SorterFigures() {}

  /** Share of the photos of a walk that are laid right, with the rooms as one phase. */
  static double right(Walks.Walk walk, Evidence ev, Sorter.Solution solution) {
    int right = 0;
    for (int t = 0; t < ev.photos(); t++) {
      if (phase(walk.shots().get(t).label()) == phase(laid(ev, solution, t))) {
        right++;
      }
    }
    return right / (double) ev.photos();
  }

  static int laid(Evidence ev, Sorter.Solution solution, int t) {
    return ev.fixed()[t] >= 0
        ? ev.fixed()[t]
        : Sorter.best(solution.inference().labels(t), solution.model());
  }

  /** The rooms' three stops count as one. */
  static int phase(int label) {
    return label == 10 || label == 11 ? 9 : label;
  }

  /** Cutting at the longest pauses: what the model is measured against. */
  static double cutAtPauses(Walks.Walk walk, Evidence ev) {
    int n = ev.photos();
    Integer[] order = new Integer[n - 1];
    Arrays.setAll(order, i -> i + 1);
    Arrays.sort(order, (a, b) -> Double.compare(ev.pause()[b], ev.pause()[a]));
    boolean[] cut = new boolean[n];
    for (int i = 0; i < Math.min(9, order.length); i++) {
      cut[order[i]] = true;
    }
    int at = 0;
    int right = 0;
    for (int t = 0; t < n; t++) {
      at += cut[t] ? 1 : 0;
      right += phase(walk.shots().get(t).label()) == at ? 1 : 0;
    }
    return right / (double) n;
  }

  public static void main(String[] args) {
    RoutePlan route = Trade.standard().route("overhead");
    int walks = args.length > 0 ? Integer.parseInt(args[0]) : 200;
    long first = args.length > 1 ? Long.parseLong(args[1]) : 1;
    Walks.Style style =
        args.length > 3 && args[3].equals("hurried") ? Walks.Style.HURRIED : Walks.Style.USUAL;
    boolean byWorth = args.length > 2 && args[2].equals("worth");
    int[] asked = {0, 1, 3, 5, 10};
    double[] sums = new double[asked.length];
    double cuts = 0;
    double[] bins = new double[10];
    double[] hits = new double[10];
    for (long seed = first; seed < first + walks; seed++) {
      Walks.Walk walk = Walks.draw(seed, route, Walks.size(seed), 0, style);
      Evidence ev = walk.evidence();
      cuts += cutAtPauses(walk, ev);
      int answers = 0;
      for (int a = 0; a < asked.length; a++) {
        Sorter.Solution s = Sorter.solve(route, ev, Priors.standard());
        while (answers < asked[a]) {
          int q = byWorth ? mostWorth(ev, s) : leastCertain(ev, s);
          ev.fixed()[q] = walk.shots().get(q).label();
          answers++;
          s = Sorter.solve(route, ev, Priors.standard());
        }
        sums[a] += right(walk, ev, s);
        if (a == 0) {
          for (int t = 0; t < ev.photos(); t++) {
            int label = laid(ev, s, t);
            double c = Sorter.confidence(s.inference().labels(t), label, s.model());
            int bin = Math.min(9, (int) (c * 10));
            bins[bin]++;
            hits[bin] += phase(label) == phase(walk.shots().get(t).label()) ? 1 : 0;
          }
        }
      }
    }
    System.out.printf(Locale.ROOT, "cut at pauses %.3f%n", cuts / walks);
    for (int a = 0; a < asked.length; a++) {
      System.out.printf(Locale.ROOT, "after %d answers %.4f%n", asked[a], sums[a] / walks);
    }
    for (int b = 0; b < 10; b++) {
      System.out.printf(
          Locale.ROOT,
          "said %.1f-%.1f: right %.3f of %.0f%n",
          b / 10.0,
          (b + 1) / 10.0,
          hits[b] / Math.max(1, bins[b]),
          bins[b]);
    }
    Evidence big = Walks.draw(1, route, 2000, 0).evidence();
    for (int i = 0; i < 10; i++) {
      java.lang.management.ThreadMXBean cpu =
          java.lang.management.ManagementFactory.getThreadMXBean();
      long from = cpu.getCurrentThreadCpuTime();
      Sorter.solve(route, big, Priors.standard());
      double ms = (cpu.getCurrentThreadCpuTime() - from) / 1e6;
      System.out.printf(Locale.ROOT, "%d photos: %.1f ms%n", big.photos(), ms);
    }
  }

  static int mostWorth(Evidence ev, Sorter.Solution s) {
    double[] worth = Sorter.worth(s, ev);
    int best = 0;
    for (int t = 1; t < worth.length; t++) {
      best = worth[t] > worth[best] ? t : best;
    }
    return best;
  }

  static int leastCertain(Evidence ev, Sorter.Solution s) {
    int best = -1;
    double least = 2;
    for (int t = 0; t < ev.photos(); t++) {
      if (ev.fixed()[t] >= 0) {
        continue;
      }
      double[] p = s.inference().labels(t);
      double c = Sorter.confidence(p, Sorter.best(p, s.model()), s.model());
      if (c < least) {
        least = c;
        best = t;
      }
    }
    return best;
  }
}

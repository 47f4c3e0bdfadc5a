package meterside.route;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import meterside.job.Clock;
import meterside.job.ClockBasis;
import meterside.job.Edit;
import meterside.job.Job;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.RoutePlan;
import meterside.job.StopKey;
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
    return ev.fixed()[t] >= 0 ? ev.fixed()[t] : Sorter.best(solution.labels(t), solution.model());
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

  /**
   * With other systems among the photos, and looks and priors learned from two confirmed walks.
   *
   * @return share right, share of other systems laid at a stop, share of the others not laid right,
   *     and share right by the nearest look alone
   */
  static double[] withOthers(int walks, long first, double share) {
    RoutePlan route = Trade.standard().route("overhead");
    double right = 0;
    double byLookAlone = 0;
    double others = 0;
    double othersWrong = 0;
    double electrical = 0;
    double electricalWrong = 0;
    for (long seed = first; seed < first + walks; seed++) {
      List<Job> confirmed = new ArrayList<>();
      List<Looks.Example> examples = new ArrayList<>();
      for (long more = 1; more <= 2; more++) {
        long from = seed + more * 100_000;
        Walks.Walk learned = Walks.draw(from, route, Walks.size(from) + 100, share);
        Job job = Jobs.with(Jobs.start("overhead"), Jobs.photos(learned));
        for (int t = 0; t < learned.shots().size(); t++) {
          Walks.Shot s = learned.shots().get(t);
          String stop = route.stops().get(s.label()).id();
          examples.add(new Looks.Example(s.look(), stop));
          List<PhotoId> one = List.of(job.intakeOrder().get(t));
          job = new Edit.PlaceByHand(one, StopKey.of(stop)).applyTo(job);
        }
        confirmed.add(job);
      }
      Looks looks = Looks.of(examples);
      Priors priors = Priors.standard().learn(confirmed);
      Walks.Walk walk = Walks.draw(seed, route, Walks.size(seed) + 100, share);
      Evidence ev = walk.evidence();
      double alone = 0;
      for (int t = 0; t < ev.photos(); t++) {
        float[] look = walk.shots().get(t).look();
        ev.look()[t] = looks.ratios(look, route);
        Looks.Example nearest = examples.get(0);
        for (Looks.Example e : examples) {
          if (distance(look, e.look()) < distance(look, nearest.look())) {
            nearest = e;
          }
        }
        int label = route.indexOf(nearest.stop());
        alone += phase(label) == phase(walk.shots().get(t).label()) ? 1 : 0;
      }
      byLookAlone += alone / ev.photos() / walks;
      Sorter.Solution s = Sorter.solve(route, ev, priors);
      right += right(walk, ev, s) / walks;
      for (int t = 0; t < ev.photos(); t++) {
        int truth = walk.shots().get(t).label();
        boolean wrong = phase(truth) != phase(laid(ev, s, t));
        if (truth == 12) {
          others++;
          othersWrong += wrong ? 1 : 0;
        } else {
          electrical++;
          electricalWrong += wrong ? 1 : 0;
        }
      }
    }
    return new double[] {right, othersWrong / others, electricalWrong / electrical, byLookAlone};
  }

  /** Offsets of the second camera's clock, in seconds: by turns, walk by walk. */
  private static final double[] OFF = {58, 3600, -125, -7200, 900, 0};

  /**
   * Two cameras, the second one's clock off and nothing recorded about it.
   *
   * @return share right with the true clock, with the clock that was fitted, and with the clock as
   *     it was; share of the clocks fitted within two minutes, left alone though wrong by more, and
   *     fitted wrong by more; seconds a fit took, and the most it took
   */
  static double[] clocksUnknown(int walks, long first, Walks.Style style) {
    RoutePlan route = Trade.standard().route("overhead");
    double[] out = new double[8];
    for (long seed = first; seed < first + walks; seed++) {
      double off = OFF[(int) (seed % OFF.length)];
      Walks.Walk walk = Walks.draw(seed, route, Walks.size(seed), 0, style);
      List<Photo> photos = Jobs.twoCameras(walk, off);
      Job job = Jobs.with(Jobs.start("overhead"), photos);
      Clock known = new Clock(Math.round(off * 1000), ClockBasis.BY_HAND, null);
      out[0] += right(walk, photos, new Edit.SetClock("B", known).applyTo(job)) / walks;
      long from = System.nanoTime();
      Job settled = job;
      for (Edit e : Clocks.settle(job)) {
        settled = e.applyTo(settled);
      }
      double seconds = (System.nanoTime() - from) / 1e9;
      out[1] += right(walk, photos, settled) / walks;
      out[2] += right(walk, photos, job) / walks;
      Clock b = settled.clock("B");
      // What matters is how the two lie to each other.
      double apart = (b.offsetMillis() - settled.clock("A").offsetMillis()) / 1000.0 - off;
      boolean touched =
          b.basis() != ClockBasis.ASSUMED || settled.clock("A").basis() != ClockBasis.ASSUMED;
      out[Math.abs(apart) <= 120 ? 3 : touched ? 5 : 4] += 1.0 / walks;
      out[6] += seconds / walks;
      out[7] = Math.max(out[7], seconds);
    }
    return out;
  }

  private static double right(Walks.Walk walk, List<Photo> photos, Job job) {
    Map<PhotoId, Integer> truth = new HashMap<>();
    for (int t = 0; t < photos.size(); t++) {
      truth.put(photos.get(t).id(), phase(walk.shots().get(t).label()));
    }
    int right = 0;
    for (Sorter.Laid l : Sorter.lay(job, Sorter.Knowledge.standard())) {
      right += phase(job.route().indexOf(l.at().stop())) == truth.get(l.photo()) ? 1 : 0;
    }
    return right / (double) photos.size();
  }

  private static double distance(float[] a, float[] b) {
    double sum = 0;
    for (int i = 0; i < a.length; i++) {
      sum += (a[i] - b[i]) * (a[i] - b[i]);
    }
    return sum;
  }

  public static void main(String[] args) {
    if (args.length > 2 && args[2].equals("clocks")) {
      for (Walks.Style style : Walks.Style.values()) {
        double[] f = clocksUnknown(Integer.parseInt(args[0]), Long.parseLong(args[1]), style);
        System.out.printf(
            Locale.ROOT,
            "%s, right with the true clock %.4f, fitted %.4f, as it was %.4f; clocks within 2 min"
                + " %.2f, left alone %.2f, fitted wrong %.2f; %.2f s a walk, at most %.2f s%n",
            style,
            f[0],
            f[1],
            f[2],
            f[3],
            f[4],
            f[5],
            f[6],
            f[7]);
      }
      return;
    }
    if (args.length > 2 && args[2].equals("speed")) {
      speed(Trade.standard().route("overhead"));
      return;
    }
    if (args.length > 2 && args[2].equals("others")) {
      for (double share : new double[] {0.2, 0.4, 0.6}) {
        double[] f = withOthers(Integer.parseInt(args[0]), Long.parseLong(args[1]), share);
        System.out.printf(
            Locale.ROOT,
            "others %.1f: right %.4f, others laid at a stop %.4f, stops laid wrong %.4f; by the nearest look alone %.4f%n",
            share,
            f[0],
            f[1],
            f[2],
            f[3]);
      }
      return;
    }
    RoutePlan route = Trade.standard().route("overhead");
    int walks = args.length > 0 ? Integer.parseInt(args[0]) : 200;
    long first = args.length > 1 ? Long.parseLong(args[1]) : 1;
    Walks.Style style =
        args.length > 3 && args[3].equals("hurried") ? Walks.Style.HURRIED : Walks.Style.USUAL;
    String how = args.length > 2 ? args[2] : "both"; // least, photos or both
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
      Set<List<Integer>> notSideBySide = new HashSet<>();
      for (int a = 0; a < asked.length; a++) {
        Sorter.Solution s = Sorter.solve(route, ev, Priors.standard());
        while (answers < asked[a]) {
          answers++;
          s = answer(walk, ev, s, how, notSideBySide);
        }
        sums[a] += right(walk, ev, s);
        if (a == 0) {
          for (int t = 0; t < ev.photos(); t++) {
            int label = laid(ev, s, t);
            double c = Sorter.confidence(s.labels(t), label, s.model());
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
  }

  /** Time of a solve of some 2,000 photos, and of the clock of a camera among 700. */
  private static void speed(RoutePlan route) {
    Evidence big = Walks.draw(1, route, 2200, 0).evidence();
    java.lang.management.ThreadMXBean cpu =
        java.lang.management.ManagementFactory.getThreadMXBean();
    for (int i = 0; i < 20; i++) {
      long from = cpu.getCurrentThreadCpuTime();
      long wall = System.nanoTime();
      Sorter.Solution s = Sorter.solve(route, big, Priors.standard());
      double ms = (cpu.getCurrentThreadCpuTime() - from) / 1e6;
      double wallMs = (System.nanoTime() - wall) / 1e6;
      wall = System.nanoTime();
      int questions = new Asking(s, big).questions(true).size();
      System.out.printf(
          Locale.ROOT,
          "%d photos: solved in %.1f ms, of the processor %.1f ms; %d questions in %.1f ms%n",
          big.photos(),
          wallMs,
          ms,
          questions,
          (System.nanoTime() - wall) / 1e6);
    }
    for (int i = 0; i < 3; i++) {
      Walks.Walk walk = Walks.draw(2, route, 700, 0);
      Job job = Jobs.with(Jobs.start("overhead"), Jobs.twoCameras(walk, 3600));
      long wall = System.nanoTime();
      Clocks.settle(job);
      System.out.printf(
          Locale.ROOT,
          "%d photos: clock fitted in %.2f s%n",
          walk.shots().size(),
          (System.nanoTime() - wall) / 1e9);
    }
  }

  /** Asks the next question and solves again with its true answer. */
  static Sorter.Solution answer(
      Walks.Walk walk, Evidence ev, Sorter.Solution s, String how, Set<List<Integer>> none) {
    if (how.equals("least")) {
      int q = leastCertain(ev, s);
      ev.fixed()[q] = walk.shots().get(q).label();
      return Sorter.solve(walk.route(), ev, Priors.standard());
    }
    for (Asking.Worth w : new Asking(s, ev).questions(how.equals("both"))) {
      if (!w.border()) {
        ev.fixed()[w.photo()] = walk.shots().get(w.photo()).label();
        return Sorter.solve(walk.route(), ev, Priors.standard());
      }
      if (none.contains(List.of(w.before(), w.after()))) {
        continue;
      }
      for (int t = 1; t < ev.photos(); t++) {
        int before = walk.shots().get(t - 1).label();
        int after = walk.shots().get(t).label();
        if (phase(before) == w.before() && phase(after) == w.after()) {
          ev.fixed()[t - 1] = before;
          ev.fixed()[t] = after;
          return Sorter.solve(walk.route(), ev, Priors.standard());
        }
      }
      none.add(List.of(w.before(), w.after()));
      return s; // an answer too, but nothing is put by it
    }
    return s;
  }

  static int leastCertain(Evidence ev, Sorter.Solution s) {
    int best = -1;
    double least = 2;
    for (int t = 0; t < ev.photos(); t++) {
      if (ev.fixed()[t] >= 0) {
        continue;
      }
      double[] p = s.labels(t);
      double c = Sorter.confidence(p, Sorter.best(p, s.model()), s.model());
      if (c < least) {
        least = c;
        best = t;
      }
    }
    return best;
  }
}

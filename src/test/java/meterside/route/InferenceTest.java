package meterside.route;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import meterside.job.Phase;
import meterside.job.RoutePlan;
import meterside.job.Stop;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The fast sums against the sum over every layout there is, on walks small enough for that. */
class InferenceTest {
  private static final RoutePlan SMALL =
      new RoutePlan(
          "small",
          "Small",
          List.of(
              new Stop("meter-and-base", "Meter", Phase.OUTSIDE),
              new Stop("grounding-and-bonding", "Grounding", Phase.OUTSIDE),
              new Stop("panelboard", "Panel", Phase.INSIDE),
              new Stop("receptacles-and-switches", "Receptacles", Phase.ROOMS),
              new Stop("alarms", "Alarms", Phase.ROOMS),
              new Stop("other-systems", "Other systems", Phase.ANYWHERE)));

  private static Evidence draw(Random r, int n) {
    Evidence ev = Evidence.none(n);
    for (int t = 0; t < n; t++) {
      if (t > 0 && r.nextDouble() < 0.9) {
        ev.pause()[t] = r.nextDouble() * 6;
      }
      if (r.nextDouble() < 0.8) {
        ev.light()[t] = 3 + r.nextDouble() * 13;
      }
      if (t > 0 && r.nextDouble() < 0.4) {
        ev.move()[t] = r.nextDouble() * 4 - 1;
        ev.turn()[t] = r.nextDouble() * 180;
      }
      if (r.nextDouble() < 0.3) {
        ev.fixed()[t] = r.nextInt(6);
      }
      if (r.nextDouble() < 0.5) {
        ev.look()[t] = r.doubles(6, 0.1, 4).toArray();
      }
    }
    return ev;
  }

  /** Every layout, run by run, each with its probability by the definition of the model. */
  private static final class EveryLayout {
    private final WalkModel model;
    private final Evidence ev;
    private final Levels levels;
    private final double[][] occupied;
    private final double[] starts;
    private final int n;
    private final Map<String, Double> lit = new HashMap<>();
    private double sum;

    EveryLayout(WalkModel model, Evidence ev, Levels levels) {
      this.model = model;
      this.ev = ev;
      this.levels = levels;
      n = ev.photos();
      occupied = new double[n][model.states.size()];
      starts = new double[n];
      grow(0, 1, new ArrayList<>());
    }

    private void grow(int from, double p, List<int[]> runs) {
      if (p == 0) {
        return;
      }
      if (from == n) {
        double whole = p * model.end[runs.get(runs.size() - 1)[0]];
        sum += whole;
        for (int[] run : runs) {
          starts[run[1]] += whole;
          for (int t = run[1]; t < run[2]; t++) {
            occupied[t][run[0]] += whole;
          }
        }
        return;
      }
      for (int s = 0; s < model.states.size(); s++) {
        double into = runs.isEmpty() ? model.start[s] : model.next[runs.get(runs.size() - 1)[0]][s];
        if (into == 0) {
          continue;
        }
        for (int to = from + 1; to <= n; to++) {
          runs.add(new int[] {s, from, to});
          grow(to, p * into * model.duration(s, to - from) * run(before(runs), s, from, to), runs);
          runs.remove(runs.size() - 1);
        }
      }
    }

    /** The state of the run before the last, or −1. */
    private static int before(List<int[]> runs) {
      return runs.size() < 2 ? -1 : runs.get(runs.size() - 2)[0];
    }

    /** What the photos of a run say of it. */
    private double run(int previous, int s, int from, int to) {
      WalkModel.State state = model.states.get(s);
      boolean rooms = state.kind() == WalkModel.Kind.ROOMS;
      double p = 1;
      if (from > 0) {
        double between =
            levels.pauseBetween(ev.pause()[from])
                * levels.moveRatio(ev.move()[from], ev.turn()[from]);
        boolean aside =
            state.kind() == WalkModel.Kind.OTHER
                || model.states.get(previous).kind() == WalkModel.Kind.OTHER;
        p *= aside ? Levels.aside(levels.pauseWithin(ev.pause()[from], false), between) : between;
      }
      for (int t = from; t < to; t++) {
        p *= t > from ? levels.pauseWithin(ev.pause()[t], rooms) : 1;
        p *= possible(state, t);
      }
      return p * lit.computeIfAbsent(s + " " + from + " " + to, k -> lights(s, from, to));
    }

    /** Every sequence of lights that a run may have. */
    private double lights(int s, int from, int to) {
      int kinds = model.lights[s].length;
      double change = levels.lightChange(model.states.get(s).kind());
      double sum = 0;
      for (int code = 0; code < Math.pow(kinds, to - from); code++) {
        double p = 1;
        int rest = code;
        int before = -1;
        for (int t = from; t < to; t++) {
          int c = rest % kinds;
          rest /= kinds;
          double drawn = model.lightWeights[s][c];
          p *= before < 0 ? drawn : (before == c ? 1 - change : 0) + change * drawn;
          p *= levels.lightDensities(ev.light()[t])[model.lights[s][c]];
          before = c;
        }
        sum += p;
      }
      return sum;
    }

    private double possible(WalkModel.State state, int t) {
      int fixed = ev.fixed()[t];
      double[] look = ev.look()[t];
      switch (state.kind()) {
        case EXCURSION:
          return fixed < 0 ? 0 : 1;
        case ROOMS:
          if (fixed >= 0) {
            return fixed == 3 || fixed == 4 ? 1 : 0;
          }
          double[] share = model.roomShares();
          return look == null ? 1 : share[0] * look[3] + share[1] * look[4];
        default:
          if (fixed >= 0) {
            return fixed == state.label() ? 1 : 0;
          }
          return look == null ? 1 : look[state.label()];
      }
    }
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20})
  void theFastSumsEqualTheSumOverEveryLayout(long seed) {
    System.out.println("seed " + seed);
    Random r = new Random(seed);
    int n = 1 + r.nextInt(4);
    Evidence ev = draw(r, n);
    Levels levels = Levels.usual();
    WalkModel model = new WalkModel(SMALL, Priors.standard(), 12, 10);
    Inference fast = new Inference(model, ev, levels);
    EveryLayout every = new EveryLayout(model, ev, levels);
    assertEquals(Math.log(every.sum), fast.logEvidence(), 1e-9);
    for (int t = 0; t < n; t++) {
      assertEquals(every.starts[t] / every.sum, fast.boundary(t), 1e-10);
      for (int s = 0; s < model.states.size(); s++) {
        assertEquals(every.occupied[t][s] / every.sum, fast.state(t, s), 1e-10);
      }
    }
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10})
  void theRoomsStopsEqualTheSumOverEverySequence(long seed) {
    System.out.println("seed " + seed);
    Random r = new Random(seed);
    int n = 1 + r.nextInt(7);
    Evidence ev = draw(r, n);
    Levels levels = Levels.usual();
    WalkModel model = new WalkModel(SMALL, Priors.standard(), 12, 10);
    Rooms fast = new Rooms(model, ev, levels);
    double[] share = model.roomShares();
    double[][] at = new double[n][2];
    double sum = 0;
    for (int code = 0; code < 1 << n; code++) {
      double p = 1;
      for (int t = 0; t < n; t++) {
        int stop = code >> t & 1;
        double change = 0.15 + 0.45 * levels.breakProbability(ev.pause()[t]);
        if (t == 0) {
          p *= share[stop];
        } else {
          boolean same = (code >> (t - 1) & 1) == stop;
          p *= (same ? 1 - change : 0) + change * share[stop];
        }
        int fixed = ev.fixed()[t];
        if (fixed == 3 || fixed == 4) {
          p *= fixed == 3 + stop ? 1 : 0;
        } else if (fixed < 0 && ev.look()[t] != null) {
          p *= ev.look()[t][3 + stop];
        }
      }
      sum += p;
      for (int t = 0; t < n; t++) {
        at[t][code >> t & 1] += p;
      }
    }
    for (int t = 0; t < n; t++) {
      assertEquals(at[t][0] / sum, fast.stops(t)[0], 1e-12);
      assertEquals(at[t][1] / sum, fast.stops(t)[1], 1e-12);
    }
  }

  @Test
  void runLengthsAreProbabilities() {
    WalkModel model = new WalkModel(SMALL, Priors.standard(), 60, 60);
    for (int s = 0; s < model.states.size(); s++) {
      double sum = 0;
      for (int d = 1; d < 4000; d++) {
        sum += model.duration(s, d);
      }
      assertEquals(1, sum, 1e-9, model.states.get(s).toString());
    }
  }

  @Test
  void whatFollowsARunIsCertainToFollow() {
    WalkModel model = new WalkModel(SMALL, Priors.standard(), 60, 60);
    double begin = 0;
    for (double p : model.start) {
      begin += p;
    }
    assertEquals(1, begin, 1e-12);
    for (int s = 0; s < model.states.size(); s++) {
      double sum = model.end[s];
      for (double p : model.next[s]) {
        sum += p;
      }
      assertEquals(1, sum, 1e-12, model.states.get(s).toString());
      double light = 0;
      for (double w : model.lightWeights[s]) {
        light += w;
      }
      assertEquals(1, light, 1e-12, model.states.get(s).toString());
    }
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5})
  void probabilitiesOfAPhotoSumToOneEvenIfFixedPointsContradictTheRoute(long seed) {
    System.out.println("seed " + seed);
    Random r = new Random(seed);
    RoutePlan route = meterside.trade.Trade.standard().route("overhead");
    Evidence ev = Walks.draw(seed, route, 60, 0).evidence();
    for (int t = 0; t < ev.photos(); t++) {
      if (r.nextDouble() < 0.3) {
        ev.fixed()[t] = r.nextInt(route.stops().size());
      }
    }
    Sorter.Solution s = Sorter.solve(route, ev, Priors.standard());
    for (int t = 0; t < ev.photos(); t++) {
      double[] p = s.labels(t);
      double sum = 0;
      for (double v : p) {
        sum += v;
      }
      assertEquals(1, sum, 1e-9);
      if (ev.fixed()[t] >= 0) {
        assertEquals(1, p[ev.fixed()[t]], 1e-9);
      }
    }
  }
}

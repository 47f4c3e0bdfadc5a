package meterside.route;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.SplittableRandom;

/**
 * Which answer would put the most photos right. Some hundreds of layouts are drawn from what the
 * model makes of the walk ({@link Inference#draw}). An answer keeps the layouts that agree with it;
 * with each photo at the stop that most of them give it, so many photos are right on average. The
 * mean of that over the answers there may be, less what is right now, is what a question is worth
 * (the expected value of sample information of H. Raiffa and R. Schlaifer, "Applied Statistical
 * Decision Theory", 1961, estimated from draws).
 *
 * <p>Labels are indices of stops on the route, the rooms' stops all at the first of them.
 */
final class Asking {
  /** How many layouts are drawn. */
  static final int LAYOUTS = 500;

  /** How many photos are weighed as questions. */
  private static final int MOST = 60;

  /** A border that fewer of the layouts have is not asked for. */
  private static final double SELDOM = 0.08;

  /** Tells one draw from the next; the same walk gets the same questions. */
  private static final long SEED = 5;

  /**
   * A question and its worth.
   *
   * @param photo index of the photo asked about; for a border, of where it is most probable
   * @param before the stop before the border, or −1 for a question about a photo
   * @param after the stop after the border
   * @param from the first photo that may come right after the border, as an index
   * @param to the last one
   * @param gain how many more photos are expected to be right after the answer
   */
  record Worth(int photo, int before, int after, int from, int to, double gain) {
    boolean border() {
      return before >= 0;
    }
  }

  private final int photos;
  private final int labels;
  private final boolean[] free;

  /** Layout by layout, the label of each photo. */
  private final byte[][] layouts;

  /** Groups of neighbouring photos that every layout puts together. */
  private final int[] groupOf;

  private final byte[][] ofGroup;
  private final int[] weight;
  private final int[] middle;

  Asking(Sorter.Solution solution, Evidence ev) {
    photos = ev.photos();
    labels = solution.model().labels;
    free = new boolean[photos];
    for (int t = 0; t < photos; t++) {
      free[t] = ev.fixed()[t] < 0;
    }
    layouts = draw(solution, ev);
    groupOf = new int[photos];
    int groups = 0;
    for (int t = 0; t < photos; t++) {
      groups += t > 0 && together(t) ? 0 : 1;
      groupOf[t] = groups - 1;
    }
    ofGroup = new byte[groups][LAYOUTS];
    weight = new int[groups];
    middle = new int[groups];
    int[] seen = new int[groups];
    for (int t = 0; t < photos; t++) {
      weight[groupOf[t]] += free[t] ? 1 : 0;
    }
    for (int t = 0; t < photos; t++) {
      int g = groupOf[t];
      if (free[t] && seen[g]++ == weight[g] / 2) {
        middle[g] = t;
      }
      for (int i = 0; i < LAYOUTS; i++) {
        ofGroup[g][i] = layouts[i][t];
      }
    }
  }

  private static byte[][] draw(Sorter.Solution solution, Evidence ev) {
    byte[][] out = new byte[LAYOUTS][ev.photos()];
    // Each fit gives as many layouts as its weight says, to one.
    double due = 0;
    int drawn = 0;
    SplittableRandom seeds = new SplittableRandom(SEED);
    for (Sorter.Fit fit : solution.fits()) {
      due += fit.weight() * LAYOUTS;
      Random random = new Random(seeds.nextLong());
      WalkModel model = fit.model();
      int room = model.rooms().isEmpty() ? -1 : model.rooms().get(0);
      boolean last = fit == solution.fits().get(solution.fits().size() - 1);
      for (; drawn < (last ? LAYOUTS : Math.min(LAYOUTS, Math.round(due))); drawn++) {
        int[] states = fit.inference().draw(random);
        for (int t = 0; t < states.length; t++) {
          WalkModel.State s = model.states.get(states[t]);
          int label =
              switch (s.kind()) {
                case ROOMS -> room;
                case EXCURSION -> ev.fixed()[t];
                default -> s.label();
              };
          out[drawn][t] = (byte) (model.isRoom(label) ? room : label);
        }
      }
    }
    return out;
  }

  private boolean together(int t) {
    for (byte[] layout : layouts) {
      if (layout[t] != layout[t - 1]) {
        return false;
      }
    }
    return true;
  }

  /** Questions about single photos, and if wanted about borders too; the best first. */
  List<Worth> questions(boolean borders) {
    List<Worth> out = new ArrayList<>();
    if (photos == 0) {
      return out;
    }
    int[][] now = new int[ofGroup.length][labels];
    int[] best = new int[ofGroup.length];
    double right = 0;
    for (int g = 0; g < ofGroup.length; g++) {
      for (byte label : ofGroup[g]) {
        now[g][label]++;
      }
      best[g] = most(now[g]);
      right += weight[g] * (double) now[g][best[g]];
    }
    List<Integer> open = new ArrayList<>();
    for (int g = 0; g < ofGroup.length; g++) {
      if (weight[g] > 0 && now[g][best[g]] < LAYOUTS) {
        open.add(g);
      }
    }
    // The most undecided photo of every stretch, so that long walks are looked at everywhere.
    int stretch = Math.max(1, (open.size() + MOST - 1) / MOST);
    for (int i = 0; i < open.size(); i += stretch) {
      int asked =
          open.subList(i, Math.min(open.size(), i + stretch)).stream()
              .min(Comparator.comparingInt(g -> now[g][best[g]]))
              .orElseThrow();
      int[] answers = new int[LAYOUTS];
      for (int l = 0; l < LAYOUTS; l++) {
        answers[l] = ofGroup[asked][l];
      }
      double gain = (after(answers, labels, best) - right) / LAYOUTS;
      out.add(new Worth(middle[asked], -1, -1, middle[asked], middle[asked], gain));
    }
    if (borders) {
      borders(out, best, right);
    }
    out.sort(Comparator.comparingDouble((Worth w) -> -w.gain()).thenComparingInt(Worth::photo));
    return out;
  }

  /** How many photos are right in the layouts together, once a question has its answer. */
  private double after(int[] answers, int kinds, int[] best) {
    int[][] count = new int[kinds][labels];
    double right = 0;
    for (int g = 0; g < ofGroup.length; g++) {
      if (weight[g] == 0) {
        continue;
      }
      byte[] own = ofGroup[g];
      int unanswered = 0;
      for (int l = 0; l < LAYOUTS; l++) {
        if (answers[l] < 0) {
          unanswered += own[l] == best[g] ? 1 : 0; // nothing is known that was not
        } else {
          count[answers[l]][own[l]]++;
        }
      }
      int most = unanswered;
      for (int[] of : count) {
        most += of[most(of)];
        Arrays.fill(of, 0);
      }
      right += weight[g] * (double) most;
    }
    return right;
  }

  private void borders(List<Worth> out, int[] best, double right) {
    Map<Integer, int[]> found = new LinkedHashMap<>(); // where each layout has it, or −1
    for (int l = 0; l < LAYOUTS; l++) {
      for (int t = 1; t < photos; t++) {
        int a = layouts[l][t - 1];
        int b = layouts[l][t];
        if (a != b) {
          int[] at =
              found.computeIfAbsent(
                  a * labels + b,
                  k -> {
                    int[] none = new int[LAYOUTS];
                    Arrays.fill(none, -1);
                    return none;
                  });
          at[l] = at[l] < 0 ? t : at[l];
        }
      }
    }
    found.forEach(
        (pair, at) -> {
          int[] places = Arrays.stream(at).filter(t -> t >= 0).sorted().toArray();
          if (places.length < SELDOM * LAYOUTS) {
            return;
          }
          int[] distinct = Arrays.stream(places).distinct().toArray();
          if (distinct.length == 1 && !free[distinct[0]] && !free[distinct[0] - 1]) {
            return;
          }
          int[] answers = new int[LAYOUTS];
          int[] times = new int[distinct.length];
          for (int l = 0; l < LAYOUTS; l++) {
            answers[l] = at[l] < 0 ? -1 : Arrays.binarySearch(distinct, at[l]);
            if (answers[l] >= 0) {
              times[answers[l]]++;
            }
          }
          double gain = (after(answers, distinct.length, best) - right) / LAYOUTS;
          out.add(
              new Worth(
                  distinct[most(times)],
                  pair / labels,
                  pair % labels,
                  distinct[0],
                  distinct[distinct.length - 1],
                  gain));
        });
  }

  private static int most(int[] count) {
    int best = 0;
    for (int i = 1; i < count.length; i++) {
      best = count[i] > count[best] ? i : best;
    }
    return best;
  }
}

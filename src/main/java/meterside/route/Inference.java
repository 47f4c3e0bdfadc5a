package meterside.route;

import java.util.Arrays;
import java.util.Random;

/**
 * The probabilities of a walk's states given its photos: forward and backward sums over the nodes
 * of {@link WalkModel}, scaled at each photo so that nothing vanishes (L. R. Rabiner, "A tutorial
 * on hidden Markov models", Proceedings of the IEEE 77, 1989, section V.A).
 *
 * <p>A node is a state with the light its run has and the stage it is in. With a_t(v) the forward
 * and b_t(v) the backward value of node v at photo t, the probability of the node is a_t(v) b_t(v)
 * over its sum, and that of a run starting at t is what enters its nodes there. Exact up to
 * rounding: the tests hold it against the sum over all layouts.
 */
final class Inference {
  private final WalkModel model;
  private final Evidence ev;
  private final Rooms rooms;
  private final double[][] occupied;
  private final double[][] lightOf;
  private final double[] boundary;
  private final double logEvidence;
  private final Levels levels;
  private final Factors factors;
  private final double[][] forward;
  private final double[][] enter;
  private final double[] scales;

  /** Expected numbers of lights drawn anew and of photos a run goes on with: stops, rooms. */
  private final double[] drawn = new double[2];

  private final double[] goneOn = new double[2];

  /** Works it out. Time is photos times (nodes + pairs of states that may follow each other). */
  Inference(WalkModel model, Evidence ev, Levels levels) {
    this.model = model;
    this.ev = ev;
    this.levels = levels;
    rooms = new Rooms(model, ev, levels);
    int n = ev.photos();
    int states = model.states.size();
    int nodes = model.firstNode[states];
    occupied = new double[n][states];
    lightOf = new double[n][Levels.LIGHTS];
    boundary = new double[n];
    Factors f = new Factors(model, ev, levels);
    factors = f;
    forward = new double[n][nodes];
    enter = new double[n][states];
    scales = new double[n];
    double[] onward = new double[4];
    double log = 0;
    for (int t = 0; t < n; t++) {
      if (t == 0) {
        System.arraycopy(model.start, 0, enter[0], 0, states);
      } else {
        leave(f, t, forward[t - 1], enter[t]);
      }
      double[] now = forward[t];
      double[] before = t == 0 ? null : forward[t - 1];
      double sum = 0;
      for (int s = 0; s < states; s++) {
        double in = enter[t][s] * f.entering(t, s);
        enter[t][s] = in;
        double look = f.look(t, s);
        if (look == 0) {
          continue;
        }
        double q = model.states.get(s).stay();
        double within = f.within(t, s);
        double[] entry = model.entry[s];
        int stages = entry.length;
        int lights = model.lights[s].length;
        int node = model.firstNode[s];
        double change = levels.lightChange(model.states.get(s).kind());
        double keep = 1 - change;
        // What goes on in each stage, whatever its light was.
        double[] on = onward;
        for (int k = 0; k < stages; k++) {
          double all = 0;
          if (before != null) {
            for (int v = node + k; v < node + stages * lights; v += stages) {
              all += before[v];
            }
          }
          on[k] = all;
        }
        for (int c = 0; c < lights; c++) {
          double light = f.light[t][model.lights[s][c]] * look;
          double weight = model.lightWeights[s][c];
          double redrawn = change * weight;
          if (before == null) {
            for (int k = 0; k < stages; k++, node++) {
              double v = in * weight * entry[k] * light;
              now[node] = v;
              sum += v;
            }
            continue;
          }
          double from = 0; // what comes on from the stage before
          for (int k = 0; k < stages; k++, node++) {
            double here = (keep * before[node] + redrawn * on[k]) * within;
            double v = (in * weight * entry[k] + from + q * here) * light;
            from = (1 - q) * here;
            now[node] = v;
            sum += v;
          }
        }
      }
      double scale = 1 / sum;
      scales[t] = scale;
      log += Math.log(sum);
      for (int v = 0; v < nodes; v++) {
        now[v] *= scale;
      }
      for (int s = 0; s < states; s++) {
        enter[t][s] *= scale;
      }
    }
    double[] after = new double[nodes];
    double[] now = new double[nodes];
    double[] gains = new double[states];
    double ending = 0;
    for (int s = 0; s < states; s++) {
      double out = (1 - model.states.get(s).stay()) * model.end[s];
      int stages = model.entry[s].length;
      for (int v = model.firstNode[s] + stages - 1; v < model.firstNode[s + 1]; v += stages) {
        now[v] = out;
        ending += forward[n - 1][v] * out;
      }
    }
    logEvidence = log + Math.log(ending);
    for (int t = n - 1; t >= 0; t--) {
      if (t < n - 1) {
        double[] swap = after;
        after = now;
        now = swap;
        back(f, t + 1, forward[t], after, now, gains);
      }
      conclude(f, t, forward[t], enter[t], now);
    }
  }

  /** What leaves each state after a photo and enters the next run. */
  private void leave(Factors f, int t, double[] forward, double[] enter) {
    for (int s = 0; s < model.states.size(); s++) {
      int stages = model.entry[s].length;
      double out = 0;
      for (int v = model.firstNode[s] + stages - 1; v < model.firstNode[s + 1]; v += stages) {
        out += forward[v];
      }
      out *= (1 - model.states.get(s).stay()) * f.leaving(t, s);
      if (out == 0) {
        continue;
      }
      double[] row = model.next[s];
      for (int j : model.successors[s]) {
        enter[j] += out * row[j];
      }
    }
  }

  private void back(
      Factors f, int t, double[] before, double[] after, double[] now, double[] gains) {
    double[] anew = new double[4];
    double[] redraws = new double[2];
    double[] furthers = new double[2];
    double all = 0;
    int states = model.states.size();
    for (int s = 0; s < states; s++) {
      gains[s] = entered(f, t, s, after) * f.entering(t, s);
    }
    double most = 0;
    for (int s = 0; s < states; s++) {
      if (model.states.get(s).kind() == WalkModel.Kind.EXCURSION && ev.fixed()[t - 1] < 0) {
        Arrays.fill(now, model.firstNode[s], model.firstNode[s + 1], 0);
        continue; // no photo that is free can be one
      }
      double q = model.states.get(s).stay();
      double look = f.look(t, s) * f.within(t, s);
      double on = 0;
      double[] row = model.next[s];
      for (int j : model.successors[s]) {
        on += row[j] * gains[j];
      }
      on *= f.leaving(t, s);
      int stages = model.entry[s].length;
      int lights = model.lights[s].length;
      int first = model.firstNode[s];
      double change = levels.lightChange(model.states.get(s).kind());
      // What the next photo is worth in each stage, if the light is drawn anew.
      for (int k = 0; k < stages; k++) {
        double lit = 0;
        for (int c = 0; c < lights; c++) {
          double one = f.light[t][model.lights[s][c]] * after[first + c * stages + k];
          lit += model.lightWeights[s][c] * one;
        }
        anew[k] = lit * look;
      }
      int node = first;
      double redrawn = 0;
      double further = 0;
      for (int c = 0; c < lights; c++) {
        double w = look * f.light[t][model.lights[s][c]] * (1 - change);
        for (int k = 0; k < stages; k++, node++) {
          boolean last = k == stages - 1;
          double fresh = change * (q * anew[k] + (last ? 0 : (1 - q) * anew[k + 1]));
          double same = w * (q * after[node] + (last ? 0 : (1 - q) * after[node + 1]));
          double v = fresh + same + (last ? (1 - q) * on : 0);
          now[node] = v;
          most = Math.max(most, v);
          redrawn += before[node] * fresh;
          further += before[node] * (fresh + same);
          all += before[node] * v;
        }
      }
      int count = countOf(model.states.get(s).kind());
      if (count >= 0) {
        redraws[count] += redrawn;
        furthers[count] += further;
      }
    }
    for (int i = 0; i < 2; i++) {
      drawn[i] += redraws[i] / all;
      goneOn[i] += furthers[i] / all;
    }
    for (int k = 0; k < now.length; k++) {
      now[k] /= most;
    }
  }

  /** What a run of a state that starts with photo t is worth, but for the pause before it. */
  private double entered(Factors f, int t, int s, double[] backward) {
    double look = f.look(t, s);
    if (look == 0) {
      return 0;
    }
    double[] entry = model.entry[s];
    int node = model.firstNode[s];
    double sum = 0;
    for (int c = 0; c < model.lights[s].length; c++) {
      double g = 0;
      for (int k = 0; k < entry.length; k++, node++) {
        g += entry[k] * backward[node];
      }
      sum += g * model.lightWeights[s][c] * f.light[t][model.lights[s][c]];
    }
    return sum * look;
  }

  private void conclude(Factors f, int t, double[] forward, double[] enter, double[] backward) {
    double sum = 0;
    double started = 0;
    for (int s = 0; s < occupied[t].length; s++) {
      int stages = model.entry[s].length;
      int node = model.firstNode[s];
      double at = 0;
      for (int c = 0; c < model.lights[s].length; c++) {
        double lit = 0;
        for (int k = 0; k < stages; k++, node++) {
          lit += forward[node] * backward[node];
        }
        at += lit;
        lightOf[t][model.lights[s][c]] += lit;
      }
      occupied[t][s] = at;
      sum += at;
      started += enter[s] == 0 ? 0 : enter[s] * entered(f, t, s, backward);
    }
    for (int s = 0; s < occupied[t].length; s++) {
      occupied[t][s] /= sum;
    }
    for (int c = 0; c < Levels.LIGHTS; c++) {
      lightOf[t][c] /= sum;
    }
    boundary[t] = Math.min(1, started / sum);
  }

  /**
   * Draws a layout, as often as it is probable: forward filtering, backward sampling (C. K. Carter
   * and R. Kohn, "On Gibbs sampling for state space models", Biometrika 81, 1994; S. L. Scott,
   * "Bayesian methods for hidden Markov models", Journal of the American Statistical Association
   * 97, 2002).
   *
   * @return the state of each photo
   */
  int[] draw(Random random) {
    int n = forward.length;
    int[] out = new int[n];
    double[] weights = new double[forward[0].length];
    for (int s = 0; s < model.states.size(); s++) {
      int stages = model.entry[s].length;
      double leaves = (1 - model.states.get(s).stay()) * model.end[s];
      for (int v = model.firstNode[s] + stages - 1; v < model.firstNode[s + 1]; v += stages) {
        weights[v] = forward[n - 1][v] * leaves;
      }
    }
    int node = pick(weights, weights.length, random);
    int s = stateOf(node);
    for (int t = n - 1; ; t--) {
      out[t] = s;
      if (t == 0) {
        return out;
      }
      double[] before = forward[t - 1];
      int stages = model.entry[s].length;
      int first = model.firstNode[s];
      int light = (node - first) / stages;
      int stage = (node - first) % stages;
      double weight = model.lightWeights[s][light];
      double change = levels.lightChange(model.states.get(s).kind());
      double stay = model.states.get(s).stay();
      double within = factors.within(t, s);
      double enters = enter[t][s] / scales[t] * weight * model.entry[s][stage];
      double kept = stay * within * (1 - change) * before[node];
      double anew = stay * within * change * weight * inStage(before, s, stage);
      double moved = 0;
      double movedAnew = 0;
      if (stage > 0) {
        moved = (1 - stay) * within * (1 - change) * before[node - 1];
        movedAnew = (1 - stay) * within * change * weight * inStage(before, s, stage - 1);
      }
      double u = random.nextDouble() * (enters + kept + anew + moved + movedAnew);
      if (u < enters) {
        int[] from = model.predecessors[s];
        for (int i = 0; i < from.length; i++) {
          int j = from[i];
          double leaves = (1 - model.states.get(j).stay()) * factors.leaving(t, j);
          weights[i] = leaves * model.next[j][s] * inStage(before, j, model.entry[j].length - 1);
        }
        s = from[pick(weights, from.length, random)];
        node = pickLight(before, s, model.entry[s].length - 1, weights, random);
      } else if (u < enters + kept) {
        continue;
      } else if (u < enters + kept + anew) {
        node = pickLight(before, s, stage, weights, random);
      } else if (u < enters + kept + anew + moved) {
        node--;
      } else {
        node = pickLight(before, s, stage - 1, weights, random);
      }
    }
  }

  private int stateOf(int node) {
    int s = 0;
    while (model.firstNode[s + 1] <= node) {
      s++;
    }
    return s;
  }

  /** The forward value of a state's stage, whatever the light. */
  private double inStage(double[] values, int s, int stage) {
    double sum = 0;
    int stages = model.entry[s].length;
    for (int v = model.firstNode[s] + stage; v < model.firstNode[s + 1]; v += stages) {
      sum += values[v];
    }
    return sum;
  }

  private int pickLight(double[] values, int s, int stage, double[] weights, Random random) {
    int stages = model.entry[s].length;
    int lights = model.lights[s].length;
    for (int c = 0; c < lights; c++) {
      weights[c] = values[model.firstNode[s] + c * stages + stage];
    }
    return model.firstNode[s] + pick(weights, lights, random) * stages + stage;
  }

  private static int pick(double[] weights, int count, Random random) {
    double sum = 0;
    for (int i = 0; i < count; i++) {
      sum += weights[i];
    }
    double u = random.nextDouble() * sum;
    int last = 0;
    for (int i = 0; i < count; i++) {
      if (weights[i] > 0) {
        last = i;
        u -= weights[i];
        if (u < 0) {
          return i;
        }
      }
    }
    return last;
  }

  /** What each photo says, as factors. */
  static final class Factors {
    private final double[] within;
    private final double[] withinRooms;

    private final double[] between;

    /** If a run starts with the photo, and it or the one before is of other systems. */
    private final double[] aside;

    /** Of the photo's light, by light of its run. */
    final double[][] light;

    private final WalkModel model;
    private final Evidence ev;

    Factors(WalkModel model, Evidence ev, Levels levels) {
      this.model = model;
      this.ev = ev;
      int n = ev.photos();
      within = new double[n];
      withinRooms = new double[n];
      between = new double[n];
      aside = new double[n];
      light = new double[n][];
      for (int t = 0; t < n; t++) {
        light[t] = levels.lightDensities(ev.light()[t]);
        double pause = ev.pause()[t];
        within[t] = t == 0 ? 1 : levels.pauseWithin(pause, false);
        withinRooms[t] = t == 0 ? 1 : levels.pauseWithin(pause, true);
        between[t] =
            t == 0
                ? 1
                : levels.pauseBetween(pause)
                    * levels.moveRatio(ev.move()[t], ev.turn()[t])
                    * levels.changeRatio(ev.change()[t]);
        aside[t] = Levels.aside(within[t], between[t]);
      }
    }

    /** Of what lies before the photo, if a run of this state starts with it. */
    double entering(int t, int s) {
      return isOther(s) ? aside[t] : between[t];
    }

    /** How much another it is if the run that ends before the photo was of this state. */
    double leaving(int t, int s) {
      return isOther(s) ? aside[t] / between[t] : 1;
    }

    private boolean isOther(int s) {
      return model.states.get(s).kind() == WalkModel.Kind.OTHER;
    }

    /** Of the pause before the photo, if its run goes on. */
    double within(int t, int s) {
      return model.states.get(s).kind() == WalkModel.Kind.ROOMS ? withinRooms[t] : within[t];
    }

    /** Of the photo's look at a state's stop; 0 if it cannot be there. */
    double look(int t, int s) {
      WalkModel.State state = model.states.get(s);
      int fixed = ev.fixed()[t];
      double[] look = ev.look()[t];
      return switch (state.kind()) {
        case EXCURSION -> fixed < 0 ? 0 : 1;
        case ROOMS -> {
          if (fixed >= 0) {
            yield model.isRoom(fixed) ? 1 : 0;
          }
          yield look == null ? 1 : Rooms.look(model, look);
        }
        default -> {
          if (fixed >= 0) {
            yield fixed == state.label() ? 1 : 0;
          }
          yield look == null ? 1 : look[state.label()];
        }
      };
    }
  }

  /** The probability that a photo lies at each stop of the route. Sums to one. */
  double[] labels(int t) {
    double[] out = new double[model.labels];
    for (int s = 0; s < occupied[t].length; s++) {
      WalkModel.State state = model.states.get(s);
      double p = occupied[t][s];
      switch (state.kind()) {
        case EXCURSION -> {
          if (p > 0) {
            out[ev.fixed()[t]] += p; // only a fixed photo can be one
          }
        }
        case ROOMS -> {
          double[] inside = rooms.stops(t);
          for (int r = 0; r < inside.length; r++) {
            out[model.rooms().get(r)] += p * inside[r];
          }
        }
        default -> out[state.label()] += p;
      }
    }
    return out;
  }

  /** The probability that a photo lies in the rooms, in their turn. */
  double rooms(int t) {
    double p = 0;
    for (int s = 0; s < occupied[t].length; s++) {
      p += model.states.get(s).kind() == WalkModel.Kind.ROOMS ? occupied[t][s] : 0;
    }
    return p;
  }

  /** How many states there are. */
  int states() {
    return model.states.size();
  }

  /** The probability of a state at a photo. */
  double state(int t, int s) {
    return occupied[t][s];
  }

  /** The probability that the run of a photo has this light. */
  double light(int t, int light) {
    return lightOf[t][light];
  }

  /** The probability that a run starts with a photo. */
  double boundary(int t) {
    return boundary[t];
  }

  private static int countOf(WalkModel.Kind kind) {
    return kind == WalkModel.Kind.STOP ? 0 : kind == WalkModel.Kind.ROOMS ? 1 : -1;
  }

  /** Expected number of photos, not the first of a run, whose light is drawn anew. */
  double drawnAnew(boolean inRooms) {
    return drawn[inRooms ? 1 : 0];
  }

  /** Expected number of photos that are not the first of a run. */
  double goneOn(boolean inRooms) {
    return goneOn[inRooms ? 1 : 0];
  }

  /** The natural logarithm of the density of everything that was recorded. */
  double logEvidence() {
    return logEvidence;
  }
}

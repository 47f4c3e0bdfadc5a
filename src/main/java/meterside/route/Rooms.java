package meterside.route;

/**
 * Which of the rooms' stops each photo is at, given that it is in the rooms: a chain over the
 * photos whose stop may change from one to the next, more so after a break. Fixed photos and the
 * look of photos are what it goes by; with neither, every stop has its usual share.
 */
final class Rooms {

  /** Probability that the stop is drawn anew after a short pause, and after a break. */
  private static final double CHANGE = 0.15;

  private static final double CHANGE_AFTER_BREAK = 0.6;

  private final double[][] inside;

  Rooms(WalkModel model, Evidence ev, Levels levels) {
    int n = ev.photos();
    double[] share = model.roomShares();
    int stops = share.length;
    inside = new double[n][stops];
    double[] change = new double[n];
    double[][] seen = new double[n][stops];
    for (int t = 0; t < n; t++) {
      double rest = levels.breakProbability(ev.pause()[t]);
      change[t] = t == 0 ? 1 : CHANGE + (CHANGE_AFTER_BREAK - CHANGE) * rest;
      for (int r = 0; r < stops; r++) {
        int label = model.rooms().get(r);
        int fixed = ev.fixed()[t];
        double[] look = ev.look()[t];
        if (fixed >= 0) {
          seen[t][r] = !model.isRoom(fixed) || fixed == label ? 1 : 0;
        } else {
          seen[t][r] = look == null ? 1 : look[label];
        }
      }
    }
    for (int t = 0; t < n; t++) {
      double sum = 0;
      for (int r = 0; r < stops; r++) {
        double from = t == 0 ? 0 : (1 - change[t]) * inside[t - 1][r];
        inside[t][r] = (from + change[t] * share[r]) * seen[t][r];
        sum += inside[t][r];
      }
      scale(inside[t], sum);
    }
    double[] back = new double[stops];
    java.util.Arrays.fill(back, 1);
    for (int t = n - 1; t >= 0; t--) {
      double sum = 0;
      double fresh = 0;
      double most = 0;
      for (int r = 0; r < stops; r++) {
        inside[t][r] *= back[r];
        sum += inside[t][r];
        fresh += share[r] * seen[t][r] * back[r];
      }
      scale(inside[t], sum);
      for (int r = 0; r < stops; r++) {
        back[r] = (1 - change[t]) * seen[t][r] * back[r] + change[t] * fresh;
        most = Math.max(most, back[r]);
      }
      scale(back, most);
    }
  }

  private static void scale(double[] p, double by) {
    for (int i = 0; i < p.length; i++) {
      p[i] /= by;
    }
  }

  /** How much likelier a photo looks in the rooms than in general. */
  static double look(WalkModel model, double[] look) {
    double[] share = model.roomShares();
    double sum = 0;
    for (int r = 0; r < share.length; r++) {
      sum += share[r] * look[model.rooms().get(r)];
    }
    return sum;
  }

  /** The probabilities of the rooms' stops at a photo, given that it is in the rooms. */
  double[] stops(int t) {
    return inside[t];
  }
}

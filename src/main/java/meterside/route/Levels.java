package meterside.route;

/**
 * How this walk's pauses, light and movement are spread; fitted to each walk, from usual values on.
 *
 * <p>Pauses are log-normal: short ones, and breaks. A break lies between two stops with probability
 * {@link #breakBetween} and inside a run with {@link #breakWithin}. Light is normal around a level
 * outdoors and one indoors, and each run has its own light around that level (deviation {@link
 * #runSd}). Movement by GPS is log-normal, within a run and between runs.
 */
record Levels(
    double shortMean,
    double shortSd,
    double innerMean,
    double innerSd,
    double roomMean,
    double roomSd,
    double breakMean,
    double breakSd,
    double breakWithin,
    double breakInRooms,
    double breakBetween,
    double outdoors,
    double indoors,
    double outSd,
    double inSd,
    double runSd,
    double changeAtStop,
    double changeInRooms,
    double moveWithin,
    double moveBetween,
    double moveSd,
    double turnWithin,
    double alikeWithin,
    double alikeBetween,
    double alikeSd) {

  /**
   * How those who walk go about it: a fit starts from each, and is pulled toward it.
   *
   * <p>All means are logarithms of how much longer than the walk's median a pause is.
   *
   * <p>In order: short pauses, breaks within a stop, breaks in the rooms, breaks between stops,
   * each with its mean and deviation; then the part of the pauses that are breaks within a stop and
   * in the rooms.
   */
  enum Habit {
    /** A photo every few seconds, a break from item to item, a longer one from stop to stop. */
    USUAL(6, -0.35, 0.65, 0.9, 0.6, 0.9, 0.6, 1.4, 0.7, 0.10, 0.2),
    /** Steady: every photo takes its time, and only walking on takes longer. */
    STEADY(30, -0.1, 0.4, 0.6, 0.4, 1.4, 0.5, 1.6, 0.45, 0.03, 0.15),
    /** Thorough: items take as long as photos do seconds, and walking on much longer. */
    THOROUGH(6, -0.4, 0.6, 0.7, 0.5, 1.1, 0.6, 1.9, 0.6, 0.3, 0.35);

    /** How many photos the habit's breaks within a stop weigh against the walk's. */
    private final double firm;

    private final double[] of;

    Habit(double firm, double... of) {
      this.firm = firm;
      this.of = of;
    }
  }

  /** Usual values for a walk at the usual pace of ten seconds from photo to photo. */
  static Levels usual() {
    return atPace(Math.log(10), Habit.USUAL);
  }

  /** In a walk of fewer photos, pauses between stops are too many for the median to be of runs. */
  private static final int FEW = 40;

  /**
   * A habit's values for the pace of this walk: some take a photo every few seconds, some one a
   * minute, and what counts as a break goes by that. The pace is the median pause; of a short walk
   * the median of those that are left when each stop has taken a long one.
   *
   * @param stops how many runs to expect
   */
  static Levels of(Habit habit, Evidence ev, int stops) {
    double[] pauses =
        java.util.Arrays.stream(ev.pause()).filter(x -> !Double.isNaN(x)).sorted().toArray();
    if (pauses.length < 8) {
      return atPace(Math.log(10), habit);
    }
    double within = pauses.length >= FEW ? 1 : Math.max(0.3, 1 - stops / (double) pauses.length);
    return atPace(pauses[(int) (within * pauses.length / 2)], habit);
  }

  private static Levels atPace(double pace, Habit h) {
    return new Levels(
        pace + h.of[0],
        h.of[1],
        pace + h.of[2],
        h.of[3],
        pace + h.of[4],
        h.of[5],
        pace + h.of[6],
        h.of[7],
        h.of[8],
        h.of[9],
        0.85,
        13,
        6,
        1.0,
        1.0,
        0.8,
        0.015,
        0.06,
        Math.log(2.5),
        Math.log(6),
        0.9,
        0.4,
        -1.5,
        -1.2,
        0.6);
  }

  /** Share of photos whose light says nothing (flash, a lamp, a bright window). */
  private static final double STRAY_LIGHT = 0.04;

  private static final double LIGHT_RANGE = 22;

  private static final double STRAY = 1e-3;

  /** Part of the pauses within a run that lie in a burst, whose photos share a second or so. */
  private static final double BURST = 0.03;

  private static double burst(double x) {
    return BURST * normal(x, -0.4, 0.4);
  }

  private double shortDensity(double x, double breaks) {
    return (1 - BURST) * (1 - breaks) * normal(x, shortMean, shortSd);
  }

  private double breakDensity(double x, boolean rooms) {
    return (1 - BURST)
        * (rooms
            ? breakInRooms * normal(x, roomMean, roomSd)
            : breakWithin * normal(x, innerMean, innerSd));
  }

  /** Density of a pause within a run. */
  double pauseWithin(double x, boolean rooms) {
    if (Double.isNaN(x)) {
      return 1;
    }
    double breaks = rooms ? breakInRooms : breakWithin;
    return shortDensity(x, breaks) + breakDensity(x, rooms) + burst(x) + STRAY;
  }

  /** The probability that a pause in the rooms is a break. */
  double breakProbability(double x) {
    if (Double.isNaN(x)) {
      return breakInRooms;
    }
    double a = shortDensity(x, breakInRooms) + burst(x) + STRAY;
    double b = breakDensity(x, true) + STRAY;
    return b / (a + b);
  }

  /** Density of a pause between two runs. */
  double pauseBetween(double x) {
    if (Double.isNaN(x)) {
      return 1;
    }
    return (1 - breakBetween) * normal(x, shortMean, shortSd)
        + breakBetween * normal(x, breakMean, breakSd)
        + STRAY;
  }

  /**
   * Density of what lies between a stop's photo and one of other systems: half of those are taken
   * in passing, as if it were the same stop.
   */
  static double aside(double within, double between) {
    return 0.5 * within + 0.5 * between;
  }

  /** How many lights a run may have: five around the level outdoors, five around that indoors. */
  static final int LIGHTS = 10;

  private static final double[] STEP = {-1.8, -0.9, 0, 0.9, 1.8};

  /** Weights of the steps, near those of a normal distribution with mean 0 and deviation 1. */
  private static final double[] STEP_WEIGHT = {0.08, 0.24, 0.36, 0.24, 0.08};

  /** How many photos the usual probabilities of a change of light weigh. */
  private static final double CHANGE_PRIOR = 60;

  /** The variance of the steps under their weights. */
  private static final double STEP_VARIANCE = 0.9072;

  /** The lights that a run of this state may have, by number. */
  static int[] lights(WalkModel.State state) {
    return java.util.stream.IntStream.range(0, LIGHTS)
        .filter(c -> lightWeight(c, state) > 0)
        .toArray();
  }

  /** The probabilities of {@link #lights}; they sum to one. */
  static double[] lightWeights(WalkModel.State state) {
    return java.util.stream.IntStream.of(lights(state))
        .mapToDouble(c -> lightWeight(c, state))
        .toArray();
  }

  private static double lightWeight(int c, WalkModel.State state) {
    double of = isOut(c) ? state.outdoors() : 1 - state.outdoors();
    int step = c % 5;
    if (of < 0.1) {
      return step == 2 ? of : 0; // a light that is unlikely at all is kept as one, at its level
    }
    return switch (state.kind()) {
      case STOP, ROOMS -> of * stepWeight(step, state.brightness());
      // Out of turn the light says little of the stop; two lights, or one, are enough.
      case OTHER, GROUNDING -> step == 1 || step == 3 ? of / 2 : 0;
      case RETURN, EXCURSION -> step == 2 ? of : 0;
    };
  }

  /**
   * The probability that the light of a run is drawn anew with a photo: rarely at a stop, more
   * often where the camera goes about.
   */
  double lightChange(WalkModel.Kind kind) {
    return switch (kind) {
      case STOP -> changeAtStop;
      case ROOMS -> changeInRooms;
      case OTHER, GROUNDING, RETURN, EXCURSION -> 0.15;
    };
  }

  /** The weight of a step for runs that are brighter than usual; the five sum to one. */
  private static double stepWeight(int step, double brightness) {
    double sum = 0;
    double own = 0;
    for (int i = 0; i < STEP.length; i++) {
      // The usual weights, moved by the factor that moves a normal density's mean.
      double w = STEP_WEIGHT[i] * Math.exp(STEP[i] * brightness);
      sum += w;
      own = i == step ? w : own;
    }
    return own / sum;
  }

  private static boolean isOut(int c) {
    return c < 5;
  }

  /** Density of a photo's light for each light of its run. */
  double[] lightDensities(double e) {
    double[] out = new double[LIGHTS];
    if (Double.isNaN(e)) {
      java.util.Arrays.fill(out, 1);
      return out;
    }
    for (int c = 0; c < LIGHTS; c++) {
      out[c] =
          (1 - STRAY_LIGHT) * normal(e, lightMean(c), c < 5 ? outSd : inSd)
              + STRAY_LIGHT / LIGHT_RANGE;
    }
    return out;
  }

  private double lightMean(int c) {
    return (c < 5 ? outdoors : indoors) + STEP[c % 5] * runSd;
  }

  /** How much likelier a movement and a turn are between two runs than within one. */
  double moveRatio(double move, double turn) {
    double ratio = 1;
    if (!Double.isNaN(move)) {
      ratio *=
          (normal(move, moveBetween, moveSd) + 0.02) / (normal(move, moveWithin, moveSd) + 0.02);
    }
    if (!Double.isNaN(turn)) {
      // Within a run part of the turns are small; between runs any turn is as likely.
      double small = 2 * normal(turn / 40, 0, 1) / 40;
      double any = 1 / 180.0;
      ratio *= any / ((1 - turnWithin) * any + turnWithin * small);
    }
    return ratio;
  }

  /**
   * How much likelier it is between two runs than within one that a photo is so unlike the last.
   */
  double changeRatio(double change) {
    if (Double.isNaN(change)) {
      return 1;
    }
    return (normal(change, alikeBetween, alikeSd) + 0.05)
        / (normal(change, alikeWithin, alikeSd) + 0.05);
  }

  static double normal(double x, double mean, double sd) {
    double z = (x - mean) / sd;
    return Math.exp(-0.5 * z * z) / (sd * 2.5066282746310002);
  }

  /**
   * Levels that fit this walk, given what the model makes of it: weighted means and deviations,
   * pulled toward the usual ones by as much as a few photos weigh.
   */
  Levels refit(Evidence ev, Inference in, Levels usual, Habit habit) {
    Mean sh = new Mean(usual.shortMean, usual.shortSd, 12);
    Mean inner = new Mean(usual.innerMean, usual.innerSd, habit.firm);
    // Breaks in the rooms are pulled toward what breaks within a stop are in this very walk.
    Mean room = new Mean(innerMean + usual.roomMean - usual.innerMean, usual.roomSd, 8);
    Mean br = new Mean(usual.breakMean, usual.breakSd, 6);
    double innerOf = 1.5 * habit.firm;
    double innerCount = innerOf * usual.breakWithin;
    double roomCount = 15 * usual.breakInRooms;
    double roomOf = 15;
    double breakCount = 10 * usual.breakBetween;
    double breakOf = 10;
    Mean outs = new Mean(usual.outdoors, usual.outSd, 4);
    Mean ins = new Mean(usual.indoors, usual.inSd, 4);
    double stepSquares = 40 * usual.runSd * usual.runSd;
    double steps = 40;
    double[] outSquares = {6 * usual.outSd * usual.outSd, 6};
    double[] inSquares = {6 * usual.inSd * usual.inSd, 6};
    Mean moveIn = new Mean(usual.moveWithin, usual.moveSd, 20);
    Mean moveOut = new Mean(usual.moveBetween, usual.moveSd, 20);
    Mean alikeIn = new Mean(usual.alikeWithin, usual.alikeSd, 6);
    Mean alikeOut = new Mean(usual.alikeBetween, usual.alikeSd, 6);
    for (int t = 0; t < ev.photos(); t++) {
      double between = in.boundary(t);
      double x = ev.pause()[t];
      if (!Double.isNaN(x)) {
        double rooms = in.rooms(t);
        double w = 1 - between;
        double inRooms = w * rooms;
        double inStops = w * (1 - rooms);
        double ofStop = 1 / pauseWithin(x, false);
        double ofRoom = 1 / pauseWithin(x, true);
        double c = (1 - breakBetween) * normal(x, shortMean, shortSd);
        double d = breakBetween * normal(x, breakMean, breakSd);
        double outBreak = d / (c + d + STRAY);
        sh.add(
            x,
            inStops * shortDensity(x, breakWithin) * ofStop
                + inRooms * shortDensity(x, breakInRooms) * ofRoom
                + between * c / (c + d + STRAY));
        double innerBreak = breakDensity(x, false) * ofStop;
        double roomBreak = breakDensity(x, true) * ofRoom;
        inner.add(x, inStops * innerBreak);
        room.add(x, inRooms * roomBreak);
        br.add(x, between * outBreak);
        innerCount += inStops * innerBreak;
        innerOf += inStops;
        roomCount += inRooms * roomBreak;
        roomOf += inRooms;
        breakCount += between * outBreak;
        breakOf += between;
      }
      double e = ev.light()[t];
      if (!Double.isNaN(e)) {
        double[] density = lightDensities(e);
        for (int c = 0; c < LIGHTS; c++) {
          double w = in.light(t, c) * (1 - STRAY_LIGHT / LIGHT_RANGE / density[c]);
          double step = STEP[c % 5] * runSd;
          (c < 5 ? outs : ins).add(e - step, w);
          double off = e - lightMean(c);
          double[] squares = c < 5 ? outSquares : inSquares;
          squares[0] += w * off * off;
          squares[1] += w;
          stepSquares += w * step * step / STEP_VARIANCE;
          steps += w;
        }
      }
      double m = ev.move()[t];
      if (!Double.isNaN(m)) {
        moveIn.add(m, 1 - between);
        moveOut.add(m, between);
      }
      double change = ev.change()[t];
      if (!Double.isNaN(change)) {
        alikeIn.add(change, 1 - between);
        alikeOut.add(change, between);
      }
    }
    double in1 = ins.mean();
    double out1 = Math.max(outs.mean(), in1 + 1.5); // daylight is the brighter of the two
    return new Levels(
        sh.mean(),
        clamp(sh.sd(), 0.25, 1.3),
        Math.max(inner.mean(), sh.mean() + 0.4),
        clamp(inner.sd(), 0.3, 1.2),
        Math.max(room.mean(), sh.mean() + 0.4),
        clamp(room.sd(), 0.3, 1.2),
        Math.max(br.mean(), sh.mean() + 0.5),
        clamp(br.sd(), 0.3, 1.2),
        clamp(innerCount / innerOf, 0.02, 0.5),
        clamp(roomCount / roomOf, 0.02, 0.6),
        clamp(breakCount / breakOf, 0.5, 0.97),
        out1,
        in1,
        clamp(Math.sqrt(outSquares[0] / outSquares[1]), 0.4, 2.5),
        clamp(Math.sqrt(inSquares[0] / inSquares[1]), 0.4, 2.5),
        clamp(Math.sqrt(stepSquares / steps), 0.25, 1.5),
        clamp(
            (CHANGE_PRIOR * usual.changeAtStop + in.drawnAnew(false))
                / (CHANGE_PRIOR + in.goneOn(false)),
            0.002,
            0.2),
        clamp(
            (CHANGE_PRIOR * usual.changeInRooms + in.drawnAnew(true))
                / (CHANGE_PRIOR + in.goneOn(true)),
            0.002,
            0.5),
        moveIn.mean(),
        Math.max(moveOut.mean(), moveIn.mean()),
        clamp(moveIn.sd(), 0.5, 1.2),
        turnWithin,
        alikeIn.mean(),
        Math.max(alikeOut.mean(), alikeIn.mean()),
        clamp(alikeIn.sd(), 0.3, 1.2));
  }

  private static double clamp(double x, double lo, double hi) {
    return Math.max(lo, Math.min(hi, x));
  }

  /** A weighted mean and deviation with a prior worth some photos. */
  private static final class Mean {
    private double w;
    private double sum;
    private double squares;

    Mean(double mean, double sd, double weight) {
      w = weight;
      sum = weight * mean;
      squares = weight * (mean * mean + sd * sd);
    }

    void add(double x, double weight) {
      w += weight;
      sum += weight * x;
      squares += weight * x * x;
    }

    double mean() {
      return sum / w;
    }

    double sd() {
      double m = mean();
      return Math.sqrt(Math.max(1e-6, squares / w - m * m));
    }
  }
}

package meterside.route;

import java.util.ArrayList;
import java.util.List;
import meterside.job.Phase;
import meterside.job.RoutePlan;
import meterside.job.Stop;
import meterside.job.StopKey;

/**
 * The walk as a semi-Markov chain: which runs there can be, which may follow which, and how long
 * they last.
 *
 * <p>A state is a run of photos at a stop, together with how far the walk has come along the route.
 * A run of other systems, a turn to grounding, and a turn to a fixed photo's stop remember how far
 * the walk had come, so that it goes on from there. The rooms' stops share the last place of the
 * route and follow each other freely.
 *
 * <p>Run lengths are mixtures of negative binomials. A run is entered at one of its stages and
 * passes through the rest; each stage lasts a geometric number of photos. Entered k stages from its
 * end, its length is the sum of k geometric lengths, so P(d) = Σ_k entry_k C(d−1, k−1) (1−q)^k
 * q^(d−k). An explicit-duration model of this kind is an ordinary chain over stages, exactly (M. J.
 * Russell and A. E. Cook, "Experimental evaluation of duration modelling techniques", ICASSP 1987;
 * S.-Z. Yu, "Hidden semi-Markov models", Artificial Intelligence 174, 2010), so no longest run has
 * to be set and time grows with photos times states.
 */
final class WalkModel {

  /** What a state is a run of. */
  enum Kind {
    /** A stop of the ordered part, in its turn. */
    STOP,
    /** The rooms, in their turn; {@link Rooms} tells their stops apart. */
    ROOMS,
    /** Other systems. */
    OTHER,
    /** Grounding out of turn. */
    GROUNDING,
    /** A stop that was passed, out of turn: a second panel, one more photo of the meter. */
    RETURN,
    /** A fixed photo's stop out of turn. */
    EXCURSION
  }

  /**
   * A state.
   *
   * @param kind what it is a run of
   * @param place how far the walk has come: index of an ordered stop, their number for the rooms,
   *     −1 before the first
   * @param label index of the stop on the route, or −1 for an excursion and for the rooms
   * @param outdoors probability of daylight
   * @param brightness see {@link Priors.OfStop#brightness}
   * @param stay probability that a stage goes on for one more photo
   */
  record State(Kind kind, int place, int label, double outdoors, double brightness, double stay) {}

  /** Probabilities of entering a run 3, 2 or 1 stages from its end. */
  private static final double[] RUN_ENTRY = {0.62, 0.18, 0.12, 0.08};

  private static final double[] ONE_STAGE = {1};

  final List<State> states = new ArrayList<>();
  final int labels;

  final double[][] entry;

  /** What the light of a run of each state may be: see {@link Levels#LIGHTS}. */
  final int[][] lights;

  /** The probabilities of {@link #lights}. */
  final double[][] lightWeights;

  /** First node (light and stage) of each state, and one past the last. */
  final int[] firstNode;

  /** Probabilities of the first run, of the next run after each run, and of the walk's end. */
  final double[] start;

  final double[][] next;
  final double[] end;

  /** Successors and predecessors of positive probability. */
  final int[][] successors;

  final int[][] predecessors;

  private final RoutePlan route;
  private final Priors priors;
  private final List<Integer> ordered = new ArrayList<>();
  private final List<Integer> rooms = new ArrayList<>();
  private final int grounding;
  private final int other;

  /**
   * A model for a walk.
   *
   * @param photos number of photos
   * @param electrical expected number of those that are not of other systems
   */
  WalkModel(RoutePlan route, Priors priors, int photos, double electrical) {
    this.route = route;
    this.priors = priors;
    labels = route.stops().size();
    for (int i = 0; i < labels; i++) {
      Phase phase = route.stops().get(i).phase();
      if (phase == Phase.OUTSIDE || phase == Phase.INSIDE) {
        ordered.add(i);
      } else if (phase == Phase.ROOMS) {
        rooms.add(i);
      }
    }
    grounding = route.indexOf("grounding-and-bonding");
    other = route.indexOf(StopKey.OTHER_SYSTEMS);
    double shares = 0;
    for (int i = 0; i < labels; i++) {
      if (i != other) {
        Priors.OfStop p = of(i);
        shares += p.share() * (1 - p.absent());
      }
    }
    double scale = Math.max(1, electrical) / shares;
    addStates(photos, scale);
    int s = states.size();
    firstNode = new int[s + 1];
    entry = new double[s][];
    lights = new int[s][];
    lightWeights = new double[s][];
    for (int i = 0; i < s; i++) {
      boolean inTurn = states.get(i).kind() == Kind.STOP || states.get(i).kind() == Kind.ROOMS;
      entry[i] = inTurn ? RUN_ENTRY : ONE_STAGE;
      lights[i] = Levels.lights(states.get(i));
      lightWeights[i] = Levels.lightWeights(states.get(i));
      firstNode[i + 1] = firstNode[i] + entry[i].length * lights[i].length;
    }
    start = new double[s];
    next = new double[s][s];
    end = new double[s];
    link();
    successors = new int[s][];
    predecessors = new int[s][];
    for (int i = 0; i < s; i++) {
      int at = i;
      successors[i] = positive(j -> next[at][j]);
      predecessors[i] = positive(j -> next[j][at]);
    }
  }

  private Priors.OfStop of(int label) {
    return priors.of(route.stops().get(label));
  }

  private int[] positive(java.util.function.IntToDoubleFunction f) {
    return java.util.stream.IntStream.range(0, states.size())
        .filter(j -> f.applyAsDouble(j) > 0)
        .toArray();
  }

  private int roomPlace() {
    return ordered.size();
  }

  private int lastPlace() {
    return rooms.isEmpty() ? ordered.size() - 1 : ordered.size();
  }

  private void addStates(int photos, double scale) {
    for (int p = 0; p < ordered.size(); p++) {
      int label = ordered.get(p);
      Priors.OfStop of = of(label);
      double mean = Math.max(1.2, of.share() * scale);
      states.add(
          new State(Kind.STOP, p, label, of.outdoors(), of.brightness(), stay(mean, RUN_ENTRY)));
    }
    if (!rooms.isEmpty()) {
      double share = 0;
      double outdoors = 0;
      for (int label : rooms) {
        share += of(label).share();
        outdoors += of(label).share() * of(label).outdoors();
      }
      double mean = Math.max(1.5, share * scale);
      states.add(
          new State(Kind.ROOMS, roomPlace(), -1, outdoors / share, 0.3, stay(mean, RUN_ENTRY)));
    }
    // Other systems come in as many runs as their chance after a run gives; they share their
    // photos.
    double otherRuns = Math.max(1, priors.otherStart() * (ordered.size() + 3));
    double otherMean = Math.max(4, priors.otherShare() * photos / otherRuns);
    for (int p = -1; p <= lastPlace(); p++) {
      if (other >= 0) {
        states.add(new State(Kind.OTHER, p, other, 0.5, 0, stay(otherMean, ONE_STAGE)));
      }
      boolean atGrounding = p >= 0 && p < ordered.size() && ordered.get(p) == grounding;
      if (grounding >= 0 && !atGrounding && p >= 0) {
        double mean = Math.max(1.2, 0.4 * of(grounding).share() * scale);
        states.add(new State(Kind.GROUNDING, p, grounding, 0.5, 0, stay(mean, ONE_STAGE)));
      }
      for (int q = 0; q < p && inside(p); q++) {
        int label = ordered.get(q);
        if (label != grounding) {
          double mean = Math.max(1.2, 0.4 * of(label).share() * scale);
          double outdoors = of(label).outdoors();
          states.add(new State(Kind.RETURN, p, label, outdoors, 0, stay(mean, ONE_STAGE)));
        }
      }
      states.add(new State(Kind.EXCURSION, p, -1, 0.5, 0, stay(1.5, ONE_STAGE)));
    }
  }

  /** Whether the walk has come in at a place. */
  private boolean inside(int place) {
    return place == roomPlace()
        || place >= 0 && route.stops().get(ordered.get(place)).phase() == Phase.INSIDE;
  }

  /** Grounding is met again inside, at the water pipe and the main; outside hardly. */
  private double turnToGrounding(int place) {
    return inside(place) ? priors.returnToGrounding() : priors.returnToGrounding() / 8;
  }

  /** The probability that a walk at a place turns back to any stop it has passed. */
  private double turnBack(int place) {
    return inside(place) ? priors.turnBack() : 0;
  }

  /** The part of the turns back from a place that go to a stop. */
  private double partOfTurns(int place, int label) {
    double all = 0;
    for (int q = 0; q < place; q++) {
      all += ordered.get(q) == grounding ? 0 : of(ordered.get(q)).share();
    }
    return of(label).share() / all;
  }

  /** The probability to stay in a stage that gives runs of this mean length. */
  private static double stay(double mean, double[] entry) {
    double stages = 0;
    for (int k = 0; k < entry.length; k++) {
      stages += entry[k] * (entry.length - k);
    }
    return Math.max(0.02, 1 - stages / mean);
  }

  /** Probability that a walk that has come to one place goes on at another, later one. */
  private double advance(int from, int to) {
    double p = 1;
    for (int between = from + 1; between < to; between++) {
      p *= absent(between);
    }
    return to > lastPlace() ? p : p * (1 - absent(to));
  }

  private double absent(int place) {
    if (place == roomPlace()) {
      double p = 1;
      for (int label : rooms) {
        p *= of(label).absent();
      }
      return p;
    }
    return of(ordered.get(place)).absent();
  }

  private void link() {
    int s = states.size();
    for (int j = 0; j < s; j++) {
      State to = states.get(j);
      start[j] =
          switch (to.kind()) {
            case STOP, ROOMS -> (1 - 3 * priors.otherStart()) * advance(-1, to.place());
            case OTHER -> to.place() == -1 ? 3 * priors.otherStart() : 0;
            case GROUNDING, RETURN -> 0;
            case EXCURSION -> to.place() == -1 ? priors.excursion() : 0;
          };
    }
    normalize(start, 1);
    for (int i = 0; i < s; i++) {
      State from = states.get(i);
      for (int j = 0; j < s; j++) {
        next[i][j] = i == j ? 0 : weight(from, states.get(j));
      }
      end[i] = endWeight(from);
      double sum = end[i];
      for (double v : next[i]) {
        sum += v;
      }
      for (int j = 0; j < s; j++) {
        next[i][j] /= sum;
      }
      end[i] /= sum;
    }
  }

  private double weight(State from, State to) {
    boolean aside = from.kind() != Kind.STOP && from.kind() != Kind.ROOMS;
    double away = away(from);
    switch (to.kind()) {
      case OTHER:
        return !aside && to.place() == from.place() ? priors.otherStart() : 0;
      case GROUNDING:
        return !aside && to.place() == from.place() ? turnToGrounding(from.place()) : 0;
      case RETURN:
        return !aside && to.place() == from.place()
            ? turnBack(from.place()) * partOfTurns(from.place(), to.label())
            : 0;
      case EXCURSION:
        return to.place() == from.place() && from.kind() != Kind.EXCURSION ? priors.excursion() : 0;
      default:
        break;
    }
    double go = 1 - away;
    if (to.place() > from.place()) {
      double p = advance(from.place(), to.place());
      return go * (aside && from.place() >= 0 ? 1 - resumed(from) : 1) * p;
    }
    if (to.place() == from.place()) {
      return aside ? go * resumed(from) : 0; // goes on where it left
    }
    return priors.backward() / Math.max(1, from.place());
  }

  /**
   * The probability that a walk goes on with the stop it left: other systems come in between a
   * stop's photos as well as after them, a turn to another stop mostly when a stop is done.
   */
  private static double resumed(State from) {
    return from.kind() == Kind.OTHER ? 0.5 : 0.2;
  }

  private double away(State from) {
    return priors.otherStart()
        + turnToGrounding(from.place())
        + turnBack(from.place())
        + priors.excursion();
  }

  private double endWeight(State from) {
    double away = away(from);
    double rest = advance(from.place(), lastPlace() + 1);
    return (1 - away) * rest;
  }

  private static void normalize(double[] p, double to) {
    double sum = 0;
    for (double v : p) {
      sum += v;
    }
    for (int i = 0; i < p.length; i++) {
      p[i] *= to / sum;
    }
  }

  /** The probability that a run of a state has this many photos. */
  double duration(int state, int photos) {
    double q = states.get(state).stay();
    double[] in = entry[state];
    double sum = 0;
    for (int k = 0; k < in.length; k++) {
      int stages = in.length - k;
      if (photos >= stages) {
        sum +=
            in[k]
                * choose(photos - 1, stages - 1)
                * Math.pow(1 - q, stages)
                * Math.pow(q, photos - stages);
      }
    }
    return sum;
  }

  private static double choose(int n, int k) {
    double c = 1;
    for (int i = 1; i <= k; i++) {
      c *= (n - k + i) / (double) i;
    }
    return c;
  }

  /** The stops of the route, for messages. */
  Stop stop(int label) {
    return route.stops().get(label);
  }

  /** Index of other systems on the route, or −1. */
  int otherLabel() {
    return other;
  }

  /** Whether a label is one of the rooms' stops. */
  boolean isRoom(int label) {
    return rooms.contains(label);
  }

  /** The rooms' stops, as indices on the route. */
  List<Integer> rooms() {
    return rooms;
  }

  /** The share of each of {@link #rooms} in them; sums to one. */
  double[] roomShares() {
    double[] out = new double[rooms.size()];
    for (int i = 0; i < out.length; i++) {
      out[i] = of(rooms.get(i)).share();
    }
    normalize(out, 1);
    return out;
  }
}

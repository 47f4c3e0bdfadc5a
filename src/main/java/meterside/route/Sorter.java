package meterside.route;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Function;
import meterside.job.Code;
import meterside.job.Edit;
import meterside.job.Job;
import meterside.job.Phase;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.Placement;
import meterside.job.PlacementBasis;
import meterside.job.Position;
import meterside.job.RoutePlan;
import meterside.job.StopKey;
import meterside.job.TimeBasis;
import meterside.job.TrueTime;
import meterside.picture.Look;

/**
 * Lays photos along the route. Photos put by hand or by a code are fixed points and stay; every
 * other photo gets the stop that is most probable, whatever the job said before, so the result
 * depends only on the photos, their true times and the fixed points.
 *
 * <p>The probability recorded with a photo is that of its stop; for the rooms' stops, which
 * interleave, it is that of being in the rooms at all.
 */
public final class Sorter {
  /** Name and version of this solver, kept with each result. */
  public static final String SOLVER = "walk-3";

  /** How often levels and lengths are fitted to the walk. */
  private static final int ROUNDS = 5;

  /** A walk of more photos than this settles in one round less. */
  private static final int LARGE = 1500;

  /** Photos times rounds that may be spent on more fits than one. */
  private static final int WORK = 10_000;

  /** A fit that is less probable than this is left out. */
  private static final double NEGLIGIBLE = 0.01;

  /** Longer pauses tell no more than this one, in seconds. */
  private static final double LONGEST_PAUSE = 1800;

  private static final double SHORTEST_PAUSE = 0.5;

  /**
   * How probable each stop is for a photo that is free.
   *
   * @param photo the photo
   * @param at the stop it is laid at
   * @param confidence probability of that stop, or of the rooms together
   * @param byStop probability by stop id, in the route's order
   */
  public record Laid(PhotoId photo, StopKey at, double confidence, Map<String, Double> byStop) {}

  private Sorter() {}

  /**
   * Works the sorting out again.
   *
   * @return what changes against the job, or nothing if nothing does
   */
  public static Optional<Edit.RecordSorting> resolve(Job job) {
    return resolve(job, Knowledge.standard());
  }

  /**
   * What the sorting goes by besides the job.
   *
   * @param priors what is expected of a walk
   * @param looks what confirmed photos look like
   * @param lookOf the look of a photo of the job, or null if it has none
   */
  public record Knowledge(Priors priors, Looks looks, Function<PhotoId, float[]> lookOf) {

    /** What the program knows for a first job. */
    public static Knowledge standard() {
      return of(Priors.standard());
    }

    /** Priors of one's own, and no looks. */
    public static Knowledge of(Priors priors) {
      return new Knowledge(priors, Looks.NONE, id -> null);
    }
  }

  /** As {@link #resolve(Job)}, with what was learned from confirmed jobs. */
  public static Optional<Edit.RecordSorting> resolve(Job job, Knowledge knowledge) {
    List<Laid> laid = lay(job, knowledge);
    List<Edit.Run> runs = new ArrayList<>();
    List<PhotoId> ids = new ArrayList<>();
    List<Double> confidence = new ArrayList<>();
    StopKey at = null;
    for (Laid l : laid) {
      double c = Math.round(l.confidence() * 100) / 100.0;
      Placement now = new Placement(l.at(), PlacementBasis.INFERRED, c);
      if (job.placement(l.photo()).filter(now::equals).isPresent()) {
        continue;
      }
      if (!l.at().equals(at)) {
        flush(runs, at, ids, confidence);
        at = l.at();
      }
      ids.add(l.photo());
      confidence.add(c);
    }
    flush(runs, at, ids, confidence);
    return runs.isEmpty()
        ? Optional.empty()
        : Optional.of(new Edit.RecordSorting(SOLVER, knowledge.priors().hash(), runs));
  }

  private static void flush(
      List<Edit.Run> runs, StopKey at, List<PhotoId> ids, List<Double> confidence) {
    if (!ids.isEmpty()) {
      runs.add(new Edit.Run(at, PlacementBasis.INFERRED, ids, confidence));
      ids.clear();
      confidence.clear();
    }
  }

  /** Something to ask the inspector, answered with one click. */
  public sealed interface Question {
    /** How many more photos are expected to be right after the answer. */
    double gain();

    /** The photo to show first. */
    PhotoId photo();
  }

  /** At which stop is this photo? Answered by putting it there by hand. */
  public record AtWhichStop(PhotoId photo, double gain) implements Question {}

  /**
   * Where does one stop end and the next begin? Answered by naming the first photo after the
   * border: that photo and the one before it are then put by hand, see {@link #answer}. If the two
   * stops do not lie side by side, there is no answer, and nothing is put.
   *
   * @param before the stop before the border
   * @param after the stop after it
   * @param photo the most probable first photo after it
   * @param around photos in true-time order among which the border lies, the first one before it
   */
  public record WhereItBegins(
      StopKey before, StopKey after, PhotoId photo, List<PhotoId> around, double gain)
      implements Question {
    /** Copies the list. */
    public WhereItBegins {
      around = List.copyOf(around);
    }
  }

  /** An answer that is expected to put fewer photos right is not worth a question. */
  private static final double WORTH_ASKING = 0.05;

  /**
   * The photos whose stop is worth asking about, the most useful answer first: the one after which
   * the most photos are expected to be right. Those whose answer would hardly change anything are
   * left out.
   */
  public static List<PhotoId> questions(Job job) {
    return questions(job, Knowledge.standard());
  }

  /** As {@link #questions(Job)}, with what was learned from confirmed jobs. */
  public static List<PhotoId> questions(Job job, Knowledge knowledge) {
    return asked(job, knowledge, false).stream().map(Question::photo).toList();
  }

  /**
   * Questions of both kinds, the most useful answer first. The rooms' stops count as one; asked
   * about a border of theirs, the answer is put to the first of them.
   */
  public static List<Question> ask(Job job, Knowledge knowledge) {
    return asked(job, knowledge, true);
  }

  /**
   * What the answer to a question about a border puts by hand.
   *
   * @param first the first photo after the border
   * @throws IllegalArgumentException if it is not among the photos around, or the first of them
   */
  public static List<Edit> answer(WhereItBegins question, PhotoId first) {
    int at = question.around().indexOf(first);
    if (at < 1) {
      throw new IllegalArgumentException("not a photo that can come after the border");
    }
    PhotoId last = question.around().get(at - 1);
    return List.of(
        new Edit.PlaceByHand(List.of(last), question.before()),
        new Edit.PlaceByHand(List.of(first), question.after()));
  }

  private static List<Question> asked(Job job, Knowledge knowledge, boolean borders) {
    List<Photo> chain =
        job.inTrueOrder().stream()
            .filter(p -> onRoute(job, p) && !showsACard(job, p) && credible(job.trueTime(p)))
            .toList();
    if (chain.isEmpty()) {
      return List.of();
    }
    RoutePlan route = job.route();
    Evidence ev = evidence(job, chain, true, knowledge);
    List<Question> out = new ArrayList<>();
    for (Asking.Worth w : new Asking(solve(route, ev, knowledge.priors()), ev).questions(borders)) {
      PhotoId photo = chain.get(w.photo()).id();
      if (w.gain() < WORTH_ASKING) {
        continue;
      }
      if (w.border()) {
        int from = Math.max(0, w.from() - 2);
        int to = Math.min(chain.size(), w.to() + 2);
        List<PhotoId> around = chain.subList(from, to).stream().map(Photo::id).toList();
        StopKey before = StopKey.of(route.stops().get(w.before()).id());
        StopKey after = StopKey.of(route.stops().get(w.after()).id());
        out.add(new WhereItBegins(before, after, photo, around, w.gain()));
      } else {
        out.add(new AtWhichStop(photo, w.gain()));
      }
    }
    return out;
  }

  /** The free photos of a job in true-time order, each with its stop and probabilities. */
  public static List<Laid> lay(Job job, Knowledge knowledge) {
    List<Photo> order = job.inTrueOrder();
    List<Photo> timed = new ArrayList<>();
    List<Photo> untimed = new ArrayList<>();
    Map<PhotoId, Laid> cards = new LinkedHashMap<>();
    StopKey others = StopKey.of(StopKey.OTHER_SYSTEMS);
    for (Photo p : order) {
      if (!onRoute(job, p)) {
        continue; // fixed at a stop that this route lacks: kept, and no hint for the others
      }
      if (showsACard(job, p)) {
        if (job.placement(p.id()).filter(Placement::fixed).isEmpty()) {
          cards.put(p.id(), new Laid(p.id(), others, 1, Map.of(others.stop(), 1.0)));
        }
        continue;
      }
      (credible(job.trueTime(p)) ? timed : untimed).add(p);
    }
    boolean noTimes = timed.isEmpty();
    List<Photo> chain = noTimes ? untimed : timed;
    Map<PhotoId, Laid> laid = layChain(job, chain, !noTimes, knowledge);
    laid.putAll(cards);
    if (!noTimes && !chain.isEmpty()) {
      untimed.stream()
          .filter(p -> job.placement(p.id()).filter(Placement::fixed).isEmpty())
          .forEach(p -> laid.put(p.id(), besideItsNumber(job, p, chain, laid)));
    }
    List<Laid> out = new ArrayList<>();
    for (Photo p : order) {
      Laid l = laid.get(p.id());
      if (l != null) {
        out.add(l);
      }
    }
    return out;
  }

  private static boolean onRoute(Job job, Photo p) {
    Optional<Placement> fixed = job.placement(p.id()).filter(Placement::fixed);
    return fixed.isEmpty() || job.route().indexOf(fixed.get().at().stop()) >= 0;
  }

  /**
   * Whether a photo was taken for its job or clock code: it shows a card and no stop, and the pause
   * to it is no pause of the walk.
   */
  static boolean showsACard(Job job, Photo p) {
    List<Code> codes = job.codes(p.id());
    return !codes.isEmpty()
        && codes.stream().allMatch(c -> c.at().isEmpty())
        && job.route().indexOf(StopKey.OTHER_SYSTEMS) >= 0;
  }

  static boolean credible(TrueTime t) {
    return t.basis() != TimeBasis.NONE && t.basis() != TimeBasis.FILE;
  }

  private static Map<PhotoId, Laid> layChain(
      Job job, List<Photo> chain, boolean timed, Knowledge knowledge) {
    Map<PhotoId, Laid> out = new LinkedHashMap<>();
    if (chain.isEmpty()) {
      return out;
    }
    RoutePlan route = job.route();
    Evidence ev = evidence(job, chain, timed, knowledge);
    Solution solution = solve(route, ev, knowledge.priors());
    StopKey[] at = new StopKey[chain.size()];
    double[][] labels = new double[chain.size()][];
    for (int t = 0; t < at.length; t++) {
      Optional<Placement> fixed = job.placement(chain.get(t).id()).filter(Placement::fixed);
      labels[t] = solution.labels(t);
      int best = best(labels[t], solution.model());
      at[t] = fixed.map(Placement::at).orElse(StopKey.of(route.stops().get(best).id()));
    }
    for (int t = 0; t < at.length; t++) {
      if (ev.fixed()[t] >= 0) {
        continue;
      }
      int label = route.indexOf(at[t].stop());
      double confidence = confidence(labels[t], label, solution.model());
      Map<String, Double> byStop = new LinkedHashMap<>();
      for (int i = 0; i < labels[t].length; i++) {
        byStop.put(route.stops().get(i).id(), labels[t][i]);
      }
      PhotoId id = chain.get(t).id();
      out.put(id, new Laid(id, instance(at, ev.fixed(), t), confidence, byStop));
    }
    return out;
  }

  /**
   * A fit of the model to a walk.
   *
   * @param weight its probability among the fits
   */
  record Fit(WalkModel model, Levels levels, Inference inference, double weight) {}

  /** The fits of a walk, the likeliest first, and what they make of the photos together. */
  record Solution(List<Fit> fits) {
    WalkModel model() {
      return fits.get(0).model();
    }

    Levels levels() {
      return fits.get(0).levels();
    }

    /** The probability that a photo lies at each stop of the route. Sums to one. */
    double[] labels(int t) {
      double[] out = new double[model().labels];
      for (Fit fit : fits) {
        double[] p = fit.inference().labels(t);
        for (int i = 0; i < out.length; i++) {
          out[i] += fit.weight() * p[i];
        }
      }
      return out;
    }
  }

  /**
   * Fits levels and run lengths to the walk and works out its probabilities: one fit from each
   * habit as far as the time allows, weighed by how likely all that was recorded is under each.
   */
  static Solution solve(RoutePlan route, Evidence ev, Priors priors) {
    int n = Math.max(1, ev.photos());
    int rounds = Math.min(ROUNDS * Levels.Habit.values().length, Math.max(ROUNDS, WORK / n));
    List<Fit> fits = new ArrayList<>();
    for (Levels.Habit habit : Levels.Habit.values()) {
      if (rounds >= ROUNDS * (fits.size() + 1)) {
        fits.add(fit(route, ev, priors, habit));
      }
    }
    double most = fits.stream().mapToDouble(f -> f.inference().logEvidence()).max().orElse(0);
    double sum = 0;
    for (Fit f : fits) {
      sum += Math.exp(f.inference().logEvidence() - most);
    }
    List<Fit> out = new ArrayList<>();
    for (Fit f : fits) {
      double weight = Math.exp(f.inference().logEvidence() - most) / sum;
      if (weight > NEGLIGIBLE) {
        out.add(new Fit(f.model(), f.levels(), f.inference(), weight));
      }
    }
    double kept = out.stream().mapToDouble(Fit::weight).sum();
    out.replaceAll(f -> new Fit(f.model(), f.levels(), f.inference(), f.weight() / kept));
    out.sort(Comparator.comparingDouble((Fit f) -> -f.weight()));
    return new Solution(List.copyOf(out));
  }

  /** How many runs to expect of a walk, but for the rooms. */
  private static int ordered(RoutePlan route) {
    return (int) route.stops().stream().filter(x -> x.phase() != Phase.ROOMS).count();
  }

  private static Fit fit(RoutePlan route, Evidence ev, Priors priors, Levels.Habit habit) {
    int n = ev.photos();
    double electrical = n * (1 - priors.otherShare());
    Levels usual = Levels.of(habit, ev, ordered(route));
    Levels levels = usual;
    WalkModel model = new WalkModel(route, priors, n, electrical);
    Inference in = new Inference(model, ev, levels);
    for (int round = n > LARGE ? 2 : 1; round < ROUNDS; round++) {
      levels = levels.refit(ev, in, usual, habit);
      double others = 0;
      for (int t = 0; t < n; t++) {
        for (int s = 0; s < model.states.size(); s++) {
          if (model.states.get(s).kind() == WalkModel.Kind.OTHER) {
            others += in.state(t, s);
          }
        }
      }
      electrical = Math.max(0.2 * n, n - others);
      model = new WalkModel(route, priors, n, electrical);
      in = new Inference(model, ev, levels);
    }
    return new Fit(model, levels, in, 1);
  }

  /** The most probable stop, with the rooms' stops weighed together first. */
  static int best(double[] p, WalkModel model) {
    double rooms = 0;
    int room = -1;
    int other = -1;
    for (int i = 0; i < p.length; i++) {
      if (model.isRoom(i)) {
        rooms += p[i];
        room = room < 0 || p[i] > p[room] ? i : room;
      } else {
        other = other < 0 || p[i] > p[other] ? i : other;
      }
    }
    return room >= 0 && (other < 0 || rooms > p[other]) ? room : other;
  }

  static double confidence(double[] p, int label, WalkModel model) {
    if (!model.isRoom(label)) {
      return Math.min(1, p[label]);
    }
    double rooms = 0;
    for (int i = 0; i < p.length; i++) {
      rooms += model.isRoom(i) ? p[i] : 0;
    }
    return Math.min(1, rooms);
  }

  /** Which named instance a photo belongs to: that of the nearest fixed photo of its run. */
  private static StopKey instance(StopKey[] at, int[] fixed, int t) {
    String stop = at[t].stop();
    int back = t - 1;
    while (back >= 0 && at[back].stop().equals(stop) && fixed[back] < 0) {
      back--;
    }
    int on = t + 1;
    while (on < at.length && at[on].stop().equals(stop) && fixed[on] < 0) {
      on++;
    }
    boolean hasBack = back >= 0 && at[back].stop().equals(stop);
    boolean hasOn = on < at.length && at[on].stop().equals(stop);
    if (hasBack && (!hasOn || t - back <= on - t)) {
      return at[back];
    }
    return hasOn ? at[on] : StopKey.of(stop);
  }

  /**
   * The place of a photo whose time nobody knows: beside the photo of its camera and folder whose
   * file name is nearest before it, or else nearest after it.
   */
  private static Laid besideItsNumber(
      Job job, Photo p, List<Photo> chain, Map<PhotoId, Laid> laid) {
    Photo before = null;
    Photo after = null;
    for (Photo q : chain) {
      if (!q.camera().equals(p.camera()) || !q.folder().equals(p.folder())) {
        continue;
      }
      if (Job.byNumber(q.name(), p.name()) <= 0) {
        before = before == null || Job.byNumber(q.name(), before.name()) > 0 ? q : before;
      } else {
        after = after == null || Job.byNumber(q.name(), after.name()) < 0 ? q : after;
      }
    }
    Photo beside = before != null ? before : after != null ? after : chain.get(0);
    StopKey at = stopOf(job, beside, laid);
    boolean agree = after == null || stopOf(job, after, laid).equals(at);
    double sure = before != null && agree ? 0.6 : 0.2;
    return new Laid(p.id(), at, sure, Map.of(at.stop(), sure));
  }

  private static StopKey stopOf(Job job, Photo p, Map<PhotoId, Laid> laid) {
    Laid l = laid.get(p.id());
    return l != null ? l.at() : job.placement(p.id()).orElseThrow().at();
  }

  static Evidence evidence(Job job, List<Photo> chain, boolean timed, Knowledge knowledge) {
    Evidence ev = Evidence.none(chain.size());
    Instant last = null;
    Position lastPosition = null;
    float[] lastLook = null;
    for (int t = 0; t < chain.size(); t++) {
      Photo p = chain.get(t);
      if (timed) {
        Instant at = job.trueTime(p).at();
        if (last != null) {
          double seconds = Duration.between(last, at).toMillis() / 1000.0;
          ev.pause()[t] = Math.log(Math.max(SHORTEST_PAUSE, Math.min(LONGEST_PAUSE, seconds)));
        }
        last = at;
      }
      if (p.exposure() != null && p.exposure().ev100().isPresent()) {
        ev.light()[t] = p.exposure().ev100().getAsDouble();
      }
      if (p.position() != null && lastPosition != null) {
        double metres = metres(lastPosition, p.position());
        ev.move()[t] = Math.log(Math.max(0.3, Math.min(200, metres)));
        ev.turn()[t] = turn(lastPosition, p.position());
      }
      lastPosition = p.position();
      float[] look = knowledge.lookOf().apply(p.id());
      ev.look()[t] = knowledge.looks().ratios(look, job.route());
      if (look != null && lastLook != null) {
        ev.change()[t] = Math.log(Math.max(0.01, 1 - Look.alike(look, lastLook)));
      }
      lastLook = look;
      int index = t;
      job.placement(p.id())
          .filter(Placement::fixed)
          .ifPresent(f -> ev.fixed()[index] = job.route().indexOf(f.at().stop()));
    }
    return ev;
  }

  /** Metres between two near positions on a sphere of mean radius 6,371,008.8 m (IUGG). */
  private static double metres(Position a, Position b) {
    double north = Math.toRadians(b.latitude() - a.latitude());
    double east =
        Math.toRadians(b.longitude() - a.longitude())
            * Math.cos(Math.toRadians((a.latitude() + b.latitude()) / 2));
    return 6_371_008.8 * Math.hypot(north, east);
  }

  private static double turn(Position a, Position b) {
    if (a.heading() == null || b.heading() == null || a.headingMagnetic() != b.headingMagnetic()) {
      return Double.NaN;
    }
    double d = Math.abs(a.heading() - b.heading()) % 360;
    return Math.min(d, 360 - d);
  }
}

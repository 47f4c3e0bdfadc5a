package meterside.markup;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import meterside.markup.Geometry.Box;
import meterside.markup.Geometry.Segment;

/**
 * Finds places for plates. This is the point-feature label placement problem with leaders: each
 * label has a finite set of candidate positions, and one is to be chosen for each so that no two
 * chosen ones conflict and the total length of the leaders is least. The formulation as a choice
 * among candidates, and greedy placement with local search as its practical solution, follow
 * Christensen, Marks and Shieber, "An empirical study of algorithms for point-feature label
 * placement", ACM Transactions on Graphics 14 (1995); least total leader length under crossing-free
 * straight leaders as the goal follows Bekos, Kaufmann, Symvonis and Wolff, "Boundary labeling",
 * Computational Geometry 36 (2007). The problem is NP-hard, so it is solved exactly for up to
 * {@link #EXACT} labels, by branch and bound, and well beyond that.
 *
 * <p><b>Candidates.</b> A leader leaves the ring at one of a few angles ({@link #WAYS}) and has one
 * of a few lengths ({@link #LENGTHS}). It ends at a port of the plate: the middle of its left or
 * right side, or one of three points on its top or bottom. That fixes where the plate lies. A plate
 * that serves several rings has the candidates of each of them; the other rings' leaders go to
 * whichever port is nearest. Leaders from an outline start at its edge. A plate placed by hand has
 * that one candidate.
 *
 * <p><b>Rules.</b> A plate lies on the photo, at a margin. It covers no ring, no line of an outline
 * and no other plate. A leader runs over no plate but its own and over no ring but its own (unless
 * the rings themselves overlap), and keeps away from other leaders. Rules are never broken for a
 * shorter leader; if they can't all be kept, as few as possible are broken and the result says how
 * many. What was placed by hand breaks no rule by being where it is; the others give way.
 *
 * <p><b>Cost.</b> The sum of the leaders' lengths. If an earlier arrangement is given, a plate that
 * leaves its place beside its ring costs {@link #JUMP} on top, so that plates don't jump while a
 * ring is dragged. Among equals the earlier candidate wins; there is no randomness and no clock.
 *
 * <p>All coordinates are design units. Not thread-safe; make one per photo.
 */
final class LabelLayout {
  /** Up to so many labels the result is the best there is over the candidates. */
  static final int EXACT = 8;

  /** What it costs a plate to leave its place beside its ring, in design units. */
  static final double JUMP = 60;

  private static final double PHOTO_MARGIN = 6;
  private static final double PLATE_GAP = 6;
  private static final double RING_GAP = 3;

  /** How far a plate keeps from the ink of its own ring or outline, so that the part shows. */
  private static final double OWN_GAP = 17;

  private static final double LEADER_GAP = 3;

  /** Weighs more than any sum of leader lengths, so that a rule is never broken for length. */
  private static final double BROKEN = 1e6;

  /** Harm of a plate over a plate, beside that of a leader over a plate. */
  private static final int HIDING_PLATE = 25;

  /** How often labels are gone through to hide less. */
  private static final int HARM_SWEEPS = 4;

  /** Distance of spots that are tried on the whole photo, and how many rules one may break. */
  private static final double FREE_STEP = 22;

  private static final int FREE_BROKEN = 6;

  /** So much more leader is as bad as a leader over a leader. */
  private static final double FREE_LENGTH = 100;

  /** Harm of a leader over a plate, beside that of a leader over a leader. */
  private static final int LEADER_OVER_PLATE = 5;

  /**
   * Nodes the search may visit where it improves part of a large arrangement. Small problems are
   * searched to the end.
   */
  private static final long PART_NODES = 400;

  /** Turns that conflicts get to resolve, and how long a label keeps from a place it left. */
  private static final int SETTLE_TURNS = 500;

  /** Above so many conflicts a label, turns would not resolve them. */
  private static final double HOPELESS = 0.2;

  private static final int TABU_TURNS = 120;

  /**
   * Up to so many labels, whose conflicts could not be resolved by moving them, are searched for an
   * arrangement without any; and the nodes that search may visit.
   */
  static final int SEARCHED = 30;

  private static final long ALL_NODES = 3000;

  /** How many labels are re-arranged together beyond {@link #EXACT}. */
  private static final int PART = 5;

  /** The candidate set: which leader lengths are tried, at every angle. */
  static final double[] LENGTHS = {30, 46, 66, 92, 126, 170, 226, 296, 380, 480, 600};

  /**
   * Where a leader may go: the port as fractions of the plate's width and height, and the angle in
   * degrees from the x axis, clockwise on the screen. Order is preference among equally long ones.
   * Slanted leaders come first: they stand out from edges of houses and panels, which run along the
   * photo's.
   */
  static final double[][] WAYS = {
    {0, .5, -30}, {0, .5, 30}, {1, .5, 210}, {1, .5, 150},
    {.2, 0, 60}, {.2, 1, -60}, {.8, 0, 120}, {.8, 1, -120},
    {.5, 0, 60}, {.5, 0, 120}, {.5, 1, -60}, {.5, 1, -120},
    {0, .5, -52}, {0, .5, 52}, {1, .5, 232}, {1, .5, 128},
    {.5, 0, 85}, {.5, 1, -85}, {0, .5, -5}, {1, .5, 185},
  };

  /** Ports of a plate: middles of its sides, and points on its top and bottom edge. */
  private static final double[][] PORTS = {
    {0, .5}, {1, .5}, {.2, 0}, {.5, 0}, {.8, 0}, {.2, 1}, {.5, 1}, {.8, 1}
  };

  /** Cosine of the flattest angle at which a leader may meet the plate's edge: 65 degrees off. */
  private static final double STEEP = 0.42;

  /** Distance of places in a column: plates of one line and their gap. */
  private static final double COLUMN_STEP = 32.5;

  /**
   * What a leader starts from.
   *
   * @param xs one x for a ring's centre, or the corners of an outline
   * @param ys likewise
   * @param ring true for a ring
   */
  record Anchor(double[] xs, double[] ys, boolean ring) {
    static Anchor ring(double x, double y) {
      return new Anchor(new double[] {x}, new double[] {y}, true);
    }

    static Anchor outline(double[] xs, double[] ys) {
      return new Anchor(xs.clone(), ys.clone(), false);
    }

    double x() {
      return xs[0];
    }

    double y() {
      return ys[0];
    }

    /** The leader from here to a point, or null if the point lies on the anchor. */
    Segment leader(double px, double py) {
      if (ring) {
        double d = Math.hypot(px - x(), py - y());
        if (d <= Sizes.RING_INK) {
          return null;
        }
        // A hair inside the ring's ink, so that no light line shows between ring and leader.
        double t = (Sizes.RING_INK - 0.2) / d;
        return new Segment(x() + (px - x()) * t, y() + (py - y()) * t, px, py);
      }
      Segment best = null;
      for (Segment edge : edges()) {
        double dx = edge.x2() - edge.x1();
        double dy = edge.y2() - edge.y1();
        double squared = dx * dx + dy * dy;
        double t = squared == 0 ? 0 : ((px - edge.x1()) * dx + (py - edge.y1()) * dy) / squared;
        t = Math.max(0, Math.min(1, t));
        Segment s = new Segment(edge.x1() + t * dx, edge.y1() + t * dy, px, py);
        if (best == null || s.length() < best.length()) {
          best = s;
        }
      }
      double d = best == null ? 0 : best.length();
      if (d <= Sizes.OUTLINE_STROKE) {
        return null;
      }
      double t = (Sizes.OUTLINE_STROKE / 2 - 0.2) / d;
      return new Segment(
          best.x1() + (px - best.x1()) * t, best.y1() + (py - best.y1()) * t, px, py);
    }

    List<Segment> edges() {
      List<Segment> out = new ArrayList<>();
      if (!ring) {
        for (int i = 0; i < xs.length; i++) {
          int j = (i + 1) % xs.length;
          out.add(new Segment(xs[i], ys[i], xs[j], ys[j]));
        }
      }
      return out;
    }

    /** Points that candidate leaders start at: the ring, or the outline's corners and middles. */
    List<double[]> starts() {
      List<double[]> out = new ArrayList<>();
      if (ring) {
        out.add(new double[] {x(), y(), Sizes.RING_INK});
        return out;
      }
      int step = Math.max(1, xs.length / 12);
      for (int i = 0; i < xs.length; i += step) {
        int j = (i + step) % xs.length;
        out.add(new double[] {xs[i], ys[i], 0});
        out.add(new double[] {(xs[i] + xs[j]) / 2, (ys[i] + ys[j]) / 2, 0});
      }
      return out;
    }
  }

  /**
   * A plate to place.
   *
   * @param anchors its rings, or one outline
   * @param width width of the plate
   * @param height height of the plate
   * @param byHand centre of the plate if it was placed by hand, as x and y, else null
   * @param before centre of the plate relative to its first anchor's first point in an earlier
   *     arrangement, as x and y, else null
   */
  record Label(
      List<Anchor> anchors, double width, double height, double[] byHand, double[] before) {}

  /** A place for a label: its plate and its leaders, one per anchor. */
  static final class Candidate {
    final Box box;
    final Segment[] leaders;
    final double length;
    final double cost;
    final int broken;
    final boolean byHand;
    private final double left;
    private final double top;
    private final double right;
    private final double bottom;

    private Candidate(Box box, Segment[] leaders, double extra, int broken, boolean byHand) {
      this.box = box;
      this.leaders = leaders;
      this.broken = broken;
      this.byHand = byHand;
      double sum = 0;
      double l = box.x();
      double t = box.y();
      double r = box.right();
      double b = box.bottom();
      for (Segment s : leaders) {
        sum += s.length();
        l = Math.min(l, Math.min(s.x1(), s.x2()));
        t = Math.min(t, Math.min(s.y1(), s.y2()));
        r = Math.max(r, Math.max(s.x1(), s.x2()));
        b = Math.max(b, Math.max(s.y1(), s.y2()));
      }
      length = sum;
      // In thousandths, so that equally long leaders cost the same whatever their rounding.
      cost = Math.rint((sum + extra) * 1000) / 1000 + broken * BROKEN;
      left = l - PLATE_GAP;
      top = t - PLATE_GAP;
      right = r + PLATE_GAP;
      bottom = b + PLATE_GAP;
    }

    /** How much of each other both hide: 0 if they fit. */
    int harm(Candidate o) {
      if (fits(o)) {
        return 0;
      }
      int sum = box.grown(PLATE_GAP).overlaps(o.box) ? HIDING_PLATE : 0;
      Box wide = box.grown(LEADER_GAP);
      for (Segment s : o.leaders) {
        sum += wide.touches(s) ? LEADER_OVER_PLATE : 0;
      }
      Box otherWide = o.box.grown(LEADER_GAP);
      for (Segment s : leaders) {
        sum += otherWide.touches(s) ? LEADER_OVER_PLATE : 0;
        for (Segment t : o.leaders) {
          sum += s.distance(t) < LEADER_GAP ? 1 : 0;
        }
      }
      return sum;
    }

    /** Whether both may be chosen together. */
    boolean fits(Candidate o) {
      if (left >= o.right || o.left >= right || top >= o.bottom || o.top >= bottom) {
        return true;
      }
      if (byHand && o.byHand) {
        return true;
      }
      if (box.grown(PLATE_GAP).overlaps(o.box)) {
        return false;
      }
      Box wide = box.grown(LEADER_GAP);
      for (Segment s : o.leaders) {
        if (wide.touches(s)) {
          return false;
        }
      }
      Box otherWide = o.box.grown(LEADER_GAP);
      for (Segment s : leaders) {
        if (otherWide.touches(s)) {
          return false;
        }
        for (Segment t : o.leaders) {
          if (s.distance(t) < LEADER_GAP) {
            return false;
          }
        }
      }
      return true;
    }
  }

  /**
   * An arrangement.
   *
   * @param chosen one place for each label, in the labels' order
   * @param length total length of the leaders
   * @param broken how many rules are broken; 0 if the plates fit
   * @param exact whether it is known to be the best over the candidates
   */
  record Arrangement(List<Candidate> chosen, double length, int broken, boolean exact) {}

  private final Box photo;
  private final List<Label> labels;
  private final double[] lengths;
  private final double[][] ways;
  private final List<double[]> rings = new ArrayList<>();
  private final List<Segment> lines = new ArrayList<>();
  private final double[][] columnEdges;
  private final Candidate[][] candidates;

  /**
   * @param width width of the photo
   * @param height height of the photo
   * @param labels what to place
   * @param outlines lines of outlines that have no plate of their own but are not to be covered
   */
  LabelLayout(double width, double height, List<Label> labels, List<Segment> outlines) {
    this(width, height, labels, outlines, LENGTHS, WAYS, false);
  }

  /** The same with columns of places beside the rings added to the candidates. */
  static LabelLayout withColumns(
      double width, double height, List<Label> labels, List<Segment> outlines) {
    return new LabelLayout(width, height, labels, outlines, LENGTHS, WAYS, true);
  }

  /** The same over another candidate set. */
  LabelLayout(
      double width,
      double height,
      List<Label> labels,
      List<Segment> outlines,
      double[] lengths,
      double[][] ways,
      boolean columns) {
    this.photo = new Box(0, 0, width, height).grown(-PHOTO_MARGIN);
    this.labels = List.copyOf(labels);
    this.lengths = lengths.clone();
    this.ways = ways.clone();
    lines.addAll(outlines);
    for (Label label : labels) {
      for (Anchor a : label.anchors()) {
        if (a.ring()) {
          rings.add(new double[] {a.x(), a.y()});
        } else {
          lines.addAll(a.edges());
        }
      }
    }
    columnEdges = columns ? columnEdges() : new double[0][];
    candidates = new Candidate[labels.size()][];
    for (int i = 0; i < labels.size(); i++) {
      candidates[i] = candidatesOf(this.labels.get(i));
    }
  }

  /** The places a label can take, cheapest first. Never empty. */
  List<Candidate> candidates(int label) {
    return List.of(candidates[label]);
  }

  /** Arranges the plates. */
  Arrangement arrange() {
    int n = labels.size();
    int[] choice = new int[n];
    // Everyone at their cheapest place, if that works: it can't be beaten.
    if (isFree(choice)) {
      return arrangement(choice, true);
    }
    choice = greedy();
    improve(choice);
    settle(choice);
    improve(choice);
    improveParts(choice);
    if (unbroken()) {
      int[] all = new int[n];
      Arrays.setAll(all, i -> i);
      boolean free = conflicts(choice) == 0;
      if (n <= EXACT) {
        double bound = free ? cost(choice) : Double.POSITIVE_INFINITY;
        int[] best = new BranchAndBound(all, choice, bound, Long.MAX_VALUE).run();
        return arrangement(best == null ? choice : best, true);
      }
      if (!free && n <= SEARCHED) {
        int[] found = new BranchAndBound(all, choice, Double.POSITIVE_INFINITY, ALL_NODES).run();
        if (found != null) {
          choice = found;
          improve(choice);
          improveParts(choice);
        }
      }
    }
    if (conflicts(choice) > 0) {
      lessHarm(choice);
      if (n <= SEARCHED) {
        free(choice); // tries the whole photo, which takes too long for more
      }
    }
    return arrangement(choice, false);
  }

  private boolean unbroken() {
    for (Candidate[] c : candidates) {
      if (c[0].broken > 0) {
        return false;
      }
    }
    return true;
  }

  private boolean isFree(int[] choice) {
    return unbroken() && conflicts(choice) == 0;
  }

  private Arrangement arrangement(int[] choice, boolean exact) {
    List<Candidate> chosen = new ArrayList<>();
    double length = 0;
    int broken = conflicts(choice);
    for (int i = 0; i < choice.length; i++) {
      Candidate c = candidates[i][choice[i]];
      chosen.add(c);
      length += c.length;
      broken += c.broken;
    }
    return new Arrangement(List.copyOf(chosen), length, broken, exact && broken == 0);
  }

  private double cost(int[] choice) {
    double sum = 0;
    for (int i = 0; i < choice.length; i++) {
      sum += candidates[i][choice[i]].cost;
    }
    return sum;
  }

  private int conflicts(int[] choice) {
    int count = 0;
    for (int i = 0; i < choice.length; i++) {
      for (int j = i + 1; j < choice.length; j++) {
        if (!candidates[i][choice[i]].fits(candidates[j][choice[j]])) {
          count++;
        }
      }
    }
    return count;
  }

  // ---- candidates ----

  private Candidate[] candidatesOf(Label label) {
    if (label.byHand() != null) {
      double x = label.byHand()[0] - label.width() / 2;
      double y = label.byHand()[1] - label.height() / 2;
      x = Math.max(photo.x(), Math.min(x, photo.right() - label.width()));
      y = Math.max(photo.y(), Math.min(y, photo.bottom() - label.height()));
      Box box = new Box(x, y, label.width(), label.height());
      return new Candidate[] {new Candidate(box, leaders(label, box, null, null), 0, 0, true)};
    }
    Places all = new Places(label);
    for (Anchor a : label.anchors()) {
      for (double[] start : a.starts()) {
        for (double length : lengths) {
          for (double[] way : ways) {
            double angle = Math.toRadians(way[2]);
            double reach = start[2] + length;
            double px = start[0] + reach * Math.cos(angle);
            double py = start[1] + reach * Math.sin(angle);
            double x = px - way[0] * label.width();
            double y = py - way[1] * label.height();
            all.add(new Box(x, y, label.width(), label.height()), a, way);
          }
        }
      }
    }
    for (double[] column : columnEdges) {
      double x = column[0] - column[1] * label.width();
      for (double y = photo.y(); y + label.height() <= photo.bottom(); y += COLUMN_STEP) {
        all.add(new Box(x, y, label.width(), label.height()), null, null);
      }
    }
    if (label.before() != null) {
      Anchor first = label.anchors().get(0);
      double x = first.x() + label.before()[0] - label.width() / 2;
      double y = first.y() + label.before()[1] - label.height() / 2;
      all.add(new Box(x, y, label.width(), label.height()), null, null);
    }
    if (all.kept.isEmpty()) {
      // The photo is too small for the plate: put it as far inside as it goes.
      Anchor first = label.anchors().get(0);
      Box box =
          new Box(
              inside(first.x() + 20, label.width(), photo.x(), photo.right()),
              inside(first.y() + 20, label.height(), photo.y(), photo.bottom()),
              label.width(),
              label.height());
      Segment[] leaders = leaders(label, box, null, null);
      int broken = 1 + broken(label, box, leaders, Integer.MAX_VALUE);
      return new Candidate[] {new Candidate(box, leaders, 0, broken, false)};
    }
    return all.kept.stream()
        .sorted(Comparator.comparingDouble((Candidate c) -> c.cost))
        .toArray(Candidate[]::new);
  }

  /** Where columns of plates begin: x, and 0 for their left edge or 1 for their right one. */
  private double[][] columnEdges() {
    double left = photo.right();
    double right = photo.x();
    double widest = 0;
    for (Label label : labels) {
      widest = Math.max(widest, label.width());
      for (Anchor a : label.anchors()) {
        left = Math.min(left, Arrays.stream(a.xs()).min().orElse(left));
        right = Math.max(right, Arrays.stream(a.xs()).max().orElse(right));
      }
    }
    double away = Sizes.RING_INK + LENGTHS[0];
    double next = away + widest + 2 * LENGTHS[0];
    return new double[][] {
      {right + away, 0}, {left - away, 1}, {right + next, 0}, {left - next, 1}
    };
  }

  private static double inside(double wanted, double size, double from, double to) {
    return size >= to - from ? (from + to - size) / 2 : Math.max(from, Math.min(wanted, to - size));
  }

  /** Gathers the places of a label that break the fewest rules. */
  private final class Places {
    private final Label label;
    private final List<Candidate> kept = new ArrayList<>();
    private int fewest = Integer.MAX_VALUE;

    Places(Label label) {
      this.label = label;
    }

    void add(Box box, Anchor from, double[] way) {
      if (!box.within(photo)) {
        return;
      }
      Segment[] leaders = leaders(label, box, from, way);
      int broken = broken(label, box, leaders, fewest);
      if (broken > fewest) {
        return;
      }
      if (broken < fewest) {
        kept.clear();
        fewest = broken;
      }
      double extra = 0;
      if (label.before() != null) {
        Anchor first = label.anchors().get(0);
        double dx = box.centreX() - first.x() - label.before()[0];
        double dy = box.centreY() - first.y() - label.before()[1];
        extra = Math.hypot(dx, dy) < 1 ? 0 : JUMP;
      }
      kept.add(new Candidate(box, leaders, extra, broken, false));
    }
  }

  /**
   * One leader per anchor, to the nearest port that can be reached without running over the plate.
   * Where the plate lies on its own ring and no port can be reached, the leader has no length.
   *
   * @param from the ring whose leader goes to the port of {@code way} in any case, or null
   */
  private static Segment[] leaders(Label label, Box box, Anchor from, double[] way) {
    Segment[] out = new Segment[label.anchors().size()];
    for (int i = 0; i < out.length; i++) {
      Anchor a = label.anchors().get(i);
      Segment best = null;
      for (double[] port : a == from ? new double[][] {way} : PORTS) {
        Segment s = a.leader(box.x() + port[0] * box.w(), box.y() + port[1] * box.h());
        if (s != null && meets(s, port) && (best == null || s.length() < best.length())) {
          best = s;
        }
      }
      out[i] = best != null ? best : new Segment(a.x(), a.y(), a.x(), a.y());
    }
    return out;
  }

  /** Whether a leader comes to a port from outside, and not along the plate's edge. */
  private static boolean meets(Segment s, double[] port) {
    double outwards =
        port[0] == 0
            ? s.x2() - s.x1()
            : port[0] == 1 ? s.x1() - s.x2() : port[1] == 0 ? s.y2() - s.y1() : s.y1() - s.y2();
    return outwards >= STEEP * s.length();
  }

  /**
   * How many rules a place breaks by itself, whatever the others do.
   *
   * @param atMost counting may stop above this
   */
  private int broken(Label label, Box box, Segment[] own, int atMost) {
    int count = 0;
    for (double[] r : rings) {
      if (box.distance(r[0], r[1]) < Sizes.RING_REACH + RING_GAP && ++count > atMost) {
        return count;
      }
    }
    Box wide = box.grown(LEADER_GAP);
    for (Segment s : lines) {
      if (wide.touches(s) && ++count > atMost) {
        return count;
      }
    }
    for (int i = 0; i < own.length; i++) {
      Segment s = own[i];
      Anchor a = label.anchors().get(i);
      if (s.length() == 0 || nearOwn(a, box)) {
        count++;
      }
      for (double[] r : rings) {
        // Where rings overlap no leader could keep off the other one; its own ring is such a one.
        boolean overlap = a.ring() && Math.hypot(a.x() - r[0], a.y() - r[1]) < 2 * Sizes.RING_REACH;
        if (!overlap && s.distance(r[0], r[1]) < Sizes.RING_REACH + 1 && ++count > atMost) {
          return count;
        }
      }
      for (int j = i + 1; j < own.length; j++) {
        boolean samePort = s.x2() == own[j].x2() && s.y2() == own[j].y2();
        if (!samePort && s.crosses(own[j])) {
          count++;
        }
      }
    }
    return count;
  }

  private static boolean nearOwn(Anchor a, Box box) {
    if (a.ring()) {
      return box.distance(a.x(), a.y()) < Sizes.RING_INK + OWN_GAP;
    }
    Box wide = box.grown(OWN_GAP);
    return a.edges().stream().anyMatch(wide::touches);
  }

  // ---- greedy placement and local search ----

  private int[] greedy() {
    Integer[] order = new Integer[labels.size()];
    Arrays.setAll(order, i -> i);
    Arrays.sort(order, Comparator.comparingInt(i -> candidates[i].length));
    int[] choice = new int[labels.size()];
    Arrays.fill(choice, -1);
    for (int i : order) {
      choice[i] = cheapest(i, choice);
    }
    return choice;
  }

  /** The cheapest place for a label beside those that are placed. */
  private int cheapest(int label, int[] choice) {
    int best = 0;
    double least = Double.POSITIVE_INFINITY;
    Candidate[] own = candidates[label];
    for (int c = 0; c < own.length && own[c].cost < least; c++) {
      double cost = own[c].cost;
      for (int j = 0; j < choice.length && cost < least; j++) {
        if (j != label && choice[j] >= 0 && !own[c].fits(candidates[j][choice[j]])) {
          cost += BROKEN;
        }
      }
      if (cost < least) {
        least = cost;
        best = c;
      }
    }
    return best;
  }

  /** Moves one label at a time for the better, until none can move. */
  private void improve(int[] choice) {
    boolean moved = true;
    for (int sweep = 0; moved && sweep < 20; sweep++) {
      moved = false;
      for (int i = 0; i < choice.length; i++) {
        int better = cheapest(i, choice);
        if (better != choice[i]) {
          moved |= penalised(i, better, choice) < penalised(i, choice[i], choice) - 1e-9;
          choice[i] = better;
        }
      }
    }
  }

  /**
   * Resolves conflicts by moving one conflicting label after the other to the place with the fewest
   * conflicts that it did not have lately, even if that pushes others (min-conflicts with a tabu
   * list). Leaves the best it came by.
   */
  private void settle(int[] choice) {
    int n = choice.length;
    int[] best = choice.clone();
    int fewest = conflicts(choice);
    if (fewest > Math.max(n * HOPELESS, 12)) {
      return;
    }
    int now = fewest;
    long[][] left = new long[n][];
    for (int i = 0; i < n; i++) {
      left[i] = new long[candidates[i].length];
    }
    long[] moved = new long[n];
    for (int turn = 1; turn <= SETTLE_TURNS && fewest > 0; turn++) {
      int next = -1;
      for (int i = 0; i < n; i++) {
        if (candidates[i].length > 1
            && (next < 0 || moved[i] < moved[next])
            && clashes(i, choice[i], choice, 1) > 0) {
          next = i;
        }
      }
      if (next < 0) {
        break;
      }
      int to = -1;
      int least = Integer.MAX_VALUE;
      for (int c = 0; c < candidates[next].length && least > 0; c++) {
        boolean lately = left[next][c] > 0 && turn - left[next][c] < TABU_TURNS;
        if (c != choice[next] && !lately) {
          int clashes = clashes(next, c, choice, least);
          if (clashes < least) {
            least = clashes;
            to = c;
          }
        }
      }
      moved[next] = turn;
      if (to >= 0) {
        left[next][choice[next]] = turn;
        now += clashes(next, to, choice, n) - clashes(next, choice[next], choice, n);
        choice[next] = to;
        if (now < fewest) {
          fewest = now;
          best = choice.clone();
        }
      }
    }
    System.arraycopy(best, 0, choice, 0, n);
  }

  /**
   * Where rules stay broken all the same, breaks those that hide the least: a leader that crosses
   * another is still read, a plate under another is not. Moves one conflicting label at a time.
   */
  private void lessHarm(int[] choice) {
    // Of many labels only plates that hide others are moved: the rest would take too long.
    int bearable = choice.length > SEARCHED ? HIDING_PLATE : LEADER_OVER_PLATE;
    boolean moved = true;
    for (int sweep = 0; moved && sweep < HARM_SWEEPS; sweep++) {
      moved = false;
      for (int i = 0; i < choice.length; i++) {
        double least = harm(i, choice[i], choice, Double.POSITIVE_INFINITY);
        if (least < bearable) {
          continue; // what is broken can still be read
        }
        for (int c = 0; c < candidates[i].length; c++) {
          double harm = harm(i, c, choice, least);
          if (harm < least - 1e-9) {
            least = harm;
            choice[i] = c;
            moved = true;
          }
        }
      }
    }
  }

  /**
   * Takes plates that still lie over others to a free spot anywhere on the photo, the one whose
   * leaders are least in the way. It becomes one more place of theirs.
   */
  private void free(int[] choice) {
    for (int i = 0; i < choice.length; i++) {
      if (labels.get(i).byHand() != null || !hides(i, choice)) {
        continue;
      }
      Label label = labels.get(i);
      Candidate best = null;
      double least = Double.POSITIVE_INFINITY;
      for (double y = photo.y(); y + label.height() <= photo.bottom(); y += FREE_STEP) {
        for (double x = photo.x(); x + label.width() <= photo.right(); x += FREE_STEP) {
          Box box = new Box(x, y, label.width(), label.height());
          Segment[] own = leaders(label, box, null, null);
          int broken = broken(label, box, own, FREE_BROKEN);
          double length = Arrays.stream(own).mapToDouble(Segment::length).sum();
          double sum = broken * LEADER_OVER_PLATE + length / FREE_LENGTH;
          if (broken > FREE_BROKEN || sum >= least) {
            continue;
          }
          Candidate c = new Candidate(box, own, 0, broken, false);
          for (int j = 0; j < choice.length && sum < least; j++) {
            sum += j == i ? 0 : c.harm(candidates[j][choice[j]]);
          }
          if (sum < least) {
            least = sum;
            best = c;
          }
        }
      }
      if (best != null) {
        candidates[i] = Arrays.copyOf(candidates[i], candidates[i].length + 1);
        choice[i] = candidates[i].length - 1;
        candidates[i][choice[i]] = best;
      }
    }
  }

  /** Whether a label's plate and another lie over each other. */
  private boolean hides(int label, int[] choice) {
    Box own = candidates[label][choice[label]].box.grown(PLATE_GAP);
    for (int j = 0; j < choice.length; j++) {
      if (j != label && own.overlaps(candidates[j][choice[j]].box)) {
        return true;
      }
    }
    return false;
  }

  /** What a place hides or is hidden by, the leaders' length deciding among equals. */
  private double harm(int label, int candidate, int[] choice, double enough) {
    Candidate c = candidates[label][candidate];
    double sum = c.broken * HIDING_PLATE + c.length / BROKEN;
    for (int j = 0; j < choice.length && sum < enough; j++) {
      if (j != label) {
        sum += c.harm(candidates[j][choice[j]]);
      }
    }
    return sum;
  }

  /** With how many chosen places a place conflicts; counting stops at a number. */
  private int clashes(int label, int candidate, int[] choice, int enough) {
    Candidate c = candidates[label][candidate];
    int count = 0;
    for (int j = 0; j < choice.length && count < enough; j++) {
      if (j != label && !c.fits(candidates[j][choice[j]])) {
        count++;
      }
    }
    return count;
  }

  private double penalised(int label, int candidate, int[] choice) {
    double cost = candidates[label][candidate].cost;
    for (int j = 0; j < choice.length; j++) {
      if (j != label && !candidates[label][candidate].fits(candidates[j][choice[j]])) {
        cost += BROKEN;
      }
    }
    return cost;
  }

  /** Re-arranges a label together with those that stand in its way, the rest staying. */
  private void improveParts(int[] choice) {
    boolean better = true;
    for (int sweep = 0; better && sweep < 3; sweep++) {
      better = false;
      for (int i = 0; i < choice.length; i++) {
        int[] part = inTheWay(i, choice);
        if (part.length < 2) {
          continue;
        }
        double now = 0;
        boolean conflict = false;
        for (int p : part) {
          now += candidates[p][choice[p]].cost;
          conflict |= penalised(p, choice[p], choice) >= BROKEN;
        }
        double bound = conflict ? Double.POSITIVE_INFINITY : now;
        int[] found = new BranchAndBound(part, choice, bound, PART_NODES).run();
        if (found != null) {
          System.arraycopy(found, 0, choice, 0, choice.length);
          better = true;
        }
      }
    }
  }

  /** A label and those whose present places keep it from its cheaper ones. */
  private int[] inTheWay(int label, int[] choice) {
    List<Integer> part = new ArrayList<>();
    part.add(label);
    double now = penalised(label, choice[label], choice);
    for (Candidate c : candidates[label]) {
      if (c.cost >= now || part.size() >= PART) {
        break;
      }
      for (int j = 0; j < choice.length && part.size() < PART; j++) {
        if (!part.contains(j) && !c.fits(candidates[j][choice[j]])) {
          part.add(j);
        }
      }
    }
    return part.stream().mapToInt(Integer::intValue).toArray();
  }

  // ---- branch and bound ----

  /**
   * The best free choice for some labels, the others staying where they are. Depth first; the lower
   * bound of a node is what is placed plus the cheapest place left to each other label; places that
   * conflict with what is placed, or are too dear to improve on the best known, are dropped before
   * branching (forward checking); the label with the fewest places left comes next.
   */
  private final class BranchAndBound {
    private final int[] part;
    private final int[] start;
    private final Candidate[][] domain;
    private final long[][][][] compatible;
    private final int[] chosen;
    private final long limit;
    private int[] best;
    private double bound;
    private long nodes;

    /**
     * @param part the labels to place
     * @param choice the present choice of all labels
     * @param bound only what costs less than this is of interest
     * @param limit how many nodes may be visited
     */
    BranchAndBound(int[] part, int[] choice, double bound, long limit) {
      this.part = part;
      this.start = choice;
      this.bound = bound;
      this.limit = limit;
      this.chosen = new int[part.length];
      this.domain = new Candidate[part.length][];
      this.compatible = new long[part.length][][][];
      for (int k = 0; k < part.length; k++) {
        domain[k] = candidates[part[k]];
        compatible[k] = new long[domain[k].length][part.length][];
      }
    }

    /** The best choice of all labels, or null if nothing beats the bound. */
    int[] run() {
      long[][] open = new long[part.length][];
      for (int k = 0; k < part.length; k++) {
        open[k] = new long[(domain[k].length + 63) / 64];
        for (int c = 0; c < domain[k].length; c++) {
          if (domain[k][c].broken == 0 && fitsTheRest(domain[k][c])) {
            open[k][c >> 6] |= 1L << (c & 63);
          }
        }
      }
      branch(open, 0, new boolean[part.length], 0);
      return best;
    }

    private boolean fitsTheRest(Candidate c) {
      for (int j = 0; j < start.length; j++) {
        boolean stays = true;
        for (int p : part) {
          stays &= p != j;
        }
        if (stays && !c.fits(candidates[j][start[j]])) {
          return false;
        }
      }
      return true;
    }

    private void branch(long[][] open, double placed, boolean[] done, int depth) {
      if (depth == part.length) {
        bound = placed;
        best = start.clone();
        for (int k = 0; k < part.length; k++) {
          best[part[k]] = chosen[k];
        }
        return;
      }
      double lower = placed;
      double[] least = new double[part.length];
      for (int k = 0; k < part.length; k++) {
        if (!done[k]) {
          int first = first(open[k], 0);
          if (first < 0) {
            return;
          }
          least[k] = domain[k][first].cost;
          lower += least[k];
        }
      }
      if (lower >= bound - 1e-9) {
        return;
      }
      int next = -1;
      int fewest = Integer.MAX_VALUE;
      for (int k = 0; k < part.length; k++) {
        if (!done[k]) {
          int count = affordable(open[k], domain[k], bound - (lower - least[k]));
          if (count < fewest) {
            fewest = count;
            next = k;
          }
        }
      }
      done[next] = true;
      for (int c = first(open[next], 0); c >= 0; c = first(open[next], c + 1)) {
        if (lower - least[next] + domain[next][c].cost >= bound - 1e-9 || ++nodes > limit) {
          break;
        }
        long[][] left = new long[part.length][];
        for (int k = 0; k < part.length; k++) {
          if (!done[k]) {
            long[] row = row(next, c, k);
            left[k] = new long[row.length];
            for (int w = 0; w < row.length; w++) {
              left[k][w] = row[w] & open[k][w];
            }
          }
        }
        chosen[next] = c;
        branch(left, placed + domain[next][c].cost, done, depth + 1);
      }
      done[next] = false;
    }

    private int affordable(long[] open, Candidate[] of, double below) {
      int count = 0;
      for (int c = first(open, 0); c >= 0 && of[c].cost < below; c = first(open, c + 1)) {
        count++;
      }
      return count;
    }

    /** Which places of label {@code k} go with place {@code c} of label {@code i}. */
    private long[] row(int i, int c, int k) {
      long[] row = compatible[i][c][k];
      if (row == null) {
        row = new long[(domain[k].length + 63) / 64];
        for (int d = 0; d < domain[k].length; d++) {
          if (domain[i][c].fits(domain[k][d])) {
            row[d >> 6] |= 1L << (d & 63);
          }
        }
        compatible[i][c][k] = row;
      }
      return row;
    }

    private static int first(long[] bits, int from) {
      int w = from >> 6;
      if (w >= bits.length) {
        return -1;
      }
      long word = bits[w] & (-1L << (from & 63));
      while (word == 0) {
        if (++w == bits.length) {
          return -1;
        }
        word = bits[w];
      }
      return (w << 6) + Long.numberOfTrailingZeros(word);
    }
  }
}

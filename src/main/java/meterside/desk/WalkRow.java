package meterside.desk;

import java.util.ArrayList;
import java.util.List;
import meterside.desk.model.Walk;
import meterside.desk.model.Walk.StopView;
import meterside.desk.model.Walk.Thumb;

/** A row of the walk's list. Rows are values, so that only rows that changed are laid out again. */
sealed interface WalkRow {
  /** Photos in a row. */
  int ACROSS = 3;

  /** The stop it belongs to; for a divider the one below it. */
  StopView stop();

  /** How the copper line runs through a row. */
  enum Line {
    /** Not at all. */
    NONE,
    /** Drawn through. */
    WHOLE,
    /** Dashed: nothing lies there yet. */
    DASHED
  }

  /** Name, time and count of a stop. */
  record Head(StopView stop, Line above, Line below) implements WalkRow {}

  /** Up to three photos. */
  record Photos(StopView stop, List<Thumb> thumbs, int firstIndex, Line line) implements WalkRow {}

  /** That nothing lies at a stop. */
  record Blank(StopView stop, Line line) implements WalkRow {}

  /** The time between two stops. */
  record Divider(StopView upper, StopView stop) implements WalkRow {}

  /** A little room between two stops. */
  record Gap(StopView stop, Line line) implements WalkRow {}

  /** Shows or hides the photos of other systems. */
  record Fold(StopView stop, boolean shown) implements WalkRow {}

  /**
   * The rows of a walk.
   *
   * @param others whether the photos of other systems are shown
   */
  static List<WalkRow> of(Walk walk, boolean others) {
    List<WalkRow> rows = new ArrayList<>();
    List<StopView> stops = walk.stops();
    int last = -1;
    int first = -1;
    for (int i = 0; i < stops.size(); i++) {
      if (onRoute(stops.get(i))) {
        first = first < 0 ? i : first;
        last = i;
      }
    }
    for (int i = 0; i < stops.size(); i++) {
      StopView s = stops.get(i);
      boolean route = onRoute(s);
      Line below = !route ? Line.NONE : s.empty() ? Line.DASHED : Line.WHOLE;
      Line above = !route || i == first ? Line.NONE : lineOf(stops.get(i - 1));
      Line tail = i == last ? Line.NONE : below;
      rows.add(new Head(s, above, s.empty() ? tail : below));
      if (s.empty()) {
        rows.add(new Blank(s, tail));
      } else if (s.otherSystems() && !others) {
        rows.add(new Fold(s, false));
      } else {
        for (int k = 0; k < s.photos().size(); k += ACROSS) {
          int end = Math.min(s.photos().size(), k + ACROSS);
          rows.add(new Photos(s, s.photos().subList(k, end), k, below));
        }
        if (s.otherSystems()) {
          rows.add(new Fold(s, true));
        }
      }
      int lower = walk.dividerAfter(i);
      if (lower >= 0) {
        rows.add(new Divider(s, stops.get(lower)));
      } else if (i + 1 < stops.size()) {
        rows.add(new Gap(s, tail));
      }
    }
    return rows;
  }

  private static boolean onRoute(StopView s) {
    return s.key() != null && !s.otherSystems();
  }

  private static Line lineOf(StopView s) {
    return !onRoute(s) ? Line.NONE : s.empty() ? Line.DASHED : Line.WHOLE;
  }
}

package meterside.desk.model;

import java.util.List;
import meterside.job.StopKey;

/** The duties in the top bar: how many are open, and a square a stop. */
public final class Duties {
  private Duties() {}

  /**
   * A square.
   *
   * @param at the stop
   * @param open how many of its duties are open
   * @param spoken the stop's title and what is open there
   */
  public record Square(StopKey at, int open, String spoken) {}

  /** A square for each stop that has duties. */
  public static List<Square> squares(Walk walk) {
    return walk.stops().stream()
        .filter(s -> s.key() != null && s.duties() > 0)
        .map(
            s ->
                new Square(
                    s.key(),
                    s.open(),
                    s.title()
                        + ": "
                        + (s.open() == 0
                            ? Words.say("card.all-answered")
                            : Words.count("head.open", s.open()))))
        .toList();
  }

  /** How many are open on the whole walk. */
  public static int open(Walk walk) {
    return walk.stops().stream().mapToInt(Walk.StopView::open).sum();
  }
}

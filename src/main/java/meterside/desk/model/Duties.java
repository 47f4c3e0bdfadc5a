package meterside.desk.model;

import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.stream.Collectors;
import meterside.job.AnswerKind;
import meterside.job.DutyKind;
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

  /**
   * The answers that fit a kind of duty by the digit that gives them, the fitting ones first. What
   * asks for a description is described by 1; only an inspection or a report of what is seen can
   * find nothing reportable.
   */
  public static Map<Integer, AnswerKind> ways(DutyKind kind) {
    Map<Integer, AnswerKind> out = new LinkedHashMap<>();
    boolean words = kind == DutyKind.DESCRIBE || kind == DutyKind.REPORT;
    out.put(1, words ? AnswerKind.DESCRIPTION : AnswerKind.NO_CONDITION);
    out.put(2, AnswerKind.FINDING);
    if (kind != DutyKind.DESCRIBE) {
      out.put(3, words ? AnswerKind.NO_CONDITION : AnswerKind.DESCRIPTION);
    }
    out.put(4, AnswerKind.NOT_PRESENT);
    out.put(5, AnswerKind.EXCLUDED);
    out.put(6, AnswerKind.NOT_INSPECTED);
    return Collections.unmodifiableMap(out);
  }

  /** "1 description, 2 finding, 4 not present": the digits that answer a kind of duty. */
  public static String digits(DutyKind kind) {
    return ways(kind).entrySet().stream()
        .map(
            e ->
                e.getKey()
                    + " "
                    + Words.say(
                        "way.short."
                            + e.getValue().name().toLowerCase(Locale.ROOT).replace('_', '-')))
        .collect(Collectors.joining(", "));
  }

  /** Says that a digit is no answer to a kind of duty, and which are. */
  public static Notice unfit(int digit, DutyKind kind) {
    return Notice.said(Words.say("way.unfit", digit, digits(kind)));
  }

  /** How many are open on the whole walk. */
  public static int open(Walk walk) {
    return walk.stops().stream().mapToInt(Walk.StopView::open).sum();
  }
}

package meterside.markup;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import meterside.job.Measure;
import meterside.job.Sentences;
import meterside.trade.Clearances;
import meterside.trade.Trade;

/**
 * What may stand beside a measured clearance: the published figures, by edition and place, and what
 * to bear in mind. A private note for the inspector, which goes into reports only where the
 * inspector chose so. It compares nothing and passes nothing: the photo gives an estimate, and the
 * local code and the utility decide.
 */
public final class ClearanceNote {
  private ClearanceNote() {}

  /**
   * A published clearance to choose from.
   *
   * @param id id of the row
   * @param text where it applies, with its figures
   */
  public record Choice(String id, String text) {}

  /** All there are, in the table's order. */
  public static List<Choice> choices(Trade trade) {
    Map<String, String> out = new LinkedHashMap<>();
    for (Clearances.Row r : trade.clearances().rows()) {
      out.putIfAbsent(r.id(), r.applies());
    }
    List<Choice> all = new ArrayList<>();
    out.forEach(
        (id, applies) -> {
          String figures =
              rows(id, trade).stream()
                  .map(r -> Clearances.feetAndInches(r.feet()))
                  .distinct()
                  .collect(Collectors.joining(" / "));
          all.add(new Choice(id, applies + ": " + figures));
        });
    return List.copyOf(all);
  }

  /**
   * The private note beside a measurement: one line for each figure, then the cautions; empty if
   * none was chosen.
   */
  public static List<String> lines(Measure measure, Trade trade) {
    List<String> out = new ArrayList<>(figures(measure, trade));
    if (!out.isEmpty()) {
      out.add(say("clearance.caution"));
      out.add(say("clearance.keep-away"));
    }
    return List.copyOf(out);
  }

  /** What a report prints beside a measurement: nothing unless the inspector chose so. */
  public static Optional<String> printed(Measure measure, Trade trade) {
    List<String> figures = figures(measure, trade);
    return !measure.clearancePrints() || figures.isEmpty()
        ? Optional.empty()
        : Optional.of(String.join(" ", figures) + " " + say("clearance.caution"));
  }

  private static List<String> figures(Measure measure, Trade trade) {
    List<String> out = new ArrayList<>();
    for (Clearances.Row r : rows(measure.clearance(), trade)) {
      String editions =
          r.editions().stream().map(String::valueOf).collect(Collectors.joining(", "));
      out.add(
          say(
              r.status() == Clearances.Status.MEMORY ? "clearance.memory" : "clearance.figure",
              Clearances.feetAndInches(r.feet()),
              r.applies(),
              editions,
              r.section()));
    }
    return out;
  }

  private static List<Clearances.Row> rows(String id, Trade trade) {
    return trade.clearances().rows().stream().filter(r -> r.id().equals(id)).toList();
  }

  private static String say(String key, Object... arguments) {
    return Sentences.in(ClearanceNote.class).say(key, arguments);
  }
}

package meterside.report;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.stream.Collectors;
import meterside.job.Answer;
import meterside.job.Duty;
import meterside.job.DutyKey;
import meterside.job.DutyKind;
import meterside.job.Finding;
import meterside.job.Job;
import meterside.job.TimeBasis;

/**
 * The report's tables as CSV by RFC 4180: a header line, commas, CRLF, quotes where needed. UTF-8
 * with a byte order mark, without which common spreadsheets take the text for another encoding.
 *
 * <p>A spreadsheet runs a cell that starts with {@code = + - @}, a tab or a line break as a
 * formula; such a text gets an apostrophe in front. Own values are written so that none starts that
 * way.
 */
final class Tables {
  private static final String BOM = "\uFEFF";

  /** Characters that must not stand first in a cell; the last four are the wide forms. */
  private static final String DANGEROUS = "=+-@\t\r\n\uFF1D\uFF0B\uFF0D\uFF20";

  private final StringBuilder out = new StringBuilder(BOM);

  private Tables() {}

  /** The tables of a report by file name. */
  static Map<String, String> of(Content content) {
    Map<String, String> all = new LinkedHashMap<>();
    all.put("findings.csv", findings(content));
    all.put("photos.csv", photos(content));
    all.put("answers.csv", answers(content));
    all.put("device-tests.csv", tests(content));
    return all;
  }

  /**
   * An original that is handed out.
   *
   * @param figure the figure of the report that shows it
   * @param file its name in the folder
   */
  record Original(Figure figure, String file) {}

  /** The originals that are handed out. */
  static String originals(Content content, List<Original> originals) {
    Tables t = new Tables();
    t.row("figure", "file", "original_file", "sha256", "bytes", "stop", "stop_title", "taken");
    for (Original o : originals) {
      Figure f = o.figure();
      t.row(
          Integer.toString(f.number()),
          o.file(),
          f.photo().name(),
          f.photo().id().hex(),
          Long.toString(f.photo().bytes()),
          f.at() == null ? "" : f.at().toString(),
          f.at() == null ? "" : f.title(),
          f.time().basis() == TimeBasis.NONE
              ? ""
              : Words.full(f.time().at(), content.job().zone()));
    }
    return t.out.toString();
  }

  /** The findings of a content. */
  static String findings(Content content) {
    Tables t = new Tables();
    t.row(
        "finding",
        "urgent",
        "kind",
        "stop",
        "stop_title",
        "location",
        "part",
        "seen",
        "why",
        "who",
        "told",
        "seen_later",
        "figures",
        "photos");
    for (Content.Found found : content.findings()) {
      Finding f = found.finding();
      t.row(
          f.label(),
          f.urgent() == null ? "no" : "yes",
          word(f.kind()),
          f.at().toString(),
          found.stop(),
          f.location(),
          found.part(),
          f.seen(),
          f.why(),
          f.who(),
          found.told(),
          f.seenLater() ? "yes" : "no",
          numbers(found.figures()),
          names(found.figures()));
    }
    return t.out.toString();
  }

  private static String photos(Content content) {
    Tables t = new Tables();
    List<String> head =
        new ArrayList<>(
            List.of(
                "figure",
                "marked_file",
                "original_file",
                "sha256",
                "stop",
                "stop_title",
                "taken",
                "time_basis",
                "clock",
                "camera",
                "width",
                "height",
                "marks"));
    boolean located = content.options().keepLocation();
    if (located) {
      head.add("latitude");
      head.add("longitude");
    }
    t.row(head.toArray(String[]::new));
    for (Figure f : content.figures()) {
      boolean known = f.time().basis() != TimeBasis.NONE;
      String marks =
          f.drawing().legend().stream()
              .map(
                  l ->
                      l.number() + " " + l.term() + (l.finding() == null ? "" : " F" + l.finding()))
              .map(String::strip)
              .collect(Collectors.joining("; "));
      List<String> cells = new ArrayList<>();
      cells.add(Integer.toString(f.number()));
      cells.add(f.fileName());
      cells.add(f.photo().name());
      cells.add(f.photo().id().hex());
      cells.add(f.at() == null ? "" : f.at().toString());
      cells.add(f.at() == null ? "" : f.title());
      cells.add(known ? Words.full(f.time().at(), content.job().zone()) : "");
      cells.add(Words.basis(f.time()));
      cells.add(Words.correction(content.job().clock(f.photo().camera()), f.time().basis()));
      cells.add(content.camera(f.photo()));
      cells.add(Integer.toString(f.photo().uprightWidth()));
      cells.add(Integer.toString(f.photo().uprightHeight()));
      cells.add(marks);
      if (located) {
        // "77.03650 W": a minus sign would start a formula.
        String[] position =
            f.photo().position() == null
                ? new String[] {"", ""}
                : Content.position(f.photo().position()).split(", ", 2);
        cells.add(position[0]);
        cells.add(position[1]);
      }
      t.row(cells.toArray(String[]::new));
    }
    return t.out.toString();
  }

  private static String answers(Content content) {
    Job job = content.job();
    Tables t = new Tables();
    t.row(
        "stop",
        "stop_title",
        "duty",
        "duty_text",
        "duty_kind",
        "answer",
        "text",
        "how_known",
        "finding");
    for (DutyKey key : job.dutyKeys()) {
      Duty duty = job.duty(key);
      Answer answer = job.answer(key).orElse(null);
      boolean own = duty.kind() == DutyKind.OWN_HABIT;
      if (own && (answer == null || Content.unmet(answer))) {
        continue; // an own habit is never shown as unmet
      }
      t.row(
          key.at().toString(),
          job.title(key.at()),
          duty.id(),
          duty.text(),
          word(duty.kind()),
          answer == null ? "open" : word(answer.kind()),
          answer == null ? "" : answer.text(),
          answer == null ? "" : answer.howKnown(),
          answer == null || answer.finding() == null ? "" : "F" + answer.finding());
    }
    return t.out.toString();
  }

  private static String tests(Content content) {
    Tables t = new Tables();
    t.row(
        "test",
        "stop",
        "stop_title",
        "location",
        "part",
        "device",
        "outcomes",
        "means",
        "not_tested_because",
        "finding",
        "figures");
    for (Content.StopPart stop : content.walk()) {
      for (Content.Tested tested : stop.tests()) {
        var test = tested.test();
        t.row(
            Integer.toString(test.id()),
            test.at().toString(),
            stop.title(),
            test.location(),
            test.part(),
            tested.device(),
            test.outcomes().stream().map(Tables::word).collect(Collectors.joining("; ")),
            test.means(),
            test.notTested(),
            test.finding() == null ? "" : "F" + test.finding(),
            numbers(tested.figures()));
      }
    }
    return t.out.toString();
  }

  private static String numbers(List<Figure> figures) {
    return figures.stream()
        .map(f -> Integer.toString(f.number()))
        .collect(Collectors.joining("; "));
  }

  private static String names(List<Figure> figures) {
    return figures.stream().map(f -> f.photo().name()).collect(Collectors.joining("; "));
  }

  /** "needs-correction". */
  private static String word(Enum<?> value) {
    return value.name().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  private void row(String... cells) {
    for (int i = 0; i < cells.length; i++) {
      if (i > 0) {
        out.append(',');
      }
      out.append(cell(cells[i]));
    }
    out.append("\r\n");
  }

  /** A cell: made harmless for spreadsheets, quoted if it must be; null is empty. */
  static String cell(String text) {
    if (text == null || text.isEmpty()) {
      return "";
    }
    String harmless = DANGEROUS.indexOf(text.charAt(0)) >= 0 ? "'" + text : text;
    boolean quote = harmless.chars().anyMatch(c -> c == ',' || c == '"' || c == '\n' || c == '\r');
    return quote ? '"' + harmless.replace("\"", "\"\"") + '"' : harmless;
  }
}

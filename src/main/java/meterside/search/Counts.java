package meterside.search;

import java.util.Map;
import java.util.SortedMap;
import java.util.TreeMap;
import meterside.job.FindingKind;

/**
 * How often: how many photos, findings and jobs fit, by what they could be narrowed down to. A
 * filter that is set already is left out of the counts of its own row, so that the row shows what
 * the other choices would give; all other filters hold.
 *
 * <p>A photo that serves two stops or shows two parts counts once for each of them.
 *
 * @param things by what they are
 * @param stops by id of the stop
 * @param parts by id of the part
 * @param kinds findings, by kind
 * @param years by year of the inspection
 * @param cameras photos, by label of the camera
 * @param withFinding findings, and photos that a finding names
 */
public record Counts(
    SortedMap<Hit.Kind, Long> things,
    SortedMap<String, Long> stops,
    SortedMap<String, Long> parts,
    SortedMap<FindingKind, Long> kinds,
    SortedMap<String, Long> years,
    SortedMap<String, Long> cameras,
    long withFinding) {

  /** Copies the maps. */
  public Counts {
    things = new TreeMap<>(things);
    stops = new TreeMap<>(stops);
    parts = new TreeMap<>(parts);
    kinds = new TreeMap<>(kinds);
    years = new TreeMap<>(years);
    cameras = new TreeMap<>(cameras);
  }

  /**
   * The counts by part, kind, stop and year as CSV (RFC 4180): {@code by,value,count}, one line for
   * each, ended by CR LF. Ids stand as they are.
   */
  public String csv() {
    StringBuilder out = new StringBuilder("by,value,count\r\n");
    lines(out, "part", parts);
    kinds.forEach(
        (k, n) ->
            line(out, "kind", k.name().toLowerCase(java.util.Locale.ROOT).replace('_', '-'), n));
    lines(out, "stop", stops);
    lines(out, "year", years);
    return out.toString();
  }

  private static void lines(StringBuilder out, String by, Map<String, Long> counts) {
    counts.forEach((value, n) -> line(out, by, value, n));
  }

  private static void line(StringBuilder out, String by, String value, long n) {
    boolean quoted = value.chars().anyMatch(c -> c == ',' || c == '"' || c == '\n' || c == '\r');
    String cell = quoted ? '"' + value.replace("\"", "\"\"") + '"' : value;
    out.append(by).append(',').append(cell).append(',').append(n).append("\r\n");
  }
}

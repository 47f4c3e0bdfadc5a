package meterside.search;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.SortedMap;
import java.util.TreeMap;
import meterside.job.FindingKind;

/**
 * Counts what fits, for every row of filters at once. A row whose own filter is set is counted
 * without that filter, all others hold: so a document that fails in one row only still counts for
 * that row. Which rows a document fails in depends on its profile, but for its day.
 */
final class Tally {
  /** A row of filters. */
  enum Row {
    KIND,
    STOP,
    PART,
    FINDING_KIND,
    CAMERA,
    HAS_FINDING,
    /** Years; the filter is a first and a last day. */
    DAY
  }

  /** Not looked at yet. */
  private static final byte UNKNOWN = 0;

  /** Fits. */
  static final byte FITS = 1;

  /** Fails in more than one row. */
  static final byte OUT = 2;

  private static final byte FIRST_ROW = 3;

  private final Map<Row, Map<String, Long>> counts = new HashMap<>();
  private long total;

  Tally() {
    for (Row r : Row.values()) {
      counts.put(r, new HashMap<>());
    }
  }

  /**
   * Where the profiles of a segment fail, days left out of account: {@link #FITS}, {@link #OUT}, or
   * the one row. Each is looked at when it is first met.
   */
  static final class Failing {
    private final Profile[] profiles;
    private final Hit.Kind only;
    private final String stop;
    private final String part;
    private final FindingKind kind;
    private final String camera;
    private final Boolean hasFinding;
    private final byte[] known;

    Failing(Profile[] profiles, Ask ask, String part) {
      this.profiles = profiles;
      this.only = ask.only();
      this.stop = given(ask.stop());
      this.part = given(part);
      this.kind = ask.kind();
      this.camera = given(ask.camera());
      this.hasFinding = ask.hasFinding();
      known = new byte[profiles.length];
    }

    private static String given(String filter) {
      return filter == null || filter.isBlank() ? null : filter;
    }

    byte of(int profile) {
      byte k = known[profile];
      if (k == UNKNOWN) {
        k = look(profiles[profile]);
        known[profile] = k;
      }
      return k;
    }

    private byte look(Profile p) {
      byte at = FITS;
      at = fail(at, Row.KIND, only != null && p.kind() != only);
      at = fail(at, Row.STOP, stop != null && !p.stops().contains(stop));
      at = fail(at, Row.PART, part != null && !p.parts().contains(part));
      at = fail(at, Row.FINDING_KIND, kind != null && p.findingKind() != kind);
      at = fail(at, Row.CAMERA, camera != null && !camera.equals(p.camera()));
      return fail(at, Row.HAS_FINDING, hasFinding != null && !hasFinding.equals(p.hasFinding()));
    }

    private static byte fail(byte before, Row row, boolean fails) {
      return !fails ? before : before == FITS ? (byte) (FIRST_ROW + row.ordinal()) : OUT;
    }
  }

  /** What a profile counts for. */
  static List<Columns.Value> values(Profile p) {
    List<Columns.Value> out = new ArrayList<>();
    out.add(new Columns.Value(Row.KIND, p.kind().name()));
    for (String s : p.stops()) {
      if (s.indexOf('#') < 0) {
        out.add(new Columns.Value(Row.STOP, s));
      }
    }
    p.parts().forEach(s -> out.add(new Columns.Value(Row.PART, s)));
    if (p.findingKind() != null) {
      out.add(new Columns.Value(Row.FINDING_KIND, p.findingKind().name()));
    }
    if (p.camera() != null) {
      out.add(new Columns.Value(Row.CAMERA, p.camera()));
    }
    if (p.hasFinding() != null) {
      out.add(new Columns.Value(Row.HAS_FINDING, p.hasFinding().toString()));
    }
    out.add(new Columns.Value(Row.DAY, p.year()));
    return out;
  }

  /**
   * Adds the documents of a segment.
   *
   * @param inDays by profile, how many documents are within the days asked for
   * @param outside by profile, how many are not; null if none is
   */
  void add(Columns of, Failing failing, int[] inDays, int[] outside) {
    long[] n = new long[of.values.size()];
    for (int p = 0; p < inDays.length; p++) {
      boolean any = inDays[p] > 0 || outside != null && outside[p] > 0;
      byte fails = any ? failing.of(p) : OUT;
      if (fails == OUT) {
        continue;
      }
      boolean fits = fails == FITS;
      total += fits ? inDays[p] : 0;
      for (int v : of.valuesOf[p]) {
        Row row = of.values.get(v).row();
        if (fits || row.ordinal() == fails - FIRST_ROW) {
          n[v] += inDays[p];
        }
        if (fits && row == Row.DAY && outside != null) {
          n[v] += outside[p];
        }
      }
    }
    for (int v = 0; v < n.length; v++) {
      if (n[v] > 0) {
        counts.get(of.values.get(v).row()).merge(of.values.get(v).value(), n[v], Long::sum);
      }
    }
  }

  /** Adds what was counted elsewhere. */
  void add(Tally other) {
    total += other.total;
    other.counts.forEach(
        (row, n) -> n.forEach((value, c) -> counts.get(row).merge(value, c, Long::sum)));
  }

  /** How many fit. */
  long total() {
    return total;
  }

  /** The counts. */
  Counts counts() {
    SortedMap<Hit.Kind, Long> things = new TreeMap<>();
    counts.get(Row.KIND).forEach((k, c) -> things.put(Hit.Kind.valueOf(k), c));
    SortedMap<FindingKind, Long> kinds = new TreeMap<>();
    counts.get(Row.FINDING_KIND).forEach((k, c) -> kinds.put(FindingKind.valueOf(k), c));
    return new Counts(
        things,
        new TreeMap<>(counts.get(Row.STOP)),
        new TreeMap<>(counts.get(Row.PART)),
        kinds,
        new TreeMap<>(counts.get(Row.DAY)),
        new TreeMap<>(counts.get(Row.CAMERA)),
        counts.get(Row.HAS_FINDING).getOrDefault("true", 0L));
  }
}

package meterside.search;

import java.util.List;
import meterside.job.FindingKind;

/**
 * Everything a document can be filtered and counted by, but for its day and its job. An archive has
 * few different profiles, so that counting is one step a document whatever is counted.
 *
 * @param kind what it is
 * @param low whether it comes after everything else (set aside, note to self)
 * @param year year of the inspection
 * @param findingKind kind of the finding, or null
 * @param camera label of the camera, or null
 * @param hasFinding whether a finding names it; null for jobs
 * @param stops its stops; one with an instance is there with and without it
 * @param parts its parts
 */
record Profile(
    Hit.Kind kind,
    boolean low,
    String year,
    FindingKind findingKind,
    String camera,
    Boolean hasFinding,
    List<String> stops,
    List<String> parts) {

  private static final String BETWEEN = "\u0001";
  private static final String BETWEEN_VALUES = "\u0002";

  /** As it stands in the index. */
  String written() {
    return String.join(
        BETWEEN,
        kind.name(),
        low ? "1" : "",
        year,
        findingKind == null ? "" : findingKind.name(),
        camera == null ? "" : camera,
        hasFinding == null ? "" : hasFinding.toString(),
        String.join(BETWEEN_VALUES, stops),
        String.join(BETWEEN_VALUES, parts));
  }

  /** The reverse of {@link #written}. */
  static Profile read(String written) {
    String[] f = written.split(BETWEEN, -1);
    return new Profile(
        Hit.Kind.valueOf(f[0]),
        !f[1].isEmpty(),
        f[2],
        f[3].isEmpty() ? null : FindingKind.valueOf(f[3]),
        f[4].isEmpty() ? null : f[4],
        f[5].isEmpty() ? null : Boolean.valueOf(f[5]),
        f[6].isEmpty() ? List.of() : List.of(f[6].split(BETWEEN_VALUES)),
        f[7].isEmpty() ? List.of() : List.of(f[7].split(BETWEEN_VALUES)));
  }
}

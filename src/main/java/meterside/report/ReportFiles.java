package meterside.report;

import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;

/**
 * What a report consists of.
 *
 * @param sha256ByName every file delivered, by its path within the folder with {@code /}, with the
 *     SHA-256 of its bytes in 64 lower-case hexadecimal digits; sorted by name
 * @param leftOut sentences on what was kept private or left out, for the author's eyes
 */
public record ReportFiles(Map<String, String> sha256ByName, List<String> leftOut) {

  /** Copies map and list. */
  public ReportFiles {
    sha256ByName = Collections.unmodifiableMap(new TreeMap<>(sha256ByName));
    leftOut = List.copyOf(leftOut);
  }
}

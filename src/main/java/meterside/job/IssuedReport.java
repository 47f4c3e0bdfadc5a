package meterside.job;

import java.util.Map;

/**
 * A report that was issued.
 *
 * @param number 1, 2 …
 * @param draft whether it was a draft
 * @param head hash of the journal's last line when it was made, 64 hexadecimal digits
 * @param files file names within the report's folder, each with its SHA-256
 */
public record IssuedReport(int number, boolean draft, String head, Map<String, String> files) {

  /** Copies the map. */
  public IssuedReport {
    files = Map.copyOf(files);
  }
}

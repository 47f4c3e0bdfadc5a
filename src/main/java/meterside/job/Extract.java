package meterside.job;

import java.util.Map;

/**
 * A part of a job that was handed out. When it was and by whom stands in its journal line.
 *
 * @param kind what kind
 * @param to who got it, or null if that was not said
 * @param leave with whose leave, or null if that was not said
 * @param head hash of the journal's last line when it was made, 64 hexadecimal digits
 * @param files file names within the folder that was handed out, each with its SHA-256
 */
public record Extract(
    ExtractKind kind, String to, String leave, String head, Map<String, String> files) {

  /** Copies the map. */
  public Extract {
    files = Map.copyOf(files);
  }
}

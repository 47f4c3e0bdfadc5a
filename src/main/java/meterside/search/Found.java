package meterside.search;

import java.util.List;

/**
 * What past jobs answer.
 *
 * @param total how many photos, findings and jobs fit, exactly
 * @param hits the best of them, best first; set-aside photos and notes to self come last
 * @param searchedFor what the words were read as, in a sentence for the user; empty if there were
 *     none
 * @param behind how many jobs could not be looked at yet, because the first catch-up is still
 *     running; 0 as a rule
 */
public record Found(long total, List<Hit> hits, String searchedFor, int behind) {
  /** Copies the list. */
  public Found {
    hits = List.copyOf(hits);
  }
}

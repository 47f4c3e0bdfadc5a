package meterside.search;

import java.util.List;

/**
 * Something that is like what was asked for.
 *
 * @param hit the finding or photo
 * @param findings for a photo the findings that name it; empty for a finding
 * @param samePart whether it is of the same part
 * @param shared what both texts say: words, and preferred names of terms
 * @param look how alike the photos look, 0 (no more than any two) to 1 (all but the same)
 * @param because why it is like it, in a sentence for the user
 */
public record Likeness(
    Hit hit,
    List<Hit> findings,
    boolean samePart,
    List<String> shared,
    double look,
    String because) {
  /** Copies the lists. */
  public Likeness {
    findings = List.copyOf(findings);
    shared = List.copyOf(shared);
  }
}

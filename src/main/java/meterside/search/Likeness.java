package meterside.search;

import java.util.List;

/**
 * A finding that is like another.
 *
 * @param hit the finding
 * @param samePart whether it is of the same part
 * @param shared what both texts say: words, and preferred names of terms
 * @param because the same as a sentence for the user
 */
public record Likeness(Hit hit, boolean samePart, List<String> shared, String because) {
  /** Copies the list. */
  public Likeness {
    shared = List.copyOf(shared);
  }
}

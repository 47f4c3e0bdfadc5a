package meterside.trade;

import java.util.List;

/**
 * A word of the trade's glossary.
 *
 * @param id fixed id
 * @param term the preferred term
 * @param synonyms other words for it
 * @param abbreviations short forms
 * @param slips misspellings that people type
 * @param meaning plain words
 * @param part id of the part it names or is said of, or null if of none
 * @param ambiguous whether one of its short forms is also used for something else, so that the
 *     screen should show what it was read as
 */
public record Term(
    String id,
    String term,
    List<String> synonyms,
    List<String> abbreviations,
    List<String> slips,
    String meaning,
    String part,
    boolean ambiguous) {

  /** Copies the lists. */
  public Term {
    synonyms = List.copyOf(synonyms);
    abbreviations = List.copyOf(abbreviations);
    slips = List.copyOf(slips);
  }
}

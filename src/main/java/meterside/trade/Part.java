package meterside.trade;

import java.util.List;

/**
 * A part of an electrical service that can be named on a photo.
 *
 * @param id fixed id, kept forever, for example {@code service-head}
 * @param term the trade's preferred term
 * @param synonyms other words for it
 * @param abbreviations short forms
 * @param slips misspellings that people type
 * @param meaning plain words
 * @param stops ids of the stops it is found at; the first is its own. Never empty
 */
public record Part(
    String id,
    String term,
    List<String> synonyms,
    List<String> abbreviations,
    List<String> slips,
    String meaning,
    List<String> stops) {

  /** Copies the lists. */
  public Part {
    synonyms = List.copyOf(synonyms);
    abbreviations = List.copyOf(abbreviations);
    slips = List.copyOf(slips);
    stops = List.copyOf(stops);
  }

  /** The stop where it counts as evidence. */
  public String ownStop() {
    return stops.get(0);
  }
}

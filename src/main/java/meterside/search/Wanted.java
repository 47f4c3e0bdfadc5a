package meterside.search;

import java.util.List;

/**
 * What a question looks for in the index, unit by unit, made ready by {@link Matching}.
 *
 * @param units in the order they were typed
 */
record Wanted(List<Unit> units) {

  /**
   * One unit of the question.
   *
   * @param own ways to meet it in the document's own texts
   * @param around further ways, in what surrounds the document
   * @param terms words and signs it may show as, to see neighbours by
   * @param must whether it may never be left out
   * @param shown what it was read as
   * @param rarity weight, larger for what is rare
   */
  record Unit(
      List<Way> own,
      List<Way> around,
      List<String> terms,
      boolean must,
      String shown,
      float rarity) {

    Unit asMust() {
      return new Unit(own, around, terms, true, shown, rarity);
    }
  }

  /**
   * A way to meet a unit.
   *
   * @param how what is looked for
   * @param worth what a document gets for it
   */
  record Way(How how, float worth) {}

  /** What is looked for. */
  sealed interface How permits Term, Beginning, Together, Each {}

  /** A word or sign in a field. */
  record Term(String field, String term) implements How {}

  /** Any word that begins so. */
  record Beginning(String field, String prefix) implements How {}

  /** Words that stand one after the other. */
  record Together(String field, List<String> terms) implements How {}

  /** Every one of several, each met in any of its ways. */
  record Each(List<List<How>> all) implements How {}
}

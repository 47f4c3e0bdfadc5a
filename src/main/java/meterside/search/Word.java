package meterside.search;

/**
 * A word of a text, made alike: no case, no accents, singular.
 *
 * @param norm the word made alike
 * @param raw as it stands in the text
 * @param chunk number of the run of text without a blank it stands in; "sub-panel" is one run of
 *     two words
 * @param clause number of the clause it stands in; commas and the like end one, and no term reaches
 *     beyond it
 * @param start where it begins in the text
 */
record Word(String norm, String raw, int chunk, int clause, int start) {

  /** Where it ends in the text: the position after its last character. */
  int end() {
    return start + raw.length();
  }

  boolean isNumber() {
    return !norm.isEmpty() && norm.chars().allMatch(Character::isDigit);
  }

  /** Whether it is written in capitals only. */
  boolean isCapitals() {
    return raw.chars().anyMatch(Character::isLetter)
        && raw.chars().noneMatch(Character::isLowerCase);
  }
}

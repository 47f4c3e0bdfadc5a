package meterside.trade;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/**
 * Words made alike before they are compared: no case, no hyphens or periods, singular, British
 * endings as typed. Two texts are the same if their words, run together, are the same, so "sub
 * panel", "sub-panel" and "subpanels" are one.
 *
 * @param words the words, in order
 */
record Words(List<String> words) {

  /** Shortest word that may be one letter off. */
  static final int FUZZY_FROM = 5;

  /** Reads a text. */
  static Words of(String text) {
    String plain = text.toLowerCase(Locale.ROOT).replace("&", " and ").replace(".", "");
    List<String> out = new ArrayList<>();
    for (String w : plain.split("[^\\p{L}\\p{N}]+")) {
      if (!w.isEmpty()) {
        out.add(singular(w));
      }
    }
    return new Words(List.copyOf(out));
  }

  boolean isEmpty() {
    return words.isEmpty();
  }

  /** The words run together. */
  String joined() {
    return String.join("", words);
  }

  boolean same(Words other) {
    return joined().equals(other.joined());
  }

  /**
   * Whether each word is the same, or of five letters or more on both sides and at most one letter
   * off (one put in, left out, changed, or swapped with its neighbour).
   */
  boolean almost(Words other) {
    if (words.size() != other.words.size()) {
      return false;
    }
    for (int i = 0; i < words.size(); i++) {
      if (!almost(words.get(i), other.words.get(i))) {
        return false;
      }
    }
    return true;
  }

  /** Whether this text begins the other one, or begins one of its words after the first. */
  boolean begins(Words other) {
    String typed = joined();
    for (int from = 0; from < other.words.size(); from++) {
      String rest = String.join("", other.words.subList(from, other.words.size()));
      if (rest.startsWith(typed)) {
        return true;
      }
    }
    return false;
  }

  /** Whether one of the other's words is one letter off from this single word. */
  boolean almostAWordOf(Words other) {
    return words.size() == 1 && other.words.stream().anyMatch(w -> almost(words.get(0), w));
  }

  private static boolean almost(String a, String b) {
    if (a.equals(b)) {
      return true;
    }
    return a.length() >= FUZZY_FROM && b.length() >= FUZZY_FROM && oneOff(a, b);
  }

  /** Whether two different words are one insertion, deletion, change or swap apart. */
  private static boolean oneOff(String a, String b) {
    if (Math.abs(a.length() - b.length()) > 1) {
      return false;
    }
    int i = 0;
    while (i < a.length() && i < b.length() && a.charAt(i) == b.charAt(i)) {
      i++;
    }
    String ra = a.substring(i);
    String rb = b.substring(i);
    if (ra.length() != rb.length()) {
      return ra.length() > rb.length() ? ra.substring(1).equals(rb) : rb.substring(1).equals(ra);
    }
    boolean changed = ra.substring(1).equals(rb.substring(1));
    boolean swapped =
        ra.length() > 1
            && ra.charAt(0) == rb.charAt(1)
            && ra.charAt(1) == rb.charAt(0)
            && ra.substring(2).equals(rb.substring(2));
    return changed || swapped;
  }

  private static String singular(String w) {
    if (w.length() < 4 || !w.endsWith("s") || w.endsWith("ss") || w.endsWith("us")) {
      return w;
    }
    if (w.endsWith("ies") && w.length() > 4) {
      return w.substring(0, w.length() - 3) + "y";
    }
    if (w.endsWith("ches") || w.endsWith("shes") || w.endsWith("xes") || w.endsWith("sses")) {
      return w.substring(0, w.length() - 2);
    }
    return w.substring(0, w.length() - 1);
  }
}

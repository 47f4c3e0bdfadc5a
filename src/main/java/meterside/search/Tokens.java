package meterside.search;

import java.text.Normalizer;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;

/**
 * Cuts texts and questions into words, both in the same way, so that any spelling of a hyphen, a
 * plural or a capital meets any other.
 *
 * <p>A run of text without a blank is cut at everything that is neither letter nor digit, and
 * between letters and digits. A run of several words also counts as one word written together:
 * "sub-panel" is <i>sub</i>, <i>panel</i> and <i>subpanel</i>; "S.E.C." also <i>sec</i>. Between
 * digits the sign stays ("4/0", "1.5"), or 4/0 wire would be wire 40. A number with its unit is one
 * word however it is written: "200A", "200 A" and "200 amps" all give <i>200a</i>.
 */
final class Tokens {

  private static final Map<String, String> UNITS =
      Map.ofEntries(
          Map.entry("a", "a"),
          Map.entry("amp", "a"),
          Map.entry("ampere", "a"),
          Map.entry("v", "v"),
          Map.entry("volt", "v"),
          Map.entry("awg", "awg"),
          Map.entry("ga", "awg"),
          Map.entry("gauge", "awg"),
          Map.entry("guage", "awg"),
          Map.entry("ft", "ft"),
          Map.entry("foot", "ft"),
          Map.entry("feet", "ft"),
          Map.entry("inch", "in"));

  /** Nobody writes longer words; what is longer is some code, and its beginning will do. */
  private static final int LONGEST = 64;

  private final Set<String> shortForms;

  /**
   * Makes a cutter.
   *
   * @param shortForms abbreviations, so that "GFCIs" is read as several of them
   */
  Tokens(Set<String> shortForms) {
    this.shortForms = shortForms;
  }

  /** Whether a word is an abbreviation of the trade. */
  boolean isShortForm(String norm) {
    return shortForms.contains(norm);
  }

  /**
   * A word that stands for several neighbouring ones: words {@code from} to {@code to} - 1.
   *
   * @param measure whether it is a number with its unit
   */
  record Joined(int from, int to, String norm, boolean measure) {}

  /** The words of a text, in order. */
  List<Word> words(String text) {
    List<Word> out = new ArrayList<>();
    int chunk = 0;
    int clause = 0;
    int i = 0;
    int n = text.length();
    while (i < n) {
      int cp = text.codePointAt(i);
      if (!Character.isLetterOrDigit(cp)) {
        if (!joins(cp)) {
          chunk++;
        }
        if (endsClause(text, i, cp)) {
          clause++;
        }
        i += Character.charCount(cp);
        continue;
      }
      int start = i;
      boolean digits = Character.isDigit(cp);
      while (i < n) {
        int c = text.codePointAt(i);
        boolean mark = Character.getType(c) == Character.NON_SPACING_MARK;
        if (!mark && (!Character.isLetterOrDigit(c) || Character.isDigit(c) != digits)) {
          break;
        }
        i += Character.charCount(c);
      }
      String raw = text.substring(start, i);
      out.add(new Word(norm(raw), raw, chunk, clause, start));
    }
    return out;
  }

  /** Signs that hold the words of one run together. */
  private static boolean joins(int cp) {
    return cp == '-'
        || cp == '‐'
        || cp == '‑'
        || cp == '–'
        || cp == '/'
        || cp == '&'
        || cp == '.'
        || cp == '\''
        || cp == '’'
        || cp == '_'
        || cp == '#';
  }

  private static boolean endsClause(String text, int at, int cp) {
    boolean stop = cp == '.' && (at + 1 == text.length() || text.charAt(at + 1) == ' ');
    return stop || ",;:()[]!?\n".indexOf(cp) >= 0;
  }

  /** What neighbouring words also count as, written together. */
  List<Joined> joined(List<Word> words) {
    List<Joined> out = new ArrayList<>();
    for (int from = 0; from < words.size(); ) {
      int to = from + 1;
      while (to < words.size() && words.get(to).chunk() == words.get(from).chunk()) {
        to++;
      }
      if (to - from > 1) {
        out.add(new Joined(from, to, together(words.subList(from, to)), false));
      }
      from = to;
    }
    for (int i = 0; i + 1 < words.size(); i++) {
      String unit = UNITS.get(words.get(i + 1).norm());
      boolean alone = i == 0 || words.get(i - 1).chunk() != words.get(i).chunk();
      if (unit != null && alone && words.get(i).isNumber()) {
        out.add(new Joined(i, i + 2, words.get(i).norm() + unit, true));
      }
    }
    return out;
  }

  /** Words written together; a sign stays between two numbers. */
  static String together(List<Word> words) {
    StringBuilder out = new StringBuilder();
    for (int i = 0; i < words.size(); i++) {
      if (i > 0 && words.get(i).isNumber() && words.get(i - 1).isNumber()) {
        out.append('/');
      }
      out.append(words.get(i).norm());
    }
    return out.toString();
  }

  /** A word made alike: no case, no accents, singular. */
  String norm(String raw) {
    String plain = Normalizer.normalize(raw, Normalizer.Form.NFKD).replaceAll("\\p{Mn}+", "");
    boolean capitalsInPlural =
        plain.length() > 2
            && plain.endsWith("s")
            && plain.chars().limit(plain.length() - 1L).allMatch(Character::isUpperCase);
    if (capitalsInPlural) {
      plain = plain.substring(0, plain.length() - 1);
    }
    String low = plain.toLowerCase(Locale.ROOT);
    if (low.length() > LONGEST) {
      low = low.substring(0, LONGEST);
    }
    return capitalsInPlural ? low : singular(low);
  }

  private String singular(String w) {
    if (w.length() < 4 || !w.endsWith("s")) {
      return w;
    }
    String less = w.substring(0, w.length() - 1);
    if (shortForms.contains(less)) {
      return less;
    }
    if (w.equals("buses") || w.equals("busses")) {
      return "bus";
    }
    if (w.endsWith("ss") || w.endsWith("us") || w.endsWith("is")) {
      return w;
    }
    if (w.endsWith("ies") && w.length() > 4) {
      return w.substring(0, w.length() - 3) + "y";
    }
    if (w.endsWith("ches")
        || w.endsWith("shes")
        || w.endsWith("xes")
        || w.endsWith("sses")
        || w.endsWith("zzes")) {
      return w.substring(0, w.length() - 2);
    }
    return less;
  }
}

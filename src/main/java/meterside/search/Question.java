package meterside.search;

import java.util.ArrayList;
import java.util.List;

/**
 * What typed words ask for: a list of units, all of which should be met. There is no query
 * language: apart from quotes, no sign has a meaning, so nothing that is typed can be wrong.
 *
 * @param units in the order they were typed
 */
record Question(List<Unit> units) {

  /** Something asked for. */
  sealed interface Unit permits Quoted, Named, Begun, Plain {
    /** As it was typed, for showing it. */
    String typed();
  }

  /**
   * Words that must stand together as they are.
   *
   * @param words at least one
   */
  record Quoted(String typed, List<Word> words) implements Unit {}

  /**
   * A term of the trade.
   *
   * @param words the words that name it, as typed
   * @param span what they mean
   */
  record Named(String typed, List<Word> words, Vocabulary.Span span) implements Unit {}

  /**
   * The beginning of terms of several words, while it is being typed ("meter c").
   *
   * @param words the words so far, the last one unfinished
   * @param concepts what they may become
   */
  record Begun(String typed, List<Word> words, List<Vocabulary.Concept> concepts) implements Unit {}

  /**
   * A run of one word, or of several with hyphens or the like between them.
   *
   * @param words at least one
   * @param together the words written together
   * @param measure whether it is a number with its unit, which has one form only
   */
  record Plain(String typed, List<Word> words, String together, boolean measure) implements Unit {}

  /**
   * Reads typed words.
   *
   * @param typing whether the last word may be unfinished
   */
  static Question read(String typed, Vocabulary vocabulary, boolean typing) {
    List<Unit> units = new ArrayList<>();
    List<Word> dropped = new ArrayList<>();
    int i = 0;
    StringBuilder loose = new StringBuilder();
    while (i < typed.length()) {
      int close = opensQuote(typed, i) ? closingQuote(typed, i) : -1;
      if (close > 0) {
        loose(loose.toString(), vocabulary, units, dropped);
        loose.setLength(0);
        String inside = typed.substring(i + 1, close);
        List<Word> words = vocabulary.tokens().words(inside);
        if (!words.isEmpty()) {
          units.add(new Quoted("\"" + inside.strip() + "\"", words));
        }
        i = close + 1;
      } else {
        loose.append(typed.charAt(i));
        i++;
      }
    }
    loose(loose.toString(), vocabulary, units, dropped);
    if (units.isEmpty()) {
      // Nothing but "the" and "of": then these are what is meant.
      for (Word w : dropped) {
        units.add(new Plain(w.raw(), List.of(w), w.norm(), false));
      }
    }
    if (typing) {
      begun(units, vocabulary);
    }
    return new Question(List.copyOf(units));
  }

  /** Takes the last units together if they begin a term of several words. */
  private static void begun(List<Unit> units, Vocabulary vocabulary) {
    for (int from = Math.max(0, units.size() - 3); from < units.size() - 1; from++) {
      List<Word> words = new ArrayList<>();
      boolean quoted = false;
      for (Unit u : units.subList(from, units.size())) {
        quoted |= u instanceof Quoted;
        words.addAll(wordsOf(u));
      }
      List<Vocabulary.Concept> concepts = quoted ? List.of() : vocabulary.beginning(words);
      if (!concepts.isEmpty()) {
        List<Unit> last = units.subList(from, units.size());
        last.clear();
        units.add(new Begun(raw(words), List.copyOf(words), concepts));
        return;
      }
    }
  }

  private static List<Word> wordsOf(Unit unit) {
    if (unit instanceof Quoted q) {
      return q.words();
    }
    if (unit instanceof Named n) {
      return n.words();
    }
    if (unit instanceof Begun b) {
      return b.words();
    }
    return ((Plain) unit).words();
  }

  private static boolean isQuote(char c) {
    return c == '"' || c == '“' || c == '”' || c == '„';
  }

  /** A quote opens after a blank; after a digit it is an inch mark. */
  private static boolean opensQuote(String s, int at) {
    return isQuote(s.charAt(at)) && (at == 0 || !Character.isLetterOrDigit(s.charAt(at - 1)));
  }

  private static int closingQuote(String s, int from) {
    for (int i = from + 1; i < s.length(); i++) {
      boolean ends = i + 1 == s.length() || !Character.isLetterOrDigit(s.charAt(i + 1));
      if (isQuote(s.charAt(i)) && ends) {
        return i;
      }
    }
    return -1;
  }

  private static void loose(
      String text, Vocabulary vocabulary, List<Unit> units, List<Word> dropped) {
    List<Word> words = vocabulary.tokens().words(text);
    List<Vocabulary.Span> spans = vocabulary.recognize(words, false);
    List<Tokens.Joined> joined = vocabulary.tokens().joined(words);
    int next = 0;
    for (int i = 0; i < words.size(); ) {
      int at = i;
      Tokens.Joined measure =
          joined.stream().filter(j -> j.from() == at && j.measure()).findFirst().orElse(null);
      while (next < spans.size() && spans.get(next).from() < i) {
        next++;
      }
      Vocabulary.Span span =
          next < spans.size() && spans.get(next).from() == i ? spans.get(next) : null;
      if (measure != null) {
        List<Word> run = words.subList(i, measure.to());
        units.add(new Plain(raw(run), run, measure.norm(), true));
        i = measure.to();
      } else if (span != null && !isLoneFunctionWord(span, words, vocabulary)) {
        List<Word> run = words.subList(i, span.to());
        units.add(new Named(raw(run), run, span));
        i = span.to();
      } else {
        int end = i + 1;
        int limit = next < spans.size() && span == null ? spans.get(next).from() : words.size();
        while (end < limit && words.get(end).chunk() == words.get(i).chunk()) {
          end++;
        }
        List<Word> run = words.subList(i, end);
        if (run.size() == 1 && vocabulary.isFunctionWord(run.get(0).norm())) {
          dropped.add(run.get(0));
        } else {
          units.add(new Plain(raw(run), run, Tokens.together(run), false));
        }
        i = end;
      }
    }
  }

  /** "a" is an article here, whatever else it may stand for. */
  private static boolean isLoneFunctionWord(
      Vocabulary.Span span, List<Word> words, Vocabulary vocabulary) {
    return span.to() - span.from() == 1 && vocabulary.isFunctionWord(words.get(span.from()).norm());
  }

  private static String raw(List<Word> words) {
    StringBuilder out = new StringBuilder();
    for (int i = 0; i < words.size(); i++) {
      if (i > 0) {
        out.append(words.get(i).chunk() == words.get(i - 1).chunk() ? "-" : " ");
      }
      out.append(words.get(i).raw());
    }
    return out.toString();
  }
}

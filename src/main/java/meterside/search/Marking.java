package meterside.search;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.HashSet;
import java.util.List;
import java.util.Set;

/**
 * Shows where a text meets a question, with the same readings that found it: names of a term that
 * was asked for, words, their other forms, beginnings of an unfinished word.
 */
final class Marking {
  private final Vocabulary vocabulary;
  private final List<Word> words;
  private final List<Vocabulary.Span> spans;
  private final BitSet met;

  private Marking(String text, Vocabulary vocabulary) {
    this.vocabulary = vocabulary;
    words = vocabulary.tokens().words(text);
    spans = vocabulary.recognize(words, true);
    met = new BitSet(words.size());
  }

  /**
   * The stretches of a text that meet a question, in order; neighbouring words are one stretch.
   *
   * @param unfinished whether the question's last word may be unfinished
   */
  static List<Stretch> of(
      Question question, boolean unfinished, String text, Vocabulary vocabulary) {
    Marking m = new Marking(text, vocabulary);
    for (int i = 0; i < question.units().size(); i++) {
      boolean last = i == question.units().size() - 1;
      m.mark(question.units().get(i), last, unfinished && last);
    }
    return m.stretches();
  }

  private void mark(Question.Unit unit, boolean last, boolean unfinished) {
    if (unit instanceof Question.Quoted q) {
      markTogether(q.words());
    } else if (unit instanceof Question.Named n) {
      Set<String> ids = new HashSet<>();
      n.span().meanings().forEach(m -> ids.add(m.concept().id()));
      markConcepts(ids);
      n.words().forEach(w -> markWord(w.norm(), false));
      if (unfinished) {
        vocabulary.beginning(n.words()).forEach(c -> markConcepts(Set.of(c.id())));
      }
    } else if (unit instanceof Question.Begun b) {
      b.concepts().forEach(c -> markConcepts(Set.of(c.id())));
    } else if (unit instanceof Question.Plain p) {
      boolean any = markTogether(p.words());
      if (p.words().size() == 1) {
        any |= markWord(p.words().get(0).norm(), unfinished);
        if (!any) {
          markGuesses(p.words().get(0).norm(), last);
        }
      }
    }
  }

  private void markConcepts(Set<String> ids) {
    for (Vocabulary.Span s : spans) {
      if (s.meanings().stream().anyMatch(m -> ids.contains(m.concept().id()))) {
        met.set(s.from(), s.to());
      }
    }
  }

  private boolean markTogether(List<Word> wanted) {
    boolean any = false;
    String together = Tokens.together(wanted);
    for (Tokens.Joined j : vocabulary.tokens().joined(words)) {
      if (j.norm().equals(together)) {
        met.set(j.from(), j.to());
        any = true;
      }
    }
    for (int i = 0; i + wanted.size() <= words.size(); i++) {
      boolean same = true;
      for (int k = 0; k < wanted.size() && same; k++) {
        same = words.get(i + k).norm().equals(wanted.get(k).norm());
      }
      if (same) {
        met.set(i, i + wanted.size());
        any = true;
      }
    }
    return any;
  }

  private boolean markWord(String norm, boolean unfinished) {
    boolean any = false;
    if (vocabulary.isFunctionWord(norm)) {
      return false;
    }
    for (int i = 0; i < words.size(); i++) {
      String w = words.get(i).norm();
      boolean meets =
          w.equals(norm)
              || unfinished && w.startsWith(norm)
              || norm.equals(vocabulary.correction(w))
              || norm.length() > 3 && vocabulary.sameFamily(w, norm);
      if (meets) {
        met.set(i);
        any = true;
      }
    }
    return any;
  }

  /** What a word that stands nowhere was guessed to be. */
  private void markGuesses(String norm, boolean last) {
    for (int i = 0; i < words.size(); i++) {
      String w = words.get(i).norm();
      boolean oneOff = norm.length() >= Vocabulary.FUZZY_FROM && Vocabulary.oneOff(norm, w);
      if (oneOff || last && norm.length() > 2 && w.startsWith(norm)) {
        met.set(i);
      }
    }
  }

  private List<Stretch> stretches() {
    List<Stretch> out = new ArrayList<>();
    for (int from = met.nextSetBit(0); from >= 0; ) {
      int to = met.nextClearBit(from);
      out.add(new Stretch(words.get(from).start(), words.get(to - 1).end()));
      from = met.nextSetBit(to);
    }
    return List.copyOf(out);
  }
}

package meterside.search;

import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.List;
import org.apache.lucene.analysis.TokenStream;
import org.apache.lucene.analysis.tokenattributes.CharTermAttribute;
import org.apache.lucene.analysis.tokenattributes.PositionIncrementAttribute;

/**
 * Hands words that were read by our own rules to the index. At one position may stand: the word,
 * the word it was corrected to, what a run of words is written together, and a sign for each
 * meaning of a name that begins there.
 */
final class WordStream extends TokenStream {

  /** Between two texts of one field, wider than any distance that is asked for. */
  private static final int GAP = 100;

  private record At(int position, String term) {}

  private final List<At> terms;
  private final CharTermAttribute termAttribute = addAttribute(CharTermAttribute.class);
  private final PositionIncrementAttribute increment =
      addAttribute(PositionIncrementAttribute.class);
  private int next;

  private WordStream(List<At> terms) {
    this.terms = terms;
  }

  /** The sign for a meaning. No typed word can hit upon it: it begins with a control character. */
  static String sign(String concept, boolean weak) {
    return (weak ? "\u0002" : "\u0001") + concept;
  }

  /** A term of the index with the doubtful reading beside the sure one, if it is a sign. */
  static List<String> readings(String term) {
    boolean sure = term.charAt(0) == '\u0001';
    return sure ? List.of(term, sign(term.substring(1), true)) : List.of(term);
  }

  /**
   * Several texts, one after the other.
   *
   * @param about ids of the parts the texts are about: a doubtful name of one of them is no longer
   *     doubtful
   */
  static WordStream ofTexts(
      Collection<String> texts, Collection<String> about, Vocabulary vocabulary) {
    List<At> out = new ArrayList<>();
    int start = 0;
    for (String text : texts) {
      List<Word> words = vocabulary.tokens().words(text);
      write(words, start, vocabulary, out);
      for (Vocabulary.Span span : vocabulary.recognize(words, true)) {
        for (Vocabulary.Meaning m : span.meanings()) {
          out.add(
              new At(
                  start + span.from(),
                  sign(m.concept().id(), m.weak() && !about.contains(m.concept().id()))));
        }
        if (span.to() - span.from() > 1) {
          List<Word> name = words.subList(span.from(), span.to());
          out.add(new At(start + span.from(), Tokens.together(name)));
        }
      }
      start += words.size() + GAP;
    }
    return sorted(out);
  }

  /** Parts: their meaning for certain, and the words of their preferred names. */
  static WordStream ofParts(Collection<String> parts, Vocabulary vocabulary) {
    List<At> out = new ArrayList<>();
    int start = 0;
    for (String part : parts) {
      Vocabulary.Concept concept = vocabulary.concept(part);
      String term = concept == null ? part.replace('-', ' ') : concept.term();
      List<Word> words = vocabulary.tokens().words(term);
      out.add(new At(start, sign(part, false)));
      write(words, start, vocabulary, out);
      start += words.size() + GAP;
    }
    return sorted(out);
  }

  private static void write(List<Word> words, int start, Vocabulary vocabulary, List<At> out) {
    for (int i = 0; i < words.size(); i++) {
      String norm = words.get(i).norm();
      out.add(new At(start + i, norm));
      String corrected = vocabulary.correction(norm);
      if (corrected != null) {
        out.add(new At(start + i, corrected));
      }
    }
    for (Tokens.Joined j : vocabulary.tokens().joined(words)) {
      // At both ends, so that the words before and after it stay its neighbours.
      out.add(new At(start + j.from(), j.norm()));
      out.add(new At(start + j.to() - 1, j.norm()));
    }
  }

  private static WordStream sorted(List<At> terms) {
    List<At> distinct = new ArrayList<>(terms.stream().distinct().toList());
    distinct.sort(Comparator.comparingInt(At::position));
    return new WordStream(distinct);
  }

  @Override
  public void reset() {
    next = 0;
  }

  @Override
  public boolean incrementToken() {
    if (next == terms.size()) {
      return false;
    }
    clearAttributes();
    At at = terms.get(next);
    int before = next == 0 ? -1 : terms.get(next - 1).position();
    termAttribute.append(at.term());
    increment.setPositionIncrement(at.position() - before);
    next++;
    return true;
  }
}

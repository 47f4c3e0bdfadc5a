package meterside.search;

import java.io.IOException;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import meterside.job.Sentences;
import meterside.trade.Trade;
import org.apache.lucene.index.IndexReader;
import org.apache.lucene.index.Term;
import org.apache.lucene.search.BooleanClause.Occur;
import org.apache.lucene.search.BooleanQuery;
import org.apache.lucene.search.BoostQuery;
import org.apache.lucene.search.ConstantScoreQuery;
import org.apache.lucene.search.Query;
import org.apache.lucene.search.TermQuery;

/**
 * Finds findings that are worded alike. Two texts are as alike as what they share is rare: each
 * shared word or term counts log(N / n), with N findings in all and n of them with it. Terms count
 * by their meaning, so "meter can" and "meter socket" are one. The same part counts as much as a
 * word that one finding in a thousand has.
 */
final class Alike {
  private static final float SAME_PART = (float) Math.log(1000);
  private static final float SAME_STOP = 1;

  /** What stands in the reasons and places counts half of what stands in what was seen. */
  private static final float IN_NOTES = 0.5f;

  private static final float LEAST = 0.01f;

  private final Like like;
  private final Vocabulary vocabulary;
  private final Trade trade;

  /** What the text says, as it stands in the index, each with how to say it to the user. */
  private final Map<String, String> said;

  Alike(Like like, Vocabulary vocabulary, Trade trade) {
    this.like = like;
    this.vocabulary = vocabulary;
    this.trade = trade;
    said = said(like.text() == null ? "" : like.text());
  }

  /** Terms of a text, and its words outside of them; function words are left out. */
  private Map<String, String> said(String text) {
    List<Word> words = vocabulary.tokens().words(text);
    Map<String, String> out = new LinkedHashMap<>();
    Set<Integer> inTerms = new HashSet<>();
    for (Vocabulary.Span span : vocabulary.recognize(words, true)) {
      for (Vocabulary.Meaning m : span.meanings()) {
        out.put(WordStream.sign(m.concept().id(), false), m.concept().term());
      }
      for (int i = span.from(); i < span.to(); i++) {
        inTerms.add(i);
      }
    }
    for (int i = 0; i < words.size(); i++) {
      String norm = words.get(i).norm();
      boolean idle = vocabulary.isFunctionWord(norm) || norm.length() < 2;
      if (!idle && !inTerms.contains(i)) {
        out.put(norm, norm);
      }
    }
    return out;
  }

  /** Whether there is nothing to go by. */
  boolean isEmpty() {
    return said.isEmpty() && like.part() == null;
  }

  /** The query, for findings. */
  Query query(IndexReader reader) throws IOException {
    int findings = reader.docFreq(new Term(Documents.KIND, Hit.Kind.FINDING.name()));
    BooleanQuery.Builder any = new BooleanQuery.Builder();
    for (String term : said.keySet()) {
      for (String field : List.of(Documents.SEEN, Documents.NOTES)) {
        BooleanQuery.Builder readings = new BooleanQuery.Builder();
        int n = 0;
        for (String reading : WordStream.readings(term)) {
          Term t = new Term(field, reading);
          n = Math.max(n, reader.docFreq(t));
          readings.add(new TermQuery(t), Occur.SHOULD);
        }
        double rare = Math.log((findings + 1.0) / (Math.min(n, findings) + 0.5));
        double worth = field.equals(Documents.SEEN) ? rare : rare * IN_NOTES;
        any.add(counts(readings.build(), Math.max(LEAST, (float) worth)), Occur.SHOULD);
      }
    }
    if (like.part() != null) {
      Term part = new Term(Documents.PART, like.part());
      any.add(counts(new TermQuery(part), SAME_PART), Occur.SHOULD);
    }
    if (like.stop() == null) {
      return any.build();
    }
    Term stop = new Term(Documents.STOP, like.stop());
    return new BooleanQuery.Builder()
        .add(any.build(), Occur.MUST)
        .add(counts(new TermQuery(stop), SAME_STOP), Occur.SHOULD)
        .build();
  }

  private static Query counts(Query q, float worth) {
    return new BoostQuery(new ConstantScoreQuery(q), worth);
  }

  /** Says why a finding is like the one asked for. */
  Likeness likeness(Hit hit) {
    boolean samePart = like.part() != null && hit.parts().contains(like.part());
    Set<String> shared = new LinkedHashSet<>(said.keySet());
    shared.retainAll(said(hit.text()).keySet());
    List<String> shown = new ArrayList<>();
    shared.forEach(t -> shown.add(said.get(t)));
    Sentences s = Sentences.in(Alike.class);
    String words = String.join(", ", shown);
    String because =
        !samePart
            ? s.say("similar.words", words)
            : shown.isEmpty()
                ? s.say("similar.part", trade.term(like.part()))
                : s.say("similar.both", trade.term(like.part()), words);
    return new Likeness(hit, samePart, shown, because);
  }
}

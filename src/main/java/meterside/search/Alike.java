package meterside.search;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import meterside.job.Sentences;
import meterside.trade.Trade;
import org.apache.lucene.document.Document;
import org.apache.lucene.index.BinaryDocValues;
import org.apache.lucene.index.IndexReader;
import org.apache.lucene.index.IndexableField;
import org.apache.lucene.index.LeafReaderContext;
import org.apache.lucene.index.ReaderUtil;
import org.apache.lucene.index.Term;
import org.apache.lucene.search.BooleanClause.Occur;
import org.apache.lucene.search.BooleanQuery;
import org.apache.lucene.search.BoostQuery;
import org.apache.lucene.search.ConstantScoreQuery;
import org.apache.lucene.search.IndexSearcher;
import org.apache.lucene.search.MatchAllDocsQuery;
import org.apache.lucene.search.Query;
import org.apache.lucene.search.ScoreDoc;
import org.apache.lucene.search.TermQuery;
import org.apache.lucene.util.BytesRef;

/**
 * Finds what is like a finding or a photo. Candidates come from three sides: those that share rare
 * words or the part, those whose photos look alike (all looks are compared, see {@link Nearest}),
 * and from there the findings that name such a photo. All are then weighed by the same scale:
 *
 * <ul>
 *   <li>Words: what both texts share, each word or term by how rare it is (log N / n), against what
 *       each says alone (the cosine of the two sets). Terms count by their meaning, so "meter can"
 *       and "meter socket" are one.
 *   <li>Part: whether it is of the same part.
 *   <li>Look: how far the cosine of the looks lies above what two photos of one kind of scene have.
 * </ul>
 *
 * From a finding its words weigh most, from a photo its look.
 */
final class Alike {
  /** From each side so many candidates. */
  private static final int CANDIDATES = 120;

  // Cosines of looks, as measured between the rendered houses that the tests use: two photos of
  // unlike things have 0.79 in the median and 0.90 in one of twenty; the same thing in another
  // house has 0.97 in the median.

  /** Says nothing. */
  private static final double LOOK_NOTHING = 0.78;

  /** All but the same. */
  private static final double LOOK_SAME = 0.98;

  /** Said to look alike, on the scale from nothing to the same: a cosine of 0.92. */
  private static final double LOOK_SAID = 0.7;

  /** The least that makes a finding worth showing that shares neither words nor part. */
  private static final double LOOK_ALONE = 0.5;

  private static final double STOP_WORTH = 0.1;

  /** What stands in the reasons and places counts half of what stands in what was seen. */
  private static final float IN_NOTES = 0.5f;

  private static final float LEAST = 0.01f;

  /** The same part finds candidates as a word does that one finding in a thousand has. */
  private static final float SAME_PART = (float) Math.log(1000);

  private final Like like;
  private final Vocabulary vocabulary;
  private final Trade trade;
  private final Snapshot snapshot;
  private final IndexReader reader;
  private final IndexSearcher searcher;
  private final int findings;

  /** What the text says, as it stands in the index, each with how to say it to the user. */
  private final Map<String, String> said;

  private final Map<String, Double> rarities = new HashMap<>();

  Alike(Like like, Vocabulary vocabulary, Trade trade, Snapshot snapshot) throws IOException {
    this.like = like;
    this.vocabulary = vocabulary;
    this.trade = trade;
    this.snapshot = snapshot;
    reader = snapshot.reader();
    searcher = snapshot.searcher();
    findings = reader.docFreq(new Term(Documents.KIND, Hit.Kind.FINDING.name()));
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

  /** What is like it, the most alike first. */
  List<Likeness> find() throws IOException {
    Map<Integer, Candidate> found = new LinkedHashMap<>();
    if (!said.isEmpty() || !like.parts().isEmpty()) {
      worded(Hit.Kind.FINDING, found);
      if (like.wanted() == Hit.Kind.PHOTO) {
        worded(Hit.Kind.PHOTO, found);
      }
    }
    if (!like.looks().isEmpty()) {
      take(Nearest.to(like.looks(), CANDIDATES, searcher, allowed(Hit.Kind.PHOTO)), found);
    }
    if (like.wanted() == Hit.Kind.FINDING) {
      findingsOfPhotos(found);
    } else {
      photosOfFindings(found);
    }
    List<Likeness> out = new ArrayList<>();
    for (Candidate c : found.values()) {
      Likeness l = weigh(c);
      double least = like.wanted() == Hit.Kind.FINDING ? LOOK_ALONE : 0;
      if (l.samePart() || !l.shared().isEmpty() || l.look() > least) {
        out.add(l);
      }
    }
    out.sort(
        Comparator.comparingDouble((Likeness l) -> l.hit().score())
            .reversed()
            .thenComparing(l -> l.hit().job(), Comparator.reverseOrder())
            .thenComparing(l -> l.hit().finding() == null ? 0 : l.hit().finding()));
    return List.copyOf(out.subList(0, Math.min(out.size(), Math.max(0, like.limit()))));
  }

  // ---- candidates ----

  /**
   * A document that may be like it.
   *
   * @param findings of a photo: the findings that name it
   * @param cosine of the looks; 0 if one has none
   */
  private record Candidate(Hit hit, List<Hit> findings, double cosine) {}

  private void worded(Hit.Kind kind, Map<Integer, Candidate> found) throws IOException {
    BooleanQuery.Builder any = new BooleanQuery.Builder();
    for (String term : said.keySet()) {
      for (String field : List.of(Documents.SEEN, Documents.PART_NAMES, Documents.NOTES)) {
        BooleanQuery.Builder readings = new BooleanQuery.Builder();
        int n = 0;
        for (String reading : WordStream.readings(term)) {
          Term t = new Term(field, reading);
          n = Math.max(n, reader.docFreq(t));
          readings.add(new TermQuery(t), Occur.SHOULD);
        }
        if (n > 0) {
          double worth = rarity(n) * (field.equals(Documents.SEEN) ? 1 : IN_NOTES);
          any.add(counts(readings.build(), Math.max(LEAST, (float) worth)), Occur.SHOULD);
        }
      }
    }
    for (String part : like.parts()) {
      any.add(counts(new TermQuery(new Term(Documents.PART, part)), SAME_PART), Occur.SHOULD);
    }
    Query query =
        new BooleanQuery.Builder()
            .add(any.build(), Occur.MUST)
            .add(allowed(kind), Occur.FILTER)
            .build();
    take(searcher.search(query, CANDIDATES).scoreDocs, found);
  }

  private static Query counts(Query q, float worth) {
    return new BoostQuery(new ConstantScoreQuery(q), worth);
  }

  private double rarity(int n) {
    return Math.log((findings + 1.0) / (Math.min(n, findings) + 0.5));
  }

  private double rarity(String term) {
    return rarities.computeIfAbsent(
        term,
        t -> {
          int n = 0;
          try {
            for (String field : List.of(Documents.SEEN, Documents.NOTES)) {
              for (String reading : WordStream.readings(t)) {
                n = Math.max(n, reader.docFreq(new Term(field, reading)));
              }
            }
          } catch (IOException e) {
            throw new java.io.UncheckedIOException(e);
          }
          return Math.max(LEAST, rarity(n));
        });
  }

  /** Documents of a kind, of other jobs unless the same one may answer. */
  private Query allowed(Hit.Kind kind) {
    BooleanQuery.Builder out = new BooleanQuery.Builder();
    out.add(new MatchAllDocsQuery(), Occur.MUST);
    out.add(new TermQuery(new Term(Documents.KIND, kind.name())), Occur.FILTER);
    if (like.job() != null && !like.sameJob()) {
      out.add(new TermQuery(new Term(Documents.JOB, like.job())), Occur.MUST_NOT);
    }
    if (like.job() != null && like.finding() != null) {
      String itself = Documents.key(like.job(), like.finding());
      out.add(new TermQuery(new Term(Documents.KEY, itself)), Occur.MUST_NOT);
    }
    if (snapshot.hidden() != null) {
      out.add(snapshot.hidden(), Occur.MUST_NOT);
    }
    return out.build();
  }

  private void take(ScoreDoc[] docs, Map<Integer, Candidate> found) throws IOException {
    for (ScoreDoc sd : docs) {
      if (!found.containsKey(sd.doc)) {
        found.put(sd.doc, candidate(sd.doc));
      }
    }
  }

  private Candidate candidate(int doc) throws IOException {
    Document d = searcher.storedFields().document(doc);
    Hit hit = Answering.hit(d, 0);
    List<Hit> named = new ArrayList<>();
    for (IndexableField f : d.getFields(Documents.FINDINGS)) {
      int at = finding(hit.job(), f.numericValue().intValue());
      if (at >= 0) {
        named.add(Answering.hit(searcher.storedFields().document(at), 0));
      }
    }
    return new Candidate(hit, named, cosine(lookOf(doc, hit.kind())));
  }

  private int finding(String job, int number) throws IOException {
    Query query = new TermQuery(new Term(Documents.KEY, Documents.key(job, number)));
    if (snapshot.hidden() != null) {
      query =
          new BooleanQuery.Builder()
              .add(query, Occur.MUST)
              .add(snapshot.hidden(), Occur.MUST_NOT)
              .build();
    }
    ScoreDoc[] found = searcher.search(query, 1).scoreDocs;
    return found.length == 0 ? -1 : found[0].doc;
  }

  /** In place of look-alike photos the findings that name them; photos without one are dropped. */
  private void findingsOfPhotos(Map<Integer, Candidate> found) throws IOException {
    for (Map.Entry<Integer, Candidate> e : new ArrayList<>(found.entrySet())) {
      Candidate photo = e.getValue();
      if (photo.hit().kind() != Hit.Kind.PHOTO) {
        continue;
      }
      found.remove(e.getKey());
      for (Hit f : photo.findings()) {
        boolean itself = f.job().equals(like.job()) && f.finding().equals(like.finding());
        int doc = itself ? -1 : finding(f.job(), f.finding());
        if (doc >= 0) {
          Candidate known = found.containsKey(doc) ? found.get(doc) : candidate(doc);
          double cosine = Math.max(known.cosine(), photo.cosine());
          found.put(doc, new Candidate(known.hit(), List.of(), cosine));
        }
      }
    }
  }

  /** Findings stay only where none of the photos shows them. */
  private static void photosOfFindings(Map<Integer, Candidate> found) {
    Set<String> shown = new HashSet<>();
    for (Candidate c : found.values()) {
      c.findings().forEach(f -> shown.add(Documents.key(f.job(), f.finding())));
    }
    found
        .values()
        .removeIf(
            c ->
                c.hit().kind() == Hit.Kind.FINDING
                    && shown.contains(Documents.key(c.hit().job(), c.hit().finding())));
  }

  // ---- looks ----

  private byte[] lookOf(int doc, Hit.Kind kind) throws IOException {
    if (like.looks().isEmpty()) {
      return null;
    }
    LeafReaderContext leaf = reader.leaves().get(ReaderUtil.subIndex(doc, reader.leaves()));
    int at = doc - leaf.docBase;
    String field = kind == Hit.Kind.FINDING ? Documents.LOOK_OF_FINDING : Documents.LOOK;
    BinaryDocValues looks = leaf.reader().getBinaryDocValues(field);
    if (looks == null || !looks.advanceExact(at)) {
      return null;
    }
    BytesRef b = looks.binaryValue();
    return java.util.Arrays.copyOfRange(b.bytes, b.offset, b.offset + b.length);
  }

  private double cosine(byte[] look) {
    double best = 0;
    if (look != null) {
      double length = 0;
      for (byte b : look) {
        length += b * b;
      }
      for (float[] of : like.looks()) {
        double sum = 0;
        for (int i = 0; i < look.length; i++) {
          sum += look[i] * of[i];
        }
        best = Math.max(best, sum / Math.sqrt(Math.max(1, length)));
      }
    }
    return best;
  }

  // ---- weighing ----

  private Likeness weigh(Candidate c) {
    StringBuilder text = new StringBuilder(c.hit().text());
    Set<String> parts = new LinkedHashSet<>(c.hit().parts());
    for (Hit f : c.findings()) {
      text.append(". ").append(f.text());
      parts.addAll(f.parts());
    }
    Map<String, String> other = said(text.toString());
    double mine = 0;
    double theirs = 0;
    double both = 0;
    List<String> shared = new ArrayList<>();
    for (Map.Entry<String, String> e : said.entrySet()) {
      double r = rarity(e.getKey());
      mine += r;
      if (other.containsKey(e.getKey())) {
        both += r;
        shared.add(e.getValue());
      }
    }
    for (String t : other.keySet()) {
      theirs += rarity(t);
    }
    double words = both == 0 ? 0 : both / Math.sqrt(mine * theirs);
    String part = like.parts().stream().filter(parts::contains).findFirst().orElse(null);
    double look =
        Math.max(0, Math.min(1, (c.cosine() - LOOK_NOTHING) / (LOOK_SAME - LOOK_NOTHING)));
    boolean fromPhoto = like.wanted() == Hit.Kind.PHOTO;
    double score =
        (fromPhoto ? 0.7 : 1) * words
            + (part == null ? 0 : 0.5)
            + (fromPhoto ? 1 : 0.6) * look
            + (sameStop(c.hit().stop()) ? STOP_WORTH : 0);
    Hit h = c.hit();
    Hit scored =
        new Hit(
            h.kind(),
            h.job(),
            h.photo(),
            h.photoId(),
            h.finding(),
            h.findingKind(),
            h.stop(),
            h.parts(),
            h.text(),
            score);
    return new Likeness(
        scored, c.findings(), part != null, shared, look, because(part, shared, look));
  }

  private boolean sameStop(String stop) {
    return like.stop() != null
        && stop != null
        && (stop.equals(like.stop()) || stop.startsWith(like.stop() + "#"));
  }

  private String because(String part, List<String> shared, double look) {
    Sentences s = Sentences.in(Alike.class);
    String words = String.join(", ", shared);
    List<String> out = new ArrayList<>();
    if (part != null) {
      out.add(
          shared.isEmpty()
              ? s.say("similar.part", trade.term(part))
              : s.say("similar.both", trade.term(part), words));
    } else if (!shared.isEmpty()) {
      out.add(s.say("similar.words", words));
    }
    if (look >= LOOK_SAID || out.isEmpty()) {
      out.add(s.say(look >= LOOK_SAID ? "similar.look" : "similar.look-little"));
    }
    return String.join(" ", out);
  }
}

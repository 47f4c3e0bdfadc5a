package meterside.search;

import java.io.IOException;
import java.lang.ref.SoftReference;
import java.util.List;
import java.util.concurrent.ConcurrentLinkedQueue;
import org.apache.lucene.index.LeafReader;
import org.apache.lucene.index.LeafReaderContext;
import org.apache.lucene.index.PostingsEnum;
import org.apache.lucene.index.Term;
import org.apache.lucene.index.Terms;
import org.apache.lucene.index.TermsEnum;
import org.apache.lucene.search.DocIdSetIterator;
import org.apache.lucene.search.IndexSearcher;
import org.apache.lucene.search.MultiPhraseQuery;
import org.apache.lucene.search.PhraseQuery;
import org.apache.lucene.search.Query;
import org.apache.lucene.search.ScoreMode;
import org.apache.lucene.search.Scorer;
import org.apache.lucene.search.Weight;
import org.apache.lucene.util.BytesRef;
import org.apache.lucene.util.FixedBitSet;

/**
 * Meets a question with one segment, term by term: each way to meet a unit goes once through the
 * documents it is in and notes what they get for it. A question has many ways (names, forms,
 * fields) in few documents each; so this is several times quicker than going through the documents
 * with all ways side by side, as the engine's own queries do.
 *
 * <p>A unit is worth its best way and a share of the others; a document is worth the sum of its
 * units, each by its rarity, and more where neighbours of the question are neighbours in the text.
 */
final class Scan {
  /** Share of a document's other ways that is added to its best one. */
  private static final float REST = 0.2f;

  /** Added where two neighbours of the question are neighbours in the text too. */
  private static final float NEIGHBOURS = 2f;

  private static final int NEIGHBOURS_WITHIN = 5;

  private final IndexSearcher searcher;
  private final LeafReaderContext leaf;
  private final LeafReader reader;
  private final int size;

  private final Scratch scratch;
  private final float[] score;
  private final float[] best;
  private final float[] sum;
  private final FixedBitSet met;
  private final FixedBitSet part;
  private FixedBitSet touched;
  private PostingsEnum postings;

  /** Arrays that are handed from scan to scan; all zero while nobody has them. */
  private static final class Scratch {
    private static final ConcurrentLinkedQueue<SoftReference<Scratch>> FREE =
        new ConcurrentLinkedQueue<>();

    private final float[] score;
    private final float[] best;
    private final float[] sum;

    private Scratch(int size) {
      score = new float[size];
      best = new float[size];
      sum = new float[size];
    }

    static Scratch take(int size) {
      SoftReference<Scratch> free = FREE.poll();
      Scratch s = free == null ? null : free.get();
      return s == null || s.score.length < size ? new Scratch(size) : s;
    }

    void giveBack() {
      FREE.add(new SoftReference<>(this));
    }
  }

  /** Looks at one segment. */
  Scan(IndexSearcher searcher, LeafReaderContext leaf) {
    this.searcher = searcher;
    this.leaf = leaf;
    this.reader = leaf.reader();
    size = reader.maxDoc();
    scratch = Scratch.take(size);
    score = scratch.score;
    best = scratch.best;
    sum = scratch.sum;
    met = new FixedBitSet(size);
    part = new FixedBitSet(size);
  }

  /** Lets the arrays go; scores are gone after this. Not called where something was thrown. */
  void done() {
    if (touched != null) {
      long[] words = touched.getBits();
      for (int w = 0; w < words.length; w++) {
        for (long rest = words[w]; rest != 0; rest &= rest - 1) {
          score[(w << 6) + Long.numberOfTrailingZeros(rest)] = 0;
        }
      }
    }
    scratch.giveBack();
  }

  /** What each document is worth; only for those that were met. */
  float[] score() {
    return score;
  }

  /**
   * The documents that meet a question.
   *
   * @param needed how many units a document must meet; those that must be met in any case
   */
  FixedBitSet documents(Wanted wanted, int needed) throws IOException {
    List<Wanted.Unit> units = wanted.units();
    boolean everything = needed >= units.size();
    FixedBitSet all = null;
    FixedBitSet own = new FixedBitSet(size);
    byte[] count = everything ? null : new byte[size];
    touched = new FixedBitSet(size);
    for (Wanted.Unit u : units) {
      met.clear();
      for (Wanted.Way w : u.own()) {
        meet(w);
      }
      own.or(met);
      if (units.size() > 1) {
        for (Wanted.Way w : u.around()) {
          meet(w);
        }
      }
      touched.or(met);
      long[] words = met.getBits();
      for (int w = 0; w < words.length; w++) {
        for (long rest = words[w]; rest != 0; rest &= rest - 1) {
          int d = (w << 6) + Long.numberOfTrailingZeros(rest);
          score[d] += u.rarity() * (best[d] + REST * (sum[d] - best[d]));
          best[d] = 0;
          sum[d] = 0;
          if (count != null) {
            count[d]++;
          }
        }
      }
      if (everything || u.must()) {
        if (all == null) {
          all = met.clone();
        } else {
          all.and(met);
        }
      }
    }
    if (all == null) {
      all = own;
    } else {
      all.and(own);
    }
    if (count != null) {
      for (int d = next(all, 0); d < size; d = next(all, d + 1)) {
        if (count[d] < needed) {
          all.clear(d);
        }
      }
    }
    for (int i = 0; i + 1 < units.size(); i++) {
      neighbours(units.get(i), units.get(i + 1), all);
    }
    return all;
  }

  /** The next document from here on, or one beyond all. */
  private static int next(FixedBitSet bits, int from) {
    return from >= bits.length() ? DocIdSetIterator.NO_MORE_DOCS : bits.nextSetBit(from);
  }

  private void meet(Wanted.Way way) throws IOException {
    float worth = way.worth();
    if (way.how() instanceof Wanted.Term t) {
      // The usual case, without a detour.
      PostingsEnum p = postings(t.field(), t.term());
      if (p != null) {
        for (int d = p.nextDoc(); d < size; d = p.nextDoc()) {
          add(d, worth);
        }
      }
      return;
    }
    part.clear();
    collect(way.how(), part);
    long[] words = part.getBits();
    for (int w = 0; w < words.length; w++) {
      for (long rest = words[w]; rest != 0; rest &= rest - 1) {
        add((w << 6) + Long.numberOfTrailingZeros(rest), worth);
      }
    }
  }

  private void add(int d, float worth) {
    met.set(d);
    sum[d] += worth;
    if (worth > best[d]) {
      best[d] = worth;
    }
  }

  private PostingsEnum postings(String field, String term) throws IOException {
    Terms terms = reader.terms(field);
    if (terms == null) {
      return null;
    }
    TermsEnum e = terms.iterator();
    if (!e.seekExact(new BytesRef(term))) {
      return null;
    }
    postings = e.postings(postings, PostingsEnum.NONE);
    return postings;
  }

  private void collect(Wanted.How how, FixedBitSet into) throws IOException {
    if (how instanceof Wanted.Term t) {
      PostingsEnum p = postings(t.field(), t.term());
      if (p != null) {
        into.or(p);
      }
    } else if (how instanceof Wanted.Beginning b) {
      beginning(b, into);
    } else if (how instanceof Wanted.Together t) {
      collect(new PhraseQuery(t.field(), t.terms().toArray(String[]::new)), into);
    } else if (how instanceof Wanted.Each e) {
      FixedBitSet all = null;
      for (List<Wanted.How> any : e.all()) {
        FixedBitSet one = new FixedBitSet(size);
        for (Wanted.How h : any) {
          collect(h, one);
        }
        if (all == null) {
          all = one;
        } else {
          all.and(one);
        }
      }
      if (all != null) {
        into.or(all);
      }
    }
  }

  private void beginning(Wanted.Beginning b, FixedBitSet into) throws IOException {
    Terms terms = reader.terms(b.field());
    if (terms == null) {
      return;
    }
    TermsEnum e = terms.iterator();
    BytesRef prefix = new BytesRef(b.prefix());
    if (e.seekCeil(prefix) == TermsEnum.SeekStatus.END) {
      return;
    }
    for (BytesRef t = e.term(); t != null && starts(t, prefix); t = e.next()) {
      postings = e.postings(postings, PostingsEnum.NONE);
      into.or(postings);
    }
  }

  private static boolean starts(BytesRef term, BytesRef prefix) {
    return org.apache.lucene.util.StringHelper.startsWith(term, prefix);
  }

  /** Puts in all documents that a query finds. */
  void collect(Query query, FixedBitSet into) throws IOException {
    DocIdSetIterator it = iterator(query);
    if (it != null) {
      into.or(it);
    }
  }

  private DocIdSetIterator iterator(Query query) throws IOException {
    Weight w = searcher.createWeight(searcher.rewrite(query), ScoreMode.COMPLETE_NO_SCORES, 1);
    Scorer s = w.scorer(leaf);
    return s == null ? null : s.iterator();
  }

  /** Leaves only what a query finds too. */
  void keep(Query query, FixedBitSet of) throws IOException {
    DocIdSetIterator it = iterator(query);
    if (it == null) {
      of.clear();
    } else {
      FixedBitSet kept = new FixedBitSet(size);
      kept.or(it);
      of.and(kept);
    }
  }

  /** Takes out what a query finds. */
  void hide(Query hidden, FixedBitSet from) throws IOException {
    DocIdSetIterator it = iterator(hidden);
    if (it != null) {
      from.andNot(it);
    }
  }

  private void neighbours(Wanted.Unit one, Wanted.Unit two, FixedBitSet among) throws IOException {
    if (next(among, 0) >= size) {
      return;
    }
    for (String field : List.of(Documents.SEEN, Documents.NOTES)) {
      Term[] first = terms(field, one.terms());
      Term[] second = terms(field, two.terms());
      if (first.length == 0 || second.length == 0) {
        continue;
      }
      MultiPhraseQuery.Builder near = new MultiPhraseQuery.Builder();
      near.add(first);
      near.add(second);
      near.setSlop(NEIGHBOURS_WITHIN);
      DocIdSetIterator it = iterator(near.build());
      if (it == null) {
        continue;
      }
      for (int want = next(among, 0); want < size; ) {
        int d = it.docID() < want ? it.advance(want) : it.docID();
        if (d >= size) {
          break;
        }
        if (d == want) {
          score[d] += NEIGHBOURS;
          want = next(among, d + 1);
        } else {
          want = next(among, d);
        }
      }
    }
  }

  /** Only those that occur in this segment. */
  private Term[] terms(String field, List<String> values) throws IOException {
    Terms terms = reader.terms(field);
    if (terms == null) {
      return new Term[0];
    }
    TermsEnum e = terms.iterator();
    java.util.ArrayList<Term> out = new java.util.ArrayList<>();
    for (String v : values.stream().distinct().toList()) {
      if (e.seekExact(new BytesRef(v))) {
        out.add(new Term(field, v));
      }
    }
    return out.toArray(Term[]::new);
  }
}

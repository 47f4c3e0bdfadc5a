package meterside.search;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.PriorityQueue;
import java.util.concurrent.Callable;
import meterside.picture.Look;
import org.apache.lucene.index.BinaryDocValues;
import org.apache.lucene.index.LeafReaderContext;
import org.apache.lucene.search.ConjunctionUtils;
import org.apache.lucene.search.DocIdSetIterator;
import org.apache.lucene.search.IndexSearcher;
import org.apache.lucene.search.Query;
import org.apache.lucene.search.ScoreDoc;
import org.apache.lucene.search.ScoreMode;
import org.apache.lucene.search.Scorer;
import org.apache.lucene.search.Weight;
import org.apache.lucene.util.Bits;
import org.apache.lucene.util.BytesRef;
import org.apache.lucene.util.VectorUtil;

/**
 * The photos that look most like some looks. Every look is compared, segments side by side: only
 * marked photos carry one, so there are some hundred thousand in a large archive, which takes less
 * than a tenth of a second. Nothing is missed, and nothing has to be tied to its neighbours when
 * jobs are taken in, which takes many minutes for as many looks (decision 15).
 */
final class Nearest {
  private static final Comparator<ScoreDoc> WORST_FIRST =
      Comparator.comparingDouble((ScoreDoc s) -> s.score)
          .thenComparing(Comparator.comparingInt((ScoreDoc s) -> s.doc).reversed());

  private Nearest() {}

  /**
   * The most alike, the best first, each scored by its cosine to the nearest of the looks.
   *
   * @param looks at least one, as {@link Look} makes them
   * @param most how many
   * @param allowed which documents may answer
   */
  static ScoreDoc[] to(List<float[]> looks, int most, IndexSearcher searcher, Query allowed)
      throws IOException {
    List<byte[]> wanted = looks.stream().map(Look::steps).toList();
    Weight weight =
        searcher.createWeight(searcher.rewrite(allowed), ScoreMode.COMPLETE_NO_SCORES, 1);
    List<Callable<PriorityQueue<ScoreDoc>>> work = new ArrayList<>();
    for (LeafReaderContext leaf : searcher.getIndexReader().leaves()) {
      work.add(() -> of(leaf, weight, wanted, most));
    }
    PriorityQueue<ScoreDoc> best = new PriorityQueue<>(WORST_FIRST);
    for (PriorityQueue<ScoreDoc> some : SideBySide.all(work)) {
      some.forEach(s -> offer(best, s, most));
    }
    ScoreDoc[] out = best.toArray(ScoreDoc[]::new);
    java.util.Arrays.sort(out, WORST_FIRST.reversed());
    return out;
  }

  private static PriorityQueue<ScoreDoc> of(
      LeafReaderContext leaf, Weight weight, List<byte[]> wanted, int most) throws IOException {
    PriorityQueue<ScoreDoc> best = new PriorityQueue<>(WORST_FIRST);
    BinaryDocValues looks = leaf.reader().getBinaryDocValues(Documents.LOOK);
    Scorer scorer = looks == null ? null : weight.scorer(leaf);
    if (scorer == null) {
      return best;
    }
    double[] lengths = wanted.stream().mapToDouble(Nearest::length).toArray();
    Bits live = leaf.reader().getLiveDocs();
    byte[] look = new byte[wanted.get(0).length];
    DocIdSetIterator docs = ConjunctionUtils.intersectIterators(List.of(looks, scorer.iterator()));
    for (int d = docs.nextDoc(); d != DocIdSetIterator.NO_MORE_DOCS; d = docs.nextDoc()) {
      BytesRef there = looks.binaryValue();
      if (there.length != look.length || live != null && !live.get(d)) {
        continue;
      }
      System.arraycopy(there.bytes, there.offset, look, 0, look.length);
      double cosine = 0;
      double length = length(look);
      for (int i = 0; i < lengths.length; i++) {
        double of = VectorUtil.dotProduct(look, wanted.get(i));
        cosine = Math.max(cosine, of / Math.max(1, length * lengths[i]));
      }
      offer(best, new ScoreDoc(leaf.docBase + d, (float) cosine), most);
    }
    return best;
  }

  private static double length(byte[] steps) {
    return Math.sqrt(VectorUtil.dotProduct(steps, steps));
  }

  private static void offer(PriorityQueue<ScoreDoc> best, ScoreDoc one, int most) {
    if (best.size() < most) {
      best.add(one);
    } else if (WORST_FIRST.compare(best.peek(), one) < 0) {
      best.poll();
      best.add(one);
    }
  }
}

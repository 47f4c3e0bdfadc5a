package meterside.search;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.concurrent.Callable;
import org.apache.lucene.index.DocValues;
import org.apache.lucene.index.LeafReader;
import org.apache.lucene.index.LeafReaderContext;
import org.apache.lucene.index.NumericDocValues;
import org.apache.lucene.index.SortedDocValues;
import org.apache.lucene.index.Term;
import org.apache.lucene.search.TermQuery;
import org.apache.lucene.util.Bits;
import org.apache.lucene.util.FixedBitSet;
import org.apache.lucene.util.LongHeap;

/**
 * One pass over the index that gives the first page, the total and all counts. Segments are looked
 * at side by side. Within a segment documents lie newest first ({@link DiskIndex#ORDER}), so the
 * number of a document settles who of two equals comes first.
 */
final class Pass {
  /** Segments smaller than this, all together, are not worth a second thread. */
  private static final int WORTH_A_THREAD = 20_000;

  private static final Comparator<Top> NEWEST =
      Comparator.comparingInt(Top::day)
          .reversed()
          .thenComparing(Top::job)
          .thenComparingInt(Top::order);
  private static final Comparator<Top> BEST =
      Comparator.comparing(Top::low)
          .thenComparing(Comparator.comparingDouble(Top::score).reversed())
          .thenComparing(NEWEST);

  private final Snapshot snapshot;
  private final Ask ask;
  private final String part;
  private final int from;
  private final int to;

  /**
   * Prepares one.
   *
   * @param part id of the part that is asked for, or null
   */
  Pass(Snapshot snapshot, Ask ask, String part) {
    this.snapshot = snapshot;
    this.ask = ask;
    this.part = part;
    from = ask.from() == null ? Integer.MIN_VALUE : day(ask.from().toEpochDay());
    to = ask.to() == null ? Integer.MAX_VALUE : day(ask.to().toEpochDay());
  }

  private static int day(long epochDay) {
    return (int) Math.max(Integer.MIN_VALUE, Math.min(Integer.MAX_VALUE, epochDay));
  }

  /** A document that may be on the first page. Its job is only looked up to settle a tie. */
  static final class Top {
    private final LeafReaderContext leaf;
    private final int at;
    private final boolean low;
    private final float score;
    private final int day;
    private String job;

    private Top(LeafReaderContext leaf, Columns columns, int at, float score) {
      this.leaf = leaf;
      this.at = at;
      this.score = score;
      this.day = columns.dayOf[at];
      this.low = columns.profiles[columns.profileOf[at]].low();
    }

    /** Its number in the whole index. */
    int doc() {
      return leaf.docBase + at;
    }

    float score() {
      return score;
    }

    private boolean low() {
      return low;
    }

    private int day() {
      return day;
    }

    private String job() {
      if (job == null) {
        try {
          SortedDocValues jobs = DocValues.getSorted(leaf.reader(), Documents.JOB);
          jobs.advanceExact(at);
          job = jobs.lookupOrd(jobs.ordValue()).utf8ToString();
        } catch (IOException e) {
          throw new UncheckedIOException(e);
        }
      }
      return job;
    }

    private int order() {
      try {
        NumericDocValues orders = DocValues.getNumeric(leaf.reader(), Documents.ORDER);
        orders.advanceExact(at);
        return (int) orders.longValue();
      } catch (IOException e) {
        throw new UncheckedIOException(e);
      }
    }
  }

  /** What a pass gives. */
  record Result(Tally tally, List<Top> first) {}

  private record Part(Tally tally, List<Top> first) {}

  /**
   * Goes through the index.
   *
   * @param wanted the words, or null for everything
   * @param needed how many of their units must be met
   */
  Result run(Wanted wanted, int needed) throws IOException {
    List<LeafReaderContext> leaves = new ArrayList<>(snapshot.searcher().getIndexReader().leaves());
    leaves.sort(Comparator.comparingInt((LeafReaderContext l) -> l.reader().maxDoc()).reversed());
    List<Callable<Part>> work = new ArrayList<>();
    for (LeafReaderContext leaf : leaves) {
      work.add(() -> segment(leaf, wanted, needed));
    }
    boolean alone = snapshot.reader().maxDoc() < WORTH_A_THREAD;
    Tally tally = new Tally();
    List<Top> first = new ArrayList<>();
    for (Part p : alone ? SideBySide.alone(work) : SideBySide.all(work)) {
      tally.add(p.tally());
      first.addAll(p.first());
    }
    first.sort(wanted == null ? NEWEST : BEST);
    int most = Math.max(0, ask.limit());
    return new Result(tally, first.size() <= most ? first : first.subList(0, most));
  }

  private Part segment(LeafReaderContext leaf, Wanted wanted, int needed) throws IOException {
    LeafReader reader = leaf.reader();
    Columns columns = Columns.of(reader);
    Tally.Failing failing = new Tally.Failing(columns.profiles, ask, part);
    Bits live = reader.getLiveDocs();
    boolean days = ask.from() != null || ask.to() != null;
    boolean job = ask.job() != null && !ask.job().isBlank();
    Tally tally = new Tally();
    if (wanted == null && !days && !job && snapshot.hidden() == null) {
      tally.add(columns, failing, columns.totals(reader), null);
      return new Part(tally, newest(leaf, columns, failing, live));
    }
    Scan scan = new Scan(snapshot.searcher(), leaf);
    FixedBitSet met;
    if (wanted != null) {
      met = scan.documents(wanted, needed);
    } else {
      met = new FixedBitSet(reader.maxDoc());
      if (!job) {
        met.set(0, reader.maxDoc());
      }
    }
    if (job) {
      TermQuery only = new TermQuery(new Term(Documents.JOB, ask.job()));
      if (wanted != null) {
        scan.keep(only, met);
      } else {
        scan.collect(only, met);
      }
    }
    if (snapshot.hidden() != null) {
      scan.hide(snapshot.hidden(), met);
    }
    int[] inDays = new int[columns.profiles.length];
    int[] outside = days ? new int[columns.profiles.length] : null;
    int most = Math.max(0, Math.min(ask.limit(), reader.maxDoc()));
    LongHeap heap = most == 0 ? null : new LongHeap(most);
    float[] score = wanted == null ? null : scan.score();
    long[] words = met.getBits();
    for (int w = 0; w < words.length; w++) {
      for (long rest = words[w]; rest != 0; rest &= rest - 1) {
        int d = (w << 6) + Long.numberOfTrailingZeros(rest);
        if (live != null && !live.get(d)) {
          continue;
        }
        int p = columns.profileOf[d];
        if (days && (columns.dayOf[d] < from || columns.dayOf[d] > to)) {
          outside[p]++;
          continue;
        }
        inDays[p]++;
        if (heap != null && failing.of(p) == Tally.FITS) {
          float worth = score == null ? 0 : score[d];
          boolean low = score != null && columns.profiles[p].low();
          heap.insertWithOverflow(key(low, worth, d));
        }
      }
    }
    tally.add(columns, failing, inDays, outside);
    List<Top> first = new ArrayList<>();
    while (heap != null && heap.size() > 0) {
      long key = heap.pop();
      int d = (int) (Integer.MAX_VALUE - (key & Integer.MAX_VALUE));
      first.add(new Top(leaf, columns, d, score == null ? 0 : score[d]));
    }
    scan.done();
    return new Part(tally, first);
  }

  /** Larger for what comes first: not low, then the better score, then the smaller number. */
  private static long key(boolean low, float score, int doc) {
    return (low ? 0L : 1L) << 62
        | (long) Float.floatToIntBits(score) << 31
        | Integer.MAX_VALUE - doc;
  }

  private List<Top> newest(
      LeafReaderContext leaf, Columns columns, Tally.Failing failing, Bits live) {
    List<Top> first = new ArrayList<>();
    for (int d = 0; d < columns.profileOf.length && first.size() < ask.limit(); d++) {
      if ((live == null || live.get(d)) && failing.of(columns.profileOf[d]) == Tally.FITS) {
        first.add(new Top(leaf, columns, d, 0));
      }
    }
    return first;
  }
}

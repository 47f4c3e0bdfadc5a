package meterside.search;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.apache.lucene.index.DocValues;
import org.apache.lucene.index.LeafReaderContext;
import org.apache.lucene.index.SortedSetDocValues;
import org.apache.lucene.search.CollectorManager;
import org.apache.lucene.search.ScoreMode;
import org.apache.lucene.search.SimpleCollector;

/** Counts what matches by the values of some fields, in one pass. */
final class Counting implements CollectorManager<Counting.One, Map<String, Map<String, Long>>> {
  private final List<String> fields;

  Counting(Collection<String> fields) {
    this.fields = List.copyOf(fields);
  }

  @Override
  public One newCollector() {
    return new One(fields);
  }

  @Override
  public Map<String, Map<String, Long>> reduce(Collection<One> collectors) {
    Map<String, Map<String, Long>> out = new HashMap<>();
    fields.forEach(f -> out.put(f, new HashMap<>()));
    for (One one : collectors) {
      one.counts.forEach(
          (field, counts) ->
              counts.forEach((value, n) -> out.get(field).merge(value, n, Long::sum)));
    }
    return out;
  }

  /** The counts, out of the results of several collectors, which have no type. */
  @SuppressWarnings("unchecked")
  static Map<String, Map<String, Long>> counts(Object result) {
    return (Map<String, Map<String, Long>>) result;
  }

  /** One thread's counts. */
  static final class One extends SimpleCollector {
    private final List<String> fields;
    private final Map<String, Map<String, Long>> counts = new HashMap<>();
    private final List<SortedSetDocValues> values = new ArrayList<>();
    private final List<long[]> segment = new ArrayList<>();

    One(List<String> fields) {
      this.fields = fields;
    }

    @Override
    protected void doSetNextReader(LeafReaderContext context) throws IOException {
      for (String field : fields) {
        SortedSetDocValues v = DocValues.getSortedSet(context.reader(), field);
        values.add(v);
        segment.add(new long[(int) v.getValueCount()]);
      }
    }

    @Override
    public void collect(int doc) throws IOException {
      for (int i = 0; i < values.size(); i++) {
        SortedSetDocValues v = values.get(i);
        if (v.advanceExact(doc)) {
          long[] count = segment.get(i);
          for (int n = v.docValueCount(); n > 0; n--) {
            count[(int) v.nextOrd()]++;
          }
        }
      }
    }

    /** Turns the segment's numbers into values. */
    @Override
    public void finish() throws IOException {
      for (int i = 0; i < values.size(); i++) {
        Map<String, Long> into = counts.computeIfAbsent(fields.get(i), f -> new HashMap<>());
        long[] count = segment.get(i);
        for (int ord = 0; ord < count.length; ord++) {
          if (count[ord] > 0) {
            into.merge(values.get(i).lookupOrd(ord).utf8ToString(), count[ord], Long::sum);
          }
        }
      }
      values.clear();
      segment.clear();
    }

    @Override
    public ScoreMode scoreMode() {
      return ScoreMode.COMPLETE_NO_SCORES;
    }
  }
}

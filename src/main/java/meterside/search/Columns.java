package meterside.search;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import org.apache.lucene.index.DocValues;
import org.apache.lucene.index.IndexReader;
import org.apache.lucene.index.LeafReader;
import org.apache.lucene.index.NumericDocValues;
import org.apache.lucene.index.SortedDocValues;
import org.apache.lucene.util.Bits;

/**
 * What finding needs of every document of a segment, in memory: its profile and its day, eight
 * bytes a document. Segments never change, so this is read once for each and dropped with it.
 */
final class Columns {
  private static final Map<IndexReader.CacheKey, Columns> KEPT = new ConcurrentHashMap<>();
  private static final Map<IndexReader.CacheKey, int[]> TOTALS = new ConcurrentHashMap<>();

  /** By document: number of its profile. */
  final int[] profileOf;

  /** By document: day of the inspection, days since 1970. */
  final int[] dayOf;

  /** The profiles of this segment. */
  final Profile[] profiles;

  /** The values that the profiles have, each with its row of filters. */
  final List<Value> values;

  /** By profile: numbers of its values. */
  final int[][] valuesOf;

  /** A value that can be counted. */
  record Value(Tally.Row row, String value) {}

  private Columns(LeafReader reader) throws IOException {
    int n = reader.maxDoc();
    profileOf = new int[n];
    dayOf = new int[n];
    SortedDocValues profile = DocValues.getSorted(reader, Documents.PROFILE);
    for (int d = profile.nextDoc(); d < n; d = profile.nextDoc()) {
      profileOf[d] = profile.ordValue();
    }
    NumericDocValues day = DocValues.getNumeric(reader, Documents.DAY);
    for (int d = day.nextDoc(); d < n; d = day.nextDoc()) {
      dayOf[d] = (int) day.longValue();
    }
    profiles = new Profile[profile.getValueCount()];
    for (int i = 0; i < profiles.length; i++) {
      profiles[i] = Profile.read(profile.lookupOrd(i).utf8ToString());
    }
    Map<Value, Integer> numbers = new HashMap<>();
    List<Value> all = new ArrayList<>();
    valuesOf = new int[profiles.length][];
    for (int i = 0; i < profiles.length; i++) {
      List<Value> has = Tally.values(profiles[i]);
      valuesOf[i] = new int[has.size()];
      for (int k = 0; k < has.size(); k++) {
        valuesOf[i][k] =
            numbers.computeIfAbsent(
                has.get(k),
                v -> {
                  all.add(v);
                  return all.size() - 1;
                });
      }
    }
    values = List.copyOf(all);
  }

  /** Those of a segment. */
  static Columns of(LeafReader reader) throws IOException {
    IndexReader.CacheHelper helper = reader.getCoreCacheHelper();
    if (helper == null) {
      return new Columns(reader);
    }
    return kept(KEPT, helper, () -> new Columns(reader));
  }

  /** How many documents of each profile the segment holds, without those that were replaced. */
  int[] totals(LeafReader reader) throws IOException {
    IndexReader.CacheHelper helper = reader.getReaderCacheHelper();
    return helper == null ? count(reader) : kept(TOTALS, helper, () -> count(reader));
  }

  private int[] count(LeafReader reader) {
    int[] out = new int[profiles.length];
    Bits live = reader.getLiveDocs();
    for (int d = 0; d < profileOf.length; d++) {
      if (live == null || live.get(d)) {
        out[profileOf[d]]++;
      }
    }
    return out;
  }

  private interface Making<T> {
    T make() throws IOException;
  }

  private static <T> T kept(
      Map<IndexReader.CacheKey, T> all, IndexReader.CacheHelper helper, Making<T> making)
      throws IOException {
    T known = all.get(helper.getKey());
    if (known != null) {
      return known;
    }
    try {
      return all.computeIfAbsent(
          helper.getKey(),
          key -> {
            try {
              T made = making.make();
              helper.addClosedListener(all::remove);
              return made;
            } catch (IOException e) {
              throw new UncheckedIOException(e);
            }
          });
    } catch (UncheckedIOException e) {
      throw e.getCause();
    }
  }
}

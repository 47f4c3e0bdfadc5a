package meterside.search;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.apache.lucene.index.IndexReader;
import org.apache.lucene.index.MultiReader;
import org.apache.lucene.index.Term;
import org.apache.lucene.search.BooleanClause.Occur;
import org.apache.lucene.search.BooleanQuery;
import org.apache.lucene.search.IndexSearcher;
import org.apache.lucene.search.Query;
import org.apache.lucene.search.TermInSetQuery;
import org.apache.lucene.search.TermQuery;
import org.apache.lucene.util.BytesRef;

/**
 * What finding sees at one moment: the index on disk and the jobs in memory that stand in for
 * theirs. Lives until everyone who retained it has released it.
 */
final class Snapshot {
  private final IndexReader reader;
  private final IndexSearcher searcher;
  private final Query hidden;
  private final int behind;
  private final Map<String, List<String>> heads = new HashMap<>();

  /**
   * Sees both.
   *
   * @param disk may be null
   * @param memory may be null
   * @param hide jobs whose documents on disk must not show
   * @param behind how many jobs are not taken in yet
   */
  Snapshot(DiskIndex.View disk, MemoryIndex memory, Set<String> hide, int behind) {
    List<IndexReader> both = new ArrayList<>();
    if (disk != null) {
      both.add(disk.reader());
      heads.putAll(disk.heads());
      heads.keySet().removeAll(hide);
    }
    try {
      if (memory != null) {
        both.add(memory.reader());
        heads.putAll(DiskIndex.heads(memory.reader()));
      }
      reader = new MultiReader(both.toArray(IndexReader[]::new), false);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
    searcher = new IndexSearcher(reader);
    hidden = hide.isEmpty() ? null : hiding(hide);
    this.behind = behind;
  }

  private static Query hiding(Set<String> jobs) {
    List<BytesRef> names = jobs.stream().map(BytesRef::new).toList();
    return new BooleanQuery.Builder()
        .add(new TermInSetQuery(Documents.JOB, names), Occur.MUST)
        .add(new TermQuery(new Term(Documents.FRESH, "1")), Occur.MUST_NOT)
        .build();
  }

  IndexReader reader() {
    return reader;
  }

  IndexSearcher searcher() {
    return searcher;
  }

  /** What must not show, or null. */
  Query hidden() {
    return hidden;
  }

  int behind() {
    return behind;
  }

  Map<String, List<String>> heads() {
    return heads;
  }

  void retain() {
    reader.incRef();
  }

  void release() {
    try {
      reader.decRef();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}

package meterside.search;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.apache.lucene.document.Document;
import org.apache.lucene.index.BinaryDocValues;
import org.apache.lucene.index.CodecReader;
import org.apache.lucene.index.DirectoryReader;
import org.apache.lucene.index.IndexReader;
import org.apache.lucene.index.IndexWriter;
import org.apache.lucene.index.IndexWriterConfig;
import org.apache.lucene.index.IndexWriterConfig.OpenMode;
import org.apache.lucene.index.LeafReaderContext;
import org.apache.lucene.index.NoMergePolicy;
import org.apache.lucene.index.PostingsEnum;
import org.apache.lucene.index.SerialMergeScheduler;
import org.apache.lucene.index.SortedDocValues;
import org.apache.lucene.index.Term;
import org.apache.lucene.index.TieredMergePolicy;
import org.apache.lucene.search.DocIdSetIterator;
import org.apache.lucene.search.Sort;
import org.apache.lucene.search.SortField;
import org.apache.lucene.store.Directory;
import org.apache.lucene.store.FSDirectory;
import org.apache.lucene.store.Lock;
import org.apache.lucene.store.LockObtainFailedException;
import org.apache.lucene.util.Bits;

/**
 * The index in its folder: opened if it is whole and of this schema, else treated as if it were not
 * there. Used by one thread at a time, the one that catches up.
 */
final class DiskIndex {

  private static final String SCHEMA_KEY = "meterside.schema";

  /**
   * How documents lie within a segment: newest job first, its findings before its photos. {@link
   * Pass} counts on it.
   */
  static final Sort ORDER =
      new Sort(
          new SortField(Documents.DAY, SortField.Type.INT, true),
          new SortField(Documents.JOB, SortField.Type.STRING),
          new SortField(Documents.ORDER, SortField.Type.INT));

  /**
   * No segment is merged beyond this, so that several can be looked at side by side: about a third
   * of what an archive of a million photos comes to.
   */
  private static final double LARGEST_SEGMENT_MB = 40;

  private static final int MOST_SEGMENTS = 40;

  /** Every segment costs a look-up of every word; the engine's own default is 10 of a size. */
  private static final int FEW_SEGMENTS = 5;

  private final Path folder;
  private final LucenePastJobs.Opener opener;
  private final String schema;
  private Directory directory;
  private DirectoryReader open;
  private View shown;

  DiskIndex(Path folder, LucenePastJobs.Opener opener, String schema) {
    this.folder = folder;
    this.opener = opener;
    this.schema = schema;
  }

  /**
   * The index as it was at one commit.
   *
   * @param reader belongs to the index; retain it to keep it longer
   * @param heads journal heads by job, the one it was built from first
   */
  record View(DirectoryReader reader, Map<String, List<String>> heads) {}

  /**
   * The last commit, or null if there is no usable index.
   *
   * @param check whether to check every byte against the checksums, which reads the whole index
   */
  View view(boolean check) {
    if (!Files.isDirectory(folder)) {
      close();
      return null;
    }
    try {
      if (open != null && !check) {
        DirectoryReader newer = DirectoryReader.openIfChanged(open);
        if (newer != null) {
          open.close();
          open = newer;
        }
      } else {
        close();
        open = openNow(check);
      }
      if (!schema.equals(open.getIndexCommit().getUserData().get(SCHEMA_KEY))) {
        close();
        return null;
      }
      if (shown == null || shown.reader() != open) {
        shown = new View(open, heads(open));
      }
      return shown;
    } catch (IOException | RuntimeException | InternalError e) {
      // Missing, broken or of another Lucene: whatever is wrong, it will be built anew.
      close();
      return null;
    }
  }

  private DirectoryReader openNow(boolean check) throws IOException {
    directory = opener.open(folder);
    DirectoryReader reader = DirectoryReader.open(directory);
    if (check) {
      try {
        for (LeafReaderContext leaf : reader.leaves()) {
          ((CodecReader) leaf.reader()).checkIntegrity();
        }
      } catch (IOException | RuntimeException | InternalError e) {
        reader.close();
        throw e;
      }
    }
    return reader;
  }

  static Map<String, List<String>> heads(IndexReader reader) throws IOException {
    Map<String, List<String>> out = new HashMap<>();
    Term jobs = new Term(Documents.KIND, Hit.Kind.JOB.name());
    for (LeafReaderContext leaf : reader.leaves()) {
      PostingsEnum docs = leaf.reader().postings(jobs, PostingsEnum.NONE);
      SortedDocValues names = leaf.reader().getSortedDocValues(Documents.JOB);
      BinaryDocValues heads = leaf.reader().getBinaryDocValues(Documents.HEADS);
      Bits live = leaf.reader().getLiveDocs();
      if (docs == null || names == null || heads == null) {
        continue;
      }
      for (int d = docs.nextDoc(); d != DocIdSetIterator.NO_MORE_DOCS; d = docs.nextDoc()) {
        boolean lives = live == null || live.get(d);
        if (lives && names.advanceExact(d) && heads.advanceExact(d)) {
          String name = names.lookupOrd(names.ordValue()).utf8ToString();
          out.put(name, List.of(heads.binaryValue().utf8ToString().split(" ")));
        }
      }
    }
    return out;
  }

  /** The heads of one job as an index has them, whatever its schema; none if it can't be read. */
  static List<String> headsOf(Path folder, String job) {
    if (!Files.isDirectory(folder)) {
      return List.of();
    }
    try (Directory directory = FSDirectory.open(folder);
        DirectoryReader reader = DirectoryReader.open(directory)) {
      for (LeafReaderContext leaf : reader.leaves()) {
        PostingsEnum docs = leaf.reader().postings(new Term(Documents.JOB, job), PostingsEnum.NONE);
        BinaryDocValues heads = leaf.reader().getBinaryDocValues(Documents.HEADS);
        Bits live = leaf.reader().getLiveDocs();
        if (docs == null || heads == null) {
          continue;
        }
        for (int d = docs.nextDoc(); d != DocIdSetIterator.NO_MORE_DOCS; d = docs.nextDoc()) {
          if ((live == null || live.get(d)) && heads.advanceExact(d)) {
            return List.of(heads.binaryValue().utf8ToString().split(" "));
          }
        }
      }
    } catch (IOException | RuntimeException | InternalError e) {
      return List.of(); // missing or broken: it says nothing, and will be built anew
    }
    return List.of();
  }

  // ---- writing ----

  /** The one writer, for the time of a catch-up. */
  final class Writing implements AutoCloseable {
    private final Directory directory;
    private final IndexWriter writer;
    private final Map<String, List<String>> before;

    private Writing(Directory directory, IndexWriter writer, Map<String, List<String>> before) {
      this.directory = directory;
      this.writer = writer;
      this.before = before;
    }

    /** Journal heads that a job was last taken in with, or null. */
    List<String> heads(String job) {
      return before.get(job);
    }

    /** Puts a job's documents in place of those it had. */
    void replace(String job, List<Document> documents) throws IOException {
      writer.updateDocuments(new Term(Documents.JOB, job), documents);
    }

    /** Takes a job out. */
    void forget(String job) throws IOException {
      writer.deleteDocuments(new Term(Documents.JOB, job));
    }

    /** Makes everything up to here last. */
    void commit() throws IOException {
      writer.setLiveCommitData(Map.of(SCHEMA_KEY, schema).entrySet());
      writer.commit();
      if (writer.hasUncommittedChanges()) {
        writer.commit(); // segments that the commit has merged
      }
    }

    /** Lets the writer go. What was not committed is dropped. */
    @Override
    public void close() throws IOException {
      try {
        if (writer.isOpen()) {
          writer.rollback();
        }
      } finally {
        directory.close();
      }
    }
  }

  /**
   * Takes the writer.
   *
   * @param anew whether to begin an empty index in place of what is there
   * @param merging whether segments may be merged, which can take a second where there are many
   * @throws LockObtainFailedException if another process has it
   * @throws IOException if the folder can't be written
   */
  Writing write(boolean anew, boolean merging) throws IOException {
    Directory directory = opener.open(folder);
    try {
      IndexWriter writer;
      try {
        writer = writer(directory, anew, merging);
      } catch (LockObtainFailedException e) {
        throw e;
      } catch (IOException | RuntimeException e) {
        wipe(directory);
        writer = writer(directory, true, merging);
      }
      boolean known = !anew && open != null && shown != null && shown.reader() == open;
      return new Writing(directory, writer, known ? shown.heads() : Map.of());
    } catch (IOException | RuntimeException e) {
      directory.close();
      throw e;
    }
  }

  /** How both indexes, on disk and in memory, are written. */
  static IndexWriterConfig config() {
    IndexWriterConfig config = new IndexWriterConfig();
    config.setIndexSort(ORDER);
    TieredMergePolicy merging = new TieredMergePolicy();
    merging.setMaxMergedSegmentMB(LARGEST_SEGMENT_MB);
    merging.setSegmentsPerTier(FEW_SEGMENTS);
    config.setMergePolicy(merging);
    return config;
  }

  private static IndexWriter writer(Directory directory, boolean anew, boolean merging)
      throws IOException {
    IndexWriterConfig config = config();
    if (!merging) {
      config.setMergePolicy(NoMergePolicy.INSTANCE);
    }
    config.setOpenMode(anew ? OpenMode.CREATE : OpenMode.APPEND);
    config.setCommitOnClose(false);
    // In this thread: a failing merge is then an exception here and not a stack trace elsewhere.
    config.setMergeScheduler(new SerialMergeScheduler());
    return new IndexWriter(directory, config);
  }

  /** Removes an index that can't even be begun anew, under the writer's lock. */
  private static void wipe(Directory directory) throws IOException {
    try (Lock lock = directory.obtainLock(IndexWriter.WRITE_LOCK_NAME)) {
      List<String> files = new ArrayList<>(Arrays.asList(directory.listAll()));
      files.remove(IndexWriter.WRITE_LOCK_NAME);
      for (String file : files) {
        lock.ensureValid();
        directory.deleteFile(file);
      }
    }
  }

  /** Whether so many segments have come together that finding would be slower for it. */
  boolean isUntidy() {
    return open != null && open.leaves().size() > MOST_SEGMENTS;
  }

  /** Merges segments, as far as that is due. */
  void tidy() throws IOException {
    try (Writing w = write(false, true)) {
      w.writer.maybeMerge();
      w.commit();
    }
  }

  /** Lets go of the reader; whoever retained it keeps what it has open. */
  void close() {
    try (Directory d = directory;
        DirectoryReader r = open) {
      open = null;
      shown = null;
      directory = null;
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}

package meterside.search;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.apache.lucene.document.Document;
import org.apache.lucene.index.DirectoryReader;
import org.apache.lucene.index.IndexWriter;
import org.apache.lucene.index.Term;
import org.apache.lucene.store.ByteBuffersDirectory;

/**
 * Jobs that could not be written to the index on disk, in memory. They stand in for what the disk
 * says of them.
 */
final class MemoryIndex {
  private final ByteBuffersDirectory directory = new ByteBuffersDirectory();
  private final IndexWriter writer;
  private final Set<String> jobs = new HashSet<>();
  private DirectoryReader reader;

  MemoryIndex() throws IOException {
    writer = new IndexWriter(directory, DiskIndex.config());
    reader = DirectoryReader.open(writer);
  }

  void replace(String job, List<Document> documents) throws IOException {
    writer.updateDocuments(new Term(Documents.JOB, job), documents);
    jobs.add(job);
  }

  /** The job is gone: what the disk says of it must not show. */
  void hide(String job) throws IOException {
    writer.deleteDocuments(new Term(Documents.JOB, job));
    jobs.add(job);
  }

  /** The disk knows better now. */
  void release(String job) throws IOException {
    writer.deleteDocuments(new Term(Documents.JOB, job));
    jobs.remove(job);
  }

  void refresh() throws IOException {
    DirectoryReader newer = DirectoryReader.openIfChanged(reader, writer);
    if (newer != null) {
      reader.close();
      reader = newer;
    }
  }

  Set<String> standsInFor() {
    return Set.copyOf(jobs);
  }

  DirectoryReader reader() {
    return reader;
  }

  void close() {
    try {
      reader.close();
      writer.rollback();
      directory.close();
    } catch (IOException e) {
      throw new UncheckedIOException(e); // memory does not fail
    }
  }
}

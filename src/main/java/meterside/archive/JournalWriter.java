package meterside.archive;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import meterside.job.Edit;
import meterside.job.History;

/**
 * The one writer of a job's journal; holds {@code job.lock} until it is closed.
 *
 * <p>Guarantee: when {@link #append} returns, its edits outlast a kill and, as far as the file
 * system keeps its promises, a power cut. When it throws, none of them is in the journal: what had
 * been written is cut off again, now or before the next append, and at the latest by the next
 * opening, which drops a torn tail.
 *
 * <p>Not for several threads at once.
 */
public final class JournalWriter implements AutoCloseable {
  private final JobFolder folder;
  private final Clock clock;
  private final JobLock lock;
  private final FileOps.Appender file;
  private final JournalContent content;
  private final List<String> notices;
  private History history;
  private String head;
  private long goodLength;
  private boolean tailToCut;
  private boolean closed;

  private JournalWriter(
      JobFolder folder,
      Clock clock,
      JobLock lock,
      FileOps.Appender file,
      JournalContent content,
      List<String> notices) {
    this.folder = folder;
    this.clock = clock;
    this.lock = lock;
    this.file = file;
    this.content = content;
    this.notices = notices;
    history = content.history();
    head = content.head();
    goodLength = content.goodLength();
  }

  /**
   * Takes the job's lock, reads the journal, cuts off a torn tail and clears temporary files of an
   * interrupted run.
   *
   * @param who what others are told about who holds the job
   * @throws InUse if another process or another part of this one holds it
   * @throws BrokenIntegrity if the journal is not right
   * @throws NewerFormat if it holds edits of a newer program; it can then only be read
   */
  public static JournalWriter open(JobFolder folder, String who, Clock clock) {
    if (!Files.isDirectory(folder.path())) {
      throw new NoSuchJob("job.none", folder.name());
    }
    JobLock lock = JobLock.take(folder.lockFile(), folder.name(), who, clock);
    FileOps.Appender file = null;
    try {
      // Nobody else is writing now: a torn tail is one.
      JournalContent content = Journal.read(folder.name(), folder.journalBytes());
      if (content.readOnly()) {
        throw new NewerFormat("journal.read-only-refused", content.readOnlySentence());
      }
      file = folder.ops().appender(folder.journalFile());
      List<String> notices = new ArrayList<>(content.notices());
      if (content.tornTail()) {
        file.truncate(content.goodLength());
        file.force();
      }
      folder.originals().clearTemporaries();
      clearTemporaries(folder, folder.reports());
      clearTemporaries(folder, folder.extracts());
      JournalWriter writer =
          new JournalWriter(folder, clock, lock, file, content, List.copyOf(notices));
      lock = null;
      file = null;
      return writer;
    } catch (IOException e) {
      throw trouble(folder, e);
    } finally {
      if (file != null) {
        closeQuietly(file);
      }
      if (lock != null) {
        lock.close();
      }
    }
  }

  /** Clears away what an interrupted run left among what was issued and handed out. */
  private static void clearTemporaries(JobFolder folder, Path root) throws IOException {
    if (!Files.isDirectory(root)) {
      return;
    }
    List<Path> left;
    try (Stream<Path> all = Files.walk(root)) {
      left = all.filter(Durable::isTemporary).filter(Files::isRegularFile).toList();
    } catch (UncheckedIOException e) {
      throw e.getCause();
    }
    for (Path file : left) {
      folder.ops().delete(file);
    }
  }

  /** The journal as it was when this writer opened it. */
  public JournalContent content() {
    return content;
  }

  /** What the user should be told about the opening (a torn tail was dropped); empty if nothing. */
  public List<String> notices() {
    return notices;
  }

  /** Hash of the journal's last line, 64 hexadecimal digits. */
  public String head() {
    return head;
  }

  /**
   * Appends edits. Costs one force more than there are edits.
   *
   * @param author who did it
   * @param step the step they belong to
   * @return the entries as a reader of the journal will see them
   * @throws meterside.job.EditRefused if the job can't take one of them; none is written
   * @throws DiskFull if there is no room; none is written
   * @throws DiskTrouble if they can't be written for another reason
   */
  public List<History.Entry> append(String author, long step, List<Edit> edits) {
    if (closed) {
      throw new IllegalStateException("closed");
    }
    History next = history.copy();
    List<History.Entry> entries = new ArrayList<>(edits.size());
    List<byte[]> lines = new ArrayList<>(edits.size());
    Instant at = Instant.ofEpochMilli(clock.millis());
    long seq = next.entries().size() + 2L;
    String newHead = head;
    for (Edit edit : edits) {
      History.Entry entry = new History.Entry(seq++, at, author, step, edit);
      next.accept(entry);
      Journal.Line line = Journal.edit(entry, newHead);
      newHead = line.hash();
      lines.add(line.bytes());
      entries.add(entry);
    }
    if (entries.isEmpty()) {
      return List.of();
    }
    goodLength += write(lines);
    head = newHead;
    history = next;
    return List.copyOf(entries);
  }

  /**
   * Writes lines so that a newline goes to the disk only when all before it is there for good. A
   * disk may write the pieces of what was not forced in any order; a line whose newline came
   * through and whose middle did not would look like damage and not like a torn tail.
   *
   * @return how many bytes
   */
  private long write(List<byte[]> lines) {
    long length = lines.stream().mapToLong(l -> l.length).sum();
    try {
      if (tailToCut) {
        cutTail();
      }
      if (file.size() != goodLength) {
        // Somebody wrote here without the lock. What they wrote is theirs to explain.
        throw new BrokenIntegrity(0, "journal.grew", folder.name());
      }
      tailToCut = true;
      ByteArrayOutputStream piece = new ByteArrayOutputStream();
      for (byte[] line : lines) {
        int newline = line.length - 1;
        piece.write(line, 0, newline);
        file.append(piece.toByteArray());
        file.force();
        piece.reset();
        piece.write(line, newline, 1);
      }
      file.append(piece.toByteArray());
      file.force();
      tailToCut = false;
      return length;
    } catch (IOException e) {
      ArchiveException said = trouble(folder, e, length);
      if (tailToCut) {
        try {
          cutTail();
        } catch (IOException stays) {
          // Cut before the next append, or dropped by the next opening as a torn tail.
          said.addSuppressed(stays);
        }
      }
      throw said;
    }
  }

  private void cutTail() throws IOException {
    file.truncate(goodLength);
    file.force();
    tailToCut = false;
  }

  private static ArchiveException trouble(JobFolder folder, IOException e) {
    return trouble(folder, e, 0);
  }

  private static ArchiveException trouble(JobFolder folder, IOException e, long needed) {
    return Durable.isFull(folder.ops(), folder.path(), e, needed)
        ? new DiskFull(e, "full.journal", folder.name())
        : new DiskTrouble(e, "trouble.append", folder.name(), JobLock.reason(e));
  }

  private static void closeQuietly(FileOps.Appender file) {
    try {
      file.close();
    } catch (IOException e) {
      // All that counts was forced before; another exception is already on its way.
      return;
    }
  }

  /** Closes the journal and gives the lock back. Closing twice is fine. */
  @Override
  public void close() {
    if (!closed) {
      closed = true;
      closeQuietly(file);
      lock.close();
    }
  }
}

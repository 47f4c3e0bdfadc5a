package meterside.search;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collection;
import java.util.Collections;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Queue;
import java.util.Set;
import java.util.TreeMap;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.concurrent.locks.ReentrantLock;
import meterside.archive.Archive;
import meterside.archive.ArchiveException;
import meterside.archive.JobFolder;
import meterside.archive.JournalContent;
import meterside.job.Progress;
import meterside.job.Sentences;
import meterside.picture.Look;
import meterside.trade.Trade;
import org.apache.lucene.store.Directory;
import org.apache.lucene.store.FSDirectory;

/**
 * Past jobs in a Lucene index. No engine type or syntax shows outside.
 *
 * <p><b>Following the journals.</b> Each job's document carries the journal head it was built from,
 * written in the same commit as the job's photos and findings. Catching up compares that head with
 * the last line of each journal and takes in anew only the jobs that differ: all documents of the
 * job are replaced at once, so the index never holds half a job.
 *
 * <p><b>Disposable.</b> An index that is missing, broken or of another schema is built anew by
 * itself. While that runs, finding answers from the jobs that are in already, newest first.
 *
 * <p><b>One writer for a moment.</b> The writer is held only while catching up. If another process
 * holds it, or the disk can't be written, the jobs that are behind are taken into an index in
 * memory, which stands in for their documents on disk until the next catch-up.
 */
public final class LucenePastJobs implements PastJobs {

  /** How the index's folder is opened; a test puts a failing one in its place. */
  interface Opener {
    /** Opens the folder; makes it if it is missing. */
    Directory open(Path folder) throws IOException;
  }

  /** Changed whenever documents are made differently. */
  private static final String SCHEMA = "4-look" + Look.VERSION;

  /** So much time between two commits of a long catch-up, in nanoseconds. */
  private static final long COMMIT_EVERY = 3_000_000_000L;

  /** So few jobs are written without merging segments, so that what is new shows at once. */
  private static final int FEW = 3;

  private final Archive archive;
  private final Documents documents;
  private final Answering answering;
  private final DiskIndex disk;
  private final ReentrantLock takingIn = new ReentrantLock();
  private final Queue<String> followed = new ConcurrentLinkedQueue<>();
  private final Object publishing = new Object();
  private MemoryIndex memory;
  private Snapshot current;
  private volatile List<String> troubles = List.of();
  private volatile boolean suspect;

  private LucenePastJobs(Archive archive, Trade trade, Opener opener) {
    this.archive = archive;
    Vocabulary vocabulary = new Vocabulary(trade);
    this.documents = new Documents(vocabulary, trade);
    this.answering = new Answering(vocabulary, trade);
    this.disk =
        new DiskIndex(archive.indexDir(), opener, SCHEMA + "-" + vocabulary.fingerprintText());
  }

  /** Past jobs of an archive. Reads and writes nothing yet. */
  public static LucenePastJobs open(Archive archive, Trade trade) {
    return open(archive, trade, FSDirectory::open);
  }

  static LucenePastJobs open(Archive archive, Trade trade, Opener opener) {
    return new LucenePastJobs(archive, trade, opener);
  }

  /**
   * The journal heads that a job was last taken in with, as the index on disk has them: without a
   * catch-up, and without checking the index, which takes longer than many a command.
   *
   * @return the one it was made from first; none if the job is not in it or there is no index
   */
  public static List<String> indexedHeads(Archive archive, String job) {
    return DiskIndex.headsOf(archive.indexDir(), job);
  }

  // ---- catching up ----

  @Override
  public void catchUp(Progress p) {
    takingIn.lock();
    try {
      takeIn(null, p, false);
    } finally {
      takingIn.unlock();
    }
    takeInFollowed();
  }

  @Override
  public void follow(String jobName) {
    followed.add(jobName);
    takeInFollowed();
  }

  @Override
  public boolean rebuild(Progress p) {
    boolean written;
    takingIn.lock();
    try {
      takeIn(null, p, true);
      written = memory == null;
    } finally {
      takingIn.unlock();
    }
    takeInFollowed();
    return written;
  }

  /** If somebody is catching up already, that one takes in the followed jobs too. */
  private void takeInFollowed() {
    while (!followed.isEmpty() && takingIn.tryLock()) {
      try {
        if (!hasSnapshot()) {
          followed.clear();
          takeIn(null, Progress.NONE, false);
        } else {
          Set<String> names = new LinkedHashSet<>();
          for (String n = followed.poll(); n != null; n = followed.poll()) {
            names.add(n);
          }
          takeIn(names, Progress.NONE, false);
        }
      } finally {
        takingIn.unlock();
      }
    }
  }

  /**
   * Brings the index level with the journals.
   *
   * @param only names of the jobs to look at, or null for all
   * @param anew whether to forget what is there
   */
  private void takeIn(Collection<String> only, Progress p, boolean anew) {
    DiskIndex.View view = anew ? null : disk.view(suspect || !hasSnapshot());
    suspect = false;
    boolean all = only == null || view == null;
    List<String> inArchive = all ? archive.jobNames() : List.of();
    Collection<String> names = all ? newestFirst(inArchive) : withRemembered(only);
    Map<String, List<String>> indexed = view == null ? Map.of() : view.heads();
    Set<String> gone = new HashSet<>();
    if (all) {
      gone.addAll(indexed.keySet());
      inArchive.forEach(gone::remove);
    } else {
      names.stream()
          .filter(n -> indexed.containsKey(n) && archive.find(n).isEmpty())
          .forEach(gone::add);
    }
    List<String> behind = new ArrayList<>();
    for (String name : names) {
      Optional<JobFolder> folder = archive.find(name);
      if (folder.isPresent() && isBehind(folder.get(), indexed.get(name))) {
        behind.add(name);
      }
    }
    List<String> trouble = Collections.synchronizedList(new ArrayList<>());
    if (!all) {
      trouble.addAll(troubles);
    }
    if (view != null && behind.isEmpty() && gone.isEmpty()) {
      if (all) {
        memory = closed(memory);
      }
      publish(view, Set.of(), 0);
      p.at(0, 0);
    } else {
      publish(view, gone, behind.size());
      Set<String> left = write(view, behind, gone, p, trouble);
      if (!left.isEmpty()) {
        remember(left, p, trouble);
      }
    }
    troubles = List.copyOf(trouble);
  }

  /** Jobs in memory are behind on disk; they must not be forgotten when another one is written. */
  private Collection<String> withRemembered(Collection<String> only) {
    Set<String> out = new LinkedHashSet<>(only);
    if (memory != null) {
      out.addAll(memory.standsInFor());
    }
    return out;
  }

  private static List<String> newestFirst(List<String> names) {
    // Folder names begin with the date as a rule; where not, the order does no harm.
    List<String> out = new ArrayList<>(names);
    out.sort(java.util.Comparator.reverseOrder());
    return out;
  }

  private static boolean isBehind(JobFolder folder, List<String> heads) {
    return heads == null || !folder.lastHead().map(heads.get(0)::equals).orElse(false);
  }

  /**
   * Writes jobs to the index on disk.
   *
   * @return what could not be written and is to be remembered in memory; a name in it that is no
   *     job any more is one to hide
   */
  private Set<String> write(
      DiskIndex.View seen,
      List<String> behind,
      Set<String> gone,
      Progress p,
      List<String> trouble) {
    Set<String> left = new LinkedHashSet<>(behind);
    left.addAll(gone);
    boolean few = seen != null && left.size() <= FEW;
    try (DiskIndex.Writing w = disk.write(seen == null, !few)) {
      long committed = System.nanoTime();
      int done = 0;
      Set<String> uncommitted = new HashSet<>();
      for (String name : gone) {
        w.forget(name);
        uncommitted.add(name);
      }
      try (Ahead ahead = new Ahead(behind, n -> make(n, w.heads(n), false, trouble))) {
        while (!p.cancelled() && ahead.hasNext(followed, archive)) {
          p.at(done++, behind.size());
          Made made = ahead.next();
          if (made.documents() != null) {
            w.replace(made.job(), made.documents());
          }
          uncommitted.add(made.job());
          if (System.nanoTime() - committed > COMMIT_EVERY) {
            w.commit();
            left.removeAll(uncommitted);
            uncommitted.clear();
            publish(disk.view(false), Set.of(), left.size());
            committed = System.nanoTime();
          }
        }
      }
      w.commit();
      left.removeAll(uncommitted);
      p.at(done, behind.size());
    } catch (IOException | IllegalStateException e) {
      // In use by another process, read-only, or full (the engine's writer then says that it is
      // closed): what is left is remembered in memory.
      suspect = !(e instanceof org.apache.lucene.store.LockObtainFailedException);
      return left;
    }
    memory = closed(memory);
    int stillBehind = left.size(); // stopped on request
    publish(disk.view(false), Set.of(), stillBehind);
    if (few && disk.isUntidy()) {
      try {
        disk.tidy(); // after what is new shows already
        publish(disk.view(false), Set.of(), stillBehind);
      } catch (IOException | IllegalStateException e) {
        suspect = true;
      }
    }
    return Set.of();
  }

  private void remember(Set<String> names, Progress p, List<String> trouble) {
    DiskIndex.View view = disk.view(false);
    try {
      if (memory == null) {
        memory = new MemoryIndex();
      }
      int done = 0;
      for (String name : names) {
        if (p.cancelled()) {
          break;
        }
        p.at(done++, names.size());
        Optional<JobFolder> folder = archive.find(name);
        List<String> heads = view == null ? null : view.heads().get(name);
        if (folder.isEmpty()) {
          memory.hide(name);
        } else if (!isBehind(folder.get(), heads)) {
          memory.release(name); // whoever held the writer has taken it in
        } else {
          Made made = make(name, heads, true, trouble);
          if (made.documents() != null) {
            memory.replace(name, made.documents());
          }
        }
      }
      memory.refresh();
      p.at(done, names.size());
      publish(view, memory.standsInFor(), names.size() - done);
    } catch (IOException e) {
      throw new UncheckedIOException(e); // memory does not fail
    }
  }

  /** Reads a job and makes its documents. */
  private Made make(String name, List<String> before, boolean fresh, List<String> trouble) {
    try {
      Optional<JobFolder> folder = archive.find(name);
      if (folder.isEmpty()) {
        return new Made(name, null);
      }
      JournalContent content = folder.get().read();
      List<String> heads = new ArrayList<>();
      heads.add(content.head());
      if (before != null && !before.isEmpty()) {
        // A head that is no longer in the journal is kept: it shows that the journal was cut.
        List<String> lines = folder.get().heads();
        before.stream().filter(h -> !lines.contains(h)).forEach(heads::add);
      }
      JobFolder from = folder.get();
      return new Made(
          name,
          documents.of(
              name, content.history().job(), heads, photo -> PhotoLooks.of(from, photo), fresh));
    } catch (ArchiveException e) {
      trouble.add(Sentences.in(LucenePastJobs.class).say("trouble.job", name, e.getMessage()));
      return new Made(name, null);
    }
  }

  private static MemoryIndex closed(MemoryIndex memory) {
    if (memory != null) {
      memory.close();
    }
    return null;
  }

  // ---- what finding sees ----

  private boolean hasSnapshot() {
    synchronized (publishing) {
      return current != null;
    }
  }

  private void publish(DiskIndex.View view, Set<String> hidden, int behind) {
    Set<String> hide = new HashSet<>(hidden);
    if (memory != null) {
      hide.addAll(memory.standsInFor());
    }
    Snapshot next = new Snapshot(view, memory, hide, behind);
    Snapshot before;
    synchronized (publishing) {
      before = current;
      current = next;
    }
    if (before != null) {
      before.release();
    }
  }

  private Snapshot snapshot() {
    synchronized (publishing) {
      if (current != null) {
        current.retain();
        return current;
      }
    }
    catchUp(Progress.NONE);
    return snapshot();
  }

  // ---- finding ----

  @Override
  public Found find(Ask ask) {
    return answer(s -> answering.find(ask, s));
  }

  @Override
  public Overview findAndCount(Ask ask) {
    return answer(s -> answering.findAndCount(ask, s));
  }

  @Override
  public List<Likeness> similar(Like like) {
    return answer(s -> answering.similar(like, s));
  }

  @Override
  public List<Stretch> stretches(Ask ask, String text) {
    return answering.stretches(ask, text);
  }

  /** Something asked of a snapshot. */
  private interface Asking<T> {
    T of(Snapshot s) throws IOException;
  }

  private <T> T answer(Asking<T> asking) {
    Snapshot s = snapshot();
    try {
      return asking.of(s);
    } catch (IOException | RuntimeException | InternalError e) {
      // The index went bad under us (InternalError: a mapped file was cut). Build it anew, once.
      suspect = true;
    } finally {
      s.release();
    }
    rebuild(Progress.NONE);
    Snapshot anew = snapshot();
    try {
      return asking.of(anew);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    } finally {
      anew.release();
    }
  }

  // ---- the rest ----

  @Override
  public Map<String, List<String>> heads() {
    Snapshot s = snapshot();
    try {
      return new TreeMap<>(new LinkedHashMap<>(s.heads()));
    } finally {
      s.release();
    }
  }

  @Override
  public List<String> troubles() {
    return troubles;
  }

  @Override
  public void close() {
    takingIn.lock();
    try {
      Snapshot last;
      synchronized (publishing) {
        last = current;
        current = null;
      }
      if (last != null) {
        last.release();
      }
      memory = closed(memory);
      disk.close();
    } finally {
      takingIn.unlock();
    }
  }
}

package meterside.search;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Path;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collection;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Queue;
import java.util.Set;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.concurrent.locks.ReentrantLock;
import meterside.archive.Archive;
import meterside.archive.ArchiveException;
import meterside.archive.JobFolder;
import meterside.archive.JournalContent;
import meterside.job.FindingKind;
import meterside.job.PhotoId;
import meterside.job.Progress;
import meterside.job.Sentences;
import meterside.trade.Part;
import meterside.trade.Trade;
import org.apache.lucene.document.Document;
import org.apache.lucene.document.IntPoint;
import org.apache.lucene.index.Term;
import org.apache.lucene.search.BooleanClause.Occur;
import org.apache.lucene.search.BooleanQuery;
import org.apache.lucene.search.FieldDoc;
import org.apache.lucene.search.IndexSearcher;
import org.apache.lucene.search.MatchAllDocsQuery;
import org.apache.lucene.search.Query;
import org.apache.lucene.search.ScoreDoc;
import org.apache.lucene.search.Sort;
import org.apache.lucene.search.SortField;
import org.apache.lucene.search.TermQuery;
import org.apache.lucene.search.TopFieldCollectorManager;
import org.apache.lucene.search.TopFieldDocs;
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
  private static final String SCHEMA = "2";

  /** So much time between two commits of a long catch-up, in nanoseconds. */
  private static final long COMMIT_EVERY = 3_000_000_000L;

  /** Words beyond these are left unread; nobody types so many. */
  private static final int MOST_UNITS = 32;

  static {
    // A question of many words, each in several fields and readings, is well within this.
    IndexSearcher.setMaxClauseCount(1 << 16);
  }

  private final Archive archive;
  private final Trade trade;
  private final Vocabulary vocabulary;
  private final Documents documents;
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
    this.trade = trade;
    this.vocabulary = new Vocabulary(trade);
    this.documents = new Documents(vocabulary, trade);
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
  public void rebuild(Progress p) {
    takingIn.lock();
    try {
      takeIn(null, p, true);
    } finally {
      takingIn.unlock();
    }
    takeInFollowed();
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
    List<String> inArchive = archive.jobNames();
    Collection<String> names = all ? newestFirst(inArchive) : only;
    Map<String, List<String>> indexed = view == null ? Map.of() : view.heads();
    Set<String> gone = new HashSet<>(indexed.keySet());
    gone.removeAll(inArchive);
    List<String> behind = new ArrayList<>();
    for (String name : names) {
      Optional<JobFolder> folder = archive.find(name);
      if (folder.isPresent() && isBehind(folder.get(), indexed.get(name))) {
        behind.add(name);
      }
    }
    List<String> trouble = new ArrayList<>(all ? List.of() : troubles);
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
    try (DiskIndex.Writing w = disk.write(seen == null)) {
      long committed = System.nanoTime();
      int done = 0;
      Set<String> uncommitted = new HashSet<>();
      for (String name : gone) {
        w.forget(name);
        uncommitted.add(name);
      }
      List<String> queue = new ArrayList<>(behind);
      for (int i = 0; i < queue.size() && !p.cancelled(); i++) {
        takeInFirst(queue, i);
        String name = queue.get(i);
        p.at(done++, behind.size());
        Map.Entry<String, List<Document>> made = make(name, w.heads(name), false, trouble);
        if (made != null) {
          w.replace(name, made.getValue());
        }
        uncommitted.add(name);
        if (System.nanoTime() - committed > COMMIT_EVERY) {
          w.commit();
          left.removeAll(uncommitted);
          uncommitted.clear();
          publish(disk.view(false), Set.of(), left.size());
          committed = System.nanoTime();
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
    return Set.of();
  }

  /** Jobs that have just changed go before those that have waited long. */
  private void takeInFirst(List<String> queue, int at) {
    for (String n = followed.poll(); n != null; n = followed.poll()) {
      if (queue.subList(at, queue.size()).contains(n)) {
        queue.subList(at, queue.size()).remove(n);
      }
      if (archive.find(n).isPresent()) {
        queue.add(at, n);
      }
    }
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
          Map.Entry<String, List<Document>> made = make(name, heads, true, trouble);
          if (made != null) {
            memory.replace(name, made.getValue());
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

  /** The documents of a job with their head; null if the job can't be read. */
  private Map.Entry<String, List<Document>> make(
      String name, List<String> before, boolean fresh, List<String> trouble) {
    try {
      Optional<JobFolder> folder = archive.find(name);
      if (folder.isEmpty()) {
        return null;
      }
      JournalContent content = folder.get().read();
      List<String> heads = new ArrayList<>();
      heads.add(content.head());
      if (before != null && !before.isEmpty()) {
        // A head that is no longer in the journal is kept: it shows that the journal was cut.
        List<String> lines = folder.get().heads();
        before.stream().filter(h -> !lines.contains(h)).forEach(heads::add);
      }
      return Map.entry(content.head(), documents.of(name, content.history().job(), heads, fresh));
    } catch (ArchiveException e) {
      trouble.add(Sentences.in(LucenePastJobs.class).say("trouble.job", name, e.getMessage()));
      return null;
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
    return answer(s -> answer(ask, s).found());
  }

  @Override
  public Overview findAndCount(Ask ask) {
    return answer(
        s -> {
          Answer a = answer(ask, s);
          return new Overview(a.found(), counts(a.words(), ask, s));
        });
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

  /**
   * An answer and the query that gave it.
   *
   * @param words the query, without filters
   */
  private record Answer(Found found, Query words) {}

  private Answer answer(Ask ask, Snapshot s) throws IOException {
    Question question = question(ask);
    if (question.units().isEmpty()) {
      Query all = new MatchAllDocsQuery();
      TopFieldDocs top = search(s, all, ask, NEWEST);
      return new Answer(new Found(top.totalHits.value, hits(s, top, ask, -1), "", s.behind()), all);
    }
    Matching.Last last =
        !ask.typing()
            ? Matching.Last.PERHAPS
            : isUnfinished(ask) ? Matching.Last.UNFINISHED : Matching.Last.FINISHED;
    Matching matching = new Matching(question, last, vocabulary, trade, s.reader());
    int needed = matching.size();
    Query query = matching.query(needed);
    TopFieldDocs top = search(s, query, ask, BEST);
    boolean relaxed = false;
    int least = (matching.size() + 1) / 2;
    while (top.totalHits.value == 0 && matching.canRelax() && needed > least) {
      needed--;
      query = matching.query(needed);
      top = search(s, query, ask, BEST);
      relaxed = true;
    }
    Found found =
        new Found(
            top.totalHits.value,
            hits(s, top, ask, SCORE_AT),
            matching.searchedFor(relaxed && top.totalHits.value > 0),
            s.behind());
    return new Answer(found, query);
  }

  private Counts counts(Query words, Ask ask, Snapshot s) throws IOException {
    Map<String, Map<String, Long>> n = new HashMap<>();
    Set<String> together = new LinkedHashSet<>(COUNTED);
    // A row whose own filter is set is counted without that filter.
    Map<String, Ask> alone = new LinkedHashMap<>();
    alone.put(Documents.STOP, ask.stop() == null ? ask : ask.withStop(null));
    alone.put(Documents.PART, ask.part() == null ? ask : ask.withPart(null));
    alone.put(Documents.FINDING_KIND, ask.kind() == null ? ask : ask.withKind(null));
    boolean days = ask.from() != null || ask.to() != null;
    alone.put(Documents.YEAR, days ? ask.withDays(null, null) : ask);
    alone.put(Documents.CAMERA, ask.camera() == null ? ask : ask.withCamera(null));
    alone.put(Documents.KIND, ask.only() == null ? ask : ask.withOnly(null));
    alone.put(Documents.HAS_FINDING, ask.hasFinding() == null ? ask : ask.withHasFinding(null));
    for (Map.Entry<String, Ask> e : alone.entrySet()) {
      if (e.getValue() != ask) {
        together.remove(e.getKey());
        Query q = filtered(words, e.getValue(), s);
        n.putAll(s.searcher().search(q, new Counting(Set.of(e.getKey()))));
      }
    }
    n.putAll(s.searcher().search(filtered(words, ask, s), new Counting(together)));
    SortedMap<Hit.Kind, Long> things = new TreeMap<>();
    n.get(Documents.KIND).forEach((k, c) -> things.put(Hit.Kind.valueOf(k), c));
    SortedMap<FindingKind, Long> kinds = new TreeMap<>();
    n.get(Documents.FINDING_KIND).forEach((k, c) -> kinds.put(FindingKind.valueOf(k), c));
    return new Counts(
        things,
        new TreeMap<>(n.get(Documents.STOP)),
        new TreeMap<>(n.get(Documents.PART)),
        kinds,
        new TreeMap<>(n.get(Documents.YEAR)),
        new TreeMap<>(n.get(Documents.CAMERA)),
        n.get(Documents.HAS_FINDING).getOrDefault("true", 0L));
  }

  private static final List<String> COUNTED =
      List.of(
          Documents.KIND,
          Documents.STOP,
          Documents.PART,
          Documents.FINDING_KIND,
          Documents.YEAR,
          Documents.CAMERA,
          Documents.HAS_FINDING);

  private Question question(Ask ask) {
    if (ask.words() == null || ask.words().isBlank()) {
      return new Question(List.of());
    }
    Question q = Question.read(ask.words(), vocabulary, isUnfinished(ask));
    return q.units().size() <= MOST_UNITS ? q : new Question(q.units().subList(0, MOST_UNITS));
  }

  private static boolean isUnfinished(Ask ask) {
    String w = ask.words();
    return ask.typing()
        && w != null
        && !w.isEmpty()
        && Character.isLetterOrDigit(w.codePointBefore(w.length()));
  }

  private static final Sort NEWEST =
      new Sort(
          new SortField(Documents.DAY, SortField.Type.INT, true),
          new SortField(Documents.JOB, SortField.Type.STRING),
          new SortField(Documents.ORDER, SortField.Type.INT));

  private static final int SCORE_AT = 1;
  private static final Sort BEST =
      new Sort(
          new SortField(Documents.LOW, SortField.Type.INT),
          SortField.FIELD_SCORE,
          new SortField(Documents.DAY, SortField.Type.INT, true),
          new SortField(Documents.JOB, SortField.Type.STRING),
          new SortField(Documents.ORDER, SortField.Type.INT));

  private TopFieldDocs search(Snapshot s, Query words, Ask ask, Sort sort) throws IOException {
    int most = Math.max(1, Math.min(ask.limit(), Math.max(1, s.reader().maxDoc())));
    // Counting to the end makes the total exact.
    return s.searcher()
        .search(
            filtered(words, ask, s),
            new TopFieldCollectorManager(sort, most, null, Integer.MAX_VALUE));
  }

  private Query filtered(Query words, Ask ask, Snapshot s) {
    BooleanQuery.Builder all = new BooleanQuery.Builder();
    all.add(words, Occur.MUST);
    filter(all, Documents.STOP, ask.stop());
    filter(all, Documents.PART, ask.part() == null ? null : partId(ask.part()));
    filter(all, Documents.FINDING_KIND, ask.kind() == null ? null : ask.kind().name());
    filter(all, Documents.JOB, ask.job());
    filter(all, Documents.CAMERA, ask.camera());
    filter(all, Documents.KIND, ask.only() == null ? null : ask.only().name());
    filter(
        all, Documents.HAS_FINDING, ask.hasFinding() == null ? null : ask.hasFinding().toString());
    if (ask.from() != null || ask.to() != null) {
      int from = ask.from() == null ? Integer.MIN_VALUE : day(ask.from());
      int to = ask.to() == null ? Integer.MAX_VALUE : day(ask.to());
      all.add(IntPoint.newRangeQuery(Documents.DAY, from, to), Occur.FILTER);
    }
    if (s.hidden() != null) {
      all.add(s.hidden(), Occur.MUST_NOT);
    }
    return all.build();
  }

  private static void filter(BooleanQuery.Builder all, String field, String value) {
    if (value != null && !value.isBlank()) {
      all.add(new TermQuery(new Term(field, value)), Occur.FILTER);
    }
  }

  private static int day(LocalDate date) {
    return (int) Math.max(Integer.MIN_VALUE, Math.min(Integer.MAX_VALUE, date.toEpochDay()));
  }

  private String partId(String typed) {
    return trade.part(typed).or(() -> trade.resolve(typed)).map(Part::id).orElse(typed);
  }

  private List<Hit> hits(Snapshot s, TopFieldDocs top, Ask ask, int scoreAt) throws IOException {
    List<Hit> out = new ArrayList<>();
    for (ScoreDoc sd : top.scoreDocs) {
      if (out.size() >= ask.limit()) {
        break;
      }
      Document d = s.searcher().storedFields().document(sd.doc);
      Object score = scoreAt < 0 ? null : ((FieldDoc) sd).fields[scoreAt];
      String photoId = d.get(Documents.PHOTO_ID);
      String kind = d.get(Documents.FINDING_KIND);
      out.add(
          new Hit(
              Hit.Kind.valueOf(d.get(Documents.KIND)),
              d.get(Documents.JOB),
              d.get(Documents.PHOTO),
              photoId == null ? null : new PhotoId(photoId),
              number(d, Documents.FINDING),
              kind == null ? null : FindingKind.valueOf(kind),
              d.get(Documents.AT),
              Arrays.asList(d.getValues(Documents.PARTS)),
              d.get(Documents.TEXT),
              score == null ? 0 : ((Float) score).doubleValue()));
    }
    return out;
  }

  private static Integer number(Document d, String field) {
    return d.getField(field) == null ? null : d.getField(field).numericValue().intValue();
  }

  @Override
  public List<Stretch> stretches(Ask ask, String text) {
    return Marking.of(question(ask), isUnfinished(ask), text, vocabulary);
  }

  // ---- similar ----

  @Override
  public List<Likeness> similar(Like like) {
    return answer(s -> similar(like, s));
  }

  private List<Likeness> similar(Like like, Snapshot s) throws IOException {
    Alike alike = new Alike(like, vocabulary, trade);
    if (alike.isEmpty()) {
      return List.of();
    }
    Ask ask = Ask.words("").withOnly(Hit.Kind.FINDING).withLimit(Math.max(0, like.limit()) + 1);
    TopFieldDocs top = search(s, alike.query(s.reader()), ask, BEST);
    List<Likeness> out = new ArrayList<>();
    for (Hit h : hits(s, top, ask, SCORE_AT)) {
      boolean itself = h.job().equals(like.job()) && h.finding().equals(like.finding());
      if (!itself && out.size() < like.limit()) {
        out.add(alike.likeness(h));
      }
    }
    return List.copyOf(out);
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

package meterside.search;

import java.io.IOException;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.SortedMap;
import java.util.TreeMap;
import meterside.job.FindingKind;
import meterside.job.PhotoId;
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
import org.apache.lucene.search.MultiCollectorManager;
import org.apache.lucene.search.Query;
import org.apache.lucene.search.ScoreDoc;
import org.apache.lucene.search.Sort;
import org.apache.lucene.search.SortField;
import org.apache.lucene.search.TermQuery;
import org.apache.lucene.search.TopFieldCollectorManager;
import org.apache.lucene.search.TopFieldDocs;

/** Answers questions from what a {@link Snapshot} shows. Keeps nothing between two questions. */
final class Answering {
  /** Words beyond these are left unread; nobody types so many. */
  private static final int MOST_UNITS = 32;

  static {
    // A question of many words, each in several fields and readings, is well within this.
    IndexSearcher.setMaxClauseCount(1 << 16);
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

  private final Vocabulary vocabulary;
  private final Trade trade;

  Answering(Vocabulary vocabulary, Trade trade) {
    this.vocabulary = vocabulary;
    this.trade = trade;
  }

  /** See {@link PastJobs#find}. */
  Found find(Ask ask, Snapshot s) throws IOException {
    return answer(ask, s, Set.of()).found();
  }

  /** See {@link PastJobs#findAndCount}. */
  Overview findAndCount(Ask ask, Snapshot s) throws IOException {
    // A row whose own filter is set is counted without that filter, in a pass of its own.
    Map<String, Ask> rows = rows(ask);
    Set<String> together = new LinkedHashSet<>(rows.keySet());
    together.removeIf(row -> rows.get(row) != ask);
    Answer a = answer(ask, s, together);
    Map<String, Map<String, Long>> n = new HashMap<>(a.counts());
    for (Map.Entry<String, Ask> row : rows.entrySet()) {
      if (row.getValue() != ask) {
        Query q = filtered(a.words(), row.getValue(), s);
        n.putAll(s.searcher().search(q, new Counting(Set.of(row.getKey()))));
      }
    }
    return new Overview(a.found(), counts(n));
  }

  /**
   * An answer and the query that gave it.
   *
   * @param words the query, without filters
   * @param counts by field and value, for the fields that were asked for
   */
  private record Answer(Found found, Query words, Map<String, Map<String, Long>> counts) {}

  private Answer answer(Ask ask, Snapshot s, Set<String> counted) throws IOException {
    Map<String, Map<String, Long>> n = new HashMap<>();
    Question question = question(ask);
    if (question.units().isEmpty()) {
      Query all = new MatchAllDocsQuery();
      TopFieldDocs top = search(s, all, ask, NEWEST, counted, n);
      List<Hit> hits = hits(s, top, ask, -1);
      return new Answer(new Found(top.totalHits.value, hits, "", s.behind()), all, n);
    }
    Matching.Last last =
        !ask.typing()
            ? Matching.Last.PERHAPS
            : isUnfinished(ask) ? Matching.Last.UNFINISHED : Matching.Last.FINISHED;
    Matching matching = new Matching(question, last, vocabulary, trade, s.reader());
    int needed = matching.size();
    Query query = matching.query(needed);
    TopFieldDocs top = search(s, query, ask, BEST, counted, n);
    boolean relaxed = false;
    int least = (matching.size() + 1) / 2;
    while (top.totalHits.value == 0 && matching.canRelax() && needed > least) {
      needed--;
      query = matching.query(needed);
      top = search(s, query, ask, BEST, counted, n);
      relaxed = true;
    }
    Found found =
        new Found(
            top.totalHits.value,
            hits(s, top, ask, SCORE_AT),
            matching.searchedFor(relaxed && top.totalHits.value > 0),
            s.behind());
    return new Answer(found, query, n);
  }

  /** What is counted, each with the question it is counted for. */
  private static Map<String, Ask> rows(Ask ask) {
    Map<String, Ask> rows = new LinkedHashMap<>();
    rows.put(Documents.STOP, ask.stop() == null ? ask : ask.withStop(null));
    rows.put(Documents.PART, ask.part() == null ? ask : ask.withPart(null));
    rows.put(Documents.FINDING_KIND, ask.kind() == null ? ask : ask.withKind(null));
    boolean days = ask.from() != null || ask.to() != null;
    rows.put(Documents.YEAR, days ? ask.withDays(null, null) : ask);
    rows.put(Documents.CAMERA, ask.camera() == null ? ask : ask.withCamera(null));
    rows.put(Documents.KIND, ask.only() == null ? ask : ask.withOnly(null));
    rows.put(Documents.HAS_FINDING, ask.hasFinding() == null ? ask : ask.withHasFinding(null));
    return rows;
  }

  private static Counts counts(Map<String, Map<String, Long>> n) {
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

  /**
   * Searches, and counts in the same pass.
   *
   * @param counted fields to count by; the counts of the last search stay in {@code counts}
   */
  private TopFieldDocs search(
      Snapshot s,
      Query words,
      Ask ask,
      Sort sort,
      Set<String> counted,
      Map<String, Map<String, Long>> counts)
      throws IOException {
    int most = Math.max(1, Math.min(ask.limit(), Math.max(1, s.reader().maxDoc())));
    // Counting to the end makes the total exact.
    TopFieldCollectorManager top =
        new TopFieldCollectorManager(sort, most, null, Integer.MAX_VALUE);
    Query query = filtered(words, ask, s);
    if (counted.isEmpty()) {
      return s.searcher().search(query, top);
    }
    Counting counting = new Counting(counted);
    Object[] both = s.searcher().search(query, new MultiCollectorManager(top, counting));
    counts.putAll(Counting.counts(both[1]));
    return (TopFieldDocs) both[0];
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

  /** See {@link PastJobs#stretches}. */
  List<Stretch> stretches(Ask ask, String text) {
    return Marking.of(question(ask), isUnfinished(ask), text, vocabulary);
  }

  /** See {@link PastJobs#similar}. */
  List<Likeness> similar(Like like, Snapshot s) throws IOException {
    Alike alike = new Alike(like, vocabulary, trade);
    if (alike.isEmpty()) {
      return List.of();
    }
    Ask ask = Ask.words("").withOnly(Hit.Kind.FINDING).withLimit(Math.max(0, like.limit()) + 1);
    TopFieldDocs top = search(s, alike.query(s.reader()), ask, BEST, Set.of(), Map.of());
    List<Likeness> out = new ArrayList<>();
    for (Hit h : hits(s, top, ask, SCORE_AT)) {
      boolean itself = h.job().equals(like.job()) && h.finding().equals(like.finding());
      if (!itself && out.size() < like.limit()) {
        out.add(alike.likeness(h));
      }
    }
    return List.copyOf(out);
  }
}

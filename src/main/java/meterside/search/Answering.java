package meterside.search;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import meterside.job.FindingKind;
import meterside.job.PhotoId;
import meterside.trade.Part;
import meterside.trade.Trade;
import org.apache.lucene.document.Document;
import org.apache.lucene.index.StoredFields;
import org.apache.lucene.search.IndexSearcher;

/** Answers questions from what a {@link Snapshot} shows. Keeps nothing between two questions. */
final class Answering {
  /** Words beyond these are left unread; nobody types so many. */
  private static final int MOST_UNITS = 32;

  static {
    // A question of many words, each in several fields and readings, is well within this.
    IndexSearcher.setMaxClauseCount(1 << 16);
  }

  private final Vocabulary vocabulary;
  private final Trade trade;

  Answering(Vocabulary vocabulary, Trade trade) {
    this.vocabulary = vocabulary;
    this.trade = trade;
  }

  /** See {@link PastJobs#find}. */
  Found find(Ask ask, Snapshot s) throws IOException {
    return findAndCount(ask, s).found();
  }

  /** See {@link PastJobs#findAndCount}. */
  Overview findAndCount(Ask ask, Snapshot s) throws IOException {
    Question question = question(ask);
    Pass pass = new Pass(s, ask, ask.part() == null ? null : partId(ask.part()));
    if (question.units().isEmpty()) {
      return overview(s, pass.run(null, 0), "");
    }
    Matching.Last last =
        !ask.typing()
            ? Matching.Last.PERHAPS
            : isUnfinished(ask) ? Matching.Last.UNFINISHED : Matching.Last.FINISHED;
    Matching matching = new Matching(question, last, vocabulary, trade, s.reader());
    int needed = matching.size();
    Pass.Result result = pass.run(matching.wanted(), needed);
    boolean relaxed = false;
    int least = (matching.size() + 1) / 2;
    while (result.tally().total() == 0 && matching.canRelax() && needed > least) {
      needed--;
      result = pass.run(matching.wanted(), needed);
      relaxed = true;
    }
    return overview(s, result, matching.searchedFor(relaxed && result.tally().total() > 0));
  }

  private static Overview overview(Snapshot s, Pass.Result result, String searchedFor)
      throws IOException {
    // In the order they are stored, so that what lies together is read once.
    Hit[] hits = new Hit[result.first().size()];
    List<Integer> stored = new ArrayList<>();
    for (int i = 0; i < hits.length; i++) {
      stored.add(i);
    }
    stored.sort(Comparator.comparingInt(i -> result.first().get(i).doc()));
    StoredFields fields = s.searcher().storedFields();
    for (int i : stored) {
      Pass.Top t = result.first().get(i);
      hits[i] = hit(fields.document(t.doc()), t.score());
    }
    Found found = new Found(result.tally().total(), List.of(hits), searchedFor, s.behind());
    return new Overview(found, result.tally().counts());
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

  private String partId(String typed) {
    return trade.part(typed).or(() -> trade.resolve(typed)).map(Part::id).orElse(typed);
  }

  /** What is stored of a document. */
  static Hit hit(Document d, double score) {
    String photoId = d.get(Documents.PHOTO_ID);
    String kind = d.get(Documents.FINDING_KIND);
    return new Hit(
        Hit.Kind.valueOf(d.get(Documents.KIND)),
        d.get(Documents.JOB),
        d.get(Documents.PHOTO),
        photoId == null ? null : new PhotoId(photoId),
        number(d, Documents.FINDING),
        kind == null ? null : FindingKind.valueOf(kind),
        d.get(Documents.AT),
        Arrays.asList(d.getValues(Documents.PARTS)),
        d.get(Documents.TEXT),
        score);
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
    return new Alike(like, vocabulary, trade, s).find();
  }
}

package meterside.search;

import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import meterside.job.Callout;
import meterside.job.Finding;
import meterside.job.Job;
import meterside.job.Mark;
import meterside.job.Outline;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.Placement;
import meterside.job.StopKey;
import meterside.trade.Trade;
import org.apache.lucene.document.BinaryDocValuesField;
import org.apache.lucene.document.Document;
import org.apache.lucene.document.Field;
import org.apache.lucene.document.FieldType;
import org.apache.lucene.document.IntPoint;
import org.apache.lucene.document.NumericDocValuesField;
import org.apache.lucene.document.SortedDocValuesField;
import org.apache.lucene.document.SortedSetDocValuesField;
import org.apache.lucene.document.StoredField;
import org.apache.lucene.document.StringField;
import org.apache.lucene.index.IndexOptions;
import org.apache.lucene.util.BytesRef;

/**
 * Makes a job into index documents: one for each photo, one for each finding, and one for the job
 * itself, which carries the journal head it was all made from.
 *
 * <p>Texts lie in fields by what they are worth: what was seen, names of parts, notes, facts. A
 * further field holds what surrounds a photo or finding (titles of its stops, the house); it helps
 * to meet a question of several words and never meets one alone.
 */
final class Documents {

  // Fields with words. The order is that of their worth.
  static final String SEEN = "seen";
  static final String PART_NAMES = "names";
  static final String NOTES = "notes";
  static final String FACTS = "facts";
  static final String AROUND = "around";

  // Fields to filter, sort and count by.
  static final String KIND = "kind";
  static final String JOB = "job";
  static final String STOP = "stop";
  static final String PART = "part";
  static final String FINDING_KIND = "findingKind";
  static final String CAMERA = "camera";
  static final String HAS_FINDING = "hasFinding";
  static final String DAY = "day";
  static final String YEAR = "year";
  static final String LOW = "low";
  static final String ORDER = "order";
  static final String HEADS = "heads";

  /** Marks documents of an index in memory that stand in for those of the one on disk. */
  static final String FRESH = "fresh";

  // Stored values.
  static final String PHOTO = "photo";
  static final String PHOTO_ID = "photoId";
  static final String FINDING = "finding";
  static final String AT = "at";
  static final String PARTS = "parts";
  static final String TEXT = "text";

  private static final FieldType WORDS = new FieldType();
  private static final int FIRST_PHOTO = 1_000_000;

  static {
    WORDS.setTokenized(true);
    WORDS.setOmitNorms(true);
    WORDS.setIndexOptions(IndexOptions.DOCS_AND_FREQS_AND_POSITIONS);
    WORDS.freeze();
  }

  private final Vocabulary vocabulary;
  private final Trade trade;

  Documents(Vocabulary vocabulary, Trade trade) {
    this.vocabulary = vocabulary;
    this.trade = trade;
  }

  /**
   * All documents of a job, the job's own last.
   *
   * @param name folder name of the job
   * @param heads journal heads to keep with it, the one it is made from first
   * @param fresh whether they are for an index in memory
   */
  List<Document> of(String name, Job job, List<String> heads, boolean fresh) {
    List<Document> out = new ArrayList<>();
    int order = FIRST_PHOTO;
    Set<PhotoId> reported = reported(job);
    for (Photo photo : job.inTrueOrder()) {
      out.add(photo(name, job, photo, reported.contains(photo.id()), order++));
    }
    for (Finding finding : job.findings().values()) {
      out.add(finding(name, job, finding));
    }
    out.add(job(name, job, heads));
    if (fresh) {
      out.forEach(d -> d.add(new StringField(FRESH, "1", Field.Store.NO)));
    }
    return out;
  }

  private static Set<PhotoId> reported(Job job) {
    Set<PhotoId> out = new LinkedHashSet<>();
    for (Finding f : job.findings().values()) {
      out.addAll(f.photos());
    }
    for (Mark m : job.marks().values()) {
      if (findingOf(m) != null) {
        out.add(m.photo());
      }
    }
    return out;
  }

  private static Integer findingOf(Mark mark) {
    return mark instanceof Callout c ? c.finding() : mark instanceof Outline o ? o.finding() : null;
  }

  // ---- the three kinds ----

  private Document photo(String name, Job job, Photo photo, boolean reported, int order) {
    Document d = start(Hit.Kind.PHOTO, name, job, order);
    Set<String> parts = new LinkedHashSet<>();
    List<String> notes = new ArrayList<>();
    List<String> lines = new ArrayList<>();
    for (Mark mark : job.marksOn(photo.id())) {
      String part = mark instanceof Callout c ? c.part() : null;
      String note = mark instanceof Callout c ? c.note() : null;
      if (mark instanceof Outline o) {
        part = o.part();
        note = o.note();
      }
      if (part != null) {
        parts.add(part);
      }
      if (note != null && !note.isBlank()) {
        notes.add(note.strip());
      }
      String line = line(part, note);
      if (!line.isEmpty()) {
        lines.add(line);
      }
    }
    names(d, parts);
    words(d, NOTES, notes, parts);
    words(d, FACTS, List.of(photo.name()));
    Set<StopKey> stops = new LinkedHashSet<>();
    job.placement(photo.id()).map(Placement::at).ifPresent(stops::add);
    stops.addAll(job.alsoServes(photo.id()));
    stops(d, stops);
    parts(d, parts);
    around(d, name, job, stops);
    String camera = job.cameras().get(photo.camera()).label();
    d.add(new StringField(CAMERA, camera, Field.Store.NO));
    count(d, CAMERA, camera);
    hasFinding(d, reported);
    boolean low = job.aside().containsKey(photo.id()) || job.notesToSelf().contains(photo.id());
    d.add(new NumericDocValuesField(LOW, low ? 1 : 0));
    store(d, PHOTO, photo.name());
    store(d, PHOTO_ID, photo.id().hex());
    job.placement(photo.id()).ifPresent(p -> store(d, AT, p.at().toString()));
    store(d, TEXT, String.join("; ", lines));
    return d;
  }

  private String line(String part, String note) {
    String term = part == null ? "" : trade.term(part);
    String more = note == null ? "" : note.strip();
    return term.isEmpty() || more.isEmpty() ? term + more : term + ": " + more;
  }

  private Document finding(String name, Job job, Finding finding) {
    Document d = start(Hit.Kind.FINDING, name, job, finding.number());
    Set<String> parts = finding.part() == null ? Set.of() : Set.of(finding.part());
    words(d, SEEN, List.of(finding.seen()), parts);
    names(d, parts);
    List<String> notes = new ArrayList<>();
    if (finding.why() != null) {
      notes.add(finding.why());
    }
    if (finding.location() != null) {
      notes.add(finding.location());
    }
    words(d, NOTES, notes, parts);
    words(d, FACTS, List.of(finding.label()));
    stops(d, Set.of(finding.at()));
    parts(d, parts);
    around(d, name, job, Set.of(finding.at()));
    d.add(new StringField(FINDING_KIND, finding.kind().name(), Field.Store.YES));
    count(d, FINDING_KIND, finding.kind().name());
    hasFinding(d, true);
    d.add(new NumericDocValuesField(LOW, 0));
    finding.photos().stream()
        .map(id -> job.photos().get(id))
        .findFirst()
        .ifPresent(
            p -> {
              store(d, PHOTO, p.name());
              store(d, PHOTO_ID, p.id().hex());
            });
    d.add(new StoredField(FINDING, finding.number()));
    store(d, AT, finding.at().toString());
    String why = finding.why() == null ? "" : finding.why();
    store(d, TEXT, why.isBlank() ? finding.seen() : finding.seen() + " " + why);
    return d;
  }

  private Document job(String name, Job job, List<String> heads) {
    Document d = start(Hit.Kind.JOB, name, job, 0);
    List<String> facts = new ArrayList<>();
    facts.add(job.site());
    facts.add(name);
    facts.add(job.header().date().toString());
    StringBuilder text = new StringBuilder(job.site());
    for (Map.Entry<String, String> fact : job.facts().entrySet()) {
      facts.add(fact.getKey() + " " + fact.getValue());
      text.append("; ").append(fact.getKey()).append(": ").append(fact.getValue());
    }
    words(d, FACTS, facts);
    d.add(new NumericDocValuesField(LOW, 0));
    d.add(new BinaryDocValuesField(HEADS, new BytesRef(String.join(" ", heads))));
    store(d, TEXT, text.toString());
    return d;
  }

  // ---- what they have in common ----

  private static Document start(Hit.Kind kind, String name, Job job, int order) {
    Document d = new Document();
    d.add(new StringField(KIND, kind.name(), Field.Store.YES));
    count(d, KIND, kind.name());
    d.add(new StringField(JOB, name, Field.Store.YES));
    d.add(new SortedDocValuesField(JOB, new BytesRef(name)));
    int day = Math.toIntExact(job.header().date().toEpochDay());
    d.add(new IntPoint(DAY, day));
    d.add(new NumericDocValuesField(DAY, day));
    count(d, YEAR, Integer.toString(job.header().date().getYear()));
    d.add(new NumericDocValuesField(ORDER, order));
    return d;
  }

  private static void store(Document d, String field, String value) {
    d.add(new StoredField(field, value));
  }

  private static void count(Document d, String field, String value) {
    d.add(new SortedSetDocValuesField(field, new BytesRef(value)));
  }

  private static void hasFinding(Document d, boolean has) {
    d.add(new StringField(HAS_FINDING, Boolean.toString(has), Field.Store.NO));
    count(d, HAS_FINDING, Boolean.toString(has));
  }

  private static void stops(Document d, Set<StopKey> stops) {
    Set<String> ids = new TreeSet<>();
    Set<String> all = new TreeSet<>();
    for (StopKey key : stops) {
      ids.add(key.stop());
      all.add(key.stop());
      all.add(key.toString());
    }
    all.forEach(s -> d.add(new StringField(STOP, s, Field.Store.NO)));
    ids.forEach(s -> count(d, STOP, s));
  }

  private static void parts(Document d, Set<String> parts) {
    for (String part : parts) {
      d.add(new StringField(PART, part, Field.Store.NO));
      count(d, PART, part);
      d.add(new StoredField(PARTS, part));
    }
  }

  private void words(Document d, String field, List<String> texts) {
    words(d, field, texts, Set.of());
  }

  private void words(Document d, String field, List<String> texts, Set<String> about) {
    if (texts.stream().anyMatch(t -> !t.isBlank())) {
      d.add(new Field(field, WordStream.ofTexts(texts, about, vocabulary), WORDS));
    }
  }

  private void names(Document d, Set<String> parts) {
    if (!parts.isEmpty()) {
      d.add(new Field(PART_NAMES, WordStream.ofParts(parts, vocabulary), WORDS));
    }
  }

  private void around(Document d, String name, Job job, Set<StopKey> stops) {
    List<String> texts = new ArrayList<>();
    stops.forEach(s -> texts.add(job.title(s)));
    texts.add(job.site());
    texts.add(name);
    words(d, AROUND, texts);
  }
}

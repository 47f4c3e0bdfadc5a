package meterside.search;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.Function;
import meterside.job.Callout;
import meterside.job.Finding;
import meterside.job.Job;
import meterside.job.Mark;
import meterside.job.Outline;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.Placement;
import meterside.job.StopKey;
import meterside.picture.Look;
import meterside.trade.Trade;
import org.apache.lucene.document.BinaryDocValuesField;
import org.apache.lucene.document.Document;
import org.apache.lucene.document.Field;
import org.apache.lucene.document.FieldType;
import org.apache.lucene.document.NumericDocValuesField;
import org.apache.lucene.document.SortedDocValuesField;
import org.apache.lucene.document.StoredField;
import org.apache.lucene.document.StringField;
import org.apache.lucene.index.IndexOptions;
import org.apache.lucene.util.BytesRef;

/**
 * Makes a job into index documents: one for each photo, one for each finding, and one for the job
 * itself, which carries the journal head it was all made from.
 *
 * <p>What was answered, tested or not inspected is found with the job, and with the photos that
 * show it. Marked photos and those of findings carry their look, to find look-alikes by.
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
  static final String PROFILE = "profile";
  static final String DAY = "day";
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
  static final String FINDINGS = "findings";

  // To find look-alikes by.
  static final String LOOK = "look";
  static final String LOOK_OF_FINDING = "lookOfFinding";
  static final String KEY = "key";

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
   * @param looks gives the look of a photo; asked for marked photos and those of findings
   * @param fresh whether they are for an index in memory
   */
  List<Document> of(
      String name,
      Job job,
      List<String> heads,
      Function<Photo, Optional<float[]>> looks,
      boolean fresh) {
    List<Document> out = new ArrayList<>();
    int order = FIRST_PHOTO;
    Map<PhotoId, Set<Integer>> findings = findings(job);
    Map<PhotoId, byte[]> known = new HashMap<>();
    Answers answers = new Answers(job, trade);
    for (Photo photo : job.inTrueOrder()) {
      Set<Integer> of = findings.getOrDefault(photo.id(), Set.of());
      if (!of.isEmpty() || job.marksOn(photo.id()).stream().anyMatch(Documents::names)) {
        looks.apply(photo).ifPresent(look -> known.put(photo.id(), Look.steps(look)));
      }
      out.add(photo(name, job, photo, of, known.get(photo.id()), answers, order++));
    }
    for (Finding finding : job.findings().values()) {
      byte[] look =
          finding.photos().stream().map(known::get).filter(l -> l != null).findFirst().orElse(null);
      out.add(finding(name, job, finding, look));
    }
    out.add(job(name, job, answers, heads));
    if (fresh) {
      out.forEach(d -> d.add(new StringField(FRESH, "1", Field.Store.NO)));
    }
    return out;
  }

  /** A mark that says what is on the photo; one that hides something or measures does not. */
  private static boolean names(Mark mark) {
    return mark instanceof Callout || mark instanceof Outline;
  }

  /** Numbers of the findings that name a photo or are named by a mark on it. */
  static Map<PhotoId, Set<Integer>> findings(Job job) {
    Map<PhotoId, Set<Integer>> out = new HashMap<>();
    for (Finding f : job.findings().values()) {
      f.photos().forEach(p -> out.computeIfAbsent(p, k -> new TreeSet<>()).add(f.number()));
    }
    for (Mark m : job.marks().values()) {
      Integer of = findingOf(m);
      if (of != null) {
        out.computeIfAbsent(m.photo(), k -> new TreeSet<>()).add(of);
      }
    }
    return out;
  }

  private static Integer findingOf(Mark mark) {
    return mark.finding();
  }

  // ---- the three kinds ----

  private Document photo(
      String name,
      Job job,
      Photo photo,
      Set<Integer> findings,
      byte[] look,
      Answers answers,
      int order) {
    Document d = start(Hit.Kind.PHOTO, name, job, order);
    Set<String> parts = new LinkedHashSet<>();
    List<String> notes = new ArrayList<>();
    List<String> lines = new ArrayList<>();
    for (Mark mark : job.marksOn(photo.id())) {
      String part = mark.part();
      String note = mark.note();
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
    List<String> facts = new ArrayList<>(List.of(photo.name()));
    List<String> titles = new ArrayList<>();
    for (Answers.Line line : answers.on(photo.id())) {
      facts.add(line.words());
      titles.add(line.about());
      lines.add(line.shown());
    }
    words(d, FACTS, facts);
    Set<StopKey> stops = new LinkedHashSet<>();
    job.placement(photo.id()).map(Placement::at).ifPresent(stops::add);
    stops.addAll(job.alsoServes(photo.id()));
    stops(d, stops);
    parts(d, parts);
    around(d, name, job, stops, titles);
    boolean low = job.aside().containsKey(photo.id()) || job.notesToSelf().contains(photo.id());
    String camera = job.cameras().get(photo.camera()).label();
    boolean has = !findings.isEmpty();
    profile(
        d,
        new Profile(
            Hit.Kind.PHOTO,
            low,
            year(job),
            null,
            camera,
            has,
            all(stops),
            parts.stream().sorted().toList()));
    store(d, PHOTO, photo.name());
    store(d, PHOTO_ID, photo.id().hex());
    job.placement(photo.id()).ifPresent(p -> store(d, AT, p.at().toString()));
    store(d, TEXT, String.join("; ", lines));
    findings.forEach(n -> d.add(new StoredField(FINDINGS, n)));
    if (look != null) {
      d.add(new BinaryDocValuesField(LOOK, new BytesRef(look)));
    }
    return d;
  }

  private String line(String part, String note) {
    String term = part == null ? "" : trade.term(part);
    String more = note == null ? "" : note.strip();
    return term.isEmpty() || more.isEmpty() ? term + more : term + ": " + more;
  }

  private Document finding(String name, Job job, Finding finding, byte[] look) {
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
    around(d, name, job, Set.of(finding.at()), List.of());
    d.add(new StoredField(FINDING_KIND, finding.kind().name()));
    profile(
        d,
        new Profile(
            Hit.Kind.FINDING,
            false,
            year(job),
            finding.kind(),
            null,
            true,
            all(Set.of(finding.at())),
            List.copyOf(parts)));
    d.add(new StringField(KEY, key(name, finding.number()), Field.Store.NO));
    if (look != null) {
      d.add(new BinaryDocValuesField(LOOK_OF_FINDING, new BytesRef(look)));
    }
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

  private Document job(String name, Job job, Answers answers, List<String> heads) {
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
    List<String> titles = new ArrayList<>();
    for (Answers.Line line : answers.all()) {
      facts.add(line.words());
      titles.add(line.about());
      text.append("; ").append(line.shown());
    }
    words(d, FACTS, facts);
    words(d, AROUND, titles);
    profile(d, new Profile(Hit.Kind.JOB, false, year(job), null, null, null, List.of(), List.of()));
    d.add(new BinaryDocValuesField(HEADS, new BytesRef(String.join(" ", heads))));
    store(d, TEXT, text.toString());
    return d;
  }

  // ---- what they have in common ----

  private static Document start(Hit.Kind kind, String name, Job job, int order) {
    Document d = new Document();
    d.add(new StringField(KIND, kind.name(), Field.Store.YES));
    d.add(new StringField(JOB, name, Field.Store.YES));
    d.add(new SortedDocValuesField(JOB, new BytesRef(name)));
    int day = Math.toIntExact(job.header().date().toEpochDay());
    d.add(new NumericDocValuesField(DAY, day));
    d.add(new NumericDocValuesField(ORDER, order));
    return d;
  }

  private static void store(Document d, String field, String value) {
    d.add(new StoredField(field, value));
  }

  private static void profile(Document d, Profile profile) {
    d.add(new SortedDocValuesField(PROFILE, new BytesRef(profile.written())));
  }

  private static String year(Job job) {
    return Integer.toString(job.header().date().getYear());
  }

  /** What a finding is looked up by. */
  static String key(String job, int finding) {
    return job + "#" + finding;
  }

  /** Stops, and those with an instance also without it. */
  private static List<String> all(Set<StopKey> stops) {
    Set<String> all = new TreeSet<>();
    for (StopKey key : stops) {
      all.add(key.stop());
      all.add(key.toString());
    }
    return List.copyOf(all);
  }

  private static void stops(Document d, Set<StopKey> stops) {
    all(stops).forEach(s -> d.add(new StringField(STOP, s, Field.Store.NO)));
  }

  private static void parts(Document d, Set<String> parts) {
    for (String part : parts) {
      d.add(new StringField(PART, part, Field.Store.NO));
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

  private void around(Document d, String name, Job job, Set<StopKey> stops, List<String> more) {
    List<String> texts = new ArrayList<>(more);
    stops.forEach(s -> texts.add(job.title(s)));
    texts.add(job.site());
    texts.add(name);
    words(d, AROUND, texts);
  }
}

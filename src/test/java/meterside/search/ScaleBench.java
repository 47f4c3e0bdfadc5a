package meterside.search;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import java.util.stream.Stream;
import meterside.archive.Archive;
import meterside.archive.JobFolder;
import meterside.job.Edit;
import meterside.job.Finding;
import meterside.job.FindingKind;
import meterside.job.Job;
import meterside.job.Photo;
import meterside.job.PlacementBasis;
import meterside.job.Progress;
import meterside.job.StopKey;
import meterside.trade.Part;
import meterside.trade.Trade;
import meterside.trade.Wording;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * An archive of many jobs by a seeded generator, through real journals: how long a rebuild, a
 * keystroke, a first page with its counts, and following one new finding take. The same first pages
 * and counts on SQLite's FTS5 (porter stemmer) over the same texts, in the same run.
 *
 * <pre>mvn test -Pbench -Dtest=ScaleBench -Dbench.jobs=5000</pre>
 *
 * 5,000 jobs are 1,000,000 photos and 60,000 findings.
 */
@Tag("bench")
class ScaleBench {
  private static final int PHOTOS = 200;
  private static final int FINDINGS = 12;
  private static final int CALLOUTS = 24;
  private static final int ROUNDS = 5;
  private static final Trade TRADE = Trade.standard();
  private static final Vocabulary VOCABULARY = new Vocabulary(TRADE);

  private static final List<String> QUESTIONS =
      List.of(
          "wetherhead",
          "meter can rust",
          "double lug",
          "gcfi kitchen",
          "recepticle loose",
          "SEC frayed",
          "panel cover missing",
          "drip loop",
          "ground rod",
          "breaker",
          "smoke alarm bedroom",
          "water stains",
          "\"pulled out\"",
          "plug",
          "knob and tube attic",
          "open splice basement");

  @TempDir Path temporary;
  private Path folder;

  @Test
  void measure() throws Exception {
    int jobs = Integer.getInteger("bench.jobs", 200);
    long seed = Long.getLong("seed", 1);
    System.out.printf(Locale.ROOT, "ScaleBench: %d jobs, seed %d%n", jobs, seed);
    // A folder of one's own keeps the archive for the next run.
    String kept = System.getProperty("bench.dir");
    folder = kept == null ? temporary : Path.of(kept);
    long t = System.nanoTime();
    TestJobs writer = new TestJobs(folder.resolve("archive"));
    Archive archive = writer.archive();
    for (int j = archive.jobNames().size(); j < jobs; j++) {
      write(writer, new Random(seed * 1_000_003 + j), j);
    }
    say("journals written", t);
    t = System.nanoTime();
    System.out.printf(Locale.ROOT, "  marked photos with a look: %d%n", looks(archive, seed));
    say("looks written", t);
    try (PastJobs past = writer.pastJobs()) {
      t = System.nanoTime();
      past.rebuild(Progress.NONE);
      say("index built", t);
      System.out.printf(
          Locale.ROOT, "  index size: %.1f MB%n", size(archive.indexDir()) / 1048576.0);
      t = System.nanoTime();
      past.catchUp(Progress.NONE);
      say("catch-up with nothing behind", t);
    }
    // As a program sees it that was just started.
    try (PastJobs past = writer.pastJobs()) {
      t = System.nanoTime();
      past.catchUp(Progress.NONE);
      say("opened anew, checked and level with the journals", t);
      follow(writer, past, jobs);
      say("as you type", typing(past));
      Took pages = pages(past);
      say("first page with counts", pages);
      say("similar to a photo", similar(past));
      Took other = sqlite(archive);
      say("SQLite FTS5, first page with counts", other);
      System.out.printf(
          Locale.ROOT,
          "  SQLite FTS5 against ours at the p95: %.1f; of each question's quickest round %.1f%n",
          at(other.all(), 0.95) / at(pages.all(), 0.95),
          at(other.quickest(), 0.95) / at(pages.quickest(), 0.95));
      assertTrue(past.find(Ask.words("")).total() > (long) jobs * PHOTOS);
    }
  }

  private static void say(String what, long since) {
    System.out.printf(Locale.ROOT, "  %s: %.2f s%n", what, (System.nanoTime() - since) / 1e9);
  }

  /**
   * What a set of questions took, in milliseconds.
   *
   * @param all every time, sorted
   * @param quickest for each question its quickest round, sorted; says more on a busy machine
   */
  private record Took(double[] all, double[] quickest) {
    static Took of(List<double[]> rounds) {
      double[] all = rounds.stream().flatMapToDouble(Arrays::stream).sorted().toArray();
      double[] quickest = new double[rounds.get(0).length];
      for (int q = 0; q < quickest.length; q++) {
        int at = q;
        quickest[q] = rounds.stream().mapToDouble(r -> r[at]).min().orElseThrow();
      }
      Arrays.sort(quickest);
      return new Took(all, quickest);
    }
  }

  private interface Asking<T> {
    void ask(T question) throws Exception;
  }

  /** Asks everything once to warm up, then {@link #ROUNDS} times. */
  private static <T> Took took(List<T> questions, Asking<T> asking) throws Exception {
    List<double[]> rounds = new ArrayList<>();
    for (int round = 0; round <= ROUNDS; round++) {
      double[] took = new double[questions.size()];
      for (int q = 0; q < took.length; q++) {
        long t = System.nanoTime();
        asking.ask(questions.get(q));
        took[q] = (System.nanoTime() - t) / 1e6;
      }
      if (round > 0) {
        rounds.add(took);
      }
    }
    return Took.of(rounds);
  }

  private static void say(String what, Took took) {
    System.out.printf(
        Locale.ROOT,
        "  %s: median %.1f ms, p95 %.1f ms; of each question's quickest round %.1f and %.1f ms%n",
        what,
        at(took.all(), 0.5),
        at(took.all(), 0.95),
        at(took.quickest(), 0.5),
        at(took.quickest(), 0.95));
  }

  private static double at(double[] sorted, double share) {
    return sorted[(int) Math.min(sorted.length - 1, Math.floor(share * sorted.length))];
  }

  private static long size(Path tree) throws IOException {
    try (Stream<Path> s = Files.walk(tree)) {
      return s.filter(Files::isRegularFile).mapToLong(p -> p.toFile().length()).sum();
    }
  }

  // ---- measuring ----

  private static void follow(TestJobs writer, PastJobs past, int jobs) {
    double[] took = new double[10];
    for (int i = 0; i < took.length; i++) {
      String job = name(i * jobs / took.length);
      String word = "xylograph" + (char) ('a' + i);
      writer
          .again(job)
          .finding(100 + i, "alarms", null, FindingKind.NOTE, "Seen: " + word, null)
          .save();
      long t = System.nanoTime();
      past.follow(job);
      assertTrue(past.find(Ask.words(word)).total() == 1);
      took[i] = (System.nanoTime() - t) / 1e6;
    }
    double first = took[0];
    Arrays.sort(took);
    System.out.printf(
        Locale.ROOT,
        "  a new finding is found after: the first %.0f ms, median %.0f ms, most %.0f ms%n",
        first,
        took[5],
        took[9]);
  }

  private static Took typing(PastJobs past) throws Exception {
    List<Ask> asks = new ArrayList<>();
    for (String q : QUESTIONS) {
      for (int end = 1; end <= q.length(); end++) {
        asks.add(Ask.words(q.substring(0, end)).whileTyping().withLimit(20));
      }
    }
    return took(asks, past::find);
  }

  private static Took pages(PastJobs past) throws Exception {
    return took(asks(), past::findAndCount);
  }

  private static Took similar(PastJobs past) throws Exception {
    List<Like> likes = new ArrayList<>();
    Random r = new Random(7);
    for (int i = 0; i < 20; i++) {
      float[] look = look(r.nextInt(SCENES), r);
      likes.add(
          new Like(
              Hit.Kind.PHOTO,
              "rusted through",
              List.of("meter-base"),
              "meter-and-base",
              List.of(look, meterside.picture.Look.mirrored(look)),
              null,
              null,
              true,
              10));
    }
    return took(likes, past::similar);
  }

  // ---- looks ----

  /** Kinds of scene that the invented looks fall into. */
  private static final int SCENES = 300;

  /** An invented look: one of a kind of scene, with much of its own. */
  private static float[] look(int scene, Random r) {
    Random of = new Random(scene);
    float[] out = new float[meterside.picture.Look.LENGTH];
    double length = 0;
    for (int i = 0; i < out.length; i++) {
      out[i] = (float) (Math.abs(of.nextGaussian()) + 0.6 * r.nextGaussian());
      length += out[i] * out[i];
    }
    for (int i = 0; i < out.length; i++) {
      out[i] /= (float) Math.sqrt(length);
    }
    return out;
  }

  /** Keeps a look for every marked photo that has none, as an intake would have. */
  private static int looks(Archive archive, long seed) {
    int n = 0;
    for (String name : archive.jobNames()) {
      JobFolder f = archive.find(name).orElseThrow();
      if (Files.exists(f.derived().resolve("looks"))) {
        n += f.derived().resolve("looks").toFile().list().length;
        continue;
      }
      Random r = new Random(seed + name.hashCode());
      Job job = f.read().history().job();
      java.util.Set<meterside.job.PhotoId> marked = new java.util.LinkedHashSet<>();
      job.marks().values().forEach(m -> marked.add(m.photo()));
      job.findings().values().forEach(x -> marked.addAll(x.photos()));
      for (meterside.job.PhotoId id : marked) {
        f.keepLook(id, meterside.picture.Look.pack(look(r.nextInt(SCENES), r)));
        n++;
      }
    }
    return n;
  }

  private static List<Ask> asks() {
    List<Ask> out = new ArrayList<>();
    for (String q : QUESTIONS) {
      out.add(Ask.words(q));
      out.add(Ask.words(q).withStop("panelboard"));
    }
    out.add(Ask.words(""));
    out.add(Ask.words("").withPart("breaker"));
    return out;
  }

  // ---- SQLite ----

  private Took sqlite(Archive archive) throws Exception {
    Path file = folder.resolve("other.db");
    boolean there = Files.exists(file);
    try (Connection c = DriverManager.getConnection("jdbc:sqlite:" + file)) {
      try (Statement s = c.createStatement()) {
        s.execute("pragma cache_size = -262144");
        s.execute("pragma mmap_size = 1073741824");
        s.execute("pragma temp_store = memory");
        s.execute("create temp table met (id integer primary key)");
      }
      c.setAutoCommit(false);
      if (there) {
        return took(asks(), ask -> page(c, ask));
      }
      try (Statement s = c.createStatement()) {
        s.execute(
            "create table doc (id integer primary key, kind text, job text, day text, stop text,"
                + " fkind text, year text, camera text, text text)");
        s.execute("create table part (doc integer, part text)");
        s.execute(
            "create virtual table words using fts5 (seen, names, notes, content='',"
                + " tokenize='porter unicode61')");
      }
      fill(c, archive);
      try (Statement s = c.createStatement()) {
        s.execute("create index part_doc on part (doc)");
        s.execute("create index part_part on part (part)");
        s.execute("create index doc_stop on doc (stop)");
        s.execute("insert into words (words) values ('optimize')");
        s.execute("analyze");
      }
      c.commit();
      return took(asks(), ask -> page(c, ask));
    }
  }

  private static void fill(Connection c, Archive archive) throws SQLException {
    int id = 0;
    try (PreparedStatement doc =
            c.prepareStatement("insert into doc values (?, ?, ?, ?, ?, ?, ?, ?, ?)");
        PreparedStatement part = c.prepareStatement("insert into part values (?, ?)");
        PreparedStatement words =
            c.prepareStatement(
                "insert into words (rowid, seen, names, notes) values (?, ?, ?, ?)")) {
      for (String name : archive.jobNames()) {
        JobFolder f = archive.find(name).orElseThrow();
        Job job = f.read().history().job();
        String day = job.header().date().toString();
        for (Photo p : job.photos().values()) {
          id++;
          StringBuilder names = new StringBuilder();
          StringBuilder notes = new StringBuilder();
          for (meterside.job.Mark m : job.marksOn(p.id())) {
            meterside.job.Callout co = (meterside.job.Callout) m;
            names.append(TRADE.term(co.part())).append(' ');
            notes.append(co.note() == null ? "" : co.note()).append(' ');
            part.setInt(1, id);
            part.setString(2, co.part());
            part.addBatch();
          }
          String stop = job.placement(p.id()).map(x -> x.at().stop()).orElse(null);
          row(doc, id, "photo", name, day, stop, null, "Pocket One", names + " " + notes);
          text(words, id, "", names.toString(), notes.toString());
        }
        for (Finding x : job.findings().values()) {
          id++;
          row(doc, id, "finding", name, day, x.at().stop(), x.kind().name(), null, x.seen());
          String term = x.part() == null ? "" : TRADE.term(x.part());
          text(words, id, x.seen(), term, x.why() + " " + x.location());
          if (x.part() != null) {
            part.setInt(1, id);
            part.setString(2, x.part());
            part.addBatch();
          }
        }
        doc.executeBatch();
        part.executeBatch();
        words.executeBatch();
      }
    }
  }

  private static void row(
      PreparedStatement s,
      int id,
      String kind,
      String job,
      String day,
      String stop,
      String fkind,
      String camera,
      String text)
      throws SQLException {
    s.setInt(1, id);
    s.setString(2, kind);
    s.setString(3, job);
    s.setString(4, day);
    s.setString(5, stop);
    s.setString(6, fkind);
    s.setString(7, day.substring(0, 4));
    s.setString(8, camera);
    s.setString(9, text);
    s.addBatch();
  }

  private static void text(PreparedStatement s, int id, String seen, String names, String notes)
      throws SQLException {
    s.setInt(1, id);
    s.setString(2, seen);
    s.setString(3, names);
    s.setString(4, notes);
    s.addBatch();
  }

  /**
   * First page by rank, the total, and counts by stop, part, kind, year, camera and thing. What is
   * met is noted once and counted in one grouping and one for the parts, which was the quickest way
   * found; counts without a row's own filter, which ours gives too, are not asked for.
   */
  private static void page(Connection c, Ask ask) throws SQLException {
    String match = ask.words().isEmpty() ? null : match(ask.words());
    String filters =
        (ask.stop() == null ? "" : " and d.stop = '" + ask.stop() + "'")
            + (ask.part() == null
                ? ""
                : " and d.id in (select doc from part where part = '" + ask.part() + "')");
    run(
        c,
        match == null
            ? "select d.text from doc d where 1" + filters + " order by d.day desc limit 50"
            : "select d.text from words w join doc d on d.id = w.rowid where words match ?"
                + filters
                + " order by bm25(words, 8, 5, 3) limit 50",
        match);
    boolean all = match == null && filters.isEmpty();
    if (!all) {
      try (Statement s = c.createStatement()) {
        s.execute("delete from met");
      }
      String met =
          match == null
              ? "insert into met select d.id from doc d where 1" + filters
              : "insert into met select d.id from words w join doc d on d.id = w.rowid"
                  + " where words match ?"
                  + filters;
      try (PreparedStatement s = c.prepareStatement(met)) {
        if (match != null) {
          s.setString(1, match);
        }
        s.execute();
      }
    }
    String from = all ? "doc d" : "met m join doc d on d.id = m.id";
    run(
        c,
        "select d.stop, d.fkind, d.year, d.camera, d.kind, count(*) from "
            + from
            + " group by 1, 2, 3, 4, 5",
        null);
    run(
        c,
        "select p.part, count(*) from part p"
            + (all ? "" : " join met m on m.id = p.doc")
            + " group by 1",
        null);
  }

  /** Our readings written out for FTS5: each word of the question with the names it may have. */
  private static String match(String words) {
    if (words.startsWith("\"")) {
      return words;
    }
    List<String> units = new ArrayList<>();
    for (Question.Unit u : Question.read(words, VOCABULARY, false).units()) {
      List<String> any = new ArrayList<>();
      if (u instanceof Question.Named n) {
        n.span().meanings().forEach(m -> any.addAll(m.concept().names()));
      }
      any.add(u.typed());
      StringBuilder or = new StringBuilder();
      for (String a : any) {
        or.append(or.length() == 0 ? "" : " OR ").append('"').append(a).append('"');
      }
      units.add("(" + or + ")");
    }
    return String.join(" AND ", units);
  }

  private static void run(Connection c, String sql, String match) throws SQLException {
    try (PreparedStatement s = c.prepareStatement(sql)) {
      if (match != null) {
        s.setString(1, match);
      }
      try (ResultSet r = s.executeQuery()) {
        long rows = 0;
        while (r.next()) {
          rows++;
        }
        assertTrue(rows >= 0);
      }
    }
  }

  // ---- generating ----

  private static String name(int j) {
    return LocalDate.of(2016, 1, 4).plusDays(j * 3L / 4) + "-house-" + j;
  }

  private static final List<Wording> ON_ROUTE =
      TRADE.wordings().stream()
          .filter(w -> TRADE.route("overhead").indexOf(w.stop()) >= 0)
          .toList();
  private static final List<String> ROOMS =
      List.of(
          "kitchen",
          "basement",
          "garage",
          "hall bath",
          "north wall",
          "attic",
          "bedroom 2",
          "den",
          "patio",
          "laundry",
          "crawl space",
          "living room");
  private static final List<String> STATES =
      List.of(
          "rusted",
          "loose",
          "cracked",
          "missing",
          "scorched",
          "painted over",
          "pulled out",
          "blocked",
          "open",
          "frayed",
          "water stains",
          "not labeled");

  private static <T> T any(List<T> of, Random r) {
    return of.get(r.nextInt(of.size()));
  }

  private static String nameOf(Part p, Random r) {
    List<String> names = new ArrayList<>(List.of(p.term(), p.term()));
    names.addAll(p.synonyms());
    return any(names, r);
  }

  private static void write(TestJobs jobs, Random r, int j) {
    String name = name(j);
    String site = (1 + r.nextInt(200)) + " " + any(List.of("Alder", "Finch", "Fen", "Lark"), r);
    TestJobs.Draft d = jobs.job(name, site + " Row", name.substring(0, 10));
    List<Photo> photos = new ArrayList<>();
    for (int p = 0; p < PHOTOS; p++) {
      photos.add(TestJobs.photo(name, "IMG_" + (1000 + p) + ".jpg", p));
    }
    d.edit(new Edit.AddPhotos(photos));
    List<String> stops = TRADE.route("overhead").stops().stream().map(s -> s.id()).toList();
    List<Edit.Run> runs = new ArrayList<>();
    for (int s = 0; s < stops.size(); s++) {
      List<meterside.job.PhotoId> at = new ArrayList<>();
      List<Double> sure = new ArrayList<>();
      for (int p = s * PHOTOS / stops.size(); p < (s + 1) * PHOTOS / stops.size(); p++) {
        at.add(photos.get(p).id());
        sure.add(0.9);
      }
      runs.add(new Edit.Run(StopKey.of(stops.get(s)), PlacementBasis.INFERRED, at, sure));
    }
    d.edit(new Edit.RecordSorting("bench", "", runs));
    for (int c = 0; c < CALLOUTS; c++) {
      Part part = any(TRADE.parts(), r);
      String note = r.nextInt(3) == 0 ? any(STATES, r) : null;
      d.callout(any(photos, r).name(), part.id(), note);
    }
    for (int f = 1; f <= FINDINGS; f++) {
      Wording w = any(ON_ROUTE, r);
      Part part = TRADE.part(w.part()).orElse(any(TRADE.parts(), r));
      String seen = r.nextBoolean() ? w.seen() : nameOf(part, r) + " " + any(STATES, r);
      d.finding(
          f, w.stop(), part.id(), w.kind(), seen, w.why(), any(ROOMS, r), any(photos, r).name());
    }
    d.save();
  }
}

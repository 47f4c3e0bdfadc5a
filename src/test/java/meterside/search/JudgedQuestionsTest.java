package meterside.search;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import meterside.job.Edit;
import meterside.job.FindingKind;
import meterside.job.StopKey;
import meterside.trade.Trade;
import org.apache.lucene.analysis.standard.StandardAnalyzer;
import org.apache.lucene.document.Document;
import org.apache.lucene.document.Field;
import org.apache.lucene.document.StoredField;
import org.apache.lucene.document.TextField;
import org.apache.lucene.index.DirectoryReader;
import org.apache.lucene.index.IndexWriter;
import org.apache.lucene.index.IndexWriterConfig;
import org.apache.lucene.search.IndexSearcher;
import org.apache.lucene.search.Query;
import org.apache.lucene.search.ScoreDoc;
import org.apache.lucene.store.ByteBuffersDirectory;
import org.apache.lucene.util.QueryBuilder;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Questions with right answers, judged by hand before the search saw them ({@code
 * search/judged-*.txt}, invented houses). Measured by nDCG at 10 with gains 2^grade − 1 and the
 * discount log2(rank + 1) (Järvelin and Kekäläinen, "Cumulated gain-based evaluation of IR
 * techniques", ACM TOIS 20(4), 2002; the exponential gain is the usual later form, from memory).
 * The same questions are put to Lucene with its standard analyzer and nothing of ours.
 */
class JudgedQuestionsTest {

  private static final int AT = 10;
  private static final double WANTED = 0.95;

  @TempDir Path folder;

  /** Label of each entry by job and file or finding. */
  private final Map<String, String> labels = new HashMap<>();

  private final Map<String, String> texts = new LinkedHashMap<>();

  private static final List<String> FILES =
      List.of("judged-questions.txt", "judged-questions-later.txt");

  private record Question(String file, String words, Map<String, Integer> grades) {}

  @Test
  void answers_are_as_good_as_asked_for_and_better_than_plain_words() throws IOException {
    TestJobs jobs = new TestJobs(folder);
    write(jobs);
    List<Question> questions = questions();
    assertTrue(questions.size() >= 80, "at least 80 questions");
    double ours = 0;
    double plain = 0;
    List<String> worst = new ArrayList<>();
    Map<String, List<Double>> byFile = new LinkedHashMap<>();
    Map<String, List<Double>> plainByFile = new LinkedHashMap<>();
    try (PastJobs past = jobs.pastJobs();
        Plain other = new Plain(texts)) {
      for (Question q : questions) {
        List<String> got = new ArrayList<>();
        for (Hit h : past.find(Ask.words(q.words()).withLimit(AT)).hits()) {
          got.add(label(h));
        }
        double n = ndcg(got, q.grades());
        double theirs = ndcg(other.find(q.words()), q.grades());
        ours += n;
        plain += theirs;
        byFile.computeIfAbsent(q.file(), k -> new ArrayList<>()).add(n);
        plainByFile.computeIfAbsent(q.file(), k -> new ArrayList<>()).add(theirs);
        if (n < 0.95) {
          worst.add(String.format(Locale.ROOT, "  %.3f  %s  got %s", n, q.words(), got));
        }
      }
    }
    ours /= questions.size();
    plain /= questions.size();
    byFile.forEach(
        (file, all) ->
            System.out.printf(
                Locale.ROOT,
                "%s: nDCG@10 over %d: ours %.4f, plain Lucene %.4f%n",
                file,
                all.size(),
                mean(all),
                mean(plainByFile.get(file))));
    worst.sort(Comparator.naturalOrder());
    System.out.printf(
        Locale.ROOT,
        "nDCG@10 over %d questions: ours %.4f, plain Lucene %.4f%n",
        questions.size(),
        ours,
        plain);
    worst.forEach(System.out::println);
    assertTrue(ours >= WANTED, "nDCG@10 " + ours);
    assertTrue(plain < ours, "the expansion is worth something");
  }

  @Test
  void the_measure_is_one_for_the_best_order_and_less_for_any_other() {
    Map<String, Integer> grades = Map.of("a", 3, "b", 2, "c", 1);
    assertEquals(1, ndcg(List.of("a", "b", "c"), grades), 1e-12);
    assertEquals(0, ndcg(List.of("x"), grades), 1e-12);
    // (3 + 7/log2(3) + 1/2) / (7 + 3/log2(3) + 1/2)
    double log3 = Math.log(3) / Math.log(2);
    assertEquals(
        (3 + 7 / log3 + 0.5) / (7 + 3 / log3 + 0.5), ndcg(List.of("b", "a", "c"), grades), 1e-12);
  }

  private static double mean(List<Double> values) {
    return values.stream().mapToDouble(Double::doubleValue).average().orElseThrow();
  }

  private static double ndcg(List<String> got, Map<String, Integer> grades) {
    List<Integer> best = new ArrayList<>(grades.values());
    best.sort(Comparator.reverseOrder());
    double ideal = 0;
    for (int i = 0; i < Math.min(AT, best.size()); i++) {
      ideal += gain(best.get(i), i);
    }
    double sum = 0;
    for (int i = 0; i < Math.min(AT, got.size()); i++) {
      sum += gain(grades.getOrDefault(got.get(i), 0), i);
    }
    return sum / ideal;
  }

  private static double gain(int grade, int at) {
    return (Math.pow(2, grade) - 1) / (Math.log(at + 2.0) / Math.log(2));
  }

  // ---- reading the files ----

  private String label(Hit h) {
    return h.kind() == Hit.Kind.JOB
        ? "job " + h.job()
        : labels.get(h.job() + "/" + (h.finding() != null ? "F" + h.finding() : h.photo()));
  }

  private static List<String> lines(String name) throws IOException {
    try (InputStream in = JudgedQuestionsTest.class.getResourceAsStream("/search/" + name)) {
      String all = new String(in.readAllBytes(), StandardCharsets.UTF_8);
      return all.lines().filter(l -> !l.isBlank() && !l.startsWith("#")).toList();
    }
  }

  private List<Question> questions() throws IOException {
    Set<String> known = new HashSet<>(texts.keySet());
    List<Question> out = new ArrayList<>();
    for (String file : FILES) {
      for (String line : lines(file)) {
        String[] two = line.split("=>");
        Map<String, Integer> grades = new LinkedHashMap<>();
        for (String g : two[1].replace("job ", "job\u00a0").trim().split(" +")) {
          int colon = g.lastIndexOf(':');
          String label = g.substring(0, colon).replace('\u00a0', ' ');
          assertTrue(known.contains(label), "no entry " + label + " for " + line);
          grades.put(label, Integer.parseInt(g.substring(colon + 1)));
        }
        out.add(new Question(file, two[0].trim(), grades));
      }
    }
    return out;
  }

  private void write(TestJobs jobs) throws IOException {
    TestJobs.Draft draft = null;
    String job = "";
    int number = 0;
    for (String line : lines("judged-jobs.txt")) {
      String[] p = line.split(" *\\| *");
      String[] head = p[0].split(" ");
      if (head[0].equals("job")) {
        if (draft != null) {
          draft.save();
        }
        job = head[1];
        number = 0;
        draft = jobs.job(job, p[1], job.substring(0, 10));
        draft.edit(new Edit.AddInstance(StopKey.parse("panelboard#garage subpanel")));
        for (String fact : p[2].split(" *; *")) {
          String[] kv = fact.split("=");
          draft.edit(new Edit.SetFact(kv[0], kv[1]));
        }
        texts.put("job " + job, p[1] + " " + p[2].replace('=', ' ') + " " + job);
      } else if (head[0].equals("f")) {
        number++;
        labels.put(job + "/F" + number, head[1]);
        FindingKind kind = FindingKind.valueOf(p[3].toUpperCase(Locale.ROOT).replace('-', '_'));
        String part = or(p[2]);
        draft.finding(number, p[1], part, kind, p[4], or(p[5]), or(p[6]));
        texts.put(head[1], String.join(" ", p[4], p[5], p[6], part == null ? "" : term(part)));
      } else {
        String file = "IMG_" + (2000 + labels.size()) + ".jpg";
        labels.put(job + "/" + file, head[1]);
        draft.photo(file, p[1]);
        StringBuilder text = new StringBuilder();
        for (String callout : p[2].split(" *; *")) {
          String[] pn = callout.split(": *");
          draft.callout(file, pn[0], pn.length > 1 ? pn[1] : null);
          text.append(term(pn[0])).append(' ').append(pn.length > 1 ? pn[1] : "").append(' ');
        }
        texts.put(head[1], text.toString());
      }
    }
    draft.save();
  }

  private static String or(String text) {
    return text.equals("-") ? null : text;
  }

  private static String term(String part) {
    return Trade.standard().part(part).orElseThrow(() -> new AssertionError(part)).term();
  }

  /** Lucene as it comes: standard analyzer, BM25, any word may match. */
  private static final class Plain implements AutoCloseable {
    private final ByteBuffersDirectory directory = new ByteBuffersDirectory();
    private final DirectoryReader reader;

    Plain(Map<String, String> texts) throws IOException {
      try (IndexWriter w =
          new IndexWriter(directory, new IndexWriterConfig(new StandardAnalyzer()))) {
        for (Map.Entry<String, String> e : texts.entrySet()) {
          Document d = new Document();
          d.add(new StoredField("label", e.getKey()));
          d.add(new TextField("text", e.getValue(), Field.Store.NO));
          w.addDocument(d);
        }
      }
      reader = DirectoryReader.open(directory);
    }

    List<String> find(String words) throws IOException {
      Query q = new QueryBuilder(new StandardAnalyzer()).createBooleanQuery("text", words);
      List<String> out = new ArrayList<>();
      IndexSearcher s = new IndexSearcher(reader);
      for (ScoreDoc d : s.search(q, AT).scoreDocs) {
        out.add(s.storedFields().document(d.doc).get("label"));
      }
      return out;
    }

    @Override
    public void close() throws IOException {
      reader.close();
      directory.close();
    }
  }
}

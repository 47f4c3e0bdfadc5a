package meterside.search;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.nio.file.Path;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.LongStream;
import meterside.job.Answer;
import meterside.job.AnswerKind;
import meterside.job.Callout;
import meterside.job.DeviceTest;
import meterside.job.Duty;
import meterside.job.DutyKey;
import meterside.job.Finding;
import meterside.job.FindingKind;
import meterside.job.Job;
import meterside.job.Mark;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.StopKey;
import meterside.job.TestOutcome;
import meterside.trade.Part;
import meterside.trade.Term;
import meterside.trade.Trade;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.tartarus.snowball.ext.EnglishStemmer;

/**
 * Random jobs and questions, answered by the index and by reading every job from end to end. The
 * reader shares no code with the index: it has its own way of cutting words and takes the names of
 * the trade from its data. {@code -Dseed=N} repeats one run.
 */
class NaiveScanTest {

  private static final Trade TRADE = Trade.standard();
  private static final List<String> PLAIN =
      List.of(
          "zebrawood",
          "kumquat",
          "obsidian",
          "flamingo",
          "yogurt",
          "trombone",
          "violet",
          "marzipan",
          "hexagon",
          "juniper");
  private static final List<String> NOWHERE = List.of("xylograph", "quixotry");
  private static final List<String> STOPS =
      List.of(
          "service-drop",
          "meter-and-base",
          "panelboard",
          "panelboard#garage subpanel",
          "alarms",
          "other-systems",
          "branch-wiring");
  private static final Set<String> IDLE =
      Set.of("a", "an", "the", "of", "in", "at", "to", "by", "for", "with", "and", "or", "on", "n");

  /** Words whose other forms mean something else. */
  private static final Set<String> NO_FORMS =
      Set.of("ground", "grounded", "grounding", "ungrounded", "insulator", "current", "terminal");

  @TempDir Path folder;

  static LongStream seeds() {
    String one = System.getProperty("seed");
    return one != null ? LongStream.of(Long.parseLong(one)) : LongStream.rangeClosed(1, 12);
  }

  /** Names by themselves run together, each with everything it may mean. */
  private static final Map<String, Set<String>> MEANINGS = new LinkedHashMap<>();

  private static final List<String> NAMES = new ArrayList<>();
  private static final Map<String, List<List<String>>> NAMES_OF = new LinkedHashMap<>();

  static {
    Set<String> done = new HashSet<>();
    for (Term t : TRADE.terms()) {
      done.add(t.id());
      names(t.id(), t.term(), t.synonyms(), t.abbreviations(), t.slips());
    }
    for (Part p : TRADE.parts()) {
      if (done.add(p.id())) {
        names(p.id(), p.term(), p.synonyms(), p.abbreviations(), p.slips());
      }
    }
  }

  private static void names(
      String id, String term, List<String> synonyms, List<String> shorts, List<String> slips) {
    List<String> all = new ArrayList<>(List.of(term, id.replace('-', ' ')));
    all.addAll(synonyms);
    all.addAll(shorts);
    all.addAll(slips);
    for (String name : all) {
      String together = String.join("", cut(name));
      if (together.length() > 1) {
        MEANINGS.computeIfAbsent(together, k -> new LinkedHashSet<>()).add(id);
        NAMES_OF.computeIfAbsent(id, k -> new ArrayList<>()).add(cut(name));
        NAMES.add(name);
      }
    }
  }

  /** Runs of letters and runs of digits, small, without a plural s. */
  private static List<String> cut(String text) {
    List<String> out = new ArrayList<>();
    Matcher m =
        Pattern.compile("[a-z]+|[0-9]+")
            .matcher(text.replaceAll("\\b([A-Z]{2,})s\\b", "$1").toLowerCase(Locale.ROOT));
    while (m.find()) {
      String w = m.group();
      if (w.endsWith("ches")) {
        w = w.substring(0, w.length() - 2);
      } else if (w.length() > 3 && w.matches(".*[^isu]s")) {
        w = w.substring(0, w.length() - 1);
      }
      out.add(w);
    }
    return out;
  }

  /** A stretch of text between commas: a plain word or a name. */
  private record Piece(String written, String name) {}

  private Piece piece(Random r) {
    if (r.nextInt(3) > 0) {
      String w = PLAIN.get(r.nextInt(PLAIN.size()));
      return new Piece(dress(w, r), null);
    }
    String name = NAMES.get(r.nextInt(NAMES.size()));
    return new Piece(name, name);
  }

  private static String dress(String w, Random r) {
    return switch (r.nextInt(4)) {
      case 0 -> w.toUpperCase(Locale.ROOT);
      case 1 -> w + "s";
      default -> w;
    };
  }

  private String text(Random r) {
    List<String> out = new ArrayList<>();
    for (int i = 0; i <= r.nextInt(4); i++) {
      out.add(piece(r).written());
    }
    return String.join(", ", out);
  }

  @ParameterizedTest
  @MethodSource("seeds")
  void answers_equal_those_of_a_reader_of_all_jobs(long seed) {
    System.out.println("NaiveScanTest seed " + seed);
    Random r = new Random(seed);
    TestJobs jobs = new TestJobs(folder);
    for (int j = 0; j < 4; j++) {
      write(jobs, r, j);
    }
    List<Entry> all = readAll(jobs);
    try (PastJobs past = jobs.pastJobs()) {
      for (int q = 0; q < 60; q++) {
        Ask ask = ask(r);
        Overview overview = past.findAndCount(ask);
        Found found = overview.found();
        Set<String> got = new TreeSet<>();
        found.hits().forEach(h -> got.add(key(h)));
        Set<String> wanted = keys(answer(all, ask));
        String context = "seed " + seed + ", " + ask + ", read as " + found.searchedFor();
        assertEquals(wanted, got, context);
        assertEquals(wanted.size(), found.total(), context);
        assertCounts(all, ask, overview.counts(), context);
        if (ask.words().isEmpty()) {
          assertNewestFirst(all, found, context);
        }
      }
    }
  }

  private void write(TestJobs jobs, Random r, int j) {
    LocalDate day = LocalDate.of(2026, 1, 1).plusDays(r.nextInt(5));
    String name = day + "-house-" + j;
    TestJobs.Draft d = jobs.job(name, dress(PLAIN.get(j), r) + " house", day.toString());
    d.edit(new meterside.job.Edit.AddInstance(StopKey.parse("panelboard#garage subpanel")));
    d.edit(new meterside.job.Edit.SetFact("weather", text(r)));
    for (int p = 0; p < 6; p++) {
      String file = "P" + (100 + p) + ".jpg";
      d.photo(file, r.nextInt(4) == 0 ? null : STOPS.get(r.nextInt(STOPS.size())));
      for (int c = 0; c < r.nextInt(3); c++) {
        d.callout(file, part(r), r.nextBoolean() ? text(r) : null);
      }
      if (r.nextInt(5) == 0) {
        d.edit(
            new meterside.job.Edit.AlsoServe(
                List.of(TestJobs.id(name, file)), StopKey.of("alarms"), true));
      }
      if (r.nextInt(5) == 0) {
        d.edit(new meterside.job.Edit.SetAside(List.of(TestJobs.id(name, file)), true, null));
      }
    }
    for (int f = 1; f <= 5; f++) {
      d.finding(
          f,
          STOPS.get(r.nextInt(STOPS.size())),
          r.nextBoolean() ? part(r) : null,
          FindingKind.values()[r.nextInt(4)],
          text(r),
          r.nextBoolean() ? text(r) : null,
          r.nextBoolean() ? text(r) : null);
    }
    if (r.nextBoolean()) {
      d.edit(new meterside.job.Edit.WithdrawFinding(2, null));
    }
    for (Duty duty : DUTIES) {
      if (r.nextInt(4) == 0) {
        d.edit(new meterside.job.Edit.GiveAnswer(key(duty), answer(r, anyPhoto(name, r))));
      }
    }
    for (int t = 1; t <= r.nextInt(3); t++) {
      d.edit(
          new meterside.job.Edit.PutDeviceTest(
              new DeviceTest(
                  t,
                  StopKey.of("alarms"),
                  text(r),
                  part(r),
                  List.of(TestOutcome.values()[r.nextInt(TestOutcome.values().length)]),
                  null,
                  null,
                  null,
                  anyPhoto(name, r))));
    }
    d.save();
  }

  private static final List<Duty> DUTIES =
      TRADE.profile("general").duties().stream().filter(d -> STOPS.contains(d.stop())).toList();

  private static DutyKey key(Duty duty) {
    return new DutyKey(StopKey.of(duty.stop()), duty.id());
  }

  private static List<PhotoId> anyPhoto(String job, Random r) {
    return r.nextBoolean() ? List.of() : List.of(TestJobs.id(job, "P10" + r.nextInt(6) + ".jpg"));
  }

  private Answer answer(Random r, List<PhotoId> photos) {
    return switch (r.nextInt(5)) {
      case 0 -> new Answer(AnswerKind.NO_CONDITION, null, null, null, photos);
      case 1 -> new Answer(AnswerKind.NOT_PRESENT, null, null, null, photos);
      case 2 -> new Answer(AnswerKind.EXCLUDED, null, null, null, photos);
      case 3 -> new Answer(AnswerKind.NOT_INSPECTED, text(r), null, null, photos);
      default ->
          new Answer(
              AnswerKind.DESCRIPTION, text(r), r.nextBoolean() ? text(r) : null, null, photos);
    };
  }

  /** What an answer or a test says, and what it is about, as a reader would put it. */
  private record Told(String own, String about, List<PhotoId> photos) {}

  private static List<Told> told(Job job) {
    List<Told> out = new ArrayList<>();
    for (DutyKey key : job.dutyKeys()) {
      Answer a = job.answer(key).orElse(null);
      if (a == null) {
        continue;
      }
      String own =
          switch (a.kind()) {
            case NOT_PRESENT -> "not present";
            case EXCLUDED -> "present, excluded";
            case NOT_INSPECTED -> "not inspected, because " + a.text();
            case DESCRIPTION -> a.text() + ", " + (a.howKnown() == null ? "" : a.howKnown());
            default -> null; // that nothing was seen is not searched
          };
      if (own != null) {
        out.add(new Told(own, job.title(key.at()) + ", " + job.duty(key).text(), a.photos()));
      }
    }
    for (DeviceTest t : job.tests().values()) {
      String outcome = t.outcomes().get(0).name().toLowerCase(Locale.ROOT).replace('_', ' ');
      String said = outcome.equals("reversed") ? "hot and neutral reversed" : outcome;
      out.add(
          new Told(
              t.location() + ", " + TRADE.term(t.part()) + ", " + said,
              job.title(t.at()),
              t.photos()));
    }
    return out;
  }

  private static String part(Random r) {
    return TRADE.parts().get(r.nextInt(TRADE.parts().size())).id();
  }

  private Ask ask(Random r) {
    List<String> words = new ArrayList<>();
    for (int i = 0; i < r.nextInt(4); i++) {
      int what = r.nextInt(10);
      words.add(
          what == 0
              ? NOWHERE.get(r.nextInt(NOWHERE.size()))
              : what < 6
                  ? dress(PLAIN.get(r.nextInt(PLAIN.size())), r)
                  : NAMES.get(r.nextInt(NAMES.size())));
    }
    return new Ask(
        String.join(", ", words),
        r.nextInt(4) == 0 ? STOPS.get(r.nextInt(STOPS.size())) : null,
        r.nextInt(8) == 0 ? part(r) : null,
        r.nextInt(6) == 0 ? FindingKind.values()[r.nextInt(4)] : null,
        r.nextInt(5) == 0 ? LocalDate.of(2026, 1, 1 + r.nextInt(5)) : null,
        r.nextInt(5) == 0 ? LocalDate.of(2026, 1, 1 + r.nextInt(5)) : null,
        null,
        1000);
  }

  // ---- the reader ----

  /** A photo, finding or job as the reader sees it. */
  private record Entry(
      String key,
      LocalDate day,
      Set<String> stops,
      Set<String> parts,
      FindingKind kind,
      Words own,
      Words around) {}

  /** The words of some texts, and what their names mean. */
  private static final class Words {
    final Set<String> words = new HashSet<>();
    final Set<String> meanings = new HashSet<>();
    final Set<String> parts = new HashSet<>();

    void text(String text) {
      for (String piece : text == null ? new String[0] : text.split("[,():]")) {
        List<String> cut = cut(piece);
        words.addAll(cut);
        words.add(String.join("", cut));
        for (String run : piece.strip().split(" ")) {
          words.add(String.join("", cut(run)));
        }
        meanings.addAll(MEANINGS.getOrDefault(String.join("", cut), Set.of()));
      }
    }

    /** Whether it has a word of the same stem, by the Snowball project's English stemmer. */
    boolean hasFormOf(String word) {
      return word.length() >= 4
          && !NO_FORMS.contains(word)
          && words.stream()
              .filter(w -> w.matches("[a-z]+") && !NO_FORMS.contains(w))
              .anyMatch(w -> stem(w).equals(stem(word)));
    }

    private static String stem(String word) {
      EnglishStemmer stemmer = new EnglishStemmer();
      stemmer.setCurrent(word);
      stemmer.stem();
      return stemmer.getCurrent();
    }

    /** A text that holds names among other words: the longest one counts, from the left. */
    void prose(String text) {
      for (String clause : text.split("[,():.;]")) {
        List<String> cut = cut(clause);
        words.addAll(cut);
        for (String run : clause.strip().split(" ")) {
          words.add(String.join("", cut(run)));
        }
        for (int from = 0, to; from < cut.size(); from = to) {
          to = from + 1;
          for (int end = cut.size(); end > from; end--) {
            String together = String.join("", cut.subList(from, end));
            if (MEANINGS.containsKey(together)) {
              words.add(together);
              meanings.addAll(MEANINGS.get(together));
              to = end;
              break;
            }
          }
        }
      }
    }

    /** A text that holds names among other words. */
    void title(String text) {
      text(text);
      for (String clause : text.split("[,():]")) {
        List<String> cut = cut(clause);
        NAMES_OF.forEach(
            (id, names) -> {
              for (List<String> name : names) {
                if (java.util.Collections.indexOfSubList(cut, name) >= 0 && !name.isEmpty()) {
                  meanings.add(id);
                }
              }
            });
      }
    }

    void part(String id) {
      text(TRADE.term(id));
      meanings.add(id);
      parts.add(id); // the main breaker is among them under its other name
    }
  }

  private List<Entry> readAll(TestJobs jobs) {
    List<Entry> out = new ArrayList<>();
    for (String name : jobs.archive().jobNames()) {
      Job job = jobs.archive().find(name).orElseThrow().read().history().job();
      LocalDate day = job.header().date();
      List<Told> told = told(job);
      for (Photo p : job.photos().values()) {
        Set<StopKey> at = new LinkedHashSet<>(job.alsoServes(p.id()));
        job.placement(p.id()).ifPresent(x -> at.add(x.at()));
        Words own = new Words();
        Set<String> parts = new LinkedHashSet<>();
        for (Mark m : job.marksOn(p.id())) {
          Callout c = (Callout) m;
          parts.add(c.part());
          own.part(c.part());
          own.text(c.note());
        }
        own.text(p.name());
        Words around = around(name, job, at);
        for (Told t : told) {
          if (t.photos().contains(p.id())) {
            own.prose(t.own());
            around.prose(t.about());
          }
        }
        out.add(new Entry(name + "/" + p.name(), day, stops(at), parts, null, own, around));
      }
      for (Finding f : job.findings().values()) {
        Words own = new Words();
        own.text(f.seen());
        own.text(f.why());
        own.text(f.location());
        own.text("F" + f.number());
        if (f.part() != null) {
          own.part(f.part());
        }
        Set<StopKey> at = Set.of(f.at());
        Set<String> parts = f.part() == null ? Set.of() : Set.of(f.part());
        out.add(
            new Entry(
                name + "/F" + f.number(),
                day,
                stops(at),
                parts,
                f.kind(),
                own,
                around(name, job, at)));
      }
      Words own = new Words();
      own.title(job.site());
      own.text(name);
      job.facts().forEach((k, v) -> own.text(k + "," + v));
      own.text(day.toString());
      Words around = new Words();
      for (Told t : told) {
        own.prose(t.own());
        around.prose(t.about());
      }
      out.add(new Entry(name + "/", day, Set.of(), Set.of(), null, own, around));
    }
    return out;
  }

  private static Words around(String name, Job job, Set<StopKey> at) {
    Words w = new Words();
    at.forEach(s -> w.title(job.title(s)));
    w.title(job.site());
    w.text(name);
    return w;
  }

  private static Set<String> stops(Set<StopKey> at) {
    Set<String> out = new HashSet<>();
    at.forEach(
        s -> {
          out.add(s.stop());
          out.add(s.toString());
        });
    return out;
  }

  private static Set<String> keys(List<Entry> entries) {
    Set<String> out = new TreeSet<>();
    entries.forEach(e -> out.add(e.key()));
    return out;
  }

  private static List<String> units(Ask ask) {
    List<String> units = new ArrayList<>();
    for (String u : ask.words().split(", ")) {
      if (!u.isEmpty()) {
        units.add(u);
      }
    }
    return units;
  }

  private static List<Entry> answer(List<Entry> all, Ask ask) {
    return answer(all, ask, needed(all, ask));
  }

  /** How many of the words must be there: all, or as many as anything has, but at least half. */
  private static int needed(List<Entry> all, Ask ask) {
    int n = units(ask).size();
    int needed = n;
    while (answer(all, ask, needed).isEmpty() && needed > (n + 1) / 2) {
      needed--;
    }
    return needed;
  }

  private static List<Entry> answer(List<Entry> all, Ask ask, int needed) {
    List<String> units = units(ask);
    List<Entry> out = new ArrayList<>();
    for (Entry e : all) {
      long here = units.stream().filter(u -> meets(u, e.own())).count();
      long anywhere =
          units.stream()
              .filter(u -> meets(u, e.own()) || units.size() > 1 && surrounds(u, e.around()))
              .count();
      boolean words = units.isEmpty() || here > 0 && anywhere >= needed;
      if (words && passes(e, ask)) {
        out.add(e);
      }
    }
    return out;
  }

  private static void assertCounts(List<Entry> all, Ask ask, Counts counts, String context) {
    int needed = needed(all, ask);
    Map<String, Long> stops = new TreeMap<>();
    for (Entry e : answer(all, ask.withStop(null), needed)) {
      e.stops().stream()
          .map(s -> StopKey.parse(s).stop())
          .distinct()
          .forEach(s -> stops.merge(s, 1L, Long::sum));
    }
    assertEquals(stops, counts.stops(), context);
    Map<String, Long> parts = new TreeMap<>();
    for (Entry e : answer(all, ask.withPart(null), needed)) {
      e.parts().forEach(p -> parts.merge(p, 1L, Long::sum));
    }
    assertEquals(parts, counts.parts(), context);
    Map<FindingKind, Long> kinds = new TreeMap<>();
    for (Entry e : answer(all, ask.withKind(null), needed)) {
      if (e.kind() != null) {
        kinds.merge(e.kind(), 1L, Long::sum);
      }
    }
    assertEquals(kinds, counts.kinds(), context);
    long inAnyYear = answer(all, ask.withDays(null, null), needed).size();
    assertEquals(inAnyYear, counts.years().getOrDefault("2026", 0L), context);
    Map<Hit.Kind, Long> things = new TreeMap<>();
    for (Entry e : answer(all, ask, needed)) {
      Hit.Kind kind =
          e.key().endsWith("/")
              ? Hit.Kind.JOB
              : e.kind() != null ? Hit.Kind.FINDING : Hit.Kind.PHOTO;
      things.merge(kind, 1L, Long::sum);
    }
    assertEquals(things, counts.things(), context);
    long photos = things.getOrDefault(Hit.Kind.PHOTO, 0L);
    assertEquals(photos, counts.cameras().getOrDefault("Pocket One", 0L), context);
  }

  private static boolean meets(String unit, Words w) {
    List<String> typed = cut(unit);
    Set<String> meanings = MEANINGS.getOrDefault(String.join("", typed), Set.of());
    boolean apart = true;
    for (String t : typed) {
      apart &= IDLE.contains(t) && typed.size() > 1 || w.words.contains(t);
    }
    return apart
        || w.words.contains(String.join("", typed))
        || typed.size() == 1 && w.hasFormOf(typed.get(0))
        || w.meanings.stream().anyMatch(meanings::contains)
        || meanings.contains("main-breaker") && w.parts.contains("main-disconnect");
  }

  private static boolean surrounds(String unit, Words w) {
    String together = String.join("", cut(unit));
    Set<String> meanings = MEANINGS.getOrDefault(together, Set.of());
    return w.words.contains(together)
        || cut(unit).size() == 1 && w.hasFormOf(together)
        || w.meanings.stream().anyMatch(meanings::contains);
  }

  private static boolean passes(Entry e, Ask ask) {
    return (ask.stop() == null || e.stops().contains(ask.stop()))
        && (ask.part() == null || e.parts().contains(ask.part()))
        && (ask.kind() == null || e.kind() == ask.kind())
        && (ask.from() == null || !e.day().isBefore(ask.from()))
        && (ask.to() == null || !e.day().isAfter(ask.to()));
  }

  private static String key(Hit h) {
    return h.job()
        + "/"
        + (h.finding() != null ? "F" + h.finding() : h.photo() == null ? "" : h.photo());
  }

  private static void assertNewestFirst(List<Entry> all, Found found, String context) {
    Map<String, LocalDate> days = new LinkedHashMap<>();
    all.forEach(e -> days.put(e.key(), e.day()));
    LocalDate last = LocalDate.MAX;
    for (Hit h : found.hits()) {
      LocalDate day = days.get(key(h));
      assertEquals(false, day.isAfter(last), context);
      last = day;
    }
  }
}

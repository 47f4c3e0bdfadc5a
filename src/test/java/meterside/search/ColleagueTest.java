package meterside.search;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import meterside.job.FindingKind;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** "Where did I last see this, how did I word it, how often?" */
class ColleagueTest {
  private static final String ONE = "2024-05-12-wren-hollow-18";
  private static final String TWO = "2025-06-02-finch-row-4";

  @TempDir static Path folder;
  private static PastJobs past;

  @BeforeAll
  static void write() {
    TestJobs jobs = new TestJobs(folder);
    jobs.job(ONE, "18 Wren Hollow", "2024-05-12")
        .photo("a.jpg", "meter-and-base")
        .photo("b.jpg", "panelboard")
        .callout("b.jpg", "breaker", "two wires")
        .finding(
            1,
            "meter-and-base",
            "meter-base",
            FindingKind.NEEDS_CORRECTION,
            "Meter can rusted through at the hub",
            "Water inside live equipment",
            "north wall",
            "a.jpg")
        .finding(
            2,
            "panelboard",
            "breaker",
            FindingKind.NEEDS_CORRECTION,
            "Two wires on one breaker, slot 7",
            "Loose joint")
        .finding(3, "panelboard", "breaker", FindingKind.NOTE, "Breaker label faded", null)
        .save();
    jobs.job(TWO, "4 Finch Row", "2025-06-02")
        .photo("a.jpg", "meter-and-base")
        .finding(
            1,
            "meter-and-base",
            "meter-base",
            FindingKind.FURTHER_EVALUATION,
            "Meter socket with rust at its hub",
            null)
        .finding(
            2,
            "meter-and-base",
            "meter-base",
            FindingKind.NEEDS_CORRECTION,
            "Meter box pulled from the wall",
            null)
        .finding(
            3, "panelboard", "breaker", FindingKind.NEEDS_CORRECTION, "Double tap, slot 9", null)
        .finding(4, "alarms", "smoke-alarm", FindingKind.NOTE, "Older than ten years", null)
        .save();
    past = jobs.pastJobs();
  }

  @AfterAll
  static void close() {
    past.close();
  }

  @Test
  void counts_say_how_often_by_stop_part_kind_year_and_thing() {
    Counts c = past.findAndCount(Ask.words("meter socket")).counts();
    assertEquals(Map.of(Hit.Kind.FINDING, 3L), c.things());
    assertEquals(Map.of("meter-and-base", 3L), c.stops());
    assertEquals(Map.of("meter-base", 3L), c.parts());
    assertEquals(Map.of("2024", 1L, "2025", 2L), c.years());
    assertEquals(2, c.kinds().get(FindingKind.NEEDS_CORRECTION));
    assertEquals(3, c.withFinding());
  }

  @Test
  void a_row_shows_what_its_other_choices_would_give() {
    Ask ask = Ask.words("").withStop("panelboard").withOnly(Hit.Kind.FINDING);
    Overview o = past.findAndCount(ask);
    assertEquals(3, o.found().total());
    assertEquals(Map.of("meter-and-base", 3L, "panelboard", 3L, "alarms", 1L), o.counts().stops());
    assertEquals(Map.of("breaker", 3L), o.counts().parts());
    assertEquals(1, o.counts().things().get(Hit.Kind.PHOTO), "the photo at the panel");
    Ask year = ask.withDays(LocalDate.of(2025, 1, 1), LocalDate.of(2025, 12, 31));
    assertEquals(Map.of("2024", 2L, "2025", 1L), past.findAndCount(year).counts().years());
  }

  @Test
  void photos_are_found_by_camera_and_by_having_a_finding() {
    assertEquals(3, past.find(Ask.words("").withCamera("Pocket One")).total());
    assertEquals(0, past.find(Ask.words("").withCamera("Pocket Two")).total());
    Ask photos = Ask.words("").withOnly(Hit.Kind.PHOTO);
    assertEquals(1, past.find(photos.withHasFinding(true)).total());
    assertEquals(2, past.find(photos.withHasFinding(false)).total());
  }

  @Test
  void counts_are_written_as_csv() {
    Ask ask = Ask.words("breaker").withOnly(Hit.Kind.FINDING);
    assertEquals(
        "by,value,count\r\n"
            + "part,breaker,3\r\n"
            + "kind,needs-correction,2\r\n"
            + "kind,note,1\r\n"
            + "stop,panelboard,3\r\n"
            + "year,2024,2\r\n"
            + "year,2025,1\r\n",
        past.findAndCount(ask).counts().csv());
    Counts odd =
        new Counts(
            new TreeMap<>(),
            new TreeMap<>(),
            new TreeMap<>(Map.of("a,\"b\"", 1L)),
            new TreeMap<>(),
            new TreeMap<>(),
            new TreeMap<>(),
            0);
    assertEquals("by,value,count\r\npart,\"a,\"\"b\"\"\",1\r\n", odd.csv());
  }

  private static List<String> marked(Ask ask, String text) {
    List<String> out = new ArrayList<>();
    for (Stretch s : past.stretches(ask, text)) {
      out.add(text.substring(s.from(), s.to()));
    }
    return out;
  }

  @Test
  void what_met_the_question_is_marked_in_the_text() {
    String text = "Meter can rusted through at the hub; cans of paint near the S.E.C.";
    assertEquals(List.of("Meter can"), marked(Ask.words("meter socket"), text));
    assertEquals(List.of("rusted", "hub"), marked(Ask.words("rust hub"), text));
    assertEquals(List.of("S.E.C"), marked(Ask.words("service-entrance cable"), text));
    assertEquals(List.of("through at"), marked(Ask.words("\"through at\""), text));
    assertEquals(List.of("paint"), marked(Ask.words("pai").whileTyping(), text));
    assertEquals(List.of("through"), marked(Ask.words("throgh"), text));
    assertEquals(List.of(), marked(Ask.words("zebra"), text));
    assertEquals(List.of(), marked(Ask.words(""), text));
    assertEquals(
        List.of("Two wires on one breaker"),
        marked(Ask.words("double lug"), "Two wires on one breaker, slot 7"));
  }

  @Test
  void similar_findings_share_part_and_words_and_say_why() {
    List<Likeness> like =
        past.similar(
            new Like(
                "Meter can rusted through at the hub", "meter-base", "meter-and-base", ONE, 1, 5));
    assertEquals("Meter socket with rust at its hub", like.get(0).hit().text());
    assertEquals("Meter box pulled from the wall", like.get(1).hit().text());
    assertTrue(like.get(0).samePart());
    assertEquals("Same part (meter socket); both say meter socket, hub.", like.get(0).because());
    for (Likeness l : like) {
      assertFalse(l.hit().job().equals(ONE) && l.hit().finding() == 1, "not itself");
      assertEquals(Hit.Kind.FINDING, l.hit().kind());
    }
  }

  @Test
  void similar_needs_no_part_and_no_words() {
    List<Likeness> words = past.similar(new Like("double lug", null, null, null, null, 5));
    assertEquals(2, words.size());
    assertEquals("Both say double tap.", words.get(0).because());
    List<Likeness> part = past.similar(new Like("", "smoke-alarm", null, null, null, 5));
    assertEquals("Same part (smoke alarm).", part.get(0).because());
    assertEquals(List.of(), past.similar(new Like(" ", null, null, null, null, 5)));
    assertEquals(List.of(), past.similar(new Like("zebra", null, null, null, null, 5)));
  }
}

package meterside.search;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import meterside.job.Callout;
import meterside.job.Edit;
import meterside.job.FindingKind;
import meterside.job.Point;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What words are read as. The words of the trade are those of the glossary's own data. */
class WordsOfTheTradeTest {

  private static final String JOB = "2026-05-12-wren-hollow-18";

  @TempDir static Path shared;
  private static PastJobs past;

  @BeforeAll
  static void writeOnce() {
    past = write(shared).pastJobs();
  }

  private static TestJobs write(Path folder) {
    TestJobs jobs = new TestJobs(folder);
    String[] seen = {
      "Weatherhead cracked at the hood", // F1
      "GFCI beside the sink does not trip", // F2
      "AFCI breaker does not reset", // F3
      "Meter socket rusted through at the hub", // F4
      "Two wires on one breaker in the third slot", // F5
      "Outlet loose in its box behind the sofa", // F6
      "SEC jacket frayed by the sun", // F7
      "Service-entrance conductors rest on the gutter", // F8
      "Grounded conductor doubled under one screw", // F9
      "Bare wire loose at the ground bar", // F10
      "Ungrounded conductor without cover", // F11
      "Ungrounded outlets in the den", // F12
      "Sub-panel cover held by two screws", // F13
      "Panelboard blocked by shelves", // F14
      "Panel cover missing", // F15
      "Drip loop touches the roof", // F16
      "Main marked 200 A, label faded", // F17
      "K&T wiring in the attic, 4/0 aluminum at the lugs", // F18
      "Plug-in tester shows nothing unusual; cord has no plug", // F19
      "Wires in place, paint around the door", // F20
      "Braeker handle taped over", // F21
      "CO alarm missing near the bedrooms; call the office co" // F22
    };
    TestJobs.Draft d = jobs.job(JOB, "18 Wren Hollow", "2026-05-12");
    for (int i = 0; i < seen.length; i++) {
      String stop = "other-systems";
      d.finding(i + 1, stop, null, FindingKind.NEEDS_CORRECTION, seen[i], null);
    }
    d.photo("IMG_0007.jpg", "meter-and-base")
        .callout("IMG_0007.jpg", "meter-base", "conduit hub open")
        .photo("IMG_0008.jpg", "meter-and-base")
        .save();
    return jobs;
  }

  @AfterAll
  static void close() {
    past.close();
  }

  private static Found ask(String words) {
    return past.find(Ask.words(words));
  }

  private static Set<String> found(String words) {
    return found(past, words);
  }

  private static Set<String> found(PastJobs past, String words) {
    return past.find(Ask.words(words)).hits().stream()
        .map(h -> h.finding() != null ? "F" + h.finding() : h.photo() == null ? "J" : h.photo())
        .collect(Collectors.toCollection(TreeSet::new));
  }

  private String first(String words) {
    Hit h = ask(words).hits().get(0);
    return h.finding() != null ? "F" + h.finding() : h.photo();
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "wetherhead",
        "weather head",
        "Weather-Head",
        "service head",
        "SERVICE HEADS",
        "WH",
        "weatherhed",
        "entrance cap",
        "service-heads",
        "wheatherhead"
      })
  void service_head_is_found_by_any_of_its_names(String words) {
    assertEquals(Set.of("F1"), found(words));
  }

  @ParameterizedTest
  @ValueSource(strings = {"gcfi", "GFI", "ground fault", "gfcis", "GFCIs", "gci", "gfic"})
  void gcfi_is_gfci_and_never_afci(String words) {
    assertEquals(Set.of("F2"), found(words));
  }

  @ParameterizedTest
  @ValueSource(strings = {"acfi", "arc fault", "CAFCI", "arc-fault"})
  void acfi_is_afci_and_never_gfci(String words) {
    assertEquals(Set.of("F3"), found(words));
  }

  @ParameterizedTest
  @ValueSource(strings = {"gfcl", "afcl", "gfxi", "secs"})
  void short_abbreviations_are_never_guessed_at(String words) {
    Set<String> hits = found(words);
    assertFalse(hits.contains("F2") || hits.contains("F3"), hits.toString());
  }

  @ParameterizedTest
  @ValueSource(
      strings = {"meter can", "metercan", "meter-can", "meter base", "meter sockit", "meter cans"})
  void a_term_of_several_words_meets_its_synonyms(String words) {
    assertEquals(Set.of("F4", "IMG_0007.jpg"), found(words));
    assertEquals("F4", first(words));
  }

  @ParameterizedTest
  @ValueSource(strings = {"double lug", "double tap", "dbl tap", "double-taps", "doubletap"})
  void double_lug_is_two_wires_on_one_breaker(String words) {
    assertEquals(Set.of("F5"), found(words));
  }

  @ParameterizedTest
  @ValueSource(strings = {"recepticle", "receptacle", "recepticals", "receptacel"})
  void recepticle_is_an_outlet(String words) {
    assertTrue(found(words).containsAll(Set.of("F6", "F12")));
    assertTrue(List.of("F6", "F12").contains(first(words)));
  }

  @Test
  void plug_is_a_receptacle_and_a_plug() {
    Found f = ask("plug");
    assertTrue(found("plug").containsAll(Set.of("F6", "F12", "F19")));
    assertTrue(f.searchedFor().contains("receptacle"), f.searchedFor());
    assertTrue(f.searchedFor().contains("plug"), f.searchedFor());
  }

  @Test
  void sec_is_cable_and_conductors_and_says_so() {
    assertEquals(Set.of("F7", "F8"), found("SEC"));
    assertEquals(
        "SEC → service-entrance cable or service-entrance conductors", ask("SEC").searchedFor());
    assertEquals(Set.of("F7", "F8"), found("S.E.C."));
  }

  @Test
  void ambiguous_short_forms_show_what_they_were_read_as() {
    for (String w : List.of("GR", "SP", "SA")) {
      assertTrue(ask(w).searchedFor().contains(" may mean "), ask(w).searchedFor());
    }
    assertTrue(ask("gr").searchedFor().contains("ground rod"));
  }

  @Test
  void ground_and_grounded_stay_opposite_wires() {
    assertEquals(Set.of("F9"), found("neutral"));
    assertEquals(Set.of("F9"), found("white wire"));
    assertTrue(found("ground wire").contains("F10"));
    assertFalse(found("ground wire").contains("F9"));
    assertEquals(Set.of("F10"), found("ground"));
    assertEquals(Set.of("F9"), found("grounded"));
    assertTrue(ask("ground").searchedFor().contains("opposite"));
  }

  @Test
  void the_longest_name_wins_so_ungrounded_conductor_is_no_open_ground() {
    assertEquals(Set.of("F12"), found("open ground"));
    assertTrue(found("hot").contains("F11"));
    assertFalse(found("hot").contains("F12"));
  }

  @Test
  void a_term_does_not_reach_over_a_comma(@TempDir Path folder) {
    TestJobs jobs = write(folder);
    jobs.again(JOB)
        .finding(30, "alarms", null, FindingKind.NOTE, "Rust on the meter, can lid dented", null)
        .save();
    try (PastJobs own = jobs.pastJobs()) {
      assertFalse(found(own, "meter socket").contains("F30"));
      assertTrue(found(own, "meter can").contains("F30"), "the words are there all the same");
      assertEquals(4, own.find(Ask.words("meter can")).hits().get(0).finding());
    }
  }

  @Test
  void other_forms_of_a_word_are_found_behind_the_word_itself() {
    assertEquals(Set.of("F1"), found("crack"));
    assertEquals(Set.of("F1"), found("cracking weatherhead"));
    assertEquals("crack (cracked)", ask("crack").searchedFor());
    assertEquals(Set.of(), found("\"crack\""), "quoted words are as they stand");
    assertTrue(found("double tapped").contains("F5"));
  }

  @Test
  void a_short_slip_counts_inside_a_term_only() {
    assertEquals(Set.of("F1"), found("service haed"));
    assertEquals(Set.of(), found("haed"));
  }

  @Test
  void a_panel_goes_before_a_cover_of_one() {
    assertEquals("F14", first("panel"));
    assertTrue(found("panel").containsAll(Set.of("F13", "F14", "F15")));
    assertEquals("F15", first("dead front"));
  }

  @ParameterizedTest
  @ValueSource(strings = {"subpanel", "sub panel", "sub-panel", "subpanels", "sub pannel"})
  void hyphens_do_not_count(String words) {
    assertTrue(found(words).contains("F13"));
    assertEquals("F13", first(words));
  }

  @ParameterizedTest
  @ValueSource(strings = {"\"two wires\"", "“two wires”", "\"TWO-WIRES\"", "\"two wire\""})
  void quoted_words_stand_together(String words) {
    assertEquals(Set.of("F5"), found(words));
  }

  @Test
  void quoted_words_are_not_scattered_and_not_read_as_something_else() {
    assertEquals(Set.of(), found("\"wires two\""));
    assertEquals(Set.of(), found("\"meter can\""));
    assertEquals(Set.of("F4", "IMG_0007.jpg"), found("\"meter socket\""));
    assertEquals(Set.of(), found("rusted \"no such words\""));
  }

  @ParameterizedTest
  @ValueSource(strings = {"200 amps", "200A", "200-amp", "200 A", "200 ampere"})
  void a_number_with_its_unit_has_one_form(String words) {
    assertEquals(Set.of("F17"), found(words));
  }

  @Test
  void signs_in_wire_sizes_and_abbreviations_keep_their_sense() {
    assertEquals(Set.of("F18"), found("4/0"));
    assertEquals(Set.of("F18"), found("K&T"));
    assertEquals(Set.of("F18"), found("knob and tube"));
    assertEquals(Set.of("F18"), found("nob and tube"));
    assertEquals(Set.of(), found("40"));
  }

  @Test
  void an_ordinary_word_is_no_slip_of_a_trade_word() {
    assertEquals(Set.of("F20"), found("place"));
    assertEquals(Set.of("F20"), found("paint"));
    assertEquals(Set.of("F20"), found("around"));
    assertFalse(found("cover plate").contains("F20"));
  }

  @Test
  void a_slip_in_the_text_is_found_by_the_right_word() {
    assertTrue(found("breaker taped").contains("F21"));
    assertTrue(found("circuit breaker").contains("F21"));
  }

  @Test
  void a_short_form_in_small_letters_is_no_short_form_in_a_text() {
    assertEquals("F22", first("carbon monoxide alarm"));
    assertEquals(1, ask("co detector").total());
  }

  @Test
  void a_word_nobody_wrote_is_tried_as_a_beginning_and_one_letter_off() {
    assertEquals(Set.of("F20"), found("pai"));
    assertEquals(Set.of("F20"), found("pai doo"), "each of them");
    assertEquals(Set.of("F7"), found("frazed"));
    assertEquals(Set.of(), found("zzzz"));
    assertEquals("zzzz (found nowhere)", ask("zzzz").searchedFor());
  }

  @Test
  void while_typing_the_last_word_may_be_unfinished() {
    assertEquals(Set.of("F16"), typing("dri"));
    assertEquals(Set.of("F16"), typing("drip l"));
    assertTrue(typing("meter c").contains("F4"));
    assertTrue(typing("weath").contains("F1"));
    assertTrue(typing("recep").containsAll(Set.of("F6", "F12")));
    assertEquals(Set.of("F4"), typing("rusted thr"));
    assertEquals(Set.of("F4"), typing("throu"));
    assertEquals(Set.of(), typing("throu "), "a blank ends the word");
  }

  private Set<String> typing(String words) {
    return past.find(Ask.words(words).whileTyping()).hits().stream()
        .map(h -> h.finding() != null ? "F" + h.finding() : h.photo())
        .collect(Collectors.toCollection(TreeSet::new));
  }

  @Test
  void all_words_must_fit_and_if_nothing_has_all_most() {
    assertEquals(Set.of("F14"), found("shelves panel"));
    Found f = ask("shelves panel gutter");
    assertTrue(f.searchedFor().startsWith("Nothing has all of this"), f.searchedFor());
    assertEquals("F14", first("shelves panel gutter"));
  }

  @Test
  void the_house_helps_but_does_not_flood() {
    assertEquals(Set.of("F14"), found("shelves wren hollow"));
    assertEquals(Set.of("J"), found("wren hollow"));
    assertEquals(Set.of("IMG_0007.jpg"), found("IMG_0007"));
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "\"",
        "\"\"",
        "(",
        ")",
        "*",
        "?",
        "gf*",
        "+rust",
        "-rust",
        "seen:rust",
        "rust AND",
        "OR",
        "NOT rust",
        "rust~1",
        "rust^5",
        "[a TO b]",
        "{",
        "}",
        "\\",
        "/re.*/",
        "&&",
        "||",
        "!",
        ":",
        "rust\\",
        "\u0000",
        "\u0001gfci",
        "\u0002main",
        "\uD83D",
        "😀",
        "'; --",
        "%s {0}",
        "<b>",
        "   ",
        "a",
        "the",
        "8\" hole 10\""
      })
  void nothing_that_is_typed_is_wrong(String words) {
    past.find(Ask.words(words));
    past.find(Ask.words(words).whileTyping());
    past.find(Ask.words("gfci " + words + " sink"));
  }

  @Test
  void signs_of_other_search_programs_mean_nothing() {
    assertEquals(found("rusted"), found("+rusted"));
    assertEquals(found("rusted"), found("-rusted"));
    assertEquals(found("rusted hub"), found("rusted AND hub"));
    assertEquals(Set.of(), found("\u0001zebra"));
  }

  @Test
  void long_typed_text_is_answered() {
    String words = "breaker panel receptacle SEC plug ground wire zzzz rusted ".repeat(200);
    past.find(Ask.words(words));
    past.find(Ask.words("x".repeat(50_000)));
  }

  @Test
  void withdrawn_findings_are_not_found_and_set_aside_photos_come_last(@TempDir Path folder) {
    TestJobs jobs = write(folder);
    String best = "meter can, meter base, meter box";
    List<Point> ring = List.of(new Point(0.1, 0.1));
    jobs.again(JOB)
        .edit(new Edit.WithdrawFinding(4, "measured again"))
        .photo("A.jpg", "meter-and-base")
        .edit(
            new Edit.PutCallout(
                new Callout(90, TestJobs.id(JOB, "A.jpg"), "meter-base", ring, null, null, best)))
        .edit(new Edit.SetAside(List.of(TestJobs.id(JOB, "A.jpg")), true, null))
        .photo("B.jpg", "meter-and-base")
        .edit(
            new Edit.PutCallout(
                new Callout(91, TestJobs.id(JOB, "B.jpg"), "meter-base", ring, null, null, best)))
        .edit(new Edit.NoteToSelf(List.of(TestJobs.id(JOB, "B.jpg")), true))
        .save();
    try (PastJobs own = jobs.pastJobs()) {
      List<String> order =
          own.find(Ask.words("meter can")).hits().stream().map(Hit::photo).toList();
      assertEquals(List.of("IMG_0007.jpg", "A.jpg", "B.jpg"), order);
    }
  }

  @Test
  void a_hit_carries_the_stored_wording_whole() {
    Hit photo =
        ask("meter can").hits().stream().filter(h -> h.kind() == Hit.Kind.PHOTO).findFirst().get();
    assertEquals("meter socket: conduit hub open", photo.text());
    assertEquals(List.of("meter-base"), photo.parts());
    assertEquals("meter-and-base", photo.stop());
    assertEquals("2026-05-12-wren-hollow-18", photo.job());
  }
}

package meterside.trade;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import meterside.job.Duty;
import meterside.job.DutyKind;
import meterside.job.DutyProfile;
import meterside.job.Phase;
import meterside.job.RoutePlan;
import meterside.job.Stop;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class TradeTest {
  private final Trade trade = Trade.standard();
  private final Set<String> stops =
      trade.routes().stream()
          .flatMap(r -> r.stops().stream())
          .map(Stop::id)
          .collect(Collectors.toSet());

  private String resolved(String typed) {
    return trade.resolve(typed).map(Part::id).orElse(null);
  }

  // ---- routes ----

  @Test
  void theOverheadRouteHasTheTwelveStopsInOrderAndOtherSystems() {
    assertEquals(
        List.of(
            "service-drop",
            "splice-and-drip-loop",
            "service-head-and-mast",
            "entrance-cable",
            "meter-and-base",
            "grounding-and-bonding",
            "main-disconnect",
            "panelboard",
            "branch-wiring",
            "receptacles-and-switches",
            "gfci-and-afci",
            "alarms",
            "other-systems"),
        trade.route("overhead").stops().stream().map(Stop::id).toList());
  }

  @Test
  void theUndergroundRouteKeepsTheIdsFromTheMeterOn() {
    List<Stop> overhead = trade.route("overhead").stops();
    List<Stop> underground = trade.route("underground").stops();
    assertEquals("service-lateral", underground.get(0).id());
    assertEquals(overhead.subList(4, 13), underground.subList(1, 10));
  }

  @Test
  void phasesComeInOrder() {
    for (RoutePlan r : trade.routes()) {
      List<Phase> phases = r.stops().stream().map(Stop::phase).toList();
      assertEquals(phases.stream().sorted().toList(), phases, r.id());
    }
  }

  @Test
  void anUnknownRouteOrProfileIsRefused() {
    assertThrows(IllegalArgumentException.class, () -> trade.route("sideways"));
    assertThrows(IllegalArgumentException.class, () -> trade.profile("none"));
  }

  // ---- words ----

  @Test
  void theGlossaryHasItsSeventyFiveRows() {
    assertEquals(75, trade.terms().size());
    assertEquals(75, trade.terms().stream().map(Term::id).distinct().count());
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "service-drop",
        "attachment",
        "splice",
        "drip-loop",
        "service-head",
        "gooseneck",
        "mast",
        "entrance-cable",
        "entrance-conductors",
        "conduit",
        "meter",
        "meter-base",
        "grounding-electrode-conductor",
        "ground-rod",
        "bonding",
        "main-disconnect",
        "emergency-disconnect",
        "panelboard",
        "dead-front",
        "breaker",
        "fuse",
        "knockout",
        "filler-plate",
        "circuit-directory",
        "subpanel",
        "nm-cable",
        "armored-cable",
        "aluminum-branch-wire",
        "junction-box",
        "receptacle",
        "switch",
        "luminaire",
        "cover-plate",
        "gfci",
        "afci",
        "smoke-alarm",
        "co-alarm"
      })
  void fixedPartIdsNameThemselves(String id) {
    assertEquals(id, resolved(id));
    assertEquals(id, trade.part(id).orElseThrow().id());
  }

  /** The trade's usage: glossary of trade-facts section 5 and section 8 item 13. */
  @ParameterizedTest
  @CsvSource({
    "gcfi, gfci",
    "gfic, gfci",
    "GFIs, gfci",
    "acfi, afci",
    "wetherhead, service-head",
    "weather head, service-head",
    "Weather-Heads, service-head",
    "meter can, meter-base",
    "meter cans, meter-base",
    "METER SOCKET, meter-base",
    "double lug, breaker",
    "double taps, breaker",
    "main breaker, main-disconnect",
    "sub-panel, subpanel",
    "sub panels, subpanel",
    "J-box, junction-box",
    "j box, junction-box",
    "junction boxes, junction-box",
    "K&T, knob-and-tube",
    "knob and tube, knob-and-tube",
    "outlet, receptacle",
    "plug, receptacle",
    "recepticle, receptacle",
    "receptacel, receptacle",
    "panelbord, panelboard",
    "servise drop, service-drop",
    "light switches, switch",
    "GEC, grounding-electrode-conductor",
    "GR, ground-rod",
    "SP, service-point",
    "SA, smoke-alarm",
    "BX, armored-cable",
    "CO, co-alarm",
    "smoke dectector, smoke-alarm",
    "bus, bus-bar",
    "dead front, dead-front",
    "deadfront, dead-front"
  })
  void peopleFindThePartByTheirOwnWords(String typed, String part) {
    assertEquals(part, resolved(typed));
  }

  @ParameterizedTest
  @ValueSource(strings = {"", "  ", "-", "kitchen", "gfxi", "afcj", "fusx", "bxx", "lugz"})
  void whatNamesNothingResolvesToNothing(String typed) {
    assertEquals(Optional.empty(), trade.resolve(typed));
  }

  @Test
  void shortAbbreviationsAreNeverMatchedLoosely() {
    // One letter from GFCI and AFCI alike, and not a listed slip.
    assertEquals(List.of(), trade.meanings("xfci"));
    assertEquals(List.of(), trade.meanings("cafcx")); // five letters, but of an abbreviation
  }

  @Test
  void anAmbiguousShortFormShowsAllItMayMean() {
    assertEquals(Optional.empty(), trade.resolve("SEC"));
    assertEquals(
        List.of("entrance-cable", "entrance-conductors"),
        trade.meanings("sec").stream().map(Term::id).toList());
    assertEquals(
        List.of("entrance-cable", "entrance-conductors"),
        trade.complete("SEC", null).stream().limit(2).map(Part::id).toList());
    for (String typed : List.of("SEC", "GR", "SP", "SA")) {
      assertTrue(trade.ambiguity(typed).orElseThrow().contains("may mean"), typed);
      assertTrue(trade.meanings(typed).stream().allMatch(Term::ambiguous), typed);
    }
    assertEquals(Optional.empty(), trade.ambiguity("GFCI"));
    assertEquals(Optional.empty(), trade.resolve("connector")); // splice, or cable clamp
    assertEquals(2, trade.meanings("connector").size());
  }

  @Test
  void everyNameOfEveryEntryLeadsBackToIt() {
    for (Term t : trade.terms()) {
      List<String> names = new ArrayList<>(List.of(t.id(), t.term()));
      names.addAll(t.synonyms());
      names.addAll(t.abbreviations());
      names.addAll(t.slips());
      for (String name : names) {
        assertTrue(
            trade.meanings(name).stream().anyMatch(m -> m.id().equals(t.id()))
                || trade.resolve(name).isPresent(),
            t.id() + " by " + name);
      }
    }
  }

  @Test
  void anEmptyTextCompletesToTheStopsParts() {
    List<Part> here = trade.complete("", "meter-and-base");
    assertEquals(
        List.of("meter", "meter-base", "meter-seal", "emergency-disconnect"),
        here.stream().map(Part::id).toList());
    assertEquals(List.of(), trade.complete("", null));
  }

  @Test
  void completionOffersTheStopsOwnPartsFirst() {
    assertEquals("ground-clamp", trade.complete("ground cl", "grounding-and-bonding").get(0).id());
    assertEquals("meter-base", trade.complete("can", "meter-and-base").get(0).id());
    assertEquals("gfci", trade.complete("gcfi", "panelboard").get(0).id());
    assertEquals("service-head", trade.complete("wether", null).get(0).id());
    assertEquals("breaker", trade.complete("bre", "panelboard").get(0).id());
    assertEquals(List.of(), trade.complete("zzz", "panelboard"));
  }

  @Test
  void partsAreAtHomeAtStopsThatExist() {
    for (Part p : trade.parts()) {
      assertFalse(p.stops().isEmpty(), p.id());
      assertTrue(stops.containsAll(p.stops()), p.id());
    }
    for (Term t : trade.terms()) {
      assertTrue(t.part() == null || trade.part(t.part()).isPresent(), t.id());
    }
    assertEquals("service mast", trade.term("mast"));
    assertEquals("no-such-part", trade.term("no-such-part"));
  }

  // ---- duties, cautions, wording ----

  @Test
  void dutiesBelongToStopsThatExistAndNameTheirSource() {
    for (DutyProfile p : trade.profiles()) {
      Set<String> keys = new HashSet<>();
      for (Duty d : p.duties()) {
        assertTrue(stops.contains(d.stop()), d.id());
        assertTrue(keys.add(d.stop() + "/" + d.id()), d.id());
        assertFalse(d.source().isBlank(), d.id());
        assertTrue(d.text().endsWith("."), d.text());
      }
    }
  }

  @Test
  void everyStopOfEveryRouteHasADutyAndACaution() {
    Set<String> withDuties =
        trade.profile("general").duties().stream().map(Duty::stop).collect(Collectors.toSet());
    for (String stop : stops) {
      assertTrue(stop.equals("other-systems") || withDuties.contains(stop), stop);
      assertFalse(trade.caution(stop).isBlank(), stop);
    }
    assertEquals("", trade.caution("nowhere"));
  }

  @Test
  void everyKindOfDutyOccursSomeAreSampledAndTheLastIsAsLeft() {
    List<Duty> duties = trade.profile("general").duties();
    for (DutyKind kind : DutyKind.values()) {
      assertTrue(duties.stream().anyMatch(d -> d.kind() == kind), kind.name());
    }
    assertEquals(
        List.of("switches-and-lights", "receptacles", "covers"),
        duties.stream().filter(Duty::sampled).map(Duty::id).toList());
    Duty last = duties.get(duties.size() - 1);
    assertEquals("as-left", last.id());
    assertTrue(last.text().contains("covers back on") && last.text().contains("GFCIs reset"));
  }

  @Test
  void theSixtyCommonFindingsHaveWholeSentencesAndExistingStopsAndParts() {
    List<Wording> numbered = trade.wordings().stream().filter(w -> w.id().startsWith("D")).toList();
    assertEquals(60, numbered.size());
    for (Wording w : trade.wordings()) {
      assertTrue(stops.contains(w.stop()), w.id());
      assertTrue(trade.part(w.part()).isPresent(), w.id() + " " + w.part());
      for (String text : List.of(w.seen(), w.why(), w.who())) {
        assertNotNull(text, w.id());
        assertTrue(Character.isUpperCase(text.charAt(0)) && text.endsWith("."), w.id());
      }
    }
  }

  @Test
  void thirteenNumbersOfTheListBecomeTheTwelveStops() {
    assertEquals(13, trade.stopsByNumber().size());
    Set<String> used =
        trade.wordings().stream()
            .filter(w -> w.id().startsWith("D"))
            .map(Wording::stop)
            .collect(Collectors.toSet());
    Set<String> overhead =
        trade.route("overhead").stops().stream().map(Stop::id).collect(Collectors.toSet());
    overhead.remove("other-systems");
    assertEquals(overhead, used);
    assertEquals(
        List.of("D53", "D54", "D55"),
        trade.wordingsFor("gfci-and-afci", null).stream().map(Wording::id).toList());
    assertEquals(
        List.of("D33", "D34"),
        trade.wordingsFor("panelboard", "breaker").stream().map(Wording::id).toList());
  }

  @Test
  void whatIsUrgentIsWhatTheTradeCallsUrgent() {
    // common practice, no source
    assertEquals(
        List.of("D03", "D09", "D10", "D16", "D35", "X01"),
        trade.wordings().stream().filter(Wording::urgent).map(Wording::id).toList());
  }

  @Test
  void noTextJudges() {
    Pattern judging = Pattern.compile("\\b(un)?(safe|violat|complian|comply|illegal|code\\b)");
    List<String> texts = new ArrayList<>();
    trade.wordings().forEach(w -> texts.addAll(List.of(w.seen(), w.why(), w.who())));
    trade.profiles().forEach(p -> p.duties().forEach(d -> texts.add(d.text())));
    stops.forEach(s -> texts.add(trade.caution(s)));
    trade.terms().forEach(t -> texts.add(t.term() + " " + t.meaning()));
    trade.parts().forEach(p -> texts.add(p.meaning()));
    trade.routes().forEach(r -> r.stops().forEach(s -> texts.add(s.title())));
    java.util.ResourceBundle own =
        java.util.ResourceBundle.getBundle("meterside.trade.sentences", Locale.ROOT);
    own.keySet().forEach(k -> texts.add(own.getString(k)));
    for (String text : texts) {
      assertFalse(judging.matcher(text.toLowerCase(Locale.ROOT)).find(), text);
    }
  }
}

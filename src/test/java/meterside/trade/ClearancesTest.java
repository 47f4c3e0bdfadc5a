package meterside.trade;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import meterside.trade.Clearances.Answer;
import meterside.trade.Clearances.Ground;
import meterside.trade.Clearances.Opening;
import meterside.trade.Clearances.Overhang;
import meterside.trade.Clearances.Roof;
import meterside.trade.Clearances.Status;
import meterside.trade.Clearances.Surface;
import meterside.trade.Clearances.Wires;
import org.junit.jupiter.api.Test;

/** Figures against the NEC's sections; the section and edition stand beside each check. */
class ClearancesTest {
  private final Clearances clearances = Trade.standard().clearances();
  private final Wires house = Wires.HOUSE;

  private static List<Double> feet(List<Answer> answers) {
    return answers.stream().map(Answer::feet).toList();
  }

  private static Roof slope(double riseIn12) {
    return new Roof(riseIn12, false, false, null);
  }

  private List<Double> overRoof(Roof roof, Integer edition) {
    return feet(clearances.aboveRoof(roof, house, edition));
  }

  @Test
  void theRoofFigureDependsOnTheEdition() {
    assertEquals(List.of(8.0), overRoof(slope(2), 2017)); // NEC 2017 230.24(A)
    assertEquals(List.of(8.0), overRoof(slope(2), 2020)); // NEC 2020 230.24(A)
    assertEquals(List.of(8.5), overRoof(slope(2), 2023)); // NEC 2023 230.24(A)
  }

  @Test
  void anUnknownEditionShowsBothFigures() {
    assertEquals(List.of(8.0, 8.5), overRoof(slope(2), null));
    assertEquals(List.of(8.0, 8.5), overRoof(slope(2), 1999));
    assertEquals(
        List.of("NEC 2017, 2020", "NEC 2023"),
        clearances.aboveRoof(slope(2), house, null).stream().map(Answer::edition).toList());
  }

  @Test
  void aSlopeOfExactlyFourInTwelveCountsAsSteep() {
    // NEC 230.24(A) exception 2: 4 in 12 or greater, and not over 300 V between conductors.
    assertEquals(List.of(3.0), overRoof(slope(4), 2017));
    assertEquals(List.of(8.0), overRoof(slope(3.9), 2017));
    assertEquals(List.of(8.5), overRoof(slope(3.9), 2023));
    Wires high = new Wires(277, 480, true);
    assertEquals(List.of(8.5), feet(clearances.aboveRoof(slope(6), high, 2023)));
  }

  @Test
  void theOverhangFigureNeedsEveryCondition() {
    // NEC 230.24(A) exception 3.
    assertEquals(
        List.of(1.5), overRoof(new Roof(2, false, false, new Overhang(true, 6, 4, true)), 2020));
    List<Overhang> flipped =
        List.of(
            new Overhang(false, 6, 4, true),
            new Overhang(true, 6.1, 4, true),
            new Overhang(true, 6, 4.1, true),
            new Overhang(true, 6, 4, false));
    for (Overhang o : flipped) {
      assertEquals(List.of(8.0), overRoof(new Roof(2, false, false, o), 2020), o.toString());
    }
    Roof all = new Roof(2, false, false, new Overhang(true, 6, 4, true));
    assertEquals(List.of(8.0), feet(clearances.aboveRoof(all, new Wires(277, 480, true), 2020)));
  }

  @Test
  void aRoofThatIsUsedIsMeasuredAsGroundFromTheRoof() {
    // NEC 230.24(A) exception 1 and 230.24(B)(1).
    Answer a = clearances.aboveRoof(new Roof(6, true, false, null), house, 2023).get(0);
    assertEquals(10.0, a.feet());
    assertEquals(Surface.ROOF, a.measuredFrom());
  }

  @Test
  void aGuardedRoofHasThreeFeet() {
    // NEC 230.24(A) exception 5.
    assertEquals(List.of(3.0), overRoof(new Roof(1, false, true, null), 2017));
  }

  @Test
  void theReachBeyondTheEdgeFallsAwayForALastSpanAtTheSide() {
    // NEC 230.24(A) and its exception 4.
    assertEquals(List.of(3.0), feet(clearances.beyondRoofEdge(false, 2023)));
    assertEquals(List.of(), clearances.beyondRoofEdge(true, 2023));
  }

  @Test
  void groundFiguresAreThoseOfTheTable() {
    // NEC 230.24(B)(1), (2), (4), (5); the same in 2017, 2020 and 2023.
    for (Integer edition : new Integer[] {2017, 2020, 2023, null}) {
      assertEquals(List.of(10.0), over(Ground.PEDESTRIANS, house, edition));
      assertEquals(List.of(12.0), over(Ground.RESIDENTIAL, house, edition));
      assertEquals(List.of(18.0), over(Ground.STREET, house, edition));
      assertEquals(List.of(24.5), over(Ground.RAILROAD, house, edition));
    }
    // (1) is for cable on a bare messenger only; open wires fall to (2).
    assertEquals(List.of(12.0), over(Ground.PEDESTRIANS, new Wires(120, 240, false), 2023));
  }

  private List<Double> over(Ground ground, Wires wires, Integer edition) {
    return feet(clearances.overGround(ground, Surface.GRADE, wires, edition));
  }

  @Test
  void aHouseNeverGetsFifteenFeet() {
    // NEC 230.24(B)(3) is for more than 300 V to ground.
    for (Ground g : Ground.values()) {
      for (boolean messenger : new boolean[] {true, false}) {
        for (Integer edition : new Integer[] {2017, 2020, 2023, null}) {
          assertFalse(over(g, new Wires(120, 240, messenger), edition).contains(15.0), g.name());
        }
      }
    }
    assertEquals(List.of(15.0), over(Ground.RESIDENTIAL, new Wires(347, 600, false), 2023));
  }

  @Test
  void aDripLoopOverADeckIsMeasuredFromTheDeck() {
    // NEC 230.24(B)(1): from final grade or other accessible surface.
    Answer a = clearances.overGround(Ground.PEDESTRIANS, Surface.DECK, house, 2020).get(0);
    assertEquals(10.0, a.feet());
    assertTrue(a.sentence().contains("the deck"), a.sentence());
  }

  @Test
  void openingsHaveTheirExceptions() {
    // NEC 230.9(A) and its exception; IRC 2018 figure E3604.1 for fixed windows.
    Opening w = Opening.WINDOW_THAT_OPENS;
    assertEquals(List.of(3.0), feet(clearances.fromOpening(w, false, false, 2023)));
    assertEquals(List.of(), clearances.fromOpening(w, true, false, 2023));
    assertEquals(List.of(), clearances.fromOpening(w, false, true, 2023));
    assertEquals(List.of(), clearances.fromOpening(Opening.FIXED_WINDOW, false, false, 2023));
    assertEquals(
        List.of(3.0), feet(clearances.fromOpening(Opening.DOOR_PORCH_OR_STAIR, true, false, 2023)));
  }

  @Test
  void tenFeetIsTheAttachmentsFloor() {
    Answer floor = clearances.attachment(2023).get(0); // NEC 230.26
    assertEquals("230.26", floor.section());
    assertTrue(floor.looksLow(9 + 11 / 12.0));
    assertFalse(floor.looksLow(10));
    // Ten feet meets the floor; wires over a drive may still hang too low: 230.24(B)(2).
    assertTrue(
        clearances.overGround(Ground.RESIDENTIAL, Surface.GRADE, house, 2023).get(0).looksLow(10));
  }

  @Test
  void theHeadMayBeTwoFeetFromTheAttachmentAtMost() {
    // NEC 2023 230.54(C) exception, read; earlier editions from memory.
    assertEquals(List.of(2.0), feet(clearances.headFromAttachment(2023)));
    assertEquals(Status.SEEN_TEXT, clearances.headFromAttachment(2023).get(0).status());
    assertEquals(Status.MEMORY, clearances.headFromAttachment(2017).get(0).status());
  }

  @Test
  void poolFiguresComeByRowAndFromTheHighestWater() {
    // NEC 2017 table 680.9(A), rows A, B, C, first column.
    List<Answer> pool = clearances.pool(2017);
    assertEquals(List.of(22.5, 14.5, 10.0), feet(pool));
    assertEquals(
        List.of(Surface.WATER, Surface.STAND, Surface.POOL_WALL),
        pool.stream().map(Answer::measuredFrom).toList());
    assertTrue(pool.get(0).sentence().contains("highest level"));
    assertEquals(Status.MEMORY, clearances.pool(2023).get(0).status());
  }

  @Test
  void wrongNumbersFoundInPublicTextAreNotGiven() {
    // "15 ft over a residential driveway": 230.24(B)(2) says 12.
    assertEquals(List.of(12.0), over(Ground.RESIDENTIAL, house, 2023));
    // "3 ft over a roof" as the general rule: only under exceptions 2 and 5.
    assertFalse(overRoof(slope(0), null).contains(3.0));
    // "8 ft above finished grade" for 230.24(A): it is above a roof.
    assertTrue(
        clearances.rows().stream()
            .filter(r -> r.section().startsWith("230.24(A)"))
            .noneMatch(r -> r.applies().contains("grade")));
    assertEquals(Surface.ROOF, clearances.aboveRoof(slope(0), house, 2017).get(0).measuredFrom());
    // "8 ft whatever the slope": exception 2.
    assertEquals(List.of(3.0), overRoof(slope(9), 2017));
    // "the slope must exceed 4 in 12": 4 in 12 itself qualifies.
    assertEquals(List.of(3.0), overRoof(slope(4), 2023));
    // "8 ft 6 in" for 2017 or 2020 services: that was 225.19(A), feeders.
    assertFalse(overRoof(slope(0), 2017).contains(8.5));
    assertFalse(overRoof(slope(0), 2020).contains(8.5));
    // "38 standard breaker sizes": NEC 2017 table 240.6(A) has 37.
    assertEquals(37, Trade.standard().ratings().standard().size());
  }

  @Test
  void everyAnswerNamesSectionEditionAndHowWellItIsKnownAndJudgesNothing() {
    for (Answer a : clearances.pool(null)) {
      String low = a.sentence(a.feet() - 0.5);
      assertTrue(low.contains("looks low; measure or have it checked"), low);
      assertTrue(low.contains(a.section()) && low.contains("NEC 20"), low);
      assertTrue(low.contains("read") || low.contains("from memory"), low);
    }
    assertEquals(
        List.of("8 ft 6 in", "18 in", "10 ft", "9 ft 11 in"),
        List.of(8.5, 1.5, 10.0, 9.99).stream().map(Clearances::feetAndInches).toList());
  }

  @Test
  void feetAreTheAuthority() {
    // NIST SP 811: 1 ft = 0.3048 m exactly; the NEC's printed metres are rounded.
    assertEquals(2.5908, clearances.aboveRoof(slope(0), house, 2023).get(0).metres(), 1e-12);
  }
}

package meterside.markup;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Locale;
import java.util.Optional;
import meterside.job.Measure;
import meterside.trade.Trade;
import org.junit.jupiter.api.Test;

/** The note beside a measured clearance. Figures: NEC 230.24(A), editions 2017, 2020 and 2023. */
class ClearanceNoteTest {
  private final Trade trade = Trade.standard();

  private static Measure measured() {
    MarkedPhoto p = new MarkedPhoto(4000, 3000).measure(2.5, .05, .5, .2, .5, .8);
    return (Measure) p.job().marks().get(1);
  }

  @Test
  void figuresOfEveryEditionAreShownWithTheirPlace() {
    List<String> lines = ClearanceNote.lines(measured().beside("ROOF_BASE", false), trade);
    assertEquals("Published figure: 8 ft, above roof (NEC 2017, 2020, 230.24(A)).", lines.get(0));
    assertEquals("Published figure: 8 ft 6 in, above roof (NEC 2023, 230.24(A)).", lines.get(1));
    assertTrue(lines.get(2).contains("estimate"));
    assertTrue(lines.get(2).contains("the local code and the utility decide"));
    assertEquals("Never put a tape or a rod near service conductors.", lines.get(3));
  }

  @Test
  void itNeverPrintsUnlessChosen() {
    assertEquals(Optional.empty(), ClearanceNote.printed(measured(), trade));
    assertEquals(
        Optional.empty(), ClearanceNote.printed(measured().beside("ROOF_BASE", false), trade));
    assertTrue(
        ClearanceNote.printed(measured().beside("ROOF_BASE", true), trade)
            .orElseThrow()
            .contains("8 ft 6 in"));
    // Without a clearance there is nothing to print.
    assertFalse(measured().beside(null, true).clearancePrints());
  }

  @Test
  void nothingPassesOrFails() {
    for (ClearanceNote.Choice c : ClearanceNote.choices(trade)) {
      for (String line : ClearanceNote.lines(measured().beside(c.id(), true), trade)) {
        String low = line.toLowerCase(Locale.ROOT);
        for (String barred :
            new String[] {"pass", "fail", "complian", "violation", "safe", "too low", "looks"}) {
          assertFalse(low.contains(barred), line);
        }
      }
    }
  }
}

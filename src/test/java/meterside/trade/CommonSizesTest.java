package meterside.trade;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.HashSet;
import java.util.Set;
import meterside.job.Reference;
import org.junit.jupiter.api.Test;

/** The list of common sizes. Figures and sources stand beside each in the list itself. */
class CommonSizesTest {
  private final CommonSizes sizes = Trade.standard().sizes();

  private Reference one(String id) {
    return sizes.find(id).orElseThrow().reference(1);
  }

  @Test
  void everySizeHasASourceAnErrorAndAQuestion() {
    Set<String> ids = new HashSet<>();
    for (CommonSizes.Group g : sizes.groups()) {
      assertTrue(g.ask().contains("?") || g.ask().contains("Measure"), g.id());
      assertFalse(g.sizes().isEmpty(), g.id());
      for (CommonSizes.Size s : g.sizes()) {
        assertTrue(ids.add(s.id()), s.id());
        assertFalse(s.source().isBlank(), s.id());
        assertTrue(s.plusMinus() > 0 && s.plusMinus() < s.inches() / 10, s.id());
        assertEquals(s.status() == CommonSizes.Status.MEMORY, s.source().contains("from memory"));
        assertEquals(s.rectangle(), s.reference(1).rectangle());
        assertEquals(g, sizes.groupOf(s.id()).orElseThrow());
      }
    }
  }

  /** ANSI/NEMA WD 6: a 1-gang plate is 2.75 by 4.49 in, nominally 69.9 by 114 mm. */
  @Test
  void theOneGangPlateIsThatOfTheStandard() {
    assertEquals(0.0699, one("plate-1-gang").length(), 0.0001);
    assertEquals(0.114, one("plate-1-gang").height(), 0.0005);
  }

  /**
   * Brick Industry Association Technical Note 10: three courses of modular brick are 8 in, five of
   * queen or king 16 in. Read as the other, the same wall comes out a fifth longer.
   */
  @Test
  void coursesOfBrickAddUpAndKindsDifferByAFifth() {
    Reference three = sizes.find("brick-modular-courses").orElseThrow().reference(3);
    Reference five = sizes.find("brick-queen-courses").orElseThrow().reference(5);
    assertEquals(8 * 0.0254, three.length(), 1e-5);
    assertEquals(16 * 0.0254, five.length(), 1e-5);
    assertEquals("3 courses of modular brick", three.name());
    assertEquals(1.2, five.length() / 5 / (three.length() / 3), 1e-4);
  }

  @Test
  void onlyCoursesAreCounted() {
    CommonSizes.Size plate = sizes.find("plate-1-gang").orElseThrow();
    assertThrows(IllegalArgumentException.class, () -> plate.reference(2));
    assertThrows(
        IllegalArgumentException.class,
        () -> sizes.find("siding-d4-courses").orElseThrow().reference(0));
  }

  /** ISO/IEC 7810 ID-1, from memory: 85.60 by 53.98 mm. */
  @Test
  void theCardIsThatOfTheStandard() {
    assertEquals(0.0856, one("card").length(), 0.0001);
    assertEquals(0.05398, one("card").height(), 0.0001);
  }
}

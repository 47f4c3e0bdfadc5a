package meterside.trade;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.OptionalInt;
import org.junit.jupiter.api.Test;

class RatingsTest {
  private final Ratings ratings = Trade.standard().ratings();

  @Test
  void theThirtySevenStandardRatingsAreOrdinary() {
    // NEC 2017 table 240.6(A).
    int[] all = {
      15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250, 300,
      350, 400, 450, 500, 600, 700, 800, 1000, 1200, 1600, 2000, 2500, 3000, 4000, 5000, 6000
    };
    assertEquals(37, all.length);
    for (int a : all) {
      assertTrue(ratings.ordinary(a, 2017), a + " A");
    }
    assertEquals(37, ratings.standard().size());
  }

  @Test
  void anOddRatingIsAQuestionAndNotAnError() {
    assertFalse(ratings.ordinary(55, 2017));
    assertTrue(ratings.question(55, 2017).orElseThrow().endsWith("Other ratings exist."));
    assertEquals(true, ratings.question(60, 2017).isEmpty());
  }

  @Test
  void tenAmperesIsOrdinaryOnlyFrom2023() {
    // NEC 2023 240.6(A), inferred: the fuse list lost 10 and 210.18 knows 10 A circuits.
    assertFalse(ratings.ordinary(10, 2017));
    assertFalse(ratings.ordinary(10, 2020));
    assertFalse(ratings.ordinary(10, null));
    assertTrue(ratings.ordinary(10, 2023));
  }

  @Test
  void smallWiresHaveTheirUsualBreaker() {
    // NEC 240.4(D).
    assertEquals(OptionalInt.of(15), ratings.largestUsual("copper", 14));
    assertEquals(OptionalInt.of(20), ratings.largestUsual("copper", 12));
    assertEquals(OptionalInt.of(30), ratings.largestUsual("copper", 10));
    assertEquals(OptionalInt.of(15), ratings.largestUsual("aluminum", 12));
    assertEquals(OptionalInt.of(25), ratings.largestUsual("aluminum", 10));
    assertEquals(OptionalInt.empty(), ratings.largestUsual("copper", 8));
  }
}

package meterside.job;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** APEX (CIPA DC-008, annex on APEX units): EV = 2 log2 N − log2 t; ISO 100 is Sv 5. */
class ExposureTest {

  @ParameterizedTest
  @CsvSource({
    // f/1, 1 s, ISO 100 is EV 0 by definition; f/16 at 1/128 s is EV 15
    "1, 1, 100, 0",
    "16, 0.0078125, 100, 15",
    "2, 0.25, 100, 4",
    // twice the sensitivity means one EV less light for the same exposure
    "2, 0.25, 200, 3",
    "2, 0.25, 50, 5"
  })
  void computesTheExposureValueAtIso100(double n, double t, double iso, double ev) {
    assertEquals(ev, new Exposure(n, t, iso).ev100().orElseThrow(), 1e-12);
  }

  @Test
  void hasNoneWithoutAllThreeFigures() {
    assertTrue(new Exposure(null, 0.01, 100.0).ev100().isEmpty());
    assertTrue(new Exposure(2.0, 0.0, 100.0).ev100().isEmpty());
    assertTrue(new Exposure(2.0, 0.01, -1.0).ev100().isEmpty());
    assertTrue(new Exposure(Double.POSITIVE_INFINITY, 0.01, 100.0).ev100().isEmpty());
  }
}

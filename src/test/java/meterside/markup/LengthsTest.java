package meterside.markup;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.List;
import org.junit.jupiter.api.Test;

/** Lengths as they are written. */
class LengthsTest {

  private static Measured inches(double value, double band) {
    return new Measured(value * Measuring.INCH, band * Measuring.INCH, List.of(), null);
  }

  @Test
  void feetAndInchesSayNoMoreThanIsKnown() {
    assertEquals(
        "about 6 ft 4 1/2 in, give or take 1 in", Lengths.feetAndInches(inches(76.5, .5 + .01)));
    assertEquals("about 6 in, give or take 1/2 in", Lengths.feetAndInches(inches(6.106, .15)));
    assertEquals("about 10 ft, give or take 4 in", Lengths.feetAndInches(inches(120.7, 3.2)));
    assertEquals("about 12 ft, give or take 2 ft", Lengths.feetAndInches(inches(140, 20)));
    assertEquals("about 3/4 in, give or take 1/4 in", Lengths.feetAndInches(inches(.76, .1)));
  }

  @Test
  void metresLikewise() {
    assertEquals(
        "about 1.94 m, give or take 0.02 m",
        Lengths.metres(new Measured(1.943, .013, List.of(), null)));
    assertEquals(
        "about 0.155 m, give or take 0.005 m",
        Lengths.metres(new Measured(.1551, .004, List.of(), null)));
    assertEquals(
        "about 3.2 m, give or take 0.4 m",
        Lengths.metres(new Measured(3.14, .31, List.of(), null)));
  }

  @Test
  void aRefusedMeasurementSaysWhy() {
    Measured refused = Measured.refuse(Doubt.GRAZING);
    assertEquals(Doubt.GRAZING.sentence(), Lengths.feetAndInches(refused));
    assertEquals(Doubt.GRAZING.sentence(), Lengths.metres(refused));
  }
}

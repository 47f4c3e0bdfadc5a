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

  @Test
  void lengthsAreReadAsPeopleWriteThem() {
    double inch = Measuring.INCH;
    assertEquals(42.5 * inch, Lengths.read("3 ft 6 1/2 in").orElseThrow(), 1e-9);
    assertEquals(42 * inch, Lengths.read("3'6\"").orElseThrow(), 1e-9);
    assertEquals(90 * inch, Lengths.read("7.5ft").orElseThrow(), 1e-9);
    assertEquals(7.625 * inch, Lengths.read("7-5/8 in").orElseThrow(), 1e-9);
    assertEquals(.75 * inch, Lengths.read("3/4 in").orElseThrow(), 1e-9);
    assertEquals(36 * inch, Lengths.read(" 36IN ").orElseThrow(), 1e-9);
    assertEquals(.9, Lengths.read("90 cm").orElseThrow(), 1e-9);
    assertEquals(.9, Lengths.read("0.9").orElseThrow(), 1e-9);
    for (String none : new String[] {"", " ", "ft", "-3 ft", "0 in", "3 miles", "1/0 in", "1e9"}) {
      assertEquals(java.util.Optional.empty(), Lengths.read(none), none);
    }
  }
}

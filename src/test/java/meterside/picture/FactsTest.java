package meterside.picture;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTimeoutPreemptively;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.ByteBuffer;
import java.time.Duration;
import java.time.Instant;
import meterside.job.Exposure;
import meterside.job.Position;
import meterside.job.Recorded;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Tags and their meaning: CIPA DC-008 (Exif 2.32). */
class FactsTest {

  private static Facts facts(ExifBlock block) {
    byte[] b = block.bytes();
    return Facts.read(b, 0, b.length);
  }

  @Test
  void keepsTimesWordForWord() {
    Recorded r =
        facts(
                new ExifBlock()
                    .exif(0x9003, "2026:05:12 09:08:07")
                    .exif(0x9004, "2026:05:12 09:08:08")
                    .exif(0x9291, "050")
                    .exif(0x9011, "-06:30")
                    .gps(0x1d, "2026:05:12")
                    .gpsRational(0x07, 15, 1, 38, 1, 70500, 10000))
            .recorded();
    assertEquals(
        new Recorded(
            "2026:05:12 09:08:07",
            "2026:05:12 09:08:08",
            "050",
            "-06:30",
            "2026:05:12",
            "15:38:07.05",
            null),
        r);
    assertEquals("2026-05-12T09:08:07.050-06:30", r.wallText().orElseThrow());
    assertEquals(Instant.parse("2026-05-12T15:38:07.050Z"), r.gps().orElseThrow());
  }

  @ParameterizedTest
  @ValueSource(strings = {"0000:00:00 00:00:00", "    :  :     :  :  ", "", "yesterday"})
  void unknownTimesAreKeptAsTextAndAreNoTime(String text) {
    Recorded r = facts(new ExifBlock().exif(0x9003, text)).recorded();
    assertEquals(text, r.original());
    assertTrue(r.wall().isEmpty());
  }

  @ParameterizedTest
  @CsvSource({
    "N, E, 40.446388888888, 79.9822222222",
    "S, E, -40.446388888888, 79.9822222222",
    "N, W, 40.446388888888, -79.9822222222",
    "s, w, -40.446388888888, -79.9822222222",
  })
  void theSignOfAPositionComesFromItsReference(String ns, String ew, double lat, double lon) {
    Position p = facts(position(ns, ew)).position();
    assertEquals(lat, p.latitude(), 1e-9);
    assertEquals(lon, p.longitude(), 1e-9);
  }

  @Test
  void aPositionNeedsItsReferences() {
    assertNull(facts(position("", "W")).position());
    assertNull(facts(position("N", "Q")).position());
  }

  @Test
  void impossibleOrMissingCoordinatesAreNoPosition() {
    ExifBlock b = position("N", "W");
    assertNull(facts(b.gpsRational(0x02, 91, 1, 0, 1, 0, 1)).position());
    assertNull(facts(b.gpsRational(0x02, 40, 0, 0, 1, 0, 1)).position());
    assertNull(
        facts(
                position("N", "E")
                    .gpsRational(0x02, 0, 1, 0, 1, 0, 1)
                    .gpsRational(0x04, 0, 1, 0, 1, 0, 1))
            .position(),
        "0, 0 is what receivers write without a fix");
  }

  @Test
  void headingAndErrorAreRead() {
    Position p =
        facts(
                position("N", "W")
                    .gps(0x10, "M")
                    .gpsRational(0x11, 36000, 100)
                    .gpsRational(0x1f, 45, 10))
            .position();
    assertEquals(0.0, p.heading());
    assertTrue(p.headingMagnetic());
    assertEquals(4.5, p.errorMetres());
    Position north = facts(position("N", "W").gps(0x10, "T").gpsRational(0x11, 12, 0)).position();
    assertNull(north.heading());
    assertFalse(north.headingMagnetic());
  }

  @Test
  void exposureGuardsAgainstNothingAndInfinity() {
    assertNull(
        facts(new ExifBlock().exifRational(0x829a, 0, 0).exifRational(0x829d, 5, 0)).exposure());
    assertNull(facts(new ExifBlock().exif(0x9003, "2026:05:12 09:08:07")).exposure());
    Exposure e =
        facts(
                new ExifBlock()
                    .exifRational(0x829a, 1, 125)
                    .exifRational(0x829d, 28, 10)
                    .exifShort(0x8827, 400))
            .exposure();
    assertEquals(new Exposure(2.8, 1 / 125.0, 400.0), e);
  }

  @Test
  void apexValuesStandInForMissingOnes() {
    // Av 4 is f/4 and Tv 6 is 1/64 s (CIPA DC-008, APEX table)
    Exposure e =
        facts(
                new ExifBlock()
                    .exifRational(0x9201, 6, 1)
                    .exifRational(0x9202, 4, 1)
                    .exifShort(0x8827, 100))
            .exposure();
    assertEquals(4.0, e.fNumber(), 1e-12);
    assertEquals(1 / 64.0, e.seconds(), 1e-12);
    assertEquals(10, e.ev100().orElseThrow(), 1e-12);
  }

  @Test
  void sensitivityBeyondItsTagComesFromTheOneThatTheTypeNames() {
    ExifBlock b = new ExifBlock().exifShort(0x8827, 65535).exifShort(0x8830, 2);
    assertEquals(65535.0, facts(b).exposure().iso());
    assertEquals(102400.0, facts(b.exifRational(0x8832, 102400, 1)).exposure().iso());
  }

  @Test
  void labelsLoseBlanksAndControlCharacters() {
    Facts f = facts(new ExifBlock().main(0x010f, " Acme\u0007 ").main(0x0110, "   "));
    assertEquals("Acme", f.make());
    assertNull(f.model());
  }

  @Test
  void whatWasReadBeforeSomethingIllegalCounts() {
    byte[] b =
        ExifBlock.camera("Acme", "One", "2026:05:12 09:08:07").gps(0x1d, "2026:05:12").bytes();
    Facts cut = Facts.read(b, 0, b.length - 12);
    assertEquals("Acme", cut.make());
    assertTrue(cut.any());
  }

  @Test
  void aChainOfDirectoriesThatNeverEndsTakesNoTime() {
    // Every second offset is a directory of EXIF pointers to the next: a tangle that a reader
    // without a limit walks for a very long time.
    int n = 60_000;
    ByteBuffer b = ByteBuffer.allocate(n);
    b.put(new byte[] {'M', 'M', 0, 42, 0, 0, 0, 8});
    while (b.remaining() > 14) {
      b.putShort((short) 255).putShort((short) 0x8769).putShort((short) 4).putInt(1);
      b.putInt(8 + (b.position() * 31 % (n - 4000)));
    }
    assertTimeoutPreemptively(
        Duration.ofSeconds(10), () -> assertNotNull(Facts.read(b.array(), 0, n)));
  }

  @Test
  void valuesThatClaimToBeHugeAreNotTaken() {
    ByteBuffer b = ByteBuffer.allocate(8_000_000);
    b.put(new byte[] {'M', 'M', 0, 42, 0, 0, 0, 8});
    b.putShort((short) 250);
    for (int i = 0; i < 250; i++) {
      // Four million SHORTs each: together eight gigabytes as a reader's arrays.
      b.putShort((short) (0x9003 + i)).putShort((short) 3).putInt(3_900_000).putInt(8);
    }
    assertTimeoutPreemptively(
        Duration.ofSeconds(5), () -> assertNotNull(Facts.read(b.array(), 0, b.capacity())));
  }

  private static ExifBlock position(String ns, String ew) {
    return new ExifBlock()
        .gps(0x01, ns)
        .gpsRational(0x02, 40, 1, 26, 1, 47, 1)
        .gps(0x03, ew)
        .gpsRational(0x04, 79, 1, 58, 1, 56, 1);
  }
}

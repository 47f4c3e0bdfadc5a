package meterside.job;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Instant;
import java.time.ZoneOffset;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Tag semantics after CIPA DC-008 (Exif), sections on date and time and on the GPS IFD. */
class RecordedTest {

  private static Recorded wall(String original, String sub, String offset) {
    return new Recorded(original, null, sub, offset, null, null, null);
  }

  @ParameterizedTest
  @CsvSource(
      nullValues = "-",
      value = {
        "2026:05:12 10:06:31, -, -, 2026-05-12T10:06:31",
        "2026:05:12 10:06:00, -, -, 2026-05-12T10:06:00",
        // SubSecTime holds the digits of a decimal fraction: "05" is .05 and "5" is .5
        "2026:05:12 10:06:31, 05, -, 2026-05-12T10:06:31.05",
        "2026:05:12 10:06:31, 5, -, 2026-05-12T10:06:31.5",
        "2026:05:12 10:06:31, '37  ', -04:00, 2026-05-12T10:06:31.37-04:00",
        "2026:05:12 10:06:31, abc, +06:30, 2026-05-12T10:06:31+06:30"
      })
  void saysWhatTheCameraWrote(String original, String sub, String offset, String expected) {
    assertEquals(Optional.of(expected), wall(original, sub, offset).wallText());
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "0000:00:00 00:00:00",
        "    :  :     :  :  ",
        "",
        "2026:13:01 00:00:00",
        "2026:02:30 10:00:00",
        "yesterday"
      })
  void knowsWhenNoTimeWasWritten(String original) {
    assertEquals(Optional.empty(), wall(original, "12", null).wall());
  }

  @Test
  void fallsBackToTheDigitizedTimeWithoutTheOriginalsFraction() {
    Recorded r =
        new Recorded("0000:00:00 00:00:00", "2026:05:12 10:00:00", "77", null, null, null, null);
    assertEquals(Optional.of("2026-05-12T10:00:00"), r.wallText());
    assertFalse(r.wallIsOriginal());
  }

  @ParameterizedTest
  @CsvSource({"-05:00, -18000", "+06:30, 23400", "Z, 0"})
  void readsOffsets(String text, int seconds) {
    assertEquals(
        Optional.of(ZoneOffset.ofTotalSeconds(seconds)),
        wall("2026:05:12 10:00:00", null, text).zoneOffset());
  }

  @ParameterizedTest
  @ValueSource(strings = {"   :  ", "+25:00", "east", ""})
  void refusesImpossibleOffsets(String text) {
    assertEquals(Optional.empty(), wall("2026:05:12 10:00:00", null, text).zoneOffset());
  }

  @Test
  void readsGpsTimeAsUtc() {
    Recorded r = new Recorded(null, null, null, null, "2026:05:12", "14:6:31.5", null);
    assertEquals(Optional.of(Instant.parse("2026-05-12T14:06:31.500Z")), r.gps());
  }

  @ParameterizedTest
  @CsvSource({
    "2014:09:259, 10:0:0",
    "1999:99:99, 99:99:99",
    "2026:05:12, 24:0:0",
    "0000:00:00, 0:0:0",
    "'', 0:0:0"
  })
  void refusesImpossibleGpsTimes(String date, String time) {
    assertEquals(Optional.empty(), new Recorded(null, null, null, null, date, time, null).gps());
  }

  @Test
  void noticesADateThatCamerasStartFrom() {
    assertTrue(wall("2000:01:01 00:03:11", null, null).looksLikeFactoryDate());
    assertFalse(wall("2026:05:12 10:00:00", null, null).looksLikeFactoryDate());
    assertFalse(wall("2024:01:01 11:00:00", null, null).looksLikeFactoryDate());
  }
}

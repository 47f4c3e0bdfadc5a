package meterside.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.text.Bidi;
import java.time.Instant;
import java.time.ZoneId;
import java.util.List;
import meterside.job.Clock;
import meterside.job.ClockBasis;
import meterside.job.Point;
import meterside.job.TimeBasis;
import meterside.markup.Drawing;
import meterside.markup.Plate;
import meterside.markup.Ring;
import org.junit.jupiter.api.Test;

/** Times, clocks, glyphs, right-to-left text and close-ups. */
class WordsTest {
  @Test
  void timesAreThoseOfTheHouse() {
    ZoneId zone = ZoneId.of("America/New_York");
    Instant at = Instant.parse("2026-05-12T14:07:42.250Z");
    assertEquals("2026-05-12 10:07:42 -04:00", Words.full(at, zone));
    assertEquals("12 May 2026, 10:07", Words.dayAndTime(at, zone));
  }

  @Test
  void aFastClockIsSetBackAndASlowOneForward() {
    Clock fast = new Clock(58_000, ClockBasis.GPS, null);
    Clock slow = new Clock(-3_723_250, ClockBasis.BY_HAND, null);
    assertEquals("clock set back 58 s (from GPS)", Words.correction(fast, TimeBasis.CAMERA));
    assertEquals(
        "clock set forward 1 h 2 min 3.25 s (by hand)",
        Words.correction(slow, TimeBasis.CAMERA_WITH_OFFSET));
    assertEquals("clock taken as right", Words.correction(Clock.ASSUMED, TimeBasis.CAMERA));
    assertEquals("", Words.correction(fast, TimeBasis.GPS), "GPS time needs no correction");
  }

  @Test
  void whatNoFontHasIsShownAsItsNumberAndNothingElseChanges() {
    assertEquals("[U+1F525]", Glyphs.printable("\ud83d\udd25"));
    assertEquals("[U+D83D]", Glyphs.printable("\ud83d"), "half a character");
    assertEquals("[U+200B][U+0000]", Glyphs.printable("\u200b\u0000"));
    String shown = "Añö – “x” → ✓ ⚠ Ω Ж שלום مرحبا °½\nline";
    assertEquals(shown, Glyphs.printable(shown));
  }

  @Test
  void rightToLeftRunsAreTurnedAsTheJdkDoes() {
    String text = "abc \u05d0\u05d1\u05d2 (x) 12";
    BidiText.Splitter splitter = new BidiText.Splitter();
    splitter.setParagraph(text, (byte) 0);
    Bidi jdk = new Bidi(text, Bidi.DIRECTION_LEFT_TO_RIGHT);
    assertEquals(jdk.getRunCount(), splitter.countTextRuns());
    BidiText.Reorderer turn = new BidiText.Reorderer();
    assertEquals("\u05d2\u05d1\u05d0", turn.reorderRTLTextToLTR("\u05d0\u05d1\u05d2"));
    assertEquals("(\u05d0)", turn.reorderRTLTextToLTR("(\u05d0)"), "brackets are mirrored");
    // A point stays with its letter.
    assertEquals("\u05d1\u05d0\u05b8", turn.reorderRTLTextToLTR("\u05d0\u05b8\u05d1"));
  }

  @Test
  void cssStringsCannotBeLeft() {
    String css = PageHead.cssString("a\"; } body { x: url(http://y) } \\ \n <");
    assertTrue(css.matches("\"([A-Za-z0-9]|\\\\[0-9a-f]{6})*\""), css);
  }

  @Test
  void aCloseUpHoldsAllOfItsMarksAndLeavesOutTheOthers() {
    double aspect = 4.0 / 3;
    Ring ring = new Ring(1, new Point(0.1, 0.9), 0.01, 0.002, 0.002, 0.003);
    Plate plate =
        new Plate(
            1, 1, new Point(0.12, 0.8), 0.2, 0.03, 0.003, 0.002, 0.002, true, false, List.of());
    Ring other = new Ring(2, new Point(0.9, 0.1), 0.01, 0.002, 0.002, 0);
    Figure figure =
        new Figure(
            1,
            null,
            null,
            "",
            null,
            null,
            null,
            new Drawing(List.of(ring, plate, other), List.of()),
            List.of(),
            "");
    CloseUp close = CloseUp.of(figure, java.util.Set.of(1), aspect);
    assertEquals(2, close.drawing().shapes().size());
    assertEquals(0.5, close.width(), 1e-9, "never closer than half the photo");
    Ring moved = (Ring) close.drawing().shapes().get(0);
    assertEquals(0.1, close.x() + moved.centre().x() * close.width(), 1e-9);
    assertEquals(0.9, close.y() + moved.centre().y() * close.height(), 1e-9);
    assertEquals(0.02, moved.radius(), 1e-9, "twice as close, twice as large");
    Plate p = (Plate) close.drawing().shapes().get(1);
    double right = p.topLeft().x() + p.width() * Math.hypot(aspect, 1) / aspect;
    assertTrue(p.topLeft().x() >= 0 && right <= 1, "the plate is not cut");
    assertEquals(1, CloseUp.of(figure, java.util.Set.of(), aspect).width(), 1e-9);
  }
}

package meterside.route;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Instant;
import java.time.LocalDateTime;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import meterside.job.Clock;
import meterside.job.ClockBasis;
import meterside.job.Code;
import meterside.job.CodesSeen;
import meterside.job.Edit;
import meterside.job.Job;
import meterside.job.Photo;
import meterside.job.Recorded;
import meterside.trade.Trade;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * GPS times as real files hold them: the time of the fix, often stale (CIPA DC-008, GPSTimeStamp;
 * the kinds of wrong times are those seen in real files, standards notes section 1).
 */
class ClocksTest {

  /** UTC of a local time at the job's house on the day of the walk (MDT is UTC−6). */
  private static LocalDateTime utc(LocalDateTime local) {
    return local.atZone(Jobs.ZONE).withZoneSameInstant(ZoneOffset.UTC).toLocalDateTime();
  }

  private static Clocks.Estimate of(List<Recorded> times) {
    return Clocks.estimate(job(times)).get("A");
  }

  private static Job job(List<Recorded> times) {
    List<Photo> photos = new ArrayList<>();
    for (int i = 0; i < times.size(); i++) {
      photos.add(Jobs.photo("IMG_" + i + ".JPG", "A", times.get(i), null, null));
    }
    return Jobs.with(Jobs.start("overhead"), photos);
  }

  /** Photos whose camera is off by so much, with fresh fixes (within a second) and stale ones. */
  private static List<Recorded> walk(Random r, double offSeconds, double stale, String ownOffset) {
    List<Recorded> out = new ArrayList<>();
    LocalDateTime lastFix = null;
    LocalDateTime t = Jobs.MORNING;
    for (int i = 0; i < 60; i++) {
      t = t.plusNanos((long) (1e9 * (3 + 30 * r.nextDouble())));
      boolean isStale = lastFix != null && r.nextDouble() < stale;
      LocalDateTime fix = isStale ? lastFix : t.minusNanos((long) (1e9 * r.nextDouble()));
      lastFix = fix;
      LocalDateTime wall = t.plusNanos((long) (offSeconds * 1e9));
      out.add(Jobs.recorded(wall, ownOffset, utc(fix)));
    }
    return out;
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12})
  void anOffsetIsFoundWithinTwoSeconds(long seed) {
    System.out.println("seed " + seed);
    Random r = new Random(seed);
    double off = (r.nextDouble() - 0.5) * 8000;
    String own = r.nextBoolean() ? "-06:00" : null;
    Clocks.Estimate e = of(walk(r, off, r.nextDouble() * 0.7, own));
    assertNotNull(e.clock(), e.sentence());
    assertEquals(off, e.clock().offsetSeconds(), 2);
    assertEquals(ClockBasis.GPS, e.clock().basis());
    assertEquals(60, e.photos());
    assertEquals(60, e.gps());
  }

  @Test
  void theSignIsCameraMinusTrueTime() {
    Job job = job(walk(new Random(1), 100, 0, null));
    Edit.SetClock set = (Edit.SetClock) Clocks.settle(job).get(0);
    assertEquals(100, set.clock().offsetSeconds(), 2);
    Job after = set.applyTo(job);
    Photo first = after.inTrueOrder().get(0);
    double seconds =
        java.time.Duration.between(first.recorded().gps().orElseThrow(), after.trueTime(first).at())
                .toMillis()
            / 1000.0;
    assertEquals(0, seconds, 2);
  }

  @ParameterizedTest
  @CsvSource({"3600, whole hour", "-3600, whole hour", "7200, 2 whole hours", "-21600, 6 whole"})
  void wholeHoursAreNoticed(double off, String words) {
    Clocks.Estimate e = of(walk(new Random(7), off + 1, 0.3, null));
    assertEquals(off + 1, e.clock().offsetSeconds(), 2);
    assertTrue(e.sentence().contains(words), e.sentence());
  }

  @Test
  void aFewMinutesAreNoWholeHour() {
    Clocks.Estimate e = of(walk(new Random(8), 754, 0.3, null));
    assertTrue(e.sentence().contains("12 min") && e.sentence().contains("fast"), e.sentence());
    assertTrue(!e.sentence().contains("whole"), e.sentence());
  }

  @Test
  void aFactoryDateIsFoundByGps() {
    Clocks.Estimate e = of(walk(new Random(9), -830_000_123.0, 0.2, null));
    assertEquals(-830_000_123.0, e.clock().offsetSeconds(), 2);
  }

  @Test
  void fixesThatAgreeOnNothingAreRefused() {
    Random r = new Random(3);
    List<Recorded> times = new ArrayList<>();
    for (int i = 0; i < 30; i++) {
      LocalDateTime t = Jobs.MORNING.plusSeconds(20L * i);
      times.add(Jobs.recorded(t, null, utc(t.minusSeconds(r.nextInt(80_000)))));
    }
    Clocks.Estimate e = of(times);
    assertNull(e.clock(), e.sentence());
    assertTrue(e.sentence().contains("too few agree"), e.sentence());
  }

  @Test
  void oneFixForAllPhotosIsStaleAndRefused() {
    List<Recorded> times = new ArrayList<>();
    for (int i = 0; i < 30; i++) {
      LocalDateTime t = Jobs.MORNING.plusSeconds(i);
      times.add(Jobs.recorded(t, null, utc(Jobs.MORNING.minusMinutes(40))));
    }
    assertNull(of(times).clock());
  }

  @Test
  void impossibleGpsTimesCountAsNone() {
    List<Recorded> times = new ArrayList<>();
    for (String date : List.of("2014:09:259", "1999:99:99", "0000:00:00", "")) {
      times.add(new Recorded("2026:05:12 09:00:00", null, null, null, date, "99:99:99", null));
    }
    Clocks.Estimate e = of(times);
    assertEquals(0, e.gps());
    assertNull(e.clock());
  }

  @Test
  void gpsTimeThatRepeatsTheLocalTimeIsRefused() {
    List<Recorded> times = new ArrayList<>();
    for (int i = 0; i < 20; i++) {
      LocalDateTime t = Jobs.MORNING.plusSeconds(15L * i);
      times.add(Jobs.recorded(t, "-06:00", t));
    }
    Clocks.Estimate e = of(times);
    assertNull(e.clock());
    assertTrue(e.sentence().contains("repeat"), e.sentence());
  }

  @Test
  void aGpsDateOneDayLateIsNotTakenForTheCamerasError() {
    // Seen in a real file: a date one day late, with 91 s skew.
    Clocks.Estimate e = of(walk(new Random(4), -86_400 + 91, 0, null));
    assertNull(e.clock());
    assertTrue(e.sentence().contains("whole days"), e.sentence());
  }

  @Test
  void aClockThatWasSetIsLeftAlone() {
    Job job = job(walk(new Random(5), 50, 0, null));
    Clock byHand = new Clock(1_000, ClockBasis.BY_HAND, null);
    Job set = new Edit.SetClock("A", byHand).applyTo(job);
    assertEquals(List.of(), Clocks.settle(set));
    assertEquals(1, Clocks.settle(job).size()); // camera B has no photos and nothing to settle
  }

  @Test
  void spansAreSaidAsPeopleSayThem() {
    assertEquals("42.5 s", Clocks.spoken(42_500));
    assertEquals("3 s", Clocks.spoken(3_000));
    assertEquals("2 min 5 s", Clocks.spoken(125_000));
    assertEquals("1 h 0 min 3 s", Clocks.spoken(3_603_000));
    assertEquals("3 days 1 h", Clocks.spoken((3 * 86_400 + 3_700) * 1000L));
  }

  @Test
  void aPhotographedClockCodeGivesTheOffsetWithinTwoSecondsAndGoesBeforeGps() {
    for (long off : new long[] {58, -3600, 86_400L * 200, 0}) {
      Photo shown = Jobs.photo("code.jpg", "B", Jobs.at(Jobs.MORNING.plusSeconds(off)), 6.0, null);
      Job job = Jobs.with(Jobs.start("overhead"), List.of(shown));
      Instant truth = Jobs.MORNING.minusNanos(700_000_000).atZone(Jobs.ZONE).toInstant();
      job =
          new Edit.NoteCodes(List.of(new CodesSeen(shown.id(), List.of(Code.clock(truth).text()))))
              .applyTo(job);
      Edit.SetClock set = (Edit.SetClock) Clocks.settle(job).get(0);
      assertEquals("B", set.camera());
      assertEquals(ClockBasis.CODE, set.clock().basis());
      assertEquals(off, set.clock().offsetSeconds(), 2);
    }
  }

  /** With nothing recorded, a clock that is wrong by much is found by how the photos fit. */
  @Test
  void aClockThatNothingTellsIsFittedToTheWalkAndARightOneIsLeftAlone() {
    int walks = 8;
    for (long off : new long[] {0, 3600, -7200, 900}) {
      int found = 0;
      int left = 0;
      int wrong = 0;
      for (long seed = 1; seed <= walks; seed++) {
        Walks.Walk walk =
            Walks.draw(seed, Trade.standard().route("overhead"), 120 + 20 * (int) seed, 0);
        Job job = Jobs.with(Jobs.start("overhead"), Jobs.twoCameras(walk, off));
        job = new Edit.SetClock("A", new Clock(0, ClockBasis.GPS, 1.0)).applyTo(job);
        Optional<Clock> fits = ClockFit.fit(job, "B");
        if (fits.isEmpty()) {
          left++;
        } else if (Math.abs(fits.get().offsetSeconds() - off)
            <= Math.max(90, 2 * fits.get().uncertaintySeconds())) {
          found++;
        } else {
          wrong++;
        }
      }
      System.out.println(
          "clock off by "
              + off
              + " s: fitted "
              + found
              + ", left alone "
              + left
              + ", fitted wrong "
              + wrong
              + " of "
              + walks
              + " (seeds 1 to 8)");
      assertTrue(wrong <= 1, off + " fitted wrong " + wrong);
      assertTrue(off == 0 ? left >= walks - 1 : found >= walks - 2, off + " found " + found);
    }
  }
}

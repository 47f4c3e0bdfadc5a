package meterside.job;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

/**
 * True times. Zone changes after the IANA time zone database: New York set its clocks back on
 * 2026-11-01 at 02:00 and forward on 2026-03-08 at 02:00.
 */
class JobTimesTest {

  private static Job job(Recorded... recorded) {
    RoutePlan route =
        new RoutePlan(
            "test", "Test", List.of(new Stop("service-drop", "Service drop", Phase.OUTSIDE)));
    JobHeader header =
        new JobHeader(
            1,
            "00000000-0000-0000-0000-000000000000",
            "18 Wren Hollow",
            LocalDate.of(2026, 5, 12),
            ZoneId.of("America/New_York"),
            route,
            new DutyProfile("none", "None", "2026-01-01", "invented", List.of()));
    List<Photo> photos = new ArrayList<>();
    for (int i = 0; i < recorded.length; i++) {
      photos.add(photo(i, "IMG_" + i + ".jpg", recorded[i]));
    }
    Job start = Job.start(header);
    start = new Edit.PutCamera(new Camera("A", null, null, null, null, null)).applyTo(start);
    return new Edit.AddPhotos(photos).applyTo(start);
  }

  private static Photo photo(int i, String name, Recorded recorded) {
    return new Photo(
        new PhotoId(String.format("%064x", i + 1)),
        name,
        "",
        1,
        Format.JPEG,
        "jpg",
        100,
        100,
        1,
        recorded,
        "A",
        null,
        null,
        null,
        null,
        null);
  }

  private static Recorded wall(String original) {
    return new Recorded(original, null, null, null, null, null, null);
  }

  private static TrueTime first(Job job) {
    return job.trueTime(job.photo(job.intakeOrder().get(0)));
  }

  @Test
  void readsTheWallTimeInTheJobsZone() {
    TrueTime t = first(job(wall("2026:05:12 10:06:31")));
    assertEquals(Instant.parse("2026-05-12T14:06:31Z"), t.at());
    assertEquals(TimeBasis.CAMERA, t.basis());
  }

  @Test
  void subtractsWhatTheClockIsFast() {
    Job job = job(wall("2026:05:12 10:07:29"));
    Job set = new Edit.SetClock("A", new Clock(58_000, ClockBasis.BY_HAND, null)).applyTo(job);
    assertEquals(Instant.parse("2026-05-12T14:06:31Z"), first(set).at());
  }

  @Test
  void takesTheEarlierOfATimeThatOccursTwiceAndMarksIt() {
    TrueTime t = first(job(wall("2026:11:01 01:30:00")));
    assertEquals(Instant.parse("2026-11-01T05:30:00Z"), t.at());
    assertTrue(t.repeated());
    assertFalse(t.shifted());
  }

  @Test
  void shiftsATimeThatDoesNotExistAndMarksIt() {
    TrueTime t = first(job(wall("2026:03:08 02:30:00")));
    assertEquals(Instant.parse("2026-03-08T07:30:00Z"), t.at());
    assertTrue(t.shifted());
    assertFalse(t.repeated());
  }

  @Test
  void trustsAnOffsetThatTheCameraWrote() {
    TrueTime t =
        first(job(new Recorded("2026:05:12 10:06:31", null, null, "+06:30", null, null, null)));
    assertEquals(Instant.parse("2026-05-12T03:36:31Z"), t.at());
    assertEquals(TimeBasis.CAMERA_WITH_OFFSET, t.basis());
  }

  @Test
  void fallsBackToGpsThenToTheFilesTime() {
    Instant file = Instant.parse("2026-05-12T20:00:00Z");
    assertEquals(
        new TrueTime(Instant.parse("2026-05-12T14:00:00Z"), TimeBasis.GPS, false, false),
        first(job(new Recorded(null, null, null, null, "2026:05:12", "14:0:0", file))));
    assertEquals(
        new TrueTime(file, TimeBasis.FILE, false, false),
        first(job(new Recorded(null, null, null, null, null, null, file))));
  }

  @Test
  void ordersABurstBySubSecondThenByNumberInTheName() {
    Recorded second = wall("2026:05:12 10:00:00");
    Recorded half = new Recorded("2026:05:12 10:00:00", null, "5", null, null, null, null);
    RoutePlan route = job(second).route();
    assertEquals(1, route.stops().size());
    Job start = job();
    Job all =
        new Edit.AddPhotos(
                List.of(
                    photo(0, "IMG_10.jpg", second),
                    photo(1, "IMG_8.jpg", half),
                    photo(2, "IMG_9.jpg", second)))
            .applyTo(start);
    assertEquals(
        List.of("IMG_9.jpg", "IMG_10.jpg", "IMG_8.jpg"),
        all.inTrueOrder().stream().map(Photo::name).toList());
  }
}

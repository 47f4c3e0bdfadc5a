package meterside.desk.model;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.ArrayList;
import java.util.List;
import meterside.job.Answer;
import meterside.job.AnswerKind;
import meterside.job.Camera;
import meterside.job.Clock;
import meterside.job.ClockBasis;
import meterside.job.DutyKey;
import meterside.job.Edit;
import meterside.job.Finding;
import meterside.job.FindingKind;
import meterside.job.Job;
import meterside.job.PhotoId;
import meterside.job.StopKey;
import meterside.job.Urgent;
import org.junit.jupiter.api.Test;

class GoingOutTest {
  private static final StopKey METER = StopKey.of("meter-and-base");

  private static Job allAnswered(Job job) {
    Job out = job;
    for (DutyKey k : out.openDuties()) {
      out = new Edit.GiveAnswer(k, Answer.of(AnswerKind.NO_CONDITION)).applyTo(out);
    }
    return out;
  }

  private static Job with(
      Job job, int n, String location, String who, List<PhotoId> photos, Urgent urgent) {
    return new Edit.PutFinding(
            new Finding(
                n,
                METER,
                location,
                "meter",
                FindingKind.NEEDS_CORRECTION,
                "The base is loose. It moves.",
                null,
                who,
                photos,
                urgent,
                false))
        .applyTo(job);
  }

  private static List<String> kinds(Job job) {
    List<String> out = new ArrayList<>();
    GoingOut.of(job).items().forEach(i -> out.add(i.kind() + " " + i.finding()));
    return out;
  }

  @Test
  void aJobWithEverythingSaidHasNothingLeft() {
    Job job = allAnswered(Jobs.byHand(Jobs.withPhotos(3), 1, 3, "meter-and-base"));
    job = with(job, 1, "east wall", "the utility", List.of(Jobs.id(1)), null);
    assertEquals(List.of(), kinds(job));
  }

  @Test
  void whatIsMissingComesMostPressingFirst() {
    Job job = allAnswered(Jobs.byHand(Jobs.withPhotos(3), 1, 3, "meter-and-base"));
    job = with(job, 1, null, null, List.of(), null);
    job = with(job, 2, "wall", "utility", List.of(Jobs.id(1)), new Urgent(null, null, null));
    assertEquals(List.of("URGENT 2", "NO_PHOTO 1", "NO_LOCATION 1", "NO_WHO 1"), kinds(job));
    assertEquals("F1  The base is loose.", GoingOut.of(job).items().get(1).title());
  }

  @Test
  void aPhotoSetAsideShowsNoFinding() {
    Job job = allAnswered(Jobs.byHand(Jobs.withPhotos(3), 1, 3, "meter-and-base"));
    job = with(job, 1, "wall", "utility", List.of(Jobs.id(2)), null);
    job = new Edit.SetAside(List.of(Jobs.id(2)), true, null).applyTo(job);
    assertEquals(List.of("NO_PHOTO 1"), kinds(job));
  }

  @Test
  void everyOpenDutyIsListedAndPhotosOfTheReportThatWereOnlySorted() {
    Job job = Jobs.sorted(Jobs.withPhotos(3), 1, 3, "meter-and-base", 0.7);
    GoingOut out = GoingOut.of(job);
    assertEquals(job.openDuties().size(), out.count(GoingOut.Kind.DUTY));
    // Only the first photo of the stop goes into the report.
    assertEquals(1, out.count(GoingOut.Kind.INFERRED));
  }

  @Test
  void aSecondCameraWhoseClockNobodyCheckedIsListed() {
    Job job = allAnswered(Jobs.byHand(Jobs.withPhotos(2), 1, 2, "meter-and-base"));
    job = new Edit.PutCamera(new Camera("B", "Larkfield", "Wren 2", null, null, null)).applyTo(job);
    job = new Edit.SetClock("A", new Clock(0, ClockBasis.GPS, 1.0)).applyTo(job);
    assertEquals(1, GoingOut.of(job).count(GoingOut.Kind.CLOCK));
    job = new Edit.SetClock("B", new Clock(58_000, ClockBasis.PAIR, 1.0)).applyTo(job);
    assertEquals(0, GoingOut.of(job).count(GoingOut.Kind.CLOCK));
  }
}

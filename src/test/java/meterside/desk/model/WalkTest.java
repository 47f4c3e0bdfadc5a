package meterside.desk.model;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Optional;
import meterside.desk.model.Walk.StopView;
import meterside.job.Answer;
import meterside.job.AnswerKind;
import meterside.job.DutyKey;
import meterside.job.Edit;
import meterside.job.Finding;
import meterside.job.FindingKind;
import meterside.job.Job;
import meterside.job.PhotoId;
import meterside.job.StopKey;
import org.junit.jupiter.api.Test;

class WalkTest {
  @Test
  void anEmptyJobShowsEveryStopOfTheRouteButNoOtherSystems() {
    Walk walk = Walk.of(Jobs.empty());
    assertEquals(12, walk.stops().size());
    assertEquals("Service drop", walk.stops().get(0).title());
    assertTrue(walk.stops().stream().allMatch(StopView::empty));
    assertTrue(walk.stops().stream().noneMatch(StopView::otherSystems));
    assertEquals(List.of(), walk.toLookAt());
  }

  @Test
  void whatIsNotSortedComesFirstAndOtherSystemsLast() {
    Job job = Jobs.byHand(Jobs.withPhotos(5), 1, 2, "meter-and-base");
    job = Jobs.byHand(job, 3, 3, "other-systems");
    Walk walk = Walk.of(job);
    assertNull(walk.stops().get(0).key());
    assertEquals(2, walk.stops().get(0).photos().size());
    assertTrue(walk.stops().get(walk.stops().size() - 1).otherSystems());
    assertEquals(
        List.of(Jobs.id(4), Jobs.id(5), Jobs.id(1), Jobs.id(2), Jobs.id(3)),
        walk.order().stream().map(Walk.Thumb::id).toList());
    assertEquals("10:02", walk.stop(StopKey.of("meter-and-base")).orElseThrow().start());
  }

  @Test
  void unsortedPhotosAndThenTheLeastCertainAreToBeLookedAt() {
    Job job = Jobs.withPhotos(6);
    job = Jobs.sorted(job, 1, 1, "service-drop", 0.95);
    job = Jobs.sorted(job, 2, 2, "service-drop", 0.7);
    job = Jobs.sorted(job, 3, 3, "service-drop", 0.4);
    job = Jobs.byHand(job, 4, 4, "service-drop");
    job = Jobs.sorted(job, 6, 6, "service-drop", 0.1);
    job = new Edit.SetAside(List.of(Jobs.id(6)), true, null).applyTo(job);
    Walk walk = Walk.of(job);
    assertEquals(List.of(Jobs.id(5), Jobs.id(3), Jobs.id(2)), walk.toLookAt());
    assertEquals(Optional.of(Jobs.id(5)), walk.nextToLookAt(null));
    assertEquals(Optional.of(Jobs.id(2)), walk.nextToLookAt(Jobs.id(3)));
    assertEquals(Optional.of(Jobs.id(5)), walk.nextToLookAt(Jobs.id(2)));
    Walk.Thumb third = walk.order().get(walk.indexOf(Jobs.id(3)));
    assertTrue(third.uncertain());
    assertTrue(third.spoken().contains("place uncertain"), third.spoken());
  }

  @Test
  void aDividerMovesThePhotosItPassesAndNoOthers() {
    Job job = Jobs.byHand(Jobs.withPhotos(7), 1, 4, "service-drop");
    job = Jobs.byHand(job, 5, 7, "splice-and-drip-loop");
    Walk walk = Walk.of(job);
    StopView up = walk.stops().get(0);
    StopView down = walk.stops().get(1);
    assertEquals(1, walk.dividerAfter(0));
    assertEquals(-1, walk.dividerAfter(1));
    Walk.DividerMove back = Walk.moveDivider(up, down, 2);
    assertEquals(List.of(Jobs.id(3), Jobs.id(4)), back.photos());
    assertEquals(down.key(), back.to());
    Walk.DividerMove on = Walk.moveDivider(up, down, 6);
    assertEquals(List.of(Jobs.id(5), Jobs.id(6)), on.photos());
    assertEquals(up.key(), on.to());
    assertEquals(List.of(), Walk.moveDivider(up, down, 4).photos());
    assertEquals(
        List.of(Jobs.id(5), Jobs.id(6), Jobs.id(7)), Walk.moveDivider(up, down, 99).photos());
  }

  @Test
  void aSortedPhotoAnswersNoDutyAndAnAnswerDoes() {
    Job job = Jobs.byHand(Jobs.withPhotos(3), 1, 3, "service-drop");
    int before = Duties.open(Walk.of(Jobs.empty()));
    assertEquals(before, Duties.open(Walk.of(job)));
    assertEquals(job.openDuties().size(), before);
    DutyKey first = job.openDuties().get(0);
    job = new Edit.GiveAnswer(first, Answer.of(AnswerKind.NO_CONDITION)).applyTo(job);
    assertEquals(before - 1, Duties.open(Walk.of(job)));
    int sum = Duties.squares(Walk.of(job)).stream().mapToInt(Duties.Square::open).sum();
    assertEquals(before - 1, sum);
  }

  @Test
  void aPhotoCarriesTheFindingsItShows() {
    Job job = Jobs.byHand(Jobs.withPhotos(2), 1, 2, "service-drop");
    job = new Edit.PutFinding(finding(4, List.of(Jobs.id(2)))).applyTo(job);
    Walk walk = Walk.of(job);
    assertEquals(List.of(), walk.order().get(0).findings());
    assertEquals(List.of("F4"), walk.order().get(1).findings());
  }

  @Test
  void thePhotosOfTheReportAreTheMarkedTheNamedAndTheFirstOfEachStop() {
    Job job = Jobs.byHand(Jobs.withPhotos(8), 1, 3, "service-drop");
    job = Jobs.byHand(job, 4, 6, "meter-and-base");
    job = Jobs.byHand(job, 7, 8, "other-systems");
    job = new Edit.PutFinding(finding(1, List.of(Jobs.id(3)))).applyTo(job);
    job =
        new Edit.PutCallout(
                Marks.callout(1, Jobs.id(5), "meter", new meterside.job.Point(0.5, 0.5)))
            .applyTo(job);
    job = new Edit.SetAside(List.of(Jobs.id(4)), true, null).applyTo(job);
    job = new Edit.NoteToSelf(List.of(Jobs.id(3)), true).applyTo(job);
    java.util.Set<PhotoId> in = meterside.report.Selection.photos(job);
    assertEquals(java.util.Set.of(Jobs.id(1), Jobs.id(5), Jobs.id(7)), in);
    assertEquals("In the report", PhotoFacts.of(job, Jobs.id(1)).report());
    assertEquals("Not in the report", PhotoFacts.of(job, Jobs.id(2)).report());
    assertEquals("Set aside, not in the report", PhotoFacts.of(job, Jobs.id(4)).report());
  }

  private static Finding finding(int number, List<PhotoId> photos) {
    return new Finding(
        number,
        StopKey.of("service-drop"),
        null,
        null,
        FindingKind.NOTE,
        "Seen.",
        null,
        null,
        photos,
        null,
        false);
  }
}

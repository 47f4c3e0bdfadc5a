package meterside.desk.model;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.LocalDate;
import java.time.ZoneId;
import java.util.List;
import meterside.job.Answer;
import meterside.job.AnswerKind;
import meterside.job.Callout;
import meterside.job.Clock;
import meterside.job.ClockBasis;
import meterside.job.DutyKey;
import meterside.job.Edit;
import meterside.job.Finding;
import meterside.job.FindingKind;
import meterside.job.Job;
import meterside.job.Mark;
import meterside.job.Outline;
import meterside.job.Point;
import meterside.job.Redaction;
import meterside.job.StopKey;
import meterside.job.Urgent;
import meterside.trade.Trade;
import org.junit.jupiter.api.Test;

class NotesTest {
  private static final StopKey DRIP = StopKey.of("splice-and-drip-loop");
  private final Trade trade = Trade.standard();

  private static Finding finding(int number, String seen, Urgent urgent) {
    return new Finding(
        number,
        DRIP,
        "east wall",
        "drip-loop",
        FindingKind.NEEDS_CORRECTION,
        seen,
        "Water gets in.",
        "licensed electrician",
        List.of(Jobs.id(1)),
        urgent,
        false);
  }

  @Test
  void marksCarryTheNumbersOfTheDrawingAndThoseThatSayNothingComeLast() {
    Job job = Jobs.byHand(Jobs.withPhotos(2), 1, 2, DRIP.stop());
    job = new Edit.PutFinding(finding(1, "Cracked.", null)).applyTo(job);
    job = Marks.put(Redaction.box(1, Jobs.id(1), 0.1, 0.1, 0.1, 0.1)).applyTo(job);
    job = Marks.put(Marks.callout(2, Jobs.id(1), "service-head", new Point(0.5, 0.2))).applyTo(job);
    Mark tied = Marks.callout(3, Jobs.id(1), "drip-loop", new Point(0.4, 0.5)).tied(1);
    job = Marks.put(tied).applyTo(job);
    Notes n = Notes.of(job, trade, DRIP, Jobs.id(1));
    assertEquals(List.of(2, 3, 1), n.named().stream().map(Notes.Named::mark).toList());
    assertEquals(List.of(1, 2, 0), n.named().stream().map(Notes.Named::number).toList());
    assertEquals("F1", n.named().get(1).finding());
    var drawing = meterside.markup.Drawing.of(job, job.photo(Jobs.id(1)), trade::term);
    assertEquals(
        drawing.legend().stream().map(meterside.markup.Legend::markId).toList(),
        n.named().stream().filter(m -> m.number() > 0).map(Notes.Named::mark).toList());
  }

  @Test
  void aCardSaysWhatWasSeenWhoShouldActAndWhoWasTold() {
    Job job = Jobs.byHand(Jobs.withPhotos(3), 1, 3, DRIP.stop());
    job =
        new Edit.PutFinding(
                finding(
                    4, "Insulation is cracked. At the low point.", new Urgent(null, null, null)))
            .applyTo(job);
    Mark m = Marks.callout(1, Jobs.id(2), "drip-loop", new Point(0.4, 0.5)).tied(4);
    job = Marks.put(m).applyTo(job);
    Notes.Card c = Notes.of(job, trade, DRIP, Jobs.id(1)).findings().get(0);
    assertEquals("F4 · Needs correction", c.head());
    assertEquals("Insulation is cracked.", c.title());
    assertEquals("At the low point. Water gets in.", c.body());
    assertEquals("Urgent · nobody told yet", c.urgent());
    assertEquals("east wall\nlicensed electrician", c.quiet());
    assertEquals(2, c.photos());
  }

  @Test
  void aFindingOfAnotherStopIsShownWithAPhotoThatShowsIt() {
    Job job = Jobs.byHand(Jobs.withPhotos(3), 1, 3, "meter-and-base");
    job = new Edit.PutFinding(finding(1, "Cracked.", null)).applyTo(job);
    StopKey meter = StopKey.of("meter-and-base");
    assertFalse(Notes.of(job, trade, meter, Jobs.id(1)).findings().get(0).here());
    assertEquals(List.of(), Notes.of(job, trade, meter, Jobs.id(2)).findings());
  }

  @Test
  void everyWayToAnswerADutyIsSaid() {
    Job job = new Edit.PutFinding(finding(2, "Cracked. More.", null)).applyTo(Jobs.withPhotos(1));
    DutyKey key =
        job.dutyKeys().stream().filter(k -> k.at().equals(DRIP)).findFirst().orElseThrow();
    assertEquals("Open: answer, or say why not", said(job, key));
    assertEquals(
        "No reportable condition observed", said(job, key, Answer.of(AnswerKind.NO_CONDITION)));
    assertEquals(
        "Finding F2: Cracked.",
        said(job, key, new Answer(AnswerKind.FINDING, null, null, 2, List.of())));
    assertEquals(
        "200 A (read from the label)",
        said(
            job,
            key,
            new Answer(AnswerKind.DESCRIPTION, "200 A", "read from the label", null, List.of())));
    assertEquals("Not present", said(job, key, Answer.of(AnswerKind.NOT_PRESENT)));
    assertEquals("Present, excluded", said(job, key, Answer.of(AnswerKind.EXCLUDED)));
    assertEquals(
        "Not inspected, because the gate was locked",
        said(
            job,
            key,
            new Answer(AnswerKind.NOT_INSPECTED, "the gate was locked", null, null, List.of())));
  }

  private String said(Job job, DutyKey key, Answer answer) {
    return said(new Edit.GiveAnswer(key, answer).applyTo(job), key);
  }

  private String said(Job job, DutyKey key) {
    return Notes.of(job, trade, key.at(), null).duties().stream()
        .filter(d -> d.key().equals(key))
        .findFirst()
        .orElseThrow()
        .answer();
  }

  @Test
  void theTimeSaysHowItIsKnown() {
    Job job = Jobs.withPhotos(1);
    assertEquals("10:02:10 · clock taken as right", PhotoFacts.of(job, Jobs.id(1)).time());
    job = new Edit.SetClock("A", new Clock(58_000, ClockBasis.GPS, 1.0)).applyTo(job);
    assertEquals(
        "10:01:12 · clock set back 58 s (from GPS)", PhotoFacts.of(job, Jobs.id(1)).time());
    assertEquals(
        "clock set on 1 h 2 min", PhotoFacts.offset(new Clock(-3_720_000, ClockBasis.PAIR, null)));
  }

  @Test
  void aNudgedMarkStopsAtThePhotosEdgeWithoutChangingItsShape() {
    Outline o =
        new Outline(1, Jobs.id(1), null, Outline.boxCorners(0.7, 0.7, 0.2, 0.2), null, null);
    Outline moved = (Outline) Marks.nudged(o, 0.5, 0.05);
    assertEquals(1, moved.corners().get(1).x(), 1e-9);
    assertEquals(0.8, moved.corners().get(0).x(), 1e-9);
    assertEquals(0.75, moved.corners().get(0).y(), 1e-9);
    Callout c =
        (Callout) Marks.nudged(Marks.callout(1, Jobs.id(1), "meter", new Point(0, 0)), -1, -1);
    assertTrue(c.rings().get(0).onPhoto());
  }

  @Test
  void aNewJobGetsAFolderNameOfItsDayAndHouse() {
    NewJob job =
        new NewJob(
            "18 Wrén Höllow, unit B",
            LocalDate.of(2026, 5, 12),
            ZoneId.of("UTC"),
            "overhead",
            "general");
    assertEquals("2026-05-12-18-wren-hollow-unit-b", job.folderName(List.of()));
    assertEquals(
        "2026-05-12-18-wren-hollow-unit-b-2",
        job.folderName(List.of("2026-05-12-18-wren-hollow-unit-b")));
    assertEquals(
        "2026-05-12-house",
        new NewJob("???", LocalDate.of(2026, 5, 12), ZoneId.of("UTC"), "overhead", "general")
            .folderName(List.of()));
  }
}

package meterside.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.util.List;
import meterside.job.Answer;
import meterside.job.AnswerKind;
import meterside.job.Edit;
import meterside.job.Finding;
import meterside.job.FindingKind;
import meterside.job.Job;
import meterside.job.Photo;
import meterside.job.StopKey;
import meterside.job.TestOutcome;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What a report says of the one before it. */
class ChangesTest {
  @TempDir Path tmp;

  private List<String> after(TestHouse house, Runnable act) {
    Job before = house.job();
    act.run();
    return Changes.between(before, house.job(), house.trade);
  }

  @Test
  void nothingChangedIsNothingSaid() {
    TestHouse house = TestHouse.full(tmp);
    assertEquals(List.of(), after(house, () -> {}));
  }

  @Test
  void everyKindOfChangeIsSaidOnce() {
    TestHouse h = TestHouse.full(tmp);
    Photo mast = h.job().photosNamed("P5120031.JPG").get(0);
    Photo bath = h.job().photosNamed("P5120050.JPG").get(0);
    assertEquals(
        List.of("F6 is new: Meter socket (rear)."),
        after(
            h,
            () ->
                h.finding(
                    6,
                    "meter-and-base",
                    "rear",
                    "meter-base",
                    FindingKind.NOTE,
                    "Rust.",
                    null,
                    null,
                    null)));
    Finding one = h.job().findings().get(1);
    List<String> changed =
        after(
            h,
            () ->
                h.edit(
                    new Edit.PutFinding(
                        new Finding(
                            1,
                            one.at(),
                            one.location(),
                            one.part(),
                            FindingKind.FURTHER_EVALUATION,
                            "Cracked.",
                            one.why(),
                            one.who(),
                            one.photos(),
                            null,
                            false))));
    assertEquals(
        List.of("F1 was changed (Drip loop (south gable)): its kind, what was seen."), changed);
    assertTrue(
        after(h, () -> h.edit(new Edit.WithdrawFinding(5, "a shadow")))
            .contains("F5 was withdrawn: Service mast (roof edge)."));
    assertFalse(
        Changes.between(TestHouse.full(tmp.resolve("b")).job(), h.job(), h.trade)
            .toString()
            .contains("shadow"),
        "the reason is the inspector's own");
    assertEquals(
        List.of("Answered differently, at Main (service) disconnect: " + duty(h)),
        after(
            h,
            () ->
                h.answer(
                    "main-disconnect",
                    "rating",
                    new Answer(AnswerKind.DESCRIPTION, "150 A", null, null, List.of()))));
    assertEquals(
        List.of("The device tests were changed."),
        after(
            h,
            () -> h.test("gfci-and-afci", "Garage", "gfci", null, null, TestOutcome.AS_EXPECTED)));
    assertEquals(
        List.of("Marks changed on: P5120031.JPG."),
        after(h, () -> h.redact(mast, 0.1, 0.1, 0.1, 0.1)));
    assertEquals(
        List.of("Photos no longer shown: P5120050.JPG."),
        after(h, () -> h.edit(new Edit.SetAside(List.of(bath.id()), true, null))));
    assertEquals(
        List.of("Now at another stop: P5120031.JPG."),
        after(
            h,
            () ->
                h.edit(
                    new Edit.PlaceByHand(List.of(mast.id()), StopKey.of("splice-and-drip-loop")))));
    assertEquals(
        List.of("Job facts changed: Weather."),
        after(h, () -> h.edit(new Edit.SetFact("weather", "Rain"))));
  }

  private static String duty(TestHouse h) {
    return h.duties().stream().filter(d -> d.id().equals("rating")).findFirst().get().text();
  }

  @Test
  void theNextReportSaysWhatChangedAndTheFirstDoesNot() {
    TestHouse h = TestHouse.full(tmp);
    Job before = h.job();
    h.edit(new Edit.SetFact("weather", "Rain"));
    ReportOptions options =
        new ReportOptions(false, false, TestHouse.AUTHOR, TestHouse.AT, 2, h.written())
            .after(new ReportOptions.Earlier(1, TestHouse.AT, before));
    Path dir = Issued.fresh("changes");
    h.report(dir, options);
    String html = new Issued(h, dir, null).text("report.html");
    assertTrue(html.contains("What changed since report 1"));
    assertTrue(html.contains("Job facts changed: Weather."));
    assertFalse(Issued.full().text("report.html").contains("What changed since"));
  }
}

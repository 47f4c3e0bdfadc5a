package meterside.job;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

class HistoryTest {
  private static final StopKey DROP = StopKey.of("service-drop");
  private History history;
  private long seq;

  @BeforeEach
  void start() {
    RoutePlan route =
        new RoutePlan(
            "test", "Test", List.of(new Stop("service-drop", "Service drop", Phase.OUTSIDE)));
    history =
        new History(
            new JobHeader(
                1,
                "00000000-0000-0000-0000-000000000000",
                "18 Wren Hollow",
                LocalDate.of(2026, 5, 12),
                ZoneId.of("America/New_York"),
                route,
                new DutyProfile("none", "None", "2026-01-01", "invented", List.of())));
    seq = 1;
  }

  private void act(Edit... edits) {
    long step = history.nextStep();
    for (Edit e : edits) {
      history.accept(new History.Entry(++seq, Instant.EPOCH, "tester", step, e));
    }
  }

  private static Edit finding(int number, String seen) {
    return new Edit.PutFinding(
        new Finding(
            number, DROP, null, null, FindingKind.NOTE, seen, null, null, null, null, false));
  }

  private static Edit fact(String value) {
    return new Edit.SetFact("weather", value);
  }

  @Test
  void stepsBackOverAllEditsOfAStep() {
    act(fact("rain"));
    Job before = history.job();
    act(fact("sun"), finding(1, "hangs low"));
    act(new Edit.StepBack());
    assertEquals(before, history.job());
  }

  @Test
  void stepsForwardToWhereItWas() {
    act(fact("rain"));
    act(fact("sun"));
    Job after = history.job();
    act(new Edit.StepBack());
    act(new Edit.StepBack());
    assertFalse(history.canStepBack());
    act(new Edit.StepForward());
    act(new Edit.StepForward());
    assertEquals(after, history.job());
  }

  @Test
  void forgetsTheWayForwardAfterANewEdit() {
    act(fact("rain"));
    act(new Edit.StepBack());
    act(fact("snow"));
    assertFalse(history.canStepForward());
    assertThrows(EditRefused.class, () -> act(new Edit.StepForward()));
    assertEquals(Map.of("weather", "snow"), history.job().facts());
  }

  @Test
  void neverGivesANumberTwiceEvenIfItsFindingWasUndone() {
    act(finding(history.nextFinding(), "hangs low"));
    act(new Edit.StepBack());
    assertEquals(2, history.nextFinding());
  }

  @Test
  void anIssuedReportBarsTheWayBackButNotLaterSteps() {
    act(fact("rain"));
    act(new Edit.IssueReport(new IssuedReport(1, false, "0".repeat(64), Map.of())));
    assertFalse(history.canStepBack());
    assertThrows(EditRefused.class, () -> act(new Edit.StepBack()));
    act(fact("sun"));
    act(new Edit.StepBack());
    assertEquals(Map.of("weather", "rain"), history.job().facts());
    assertEquals(1, history.job().reports().size());
  }

  @Test
  void aRefusedEditLeavesTheHistoryAsItWas() {
    act(fact("rain"));
    Job before = history.job();
    assertThrows(EditRefused.class, () -> act(new Edit.RemoveMark(7)));
    assertEquals(before, history.job());
    assertEquals(1, history.entries().size());
  }

  @Test
  void withdrawingAFindingUntiesItAndKeepsItsNumberTaken() {
    act(finding(1, "hangs low"));
    act(new Edit.WithdrawFinding(1, "seen wrong"));
    assertTrue(history.job().findings().isEmpty());
    assertThrows(EditRefused.class, () -> act(finding(1, "again")));
    assertEquals(2, history.nextFinding());
  }
}

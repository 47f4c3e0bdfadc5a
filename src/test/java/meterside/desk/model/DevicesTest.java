package meterside.desk.model;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Optional;
import meterside.job.DeviceTest;
import meterside.job.DutyKey;
import meterside.job.Edit;
import meterside.job.Job;
import meterside.job.RoomCount;
import meterside.job.StopKey;
import meterside.job.TestOutcome;
import meterside.trade.Trade;
import org.junit.jupiter.api.Test;

class DevicesTest {
  private static final StopKey ROOMS = StopKey.of("receptacles-and-switches");

  @Test
  void aRoomIsReadAsOneTypesIt() {
    assertEquals(Optional.of(new RoomCount("kitchen", 4, List.of())), Devices.read("kitchen 4"));
    assertEquals(
        Optional.of(new RoomCount("hall bath", 3, List.of(TestOutcome.OPEN_GROUND))),
        Devices.read(" hall bath, 3, 1 open ground "));
    assertEquals(
        Optional.of(
            new RoomCount(
                "den", 5, List.of(TestOutcome.LOOSE, TestOutcome.LOOSE, TestOutcome.NO_POWER))),
        Devices.read("den 5, 2 loose and no power"));
    for (String wrong : List.of("", "kitchen", "4", "kitchen 1, 2 loose", "den 3, sparks")) {
      assertEquals(Optional.empty(), Devices.read(wrong), wrong);
    }
  }

  @Test
  void whatWasTypedComesBackAsItWouldBeTyped() {
    RoomCount c = new RoomCount("den", 5, List.of(TestOutcome.LOOSE, TestOutcome.LOOSE));
    assertEquals("den 5, 2 loose", Devices.typed(c));
    assertEquals(Optional.of(c), Devices.read(Devices.typed(c)));
  }

  @Test
  void anAlarmIsNotedAndNotTestedUnlessOneSaysOtherwise() {
    DeviceTest alarm = Devices.fresh(1, StopKey.of("alarms"), "hall", "smoke-alarm", null);
    assertEquals("presence noted, not tested", alarm.notTested());
    assertEquals(List.of(), alarm.outcomes());
    DeviceTest tried = Devices.toggled(alarm, TestOutcome.AS_EXPECTED);
    assertNull(tried.notTested());
    assertEquals(List.of(TestOutcome.AS_EXPECTED), tried.outcomes());
  }

  @Test
  void somethingOutOfOrderIsNotAsExpected() {
    DeviceTest t = Devices.fresh(1, ROOMS, "den", "receptacle", null);
    assertEquals(List.of(TestOutcome.AS_EXPECTED), t.outcomes());
    t = Devices.toggled(t, TestOutcome.OPEN_GROUND);
    t = Devices.toggled(t, TestOutcome.LOOSE);
    assertEquals(List.of(TestOutcome.OPEN_GROUND, TestOutcome.LOOSE), t.outcomes());
    t = Devices.toggled(Devices.toggled(t, TestOutcome.LOOSE), TestOutcome.OPEN_GROUND);
    assertEquals(List.of(TestOutcome.AS_EXPECTED), t.outcomes());
    t = Devices.notTested(t, "behind the sofa");
    assertEquals("behind the sofa", t.notTested());
    assertTrue(t.outcomes().isEmpty());
    assertEquals(List.of(TestOutcome.AS_EXPECTED), Devices.notTested(t, " ").outcomes());
  }

  @Test
  void sampledDutiesSayTheirRoomsInOneLineAndCountingAnswersNothing() {
    Job job = Jobs.empty();
    DutyKey key = new DutyKey(ROOMS, "receptacles");
    int open = job.openDuties().size();
    for (String typed : List.of("kitchen 4, 1 open ground", "hall 1", "den 2")) {
      job = new Edit.CountRoom(key, Devices.read(typed).orElseThrow()).applyTo(job);
    }
    Devices.Counted c =
        Devices.of(job, Trade.standard()).counts().stream()
            .filter(x -> x.key().equals(key))
            .findFirst()
            .orElseThrow();
    assertEquals("3 rooms, 7 receptacles, 1 open ground", c.summary());
    assertEquals(open, job.openDuties().size());
  }
}

package meterside.job;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

class RoomCountTest {
  @Test
  void sixRoomsAreSaidInOneLine() {
    List<RoomCount> rooms = new ArrayList<>();
    for (String r : List.of("hall", "den", "bath", "bedroom", "dining room")) {
      rooms.add(new RoomCount(r, 1, List.of()));
    }
    rooms.add(new RoomCount("kitchen", 4, List.of(TestOutcome.OPEN_GROUND)));
    assertEquals("6 rooms, 9 receptacles, 1 open ground", RoomCount.summary(rooms, "receptacles"));
    assertEquals(
        "1 room, 1 switch or light, no exception",
        RoomCount.summary(rooms.subList(0, 1), "switches-and-lights"));
    assertEquals("", RoomCount.summary(List.of(), "receptacles"));
  }

  @Test
  void aRoomIsCountedOnceWhateverTheCaseAndZeroTakesItAway() {
    Job job = Job.start(Examples.header());
    DutyKey duty = job.dutyKeys().get(0);
    job = new Edit.CountRoom(duty, new RoomCount("Kitchen", 2, List.of())).applyTo(job);
    job = new Edit.CountRoom(duty, new RoomCount("kitchen", 3, List.of())).applyTo(job);
    assertEquals(List.of(new RoomCount("kitchen", 3, List.of())), job.counts(duty));
    job = new Edit.CountRoom(duty, new RoomCount("KITCHEN", 0, List.of())).applyTo(job);
    assertEquals(List.of(), job.counts(duty));
    assertEquals(Job.start(Examples.header()), job);
  }

  @Test
  void moreExceptionsThanDevicesAreRefused() {
    assertThrows(EditRefused.class, () -> new RoomCount("hall", 0, List.of(TestOutcome.LOOSE)));
    assertThrows(EditRefused.class, () -> new RoomCount(" ", 1, List.of()));
    assertThrows(
        EditRefused.class, () -> new RoomCount("hall", 1, List.of(TestOutcome.AS_EXPECTED)));
  }
}

package meterside.job;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;

/**
 * What was looked at in one room for a sampled duty.
 *
 * @param room the room ("kitchen"), unique within the duty
 * @param looked how many devices were tried or looked at; 0 takes the room's count away
 * @param exceptions what was out of order, one entry for each device that was; may be empty
 */
public record RoomCount(String room, int looked, List<TestOutcome> exceptions) {

  /** Checks the room and the numbers. */
  public RoomCount {
    exceptions = exceptions == null ? List.of() : List.copyOf(exceptions);
    if (room == null || room.isBlank()) {
      throw new EditRefused("count.needs-room");
    }
    if (looked < 0 || exceptions.size() > looked || exceptions.contains(TestOutcome.AS_EXPECTED)) {
      throw new EditRefused("count.numbers", room.strip());
    }
    room = room.strip();
  }

  /**
   * All rooms of a duty in one line: "6 rooms, 9 receptacles, 1 open ground".
   *
   * @param duty id of the duty; it says what is counted
   * @return empty if nothing was counted
   */
  public static String summary(List<RoomCount> rooms, String duty) {
    int looked = 0;
    Map<TestOutcome, Integer> out = new TreeMap<>();
    for (RoomCount r : rooms) {
      looked += r.looked();
      r.exceptions().forEach(e -> out.merge(e, 1, Integer::sum));
    }
    if (looked == 0) {
      return "";
    }
    List<String> parts = new ArrayList<>();
    parts.add(counted("count.rooms", rooms.size()));
    parts.add(counted(unit(duty), looked));
    out.forEach((e, n) -> parts.add(n + " " + said(e)));
    if (out.isEmpty()) {
      parts.add(Sentences.in(RoomCount.class).say("count.no-exception"));
    }
    return String.join(", ", parts);
  }

  private static String unit(String duty) {
    return switch (duty) {
      case "receptacles" -> "count.receptacles";
      case "switches-and-lights" -> "count.switches";
      default -> "count.devices";
    };
  }

  private static String said(TestOutcome e) {
    return Sentences.in(RoomCount.class)
        .say("outcome." + e.name().toLowerCase(Locale.ROOT).replace('_', '-'));
  }

  private static String counted(String key, int n) {
    return Sentences.in(RoomCount.class).say(key + (n == 1 ? ".one" : ".many"), n);
  }
}

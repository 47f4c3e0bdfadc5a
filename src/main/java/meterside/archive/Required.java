package meterside.archive;

import java.lang.reflect.InvocationTargetException;
import java.lang.reflect.RecordComponent;
import java.util.Collection;
import java.util.Map;
import java.util.Set;

/**
 * Which members of a written value may be left out. All others must be there: a value that lacks
 * one is neither written nor read, so that what a journal gives back never surprises the rest of
 * the program.
 */
final class Required {
  /** Record and component of what may be absent. */
  private static final Set<String> MAY_BE_ABSENT =
      Set.of(
          "SetFact.value",
          "SetClock.clock",
          "SetAside.reason",
          "WithdrawFinding.reason",
          "Camera.make",
          "Camera.model",
          "Camera.serial",
          "Camera.folder",
          "Camera.photographer",
          "Clock.uncertaintySeconds",
          "Photo.exposure",
          "Photo.position",
          "Photo.focal35",
          "Photo.sharpness",
          "Photo.trouble",
          "Recorded.original",
          "Recorded.digitized",
          "Recorded.subSecond",
          "Recorded.offset",
          "Recorded.gpsDate",
          "Recorded.gpsTime",
          "Recorded.fileTime",
          "Exposure.fNumber",
          "Exposure.seconds",
          "Exposure.iso",
          "Position.errorMetres",
          "Position.heading",
          "Callout.plate",
          "Callout.finding",
          "Callout.note",
          "Outline.part",
          "Outline.finding",
          "Outline.note",
          "Finding.location",
          "Finding.part",
          "Finding.why",
          "Finding.who",
          "Finding.urgent",
          "Urgent.told",
          "Urgent.how",
          "Urgent.when",
          "Answer.text",
          "Answer.howKnown",
          "Answer.finding",
          "DeviceTest.location",
          "DeviceTest.part",
          "DeviceTest.means",
          "DeviceTest.notTested",
          "DeviceTest.finding",
          "Duty.source",
          "DutyProfile.dated",
          "DutyProfile.source");

  private Required() {}

  /**
   * Checks a value and all it holds.
   *
   * @throws IllegalArgumentException naming what is missing
   */
  static void check(Object value) {
    if (value instanceof Collection<?> many) {
      many.forEach(Required::check);
    } else if (value instanceof Map<?, ?> map) {
      map.values().forEach(Required::check);
    } else if (value instanceof Record) {
      for (RecordComponent c : value.getClass().getRecordComponents()) {
        Object inner = component(value, c);
        String name = value.getClass().getSimpleName() + "." + c.getName();
        if (inner != null) {
          check(inner);
        } else if (!MAY_BE_ABSENT.contains(name)) {
          throw new IllegalArgumentException(name + " is missing");
        }
      }
    }
  }

  private static Object component(Object record, RecordComponent c) {
    try {
      return c.getAccessor().invoke(record);
    } catch (IllegalAccessException | InvocationTargetException e) {
      throw new IllegalStateException(e); // accessors of public records neither hide nor throw
    }
  }
}

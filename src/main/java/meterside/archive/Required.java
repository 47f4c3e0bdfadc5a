package meterside.archive;

import java.lang.reflect.InvocationTargetException;
import java.lang.reflect.Method;
import java.lang.reflect.RecordComponent;
import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
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
          "Source.label",
          "Attachment.fileTime",
          "WithdrawPhotos.movedTo",
          "WithdrawAttachments.movedTo",
          "KeepUntil.until",
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
          "Measure.finding",
          "Measure.note",
          "Measure.clearance",
          "Reference.id",
          "Reference.height",
          "Reference.heightError",
          "SetReportView.view",
          "Extract.to",
          "Extract.leave",
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

  private record Component(String name, Method accessor, boolean mayBeAbsent) {}

  /** Components that can be null or hold something that can, looked up once for each record. */
  private static final ClassValue<List<Component>> COMPONENTS =
      new ClassValue<>() {
        @Override
        protected List<Component> computeValue(Class<?> type) {
          List<Component> out = new ArrayList<>();
          for (RecordComponent c : type.getRecordComponents()) {
            if (!c.getType().isPrimitive()) {
              String name = type.getSimpleName() + "." + c.getName();
              out.add(new Component(name, c.getAccessor(), MAY_BE_ABSENT.contains(name)));
            }
          }
          return List.copyOf(out);
        }
      };

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
      for (Component c : COMPONENTS.get(value.getClass())) {
        Object inner = component(value, c);
        if (inner != null) {
          check(inner);
        } else if (!c.mayBeAbsent()) {
          throw new IllegalArgumentException(c.name() + " is missing");
        }
      }
    }
  }

  private static Object component(Object record, Component c) {
    try {
      return c.accessor().invoke(record);
    } catch (IllegalAccessException | InvocationTargetException e) {
      throw new IllegalStateException(e); // accessors of public records neither hide nor throw
    }
  }
}

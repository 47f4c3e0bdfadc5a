package meterside.archive;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import meterside.job.Edit;

/**
 * The written form of edits: a type name, a version and an object. Names and meanings are forever;
 * a changed form gets the next version, and every version ever written stays readable.
 */
public final class EditCodec {

  /**
   * An edit in its written form.
   *
   * @param type name of the edit's type
   * @param version version of the form, from 1
   * @param edit the edit's components
   */
  public record Written(String type, int version, ObjectNode edit) {}

  private static final int FIRST = 1;

  private static final Map<String, Class<? extends Edit>> BY_NAME = new LinkedHashMap<>();
  private static final Map<Class<? extends Edit>, String> NAMES = new HashMap<>();

  static {
    name("step-back", Edit.StepBack.class);
    name("step-forward", Edit.StepForward.class);
    name("site", Edit.SetSite.class);
    name("zone", Edit.SetZone.class);
    name("fact", Edit.SetFact.class);
    name("route", Edit.ChangeRoute.class);
    name("instance", Edit.AddInstance.class);
    name("camera", Edit.PutCamera.class);
    name("photos", Edit.AddPhotos.class);
    name("clock", Edit.SetClock.class);
    name("place", Edit.PlaceByHand.class);
    name("release", Edit.ReleaseByHand.class);
    name("sorting", Edit.RecordSorting.class);
    name("also", Edit.AlsoServe.class);
    name("aside", Edit.SetAside.class);
    name("note-to-self", Edit.NoteToSelf.class);
    name("callout", Edit.PutCallout.class);
    name("outline", Edit.PutOutline.class);
    name("redaction", Edit.PutRedaction.class);
    name("measure", Edit.PutMeasure.class);
    name("spot", Edit.PutSpot.class);
    name("report-view", Edit.SetReportView.class);
    name("mark-removed", Edit.RemoveMark.class);
    name("finding", Edit.PutFinding.class);
    name("finding-withdrawn", Edit.WithdrawFinding.class);
    name("answer", Edit.GiveAnswer.class);
    name("duty-reopened", Edit.ReopenDuty.class);
    name("test", Edit.PutDeviceTest.class);
    name("test-removed", Edit.RemoveDeviceTest.class);
    name("room-count", Edit.CountRoom.class);
    name("report", Edit.IssueReport.class);
    name("codes", Edit.NoteCodes.class);
    name("source", Edit.NoteSource.class);
    name("attachments", Edit.AddAttachments.class);
    name("withdrawal", Edit.WithdrawPhotos.class);
    name("videos-withdrawn", Edit.WithdrawAttachments.class);
    name("keep-until", Edit.KeepUntil.class);
    name("hold", Edit.SetHold.class);
    name("packing", Edit.StartPacking.class);
    name("packed", Edit.FinishPacking.class);
    name("packing-withdrawn", Edit.WithdrawPacking.class);
    name("reopened", Edit.Reopen.class);
    name("extract", Edit.RecordExtract.class);
  }

  private EditCodec() {}

  private static void name(String name, Class<? extends Edit> type) {
    if (BY_NAME.put(name, type) != null || NAMES.put(type, name) != null) {
      throw new IllegalStateException("named twice: " + name);
    }
  }

  /** Every type name, in a fixed order. */
  public static List<String> types() {
    return new ArrayList<>(BY_NAME.keySet());
  }

  /** Whether this program can read a type in a version. */
  public static boolean knows(String type, int version) {
    return version == FIRST && BY_NAME.containsKey(type);
  }

  /**
   * Writes an edit.
   *
   * @throws IllegalArgumentException if it lacks what it needs, if it holds a number that is not
   *     finite, or if it is an edit that is never written ({@link Edit.NotUnderstood})
   */
  public static Written write(Edit edit) {
    String name = NAMES.get(edit.getClass());
    if (name == null) {
      throw new IllegalArgumentException("never written: " + edit.getClass().getSimpleName());
    }
    ObjectNode node = Json.MAPPER.valueToTree(edit);
    try {
      Required.check(edit);
      Json.requireFinite(node);
    } catch (IllegalArgumentException e) {
      throw new IllegalArgumentException(name + ": " + e.getMessage(), e);
    }
    return new Written(name, FIRST, node);
  }

  /**
   * Reads an edit.
   *
   * @throws IllegalArgumentException if the type or version is not known (see {@link #knows}), or
   *     if the object is not what it should be; the message says what
   */
  public static Edit read(String type, int version, JsonNode node) {
    if (!knows(type, version)) {
      throw new IllegalArgumentException("unknown edit " + type + " version " + version);
    }
    return bind(node, BY_NAME.get(type));
  }

  /** Reads a record from a tree, strictly. */
  static <T> T bind(JsonNode node, Class<T> type) {
    if (!node.isObject()) {
      throw new IllegalArgumentException("not an object");
    }
    Json.requireFinite(node);
    try {
      T value = Json.MAPPER.treeToValue(node, type);
      Required.check(value);
      return value;
    } catch (JsonProcessingException e) {
      String why = e.getCause() == null ? e.getOriginalMessage() : e.getCause().getMessage();
      throw new IllegalArgumentException(why, e);
    }
  }
}

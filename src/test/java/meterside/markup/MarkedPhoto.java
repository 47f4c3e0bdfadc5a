package meterside.markup;

import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import meterside.job.Callout;
import meterside.job.Camera;
import meterside.job.DutyProfile;
import meterside.job.Edit;
import meterside.job.Finding;
import meterside.job.FindingKind;
import meterside.job.Format;
import meterside.job.Job;
import meterside.job.JobHeader;
import meterside.job.Measure;
import meterside.job.MeasureWay;
import meterside.job.Outline;
import meterside.job.Phase;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.Point;
import meterside.job.Recorded;
import meterside.job.Redaction;
import meterside.job.Reference;
import meterside.job.ReportView;
import meterside.job.RoutePlan;
import meterside.job.Spot;
import meterside.job.Stop;
import meterside.job.StopKey;

/** Builds a job of one photo with marks, for tests. */
final class MarkedPhoto {
  private static final Map<String, String> TERMS =
      Map.of(
          "service-drop", "Service drop",
          "service-head", "Service head",
          "drip-loop", "Drip loop",
          "entrance-cable", "Entrance cable",
          "meter", "Meter",
          "grounding-electrode-conductor", "Grounding electrode conductor",
          "mast", "Mast",
          "attachment", "Attachment");

  final Photo photo;
  private Job job;
  private int marks;

  MarkedPhoto(int width, int height) {
    PhotoId id = new PhotoId("ab".repeat(32));
    RoutePlan route =
        new RoutePlan(
            "overhead",
            "Overhead service",
            List.of(new Stop("service-drop", "Service drop", Phase.OUTSIDE)));
    DutyProfile profile = new DutyProfile("none", "None", "2026-01-01", "invented", List.of());
    job =
        Job.start(
            new JobHeader(
                1,
                "00000000-0000-0000-0000-000000000001",
                "18 Wren Hollow",
                LocalDate.of(2026, 5, 12),
                ZoneId.of("America/New_York"),
                route,
                profile));
    photo =
        new Photo(
            id,
            "P1.JPG",
            "",
            1000,
            Format.JPEG,
            "jpg",
            width,
            height,
            1,
            Recorded.NONE,
            "A",
            null,
            null,
            null,
            null,
            null);
    edit(new Edit.PutCamera(new Camera("A", null, null, null, null, null)));
    edit(new Edit.AddPhotos(List.of(photo)));
  }

  private MarkedPhoto edit(Edit e) {
    job = e.applyTo(job);
    return this;
  }

  MarkedPhoto finding(int number, String seen) {
    return edit(
        new Edit.PutFinding(
            new Finding(
                number,
                StopKey.of("service-drop"),
                null,
                null,
                FindingKind.NEEDS_CORRECTION,
                seen,
                null,
                null,
                List.of(),
                null,
                false)));
  }

  MarkedPhoto callout(String part, double x, double y) {
    return callout(part, null, null, null, x, y);
  }

  /** A callout; coordinates are pairs, one per ring. */
  MarkedPhoto callout(String part, Integer finding, String note, Point plate, double... xy) {
    List<Point> rings = new ArrayList<>();
    for (int i = 0; i < xy.length; i += 2) {
      rings.add(new Point(xy[i], xy[i + 1]));
    }
    return edit(
        new Edit.PutCallout(new Callout(++marks, photo.id(), part, rings, plate, finding, note)));
  }

  /** Moves the only ring of a callout. */
  MarkedPhoto move(int mark, double x, double y) {
    Callout c = (Callout) job.marks().get(mark);
    return edit(
        new Edit.PutCallout(
            new Callout(
                mark,
                photo.id(),
                c.part(),
                List.of(new Point(x, y)),
                c.plate(),
                c.finding(),
                c.note())));
  }

  MarkedPhoto outline(String part, Integer finding, String note, double... xy) {
    List<Point> corners = new ArrayList<>();
    for (int i = 0; i < xy.length; i += 2) {
      corners.add(new Point(xy[i], xy[i + 1]));
    }
    return edit(
        new Edit.PutOutline(new Outline(++marks, photo.id(), part, corners, finding, note)));
  }

  MarkedPhoto redact(double x, double y, double w, double h) {
    return edit(new Edit.PutRedaction(Redaction.box(++marks, photo.id(), x, y, w, h)));
  }

  MarkedPhoto redact(List<Point> corners) {
    return edit(new Edit.PutRedaction(new Redaction(++marks, photo.id(), corners)));
  }

  /** A photo of the same shape beside this one, for close views. */
  static final PhotoId CLOSE = new PhotoId("cd".repeat(32));

  MarkedPhoto spot(double x, double y, double w, double h) {
    if (!job.photos().containsKey(CLOSE)) {
      edit(
          new Edit.AddPhotos(
              List.of(
                  new Photo(
                      CLOSE,
                      "P2.JPG",
                      "",
                      1000,
                      Format.JPEG,
                      "jpg",
                      4000,
                      3000,
                      1,
                      Recorded.NONE,
                      "A",
                      null,
                      null,
                      null,
                      null,
                      null))));
    }
    return edit(
        new Edit.PutSpot(new Spot(++marks, photo.id(), Outline.boxCorners(x, y, w, h), CLOSE)));
  }

  MarkedPhoto measure(double metres, double plusMinus, double... xy) {
    return edit(
        new Edit.PutMeasure(
            new Measure(
                ++marks,
                photo.id(),
                MeasureWay.ALONG_LENGTH,
                Reference.length("plate-1-gang", "1-gang plate, height", 0.114046, 0.0008),
                List.of(new Point(.1, .1), new Point(.1, .2)),
                false,
                new Point(xy[0], xy[1]),
                new Point(xy[2], xy[3]),
                metres,
                plusMinus,
                null,
                null,
                null,
                false)));
  }

  MarkedPhoto view(ReportView view) {
    return edit(new Edit.SetReportView(photo.id(), view));
  }

  Job job() {
    return job;
  }

  Drawing drawing() {
    return Drawing.of(job, photo, MarkedPhoto::term);
  }

  Drawing drawing(Drawing before) {
    return Drawing.of(job, photo, MarkedPhoto::term, before);
  }

  static String term(String part) {
    return TERMS.getOrDefault(part, part);
  }
}

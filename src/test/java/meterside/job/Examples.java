package meterside.job;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;

/**
 * An invented job for tests: a header, and at least one example of every edit, which fold in order.
 */
public final class Examples {
  /** When the example begins. */
  public static final Instant AT = Instant.parse("2026-05-12T21:04:05.006Z");

  public static final PhotoId P1 = photoId("a1");
  public static final PhotoId P2 = photoId("b2");
  public static final PhotoId P3 = photoId("c3");
  public static final StopKey DROP = StopKey.of("service-drop");
  public static final StopKey PANEL = StopKey.of("panelboard");
  public static final StopKey SUBPANEL = new StopKey("panelboard", "garage subpanel");
  public static final StopKey OTHER = StopKey.of(StopKey.OTHER_SYSTEMS);

  private Examples() {}

  /** A photo id of one repeated byte. */
  public static PhotoId photoId(String twoDigits) {
    return new PhotoId(twoDigits.repeat(32));
  }

  /** A short route. */
  public static RoutePlan route() {
    return new RoutePlan(
        "overhead",
        "Overhead service",
        List.of(
            new Stop("service-drop", "Service drop", Phase.OUTSIDE),
            new Stop("panelboard", "Panelboards and breakers", Phase.INSIDE),
            new Stop("alarms", "Smoke and CO alarms", Phase.ROOMS),
            new Stop(StopKey.OTHER_SYSTEMS, "Other systems", Phase.ANYWHERE)));
  }

  /** A few duties. */
  public static DutyProfile profile() {
    return new DutyProfile(
        "general",
        "General",
        "2026-01-01",
        "invented for tests",
        List.of(
            new Duty("drop", "service-drop", DutyKind.INSPECT, "Look at the drop.", false, "test"),
            new Duty("rating", "panelboard", DutyKind.DESCRIBE, "Say the rating.", false, "test"),
            new Duty("open", "panelboard", DutyKind.REPORT, "Report openings.", false, "test"),
            new Duty("alarms", "alarms", DutyKind.INSPECT, "Look at alarms.", true, "test"),
            new Duty("photo", "alarms", DutyKind.OWN_HABIT, "Photograph each.", false, "test")));
  }

  /** The job's header. */
  public static JobHeader header() {
    return new JobHeader(
        JobHeader.FORMAT,
        "3f0c1c9e-0000-4000-8000-000000000001",
        "18 Wren Hollow",
        LocalDate.of(2026, 5, 12),
        ZoneId.of("America/New_York"),
        route(),
        profile());
  }

  /** A photo with everything that may be recorded. */
  public static Photo fullPhoto(PhotoId id, String name, String camera) {
    return new Photo(
        id,
        name,
        "DCIM/100",
        4_194_305,
        Format.JPEG,
        "jpg",
        4032,
        3024,
        6,
        new Recorded(
            "2026:05:12 09:14:03",
            "2026:05:12 09:14:03",
            "05",
            "-04:00",
            "2026:05:12",
            "13:14:1.5",
            Instant.parse("2026-05-12T13:14:04Z")),
        camera,
        new Exposure(1.8, 0.0005, 50.0),
        new Position(40.5, -74.25, 4.75, 181.5, true),
        26.0,
        0.125,
        null);
  }

  /** A photo of which nothing is known but its bytes. */
  public static Photo barePhoto(PhotoId id, String name, String camera) {
    return new Photo(
        id,
        name,
        "",
        17,
        Format.HEIC,
        "heic",
        0,
        0,
        1,
        Recorded.NONE,
        camera,
        null,
        null,
        null,
        null,
        "The picture can't be shown.");
  }

  /** Every kind of edit at least once; each fits the job that those before it made. */
  public static List<Edit> edits() {
    List<Edit> out = new ArrayList<>();
    out.add(new Edit.SetSite("18 Wren Hollow, rear house"));
    out.add(new Edit.SetZone(ZoneId.of("America/Chicago")));
    out.add(new Edit.SetFact("weather", "light rain, \"gusty\""));
    out.add(new Edit.SetFact("weather", null));
    out.add(new Edit.ChangeRoute(route(), profile()));
    out.add(new Edit.AddInstance(SUBPANEL));
    out.add(new Edit.PutCamera(new Camera("A", "Fenwick", "F-2", "0012", null, "first")));
    out.add(new Edit.PutCamera(new Camera("B", null, null, null, "phone", null)));
    out.add(
        new Edit.AddPhotos(
            List.of(fullPhoto(P1, "IMG_0001.JPG", "A"), barePhoto(P2, "été 2.heic", "B"))));
    out.add(new Edit.AddPhotos(List.of(fullPhoto(P3, "IMG_0002.JPG", "A"))));
    out.add(new Edit.SetClock("A", new Clock(-93_500, ClockBasis.FITS_THE_WALK, 2.5)));
    out.add(new Edit.SetClock("A", null));
    out.add(new Edit.PlaceByHand(List.of(P1), SUBPANEL));
    out.add(new Edit.ReleaseByHand(List.of(P1)));
    out.add(
        new Edit.RecordSorting(
            "pauses 1",
            "none",
            List.of(
                new Edit.Run(DROP, PlacementBasis.INFERRED, List.of(P1, P2), List.of(0.875, 1.0)),
                new Edit.Run(PANEL, PlacementBasis.BY_CODE, List.of(P3), List.of(1.0)))));
    out.add(new Edit.AlsoServe(List.of(P1, P3), OTHER, true));
    out.add(new Edit.SetAside(List.of(P2), true, "blurred"));
    out.add(new Edit.SetAside(List.of(P2), false, null));
    out.add(new Edit.NoteToSelf(List.of(P3), true));
    out.add(
        new Edit.PutFinding(
            new Finding(
                1,
                SUBPANEL,
                "garage, north wall",
                "panelboard",
                FindingKind.NEEDS_CORRECTION,
                "An opening in the dead front is not filled.",
                "Live parts can be touched.",
                "licensed electrician",
                List.of(P3),
                new Urgent("owner", "in person", "12:30"),
                false)));
    out.add(
        new Edit.PutFinding(
            new Finding(
                2,
                DROP,
                null,
                null,
                FindingKind.NOTE,
                "Old label.",
                null,
                null,
                null,
                null,
                true)));
    out.add(
        new Edit.PutCallout(
            new Callout(
                1,
                P1,
                "drip-loop",
                List.of(new Point(0.5, 0.25), new Point(0.0, 1.0)),
                new Point(-0.125, 0.5),
                1,
                "low")));
    out.add(
        new Edit.PutOutline(
            new Outline(2, P3, null, Outline.boxCorners(0.25, 0.25, 0.5, 0.5), null, null)));
    out.add(new Edit.PutRedaction(Redaction.box(3, P1, 0.0, 0.0, 0.125, 0.0625)));
    out.add(
        new Edit.PutMeasure(
            new Measure(
                4,
                P3,
                MeasureWay.ALONG_LENGTH,
                Reference.length("plate-1-gang", "1-gang plate, height", 0.114046, 0.0008),
                List.of(new Point(0.25, 0.5), new Point(0.25, 0.625)),
                true,
                new Point(0.5, 0.5),
                new Point(0.5, 0.75),
                0.228,
                0.004,
                1,
                "sill",
                "GRADE_ENTRANCE",
                false)));
    out.add(
        new Edit.PutMeasure(
            new Measure(
                5,
                P3,
                MeasureWay.ON_PLANE,
                new Reference(null, "Door slab", 0.9144, 0.003, 2.032, 0.003),
                Outline.boxCorners(0.25, 0.25, 0.25, 0.5),
                false,
                new Point(0.0, 0.0),
                new Point(1.0, 1.0),
                3.5,
                0.0625,
                null,
                null,
                null,
                false)));
    out.add(new Edit.PutSpot(new Spot(6, P3, Outline.boxCorners(0.125, 0.125, 0.25, 0.25), P1)));
    out.add(
        new Edit.SetReportView(P1, new ReportView(1, -2.5, 0.125, 0.0, 0.75, 0.875, 0.25, -0.5)));
    out.add(new Edit.SetReportView(P1, null));
    out.add(new Edit.RemoveMark(2));
    out.add(
        new Edit.GiveAnswer(
            new DutyKey(SUBPANEL, "rating"),
            new Answer(AnswerKind.DESCRIPTION, "100 A", "read from the label", null, List.of(P3))));
    out.add(new Edit.GiveAnswer(new DutyKey(DROP, "drop"), Answer.of(AnswerKind.NO_CONDITION)));
    out.add(new Edit.ReopenDuty(new DutyKey(DROP, "drop")));
    out.add(
        new Edit.PutDeviceTest(
            new DeviceTest(
                1,
                StopKey.of("alarms"),
                "hall",
                "smoke-alarm",
                List.of(TestOutcome.AS_EXPECTED, TestOutcome.LOOSE),
                "its own button",
                null,
                1,
                List.of(P2))));
    out.add(
        new Edit.PutDeviceTest(
            new DeviceTest(
                2, PANEL, null, "gfci", List.of(), null, "could not be reached", null, null)));
    out.add(new Edit.RemoveDeviceTest(2));
    out.add(
        new Edit.CountRoom(
            new DutyKey(DROP, "drop"),
            new RoomCount("kitchen", 3, List.of(TestOutcome.OPEN_GROUND))));
    out.add(new Edit.NoteCodes(List.of(new CodesSeen(P3, List.of(Code.stop(SUBPANEL).text())))));
    out.add(new Edit.NoteSource(List.of(P1, P2), new Source(SourceKind.CARD, "first card", false)));
    out.add(
        new Edit.AddAttachments(
            List.of(
                new Attachment(
                    photoId("d4"),
                    "MOV_0001.MP4",
                    "DCIM/100",
                    4096,
                    "mp4",
                    Instant.parse("2026-05-12T13:20:00Z")))));
    out.add(new Edit.WithdrawFinding(2, "seen twice"));
    out.add(new Edit.StepBack());
    out.add(new Edit.StepForward());
    out.add(
        new Edit.IssueReport(
            new IssuedReport(
                1,
                false,
                "0123456789abcdef".repeat(4),
                Map.of("report.html", "ab".repeat(32), "marked/F1.jpg", "cd".repeat(32)))));
    out.add(new Edit.WithdrawPhotos(List.of(P2), "another client's house", "2026-05-12-mill-lane"));
    out.add(new Edit.WithdrawAttachments(List.of(photoId("d4")), "the neighbor's voice", null));
    out.add(new Edit.KeepUntil(java.time.LocalDate.of(2031, 5, 12)));
    out.add(new Edit.SetHold(true, "a complaint by letter of 2026-06-02"));
    out.add(new Edit.SetHold(false, "settled"));
    out.add(new Edit.StartPacking("wren-package"));
    out.add(new Edit.WithdrawPacking());
    out.add(new Edit.StartPacking("wren-package-2"));
    out.add(new Edit.FinishPacking("ef".repeat(32)));
    out.add(new Edit.Reopen("the client sent a further photo"));
    out.add(
        new Edit.RecordExtract(
            new Extract(
                ExtractKind.FIX_LIST,
                "Agent of the sale",
                "Mara and Joss Pell",
                "0123456789abcdef".repeat(4),
                Map.of("fix-list.pdf", "ef".repeat(32)))));
    out.add(
        new Edit.RecordExtract(
            new Extract(
                ExtractKind.ORIGINALS, null, null, "0123456789abcdef".repeat(4), Map.of())));
    return out;
  }

  /** The examples folded, each a step of its own. */
  public static History history() {
    History history = new History(header());
    long seq = 1;
    for (Edit e : edits()) {
      seq++;
      history.accept(new History.Entry(seq, AT.plusSeconds(seq), "tester", seq - 1, e));
    }
    return history;
  }
}

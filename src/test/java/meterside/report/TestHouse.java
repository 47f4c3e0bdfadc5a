package meterside.report;

import java.awt.image.BufferedImage;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Path;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import meterside.archive.Archive;
import meterside.archive.JobFolder;
import meterside.archive.JournalWriter;
import meterside.archive.Sha256;
import meterside.job.Answer;
import meterside.job.AnswerKind;
import meterside.job.Callout;
import meterside.job.Camera;
import meterside.job.Clock;
import meterside.job.ClockBasis;
import meterside.job.DeviceTest;
import meterside.job.Duty;
import meterside.job.DutyKey;
import meterside.job.Edit;
import meterside.job.Finding;
import meterside.job.FindingKind;
import meterside.job.Format;
import meterside.job.Job;
import meterside.job.JobHeader;
import meterside.job.Outline;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.Point;
import meterside.job.Position;
import meterside.job.Progress;
import meterside.job.Recorded;
import meterside.job.Redaction;
import meterside.job.StopKey;
import meterside.job.TestOutcome;
import meterside.job.Urgent;
import meterside.trade.Trade;

/** A job of an invented house in a real archive, built edit by edit. */
final class TestHouse {
  static final Instant AT = Instant.parse("2026-05-12T21:40:00Z");
  static final String AUTHOR = "Imre Tallow";

  final Trade trade = Trade.standard();
  final JobFolder folder;
  private final List<Edit> edits = new ArrayList<>();
  private Job job;
  private int mark;
  private int test;
  private int shot;

  TestHouse(Path archive, String site) {
    this(archive, site, "house");
  }

  TestHouse(Path archive, String site, String name) {
    JobHeader header =
        new JobHeader(
            1,
            "5f2f1d9e-9a51-4a56-8f0d-5b1f6f3f0c11",
            site,
            LocalDate.of(2026, 5, 12),
            ZoneId.of("America/New_York"),
            trade.route("overhead"),
            trade.profile("general"));
    folder = Archive.openOrCreate(archive).createJob(name, header, AUTHOR, AT);
    job = Job.start(header);
  }

  Job job() {
    return job;
  }

  TestHouse edit(Edit... more) {
    for (Edit e : more) {
      job = e.applyTo(job);
      edits.add(e);
    }
    return this;
  }

  TestHouse camera(String id, String make, String model) {
    return edit(
        new Edit.PutCamera(
            new Camera(id, make, model, DrawnPhotos.PRIVATE[0], DrawnPhotos.PRIVATE[4], null)));
  }

  /** Takes in a drawn photo and puts it at a stop; null leaves it unsorted. */
  Photo photo(String name, String camera, String stop) {
    return photo(name, camera, stop, DrawnPhotos.house(1600, 1200, name.hashCode()), 1);
  }

  Photo photo(String name, String camera, String stop, BufferedImage stored, int orientation) {
    byte[] bytes = DrawnPhotos.jpeg(stored, orientation);
    return photo(name, camera, stop, bytes, stored.getWidth(), stored.getHeight(), orientation);
  }

  Photo photo(
      String name, String camera, String stop, byte[] bytes, int width, int height, int tag) {
    shot++;
    String time =
        String.format(
            Locale.ROOT, "2026:05:12 10:%02d:%02d", shot / 60 * 5 + shot % 60, shot * 7 % 60);
    PhotoId id = Sha256.of(bytes);
    Photo photo =
        new Photo(
            id,
            name,
            DrawnPhotos.PRIVATE[4] + "/100ABC",
            bytes.length,
            Format.JPEG,
            "jpg",
            width,
            height,
            tag,
            new Recorded(time, null, null, null, null, null, null),
            camera,
            null,
            new Position(DrawnPhotos.LATITUDE, DrawnPhotos.LONGITUDE, 4.9, null, false),
            null,
            null,
            null);
    try {
      folder.originals().keep(id, "jpg", bytes);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
    edit(new Edit.AddPhotos(List.of(photo)));
    if (stop != null) {
      edit(new Edit.PlaceByHand(List.of(id), StopKey.parse(stop)));
    }
    return photo;
  }

  TestHouse callout(Photo p, String part, double x, double y, Integer finding, String note) {
    return edit(
        new Edit.PutCallout(
            new Callout(++mark, p.id(), part, List.of(new Point(x, y)), null, finding, note)));
  }

  TestHouse outline(Photo p, String part, double x, double y, double w, double h, Integer f) {
    return edit(
        new Edit.PutOutline(
            new Outline(++mark, p.id(), part, Outline.boxCorners(x, y, w, h), f, null)));
  }

  TestHouse view(Photo p, meterside.job.ReportView view) {
    return edit(new Edit.SetReportView(p.id(), view));
  }

  TestHouse redact(Photo p, double x, double y, double w, double h) {
    return edit(new Edit.PutRedaction(Redaction.box(++mark, p.id(), x, y, w, h)));
  }

  TestHouse finding(
      int number,
      String stop,
      String location,
      String part,
      FindingKind kind,
      String seen,
      String why,
      String who,
      Urgent urgent,
      Photo... photos) {
    List<PhotoId> ids = new ArrayList<>();
    for (Photo p : photos) {
      ids.add(p.id());
    }
    return edit(
        new Edit.PutFinding(
            new Finding(
                number,
                StopKey.parse(stop),
                location,
                part,
                kind,
                seen,
                why,
                who,
                ids,
                urgent,
                number % 5 == 0)));
  }

  TestHouse answer(String stop, String duty, Answer answer) {
    return edit(new Edit.GiveAnswer(new DutyKey(StopKey.parse(stop), duty), answer));
  }

  TestHouse test(
      String stop, String where, String part, String not, Integer finding, TestOutcome... seen) {
    return edit(
        new Edit.PutDeviceTest(
            new DeviceTest(
                ++test,
                StopKey.parse(stop),
                where,
                part,
                List.of(seen),
                seen.length == 0 ? null : "a plug-in tester",
                not,
                finding,
                List.of())));
  }

  /** Writes the edits to the journal and the report into a folder. */
  ReportFiles report(Path dir, boolean draft, boolean keepLocation) {
    return report(dir, new ReportOptions(draft, keepLocation, AUTHOR, AT, 1, written()));
  }

  /** Writes a report into a folder. */
  ReportFiles report(Path dir, ReportOptions options) {
    return ReportWriter.write(job, folder, trade, dir, options, Progress.NONE);
  }

  /** Writes an extract into a folder. */
  ReportFiles extract(meterside.job.ExtractKind kind, String to, Path dir) {
    ReportOptions options = new ReportOptions(false, false, AUTHOR, AT, 1, written());
    return ExtractWriter.write(job, folder, trade, kind, to, dir, options, Progress.NONE);
  }

  /** Writes the edits to the journal. Returns the hash of its last line. */
  String written() {
    String head;
    try (JournalWriter writer =
        JournalWriter.open(folder, AUTHOR, java.time.Clock.fixed(AT, ZoneOffset.UTC))) {
      if (!edits.isEmpty()) {
        writer.append(AUTHOR, writer.content().history().nextStep(), edits);
        edits.clear();
      }
      head = writer.head();
    }
    return head;
  }

  /**
   * A house with so many photos along the route: most without marks, some marked, some tall,
   * findings of each kind and length, answers at every other stop.
   */
  static TestHouse walked(Path archive, int photos) {
    TestHouse h = new TestHouse(archive, "41 Tansy Bend");
    h.camera("A", "Halden", "Halden H2").camera("B", "Quillon", "Pocket 3");
    h.edit(
        new Edit.SetFact("client", "Orla Penhale"),
        new Edit.SetFact("inspector", AUTHOR),
        new Edit.SetFact("weather", "Overcast, 11 °C"));
    List<String> stops =
        h.job.route().stops().stream()
            .map(meterside.job.Stop::id)
            .filter(s -> !s.equals(StopKey.OTHER_SYSTEMS))
            .toList();
    FindingKind[] kinds = FindingKind.values();
    int finding = 0;
    for (int i = 0; i < photos; i++) {
      String stop = stops.get(i * stops.size() / photos);
      boolean tall = i % 7 == 3;
      BufferedImage image = tall ? DrawnPhotos.house(480, 640, i) : DrawnPhotos.house(800, 600, i);
      Photo p = h.photo("IMG_" + (1200 + i) + ".JPG", i % 3 == 2 ? "B" : "A", stop, image, 1);
      if (i % 3 == 0) {
        finding++;
        h.finding(
            finding,
            stop,
            i % 2 == 0 ? "north wall, above the meter" : null,
            i % 2 == 0 ? "meter" : "conduit",
            kinds[finding % kinds.length],
            "The cover stands off the wall by a finger's width on its left side. "
                .repeat(1 + i % 4),
            "Water that gets in behind it runs down to the terminals.",
            "Licensed electrician.",
            null,
            p);
        h.callout(p, "meter", 0.52, 0.82, finding, null);
        h.callout(p, "conduit", 0.3, 0.4, null, i % 2 == 0 ? "Strap loose" : null);
      } else if (i % 5 == 0) {
        h.callout(p, "mast", 0.5, 0.5, null, null);
      }
    }
    for (Duty duty : h.duties()) {
      if (stops.indexOf(duty.stop()) % 2 == 0 && duty.text().length() % 3 != 0) {
        h.answer(duty.stop(), duty.id(), Answer.of(AnswerKind.NO_CONDITION));
      }
    }
    return h;
  }

  /** A whole evening's work: photos of two cameras, findings of each kind, answers, tests. */
  static TestHouse full(Path archive) {
    TestHouse h = new TestHouse(archive, "18 Wren Hollow");
    h.camera("A", "Halden", "Halden H2").camera("B", "Quillon", "Pocket 3");
    h.edit(new Edit.SetClock("B", new Clock(58_000, ClockBasis.PAIR, 0.5)));
    h.edit(new Edit.AddInstance(new StopKey("panelboard", "garage subpanel")));
    String[][] facts = {
      {"client", "Mara and Joss Pell"},
      {"inspector", AUTHOR},
      {"license", "HI-00417 (invented)"},
      {"start", "10:00"},
      {"end", "12:20"},
      {"weather", "Clear, 18 °C, dry"},
      {"occupied", "Occupied"},
      {"power", "On"},
      {"year-built", "1964"},
      {"exclusions", "Detached shed: not part of the agreement."},
      {"Panel cover#main panel", "yes"},
      {
        "cover#garage subpanel",
        "not removed, because shelving was screwed to the wall in front of it"
      },
    };
    for (String[] f : facts) {
      h.edit(new Edit.SetFact(f[0], f[1]));
    }
    Photo drop = h.photo("IMG_0411.JPG", "A", "service-drop");
    Photo loop = h.photo("IMG_0412.JPG", "A", "splice-and-drip-loop");
    Photo near = h.photo("IMG_0413.JPG", "A", "splice-and-drip-loop");
    Photo mast =
        h.photo("P5120031.JPG", "B", "service-head-and-mast", DrawnPhotos.house(1200, 1600, 5), 1);
    h.photo("P5120032.JPG", "B", "entrance-cable");
    Photo meter = h.photo("P5120035.JPG", "B", "meter-and-base");
    Photo panel = h.photo("IMG_0430.JPG", "A", "panelboard");
    Photo sub = h.photo("IMG_0441.JPG", "A", "panelboard#garage subpanel");
    Photo bath = h.photo("P5120050.JPG", "B", "gfci-and-afci");
    h.photo("IMG_0460.JPG", "A", "other-systems");
    Photo aside = h.photo("IMG_0461.JPG", "A", "alarms");
    Photo self = h.photo("IMG_0462.JPG", "A", "alarms");
    h.photo("IMG_0463.JPG", "A", "alarms");
    h.finding(
        1,
        "splice-and-drip-loop",
        "south gable",
        "drip-loop",
        FindingKind.NEEDS_CORRECTION,
        "The covering of two of the three conductors is cracked at the low point of the loop. No bare metal was visible from the ground.",
        "Rain follows a crack to the metal, and a bare conductor near the wall can be touched from a ladder.",
        "The utility, and a licensed electrician for the house side.",
        null,
        loop,
        near);
    h.finding(
        2,
        "panelboard",
        "hall closet",
        "panelboard",
        FindingKind.NEEDS_CORRECTION,
        "A scorch mark beside the third breaker on the left, and a hot smell.",
        "A joint that overheats can start a fire inside the box.",
        "Licensed electrician, at once.",
        new Urgent("Mara Pell", "in person", "11:15"),
        panel);
    h.finding(
        3,
        "gfci-and-afci",
        "hall bath, right of the basin",
        "receptacle",
        FindingKind.SAFETY_IMPROVEMENT,
        "The receptacle beside the basin has no GFCI protection that could be found.",
        "Water nearby makes a shock more likely and worse.",
        "Licensed electrician.",
        null,
        bath);
    h.finding(
        4,
        "panelboard#garage subpanel",
        null,
        "circuit-directory",
        FindingKind.NOTE,
        "The circuit directory is filled in pencil and hard to read.",
        null,
        "Owner.",
        null,
        sub);
    h.finding(
        5,
        "service-head-and-mast",
        "roof edge",
        "mast",
        FindingKind.FURTHER_EVALUATION,
        "The mast leans a little toward the street.",
        "A mast that bends strains the conductors it holds.",
        "Licensed electrician, who arranges a disconnect with the utility.",
        null,
        mast);
    h.callout(drop, "service-drop", 0.12, 0.15, null, null);
    h.callout(loop, "drip-loop", 0.32, 0.4, 1, "Covering cracked");
    h.callout(loop, "service-head", 0.53, 0.28, null, null);
    h.callout(loop, "meter", 0.52, 0.82, null, null);
    h.callout(near, "drip-loop", 0.34, 0.41, 1, null);
    h.callout(mast, "mast", 0.52, 0.5, 5, null);
    h.callout(mast, "service-head", 0.5, 0.28, null, null);
    h.callout(meter, "meter", 0.52, 0.82, null, "Seal in place");
    h.outline(panel, "breaker", 0.4, 0.35, 0.15, 0.2, 2);
    h.callout(bath, "receptacle", 0.6, 0.6, 3, null);
    h.redact(meter, 0.05, 0.6, 0.25, 0.2);
    h.callout(aside, "smoke-alarm", 0.5, 0.5, null, null);
    h.edit(new Edit.SetAside(List.of(aside.id()), true, "blurred"));
    h.edit(new Edit.NoteToSelf(List.of(self.id()), true));
    h.answer("service-drop", "drop-clearance", Answer.of(AnswerKind.NO_CONDITION));
    h.answer(
        "service-drop",
        "supply-kind",
        new Answer(
            AnswerKind.DESCRIPTION, "Overhead", "seen from the street", null, List.of(drop.id())));
    h.answer(
        "splice-and-drip-loop",
        "drip-loop",
        new Answer(AnswerKind.FINDING, null, null, 1, List.of()));
    h.answer("splice-and-drip-loop", "attachment", Answer.of(AnswerKind.NO_CONDITION));
    h.answer(
        "main-disconnect",
        "rating",
        new Answer(AnswerKind.DESCRIPTION, "200 A", "read from the handle", null, List.of()));
    h.answer(
        "branch-wiring",
        "old-wiring",
        new Answer(
            AnswerKind.NOT_INSPECTED, "the attic hatch was painted shut", null, null, List.of()));
    h.test(
        "gfci-and-afci",
        "Hall bath, right of the basin",
        "receptacle",
        null,
        3,
        TestOutcome.AS_EXPECTED);
    h.test(
        "gfci-and-afci", "Kitchen, left of the sink", "gfci", null, null, TestOutcome.DID_NOT_TRIP);
    h.test("gfci-and-afci", "Bedroom over the garage", "afci", "a sleeping child", null);
    return h;
  }

  /** A job with nothing in it. */
  static TestHouse empty(Path archive) {
    return new TestHouse(archive, "7 Marl Lane");
  }

  /** A job where nothing could be looked at: every duty not inspected, and a limit in the facts. */
  static TestHouse limits(Path archive) {
    TestHouse h = new TestHouse(archive, "2 Cinder Row");
    h.edit(new Edit.SetFact("limitations", "The agreement ended at the gate."));
    for (Duty duty : h.duties()) {
      if (h.job.route().indexOf(duty.stop()) >= 0) {
        h.answer(
            duty.stop(),
            duty.id(),
            new Answer(AnswerKind.NOT_INSPECTED, "the gate was locked", null, null, List.of()));
      }
    }
    return h;
  }

  static final String SCRIPT =
      "<script>alert(\"x\")</script> & 'quoted' \"twice\" </style><img src=x onerror=y>";
  static final String RIGHT_TO_LEFT = "שלום עולם (abc) 123";
  static final String ARABIC = "مرحبا بالعالم";
  static final String EMOJI = "Hot 🔥 panel 😀 ⚠ → ✓ done";
  static final String LONG = "Lorem ipsum dolor sit amet. ".repeat(180).substring(0, 5000);
  static final String UNBROKEN = "x".repeat(900);
  static final String FORMULA = "=HYPERLINK(\"http://example.org\",\"click\")";
  static final String AWKWARD_NAME = "a&b <c> \"d\" 'e' ;=@ %2e ünï שלום 😀.JPG";

  /** A job whose every text is hostile. */
  static TestHouse hostile(Path archive) {
    TestHouse h = new TestHouse(archive, "9 Quoin Row " + SCRIPT);
    h.camera("A", "<b>Make</b>", "Model & \"Co\"");
    h.edit(
        new Edit.SetFact("client", SCRIPT),
        new Edit.SetFact("weather", EMOJI),
        new Edit.SetFact("<i>odd</i> key", "=1+1"));
    Photo p = h.photo(AWKWARD_NAME, "A", "service-drop");
    Photo q = h.photo("../../../etc/passwd", "A", "panelboard#" + SCRIPT);
    h.finding(
        1,
        "service-drop",
        RIGHT_TO_LEFT,
        "drip-loop",
        FindingKind.NEEDS_CORRECTION,
        SCRIPT,
        EMOJI,
        ARABIC,
        new Urgent(SCRIPT, EMOJI, null),
        p);
    h.finding(
        2,
        "panelboard",
        FORMULA,
        "<part>",
        FindingKind.NOTE,
        LONG,
        UNBROKEN,
        "+1 555 (invented)",
        null,
        q);
    h.finding(
        3,
        "alarms",
        "-2",
        null,
        FindingKind.NOTE,
        "first line\nsecond line\r\nthird \u202Eline\u0007 end",
        "\tTabbed",
        "@who",
        null);
    h.callout(p, "drip-loop", 0.3, 0.4, 1, SCRIPT);
    h.callout(p, "<svg onload=x>", 0.6, 0.6, null, EMOJI);
    h.callout(q, "breaker", 0.5, 0.5, 2, null);
    h.outline(q, null, 0.2, 0.2, 0.2, 0.2, null);
    h.answer(
        "main-disconnect",
        "rating",
        new Answer(AnswerKind.DESCRIPTION, SCRIPT, RIGHT_TO_LEFT, null, List.of()));
    h.answer(
        "branch-wiring",
        "old-wiring",
        new Answer(AnswerKind.NOT_INSPECTED, EMOJI, null, null, List.of()));
    h.test("gfci-and-afci", SCRIPT, "gfci", null, null, TestOutcome.LOOSE);
    h.test("gfci-and-afci", "=cmd|' /C calc'!A0", "afci", ARABIC, null);
    return h;
  }

  /** Every duty of the job. */
  List<Duty> duties() {
    return job.profile().duties();
  }
}

package meterside.job;

import java.time.Instant;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Collections;
import java.util.HexFormat;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;

/**
 * Edits by chance that fit a job: every kind, with awkward texts and numbers, steps back and
 * forward among them. One seed, one sequence. Start from {@link Examples#header}.
 */
public final class RandomEdits {
  private static final List<String> AWKWARD =
      List.of(
          "",
          " ",
          "kitchen, left of the sink",
          "\"quoted\" \\ back\\slash /",
          "line\nbreak\ttab\r\u0000\u0001",
          "\",\"hash\":\"" + "0".repeat(64) + "\"}",
          "}\n{\"seq\":1",
          "größer, été, 日本語, עברית, \u202eturned",
          "\ud83d\udd0c plug",
          "half \ud83d pair \udd0c",
          "\u2028\u2029\ufeff",
          "<b>&amp;</b>");
  private static final List<ZoneId> ZONES =
      List.of(
          ZoneId.of("America/New_York"),
          ZoneId.of("Asia/Kolkata"),
          ZoneId.of("Z"),
          ZoneId.of("+05:45"));

  private final Random random;

  /** A sequence of its own for each seed. */
  public RandomEdits(long seed) {
    random = new Random(seed);
  }

  /**
   * Edits of one step, applied to the history as they are made.
   *
   * @param seq number of the first of them
   * @return the entries, at least one
   */
  public List<History.Entry> step(History history, long seq, Instant at, String author) {
    List<History.Entry> out = new ArrayList<>();
    long step = history.nextStep();
    int count = random.nextInt(8) == 0 ? 1 + random.nextInt(5) : 1;
    for (int i = 0; i < count; i++) {
      History.Entry entry = new History.Entry(seq + i, at, author, step, next(history));
      history.accept(entry);
      out.add(entry);
    }
    return out;
  }

  /** One edit that the history takes. */
  public Edit next(History history) {
    if (random.nextInt(6) == 0) {
      if (random.nextBoolean() && history.canStepBack()) {
        return new Edit.StepBack();
      }
      if (history.canStepForward()) {
        return new Edit.StepForward();
      }
    }
    Job job = history.job();
    while (true) {
      Edit edit = attempt(history, job);
      if (edit != null) {
        return edit;
      }
    }
  }

  private Edit attempt(History history, Job job) {
    boolean photos = !job.photos().isEmpty();
    return switch (random.nextInt(28)) {
      case 0 -> new Edit.SetSite(text());
      case 1 -> new Edit.SetZone(pick(ZONES));
      case 2 -> new Edit.SetFact(text(), orNull(text()));
      case 3 -> new Edit.ChangeRoute(Examples.route(), Examples.profile());
      case 4 -> new Edit.AddInstance(stop(job));
      case 5 ->
          new Edit.PutCamera(
              new Camera(
                  Character.toString('A' + random.nextInt(3)),
                  orNull(text()),
                  orNull(text()),
                  orNull(text()),
                  orNull(text()),
                  orNull(text())));
      case 6, 7 -> job.cameras().isEmpty() ? null : new Edit.AddPhotos(newPhotos(job));
      case 8 ->
          job.cameras().isEmpty()
              ? null
              : new Edit.SetClock(
                  camera(job),
                  orNull(
                      new Clock(
                          random.nextLong() >> random.nextInt(64),
                          pick(List.of(ClockBasis.values())),
                          orNull(number()))));
      case 9 -> photos ? new Edit.PlaceByHand(some(job), stop(job)) : null;
      case 10 -> photos ? new Edit.ReleaseByHand(some(job)) : null;
      case 11 -> photos ? sorting(job) : null;
      case 12 -> photos ? new Edit.AlsoServe(some(job), stop(job), random.nextBoolean()) : null;
      case 13 -> photos ? new Edit.SetAside(some(job), random.nextBoolean(), orNull(text())) : null;
      case 14 -> photos ? new Edit.NoteToSelf(some(job), random.nextBoolean()) : null;
      case 15, 16 -> photos ? mark(history, job) : null;
      case 17 ->
          job.marks().isEmpty()
              ? null
              : new Edit.RemoveMark(pick(List.copyOf(job.marks().keySet())));
      case 18, 19 -> new Edit.PutFinding(finding(history, job));
      case 20 ->
          job.findings().isEmpty()
              ? null
              : new Edit.WithdrawFinding(
                  pick(List.copyOf(job.findings().keySet())), orNull(text()));
      case 21 -> new Edit.GiveAnswer(pick(job.dutyKeys()), answer(job));
      case 22 -> test(history, job);
      case 23 -> photos ? new Edit.SetReportView(pick(job.intakeOrder()), orNull(view())) : null;
      default -> seldom(history, job);
    };
  }

  private Edit packing(Job job) {
    if (job.packaging().isEmpty()) {
      return new Edit.StartPacking(text());
    }
    if (job.packaging().get().done()) {
      return new Edit.Reopen("why: " + text());
    }
    return random.nextBoolean() ? new Edit.WithdrawPacking() : new Edit.FinishPacking(hash().hex());
  }

  private Edit seldom(History history, Job job) {
    boolean photos = !job.photos().isEmpty();
    return switch (random.nextInt(12)) {
      case 8 ->
          new Edit.KeepUntil(
              orNull(java.time.LocalDate.of(2026, 5, 12).plusDays(random.nextInt(4000))));
      case 9 -> new Edit.SetHold(random.nextBoolean(), "why: " + text());
      case 10 -> packing(job);
      case 4 ->
          photos
              ? new Edit.NoteCodes(
                  List.of(new CodesSeen(pick(job.intakeOrder()), List.of(text(), text()))))
              : null;
      case 5 ->
          photos
              ? new Edit.NoteSource(
                  some(job),
                  new Source(
                      pick(List.of(SourceKind.values())), orNull(text()), random.nextBoolean()))
              : null;
      case 6 ->
          new Edit.AddAttachments(
              List.of(
                  new Attachment(
                      hash(), text(), text(), 7, "mp4", orNull(Instant.ofEpochSecond(5)))));
      case 11 ->
          !job.attachments().isEmpty() && job.hold().isEmpty() && random.nextInt(4) == 0
              ? new Edit.WithdrawAttachments(
                  List.of(pick(List.copyOf(job.attachments().keySet()))),
                  "why: " + text(),
                  orNull(text()))
              : null;
      case 7 ->
          photos && job.hold().isEmpty() && random.nextInt(4) == 0
              ? new Edit.WithdrawPhotos(
                  List.of(pick(job.intakeOrder())), "why: " + text(), orNull(text()))
              : null;
      case 3 ->
          new Edit.CountRoom(
              pick(job.dutyKeys()),
              new RoomCount(
                  "room " + random.nextInt(3),
                  random.nextInt(3) == 0 ? 0 : 2 + random.nextInt(3),
                  List.of()));
      case 0 -> new Edit.ReopenDuty(pick(job.dutyKeys()));
      case 1 ->
          job.tests().isEmpty()
              ? null
              : new Edit.RemoveDeviceTest(pick(List.copyOf(job.tests().keySet())));
      default -> {
        if (random.nextInt(4) != 0) {
          yield null;
        }
        Map<String, String> files = new LinkedHashMap<>();
        for (int i = random.nextInt(4); i >= 0; i--) {
          files.put(text() + i, hash().hex());
        }
        if (random.nextBoolean()) {
          ExtractKind[] kinds = ExtractKind.values();
          ExtractKind kind = kinds[random.nextInt(kinds.length)];
          yield new Edit.RecordExtract(
              new Extract(kind, orNull(text()), orNull(text()), hash().hex(), files));
        }
        yield new Edit.IssueReport(
            new IssuedReport(history.nextReport(), random.nextBoolean(), hash().hex(), files));
      }
    };
  }

  private List<Photo> newPhotos(Job job) {
    List<Photo> out = new ArrayList<>();
    for (int i = random.nextInt(4); i >= 0; i--) {
      out.add(photo(hash(), camera(job)));
    }
    return out;
  }

  private Photo photo(PhotoId id, String camera) {
    return new Photo(
        id,
        text(),
        text(),
        random.nextLong() >>> random.nextInt(64),
        pick(List.of(Format.values())),
        "jpg",
        random.nextInt(20_000),
        random.nextInt(20_000),
        random.nextInt(),
        new Recorded(
            orNull("2026:05:12 09:14:0" + random.nextInt(10)),
            orNull(text()),
            orNull("05"),
            orNull("+05:30"),
            orNull(text()),
            orNull("1:2:3.5"),
            orNull(Instant.ofEpochSecond(random.nextInt(), random.nextInt(1_000_000_000)))),
        camera,
        orNull(new Exposure(orNull(number()), orNull(number()), orNull(number()))),
        orNull(
            new Position(
                random.nextDouble() * 180 - 90,
                random.nextDouble() * 360 - 180,
                orNull(number()),
                orNull(number()),
                random.nextBoolean())),
        orNull(number()),
        orNull(number()),
        orNull(text()));
  }

  private Edit sorting(Job job) {
    List<PhotoId> free = new ArrayList<>();
    for (PhotoId p : job.intakeOrder()) {
      boolean byHand =
          job.placement(p).filter(at -> at.basis() == PlacementBasis.BY_HAND).isPresent();
      if (!byHand) {
        free.add(p);
      }
    }
    List<Edit.Run> runs = new ArrayList<>();
    while (!free.isEmpty()) {
      List<PhotoId> part = free.subList(0, 1 + random.nextInt(free.size()));
      List<Double> confidence = new ArrayList<>();
      part.forEach(p -> confidence.add(random.nextDouble()));
      PlacementBasis basis =
          random.nextInt(5) == 0 ? PlacementBasis.BY_CODE : PlacementBasis.INFERRED;
      runs.add(new Edit.Run(stop(job), basis, part, confidence));
      part.clear();
    }
    return new Edit.RecordSorting(text(), text(), runs);
  }

  private Edit mark(History history, Job job) {
    int id = history.nextMark();
    PhotoId photo = pick(job.intakeOrder());
    if (!job.marks().isEmpty() && random.nextInt(3) == 0) {
      Mark was = pick(List.copyOf(job.marks().values()));
      id = was.id();
      photo = was.photo();
      return mark(kind(was), id, photo, job);
    }
    return mark(random.nextInt(5), id, photo, job);
  }

  private static int kind(Mark m) {
    return m instanceof Outline
        ? 0
        : m instanceof Redaction ? 1 : m instanceof Measure ? 2 : m instanceof Spot ? 3 : 4;
  }

  private Edit mark(int kind, int id, PhotoId photo, Job job) {
    return switch (kind) {
      case 0 -> outline(id, photo, job);
      case 1 -> new Edit.PutRedaction(new Redaction(id, photo, corners()));
      case 2 -> measure(id, photo, job);
      case 3 -> {
        List<PhotoId> others = new ArrayList<>(job.intakeOrder());
        others.remove(photo);
        yield others.isEmpty()
            ? null
            : new Edit.PutSpot(new Spot(id, photo, corners(), pick(others)));
      }
      default -> callout(id, photo, job);
    };
  }

  private Edit measure(int id, PhotoId photo, Job job) {
    boolean plane = random.nextBoolean();
    List<Point> known = new ArrayList<>();
    for (int i = 0; i < (plane ? 4 : 2); i++) {
      known.add(point());
    }
    double size = 1e-6 + random.nextDouble();
    Reference by =
        plane
            ? new Reference(orNull(text()), text(), size, 0, size * 2, random.nextDouble())
            : Reference.length(orNull(text()), text(), size, random.nextDouble());
    return new Edit.PutMeasure(
        new Measure(
            id,
            photo,
            plane ? MeasureWay.ON_PLANE : MeasureWay.ALONG_LENGTH,
            by,
            known,
            random.nextBoolean(),
            point(),
            point(),
            1e-9 + random.nextDouble(),
            random.nextDouble(),
            findingOrNull(job),
            orNull(text()),
            orNull("ROOF_BASE"),
            random.nextBoolean()));
  }

  private ReportView view() {
    return ReportView.AS_TAKEN
        .straightened(random.nextDouble() * 30 - 15)
        .cropped(random.nextDouble(), random.nextDouble(), random.nextDouble(), 1)
        .toned(random.nextDouble() * 2 - 1, random.nextDouble() * 2 - 1)
        .turned(random.nextInt(4));
  }

  private Edit callout(int id, PhotoId photo, Job job) {
    List<Point> rings = new ArrayList<>();
    for (int i = random.nextInt(3); i >= 0; i--) {
      rings.add(point());
    }
    return new Edit.PutCallout(
        new Callout(
            id, photo, "drip-loop", rings, orNull(point()), findingOrNull(job), orNull(text())));
  }

  private Edit outline(int id, PhotoId photo, Job job) {
    return new Edit.PutOutline(
        new Outline(id, photo, orNull("meter"), corners(), findingOrNull(job), orNull(text())));
  }

  private List<Point> corners() {
    List<Point> out = new ArrayList<>();
    for (int i = 3 + random.nextInt(4); i > 0; i--) {
      out.add(point());
    }
    return out;
  }

  private Point point() {
    return random.nextInt(8) == 0
        ? pick(List.of(new Point(0, 1), new Point(-0.0, Double.MIN_VALUE), new Point(0.1 + 0.2, 1)))
        : new Point(random.nextDouble(), random.nextDouble());
  }

  private Finding finding(History history, Job job) {
    int number = history.nextFinding();
    if (!job.findings().isEmpty() && random.nextInt(3) == 0) {
      number = pick(List.copyOf(job.findings().keySet()));
    }
    return new Finding(
        number,
        stop(job),
        orNull(text()),
        orNull("breaker"),
        pick(List.of(FindingKind.values())),
        "seen: " + text(),
        orNull(text()),
        orNull(text()),
        some(job),
        orNull(new Urgent(orNull(text()), orNull(text()), orNull(text()))),
        random.nextBoolean());
  }

  private Answer answer(Job job) {
    AnswerKind kind = pick(List.of(AnswerKind.values()));
    Integer finding = null;
    if (kind == AnswerKind.FINDING) {
      finding = findingOrNull(job);
      if (finding == null) {
        kind = AnswerKind.NOT_PRESENT;
      }
    }
    boolean needsText = kind == AnswerKind.DESCRIPTION || kind == AnswerKind.NOT_INSPECTED;
    return new Answer(
        kind, needsText ? "text: " + text() : orNull(text()), orNull(text()), finding, some(job));
  }

  private Edit test(History history, Job job) {
    int id = history.nextTest();
    if (!job.tests().isEmpty() && random.nextInt(3) == 0) {
      id = pick(List.copyOf(job.tests().keySet()));
    }
    boolean tested = random.nextBoolean();
    return new Edit.PutDeviceTest(
        new DeviceTest(
            id,
            stop(job),
            orNull(text()),
            "receptacle",
            tested ? List.of(pick(List.of(TestOutcome.values()))) : List.of(),
            orNull(text()),
            tested ? null : "because: " + text(),
            findingOrNull(job),
            some(job)));
  }

  private Integer findingOrNull(Job job) {
    return job.findings().isEmpty() || random.nextBoolean()
        ? null
        : pick(List.copyOf(job.findings().keySet()));
  }

  private StopKey stop(Job job) {
    return random.nextInt(6) == 0
        ? new StopKey(pick(job.route().stops()).id(), pick(List.of("garage", "été #2", "\"x\"")))
        : StopKey.of(pick(job.route().stops()).id());
  }

  private List<PhotoId> some(Job job) {
    List<PhotoId> all = new ArrayList<>(job.intakeOrder());
    Collections.shuffle(all, random);
    return List.copyOf(all.subList(0, Math.min(all.size(), random.nextInt(4))));
  }

  private String camera(Job job) {
    return pick(List.copyOf(job.cameras().keySet()));
  }

  private PhotoId hash() {
    byte[] bytes = new byte[32];
    random.nextBytes(bytes);
    return new PhotoId(HexFormat.of().formatHex(bytes));
  }

  private String text() {
    return pick(AWKWARD);
  }

  private Double number() {
    return switch (random.nextInt(6)) {
      case 0 -> 0.0;
      case 1 -> (double) random.nextInt();
      case 2 -> Double.MAX_VALUE;
      case 3 -> Double.MIN_VALUE;
      case 4 -> 1e23;
      default -> random.nextGaussian() * 1000;
    };
  }

  private <T> T pick(List<T> from) {
    return from.get(random.nextInt(from.size()));
  }

  private <T> T orNull(T value) {
    return random.nextInt(3) == 0 ? null : value;
  }
}

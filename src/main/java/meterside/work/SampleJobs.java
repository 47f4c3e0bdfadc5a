package meterside.work;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import meterside.job.Answer;
import meterside.job.AnswerKind;
import meterside.job.Callout;
import meterside.job.DeviceTest;
import meterside.job.DutyKey;
import meterside.job.Edit;
import meterside.job.Finding;
import meterside.job.Job;
import meterside.job.Measure;
import meterside.job.MeasureWay;
import meterside.job.Outline;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.Point;
import meterside.job.Progress;
import meterside.job.Redaction;
import meterside.job.Reference;
import meterside.job.ReportView;
import meterside.job.RoomCount;
import meterside.job.Spot;
import meterside.job.StopKey;
import meterside.job.TestOutcome;
import meterside.job.Urgent;
import meterside.markup.Measured;
import meterside.markup.Measuring;

/**
 * Makes an archive that holds the sample jobs: the sample house's photos are taken in and sorted
 * like any others, and {@code demo.json} beside them says what the inspector then did, act by act,
 * through the ordinary edits. Where a part lies on a photo is not written there: it is read from
 * {@code truth.json}, which the scenes export. Lengths are measured between points in metres of the
 * place, put on the photo by the camera that truth.json gives.
 */
public final class SampleJobs {
  private static final ObjectMapper JSON = new ObjectMapper();

  private final Workspace workspace;
  private final JsonNode truth;

  private SampleJobs(Workspace workspace, JsonNode truth) {
    this.workspace = workspace;
    this.truth = truth;
  }

  /**
   * Makes the sample jobs that the archive does not hold yet; those it holds stay as they are.
   *
   * @param root folder of the archive, made if missing
   * @return names of the sample jobs
   */
  public static List<String> make(Path root, Home home, Progress progress) {
    List<String> names = new ArrayList<>();
    try (SamplePhotos photos = SamplePhotos.open();
        Workspace w =
            Workspace.open(root.toAbsolutePath().normalize(), true, home, Clock.systemUTC())) {
      JsonNode demo = JSON.readTree(photos.read("demo.json"));
      SampleJobs sample = new SampleJobs(w, JSON.readTree(photos.read("truth.json")));
      int done = 0;
      for (JsonNode job : demo.get("jobs")) {
        String name = job.get("job").asText();
        if (!w.jobNames().contains(name)) {
          sample.make(job, photos, progress);
        }
        names.add(name);
        progress.at(++done, demo.get("jobs").size());
      }
    } catch (IOException e) {
      throw new NotDone(NotDone.NOT_NOW, "sample.unreadable", root);
    }
    return names;
  }

  private void make(JsonNode demo, SamplePhotos photos, Progress progress) throws IOException {
    String name = demo.get("job").asText();
    JsonNode facts = truthOf(name);
    workspace.newJob(
        name,
        facts.get("site").asText(),
        LocalDate.parse(facts.get("date").asText()),
        ZoneId.of(facts.get("zone").asText()),
        facts.get("route").asText());
    Path card = Files.createTempDirectory("meterside-card");
    try (JobSession session = JobSession.open(workspace, name)) {
      photos.copy(facts.get("folder").asText(), card);
      session.intake(List.of(card), false, progress);
      for (JsonNode act : demo.get("acts")) {
        act(session, name, act);
      }
    } finally {
      FileTrees.delete(card);
    }
  }

  private JsonNode truthOf(String job) {
    for (JsonNode j : truth.get("jobs")) {
      if (j.get("id").asText().equals(job)) {
        return j;
      }
    }
    throw new IllegalStateException("truth.json does not know " + job);
  }

  private void act(JobSession session, String name, JsonNode act) {
    Job job = session.job();
    String what = act.get("do").asText();
    switch (what) {
      case "fact" -> session.act(new Edit.SetFact(text(act, "key"), text(act, "value")));
      case "instance" -> session.act(new Edit.AddInstance(stop(job, act)));
      case "clock" ->
          session.actAndSort(
              List.of(
                  new Edit.SetClock(
                      text(act, "camera"),
                      new meterside.job.Clock(
                          Math.round(act.get("seconds").asDouble() * 1000),
                          meterside.job.ClockBasis.BY_HAND,
                          null))));
      case "place" ->
          session.actAndSort(List.of(new Edit.PlaceByHand(photos(job, act), stop(job, act))));
      case "aside" -> session.act(new Edit.SetAside(photos(job, act), true, text(act, "reason")));
      case "note-to-self" -> session.act(new Edit.NoteToSelf(photos(job, act), true));
      case "finding" -> session.act(new Edit.PutFinding(finding(session, job, act)));
      case "callout" -> session.act(new Edit.PutCallout(callout(session, job, name, act)));
      case "spot" -> session.act(new Edit.PutSpot(spot(session, job, name, act)));
      case "measure" -> session.act(new Edit.PutMeasure(measure(session, job, name, act)));
      case "view" ->
          session.act(new Edit.SetReportView(Names.photo(job, text(act, "photo")).id(), view(act)));
      case "count" -> {
        List<TestOutcome> exceptions = new ArrayList<>();
        act.path("exceptions")
            .forEach(e -> exceptions.add(Names.value(TestOutcome.class, e.asText())));
        session.act(
            new Edit.CountRoom(
                Names.duty(job, stop(job, act), text(act, "duty")),
                new RoomCount(text(act, "room"), act.get("looked").asInt(), exceptions)));
      }
      case "redact" -> {
        JsonNode b = act.get("box");
        session.act(
            new Edit.PutRedaction(
                Redaction.box(
                    session.nextMark(),
                    Names.photo(job, text(act, "photo")).id(),
                    b.get(0).asDouble(),
                    b.get(1).asDouble(),
                    b.get(2).asDouble(),
                    b.get(3).asDouble())));
      }
      case "answer" -> {
        DutyKey key = Names.duty(job, stop(job, act), text(act, "duty"));
        session.act(
            new Edit.GiveAnswer(
                key,
                new Answer(
                    Names.value(AnswerKind.class, text(act, "kind")),
                    text(act, "text"),
                    text(act, "knownBy"),
                    act.has("finding") ? act.get("finding").asInt() : null,
                    photos(job, act))));
      }
      case "test" -> {
        List<TestOutcome> outcomes = new ArrayList<>();
        for (JsonNode o : act.path("outcomes")) {
          outcomes.add(Names.value(TestOutcome.class, o.asText()));
        }
        session.act(
            new Edit.PutDeviceTest(
                new DeviceTest(
                    session.nextTest(),
                    stop(job, act),
                    text(act, "location"),
                    text(act, "part"),
                    outcomes,
                    text(act, "means"),
                    text(act, "notTested"),
                    act.has("finding") ? act.get("finding").asInt() : null,
                    photos(job, act))));
      }
      default -> throw new IllegalStateException("demo.json: unknown act " + what);
    }
  }

  private Finding finding(JobSession session, Job job, JsonNode act) {
    return new Finding(
        session.nextFinding(),
        stop(job, act),
        text(act, "location"),
        text(act, "part"),
        Names.kind(text(act, "kind")),
        text(act, "seen"),
        text(act, "why"),
        text(act, "who"),
        photos(job, act),
        act.has("told") ? new Urgent(text(act, "told"), text(act, "how"), text(act, "when")) : null,
        act.path("seenLater").asBoolean(false));
  }

  private Callout callout(JobSession session, Job job, String name, JsonNode act) {
    Photo photo = Names.photo(job, text(act, "photo"));
    String part = text(act, "part");
    return new Callout(
        session.nextMark(),
        photo.id(),
        part,
        rings(name, photo, part, text(act, "which")),
        null,
        act.has("finding") ? act.get("finding").asInt() : null,
        text(act, "note"));
  }

  /** The close photo tied to a box round the part on the wide one. */
  private Spot spot(JobSession session, Job job, String name, JsonNode act) {
    Photo wide = Names.photo(job, text(act, "photo"));
    Point at = rings(name, wide, text(act, "part"), text(act, "which")).get(0);
    double w = act.get("size").get(0).asDouble();
    double h = act.get("size").get(1).asDouble();
    return new Spot(
        session.nextMark(),
        wide.id(),
        Outline.boxCorners(at.x() - w / 2, at.y() - h / 2, w, h),
        Names.photo(job, text(act, "close")).id());
  }

  /** A length by courses of brick or siding; its points are given in metres of the place. */
  private Measure measure(JobSession session, Job job, String name, JsonNode act) {
    Photo photo = Names.photo(job, text(act, "photo"));
    Reference by =
        workspace
            .trade()
            .sizes()
            .find(text(act, "by"))
            .orElseThrow(() -> new IllegalStateException("demo.json: " + act))
            .reference(act.get("count").asInt());
    List<Point> known = new ArrayList<>();
    act.get("known").forEach(p -> known.add(seen(name, photo, p)));
    Point from = seen(name, photo, act.get("from"));
    Point to = seen(name, photo, act.get("to"));
    Measured result = Measuring.measured(photo, by, known, false, from, to);
    if (result.refused() != null) {
      throw new IllegalStateException(photo.name() + ": " + result.refused().sentence());
    }
    return new Measure(
        session.nextMark(),
        photo.id(),
        MeasureWay.ALONG_LENGTH,
        by,
        known,
        false,
        from,
        to,
        result.metres(),
        result.plusMinus(),
        act.has("finding") ? act.get("finding").asInt() : null,
        text(act, "note"),
        text(act, "clearance"),
        false);
  }

  private static ReportView view(JsonNode act) {
    ReportView v = ReportView.AS_TAKEN.straightened(act.path("straighten").asDouble(0));
    if (act.has("crop")) {
      JsonNode c = act.get("crop");
      v =
          v.cropped(
              c.get(0).asDouble(), c.get(1).asDouble(), c.get(2).asDouble(), c.get(3).asDouble());
    }
    return v.toned(act.path("brightness").asDouble(0), act.path("contrast").asDouble(0));
  }

  /**
   * Where a point of the place lies on a photo: the camera of {@code truth.json} without lens
   * errors, its axes unit vectors, fields of view in degrees.
   *
   * @param p x, y, z in metres of the photo's place
   */
  private Point seen(String job, Photo photo, JsonNode p) {
    JsonNode camera = truthOf(job, photo);
    double[] v = new double[3];
    for (int i = 0; i < 3; i++) {
      v[i] = p.get(i).asDouble() - camera.get("position").get(i).asDouble();
    }
    double depth = along(v, camera.get("forward"));
    double w = 2 * Math.tan(Math.toRadians(camera.get("horizontalFieldOfView").asDouble()) / 2);
    double h = 2 * Math.tan(Math.toRadians(camera.get("verticalFieldOfView").asDouble()) / 2);
    return new Point(
        0.5 + along(v, camera.get("right")) / depth / w,
        0.5 - along(v, camera.get("up")) / depth / h);
  }

  private static double along(double[] v, JsonNode axis) {
    return v[0] * axis.get(0).asDouble()
        + v[1] * axis.get(1).asDouble()
        + v[2] * axis.get(2).asDouble();
  }

  private JsonNode truthOf(String job, Photo photo) {
    for (JsonNode p : truthOf(job).get("photos")) {
      if (p.get("file").asText().endsWith("/" + photo.name())) {
        return p;
      }
    }
    throw new IllegalStateException("truth.json does not know " + photo.name());
  }

  /** Where the scenes say the part is; with a "which", only the one so called. */
  private List<Point> rings(String job, Photo photo, String part, String which) {
    List<Point> out = new ArrayList<>();
    for (JsonNode seen : truthOf(job, photo).get("parts")) {
      boolean named = which == null || which.equals(seen.path("which").asText());
      if (seen.get("part").asText().equals(part) && named) {
        out.add(new Point(seen.get("x").asDouble(), seen.get("y").asDouble()));
      }
    }
    if (!out.isEmpty()) {
      return which == null ? out.subList(0, 1) : out;
    }
    throw new IllegalStateException(
        "truth.json shows no " + part + (which == null ? "" : " " + which) + " on " + photo.name());
  }

  private static StopKey stop(Job job, JsonNode act) {
    return Names.stop(job, text(act, "stop"));
  }

  private static List<PhotoId> photos(Job job, JsonNode act) {
    List<PhotoId> out = new ArrayList<>();
    if (act.has("photo")) {
      out.add(Names.photo(job, text(act, "photo")).id());
    }
    for (JsonNode n : act.path("photos")) {
      out.add(Names.photo(job, n.asText()).id());
    }
    return out;
  }

  private static String text(JsonNode node, String key) {
    JsonNode v = node.get(key);
    return v == null || v.isNull() ? null : v.asText();
  }
}

package meterside.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.nio.file.Path;
import java.time.OffsetDateTime;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import meterside.intake.Card;
import meterside.intake.Intake;
import meterside.job.Clock;
import meterside.job.ClockBasis;
import meterside.job.Edit;
import meterside.job.Job;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.Placement;
import meterside.job.Progress;
import meterside.job.SourceKind;
import meterside.job.StopKey;
import meterside.job.TimeBasis;
import meterside.job.TrueTime;
import meterside.route.Clocks;
import meterside.route.Sorter;
import meterside.work.ClockPairs;
import meterside.work.JobSession;
import meterside.work.Names;
import meterside.work.NotDone;
import meterside.work.Suggestions;
import meterside.work.Workspace;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** Commands on photos: take in, clocks, sort, set aside. */
final class PhotoCommands {
  private PhotoCommands() {}

  @CommandLine.Command(name = "intake", description = "Takes photos in from files and folders.")
  static final class IntakeCommand extends Command {
    @Parameters(index = "0", paramLabel = "JOB")
    String job;

    @Parameters(index = "1..*", arity = "1..*", paramLabel = "PATH")
    List<Path> paths;

    @Option(
        names = "--also",
        description = "Takes what another job holds or was withdrawn from this one, too.")
    boolean also;

    @Option(
        names = "--source",
        paramLabel = "KIND",
        description = "Where they come from: card, cable, synced-folder or folder.")
    String source;

    @Option(
        names = "--group",
        paramLabel = "N",
        description = "Only this group of the card, as split --zone shows it for the job's zone.")
    Integer group;

    @Override
    Outcome run() throws Exception {
      SourceKind kind = source == null ? null : Names.value(SourceKind.class, source);
      return withJob(
          job,
          session -> {
            Intake.Result r = take(session, kind);
            Outcome o = new Outcome();
            o.json.put("taken", r.taken());
            o.json.put("known", r.known());
            o.json.put("ignored", r.ignored());
            o.json.put("videos", r.videos());
            ArrayNode problems = o.json.putArray("problems");
            ArrayNode notes = o.json.putArray("notes");
            o.line(say("intake.done", r.taken(), r.known(), r.ignored()));
            session
                .otherDays()
                .ifPresent(
                    sentence -> {
                      o.json.put("otherDays", sentence);
                      o.line("  " + sentence);
                    });
            if (r.videos() > 0) {
              o.line(say("intake.videos", r.videos()));
            }
            for (Intake.Problem p : r.problems()) {
              ObjectNode n = (p.failed() ? problems : notes).addObject();
              n.put("file", p.file());
              n.put("kept", p.kept());
              n.put("sentence", p.sentence());
              o.line("  " + p.sentence());
              if (p.failed()) {
                o.exit(1);
              }
            }
            return o;
          });
    }

    private Intake.Result take(JobSession session, SourceKind kind) {
      if (group == null) {
        return session.intake(paths, also, kind, new Meter(cli));
      }
      ZoneId zone = session.job().zone();
      Card.Split split = session.workspace().split(paths, zone, new Meter(cli));
      Card.Group one =
          split.groups().stream()
              .filter(g -> g.number() == group)
              .findFirst()
              .orElseThrow(
                  () ->
                      new NotDone(
                          NotDone.WRONG_USE, "card.no-group", group, split.groups().size(), zone));
      return session.intake(split, one, also, kind, new Meter(cli));
    }
  }

  /** Progress on standard error, only where somebody looks. */
  static final class Meter implements Progress {
    private final Cli cli;
    private final boolean shown = System.console() != null;

    Meter(Cli cli) {
      this.cli = cli;
    }

    @Override
    public void at(long done, long total) {
      if (shown) {
        cli.err.print(
            "\r" + Command.say("intake.progress", done, total) + (done == total ? "\n" : ""));
        cli.err.flush();
      }
    }

    @Override
    public boolean cancelled() {
      return false;
    }
  }

  @CommandLine.Command(name = "clock", description = "Shows or sets the cameras' clocks.")
  static final class ClockCommand extends Command {
    @Parameters(paramLabel = "JOB")
    String job;

    @Option(names = "--camera", paramLabel = "ID", description = "The camera to set.")
    String camera;

    @Option(
        names = "--offset",
        paramLabel = "SECONDS",
        description = "Camera clock minus true time; +58 if it is 58 seconds fast.")
    String offset;

    @Option(
        names = "--pair",
        paramLabel = "PHOTO=PHOTO",
        description = "A photo of this camera and one of another, of the same moment.")
    String pair;

    @Override
    Outcome run() throws Exception {
      if (camera == null) {
        if (offset != null || pair != null) {
          throw new NotDone(NotDone.WRONG_USE, "clock.which");
        }
        Outcome o = new Outcome();
        try (Workspace w = workspace(false)) {
          return show(read(w, job, o).job(), o);
        }
      }
      if ((offset == null) == (pair == null)) {
        throw new NotDone(NotDone.WRONG_USE, "clock.one-way");
      }
      return withJob(
          job,
          session -> {
            Job j = session.job();
            if (!j.cameras().containsKey(camera)) {
              throw new NotDone(
                  NotDone.WRONG_USE,
                  "camera.unknown",
                  camera,
                  String.join(", ", j.cameras().keySet()));
            }
            Clock clock = offset != null ? byOffset() : byPair(j);
            Job now = session.actAndSort(List.of(new Edit.SetClock(camera, clock)));
            return show(now, new Outcome());
          });
    }

    private Clock byOffset() {
      try {
        double seconds = Double.parseDouble(offset);
        if (!(Math.abs(seconds) < 100L * 366 * 86400)) {
          throw new NumberFormatException();
        }
        return new Clock(Math.round(seconds * 1000), ClockBasis.BY_HAND, null);
      } catch (NumberFormatException e) {
        throw new NotDone(NotDone.WRONG_USE, "clock.not-seconds", offset);
      }
    }

    private Clock byPair(Job j) {
      int eq = pair.indexOf('=');
      if (eq < 1) {
        throw new NotDone(NotDone.WRONG_USE, "clock.pair", pair);
      }
      Photo one = Names.photo(j, pair.substring(0, eq));
      Photo two = Names.photo(j, pair.substring(eq + 1));
      Photo mine = one.camera().equals(camera) ? one : two;
      Photo other = mine == one ? two : one;
      if (!mine.camera().equals(camera) || other.camera().equals(camera)) {
        throw new NotDone(NotDone.WRONG_USE, "clock.pair-cameras", camera);
      }
      return ClockPairs.of(j, mine, other);
    }

    private static Outcome show(Job j, Outcome o) {
      Map<String, Clocks.Estimate> estimates = Clocks.estimate(j);
      ArrayNode cameras = o.json.putArray("cameras");
      for (String id : j.cameras().keySet()) {
        Clock c = j.clock(id);
        Clocks.Estimate e = estimates.get(id);
        ObjectNode n = cameras.addObject();
        n.put("camera", id);
        n.put("label", j.cameras().get(id).label());
        n.put("photos", e == null ? 0 : e.photos());
        n.put("gps", e == null ? 0 : e.gps());
        n.put("offsetSeconds", c.offsetSeconds());
        n.put("basis", Names.id(c.basis()));
        if (c.uncertaintySeconds() == null) {
          n.putNull("uncertaintySeconds");
        } else {
          n.put("uncertaintySeconds", c.uncertaintySeconds());
        }
        o.line(
            say(
                "clock.line",
                id,
                j.cameras().get(id).label(),
                e == null ? 0 : e.photos(),
                String.format(java.util.Locale.ROOT, "%+.1f", c.offsetSeconds()),
                say("basis." + Names.id(c.basis()))));
        String sentence = Clocks.said(j, id);
        n.put("sentence", sentence);
        o.line("   " + sentence);
      }
      if (j.cameras().isEmpty()) {
        o.line(say("clock.none"));
      }
      return o;
    }
  }

  @CommandLine.Command(name = "sort", description = "Lays the photos along the route.")
  static final class Sort extends Command {
    @Parameters(index = "0", paramLabel = "JOB")
    String job;

    @Parameters(
        index = "1..*",
        arity = "0..*",
        paramLabel = "PHOTO=STOP",
        description = "Puts a photo at a stop by hand first.")
    List<String> pairs = List.of();

    @Option(
        names = "--ask",
        description = "Also lists what is worth answering, the most useful answer first.")
    boolean ask;

    @Override
    Outcome run() throws Exception {
      return withJob(
          job,
          session -> {
            Job j = session.job();
            List<Edit> edits = new ArrayList<>();
            for (String pair : pairs) {
              int eq = pair.lastIndexOf('=');
              if (eq < 1) {
                throw new NotDone(NotDone.WRONG_USE, "sort.pair", pair);
              }
              PhotoId id = Names.photo(j, pair.substring(0, eq)).id();
              StopKey at = Names.stop(j, pair.substring(eq + 1));
              edits.add(new Edit.PlaceByHand(List.of(id), at));
            }
            Job now = session.actAndSort(edits);
            Outcome o = list(now, new Outcome());
            if (ask) {
              questions(now, session.ask(), o);
            }
            return o;
          });
    }

    /** As many questions are listed at most; the first ones change all that follow. */
    private static final int ASKED = 10;

    private static void questions(Job j, List<Sorter.Question> all, Outcome o) {
      ArrayNode list = o.json.putArray("questions");
      for (Sorter.Question q : all.subList(0, Math.min(ASKED, all.size()))) {
        ObjectNode n = list.addObject();
        String file = j.photo(q.photo()).name();
        double gain = Math.round(q.gain() * 10) / 10.0;
        n.put("gain", gain);
        n.put("file", file);
        if (q instanceof Sorter.WhereItBegins border) {
          n.put("before", border.before().toString());
          n.put("after", border.after().toString());
          ArrayNode around = n.putArray("around");
          border.around().forEach(id -> around.add(j.photo(id).name()));
          PhotoId first = border.around().get(0);
          PhotoId last = border.around().get(border.around().size() - 1);
          o.line(
              say(
                  "sort.border",
                  j.title(border.before()),
                  j.title(border.after()),
                  j.photo(first).name(),
                  j.photo(last).name(),
                  gain));
        } else {
          o.line(say("sort.stop", file, gain));
        }
      }
    }

    private static Outcome list(Job j, Outcome o) {
      ArrayNode photos = o.json.putArray("photos");
      for (Photo p : j.inTrueOrder()) {
        TrueTime t = j.trueTime(p);
        Optional<Placement> at = j.placement(p.id());
        ObjectNode n = photos.addObject();
        n.put("file", p.name());
        n.put("sha256", p.id().hex());
        n.put("recordedAt", p.recorded().wallText().orElse(null));
        n.put("takenAt", takenAt(j, t));
        n.put("timeBasis", Names.id(t.basis()));
        n.put("stop", at.map(x -> x.at().toString()).orElse(null));
        n.put("basis", at.map(x -> Names.id(x.basis())).orElse(null));
        if (at.isPresent()) {
          n.put("confidence", at.get().confidence());
        } else {
          n.putNull("confidence");
        }
        o.line(
            String.format(
                java.util.Locale.ROOT,
                "%-32s %-26s %-26s %s",
                takenAt(j, t),
                at.map(x -> x.at().toString()).orElse("-"),
                p.name(),
                at.map(
                        x ->
                            x.fixed()
                                ? say("basis." + Names.id(x.basis()))
                                : Math.min(99, Math.round(x.confidence() * 100)) + " %")
                    .orElse("")));
      }
      if (photos.isEmpty()) {
        o.line(say("sort.none"));
      }
      return o;
    }

    private static String takenAt(Job j, TrueTime t) {
      if (t.basis() == TimeBasis.NONE) {
        return null;
      }
      OffsetDateTime local = t.at().atZone(j.zone()).toOffsetDateTime();
      return DateTimeFormatter.ISO_OFFSET_DATE_TIME.format(local);
    }
  }

  @CommandLine.Command(name = "aside", description = "Sets photos aside, or takes them back.")
  static final class Aside extends Command {
    @Parameters(index = "0", paramLabel = "JOB")
    String job;

    @Parameters(index = "1..*", arity = "1..*", paramLabel = "PHOTO")
    List<String> photos;

    @Option(names = "--back", description = "Takes them back.")
    boolean back;

    @Option(names = "--reason", paramLabel = "TEXT", description = "Why.")
    String reason;

    @Override
    Outcome run() throws Exception {
      return withJob(
          job,
          session -> {
            Job j = session.job();
            List<PhotoId> ids = photos.stream().map(p -> Names.photo(j, p).id()).toList();
            Job now = session.act(new Edit.SetAside(ids, !back, reason));
            Outcome o = new Outcome();
            o.json.put("aside", now.aside().size());
            return o.line(say(back ? "aside.back" : "aside.done", ids.size(), now.aside().size()));
          });
    }
  }

  @CommandLine.Command(
      name = "suggest",
      description = "Photos that may be set aside, each with the reason; changes nothing.")
  static final class Suggest extends Command {
    @Parameters(paramLabel = "JOB")
    String job;

    @Override
    Outcome run() throws Exception {
      Outcome o = new Outcome();
      try (Workspace w = workspace(false)) {
        Job j = read(w, job, o).job();
        Suggestions found = Suggestions.of(j, w.folder(job), Progress.NONE);
        ArrayNode all = o.json.putArray("suggestions");
        for (Suggestions.Suggestion s : found.all()) {
          ObjectNode n = all.addObject();
          n.put("file", j.photo(s.photo()).name());
          n.put("sha256", s.photo().hex());
          n.put("why", s.why().name().toLowerCase(Locale.ROOT).replace('_', '-'));
          n.put("sentence", s.sentence());
          n.put("better", s.better() == null ? null : j.photo(s.better()).name());
          o.line(j.photo(s.photo()).name() + ": " + s.sentence());
        }
        return o.line(found.all().isEmpty() ? say("suggest.none") : say("suggest.hint", job));
      }
    }
  }
}

package meterside.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.ZoneId;
import java.util.List;
import java.util.Optional;
import meterside.intake.Card;
import meterside.intake.Intake;
import meterside.job.Job;
import meterside.job.PhotoId;
import meterside.work.CodeSheets;
import meterside.work.Names;
import meterside.work.NotDone;
import meterside.work.Settings;
import meterside.work.Workspace;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** Commands around the card: how it falls apart, what is not this house's, codes to photograph. */
final class CardCommands {
  private CardCommands() {}

  @CommandLine.Command(
      name = "split",
      description = "Shows how a card falls into houses and days; changes nothing.")
  static final class SplitCommand extends Command {
    @Parameters(arity = "1..*", paramLabel = "PATH")
    List<Path> paths;

    @Option(
        names = "--zone",
        paramLabel = "ZONE",
        description = "Zone of the houses, to compare cameras with GPS; else this computer's.")
    String zone;

    private Path archive() {
      Path root = cli.archive != null ? cli.archive : cli.home.archive(Settings.load(cli.home));
      return root.toAbsolutePath().normalize();
    }

    /** Nothing is made here: without an archive no photo is kept yet. */
    private boolean hasArchive() {
      return Files.exists(archive().resolve("archive.json"));
    }

    @Override
    Outcome run() {
      Outcome o = new Outcome();
      ZoneId z = zone == null ? ZoneId.systemDefault() : JobCommands.zone(zone);
      if (zone == null) {
        o.notice(say("split.zone", z));
      }
      try (Workspace w = hasArchive() ? workspace(false) : null) {
        PhotoCommands.Meter meter = new PhotoCommands.Meter(cli);
        Card.Split split =
            w == null
                ? Card.read(paths, archive(), z, id -> Optional.empty(), meter)
                : w.split(paths, z, meter);
        ArrayNode groups = o.json.putArray("groups");
        for (Card.Group g : split.groups()) {
          ObjectNode n = groups.addObject();
          n.put("number", g.number());
          n.put("day", g.day().toString());
          n.put("house", g.house());
          n.put("from", g.from().toString());
          n.put("to", g.to().toString());
          n.put("photos", g.photos().size());
          n.put("kept", g.kept());
          n.put("keptIn", g.keptIn().orElse(null));
          n.put("front", g.front().label());
          ArrayNode reasons = n.putArray("reasons");
          g.reasons().forEach(reasons::add);
          ArrayNode files = n.putArray("files");
          g.photos().forEach(p -> files.add(p.label()));
          ArrayNode videos = n.putArray("videos");
          g.videos().forEach(v -> videos.add(v.label()));
          o.line(
              say(
                  "split.group",
                  g.number(),
                  g.day(),
                  g.from().toLocalTime().withNano(0),
                  g.to().toLocalTime().withNano(0),
                  g.photos().size(),
                  g.house() == null ? "" : " \"" + g.house() + "\""));
          if (g.kept() > 0) {
            o.line("   " + say("split.kept", g.kept(), g.keptIn().orElse("")));
          }
          if (!g.videos().isEmpty()) {
            o.line("   " + say("split.videos", g.videos().size()));
          }
          g.reasons().forEach(r -> o.line("   " + r));
          o.line("   " + say("split.front", g.front().label()));
        }
        ArrayNode undated = o.json.putArray("undated");
        split.undated().forEach(s -> undated.add(s.label()));
        if (!split.undated().isEmpty()) {
          o.line(say("split.undated", split.undated().size()));
        }
        ArrayNode loose = o.json.putArray("videos");
        split.loose().forEach(v -> loose.add(v.label()));
        if (!split.loose().isEmpty()) {
          o.line(say("split.loose", split.loose().size()));
        }
        ArrayNode assumed = o.json.putArray("assumed");
        for (String sentence : split.assumed()) {
          assumed.add(sentence);
          o.line(sentence);
        }
        o.json.put("ignored", split.ignored());
        ArrayNode problems = o.json.putArray("problems");
        for (Intake.Problem p : split.problems()) {
          ObjectNode n = problems.addObject();
          n.put("file", p.file());
          n.put("sentence", p.sentence());
          o.line(p.sentence());
        }
        if (split.groups().isEmpty()) {
          o.line(say("split.empty"));
        }
        return o;
      }
    }
  }

  @CommandLine.Command(
      name = "withdraw",
      description = "Removes photos that belong elsewhere; a record of who, when and why is left.")
  static final class Withdraw extends Command {
    @Parameters(index = "0", paramLabel = "JOB")
    String job;

    @Parameters(index = "1..*", arity = "1..*", paramLabel = "PHOTO")
    List<String> photos;

    @Option(names = "--reason", required = true, paramLabel = "TEXT", description = "Why.")
    String reason;

    @Option(
        names = "--to",
        paramLabel = "JOB",
        description = "Moves them to this job of the archive first.")
    String to;

    @Override
    Outcome run() throws Exception {
      return withJob(
          job,
          session -> {
            Job j = session.job();
            List<PhotoId> ids =
                photos.stream().map(p -> Names.photoOrVideo(j, p)).distinct().toList();
            Job now = to == null ? session.withdraw(ids, reason) : session.moveTo(ids, to, reason);
            Outcome o = new Outcome();
            o.json.put("withdrawn", ids.size());
            o.json.put("movedTo", to);
            o.json.put("photos", now.photos().size());
            o.line(
                to == null
                    ? say("withdraw.done", ids.size(), now.photos().size())
                    : say("withdraw.moved", ids.size(), to, now.photos().size()));
            if (!now.reports().isEmpty()) {
              o.line(say("withdraw.reports"));
            }
            return o;
          });
    }
  }

  @CommandLine.Command(
      name = "codes",
      description = "Writes printable codes: one for each job named, and one for each stop.")
  static final class CodesCommand extends Command {
    @Option(names = "-o", required = true, paramLabel = "FILE", description = "A PDF.")
    Path file;

    @Option(
        names = "--job",
        paramLabel = "NAME",
        description = "Name of a job, there or still to come; may be given several times.")
    List<String> jobs = List.of();

    @Option(
        names = "--route",
        defaultValue = "overhead",
        paramLabel = "ROUTE",
        description = "overhead or underground.")
    String route;

    @Override
    Outcome run() {
      if (!route.equals("overhead") && !route.equals("underground")) {
        throw new NotDone(NotDone.WRONG_USE, "value.unknown", route, "overhead, underground");
      }
      CodeSheets.write(file, jobs, meterside.trade.Trade.standard().route(route));
      Outcome o = new Outcome();
      o.json.put("file", file.toString());
      o.json.put("jobs", jobs.size());
      return o.line(say("codes.done", file));
    }
  }
}

package meterside.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Path;
import java.time.DateTimeException;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import meterside.archive.JobFolder;
import meterside.job.Answer;
import meterside.job.Camera;
import meterside.job.Duty;
import meterside.job.DutyKey;
import meterside.job.DutyProfile;
import meterside.job.Edit;
import meterside.job.Finding;
import meterside.job.History;
import meterside.job.Job;
import meterside.job.Photo;
import meterside.job.StopKey;
import meterside.trade.Trade;
import meterside.work.Audit;
import meterside.work.Names;
import meterside.work.NotDone;
import meterside.work.StepTitles;
import meterside.work.Workspace;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** Commands on a job as a whole. */
final class JobCommands {
  private JobCommands() {}

  static ZoneId zone(String text) {
    try {
      return ZoneId.of(text);
    } catch (DateTimeException e) {
      throw new NotDone(NotDone.WRONG_USE, "zone.unknown", text);
    }
  }

  @CommandLine.Command(name = "new", description = "Starts a job.")
  static final class New extends Command {
    @Parameters(paramLabel = "JOB", description = "Name of the job's folder.")
    String job;

    @Option(names = "--site", required = true, paramLabel = "TEXT", description = "The house.")
    String site;

    @Option(
        names = "--date",
        required = true,
        paramLabel = "YYYY-MM-DD",
        description = "Day of the inspection.")
    LocalDate date;

    @Option(names = "--zone", paramLabel = "ZONE", description = "Time zone of the house.")
    String zone;

    @Option(
        names = "--route",
        defaultValue = "overhead",
        paramLabel = "ROUTE",
        description = "overhead or underground.")
    String route;

    @Override
    Outcome run() {
      Outcome o = new Outcome();
      ZoneId z = zone == null ? ZoneId.systemDefault() : zone(zone);
      if (!route.equals("overhead") && !route.equals("underground")) {
        throw new NotDone(NotDone.WRONG_USE, "value.unknown", route, "overhead, underground");
      }
      try (Workspace w = workspace(true)) {
        JobFolder folder = w.newJob(job, site, date, z, route);
        if (zone == null) {
          o.notice(say("zone.assumed", z));
        }
        o.json.put("job", folder.name());
        o.json.put("path", folder.path().toString());
        o.json.put("zone", z.getId());
        return o.line(say("new.done", folder.name(), folder.path()));
      }
    }
  }

  @CommandLine.Command(name = "set", description = "Sets job facts, zone, route or house.")
  static final class Set extends Command {
    @Parameters(paramLabel = "JOB")
    String job;

    @Option(names = "--zone", paramLabel = "ZONE")
    String zone;

    @Option(names = "--route", paramLabel = "ROUTE", description = "overhead or underground.")
    String route;

    @Option(names = "--site", paramLabel = "TEXT")
    String site;

    @Option(
        names = "--fact",
        arity = "1..*",
        paramLabel = "KEY=VALUE",
        description = "A job fact; an empty value takes it away.")
    List<String> facts = List.of();

    @Option(
        names = "--duties",
        paramLabel = "PROFILE",
        description = "The duties of a state or an agreement, by the id of their profile.")
    String duties;

    @Option(
        names = "--instance",
        paramLabel = "STOP#NAME",
        description = "Names an instance of a stop, for example panelboard#garage subpanel.")
    List<String> instances = List.of();

    @Option(
        names = "--photographer",
        paramLabel = "CAMERA=NAME",
        description = "Who held a camera; an empty name takes it away.")
    List<String> photographers = List.of();

    @Override
    Outcome run() throws Exception {
      return withJob(
          job,
          session -> {
            List<Edit> edits = new ArrayList<>();
            if (zone != null) {
              edits.add(new Edit.SetZone(zone(zone)));
            }
            if (site != null) {
              edits.add(new Edit.SetSite(site));
            }
            if (duties != null && route == null) {
              edits.add(
                  new Edit.ChangeRoute(
                      session.job().route(), profile(session.workspace().trade(), duties)));
            }
            if (route != null) {
              if (!route.equals("overhead") && !route.equals("underground")) {
                throw new NotDone(
                    NotDone.WRONG_USE, "value.unknown", route, "overhead, underground");
              }
              edits.add(
                  new Edit.ChangeRoute(
                      session.workspace().trade().route(route),
                      duties == null
                          ? session.job().profile()
                          : profile(session.workspace().trade(), duties)));
            }
            for (String one : photographers) {
              int eq = one.indexOf('=');
              Camera c = eq < 1 ? null : session.job().cameras().get(one.substring(0, eq).strip());
              if (c == null) {
                throw new NotDone(NotDone.WRONG_USE, "camera.malformed", one);
              }
              String name = one.substring(eq + 1).strip();
              edits.add(
                  new Edit.PutCamera(
                      new Camera(
                          c.id(),
                          c.make(),
                          c.model(),
                          c.serial(),
                          c.folder(),
                          name.isEmpty() ? null : name)));
            }
            for (String fact : facts) {
              int eq = fact.indexOf('=');
              if (eq < 1) {
                throw new NotDone(NotDone.WRONG_USE, "fact.malformed", fact);
              }
              String value = fact.substring(eq + 1).strip();
              edits.add(
                  new Edit.SetFact(fact.substring(0, eq).strip(), value.isEmpty() ? null : value));
            }
            for (String instance : instances) {
              edits.add(new Edit.AddInstance(Names.stop(session.job(), instance)));
            }
            if (edits.isEmpty()) {
              throw new NotDone(NotDone.WRONG_USE, "set.nothing");
            }
            Job now = session.actAndSort(edits);
            Outcome o = new Outcome();
            o.json.put("zone", now.zone().getId());
            o.json.put("route", now.route().id());
            o.json.put("site", now.site());
            ObjectNode all = o.json.putObject("facts");
            now.facts().forEach(all::put);
            return o.line(say("set.done", edits.size()));
          });
    }
  }

  private static DutyProfile profile(Trade trade, String id) {
    return trade.profiles().stream()
        .filter(p -> p.id().equals(id))
        .findFirst()
        .orElseThrow(
            () ->
                new NotDone(
                    NotDone.WRONG_USE,
                    "value.unknown",
                    id,
                    trade.profiles().stream()
                        .map(DutyProfile::id)
                        .collect(java.util.stream.Collectors.joining(", "))));
  }

  @CommandLine.Command(name = "undo", description = "Takes the last step back.")
  static final class Undo extends Command {
    @Parameters(paramLabel = "JOB")
    String job;

    @Override
    Outcome run() throws Exception {
      return withJob(
          job,
          session -> {
            History.Step step = session.undo();
            String title = StepTitles.of(step, session.job());
            Outcome o = new Outcome();
            o.json.put("step", step.number());
            o.json.put("undone", title);
            return o.line(say("undo.done", title));
          });
    }
  }

  @CommandLine.Command(name = "redo", description = "Takes an undone step in again.")
  static final class Redo extends Command {
    @Parameters(paramLabel = "JOB")
    String job;

    @Override
    Outcome run() throws Exception {
      return withJob(
          job,
          session -> {
            History.Step step = session.redo();
            String title = StepTitles.of(step, session.job());
            Outcome o = new Outcome();
            o.json.put("step", step.number());
            o.json.put("redone", title);
            return o.line(say("redo.done", title));
          });
    }
  }

  @CommandLine.Command(name = "history", description = "Who did what when.")
  static final class HistoryCommand extends Command {
    @Parameters(paramLabel = "JOB")
    String job;

    @Option(
        names = "--table",
        paramLabel = "FILE",
        description = "Writes every journal line as a CSV table.")
    Path table;

    @Override
    Outcome run() throws IOException {
      Outcome o = new Outcome();
      try (Workspace w = workspace(false)) {
        Opened opened = read(w, job, o);
        History history = opened.content().history();
        if (table != null) {
          Audit audit = Audit.of(w, job);
          audit.write(table);
          o.json.put("table", table.toString());
          o.json.put("tableLines", audit.rows().size());
          o.notice(say("history.table", audit.rows().size(), table));
        }
        java.util.Set<Long> inForce = new HashSet<>();
        history.steps().forEach(s -> inForce.add(s.number()));
        // Lines of one step stand together; an undone step stays in the list and says so.
        Map<Long, List<History.Entry>> steps = new TreeMap<>();
        for (History.Entry e : history.entries()) {
          steps.computeIfAbsent(e.step(), k -> new ArrayList<>()).add(e);
        }
        ArrayNode all = o.json.putArray("steps");
        for (Map.Entry<Long, List<History.Entry>> e : steps.entrySet()) {
          List<History.Entry> lines = e.getValue();
          History.Entry first = lines.get(0);
          String title = StepTitles.ofEntries(lines, history.job());
          boolean cursor =
              first.edit() instanceof Edit.StepBack || first.edit() instanceof Edit.StepForward;
          boolean undone = !cursor && !inForce.contains(e.getKey());
          ObjectNode step = all.addObject();
          step.put("step", e.getKey());
          step.put("at", first.at().toString());
          String local = Audit.jobTime(first.at(), history.job().zone());
          step.put("atJob", local);
          step.put("by", first.author());
          step.put("did", title);
          step.put("lines", lines.size());
          step.put("undone", undone);
          o.line(
              first.at()
                  + "  "
                  + local
                  + "  "
                  + first.author()
                  + "  "
                  + title
                  + (undone ? "  " + say("history.undone") : ""));
        }
        o.json.put("head", opened.content().head());
        if (steps.isEmpty()) {
          o.line(say("history.none"));
        }
        return o;
      }
    }
  }

  @CommandLine.Command(name = "show", description = "The job, with its open duties.")
  static final class Show extends Command {
    @Parameters(paramLabel = "JOB")
    String job;

    @Override
    Outcome run() {
      Outcome o = new Outcome();
      try (Workspace w = workspace(false)) {
        Opened opened = read(w, job, o);
        Job j = opened.job();
        o.json.put("job", job);
        o.json.put("site", j.site());
        o.json.put("date", j.header().date().toString());
        o.json.put("zone", j.zone().getId());
        o.json.put("route", j.route().id());
        o.json.put("photos", j.photos().size());
        o.json.put("aside", j.aside().size());
        ArrayNode videos = o.json.putArray("videos");
        j.attachments().values().forEach(a -> videos.add(a.name()));
        o.json.put("head", opened.content().head());
        ObjectNode facts = o.json.putObject("facts");
        j.facts().forEach(facts::put);
        o.line(j.site() + ", " + j.header().date() + ", " + say("show.photos", j.photos().size()));
        if (!j.attachments().isEmpty()) {
          String names =
              j.attachments().values().stream()
                  .map(a -> a.name())
                  .sorted()
                  .collect(java.util.stream.Collectors.joining(", "));
          o.line("  " + say("show.videos", j.attachments().size(), names));
        }
        j.facts().forEach((k, v) -> o.line("  " + k + ": " + v));
        stops(j, o);
        findings(j, o);
        duties(j, o);
        return o;
      }
    }

    private static void stops(Job j, Outcome o) {
      ArrayNode stops = o.json.putArray("stops");
      Map<StopKey, List<Photo>> byStop = j.photosByStop();
      for (StopKey at : j.stopKeys()) {
        int count = byStop.getOrDefault(at, List.of()).size();
        ObjectNode s = stops.addObject();
        s.put("stop", at.toString());
        s.put("title", j.title(at));
        s.put("photos", count);
        o.line("  " + j.title(at) + ": " + say("show.photos", count));
      }
    }

    private static void findings(Job j, Outcome o) {
      ArrayNode findings = o.json.putArray("findings");
      for (Finding f : j.findings().values()) {
        ObjectNode n = findings.addObject();
        n.put("number", f.number());
        n.put("stop", f.at().toString());
        n.put("kind", Names.id(f.kind()));
        n.put("location", f.location());
        n.put("part", f.part());
        n.put("seen", f.seen());
        n.put("why", f.why());
        n.put("who", f.who());
        n.put("urgent", f.urgent() != null);
        ArrayNode photos = n.putArray("photos");
        f.photos().forEach(p -> photos.add(j.photo(p).name()));
        o.line("  " + f.label() + "  " + j.title(f.at()) + ": " + f.seen());
      }
      ArrayNode marks = o.json.putArray("marks");
      j.marks()
          .values()
          .forEach(
              m -> {
                ObjectNode n = marks.addObject();
                n.put("mark", m.id());
                n.put("photo", j.photo(m.photo()).name());
                n.put("what", m.getClass().getSimpleName().toLowerCase(java.util.Locale.ROOT));
              });
    }

    private static void duties(Job j, Outcome o) {
      ArrayNode duties = o.json.putArray("duties");
      ArrayNode open = o.json.putArray("openDuties");
      for (DutyKey key : j.dutyKeys()) {
        Duty d = j.duty(key);
        ObjectNode n = duties.addObject();
        n.put("stop", key.at().toString());
        n.put("duty", d.id());
        n.put("kind", Names.id(d.kind()));
        n.put("text", d.text());
        Answer a = j.answer(key).orElse(null);
        n.put("answer", a == null ? null : Names.id(a.kind()));
        if (a != null) {
          n.put("says", a.text());
        }
      }
      List<DutyKey> openKeys = j.openDuties();
      o.line(say("show.open", openKeys.size()));
      for (DutyKey key : openKeys) {
        ObjectNode n = open.addObject();
        n.put("stop", key.at().toString());
        n.put("duty", key.duty());
        o.line("  " + key.at() + "  " + key.duty() + ": " + j.duty(key).text());
      }
    }
  }
}

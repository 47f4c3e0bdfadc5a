package meterside.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import meterside.job.Edit;
import meterside.job.Job;
import meterside.work.NotDone;
import meterside.work.Workspace;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** Until when jobs are to be kept, and what holds them. */
@CommandLine.Command(
    name = "keep",
    description = {
      "Until when a job is to be kept, and whether a complaint or claim holds it.",
      "With no option it shows; with no job it shows all. Nothing is ever deleted."
    })
final class KeepCommand extends Command {
  @Parameters(arity = "0..1", paramLabel = "JOB")
  String job;

  @Option(names = "--until", paramLabel = "YYYY-MM-DD", description = "The last day.")
  LocalDate until;

  @Option(names = "--no-date", description = "No date any more.")
  boolean noDate;

  @Option(names = "--hold", paramLabel = "REASON", description = "Holds it: a complaint, a claim.")
  String hold;

  @Option(names = "--release", paramLabel = "REASON", description = "No longer held, because.")
  String release;

  @Override
  Outcome run() throws Exception {
    List<Edit> edits = new ArrayList<>();
    if (hold != null && release != null) {
      throw new NotDone(NotDone.WRONG_USE, "keep.either");
    }
    if (until != null || noDate) {
      edits.add(new Edit.KeepUntil(noDate ? null : until));
    }
    if (hold != null || release != null) {
      edits.add(new Edit.SetHold(hold != null, hold != null ? hold : release));
    }
    if (edits.isEmpty()) {
      return show();
    }
    if (job == null) {
      throw new NotDone(NotDone.WRONG_USE, "keep.which");
    }
    return withJob(
        job,
        session -> {
          Outcome o = new Outcome();
          session.act(edits);
          line(o, o.json, job, session.job(), LocalDate.now(session.workspace().clock()));
          return o;
        });
  }

  private Outcome show() {
    Outcome o = new Outcome();
    try (Workspace w = workspace(false)) {
      ArrayNode all = o.json.putArray("jobs");
      LocalDate today = LocalDate.now(w.clock());
      for (String name : job == null ? w.jobNames() : List.of(job)) {
        line(o, all.addObject(), name, read(w, name, o).job(), today);
      }
      return all.isEmpty() ? o.line(say("keep.none")) : o;
    }
  }

  private static void line(Outcome o, ObjectNode n, String name, Job j, LocalDate today) {
    LocalDate last = j.keepUntil().orElse(null);
    boolean past = last != null && last.isBefore(today);
    n.put("job", name);
    n.put("keepUntil", last == null ? null : last.toString());
    n.put("past", past);
    n.put("hold", j.hold().orElse(null));
    String more =
        (past ? say("keep.past") : "") + j.hold().map(why -> say("keep.held", why)).orElse("");
    o.line(last == null ? say("keep.no-date", name, more) : say("keep.line", name, last, more));
  }
}

package meterside.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;
import meterside.job.Finding;
import meterside.job.Job;
import meterside.job.Progress;
import meterside.search.Ask;
import meterside.search.Counts;
import meterside.search.Hit;
import meterside.search.Likeness;
import meterside.search.Overview;
import meterside.work.Names;
import meterside.work.NotDone;
import meterside.work.SimilarThings;
import meterside.work.Workspace;
import picocli.CommandLine;
import picocli.CommandLine.ArgGroup;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** Commands that ask past jobs. */
final class PastJobsCommands {
  private PastJobsCommands() {}

  private static String place(Hit h) {
    return h.finding() != null ? "F" + h.finding() : h.photo() != null ? h.photo() : "";
  }

  private static ObjectNode put(Hit h, ObjectNode n) {
    n.put("kind", Names.id(h.kind()));
    n.put("job", h.job());
    n.put("photo", h.photo());
    n.put("finding", h.finding());
    n.put("findingKind", h.findingKind() == null ? null : Names.id(h.findingKind()));
    n.put("stop", h.stop());
    ArrayNode parts = n.putArray("parts");
    h.parts().forEach(parts::add);
    n.put("text", h.text());
    n.put("score", h.score());
    return n;
  }

  @CommandLine.Command(name = "find", description = "Finds past jobs, findings and photos.")
  static final class Find extends Command {
    @Parameters(arity = "0..*", paramLabel = "WORDS")
    List<String> words = List.of();

    @Option(names = "--stop", paramLabel = "ID")
    String stop;

    @Option(names = "--part", paramLabel = "ID")
    String part;

    @Option(names = "--kind", paramLabel = "KIND", description = "Kind of finding.")
    String kind;

    @Option(names = "--from", paramLabel = "YYYY-MM-DD")
    LocalDate from;

    @Option(names = "--to", paramLabel = "YYYY-MM-DD")
    LocalDate to;

    @Option(names = "--job", paramLabel = "JOB")
    String job;

    @Option(names = "--limit", defaultValue = "50", paramLabel = "N")
    int limit;

    @Option(names = "--counts", description = "Also how often: by stop, part, kind and year.")
    boolean counts;

    @Option(
        names = "--csv",
        paramLabel = "FILE",
        description = "Writes how often as CSV: by part, kind, stop and year.")
    Path csv;

    @Override
    Outcome run() {
      try (Workspace w = workspace(false)) {
        if (job != null) {
          w.folder(job); // an unknown job is wrong use, not an empty answer
        }
        Ask ask =
            new Ask(
                String.join(" ", words),
                stop == null ? null : Names.stopOfAnyRoute(w.trade(), stop),
                part == null ? null : Names.part(w.trade(), part).id(),
                kind == null ? null : Names.kind(kind),
                from,
                to,
                job,
                Math.max(1, limit));
        w.pastJobs().catchUp(Progress.NONE);
        Overview found = w.pastJobs().findAndCount(ask);
        Outcome o = new Outcome();
        w.pastJobs().troubles().forEach(o::notice);
        o.json.put("total", found.found().total());
        o.json.put("searchedFor", found.found().searchedFor());
        ArrayNode hits = o.json.putArray("hits");
        o.line(say("find.total", found.found().total(), found.found().searchedFor()));
        for (Hit h : found.found().hits()) {
          put(h, hits.addObject());
          o.line("  " + h.job() + "  " + place(h) + "  " + h.text());
        }
        if (counts) {
          counts(found.counts(), o);
        }
        if (csv != null) {
          write(found.counts(), o);
        }
        return o;
      }
    }

    private static void counts(Counts c, Outcome o) {
      ObjectNode n = o.json.putObject("counts");
      Map<String, Long> kinds =
          c.kinds().entrySet().stream()
              .collect(Collectors.toMap(e -> Names.id(e.getKey()), Map.Entry::getValue));
      counts("part", c.parts(), n, o);
      counts("kind", kinds, n, o);
      counts("stop", c.stops(), n, o);
      counts("year", c.years(), n, o);
    }

    private static void counts(String by, Map<String, Long> counts, ObjectNode n, Outcome o) {
      ObjectNode into = n.putObject(by);
      counts.entrySet().stream()
          .sorted(Map.Entry.comparingByKey())
          .forEach(
              e -> {
                into.put(e.getKey(), e.getValue());
                o.line("  " + by + "  " + e.getKey() + "  " + e.getValue());
              });
    }

    private void write(Counts c, Outcome o) {
      Path file = csv.toAbsolutePath().normalize();
      try {
        Files.write(file, c.csv().getBytes(StandardCharsets.UTF_8));
      } catch (IOException e) {
        throw new NotDone(NotDone.NOT_NOW, "file.not-written", file);
      }
      o.json.put("csv", file.toString());
      o.line(say("find.csv", file));
    }
  }

  @CommandLine.Command(
      name = "similar",
      description = "What past jobs hold that is like a photo or a finding, and why.")
  static final class Similar extends Command {
    @Parameters(paramLabel = "JOB")
    String job;

    @ArgGroup(exclusive = true, multiplicity = "1")
    To to;

    static final class To {
      @Option(names = "--photo", paramLabel = "PHOTO", description = "A photo of the job.")
      String photo;

      @Option(names = "--finding", paramLabel = "N", description = "A finding of the job.")
      String finding;
    }

    @Option(names = "--limit", defaultValue = "10", paramLabel = "N")
    int limit;

    @Override
    Outcome run() {
      try (Workspace w = workspace(false)) {
        Outcome o = new Outcome();
        Job j = read(w, job, o).job();
        w.pastJobs().catchUp(Progress.NONE);
        List<Likeness> similar;
        int most = Math.max(1, limit);
        if (to.photo != null) {
          similar = SimilarThings.toPhoto(w, job, j, Names.photo(j, to.photo).id(), most);
        } else {
          int number = FindingCommands.number(to.finding);
          Finding f = j.findings().get(number);
          if (f == null) {
            throw new NotDone(NotDone.WRONG_USE, "finding.unknown", "F" + number);
          }
          similar = SimilarThings.toFinding(w, job, j, f, most);
        }
        w.pastJobs().troubles().forEach(o::notice);
        ArrayNode hits = o.json.putArray("hits");
        o.line(say(similar.isEmpty() ? "similar.none" : "similar.some", similar.size()));
        for (Likeness l : similar) {
          ObjectNode n = put(l.hit(), hits.addObject());
          ArrayNode findings = n.putArray("findings");
          for (Hit f : l.findings()) {
            ObjectNode of = findings.addObject();
            of.put("finding", f.finding());
            of.put("findingKind", Names.id(f.findingKind()));
            of.put("text", f.text());
          }
          n.put("samePart", l.samePart());
          ArrayNode shared = n.putArray("shared");
          l.shared().forEach(shared::add);
          n.put("look", l.look());
          n.put("because", l.because());
          String more = l.findings().isEmpty() ? "" : "  " + l.findings().get(0).text();
          o.line("  " + l.hit().job() + "  " + place(l.hit()) + "  " + l.hit().text() + more);
          o.line("    " + l.because());
        }
        return o;
      }
    }
  }
}

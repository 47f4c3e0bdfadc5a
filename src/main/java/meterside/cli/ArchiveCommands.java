package meterside.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import meterside.archive.ArchiveException;
import meterside.job.ExtractKind;
import meterside.job.Progress;
import meterside.report.Paper;
import meterside.work.FileCheck;
import meterside.work.JobSession;
import meterside.work.Names;
import meterside.work.NotDone;
import meterside.work.Packing;
import meterside.work.SampleJobs;
import meterside.work.SigningKey;
import meterside.work.Verification;
import meterside.work.Workspace;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** Commands that hand out and check. */
final class ArchiveCommands {
  private ArchiveCommands() {}

  @CommandLine.Command(name = "report", description = "Writes the report.")
  static final class Report extends Command {
    @Parameters(paramLabel = "JOB")
    String job;

    @Option(
        names = {"-o", "--output"},
        required = true,
        paramLabel = "DIR",
        description = "Folder for the report.")
    Path target;

    @Option(names = "--draft", description = "A draft: marked as such, and not entered as issued.")
    boolean draft;

    @Option(names = "--keep-location", description = "Keeps where the photos were taken.")
    boolean keepLocation;

    @Option(
        names = "--paper",
        paramLabel = "PAPER",
        description = "letter or a4; else as the settings say.")
    String paper;

    @Override
    Outcome run() throws Exception {
      return withJob(
          job,
          session -> {
            JobSession.Issued issued =
                session.report(
                    target.toAbsolutePath().normalize(),
                    draft,
                    keepLocation,
                    paper == null ? session.paper() : Names.value(Paper.class, paper),
                    Progress.NONE);
            Outcome o = new Outcome();
            o.json.put("report", issued.number());
            o.json.put("draft", draft);
            o.json.put("folder", issued.folder().toString());
            ArrayNode files = o.json.putArray("files");
            issued.files().sha256ByName().keySet().stream().sorted().forEach(files::add);
            ArrayNode leftOut = o.json.putArray("leftOut");
            issued.files().leftOut().forEach(leftOut::add);
            o.json.put("openDuties", session.job().openDuties().size());
            o.line(say(draft ? "report.draft" : "report.done", issued.number(), issued.folder()));
            issued.files().leftOut().forEach(s -> o.line("  " + s));
            int open = session.job().openDuties().size();
            if (open > 0) {
              o.line(say("report.open", open));
            }
            return o;
          });
    }
  }

  @CommandLine.Command(
      name = "extract",
      description = "Hands out a part of a job, and keeps who got it.")
  static final class ExtractCommand extends Command {
    @Parameters(paramLabel = "JOB")
    String job;

    @CommandLine.ArgGroup(multiplicity = "1")
    Which which;

    /** Which extract; one of them. */
    static final class Which {
      @Option(names = "--fix-list", required = true, description = "What is to be done.")
      boolean fixList;

      @Option(
          names = "--for-electrician",
          required = true,
          description = "Where to look: few pictures, places, what is known of the panels.")
      boolean forElectrician;

      @Option(
          names = "--originals",
          required = true,
          description = "The cameras' files of the report's figures, with their hashes.")
      boolean originals;
    }

    @Option(
        names = {"-o", "--output"},
        required = true,
        paramLabel = "DIR",
        description = "Folder for it.")
    Path target;

    @Option(names = "--to", paramLabel = "WHO", description = "Who gets it.")
    String to;

    @Option(names = "--leave", paramLabel = "WHO", description = "With whose leave.")
    String leave;

    @Option(
        names = "--paper",
        paramLabel = "PAPER",
        description = "letter or a4; else as the settings say.")
    String paper;

    @Override
    Outcome run() throws Exception {
      ExtractKind kind =
          which.fixList
              ? ExtractKind.FIX_LIST
              : which.originals ? ExtractKind.ORIGINALS : ExtractKind.FOR_ELECTRICIAN;
      return withJob(
          job,
          session -> {
            JobSession.Handed handed =
                session.extract(
                    kind,
                    to,
                    leave,
                    target.toAbsolutePath().normalize(),
                    paper == null ? session.paper() : Names.value(Paper.class, paper),
                    Progress.NONE);
            Outcome o = new Outcome();
            o.json.put("extract", Names.id(kind));
            o.json.put("to", handed.extract().to());
            o.json.put("leave", handed.extract().leave());
            o.json.put("folder", handed.folder().toString());
            ArrayNode files = o.json.putArray("files");
            handed.files().sha256ByName().keySet().stream().sorted().forEach(files::add);
            ArrayNode leftOut = o.json.putArray("leftOut");
            handed.files().leftOut().forEach(leftOut::add);
            o.line(say("extract.done", handed.files().sha256ByName().size(), handed.folder()));
            if (handed.extract().to() == null) {
              o.line(say("extract.nobody"));
            }
            handed.files().leftOut().forEach(s -> o.line("  " + s));
            return o;
          });
    }
  }

  @CommandLine.Command(
      name = "pack",
      description = "Makes an evidence package of a job: a folder that any BagIt tool can check.")
  static final class Pack extends Command {
    @Parameters(paramLabel = "JOB")
    String job;

    @Option(
        names = {"-o", "--output"},
        required = true,
        paramLabel = "DIR",
        description = "The package; a folder that is not there yet, or empty.")
    Path target;

    @Option(
        names = "--sign",
        description = "Signs it with the key that lies with the settings; makes one at first.")
    boolean sign;

    @Override
    Outcome run() throws Exception {
      return withJob(
          job,
          session -> {
            SigningKey key = sign ? SigningKey.findOrMake(cli.home) : null;
            Packing.Packed packed = Packing.pack(session, target, key, Progress.NONE).orElseThrow();
            Outcome o = new Outcome();
            o.json.put("folder", packed.folder().toString());
            o.json.put("tagManifestSha256", packed.tagManifest());
            o.json.put("fingerprint", packed.fingerprint());
            o.line(say("pack.done", job, packed.folder()));
            if (key != null) {
              o.line(say("pack.signed", packed.fingerprint()));
              o.line(say("pack.back-up", key.file()));
            }
            return o;
          });
    }
  }

  @CommandLine.Command(name = "reopen", description = "Opens a packed job for further edits.")
  static final class ReopenCommand extends Command {
    @Parameters(paramLabel = "JOB")
    String job;

    @Option(
        names = "--reason",
        required = true,
        paramLabel = "TEXT",
        description = "Why; it stays in the job's history.")
    String reason;

    @Override
    Outcome run() throws Exception {
      return withJob(
          job,
          session -> {
            Packing.reopen(session, reason);
            Outcome o = new Outcome();
            o.json.put("job", job);
            return o.line(say("reopen.done", job));
          });
    }
  }

  @CommandLine.Command(
      name = "import",
      description = "Makes the job of an evidence package again in this archive.")
  static final class Import extends Command {
    @Parameters(paramLabel = "DIR", description = "The package.")
    Path bag;

    @Override
    Outcome run() {
      try (Workspace w = workspace(true)) {
        Packing.Imported imported = Packing.restore(w, bag, Progress.NONE).orElseThrow();
        Outcome o = new Outcome();
        o.json.put("job", imported.job());
        o.json.put("wasThere", imported.wasThere());
        return o.line(say(imported.wasThere() ? "import.there" : "import.done", imported.job()));
      }
    }
  }

  @CommandLine.Command(
      name = "verify",
      description = "Checks that journals and photos are unchanged.")
  static final class VerifyCommand extends Command {
    @Parameters(
        arity = "0..*",
        paramLabel = "JOB|DIR|FILE",
        description =
            "Jobs, folders of packages, or files that were issued; all jobs if none is named.")
    List<String> named = List.of();

    @Option(names = "--quick", description = "Sizes and chain only, no re-hashing.")
    boolean quick;

    @Override
    Outcome run() {
      Outcome o = new Outcome();
      ArrayNode jobs = o.json.putArray("jobs");
      ArrayNode packages = o.json.putArray("packages");
      List<String> names = new ArrayList<>();
      List<Path> files = new ArrayList<>();
      for (String name : named) {
        // A package needs no archive. What is a folder and no job is one.
        Path file = path(name);
        if (file != null && Files.isRegularFile(file)) {
          files.add(file);
        } else if (looksLikeAFolder(name)) {
          Verification v = ofPackage(Path.of(name));
          say(o, packages.addObject().put("package", name), name, v);
        } else {
          names.add(name);
        }
      }
      if (named.isEmpty() || !names.isEmpty() || !files.isEmpty()) {
        try (Workspace w = workspace(false)) {
          checkFiles(w, files, o);
          for (String name : named.isEmpty() ? w.jobNames() : names) {
            Verification v = Verification.of(w, name, quick, Progress.NONE);
            say(o, jobs.addObject().put("job", name), name, v);
          }
          if (named.isEmpty()) {
            ArrayNode around = o.json.putArray("around");
            for (Verification.Line r : Verification.around(w)) {
              around.addObject().put("severity", r.severity()).put("sentence", r.sentence());
              o.line("  " + r.sentence() + (r.advice() == null ? "" : " " + r.advice()));
            }
          }
        }
      }
      return o;
    }

    private boolean looksLikeAFolder(String name) {
      boolean path = name.contains("/") || name.contains("\\") || name.startsWith(".");
      return path || Files.isDirectory(Path.of(name)) && !isJob(name);
    }

    /** With the archive if there is one; none is made, and none is needed. */
    private Verification ofPackage(Path folder) {
      Workspace w;
      try {
        w = workspace(false);
      } catch (NotDone | ArchiveException e) {
        return Verification.ofPackage(folder, Progress.NONE);
      }
      try (w) {
        return Verification.ofPackage(w, folder, Progress.NONE);
      }
    }

    private boolean isJob(String name) {
      try (Workspace w = workspace(false)) {
        return w.jobNames().contains(name);
      } catch (NotDone e) {
        return false;
      }
    }

    private static void say(Outcome o, ObjectNode n, String name, Verification v) {
      n.put("intact", v.intact());
      ArrayNode results = n.putArray("results");
      String verdict = v.checked() ? "verify.intact" : "verify.not-checked";
      o.line(Command.say(v.intact() ? verdict : "verify.broken", name));
      for (Verification.Line r : v.lines()) {
        ObjectNode x = results.addObject();
        x.put("severity", r.severity());
        x.put("sentence", r.sentence());
        x.put("advice", r.advice());
        o.line("  " + r.sentence() + (r.advice() == null ? "" : " " + r.advice()));
      }
      if (!v.intact()) {
        o.exit(3);
      } else if (!v.checked() && o.exit == 0) {
        o.exit(4);
      }
    }
  }

  private static Path path(String text) {
    try {
      return Path.of(text);
    } catch (InvalidPathException e) {
      return null; // then it can only be the name of a job
    }
  }

  /** Says of each file whether it was issued from this archive. */
  private static void checkFiles(Workspace w, List<Path> files, Outcome o) {
    ArrayNode list = files.isEmpty() ? null : o.json.putArray("files");
    for (Path file : files) {
      FileCheck check = FileCheck.of(w, file);
      ObjectNode n = list.addObject();
      n.put("file", file.toString());
      n.put("sha256", check.sha256());
      n.put("issued", check.issued());
      n.put("what", check.what());
      n.put("job", check.job());
      ArrayNode sentences = n.putArray("sentences");
      check.sentences().forEach(sentences::add);
      o.line(file.toString());
      check.sentences().forEach(s -> o.line("  " + s));
      if (!check.issued()) {
        o.exit(3);
      }
    }
  }

  @CommandLine.Command(name = "reindex", description = "Makes the index of past jobs anew.")
  static final class Reindex extends Command {
    @Override
    Outcome run() {
      try (Workspace w = workspace(false)) {
        if (!w.pastJobs().rebuild(Progress.NONE)) {
          throw new NotDone(NotDone.NOT_NOW, "index.not-written", w.root().resolve("index"));
        }
        Outcome o = new Outcome();
        o.json.put("jobs", w.jobNames().size());
        return o.line(say("reindex.done", w.jobNames().size()));
      }
    }
  }

  @CommandLine.Command(
      name = "sample",
      description = "Makes a folder an archive that holds the sample jobs.")
  static final class Sample extends Command {
    @Parameters(paramLabel = "DIR")
    Path folder;

    @Override
    Outcome run() {
      List<String> names = SampleJobs.make(folder, cli.home, Progress.NONE);
      Outcome o = new Outcome();
      o.json.put("archive", folder.toAbsolutePath().normalize().toString());
      ArrayNode jobs = o.json.putArray("jobs");
      names.forEach(jobs::add);
      return o.line(say("sample.done", String.join(", ", names), folder));
    }
  }
}

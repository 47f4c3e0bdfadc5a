package meterside.cli;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.PrintStream;
import java.nio.file.Path;
import java.time.Clock;
import java.util.concurrent.Callable;
import meterside.archive.JournalContent;
import meterside.job.Job;
import meterside.job.Sentences;
import meterside.work.Home;
import meterside.work.JobSession;
import meterside.work.NotDone;
import meterside.work.Settings;
import meterside.work.Workspace;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParentCommand;

/** What all commands share: the archive, {@code --json}, and how outcomes and refusals are said. */
@CommandLine.Command(mixinStandardHelpOptions = true)
abstract class Command implements Callable<Integer> {

  @ParentCommand Cli cli;

  @Option(names = "--json", description = "Print one JSON object and nothing else.")
  boolean json;

  /** Does the work. */
  abstract Outcome run() throws Exception;

  /** A sentence of this room. */
  static String say(String key, Object... arguments) {
    return Sentences.in(Command.class).say(key, arguments);
  }

  @Override
  public Integer call() {
    Outcome outcome;
    try {
      outcome = run();
    } catch (Throwable e) {
      int code = NotDone.exitCodeOf(e);
      if (code < 0) {
        Log.keep(cli.home, e);
        code = NotDone.NOT_NOW;
      }
      String sentence = NotDone.sentenceOf(e);
      cli.err.println(sentence);
      if (json) {
        printError(cli.out, sentence);
      }
      return code;
    }
    outcome.notices.forEach(cli.err::println);
    if (json) {
      print(cli.out, outcome.json);
    } else {
      outcome.lines.forEach(cli.out::println);
    }
    return outcome.exit;
  }

  /** Prints the one JSON object of a command that was refused. */
  static void printError(PrintStream out, String sentence) {
    ObjectNode error = JsonNodeFactory.instance.objectNode();
    error.put("error", sentence);
    print(out, error);
  }

  private static void print(PrintStream out, ObjectNode node) {
    try {
      out.println(new ObjectMapper().writeValueAsString(node));
    } catch (JsonProcessingException e) {
      throw new IllegalStateException(e);
    }
  }

  /** Opens the archive the user means. */
  Workspace workspace(boolean create) {
    Home home = cli.home;
    Path root = cli.archive != null ? cli.archive : home.archive(Settings.load(home));
    return Workspace.open(root.toAbsolutePath().normalize(), create, home, Clock.systemUTC());
  }

  /** Work on a job, with its lock. */
  interface Act {
    Outcome on(JobSession session) throws Exception;
  }

  /** Opens a job for writing, does something to it, and closes it. */
  Outcome withJob(String name, Act act) throws Exception {
    try (Workspace w = workspace(false);
        JobSession session = JobSession.open(w, name)) {
      Outcome outcome = act.on(session);
      session.notices().forEach(outcome::notice);
      return outcome;
    }
  }

  /** A job as it stands, read without its lock. */
  record Opened(JournalContent content, Job job) {}

  /** Reads a job without its lock. */
  static Opened read(Workspace w, String name, Outcome outcome) {
    JournalContent content = w.folder(name).read();
    content.notices().forEach(outcome::notice);
    return new Opened(content, content.history().job());
  }
}

package meterside.cli;

import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.DateTimeException;
import java.time.LocalDate;
import java.util.List;
import meterside.work.Home;
import meterside.work.NotDone;
import picocli.CommandLine;
import picocli.CommandLine.Option;

/** The command line's root: names the commands and where their output goes. */
@CommandLine.Command(
    name = "meterside",
    mixinStandardHelpOptions = true,
    version = "Meterside 0.1.0",
    description = {
      "Sorts, marks, reports and keeps the photos of a walk along a house's electrical service.",
      "With no command it opens the desk."
    },
    subcommands = {
      ArchiveCommands.Sample.class,
      JobCommands.New.class,
      JobCommands.Set.class,
      CardCommands.SplitCommand.class,
      PhotoCommands.IntakeCommand.class,
      PhotoCommands.ClockCommand.class,
      PhotoCommands.Sort.class,
      PhotoCommands.Aside.class,
      CardCommands.Withdraw.class,
      CardCommands.CodesCommand.class,
      FindingCommands.FindingCommand.class,
      MarkCommands.CalloutCommand.class,
      MarkCommands.OutlineCommand.class,
      MarkCommands.Redact.class,
      MeasureCommand.class,
      MarkCommands.SpotCommand.class,
      MarkCommands.ViewCommand.class,
      FindingCommands.AnswerCommand.class,
      FindingCommands.TestCommand.class,
      FindingCommands.CountCommand.class,
      PhotoCommands.Suggest.class,
      JobCommands.Undo.class,
      JobCommands.Redo.class,
      JobCommands.HistoryCommand.class,
      JobCommands.Show.class,
      ArchiveCommands.Report.class,
      ArchiveCommands.ExtractCommand.class,
      ArchiveCommands.Pack.class,
      ArchiveCommands.ReopenCommand.class,
      ArchiveCommands.Import.class,
      PastJobsCommands.Find.class,
      PastJobsCommands.Similar.class,
      ArchiveCommands.VerifyCommand.class,
      ArchiveCommands.Reindex.class
    })
public final class Cli implements Runnable {
  final PrintStream out;
  final PrintStream err;
  final Home home;

  @Option(
      names = "--archive",
      paramLabel = "DIR",
      scope = CommandLine.ScopeType.INHERIT,
      description = "The archive; else METERSIDE_ARCHIVE, else the one in the settings.")
  Path archive;

  private Cli(PrintStream out, PrintStream err, Home home) {
    this.out = out;
    this.err = err;
    this.home = home;
  }

  /**
   * Runs a command.
   *
   * @return the exit code: 0 done, 1 an input of this intake failed, 2 wrong use, 3 integrity
   *     broken, 4 not done
   */
  public static int run(String[] arguments, PrintStream out, PrintStream err) {
    PrintStream utf8Out = new PrintStream(out, true, StandardCharsets.UTF_8);
    PrintStream utf8Err = new PrintStream(err, true, StandardCharsets.UTF_8);
    Cli cli = new Cli(utf8Out, utf8Err, Home.ofEnvironment());
    CommandLine line = new CommandLine(cli);
    line.setOut(new java.io.PrintWriter(utf8Out, true));
    line.setErr(new java.io.PrintWriter(utf8Err, true));
    line.setCaseInsensitiveEnumValuesAllowed(true);
    line.registerConverter(LocalDate.class, Cli::date);
    line.setParameterExceptionHandler(
        (e, args) -> {
          utf8Err.println(e.getMessage());
          if (List.of(args).contains("--json")) {
            Command.printError(utf8Out, e.getMessage());
          }
          utf8Err.println(
              Command.say("usage", e.getCommandLine().getCommandSpec().qualifiedName()));
          return NotDone.WRONG_USE;
        });
    int exit = line.execute(arguments);
    utf8Out.flush();
    utf8Err.flush();
    return exit;
  }

  private static LocalDate date(String text) {
    try {
      return LocalDate.parse(text);
    } catch (DateTimeException e) {
      throw new CommandLine.TypeConversionException(Command.say("date.malformed", text));
    }
  }

  @Override
  public void run() {
    out.println(Command.say("no-command"));
  }
}

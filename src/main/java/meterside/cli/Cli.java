package meterside.cli;

import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.DateTimeException;
import java.time.LocalDate;
import java.util.List;
import java.util.Optional;
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
    })
public final class Cli implements Runnable {
  /** All commands, in the order of the help. */
  static final List<String> COMMANDS =
      List.of(
          "sample",
          "new",
          "set",
          "split",
          "intake",
          "clock",
          "sort",
          "aside",
          "withdraw",
          "codes",
          "finding",
          "callout",
          "outline",
          "redact",
          "measure",
          "spot",
          "view",
          "answer",
          "test",
          "count",
          "suggest",
          "undo",
          "redo",
          "history",
          "show",
          "report",
          "extract",
          "pack",
          "reopen",
          "import",
          "find",
          "similar",
          "verify",
          "copy",
          "keep",
          "reindex");

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
    named(arguments)
        .map(List::of)
        .orElse(COMMANDS)
        .forEach(name -> line.addSubcommand(name, command(name)));
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

  /**
   * The command that the arguments name, if they plainly do. Only that one is put together then: to
   * look through all of them takes longer than many a command.
   */
  private static Optional<String> named(String[] arguments) {
    int at = arguments.length > 1 && arguments[0].equals("--archive") ? 2 : 0;
    if (arguments.length > 0 && arguments[0].startsWith("--archive=")) {
      at = 1;
    }
    return at < arguments.length && COMMANDS.contains(arguments[at])
        ? Optional.of(arguments[at])
        : Optional.empty();
  }

  /** A command by its name. An object to the compiler, so that no other command's class is read. */
  static Object command(String name) {
    return switch (name) {
      case "sample" -> new ArchiveCommands.Sample();
      case "new" -> new JobCommands.New();
      case "set" -> new JobCommands.Set();
      case "split" -> new CardCommands.SplitCommand();
      case "intake" -> new PhotoCommands.IntakeCommand();
      case "clock" -> new PhotoCommands.ClockCommand();
      case "sort" -> new PhotoCommands.Sort();
      case "aside" -> new PhotoCommands.Aside();
      case "withdraw" -> new CardCommands.Withdraw();
      case "codes" -> new CardCommands.CodesCommand();
      case "finding" -> new FindingCommands.FindingCommand();
      case "callout" -> new MarkCommands.CalloutCommand();
      case "outline" -> new MarkCommands.OutlineCommand();
      case "redact" -> new MarkCommands.Redact();
      case "measure" -> new MeasureCommand();
      case "spot" -> new MarkCommands.SpotCommand();
      case "view" -> new MarkCommands.ViewCommand();
      case "answer" -> new FindingCommands.AnswerCommand();
      case "test" -> new FindingCommands.TestCommand();
      case "count" -> new FindingCommands.CountCommand();
      case "suggest" -> new PhotoCommands.Suggest();
      case "undo" -> new JobCommands.Undo();
      case "redo" -> new JobCommands.Redo();
      case "history" -> new JobCommands.HistoryCommand();
      case "show" -> new JobCommands.Show();
      case "report" -> new ArchiveCommands.Report();
      case "extract" -> new ArchiveCommands.ExtractCommand();
      case "pack" -> new ArchiveCommands.Pack();
      case "reopen" -> new ArchiveCommands.ReopenCommand();
      case "import" -> new ArchiveCommands.Import();
      case "find" -> new PastJobsCommands.Find();
      case "similar" -> new PastJobsCommands.Similar();
      case "verify" -> new ArchiveCommands.VerifyCommand();
      case "copy" -> new CopyCommand();
      case "keep" -> new KeepCommand();
      case "reindex" -> new ArchiveCommands.Reindex();
      default -> throw new IllegalArgumentException("no command: " + name);
    };
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

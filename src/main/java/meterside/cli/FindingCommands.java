package meterside.cli;

import java.util.List;
import meterside.job.Answer;
import meterside.job.AnswerKind;
import meterside.job.DeviceTest;
import meterside.job.DutyKey;
import meterside.job.Edit;
import meterside.job.Finding;
import meterside.job.FindingKind;
import meterside.job.Job;
import meterside.job.PhotoId;
import meterside.job.RoomCount;
import meterside.job.StopKey;
import meterside.job.TestOutcome;
import meterside.job.Urgent;
import meterside.work.JobSession;
import meterside.work.Names;
import meterside.work.NotDone;
import picocli.CommandLine;
import picocli.CommandLine.ArgGroup;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** Commands on findings, answers and device tests. */
final class FindingCommands {
  private FindingCommands() {}

  private static List<PhotoId> ids(Job job, List<String> photos) {
    return photos.stream().map(p -> Names.photo(job, p).id()).distinct().toList();
  }

  private static void known(Job job, Integer number) {
    if (number != null && !job.findings().containsKey(number)) {
      throw new NotDone(NotDone.WRONG_USE, "finding.unknown", "F" + number);
    }
  }

  @CommandLine.Command(name = "finding", description = "Records a finding and prints its number.")
  static final class FindingCommand extends Command {
    @Parameters(paramLabel = "JOB")
    String job;

    @Option(names = "--stop", required = true, paramLabel = "ID")
    String stop;

    @Option(names = "--location", paramLabel = "TEXT", description = "Where exactly.")
    String location;

    @Option(names = "--part", paramLabel = "ID", description = "A part, by id or any usual term.")
    String part;

    @Option(
        names = "--kind",
        required = true,
        paramLabel = "KIND",
        description = "needs-correction, further-evaluation, safety-improvement or note.")
    String kind;

    @Option(names = "--seen", required = true, paramLabel = "TEXT", description = "What was seen.")
    String seen;

    @Option(names = "--why", paramLabel = "TEXT", description = "Why it matters.")
    String why;

    @Option(names = "--who", paramLabel = "TEXT", description = "Who should act.")
    String who;

    @Option(names = "--urgent", description = "It can't wait.")
    boolean urgent;

    @Option(names = "--told", paramLabel = "TEXT", description = "Who was told of it.")
    String told;

    @Option(names = "--seen-later", description = "Seen later in a photo, not on site.")
    boolean seenLater;

    @Option(names = "--photo", paramLabel = "PHOTO", description = "A photo that shows it.")
    List<String> photos = List.of();

    @Override
    Outcome run() throws Exception {
      return withJob(
          job,
          session -> {
            Job j = session.job();
            StopKey at = Names.stop(j, stop);
            FindingKind k = Names.kind(kind);
            String partId =
                part == null ? null : Names.part(session.workspace().trade(), part).id();
            Finding f =
                new Finding(
                    session.nextFinding(),
                    at,
                    location,
                    partId,
                    k,
                    seen,
                    why,
                    who,
                    ids(j, photos),
                    urgent || told != null ? new Urgent(told, null, null) : null,
                    seenLater);
            session.act(new Edit.PutFinding(f));
            Outcome o = new Outcome();
            o.json.put("number", f.number());
            return o.line(f.label());
          });
    }
  }

  @CommandLine.Command(name = "answer", description = "Answers a duty.")
  static final class AnswerCommand extends Command {
    @Parameters(paramLabel = "JOB")
    String job;

    @Option(names = "--stop", required = true, paramLabel = "ID")
    String stop;

    @Option(names = "--duty", required = true, paramLabel = "ID")
    String duty;

    @ArgGroup(exclusive = true, multiplicity = "1")
    Way way;

    @Option(names = "--known-by", paramLabel = "TEXT", description = "How a description is known.")
    String howKnown;

    @Option(names = "--photo", paramLabel = "PHOTO", description = "A photo that shows it.")
    List<String> photos = List.of();

    static final class Way {
      @Option(names = "--no-condition", description = "No reportable condition observed.")
      boolean noCondition;

      @Option(names = "--describe", paramLabel = "TEXT", description = "A description.")
      String describe;

      @Option(names = "--not-present", description = "Looked for and not present.")
      boolean notPresent;

      @Option(names = "--excluded", description = "Present, and excluded.")
      boolean excluded;

      @Option(names = "--not-inspected", paramLabel = "REASON", description = "Why it was not.")
      String notInspected;

      @Option(names = "--finding", paramLabel = "N", description = "A finding says it.")
      String finding;

      @Option(names = "--open", description = "Takes the answer back.")
      boolean open;
    }

    @Override
    Outcome run() throws Exception {
      return withJob(
          job,
          session -> {
            Job j = session.job();
            DutyKey key = Names.duty(j, Names.stop(j, stop), duty);
            Edit edit =
                way.open ? new Edit.ReopenDuty(key) : new Edit.GiveAnswer(key, answer(session));
            Job now = session.act(edit);
            Outcome o = new Outcome();
            o.json.put("stop", key.at().toString());
            o.json.put("duty", key.duty());
            o.json.put("answer", now.answer(key).map(a -> Names.id(a.kind())).orElse(null));
            o.json.put("open", now.openDuties().size());
            return o.line(say("answer.done", now.openDuties().size()));
          });
    }

    private Answer answer(JobSession session) {
      Job j = session.job();
      List<PhotoId> shown = ids(j, photos);
      if (way.describe != null) {
        return new Answer(AnswerKind.DESCRIPTION, way.describe, howKnown, null, shown);
      }
      if (way.notInspected != null) {
        return new Answer(AnswerKind.NOT_INSPECTED, way.notInspected, null, null, shown);
      }
      if (way.finding != null) {
        int number = number(way.finding);
        known(j, number);
        return new Answer(AnswerKind.FINDING, null, null, number, shown);
      }
      AnswerKind kind =
          way.noCondition
              ? AnswerKind.NO_CONDITION
              : way.notPresent ? AnswerKind.NOT_PRESENT : AnswerKind.EXCLUDED;
      return new Answer(kind, null, null, null, shown);
    }
  }

  /** The number of a finding, typed as 4 or F4. */
  static int number(String text) {
    String digits = text.strip();
    if (digits.startsWith("F") || digits.startsWith("f")) {
      digits = digits.substring(1);
    }
    try {
      return Integer.parseInt(digits);
    } catch (NumberFormatException e) {
      throw new NotDone(NotDone.WRONG_USE, "finding.unknown", text);
    }
  }

  @CommandLine.Command(
      name = "count",
      description = "Counts devices of a room for a sampled duty, with exceptions.")
  static final class CountCommand extends Command {
    @Parameters(paramLabel = "JOB")
    String job;

    @Option(names = "--stop", required = true, paramLabel = "ID")
    String stop;

    @Option(names = "--duty", required = true, paramLabel = "ID")
    String duty;

    @Option(names = "--room", required = true, paramLabel = "TEXT", description = "The room.")
    String room;

    @Option(
        names = "--looked",
        required = true,
        paramLabel = "N",
        description = "How many devices were looked at; 0 takes the room's count away.")
    int looked;

    @Option(
        names = "--exception",
        paramLabel = "OUTCOME",
        description = "What was out of order, once for each device that was.")
    List<String> exceptions = List.of();

    @Override
    Outcome run() throws Exception {
      return withJob(
          job,
          session -> {
            Job j = session.job();
            DutyKey key = Names.duty(j, Names.stop(j, stop), duty);
            Job now =
                session.act(
                    new Edit.CountRoom(
                        key,
                        new RoomCount(
                            room,
                            looked,
                            exceptions.stream()
                                .map(e -> Names.value(TestOutcome.class, e))
                                .toList())));
            String summary = RoomCount.summary(now.counts(key), key.duty());
            Outcome o = new Outcome();
            o.json.put("duty", key.duty());
            o.json.put("rooms", now.counts(key).size());
            o.json.put("summary", summary);
            return o.line(summary.isEmpty() ? say("count.none") : summary);
          });
    }
  }

  @CommandLine.Command(name = "test", description = "Records a device test, or why there was none.")
  static final class TestCommand extends Command {
    @Parameters(paramLabel = "JOB")
    String job;

    @Option(names = "--stop", required = true, paramLabel = "ID")
    String stop;

    @Option(names = "--location", required = true, paramLabel = "TEXT", description = "Where.")
    String location;

    @Option(names = "--part", defaultValue = "receptacle", paramLabel = "ID")
    String part;

    @Option(
        names = "--outcome",
        paramLabel = "OUTCOME",
        description =
            "as-expected, no-power, reversed, open-ground, open-neutral, loose, heat-marks,"
                + " did-not-trip, did-not-reset.")
    List<String> outcomes = List.of();

    @Option(names = "--means", paramLabel = "TEXT", description = "Tested by which means.")
    String means;

    @Option(names = "--not-tested", paramLabel = "REASON", description = "Why it was not.")
    String notTested;

    @Option(names = "--finding", paramLabel = "N")
    String finding;

    @Option(names = "--photo", paramLabel = "PHOTO")
    List<String> photos = List.of();

    @Override
    Outcome run() throws Exception {
      return withJob(
          job,
          session -> {
            Job j = session.job();
            Integer number = finding == null ? null : number(finding);
            known(j, number);
            DeviceTest test =
                new DeviceTest(
                    session.nextTest(),
                    Names.stop(j, stop),
                    location,
                    Names.part(session.workspace().trade(), part).id(),
                    outcomes.stream().map(t -> Names.value(TestOutcome.class, t)).toList(),
                    means,
                    notTested,
                    number,
                    ids(j, photos));
            session.act(new Edit.PutDeviceTest(test));
            Outcome o = new Outcome();
            o.json.put("test", test.id());
            return o.line(say("test.done", test.id()));
          });
    }
  }
}

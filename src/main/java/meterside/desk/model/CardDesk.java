package meterside.desk.model;

import java.nio.file.Path;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.function.Consumer;
import meterside.intake.Card;
import meterside.intake.Intake;
import meterside.job.Progress;
import meterside.work.JobSession;
import meterside.work.Settings;
import meterside.work.Workspace;

/** A card just read, fallen into houses and days; each is named and taken in, or left. */
public final class CardDesk {
  private static final DateTimeFormatter DAY =
      DateTimeFormatter.ofPattern("d MMMM yyyy", Locale.US);
  private static final DateTimeFormatter CLOCK = DateTimeFormatter.ofPattern("HH:mm", Locale.ROOT);

  /**
   * A house as the screen shows it.
   *
   * @param number its number on the card, from 1
   * @param when day and times
   * @param photos how many
   * @param why why it is a group of its own; may be empty
   * @param kept that a job of the archive holds it already; null if not
   * @param proposed name to start from, may be empty
   */
  public record House(
      int number, String when, String photos, String why, String kept, String proposed) {}

  private final Workspace workspace;
  private final Tasks tasks;
  private final Card.Split split;
  private final ZoneId zone;

  private CardDesk(Workspace workspace, Tasks tasks, Card.Split split, ZoneId zone) {
    this.workspace = workspace;
    this.tasks = tasks;
    this.split = split;
    this.zone = zone;
  }

  /** A card that was read. */
  static CardDesk of(Workspace workspace, Tasks tasks, Card.Split split, ZoneId zone) {
    return new CardDesk(workspace, tasks, split, zone);
  }

  /** Reads a card; told on the desk's thread. */
  public static void read(
      Workspace workspace, Tasks tasks, List<Path> sources, Consumer<CardDesk> then) {
    ZoneId zone = zone(workspace.settings());
    tasks.start(
        Words.say("task.card"),
        progress -> workspace.split(sources, zone, progress),
        split -> {
          if (!split.cancelled()) {
            then.accept(new CardDesk(workspace, tasks, split, zone));
          }
        });
  }

  /** The zone new jobs get: the one of the settings, else the system's. */
  static ZoneId zone(Settings s) {
    return JobFacts.zone(s.zone() == null ? "" : s.zone()).orElse(ZoneId.systemDefault());
  }

  /** The groups as they were read. */
  public List<Card.Group> groups() {
    return split.groups();
  }

  /** The houses. */
  public List<House> houses() {
    return split.groups().stream().map(CardDesk::house).toList();
  }

  private static House house(Card.Group g) {
    String when = DAY.format(g.day());
    if (g.from() != null && g.to() != null) {
      when += ", " + CLOCK.format(g.from()) + " – " + CLOCK.format(g.to());
    }
    String kept = g.kept() == 0 ? null : Words.say("card.kept", g.kept(), g.keptIn().orElse(""));
    return new House(
        g.number(),
        when,
        Words.count("head.photos", g.photos().size())
            + (g.videos().isEmpty() ? "" : ", " + Words.count("videos", g.videos().size())),
        String.join(" ", g.reasons()),
        kept,
        g.house() == null ? "" : g.house());
  }

  /**
   * What else is to be said: what was assumed of the clocks, what has no time, what is no photo.
   */
  public List<String> notes() {
    List<String> out = new ArrayList<>(split.assumed());
    if (!split.undated().isEmpty()) {
      out.add(Words.count("card.undated", split.undated().size()));
    }
    if (!split.loose().isEmpty()) {
      out.add(Words.count("card.loose", split.loose().size()));
    }
    if (split.ignored() > 0) {
      out.add(Words.count("intake.ignored", split.ignored()));
    }
    split.problems().forEach(p -> out.add(p.sentence()));
    return out;
  }

  /**
   * A group with a name for its house.
   *
   * @param number the group's number
   * @param site the house as the inspector names it
   */
  public record Named(int number, String site) {}

  /** What was read, to be looked at again before the card is wiped. */
  public List<Path> sources() {
    return split.sources();
  }

  /** Takes the named houses in, each as a job of its own; told their names when it is done. */
  public void take(List<Named> named, Consumer<List<String>> then) {
    tasks.start(
        Words.say("task.intake"),
        progress -> take(named, progress),
        taken -> {
          tasks.say(JobDesk.intakeNotice(taken.result()));
          then.accept(taken.jobs());
        });
  }

  /** The jobs that were begun, and what their intakes came to together. */
  private record Taken(List<String> jobs, Intake.Result result) {}

  private Taken take(List<Named> named, Progress progress) {
    List<String> out = new ArrayList<>();
    List<Intake.Result> all = new ArrayList<>();
    Settings s = workspace.settings();
    String duties = s.duties() == null ? workspace.trade().profiles().get(0).id() : s.duties();
    for (Named n : named) {
      if (progress.cancelled()) {
        break;
      }
      Card.Group g =
          split.groups().stream().filter(x -> x.number() == n.number()).findFirst().orElseThrow();
      LocalDate day = g.day();
      NewJob job =
          new NewJob(n.site().strip(), day, zone, workspace.trade().routes().get(0).id(), duties);
      String name = job.folderName(workspace.jobNames());
      workspace.newJob(name, job.site(), day, zone, job.route(), duties);
      try (JobSession session = JobSession.open(workspace, name)) {
        Intake.Result r = session.intake(split, g, false, null, progress);
        all.add(r);
        if (!r.cancelled()) {
          out.add(name);
        }
      }
    }
    Intake.Result together =
        new Intake.Result(
            all.stream().mapToInt(Intake.Result::taken).sum(),
            all.stream().mapToInt(Intake.Result::known).sum(),
            0,
            all.stream().flatMap(r -> r.problems().stream()).toList(),
            all.stream().anyMatch(Intake.Result::cancelled),
            all.stream().mapToInt(Intake.Result::videos).sum(),
            Map.of());
    return new Taken(out, together);
  }
}

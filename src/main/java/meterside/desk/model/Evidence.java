package meterside.desk.model;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.DateTimeException;
import java.time.LocalDate;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.function.Consumer;
import meterside.archive.SecondCopy;
import meterside.job.Edit;
import meterside.job.Job;
import meterside.job.Packaging;
import meterside.work.Audit;
import meterside.work.Copying;
import meterside.work.DailyCheck;
import meterside.work.Packing;
import meterside.work.SigningKey;
import meterside.work.Verification;
import meterside.work.Workspace;

/**
 * What the desk does to keep a job and to show that nothing was changed: the evidence package, the
 * check, the second copy, until when a job is kept, who did what when.
 */
public final class Evidence {
  private static final DateTimeFormatter SECONDS =
      DateTimeFormatter.ofPattern("yyyy-MM-dd HH:mm:ss", Locale.ROOT);

  private final Workspace workspace;
  private final JobDesk desk;
  private final Tasks tasks;

  /**
   * For an open job.
   *
   * @param desk the job's desk
   */
  public Evidence(JobDesk desk) {
    this.workspace = desk.session().workspace();
    this.desk = desk;
    this.tasks = desk.tasks();
  }

  // ---- the package ----

  /** Whether the job is packed, and when it is, in which package; one sentence. */
  public String packedSentence() {
    Optional<Packaging> p = desk.job().packaging();
    return p.map(
            packed ->
                packed.done()
                    ? Words.say("evidence.packed", packed.bag())
                    : Words.say("evidence.packing", packed.bag()))
        .orElseGet(() -> Words.say("evidence.open"));
  }

  /** Whether the job is packed or being packed. */
  public boolean packed() {
    return desk.job().packaging().isPresent();
  }

  /** A folder in another for the job's package that is not there yet. */
  public Path freeFolder(Path within) {
    String name = desk.session().name();
    Path free = within.resolve(name + "-package");
    for (int i = 2; Files.exists(free); i++) {
      free = within.resolve(name + "-package-" + i);
    }
    return free;
  }

  /**
   * Packs the job.
   *
   * @param within folder in which the package's folder is made
   * @param sign whether it is signed with the inspector's key, made at first use
   * @param then called when it is there
   */
  public void pack(Path within, boolean sign, Runnable then) {
    Path folder = freeFolder(within);
    tasks.start(
        Words.say("task.pack"),
        desk.busy(
            progress ->
                Packing.pack(
                    desk.session(),
                    folder,
                    sign ? SigningKey.findOrMake(workspace.home()) : null,
                    progress)),
        packed -> {
          desk.reread();
          tasks.say(
              Notice.said(
                  packed.isEmpty()
                      ? Words.say("evidence.pack-stopped")
                      : Words.say("evidence.pack-done", packed.get().folder())));
          then.run();
        },
        desk::reread);
  }

  /** Opens the packed job for changes again. */
  public void reopen(String reason, Runnable then) {
    desk.act(false, () -> List.of(new Edit.Reopen(reason)), then);
  }

  // ---- the check ----

  /** Reads journal, photos and reports of the job through. */
  public void check(Runnable then) {
    String job = desk.session().name();
    tasks.start(
        Words.say("task.check", job),
        progress -> Verification.of(workspace, job, false, progress),
        v -> {
          tasks.say(notice(v));
          then.run();
        });
  }

  /** What a check came to: its first sentence, with the others as details. */
  static Notice notice(Verification v) {
    List<String> all = new ArrayList<>();
    for (Verification.Line l : v.lines()) {
      all.add(l.sentence() + (l.advice() == null ? "" : " " + l.advice()));
    }
    List<String> more = all.size() == 1 ? List.of() : all;
    return new Notice(all.get(0), !v.intact(), more);
  }

  // ---- until when it is kept ----

  /** Until when the job is kept, in the form YYYY-MM-DD, or empty. */
  public String keepUntil() {
    return desk.job().keepUntil().map(LocalDate::toString).orElse("");
  }

  /**
   * Says until when the job is kept.
   *
   * @param text YYYY-MM-DD, or blank for no date
   * @return whether it is a day or blank
   */
  public boolean keepUntil(String text) {
    LocalDate day;
    try {
      day = text.isBlank() ? null : LocalDate.parse(text.strip());
    } catch (DateTimeException e) {
      tasks.say(Notice.trouble(Words.say("evidence.not-a-day", text.strip())));
      return false;
    }
    if (!Optional.ofNullable(day).equals(desk.job().keepUntil())) {
      desk.act(false, () -> List.of(new Edit.KeepUntil(day)), () -> {});
    }
    return true;
  }

  /** Why the job is held, or that it is not; one sentence. */
  public String holdSentence() {
    return desk.job()
        .hold()
        .map(why -> Words.say("evidence.held", why))
        .orElseGet(() -> Words.say("evidence.not-held"));
  }

  /** Holds the job, or ends that, for a reason. */
  public void hold(boolean on, String reason, Runnable then) {
    desk.act(false, () -> List.of(new Edit.SetHold(on, reason)), then);
  }

  /** The job as it is shown. */
  public Job job() {
    return desk.job();
  }

  /** The moment at which the day that a job is kept until is past. */
  public boolean past() {
    LocalDate today = LocalDate.now(workspace.clock());
    return desk.job().keepUntil().map(d -> d.isBefore(today)).orElse(false);
  }

  // ---- who did what when ----

  /** Every line of the journal. */
  public Audit audit() {
    return Audit.of(workspace, desk.session().name());
  }

  /**
   * Reads who did what when, beside the window's work.
   *
   * @param then gets it; not called if the journal can't be read, which is said
   */
  public void audit(Consumer<Audit> then) {
    Threads threads = desk.threads();
    threads
        .work()
        .execute(
            () -> {
              try {
                Audit read = audit();
                threads.ui().execute(() -> then.accept(read));
              } catch (RuntimeException e) {
                threads.ui().execute(() -> tasks.sayTrouble(e));
              }
            });
  }

  /** A line of the journal as the list shows it. */
  public static String line(Audit audit, Audit.Row r) {
    return Words.say(
        r.inForce() ? "audit.line" : "audit.line-undone",
        SECONDS.format(r.at().atZone(audit.zone())),
        r.author(),
        r.what());
  }

  /** Writes the table into a folder, under the job's name. */
  public void writeTable(Path folder) {
    Path file = folder.resolve(desk.session().name() + "-history.csv");
    try {
      audit().write(file);
      tasks.say(Notice.said(Words.say("audit.written", file)));
    } catch (RuntimeException e) {
      tasks.sayTrouble(e);
    }
  }

  // ---- the second copy ----

  /**
   * Brings the second copy of the settings up to date.
   *
   * @param card files and folders that were just taken in: afterwards it is said whether they may
   *     be wiped; empty for none
   * @param then called when it is done
   */
  public static void copy(Workspace workspace, Tasks tasks, List<Path> card, Runnable then) {
    Notice before = tasks.notice();
    tasks.start(
        Words.say("task.copy"),
        progress -> {
          SecondCopy.Result r = Copying.update(workspace, null, false, progress);
          Copying.Card c =
              card.isEmpty() || r.stopped() ? null : Copying.card(workspace, card, null, progress);
          return new Copied(r, c);
        },
        done -> {
          tasks.say(notice(done, card.isEmpty() ? Notice.NONE : before));
          then.run();
        });
  }

  /** A copy, and what it says of a card; null if none was asked for. */
  record Copied(SecondCopy.Result result, Copying.Card card) {}

  /**
   * What a copy came to.
   *
   * @param before what was said of the intake that it follows; its details stay
   */
  static Notice notice(Copied done, Notice before) {
    SecondCopy.Result r = done.result();
    List<String> details = new ArrayList<>(r.problems());
    details.addAll(r.notes());
    details.addAll(before.details());
    String text =
        r.whole()
            ? Words.say("second.done", r.jobs(), r.files())
            : Words.say(r.stopped() ? "second.stopped" : "second.not-whole", r.problems().size());
    if (done.card() != null) {
      text = done.card().sentence();
    }
    if (!before.isEmpty()) {
      text = before.text() + " " + text;
    }
    boolean trouble = !r.problems().isEmpty() || before.trouble();
    return new Notice(text, trouble, details);
  }

  /**
   * The day's care of an archive, once a day: a share of it is read through, and a second copy that
   * is a day old and whose disk is there is brought up to date. Says something only if something is
   * wrong.
   */
  public static void care(Workspace workspace, Tasks tasks) {
    tasks.start(
        Words.say("task.care"),
        progress -> {
          List<String> wrong = new ArrayList<>(DailyCheck.today(workspace, progress).broken());
          Optional<Path> place = Copying.place(workspace);
          boolean due = Copying.age(workspace).map(age -> age.toDays() > 0).orElse(true);
          if (place.isPresent() && due && Files.isDirectory(place.get()) && !progress.cancelled()) {
            wrong.addAll(Copying.update(workspace, null, false, progress).problems());
          }
          return wrong;
        },
        wrong -> {
          if (!wrong.isEmpty()) {
            tasks.say(new Notice(Words.say("care.wrong", wrong.size()), true, wrong));
          }
        });
  }
}

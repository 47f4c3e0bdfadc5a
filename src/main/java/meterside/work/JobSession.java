package meterside.work;

import java.io.IOException;
import java.nio.file.Path;
import java.time.LocalDate;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.function.Consumer;
import java.util.function.Function;
import java.util.stream.Collectors;
import meterside.archive.JobFolder;
import meterside.archive.JournalContent;
import meterside.archive.JournalWriter;
import meterside.archive.NewerFormat;
import meterside.archive.Originals;
import meterside.archive.SecondCopy;
import meterside.intake.Card;
import meterside.intake.Intake;
import meterside.job.Attachment;
import meterside.job.Camera;
import meterside.job.Clock;
import meterside.job.ClockBasis;
import meterside.job.Code;
import meterside.job.CodesSeen;
import meterside.job.Edit;
import meterside.job.EditRefused;
import meterside.job.Extract;
import meterside.job.ExtractKind;
import meterside.job.History;
import meterside.job.IssuedReport;
import meterside.job.Job;
import meterside.job.Packaging;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.Progress;
import meterside.job.Sentences;
import meterside.job.SourceKind;
import meterside.job.TimeBasis;
import meterside.job.TrueTime;
import meterside.report.ExtractWriter;
import meterside.report.Paper;
import meterside.report.ReportFiles;
import meterside.report.ReportOptions;
import meterside.report.ReportPages;
import meterside.report.ReportWriter;
import meterside.route.Clocks;
import meterside.route.Sorter;

/**
 * The one writer of a job. It holds the job's lock from open to close. Every act becomes edits of
 * one step, which are tried on the job first, then appended and forced in one go, and only then
 * acknowledged: applied to {@link #job} and told to the listeners.
 *
 * <p>Safe for use from several threads; acts happen one after the other.
 */
public final class JobSession implements AutoCloseable {
  private static final DateTimeFormatter WHEN =
      DateTimeFormatter.ofPattern("yyyy-MM-dd HH:mm", Locale.ROOT);

  private final Workspace workspace;
  private final JobFolder folder;
  private final JournalWriter writer;
  private final History history;
  private Sorter.Knowledge knowledge;
  private final List<Consumer<Job>> listeners = new CopyOnWriteArrayList<>();
  private final List<String> recovered = new ArrayList<>();

  /** Why nothing can be written, or null; there is no writer then. */
  private final String readOnly;

  private final String headWhenRead;

  private JobSession(Workspace workspace, JobFolder folder, JournalWriter writer) {
    this.workspace = workspace;
    this.folder = folder;
    this.writer = writer;
    this.history = writer.content().history();
    this.readOnly = null;
    this.headWhenRead = null;
  }

  private JobSession(Workspace workspace, JobFolder folder, JournalContent content) {
    this.workspace = workspace;
    this.folder = folder;
    this.writer = null;
    this.history = content.history();
    this.readOnly = content.readOnlySentence();
    this.headWhenRead = content.head();
  }

  /**
   * Opens a job for writing.
   *
   * @throws NotDone if there is no such job
   * @throws meterside.archive.ArchiveException if it is in use, broken, or of a newer format
   */
  public static JobSession open(Workspace workspace, String job) {
    JobFolder folder = workspace.folder(job);
    String author = workspace.settings().authorOrUser();
    JournalWriter writer = JournalWriter.open(folder, author, workspace.clock());
    try {
      Optional<String> recovered = Packing.recover(writer, folder, author);
      if (recovered.isPresent()) {
        writer.close();
        writer = JournalWriter.open(folder, author, workspace.clock());
      }
      JobSession session = new JobSession(workspace, folder, writer);
      recovered.ifPresent(session.recovered::add);
      // Bytes of withdrawn photos that a power cut left behind.
      session.job().withdrawnPhotos().keySet().forEach(folder::forget);
      return session;
    } catch (RuntimeException e) {
      writer.close();
      throw e;
    }
  }

  /**
   * Opens a job for writing, or, if a newer program wrote into it, for reading: it then shows what
   * this program understands, and every act is refused with a sentence.
   *
   * @throws NotDone if there is no such job
   * @throws meterside.archive.ArchiveException if it is in use, broken, or of a format that can't
   *     be read at all
   */
  public static JobSession openOrRead(Workspace workspace, String job) {
    JobFolder folder = workspace.folder(job);
    try {
      return open(workspace, job);
    } catch (NewerFormat e) {
      JournalContent content = folder.read();
      if (!content.readOnly()) {
        throw e;
      }
      return new JobSession(workspace, folder, content);
    }
  }

  /** Whether the job can only be read, because a newer program wrote into it. */
  public boolean readOnly() {
    return readOnly != null;
  }

  /**
   * Refuses what a packed job does not take.
   *
   * @throws NotDone if it is packed or being packed
   */
  void requireOpen() {
    requireWriter();
    if (job().packaging().isPresent()) {
      throw new NotDone(NotDone.NOT_NOW, "job.packed", name());
    }
  }

  private void requireWriter() {
    if (readOnly != null) {
      throw new NotDone(NotDone.NOT_NOW, "job.read-only", readOnly);
    }
  }

  /** Name of the job's folder. */
  public String name() {
    return folder.name();
  }

  /** The job's folder. */
  public JobFolder folder() {
    return folder;
  }

  /** The workspace it belongs to. */
  public Workspace workspace() {
    return workspace;
  }

  /** What the user should be told about the opening (a torn tail was dropped); mostly empty. */
  public List<String> notices() {
    List<String> out = new ArrayList<>(recovered);
    if (readOnly != null) {
      out.add(readOnly);
    } else {
      out.addAll(writer.notices());
    }
    if (SecondCopy.state(workspace.root()).isPresent()) {
      out.add(Sentences.in(JobSession.class).say("copy.is-one"));
    }
    return List.copyOf(out);
  }

  /** The job as it is now. */
  public synchronized Job job() {
    return history.job();
  }

  /** Hash of the journal's last line. */
  public synchronized String head() {
    return writer == null ? headWhenRead : writer.head();
  }

  /** The steps in force now. */
  public synchronized List<History.Step> steps() {
    return history.steps();
  }

  /** Every edit ever written. */
  public synchronized List<History.Entry> entries() {
    return history.entries();
  }

  /** The step an undo would take back. */
  public synchronized Optional<History.Step> undoable() {
    return history.lastStepDone();
  }

  /** The step a redo would take in again. */
  public synchronized Optional<History.Step> redoable() {
    return history.nextStepUndone();
  }

  /** A finding number that was never used. */
  public synchronized int nextFinding() {
    return history.nextFinding();
  }

  /** A mark number that was never used. */
  public synchronized int nextMark() {
    return history.nextMark();
  }

  /** A device test number that was never used. */
  public synchronized int nextTest() {
    return history.nextTest();
  }

  /** Tells this with the new job after every act, on the acting thread. */
  public void onChange(Consumer<Job> listener) {
    listeners.add(listener);
  }

  /**
   * Does something to the job in one step.
   *
   * @return the job after it
   * @throws EditRefused if the job can't take it; nothing is written then
   */
  public Job act(List<Edit> edits) {
    Job now;
    synchronized (this) {
      now = write(history.nextStep(), edits);
    }
    tell(now);
    return now;
  }

  /** Does one thing to the job. */
  public Job act(Edit edit) {
    return act(List.of(edit));
  }

  /**
   * Does something that bears on where photos lie (a photo put by hand, a clock, a zone), and lays
   * all photos that are not fixed along the route again, in the same step.
   */
  public Job actAndSort(List<Edit> edits) {
    Job now;
    synchronized (this) {
      Job next = tried(edits);
      List<Edit> all = new ArrayList<>(edits);
      Sorter.resolve(next, knowledge()).ifPresent(all::add);
      now = all.isEmpty() ? next : write(history.nextStep(), all);
    }
    tell(now);
    return now;
  }

  /**
   * Takes the last step back.
   *
   * @return the step that was taken back
   * @throws EditRefused if there is none, or a report bars the way
   */
  public History.Step undo() {
    History.Step step;
    synchronized (this) {
      Optional<History.Step> last = history.lastStepDone();
      write(history.nextStep(), List.of(new Edit.StepBack()));
      step = last.orElseThrow();
    }
    tell(job());
    return step;
  }

  /**
   * Takes an undone step in again.
   *
   * @return that step
   * @throws EditRefused if there is none
   */
  public History.Step redo() {
    History.Step step;
    synchronized (this) {
      Optional<History.Step> next = history.nextStepUndone();
      write(history.nextStep(), List.of(new Edit.StepForward()));
      step = next.orElseThrow();
    }
    tell(job());
    return step;
  }

  /**
   * Takes photos in, settles what GPS says about the clocks, and sorts: all in one step. What was
   * taken in before it is stopped stays.
   *
   * @param sources files and folders
   * @param also whether to take photos that another job of the archive holds, or that were
   *     withdrawn from this one
   */
  public Intake.Result intake(List<Path> sources, boolean also, Progress progress) {
    return intake(sources, also, null, progress);
  }

  /**
   * As {@link #intake(List, boolean, Progress)}, and says where the photos come from.
   *
   * @param source what the inspector says of the place, or null to go by the folders
   */
  public Intake.Result intake(
      List<Path> sources, boolean also, SourceKind source, Progress progress) {
    return intake(sources, null, also, source, progress);
  }

  /**
   * Takes one group of a card in, with the card's folders as they are.
   *
   * @param split the card as it was read
   * @param group one of its groups
   */
  public Intake.Result intake(
      Card.Split split, Card.Group group, boolean also, SourceKind source, Progress progress) {
    return intake(split.sources(), Set.copyOf(group.files()), also, source, progress);
  }

  private Intake.Result intake(
      List<Path> sources, Set<Path> only, boolean also, SourceKind source, Progress progress) {
    requireOpen();
    long step;
    synchronized (this) {
      step = history.nextStep();
    }
    Intake.Options options =
        new Intake.Options(
            also,
            workspace.elsewhere(folder.name()),
            Runtime.getRuntime().availableProcessors(),
            withdrawals(),
            only);
    Intake.Sink sink =
        edits -> {
          Job now;
          synchronized (this) {
            now = write(step, edits);
          }
          tell(now);
        };
    Set<PhotoId> before = job().photos().keySet();
    Intake.Result result = Intake.run(folder, job(), sources, options, sink, progress);
    Job taken = job();
    // What an intake that was cut off had taken without looking at it is looked at now.
    List<PhotoId> fresh =
        taken.intakeOrder().stream()
            .filter(id -> !before.contains(id) || taken.source(id).isEmpty())
            .toList();
    List<Edit> codes = CodeReading.edits(folder, taken, fresh, result.codes());
    Job now;
    synchronized (this) {
      List<Edit> after = new ArrayList<>(Sources.edits(history.job(), fresh, source));
      after.addAll(codes);
      after.addAll(Twins.edits(history.job(), fresh));
      after.addAll(Clocks.settle(tried(after)));
      Job settled = tried(after);
      Sorter.resolve(settled, knowledge()).ifPresent(after::add);
      now = after.isEmpty() ? history.job() : write(step, after);
    }
    tell(now);
    return result;
  }

  /**
   * A sentence on photos that were taken on another day than the job's, in its zone: they may be of
   * another house. Set-aside ones and ones whose time nobody knows do not count. Empty if there are
   * none.
   */
  public Optional<String> otherDays() {
    Job now = job();
    Map<LocalDate, Integer> days = new TreeMap<>();
    for (Photo photo : now.photos().values()) {
      TrueTime time = now.trueTime(photo);
      boolean known = time.basis() != TimeBasis.NONE && time.basis() != TimeBasis.FILE;
      if (known && !now.aside().containsKey(photo.id())) {
        LocalDate day = time.at().atZone(now.zone()).toLocalDate();
        if (!day.equals(now.header().date())) {
          days.merge(day, 1, Integer::sum);
        }
      }
    }
    if (days.isEmpty()) {
      return Optional.empty();
    }
    int n = days.values().stream().mapToInt(Integer::intValue).sum();
    String which =
        days.keySet().stream().limit(3).map(LocalDate::toString).collect(Collectors.joining(", "));
    String more = days.size() > 3 ? " …" : "";
    return Optional.of(
        Sentences.in(JobSession.class)
            .say(n == 1 ? "days.one" : "days.many", n, which + more, now.header().date()));
  }

  /** When, by whom and why something was withdrawn from this job and did not come back. */
  private synchronized Function<PhotoId, Optional<Intake.Withdrawal>> withdrawals() {
    Set<PhotoId> gone = Set.copyOf(history.job().withdrawnPhotos().keySet());
    Map<PhotoId, Intake.Withdrawal> last = new HashMap<>();
    if (gone.isEmpty()) {
      return id -> Optional.empty();
    }
    for (History.Entry e : history.entries()) {
      String when = WHEN.format(e.at().atZone(history.job().zone()));
      if (e.edit() instanceof Edit.WithdrawPhotos w) {
        w.photos()
            .forEach(
                id ->
                    last.put(id, new Intake.Withdrawal(when, e.author(), w.reason(), w.movedTo())));
      } else if (e.edit() instanceof Edit.WithdrawAttachments w) {
        w.attachments()
            .forEach(
                id ->
                    last.put(id, new Intake.Withdrawal(when, e.author(), w.reason(), w.movedTo())));
      }
    }
    return id -> gone.contains(id) ? Optional.ofNullable(last.get(id)) : Optional.empty();
  }

  /** What the archive's confirmed jobs teach; read at first need. */
  private synchronized Sorter.Knowledge knowledge() {
    if (knowledge == null) {
      knowledge = Learned.of(workspace, folder);
    }
    return knowledge;
  }

  /**
   * The photos whose stop is worth asking about, the most useful answer first; see {@link
   * Sorter#questions}.
   */
  public List<PhotoId> questions() {
    return Sorter.questions(job(), knowledge());
  }

  /**
   * What is worth asking the inspector, about photos and about where stops begin, the most useful
   * answer first; see {@link Sorter#ask}. Takes tens of milliseconds, in large jobs some hundreds.
   */
  public List<Sorter.Question> ask() {
    return Sorter.ask(job(), knowledge());
  }

  /**
   * The edits that answer where a stop begins.
   *
   * @param border the question
   * @param first the first photo at the later stop
   */
  public List<Edit> answer(Sorter.WhereItBegins border, PhotoId first) {
    return Sorter.answer(border, first);
  }

  /**
   * Withdraws photos, and videos kept beside them: what was said about them goes, and their bytes
   * are removed for good. The journal keeps who, when and why. Can't be undone.
   *
   * @param photos ids of photos and videos
   * @param reason why; an empty one is refused
   */
  public Job withdraw(List<PhotoId> photos, String reason) {
    return away(photos, reason, null);
  }

  /**
   * Moves photos and videos to another job of the archive: they are kept there first, with what
   * their cameras recorded, and sorted there; then they are withdrawn here. What was said about
   * them here does not go along.
   *
   * @param job name of the other job
   * @throws NotDone if there is no such job, or it is this one
   * @throws meterside.archive.ArchiveException if the other job is in use
   */
  public Job moveTo(List<PhotoId> photos, String job, String reason) {
    requireOpen();
    if (job.equals(name())) {
      throw new NotDone(NotDone.WRONG_USE, "move.same", job);
    }
    tried(withdrawal(photos, reason, job)); // refused before anything is done
    Job here = job();
    try (JobSession other = open(workspace, job)) {
      other.requireOpen();
      other.receive(here, folder, photos);
    }
    return away(photos, reason, job);
  }

  private Job away(List<PhotoId> photos, String reason, String movedTo) {
    requireOpen();
    Job now;
    synchronized (this) {
      List<Edit> withdrawal = withdrawal(photos, reason, movedTo);
      Job left = tried(withdrawal);
      List<Edit> all = new ArrayList<>();
      Sorter.resolve(left, knowledge()).ifPresent(all::add);
      all.addAll(withdrawal); // last, so that nothing of this step can be undone
      now = write(history.nextStep(), all);
      photos.forEach(folder::forget);
    }
    tell(now);
    return now;
  }

  private List<Edit> withdrawal(List<PhotoId> ids, String reason, String movedTo) {
    Set<PhotoId> videos = job().attachments().keySet();
    List<PhotoId> away = ids.stream().filter(videos::contains).toList();
    List<PhotoId> photos = ids.stream().filter(id -> !videos.contains(id)).toList();
    List<Edit> out = new ArrayList<>();
    if (!away.isEmpty()) {
      out.add(new Edit.WithdrawAttachments(away, reason, movedTo));
    }
    if (!photos.isEmpty() || out.isEmpty()) {
      out.add(new Edit.WithdrawPhotos(photos, reason, movedTo));
    }
    return out;
  }

  private void receive(Job from, JobFolder source, List<PhotoId> photos) {
    Job now;
    synchronized (this) {
      List<Edit> all = new ArrayList<>();
      List<Photo> added = new ArrayList<>();
      Map<String, String> letters = new HashMap<>();
      List<Attachment> videos = new ArrayList<>();
      for (PhotoId id : photos) {
        Attachment video = from.attachments().get(id);
        if (video != null) {
          receive(video, source, videos);
          continue;
        }
        Photo p = from.photo(id);
        if (history.job().photos().containsKey(id)) {
          continue;
        }
        String letter = letters.computeIfAbsent(p.camera(), c -> letter(from, c, all));
        try {
          folder.originals().keep(id, p.extension(), source.originalBytes(p));
        } catch (IOException e) {
          throw new NotDone(NotDone.NOT_NOW, "move.not-copied", p.name());
        }
        source.preview(id).ifPresent(b -> folder.keepPreview(id, b));
        source.thumbnail(id).ifPresent(b -> folder.keepThumbnail(id, b));
        source.look(id).ifPresent(b -> folder.keepLook(id, b));
        added.add(p.withCamera(letter));
      }
      if (!added.isEmpty()) {
        all.add(new Edit.AddPhotos(added));
        for (Photo p : added) {
          List<String> codes = from.codes(p.id()).stream().map(Code::text).toList();
          if (!codes.isEmpty()) {
            all.add(new Edit.NoteCodes(List.of(new CodesSeen(p.id(), codes))));
          }
        }
      }
      if (!videos.isEmpty()) {
        all.add(new Edit.AddAttachments(videos));
      }
      all.addAll(Clocks.settle(tried(all)));
      Sorter.resolve(tried(all), knowledge()).ifPresent(all::add);
      now = write(history.nextStep(), all);
    }
    tell(now);
  }

  private void receive(Attachment video, JobFolder source, List<Attachment> into) {
    if (history.job().attachments().containsKey(video.id())) {
      return;
    }
    Path file = source.originals().path(video.id(), video.extension());
    try (Originals.Batch batch = folder.originals().batch()) {
      batch.keep(video.id(), video.extension(), file, video.bytes());
      batch.commit();
    } catch (IOException e) {
      throw new NotDone(NotDone.NOT_NOW, "move.not-copied", video.name());
    }
    into.add(video);
  }

  /** The letter that a camera of another job has in this one; a new one if it is not known. */
  private String letter(Job from, String camera, List<Edit> edits) {
    Camera c = from.cameras().get(camera);
    Job here = history.job();
    for (Edit e : edits) {
      here = e instanceof Edit.PutCamera ? e.applyTo(here) : here;
    }
    for (Camera known : here.cameras().values()) {
      boolean same =
          Objects.equals(known.make(), c.make())
              && Objects.equals(known.model(), c.model())
              && Objects.equals(known.serial(), c.serial())
              && Objects.equals(known.folder(), c.folder());
      if (same) {
        return known.id();
      }
    }
    String next = "A";
    while (here.cameras().containsKey(next)) {
      int last = next.length() - 1;
      next =
          next.charAt(last) == 'Z'
              ? next + "A"
              : next.substring(0, last) + (char) (next.charAt(last) + 1);
    }
    edits.add(
        new Edit.PutCamera(
            new Camera(next, c.make(), c.model(), c.serial(), c.folder(), c.photographer())));
    Clock clock = from.clock(camera);
    if (clock.basis() != ClockBasis.ASSUMED) {
      edits.add(new Edit.SetClock(next, clock));
    }
    return next;
  }

  /** What a report came to. */
  public record Issued(int number, ReportFiles files, Path folder) {}

  /**
   * Writes a report on the paper of the settings.
   *
   * @param target folder for the report; made if missing
   */
  public Issued report(Path target, boolean draft, boolean keepLocation, Progress progress) {
    return report(target, draft, keepLocation, paper(), progress);
  }

  /**
   * Writes a report. A draft is only written to the folder; a final one is also kept in the archive
   * as it was issued, and entered in the journal, and bars the way to undo. It gets the next
   * number, and says what changed since the one before, which stays as it is.
   *
   * @param target folder for the report; made if missing
   */
  public Issued report(
      Path target, boolean draft, boolean keepLocation, Paper paper, Progress progress) {
    Job job;
    int number;
    ReportOptions options;
    synchronized (this) {
      job = history.job();
      number = history.nextReport();
      options = options(draft, keepLocation, number).on(paper).after(earlier());
    }
    if (!draft) {
      requireOpen();
    }
    if (draft) {
      ReportFiles files =
          ReportWriter.write(job, folder, workspace.trade(), target, options, progress);
      return new Issued(number, files, target);
    }
    Path kept = folder.report(number);
    // A folder of this number that no edit names is left from a report that was never issued.
    FileTrees.delete(kept);
    ReportFiles files = ReportWriter.write(job, folder, workspace.trade(), kept, options, progress);
    try {
      ReportWriter.clearMarked(target, files.sha256ByName().keySet());
    } catch (IOException e) {
      throw new NotDone(NotDone.NOT_NOW, "report.not-written", target);
    }
    FileTrees.copy(kept, target);
    IssuedReport issued = new IssuedReport(number, false, options.head(), files.sha256ByName());
    folder.noteIssued(issued);
    Job now;
    synchronized (this) {
      now = write(history.nextStep(), List.of(new Edit.IssueReport(issued)));
    }
    tell(now);
    return new Issued(number, files, target);
  }

  /**
   * The pages of a report as they would be printed, to be looked at before it is written.
   *
   * @param progress told of every photo; may stop the work
   */
  public ReportPages pages(boolean draft, boolean keepLocation, Paper paper, Progress progress) {
    Job job;
    ReportOptions options;
    synchronized (this) {
      job = history.job();
      options = options(draft, keepLocation, history.nextReport()).on(paper).after(earlier());
    }
    return ReportPages.of(job, folder, workspace.trade(), options, progress);
  }

  /**
   * Hands out a part of the job and enters in the journal who got what with whose leave. No step:
   * it bars the way to undo, as a report does.
   *
   * @param to who gets it, or null
   * @param leave with whose leave, or null
   * @param target folder for it; made if missing
   */
  public Handed extract(
      ExtractKind kind, String to, String leave, Path target, Paper paper, Progress progress) {
    Job job;
    ReportOptions options;
    synchronized (this) {
      requireOpen();
      job = history.job();
      options = options(false, false, history.nextReport()).on(paper);
    }
    String receiver = said(to);
    ReportFiles files =
        ExtractWriter.write(
            job, folder, workspace.trade(), kind, receiver, target, options, progress);
    Extract extract =
        new Extract(kind, receiver, said(leave), options.head(), files.sha256ByName());
    // Nothing of it can be undone, so the journal's order numbers the hand-overs.
    folder.keepExtract(job.extracts().size() + 1, target, files.sha256ByName());
    Job now;
    synchronized (this) {
      now = write(history.nextStep(), List.of(new Edit.RecordExtract(extract)));
    }
    tell(now);
    return new Handed(extract, files, target);
  }

  /** What a hand-over came to. */
  public record Handed(Extract extract, ReportFiles files, Path folder) {}

  /** The paper of the settings. */
  public Paper paper() {
    return workspace.settings().paper().equals("a4") ? Paper.A4 : Paper.LETTER;
  }

  private static String said(String text) {
    return text == null || text.isBlank() ? null : text.strip();
  }

  /**
   * Who signs what is handed out: the author of the settings, else the inspector of the job facts,
   * else nobody. The name of the system's user belongs to the journal, not to a client.
   */
  private String author() {
    String author = said(workspace.settings().author());
    return author != null ? author : said(history.job().facts().get("inspector"));
  }

  private ReportOptions options(boolean draft, boolean keepLocation, int number) {
    String key = SigningKey.find(workspace.home()).map(SigningKey::fingerprint).orElse(null);
    return new ReportOptions(
            draft, keepLocation, author(), workspace.clock().instant(), number, head())
        .licensed(workspace.settings().licenseLine())
        .signedWith(key);
  }

  /** The report issued last, with the job as it was then; null if none was. */
  private ReportOptions.Earlier earlier() {
    ReportOptions.Earlier last = null;
    for (History.Step step : history.steps()) {
      for (History.Entry e : step.edits()) {
        if (e.edit() instanceof Edit.IssueReport r && !r.report().draft()) {
          last = new ReportOptions.Earlier(r.report().number(), e.at(), step.after());
        }
      }
    }
    return last;
  }

  private Job tried(List<Edit> edits) {
    Job next = history.job();
    for (Edit e : edits) {
      next = e.applyTo(next);
    }
    return next;
  }

  private Job write(long step, List<Edit> edits) {
    if (edits.isEmpty()) {
      return history.job();
    }
    requireWriter();
    Edit first = edits.get(0);
    boolean packs =
        first instanceof Edit.FinishPacking
            || first instanceof Edit.WithdrawPacking
            || first instanceof Edit.Reopen;
    // Until when a job is kept, and whether a complaint holds it, is no part of what was packed.
    boolean packed = history.job().packaging().filter(Packaging::done).isPresent();
    boolean custody =
        packed
            && edits.stream()
                .allMatch(e -> e instanceof Edit.KeepUntil || e instanceof Edit.SetHold);
    if (!packs && !custody) {
      requireOpen();
    }
    if (first instanceof Edit.StepBack && !history.canStepBack()) {
      throw new EditRefused(history.steps().isEmpty() ? "undo.nothing" : "undo.barred");
    }
    if (first instanceof Edit.StepForward && !history.canStepForward()) {
      throw new EditRefused("redo.nothing");
    }
    tried(edits);
    for (History.Entry entry : writer.append(workspace.settings().authorOrUser(), step, edits)) {
      history.accept(entry);
    }
    return history.job();
  }

  private void tell(Job now) {
    for (Consumer<Job> listener : listeners) {
      listener.accept(now);
    }
  }

  @Override
  public void close() {
    if (writer != null) {
      writer.close();
    }
  }
}

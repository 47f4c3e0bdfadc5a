package meterside.desk.model;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collection;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.function.Consumer;
import java.util.function.Supplier;
import meterside.desk.model.Walk.StopView;
import meterside.intake.Intake;
import meterside.job.Answer;
import meterside.job.Callout;
import meterside.job.DutyKey;
import meterside.job.Edit;
import meterside.job.ExtractKind;
import meterside.job.Finding;
import meterside.job.History;
import meterside.job.Job;
import meterside.job.Mark;
import meterside.job.Outline;
import meterside.job.PhotoId;
import meterside.job.Point;
import meterside.job.Redaction;
import meterside.job.ReportView;
import meterside.job.Spot;
import meterside.job.StopKey;
import meterside.report.Paper;
import meterside.report.ReportPages;
import meterside.route.Sorter;
import meterside.trade.Trade;
import meterside.work.JobSession;
import meterside.work.LongTask;
import meterside.work.StepTitles;

/**
 * The open job: what is shown and selected, and everything the inspector can do to it. Lives on the
 * desk's thread; acts are written one after the other on a thread of their own, and what came of
 * them is shown when it is on the disk.
 */
public final class JobDesk implements AutoCloseable {

  /** What changed. */
  public enum Change {
    /** The job. */
    JOB,
    /** The photo or stop shown, or the photos selected. */
    SELECTION,
    /** The mark selected. */
    MARK,
    /** Whether everything is on the disk. */
    SAVED
  }

  /** How often it is looked whether slow work has ended, once the job is to be closed. */
  private static final int IDLE_MILLIS = 50;

  private final JobSession session;
  private final Threads threads;
  private final Tasks tasks;
  private final List<Consumer<Change>> listeners = new ArrayList<>();
  private final AtomicInteger unsaved = new AtomicInteger();
  private final AtomicInteger busy = new AtomicInteger();
  private Job job;
  private Walk walk;
  private Notes notes;
  private PhotoId current;
  private StopKey stop;
  private final LinkedHashSet<PhotoId> selection = new LinkedHashSet<>();
  private int mark;

  /** What is worth asking of the job as it is, or null if nobody has asked yet. */
  private List<Sorter.Question> questions;

  private int asked;

  /** Borders that were asked for and passed over. */
  private final Set<String> passed = new HashSet<>();

  /** A desk on a session. */
  public JobDesk(JobSession session, Threads threads, Tasks tasks) {
    this.session = session;
    this.threads = threads;
    this.tasks = tasks;
    this.job = session.job();
    this.walk = Walk.of(job);
    session.onChange(now -> threads.ui().execute(this::refresh));
    if (!walk.order().isEmpty()) {
      // What is not sorted yet, and then the walk, start at their first photo.
      current = walk.order().get(0).id();
      stop = walk.order().get(0).at();
      selection.add(current);
    } else if (!walk.stops().isEmpty()) {
      stop = walk.stops().get(0).key();
    }
    if (!session.notices().isEmpty()) {
      tasks.say(Notice.said(String.join(" ", session.notices())));
    }
  }

  /** Calls this when something changed, on the desk's thread. */
  public void onChange(Consumer<Change> listener) {
    listeners.add(listener);
  }

  /** Tells nobody any more: all places are laid out anew. */
  public void forgetListeners() {
    listeners.clear();
  }

  // ---- what is shown ----

  /** The session. */
  public JobSession session() {
    return session;
  }

  /** The trade's knowledge. */
  public Trade trade() {
    return session.workspace().trade();
  }

  /** The job as it is shown. */
  public Job job() {
    return job;
  }

  /** The walk. */
  public Walk walk() {
    return walk;
  }

  /** The notes for what is shown. */
  public Notes notes() {
    if (notes == null) {
      notes = Notes.of(job, trade(), stop, current);
    }
    return notes;
  }

  /** The photo shown, or null. */
  public PhotoId current() {
    return current;
  }

  /** The stop shown, or null. */
  public StopKey stop() {
    return stop;
  }

  /** Photos selected, the one shown among them. */
  public Set<PhotoId> selection() {
    return Set.copyOf(selection);
  }

  /** Facts of the photo shown. */
  public Optional<PhotoFacts> facts() {
    return Optional.ofNullable(current).map(id -> PhotoFacts.of(job, id));
  }

  /** Number of the mark selected, or 0. */
  public int mark() {
    return mark;
  }

  /** The mark selected. */
  public Optional<Mark> selectedMark() {
    return Optional.ofNullable(job.marks().get(mark));
  }

  /** Whether everything is on the disk. */
  public boolean saved() {
    return unsaved.get() == 0;
  }

  /** "12 May 2026 · 146 photos, 2 cameras · 31 set to other systems". */
  public String headline() {
    List<String> parts = new ArrayList<>();
    parts.add(
        java.time.format.DateTimeFormatter.ofPattern("d MMMM yyyy", Locale.US)
            .format(job.header().date()));
    int photos = job.photos().size();
    if (photos > 0) {
      parts.add(
          Words.count("head.photos", photos)
              + ", "
              + Words.count("head.cameras", job.cameras().size()));
      int others =
          walk.stops().stream()
              .filter(StopView::otherSystems)
              .mapToInt(s -> s.photos().size())
              .sum();
      if (others > 0) {
        parts.add(Words.say("head.other", others));
      }
    }
    return String.join(" · ", parts);
  }

  // ---- selecting ----

  /** Shows a photo and selects only it. */
  public void show(PhotoId id) {
    if (id == null || !job.photos().containsKey(id)) {
      return;
    }
    current = id;
    selection.clear();
    selection.add(id);
    stopOfCurrent();
    selected();
  }

  /** Adds a photo to the selection, or takes it out. */
  public void toggle(PhotoId id) {
    if (selection.contains(id) && selection.size() > 1) {
      selection.remove(id);
      if (id.equals(current)) {
        current = selection.iterator().next();
      }
    } else {
      selection.add(id);
      current = id;
    }
    stopOfCurrent();
    selected();
  }

  /** Selects everything from the photo shown to another, in the screen's order. */
  public void selectTo(PhotoId id) {
    int a = walk.indexOf(current);
    int b = walk.indexOf(id);
    if (a < 0 || b < 0) {
      show(id);
      return;
    }
    selection.clear();
    for (int i = Math.min(a, b); i <= Math.max(a, b); i++) {
      selection.add(walk.order().get(i).id());
    }
    current = id;
    stopOfCurrent();
    selected();
  }

  /** Shows a stop: its first photo if it has one. */
  public void showStop(StopKey key) {
    StopView view = null;
    for (StopView s : walk.stops()) {
      if (java.util.Objects.equals(s.key(), key)) {
        view = s;
      }
    }
    if (view == null) {
      return;
    }
    if (!view.empty()) {
      show(view.photos().get(0).id());
      return;
    }
    stop = key;
    current = null;
    selection.clear();
    selected();
  }

  /**
   * Moves along the walk by so many photos, back if negative. From a stop with nothing it moves to
   * the nearest photo that way.
   */
  public void step(int by) {
    if (walk.order().isEmpty()) {
      return;
    }
    int at = current == null ? nearest(by > 0) : walk.indexOf(current) + by;
    show(walk.order().get(Math.max(0, Math.min(walk.order().size() - 1, at))).id());
  }

  private int nearest(boolean after) {
    int seen = 0;
    for (StopView s : walk.stops()) {
      if (java.util.Objects.equals(s.key(), stop)) {
        return after ? seen : seen - 1;
      }
      seen += s.photos().size();
    }
    return 0;
  }

  /** Moves to the next stop, or back if negative; stops with nothing too. */
  public void stepStop(int by) {
    List<StopView> stops = walk.stops();
    for (int i = 0; i < stops.size(); i++) {
      if (java.util.Objects.equals(stops.get(i).key(), stop)) {
        int to = Math.max(0, Math.min(stops.size() - 1, i + by));
        showStop(stops.get(to).key());
        return;
      }
    }
  }

  /**
   * Shows what to look at next: what is worth asking, the most useful answer first, and when that
   * is through, photos whose place is uncertain. What was asked is said in the foot.
   */
  public void nextToLookAt() {
    if (questions != null) {
      askNext();
      return;
    }
    Job of = job;
    threads
        .work()
        .execute(
            () -> {
              List<Sorter.Question> worth = session.ask();
              threads
                  .ui()
                  .execute(
                      () -> {
                        if (job == of) {
                          questions = worth;
                          asked = -1;
                          askNext();
                        } else {
                          nextToLookAt(); // the job has changed meanwhile
                        }
                      });
            });
  }

  private void askNext() {
    // A stop that does not begin where it was asked for is not asked for again.
    do {
      asked++;
    } while (asked < questions.size() && passed.contains(pair(questions.get(asked))));
    if (asked >= questions.size()) {
      asked = questions.size();
      nextUncertain();
      return;
    }
    Sorter.Question q = questions.get(asked);
    show(q.photo());
    if (q instanceof Sorter.WhereItBegins border) {
      passed.add(pair(q));
      String before = job.title(border.before());
      String after = job.title(border.after());
      tasks.say(Notice.said(Words.say("look.begins", before, after, Keys.BEGINS.shown(false))));
    } else {
      tasks.say(Notice.said(Words.say("look.stop", job.photo(q.photo()).name())));
    }
  }

  private static String pair(Sorter.Question q) {
    return q instanceof Sorter.WhereItBegins b ? b.before() + " " + b.after() : "";
  }

  /**
   * Answers the question where a stop begins with the photo shown: it and the one before it are put
   * by hand, all others that are not fixed are laid along the route again.
   */
  public void beginsHere() {
    boolean open = questions != null && asked >= 0 && asked < questions.size();
    if (open && questions.get(asked) instanceof Sorter.WhereItBegins border) {
      if (border.around().indexOf(current) < 1) {
        tasks.say(Notice.said(Words.say("look.not-around", job.title(border.after()))));
        return;
      }
      PhotoId first = current;
      act(true, () -> session.answer(border, first), () -> {});
    } else {
      tasks.say(Notice.said(Words.say("look.not-asked", Keys.LOOK.shown(false))));
    }
  }

  private void nextUncertain() {
    Optional<PhotoId> next = walk.nextToLookAt(current);
    if (next.isPresent()) {
      show(next.get());
    } else {
      tasks.say(Notice.said(Words.say("look.none")));
    }
  }

  /** Selects a mark of the photo shown, or none for 0. */
  public void selectMark(int id) {
    if (mark != id) {
      mark = id;
      tell(Change.MARK);
    }
  }

  /** Selects the next mark of the photo shown. */
  public void nextMark() {
    if (current == null) {
      return;
    }
    List<Notes.Named> on = notes().named();
    if (on.isEmpty()) {
      return;
    }
    int at = -1;
    for (int i = 0; i < on.size(); i++) {
      if (on.get(i).mark() == mark) {
        at = i;
      }
    }
    selectMark(on.get((at + 1) % on.size()).mark());
  }

  private void stopOfCurrent() {
    stop = walk.stopOf(current).map(StopView::key).orElse(null);
  }

  private void selected() {
    notes = null;
    if (mark != 0 && !onCurrent(mark)) {
      mark = 0;
    }
    tell(Change.SELECTION);
  }

  private boolean onCurrent(int id) {
    Mark m = job.marks().get(id);
    return m != null && m.photo().equals(current);
  }

  private void refresh() {
    Job now = session.job();
    if (now == job) {
      return;
    }
    job = now;
    walk = Walk.of(job);
    notes = null;
    questions = null;
    selection.removeIf(id -> !job.photos().containsKey(id));
    if (current != null && !job.photos().containsKey(current)) {
      current = null;
    }
    if (current == null && selection.isEmpty() && !walk.order().isEmpty() && noStopChosen()) {
      current = walk.order().get(0).id();
    }
    if (current != null) {
      selection.add(current);
      stopOfCurrent();
    }
    if (mark != 0 && !onCurrent(mark)) {
      mark = 0;
    }
    tell(Change.JOB);
  }

  /** A stop with nothing yet that the inspector looks at stays shown; else photos come first. */
  /** Shows the job as its session has it now, after slow work that changed it. */
  void reread() {
    refresh();
  }

  private boolean noStopChosen() {
    return stop == null
        || walk.stops().isEmpty()
        || java.util.Objects.equals(stop, firstOnRoute())
        || walk.stop(stop).isEmpty();
  }

  private StopKey firstOnRoute() {
    return walk.stops().stream().map(StopView::key).filter(k -> k != null).findFirst().orElse(null);
  }

  private void tell(Change what) {
    for (Consumer<Change> l : List.copyOf(listeners)) {
      l.accept(what);
    }
  }

  // ---- acting ----

  /** What runs beside the window's work, and what its foot says. */
  public Tasks tasks() {
    return tasks;
  }

  /** Where listeners are told and work is done. */
  public Threads threads() {
    return threads;
  }

  /**
   * Does something to the job in one step, on the thread for acts.
   *
   * @param sort whether photos are laid along the route again in the same step
   * @param edits made on that thread, after all acts before
   * @param then called on the desk's thread when it is on the disk
   */
  void act(boolean sort, Supplier<List<Edit>> edits, Runnable then) {
    unsaved.incrementAndGet();
    tell(Change.SAVED);
    threads
        .acts()
        .execute(
            () -> {
              Throwable trouble = null;
              try {
                List<Edit> all = edits.get();
                if (!all.isEmpty()) {
                  if (sort) {
                    session.actAndSort(all);
                  } else {
                    session.act(all);
                  }
                }
              } catch (RuntimeException e) {
                trouble = e;
              }
              Throwable thrown = trouble;
              threads.ui().execute(() -> acted(thrown, then));
            });
  }

  private void acted(Throwable thrown, Runnable then) {
    unsaved.decrementAndGet();
    if (thrown != null) {
      tasks.sayTrouble(thrown);
      tell(Change.JOB); // what was previewed is taken back
    } else {
      if (!tasks.notice().isEmpty()) {
        tasks.say(Notice.NONE);
      }
      then.run();
    }
    tell(Change.SAVED);
  }

  private void act(Edit edit) {
    act(false, () -> List.of(edit), () -> {});
  }

  /**
   * Puts photos at a stop by hand; all others that are not fixed are laid along the route again.
   */
  public void place(Collection<PhotoId> photos, StopKey at) {
    List<PhotoId> moved = photos.stream().filter(id -> !alreadyByHand(id, at)).toList();
    if (moved.isEmpty()) {
      return;
    }
    act(true, () -> List.of(new Edit.PlaceByHand(moved, at)), () -> {});
  }

  private boolean alreadyByHand(PhotoId id, StopKey at) {
    return job.placement(id).map(p -> p.fixed() && p.at().equals(at)).orElse(false);
  }

  /** Puts the selected photos at a stop. */
  public void placeSelection(StopKey at) {
    place(List.copyOf(selection), at);
  }

  /** Puts the selected photos at the stop before or after theirs on the route. */
  public void placeSelectionBy(int by) {
    if (current == null) {
      return;
    }
    List<StopKey> keys = job.stopKeys();
    int at = keys.indexOf(stop);
    int to = at < 0 ? 0 : Math.max(0, Math.min(keys.size() - 1, at + by));
    placeSelection(keys.get(to));
  }

  /** Says that the selected photos are right where they lie. */
  public void keepHere() {
    Map<StopKey, List<PhotoId>> byStop = new java.util.LinkedHashMap<>();
    for (PhotoId id : selection) {
      job.placement(id)
          .filter(p -> !p.fixed())
          .ifPresent(p -> byStop.computeIfAbsent(p.at(), k -> new ArrayList<>()).add(id));
    }
    List<Edit> edits = new ArrayList<>();
    byStop.forEach((at, ids) -> edits.add(new Edit.PlaceByHand(ids, at)));
    if (!edits.isEmpty()) {
      act(true, () -> edits, () -> {});
    }
  }

  /** Leaves the selected photos to the sorting again. */
  public void release() {
    List<PhotoId> ids = List.copyOf(selection);
    if (!ids.isEmpty()) {
      act(true, () -> List.of(new Edit.ReleaseByHand(ids)), () -> {});
    }
  }

  /** Moves a divider: see {@link Walk#moveDivider}. */
  public void moveDivider(StopView upper, StopView lower, int k) {
    Walk.DividerMove move = Walk.moveDivider(upper, lower, k);
    if (!move.photos().isEmpty()) {
      act(true, () -> List.of(new Edit.PlaceByHand(move.photos(), move.to())), () -> {});
    }
  }

  /** Sets the selected photos aside, or takes them back if they all are. */
  public void toggleAside() {
    List<PhotoId> ids = List.copyOf(selection);
    if (!ids.isEmpty()) {
      boolean on = !job.aside().keySet().containsAll(ids);
      act(new Edit.SetAside(ids, on, null));
    }
  }

  /** Makes the selected photos notes to self, or takes that back if they all are. */
  public void toggleNoteToSelf() {
    List<PhotoId> ids = List.copyOf(selection);
    if (!ids.isEmpty()) {
      act(new Edit.NoteToSelf(ids, !job.notesToSelf().containsAll(ids)));
    }
  }

  /** Draws a callout on the photo shown, and selects it. */
  public void addCallout(Point ring, String part) {
    PhotoId photo = current;
    int[] id = new int[1];
    act(
        false,
        () -> {
          id[0] = session.nextMark();
          return List.of(Marks.put(Marks.callout(id[0], photo, part, ring)));
        },
        () -> selectMark(id[0]));
  }

  /** Draws an outline on the photo shown, and selects it. */
  public void addOutline(List<Point> corners, String part) {
    PhotoId photo = current;
    int[] id = new int[1];
    act(
        false,
        () -> {
          id[0] = session.nextMark();
          return List.of(Marks.put(new Outline(id[0], photo, part, corners, null, null)));
        },
        () -> selectMark(id[0]));
  }

  /** Hides an area of the photo shown, and selects it. */
  public void addRedaction(List<Point> corners) {
    PhotoId photo = current;
    int[] id = new int[1];
    act(
        false,
        () -> {
          id[0] = session.nextMark();
          return List.of(Marks.put(new Redaction(id[0], photo, corners)));
        },
        () -> selectMark(id[0]));
  }

  /** Keeps a measurement on its photo, and selects it. */
  public void addMeasure(MeasureDraft draft) {
    int[] id = new int[1];
    act(
        false,
        () -> {
          id[0] = session.nextMark();
          return draft.measure(id[0]).map(m -> List.of(Marks.put(m))).orElse(List.of());
        },
        () -> selectMark(id[0]));
  }

  /** Ties a close photo to its spot in the photo shown, and selects the spot. */
  public void addSpot(List<Point> corners, PhotoId close) {
    PhotoId photo = current;
    int[] id = new int[1];
    act(
        false,
        () -> {
          id[0] = session.nextMark();
          return List.of(Marks.put(new Spot(id[0], photo, corners, close)));
        },
        () -> selectMark(id[0]));
  }

  /** Copies the names and outlines of the photo shown to another, in one step, and shows that. */
  public void copyMarks(PhotoId to) {
    List<Mark> copied =
        job.marksOn(current).stream()
            .filter(m -> m instanceof Callout || m instanceof Outline)
            .toList();
    if (copied.isEmpty()) {
      tasks.say(Notice.said(Words.say("copy.none")));
      return;
    }
    act(
        false,
        () -> {
          int next = session.nextMark();
          List<Edit> edits = new ArrayList<>();
          for (Mark m : copied) {
            edits.add(Marks.put(Marks.copied(m, next++, to)));
          }
          return edits;
        },
        () -> {
          show(to);
          tasks.say(Notice.said(Words.say("copy.done", job.photo(to).name())));
        });
  }

  /**
   * Photos that may show the same as the one shown: those of its stop first, nearest in time first.
   */
  public List<PhotoId> alike() {
    if (current == null) {
      return List.of();
    }
    java.time.Instant at = job.trueTime(job.photo(current)).at();
    java.util.Comparator<PhotoId> elsewhere =
        java.util.Comparator.comparing(
            id ->
                !walk.stopOf(id)
                    .map(StopView::key)
                    .equals(walk.stopOf(current).map(StopView::key)));
    return walk.order().stream()
        .map(s -> s.id())
        .filter(id -> !id.equals(current))
        .sorted(
            elsewhere.thenComparing(
                id -> java.time.Duration.between(at, job.trueTime(job.photo(id)).at()).abs()))
        .toList();
  }

  /** Says how the report shows the photo shown. */
  public void setReportView(ReportView view) {
    if (current != null && !view.equals(job.reportView(current))) {
      act(new Edit.SetReportView(current, view.equals(ReportView.AS_TAKEN) ? null : view));
    }
  }

  /** Changes a mark to what it should be. */
  public void putMark(Mark changed) {
    Mark was = job.marks().get(changed.id());
    if (!changed.equals(was)) {
      act(Marks.put(changed));
    }
  }

  /** Ties a mark to a finding, or unties it for null. */
  public void tie(int id, Integer finding) {
    Mark m = job.marks().get(id);
    if (m != null) {
      putMark(m.tied(finding));
    }
  }

  /** Takes the selected mark away. */
  public void removeMark() {
    if (job.marks().containsKey(mark)) {
      act(new Edit.RemoveMark(mark));
    }
  }

  /** Keeps a finding: a new one gets its number, and the mark it was written for is tied to it. */
  public void keepFinding(FindingDraft draft, Consumer<Integer> then) {
    int[] number = new int[1];
    Mark tied = draft.mark() == 0 ? null : job.marks().get(draft.mark());
    act(
        false,
        () -> {
          number[0] = draft.number() == 0 ? session.nextFinding() : draft.number();
          List<Edit> edits = new ArrayList<>();
          edits.add(new Edit.PutFinding(draft.finding(number[0])));
          if (tied != null) {
            edits.add(Marks.put(tied.tied(number[0])));
          }
          return edits;
        },
        () -> then.accept(number[0]));
  }

  /** Names one of several things at a stop ("garage subpanel"); it gets duties of its own. */
  public void nameInstance(StopKey at, String name) {
    StopKey key = new StopKey(at.stop(), name);
    if (job.instances().contains(key)) {
      showStop(key); // it has that name already
    } else if (!name.isBlank()) {
      act(false, () -> List.of(new Edit.AddInstance(key)), () -> showStop(key));
    }
  }

  /** Shows a finding on the photo shown too, or no longer. */
  public void toggleShows(int number) {
    Finding f = job.findings().get(number);
    if (f == null || current == null) {
      return;
    }
    List<PhotoId> photos = new ArrayList<>(f.photos());
    if (!photos.remove(current)) {
      photos.add(current);
    }
    act(new Edit.PutFinding(f.withPhotos(photos)));
  }

  /** Withdraws a finding; its number is not used again. */
  public void withdrawFinding(int number) {
    act(new Edit.WithdrawFinding(number, null));
  }

  /** Answers a duty, in place of any answer before. */
  public void answer(DutyKey duty, Answer answer) {
    act(new Edit.GiveAnswer(duty, answer));
  }

  /** Opens a duty again. */
  public void reopen(DutyKey duty) {
    if (job.answer(duty).isPresent()) {
      act(new Edit.ReopenDuty(duty));
    }
  }

  // ---- undo ----

  /** What an undo would take back, or empty. */
  public Optional<String> undoTitle() {
    return session.undoable().map(s -> StepTitles.of(s, session.job()));
  }

  /** What a redo would take in again, or empty. */
  public Optional<String> redoTitle() {
    return session.redoable().map(s -> StepTitles.of(s, session.job()));
  }

  /** Takes the last step back, and shows the photo it was about. */
  public void undo() {
    wind(session::undo, "undo.done");
  }

  /** Takes the step in again that was taken back, and shows the photo it was about. */
  public void redo() {
    wind(session::redo, "redo.done");
  }

  private void wind(Supplier<History.Step> how, String key) {
    History.Step[] step = new History.Step[1];
    String[] title = new String[1];
    act(
        false,
        () -> {
          Job before = session.job();
          step[0] = how.get();
          Job named =
              before.photos().size() >= session.job().photos().size() ? before : session.job();
          title[0] = StepTitles.of(step[0], named);
          return List.of();
        },
        () -> {
          touched(step[0]).filter(job.photos()::containsKey).ifPresent(this::showIfHidden);
          tasks.say(Notice.said(Words.say(key, title[0])));
        });
  }

  private void showIfHidden(PhotoId id) {
    if (!id.equals(current)) {
      show(id);
    }
  }

  private static Optional<PhotoId> touched(History.Step step) {
    Edit first = step.edits().get(0).edit();
    if (first instanceof Edit.PutCallout e) {
      return Optional.of(e.callout().photo());
    } else if (first instanceof Edit.PutOutline e) {
      return Optional.of(e.outline().photo());
    } else if (first instanceof Edit.PutRedaction e) {
      return Optional.of(e.redaction().photo());
    } else if (first instanceof Edit.PutMeasure e) {
      return Optional.of(e.measure().photo());
    } else if (first instanceof Edit.PutSpot e) {
      return Optional.of(e.spot().photo());
    } else if (first instanceof Edit.SetReportView e) {
      return Optional.of(e.photo());
    } else if (first instanceof Edit.PlaceByHand e && !e.photos().isEmpty()) {
      return Optional.of(e.photos().get(0));
    } else if (first instanceof Edit.SetAside e && !e.photos().isEmpty()) {
      return Optional.of(e.photos().get(0));
    }
    return Optional.empty();
  }

  // ---- slow work ----

  /** Takes photos in from files and folders. */
  public void addPhotos(List<Path> sources, Runnable then) {
    tasks.start(
        Words.say("task.intake"),
        busy(progress -> session.intake(sources, false, progress)),
        result -> {
          refresh();
          Notice notice = intakeNotice(result);
          tasks.say(session.otherDays().map(notice::and).orElse(notice));
          then.run();
        });
  }

  /** What an intake came to, in one sentence, with one more for each file that needs one. */
  static Notice intakeNotice(Intake.Result r) {
    List<String> parts = new ArrayList<>();
    parts.add(Words.count("intake.taken", r.taken()));
    if (r.videos() > 0) {
      parts.add(Words.count("intake.videos", r.videos()));
    }
    if (r.known() > 0) {
      parts.add(Words.count("intake.known", r.known()));
    }
    if (r.ignored() > 0) {
      parts.add(Words.count("intake.ignored", r.ignored()));
    }
    long failed = r.problems().stream().filter(Intake.Problem::failed).count();
    if (failed > 0) {
      parts.add(Words.count("intake.failed", failed));
    }
    String text = String.join(" ", parts);
    if (r.cancelled()) {
      text = Words.say("intake.stopped") + " " + text;
    }
    return new Notice(
        text, failed > 0, r.problems().stream().map(Intake.Problem::sentence).toList());
  }

  /**
   * Writes a report.
   *
   * @param then given what it came to
   * @param ended called when it ended without a report: stopped, or failed
   */
  public void report(
      Path target,
      boolean draft,
      boolean keepLocation,
      Paper paper,
      Consumer<JobSession.Issued> then,
      Runnable ended) {
    tasks.start(
        Words.say("task.report"),
        busy(progress -> session.report(target, draft, keepLocation, paper, progress)),
        issued -> {
          refresh();
          then.accept(issued);
        },
        ended);
  }

  /**
   * Lays out the pages of a report, to be looked at.
   *
   * @param then given the pages; whoever takes them closes them
   * @param ended called when it ended without: stopped, or failed
   */
  public void pages(
      boolean draft,
      boolean keepLocation,
      Paper paper,
      Consumer<ReportPages> then,
      Runnable ended) {
    tasks.start(
        Words.say("task.pages"),
        busy(progress -> session.pages(draft, keepLocation, paper, progress)),
        then,
        ended);
  }

  /**
   * Does something small beside the window's work.
   *
   * @param then gets what it came to, on the desk's thread; not called if it failed
   */
  public <T> void beside(Supplier<T> work, Consumer<T> then) {
    threads
        .work()
        .execute(
            () -> {
              T made = work.get();
              threads.ui().execute(() -> then.accept(made));
            });
  }

  /**
   * Hands out a part of the job.
   *
   * @param to who gets it, or null
   * @param leave with whose leave, or null
   * @param then given what it came to
   * @param ended called when it ended without: stopped, or failed
   */
  public void extract(
      ExtractKind kind,
      String to,
      String leave,
      Path target,
      Paper paper,
      Consumer<JobSession.Handed> then,
      Runnable ended) {
    tasks.start(
        Words.say("task.extract"),
        busy(progress -> session.extract(kind, to, leave, target, paper, progress)),
        handed -> {
          refresh();
          then.accept(handed);
        },
        ended);
  }

  /** What left the job so far, newest first: each report and each part handed out, with its day. */
  public List<String> handedOut() {
    List<String> out = new ArrayList<>();
    for (History.Entry e : session.entries()) {
      if (e.edit() instanceof Edit.IssueReport || e.edit() instanceof Edit.RecordExtract) {
        String day = e.at().atZone(job().zone()).toLocalDate().toString();
        out.add(0, Words.say("handed.line", day, StepTitles.ofEntries(List.of(e), job())));
      }
    }
    return out;
  }

  /**
   * Lets the job go once what was asked for is written, and slow work on it has ended. Does not
   * wait.
   */
  @Override
  public void close() {
    threads.acts().execute(() -> threads.work().execute(this::closeWhenIdle));
  }

  private void closeWhenIdle() {
    try {
      while (busy.get() > 0) {
        Thread.sleep(IDLE_MILLIS);
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
    session.close();
  }

  /** Slow work that writes to the job: the job stays open until it has ended. */
  <T> LongTask.Body<T> busy(LongTask.Body<T> body) {
    busy.incrementAndGet();
    return progress -> {
      try {
        return body.run(progress);
      } finally {
        busy.decrementAndGet();
      }
    };
  }
}

package meterside.desk.model;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CancellationException;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.function.Consumer;
import java.util.function.Supplier;
import meterside.work.LongTask;
import meterside.work.NotDone;

/** Slow work that runs beside the window, as the foot shows it. Lives on the desk's thread. */
public final class Tasks {
  private final Threads threads;
  private final List<LongTask<?>> running = new ArrayList<>();
  private final List<Runnable> listeners = new ArrayList<>();
  private final AtomicBoolean told = new AtomicBoolean();
  private Notice notice = Notice.NONE;
  private Supplier<String> standing = () -> "";
  private Runnable standingAct = () -> {};

  /** With the threads to work on. */
  public Tasks(Threads threads) {
    this.threads = threads;
  }

  /** Calls this after progress, on the desk's thread. */
  public void onChange(Runnable listener) {
    listeners.add(listener);
  }

  /**
   * Starts slow work.
   *
   * @param title what it is, as the foot says it
   * @param body the work, on a working thread
   * @param done what to do with its result, on the desk's thread
   */
  public <T> LongTask<T> start(String title, LongTask.Body<T> body, Consumer<T> done) {
    return start(title, body, done, () -> {});
  }

  /**
   * Starts slow work.
   *
   * @param title what it is, as the foot says it
   * @param body the work, on a working thread
   * @param done what to do with its result, on the desk's thread
   * @param ended what to do if there is none: it was stopped, or it failed
   */
  public <T> LongTask<T> start(
      String title, LongTask.Body<T> body, Consumer<T> done, Runnable ended) {
    LongTask<T> task = new LongTask<>(title, body);
    task.onProgress(this::progress)
        .onDone(
            result ->
                threads
                    .ui()
                    .execute(
                        () -> {
                          running.remove(task);
                          done.accept(result);
                          tell();
                        }))
        .onFailure(
            thrown ->
                threads
                    .ui()
                    .execute(
                        () -> {
                          running.remove(task);
                          ended.run();
                          say(
                              thrown instanceof CancellationException
                                  ? Notice.said(Words.say("task.stopped", title))
                                  : Notice.trouble(NotDone.sentenceOf(thrown)));
                        }));
    running.add(task);
    tell();
    task.start(threads.work());
    return task;
  }

  /** The work the foot shows: what was started first. */
  public Optional<LongTask<?>> shown() {
    return running.isEmpty() ? Optional.empty() : Optional.of(running.get(0));
  }

  /** How many run. */
  public int count() {
    return running.size();
  }

  /** Asks everything to stop. */
  public void stopAll() {
    running.forEach(LongTask::cancel);
  }

  /** What the foot says. */
  public Notice notice() {
    return notice;
  }

  /** Says something in the foot. */
  public void say(Notice next) {
    notice = next;
    tell();
  }

  /**
   * What the foot says all the time, at its end.
   *
   * @param act goes to where that can be changed
   */
  public void standing(Supplier<String> text, Runnable act) {
    standing = text;
    standingAct = act;
  }

  /** Goes to where it can be changed what the foot says all the time. */
  public void goToStanding() {
    standingAct.run();
  }

  /** What the foot says all the time; may be empty. */
  public String standing() {
    return standing.get();
  }

  /** Says in the foot what went wrong. */
  public void sayTrouble(Throwable thrown) {
    say(Notice.trouble(NotDone.sentenceOf(thrown)));
  }

  /** "Reading photos 91 of 146": what the foot says of work. */
  public static String line(LongTask<?> task) {
    return task.total() > 0
        ? Words.say("task.count", task.title(), task.done(), task.total())
        : Words.say("task.plain", task.title());
  }

  /** "4 s left", or empty while that can't be told. */
  public static String left(LongTask<?> task) {
    long s = task.secondsLeft();
    if (s < 0) {
      return "";
    }
    return s < 90 ? Words.say("task.seconds", s) : Words.say("task.minutes", (s + 30) / 60);
  }

  private void progress() {
    // A thousand steps a second make one repaint.
    if (told.compareAndSet(false, true)) {
      threads
          .ui()
          .execute(
              () -> {
                told.set(false);
                tell();
              });
    }
  }

  private void tell() {
    List.copyOf(listeners).forEach(Runnable::run);
  }
}

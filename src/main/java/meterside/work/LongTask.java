package meterside.work;

import java.util.concurrent.CancellationException;
import java.util.concurrent.Executor;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.function.Consumer;
import meterside.job.Progress;

/**
 * Slow work with a title, progress and a way to stop it. Run on whatever executor it is given: a
 * pool in the desk, the calling thread in tests. Whatever it throws ends in the failure handler and
 * never takes the window down.
 *
 * @param <T> what it hands out
 */
public final class LongTask<T> implements Progress {
  /**
   * The work.
   *
   * @param <T> what it hands out
   */
  public interface Body<T> {
    /** Does the work, saying how far it is. */
    T run(Progress progress) throws Exception;
  }

  private final String title;
  private final Body<T> body;
  private final AtomicBoolean cancelled = new AtomicBoolean();
  private final long[] state = new long[2];
  private volatile long startedNanos;
  private volatile boolean finished;
  private Runnable onProgress = () -> {};
  private Consumer<T> onDone = r -> {};
  private Consumer<Throwable> onFailure = t -> {};

  /** New work that has not started. */
  public LongTask(String title, Body<T> body) {
    this.title = title;
    this.body = body;
  }

  /** What it is, as the window's foot says it. */
  public String title() {
    return title;
  }

  /** Calls this after each progress, on the working thread. */
  public LongTask<T> onProgress(Runnable handler) {
    onProgress = handler;
    return this;
  }

  /** Calls this with the result, on the working thread. */
  public LongTask<T> onDone(Consumer<T> handler) {
    onDone = handler;
    return this;
  }

  /** Calls this with whatever was thrown, on the working thread. */
  public LongTask<T> onFailure(Consumer<Throwable> handler) {
    onFailure = handler;
    return this;
  }

  /** Starts it. */
  public LongTask<T> start(Executor executor) {
    executor.execute(this::run);
    return this;
  }

  private void run() {
    startedNanos = System.nanoTime();
    try {
      T result = body.run(this);
      finished = true;
      onDone.accept(result);
    } catch (CancellationException e) {
      finished = true;
      onFailure.accept(e);
    } catch (Throwable t) {
      finished = true;
      onFailure.accept(t);
    }
  }

  /** Asks it to stop at the next good moment; what is done stays done. */
  public void cancel() {
    cancelled.set(true);
  }

  /** How many are done. */
  public long done() {
    synchronized (state) {
      return state[0];
    }
  }

  /** Of how many; 0 while unknown. */
  public long total() {
    synchronized (state) {
      return state[1];
    }
  }

  /** Whether it has ended, in whatever way. */
  public boolean finished() {
    return finished;
  }

  /** Seconds left at the pace so far, or −1 while that can't be told. */
  public long secondsLeft() {
    long done = done();
    long total = total();
    if (done <= 0 || total <= 0 || done > total) {
      return -1;
    }
    double spent = (System.nanoTime() - startedNanos) / 1e9;
    return Math.round(spent / done * (total - done));
  }

  @Override
  public void at(long done, long total) {
    synchronized (state) {
      state[0] = done;
      state[1] = total;
    }
    onProgress.run();
  }

  @Override
  public boolean cancelled() {
    return cancelled.get();
  }
}

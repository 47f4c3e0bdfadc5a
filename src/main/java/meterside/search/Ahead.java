package meterside.search;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Collection;
import java.util.Deque;
import java.util.List;
import java.util.Queue;
import java.util.concurrent.CancellationException;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.FutureTask;
import java.util.function.Function;
import meterside.archive.Archive;

/**
 * Reads jobs a few ahead of the one that is being written, on several threads, and hands them out
 * in order. Reading and checking journals is most of the work of a rebuild. Holds no more than a
 * few jobs at once.
 */
final class Ahead implements AutoCloseable {
  private static final int MOST_THREADS = 4;

  /** Not worth a thread. */
  private static final int FEW = 3;

  private final Deque<String> waiting;
  private final Deque<Future<Made>> reading = new ArrayDeque<>();
  private final Function<String, Made> read;
  private final ExecutorService threads;
  private final int window;

  /**
   * Begins.
   *
   * @param names the jobs, in order
   * @param read reads one; called from several threads
   */
  Ahead(Collection<String> names, Function<String, Made> read) {
    this.waiting = new ArrayDeque<>(names);
    this.read = read;
    int n = Math.min(MOST_THREADS, Runtime.getRuntime().availableProcessors());
    boolean few = names.size() <= FEW || n < 2;
    window = few ? 1 : 2 * n;
    threads =
        few
            ? null
            : Executors.newFixedThreadPool(
                n,
                r -> {
                  Thread t = new Thread(r, "past-jobs-reader");
                  t.setDaemon(true);
                  return t;
                });
  }

  /**
   * Whether there is another job.
   *
   * @param followed jobs that have just changed; they go before those that have waited long
   */
  boolean hasNext(Queue<String> followed, Archive archive) {
    List<String> first = new ArrayList<>();
    for (String n = followed.poll(); n != null; n = followed.poll()) {
      first.add(n);
    }
    for (String n : first) {
      waiting.remove(n);
      if (archive.find(n).isPresent()) {
        waiting.addFirst(n);
      }
    }
    while (reading.size() < window && !waiting.isEmpty()) {
      String name = waiting.removeFirst();
      FutureTask<Made> task = new FutureTask<>(() -> read.apply(name));
      reading.addLast(task);
      if (threads != null) {
        threads.execute(task);
      }
    }
    return !reading.isEmpty();
  }

  /** The next job, read. */
  Made next() {
    Future<Made> next = reading.removeFirst();
    if (threads == null) {
      ((FutureTask<Made>) next).run();
    }
    try {
      return next.get();
    } catch (ExecutionException e) {
      if (e.getCause() instanceof RuntimeException r) {
        throw r;
      }
      if (e.getCause() instanceof Error error) {
        throw error;
      }
      throw new IllegalStateException(e.getCause());
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new CancellationException();
    }
  }

  @Override
  public void close() {
    if (threads != null) {
      threads.shutdownNow();
    }
  }
}

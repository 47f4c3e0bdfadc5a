package meterside.search;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.FutureTask;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.ThreadPoolExecutor;
import java.util.concurrent.TimeUnit;

/** Does several things at once, on the caller's thread and a few that wait for such work. */
final class SideBySide {
  private static final int MOST_THREADS = 8;
  private static final ExecutorService THREADS = threads();

  private SideBySide() {}

  private static ExecutorService threads() {
    int n = Math.max(1, Math.min(MOST_THREADS, Runtime.getRuntime().availableProcessors()) - 1);
    ThreadPoolExecutor pool =
        new ThreadPoolExecutor(
            n,
            n,
            10,
            TimeUnit.SECONDS,
            new LinkedBlockingQueue<>(),
            r -> {
              Thread t = new Thread(r, "past-jobs-finder");
              t.setDaemon(true);
              return t;
            });
    pool.allowCoreThreadTimeOut(true);
    return pool;
  }

  /** One after the other. */
  static <T> List<T> alone(List<Callable<T>> work) throws IOException {
    List<FutureTask<T>> tasks = work.stream().map(FutureTask::new).toList();
    tasks.forEach(FutureTask::run);
    return results(tasks);
  }

  /** All results, in order. What is thrown is thrown on. */
  static <T> List<T> all(List<Callable<T>> work) throws IOException {
    List<FutureTask<T>> tasks = work.stream().map(FutureTask::new).toList();
    for (int i = 1; i < tasks.size(); i++) {
      THREADS.execute(tasks.get(i));
    }
    // Whatever no thread has begun yet is done here; a task that was begun is not run twice.
    tasks.forEach(FutureTask::run);
    return results(tasks);
  }

  private static <T> List<T> results(List<FutureTask<T>> tasks) throws IOException {
    List<T> out = new ArrayList<>();
    Throwable thrown = null;
    boolean interrupted = false;
    for (int i = 0; i < tasks.size(); ) {
      try {
        out.add(tasks.get(i).get());
        i++;
      } catch (ExecutionException e) {
        thrown = thrown == null ? e.getCause() : thrown;
        i++;
      } catch (InterruptedException e) {
        interrupted = true; // the others still read what the caller holds open
      }
    }
    if (interrupted) {
      Thread.currentThread().interrupt();
    }
    if (thrown instanceof IOException e) {
      throw e;
    }
    if (thrown instanceof RuntimeException e) {
      throw e;
    }
    if (thrown instanceof Error e) {
      throw e;
    }
    return out;
  }
}

package meterside.desk.model;

import java.util.concurrent.Executor;

/**
 * The threads the desk works on.
 *
 * @param ui where listeners are told
 * @param acts one after the other: everything that is written to a journal
 * @param work slow work beside it
 */
public record Threads(Executor ui, Executor acts, Executor work) {

  /** Everything at once on the calling thread, for tests. */
  public static Threads calling() {
    return new Threads(Runnable::run, Runnable::run, Runnable::run);
  }
}

package meterside.picture;

import java.util.concurrent.Semaphore;

/**
 * The memory that all decoders together may hold at one moment, in MiB: a third of the heap. A
 * decoder asks before it starts and waits while others hold too much; one that needs more than all
 * of it runs alone.
 */
final class PixelBudget {
  private static final int ALL =
      (int) Math.max(48, Math.min(4096, Runtime.getRuntime().maxMemory() / 3 >> 20));
  private static final Semaphore FREE = new Semaphore(ALL, true);

  private PixelBudget() {}

  /** All there is, in bytes. */
  static long bytes() {
    return (long) ALL << 20;
  }

  /** A share of the budget; closing it gives it back. */
  record Share(int mebibytes) implements AutoCloseable {
    @Override
    public void close() {
      FREE.release(mebibytes);
    }
  }

  /** Waits until so many bytes are free. */
  static Share take(long bytes) {
    int mebibytes = (int) Math.max(1, Math.min(ALL, bytes >> 20));
    FREE.acquireUninterruptibly(mebibytes);
    return new Share(mebibytes);
  }
}

package meterside.archive;

import java.io.IOException;
import java.nio.file.Path;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;

/**
 * Hashes files on all cores, in the order they were asked for. Reading overlaps hashing because one
 * core's file is read while another's is hashed.
 */
final class Hashing implements AutoCloseable {
  private final ExecutorService threads =
      Executors.newFixedThreadPool(
          Runtime.getRuntime().availableProcessors(),
          work -> {
            Thread t = new Thread(work, "hashing");
            t.setDaemon(true);
            return t;
          });

  /** A file's hash that is being worked out. */
  static final class Pending {
    private final Future<String> result;

    private Pending(Future<String> result) {
      this.result = result;
    }

    /**
     * Waits for the hash.
     *
     * @return 64 hexadecimal digits
     * @throws IOException if the file can't be read
     */
    String hex() throws IOException {
      boolean interrupted = false;
      try {
        while (true) {
          try {
            return result.get();
          } catch (InterruptedException e) {
            interrupted = true; // files are short: what was begun is finished
          }
        }
      } catch (ExecutionException e) {
        if (e.getCause() instanceof IOException unreadable) {
          throw new IOException(unreadable.getMessage(), unreadable);
        }
        throw new IllegalStateException(e.getCause());
      } finally {
        if (interrupted) {
          Thread.currentThread().interrupt();
        }
      }
    }
  }

  /** Begins to hash a file as soon as a core is free. */
  Pending begin(Path file) {
    return new Pending(threads.submit(() -> Sha256.of(file).hex()));
  }

  /** Drops what was not begun and waits for nothing. */
  @Override
  public void close() {
    threads.shutdownNow();
  }
}

package meterside.archive;

import java.nio.file.Path;
import java.time.Clock;

/** A program of its own that takes a job's lock, says so, and holds it until its input ends. */
public final class LockHolder {
  private LockHolder() {}

  /** Arguments: the archive, the job, what to call itself. */
  public static void main(String[] args) throws Exception {
    JobFolder job = Archive.open(Path.of(args[0])).job(args[1]);
    try (JournalWriter writer = JournalWriter.open(job, args[2], Clock.systemUTC())) {
      System.out.println("held " + writer.head());
      System.out.flush();
      while (System.in.read() >= 0) {
        // Held until the other side closes the pipe.
        continue;
      }
    } catch (InUse e) {
      System.out.println(e.exitCode() + " " + e.getMessage());
    }
  }
}

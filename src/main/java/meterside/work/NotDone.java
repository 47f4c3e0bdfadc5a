package meterside.work;

import java.io.IOException;
import meterside.archive.ArchiveException;
import meterside.intake.IntakeRefused;
import meterside.job.EditRefused;
import meterside.job.Sentences;
import meterside.report.ReportFailed;

/**
 * Something the user asked for could not be done; the message is a sentence that says what happened
 * and what to do.
 */
public final class NotDone extends RuntimeException {
  private static final long serialVersionUID = 1L;

  /** Exit code for wrong use, and for unknown or ambiguous names. */
  public static final int WRONG_USE = 2;

  /** Exit code for what could not be done now: in use, disk full, newer format. */
  public static final int NOT_NOW = 4;

  private final int exitCode;

  /** With a sentence of this room's bundle. */
  public NotDone(int exitCode, String key, Object... arguments) {
    super(Sentences.in(NotDone.class).say(key, arguments));
    this.exitCode = exitCode;
  }

  /** The exit code of the command line for this. */
  public int exitCode() {
    return exitCode;
  }

  /** The exit code for anything that was thrown; −1 if it is no refusal but a mistake of ours. */
  public static int exitCodeOf(Throwable thrown) {
    if (thrown instanceof NotDone n) {
      return n.exitCode();
    }
    if (thrown instanceof ArchiveException a) {
      return a.exitCode();
    }
    if (thrown instanceof ReportFailed) {
      return NOT_NOW;
    }
    return thrown instanceof EditRefused || thrown instanceof IntakeRefused ? WRONG_USE : -1;
  }

  /** A sentence for anything that was thrown; never a stack trace. */
  public static String sentenceOf(Throwable thrown) {
    if (exitCodeOf(thrown) >= 0) {
      return thrown.getMessage();
    }
    for (Throwable t = thrown; t != null; t = t.getCause()) {
      if (t instanceof IOException && String.valueOf(t.getMessage()).contains("No space left")) {
        return Sentences.in(NotDone.class).say("disk-full");
      }
    }
    String detail = thrown.getMessage();
    String kind = thrown.getClass().getSimpleName();
    return Sentences.in(NotDone.class)
        .say("unexpected", detail == null ? kind : kind + ": " + detail);
  }
}

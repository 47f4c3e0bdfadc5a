package meterside.report;

import meterside.job.Sentences;

/** A report that was not written. The message is a sentence for the user. */
public final class ReportFailed extends RuntimeException {
  private static final long serialVersionUID = 1L;

  /** Fails with the sentence of this key in the room's bundle. */
  ReportFailed(Throwable cause, String key, Object... arguments) {
    super(Sentences.in(ReportFailed.class).say(key, arguments), cause);
  }
}

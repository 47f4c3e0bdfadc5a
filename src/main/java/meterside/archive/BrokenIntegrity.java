package meterside.archive;

/** A journal or an original is not what was written. */
public final class BrokenIntegrity extends ArchiveException {
  private static final long serialVersionUID = 1L;

  private final long line;

  BrokenIntegrity(long line, String key, Object... arguments) {
    super(3, say(key, arguments));
    this.line = line;
  }

  /** Number of the journal's line, from 1; 0 if it is not about a line. */
  public long line() {
    return line;
  }
}

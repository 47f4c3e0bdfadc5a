package meterside.archive;

/** A name that can't be the name of a job. */
public final class BadName extends ArchiveException {
  private static final long serialVersionUID = 1L;

  BadName(String key, Object... arguments) {
    super(2, say(key, arguments));
  }
}

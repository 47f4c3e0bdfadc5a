package meterside.archive;

/** A job or an archive of this name is there already. */
public final class AlreadyThere extends ArchiveException {
  private static final long serialVersionUID = 1L;

  AlreadyThere(String key, Object... arguments) {
    super(2, say(key, arguments));
  }
}

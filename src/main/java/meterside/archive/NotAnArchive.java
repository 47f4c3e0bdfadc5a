package meterside.archive;

/** The folder is not an archive, or can't become one. */
public final class NotAnArchive extends ArchiveException {
  private static final long serialVersionUID = 1L;

  NotAnArchive(String key, Object... arguments) {
    super(2, say(key, arguments));
  }
}

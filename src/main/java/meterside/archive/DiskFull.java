package meterside.archive;

/** The disk has no room left. Nothing that was acknowledged is lost. */
public final class DiskFull extends ArchiveException {
  private static final long serialVersionUID = 1L;

  DiskFull(Throwable cause, String key, Object... arguments) {
    super(4, say(key, arguments), cause);
  }
}

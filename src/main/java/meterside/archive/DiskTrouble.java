package meterside.archive;

/** A file of the archive could not be read or written, for another reason than a full disk. */
public final class DiskTrouble extends ArchiveException {
  private static final long serialVersionUID = 1L;

  DiskTrouble(Throwable cause, String key, Object... arguments) {
    super(4, say(key, arguments), cause);
  }
}

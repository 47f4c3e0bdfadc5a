package meterside.archive;

/** Written by a newer version of the program than this one; nothing is changed. */
public final class NewerFormat extends ArchiveException {
  private static final long serialVersionUID = 1L;

  NewerFormat(String key, Object... arguments) {
    super(4, say(key, arguments));
  }
}

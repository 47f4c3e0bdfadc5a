package meterside.archive;

/** The archive holds no job of this name. */
public final class NoSuchJob extends ArchiveException {
  private static final long serialVersionUID = 1L;

  NoSuchJob(String key, Object... arguments) {
    super(2, say(key, arguments));
  }
}

package meterside.archive;

/**
 * Something the archive could not do. The message is a sentence for the user: what happened, to
 * what, and what to do; {@link #exitCode} is what the command line ends with.
 */
public abstract sealed class ArchiveException extends RuntimeException
    permits AlreadyThere,
        BadName,
        BrokenIntegrity,
        DiskFull,
        DiskTrouble,
        InUse,
        NewerFormat,
        NoSuchJob,
        NotAnArchive {
  private static final long serialVersionUID = 1L;

  private final int exitCode;

  ArchiveException(int exitCode, String sentence) {
    super(sentence);
    this.exitCode = exitCode;
  }

  ArchiveException(int exitCode, String sentence, Throwable cause) {
    super(sentence, cause);
    this.exitCode = exitCode;
  }

  /** 2 wrong use, 3 integrity broken, 4 not done. */
  public final int exitCode() {
    return exitCode;
  }

  /** The sentence of a key in the room's bundle. */
  static String say(String key, Object... arguments) {
    return meterside.job.Sentences.in(ArchiveException.class).say(key, arguments);
  }
}

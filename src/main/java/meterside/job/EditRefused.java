package meterside.job;

/**
 * An edit that can't be applied to the job as it is, or a value that can't be. The message is a
 * sentence for the user.
 */
public final class EditRefused extends RuntimeException {
  private static final long serialVersionUID = 1L;

  /** Refuses with the sentence of this key in the room's bundle. */
  public EditRefused(String key, Object... arguments) {
    super(Sentences.in(EditRefused.class).say(key, arguments));
  }
}

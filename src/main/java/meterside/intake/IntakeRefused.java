package meterside.intake;

/** Wrong use: nothing was read and nothing changed. The message is a sentence for the user. */
public final class IntakeRefused extends RuntimeException {
  private static final long serialVersionUID = 1L;

  IntakeRefused(String sentence) {
    super(sentence);
  }
}

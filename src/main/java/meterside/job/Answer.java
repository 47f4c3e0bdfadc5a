package meterside.job;

import java.util.List;

/**
 * The one answer to a duty.
 *
 * @param kind which way it is answered
 * @param text the description, or the reason it was not inspected; null where the kind needs none
 * @param howKnown for a description, how it is known ("read from the label"); null if not said
 * @param finding number of the finding for {@link AnswerKind#FINDING}, else null
 * @param photos photos that show it, may be empty
 */
public record Answer(
    AnswerKind kind, String text, String howKnown, Integer finding, List<PhotoId> photos) {

  /** Checks that the kind has what it needs. */
  public Answer {
    photos = photos == null ? List.of() : List.copyOf(photos);
    boolean needsText = kind == AnswerKind.DESCRIPTION || kind == AnswerKind.NOT_INSPECTED;
    if (needsText && (text == null || text.isBlank())) {
      throw new EditRefused("answer.needs-text", kind.name());
    }
    if ((kind == AnswerKind.FINDING) != (finding != null)) {
      throw new EditRefused("answer.needs-finding", kind.name());
    }
  }

  /** An answer that needs only its kind. */
  public static Answer of(AnswerKind kind) {
    return new Answer(kind, null, null, null, List.of());
  }
}

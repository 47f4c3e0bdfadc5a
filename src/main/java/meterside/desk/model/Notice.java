package meterside.desk.model;

import java.util.List;

/**
 * A sentence in the window's foot.
 *
 * @param text what happened, to what, what was kept, what to do
 * @param trouble whether something did not work
 * @param details further sentences, one for each file, may be empty
 */
public record Notice(String text, boolean trouble, List<String> details) {
  /** Nothing to say. */
  public static final Notice NONE = new Notice("", false, List.of());

  /** Copies the list. */
  public Notice {
    details = List.copyOf(details);
  }

  /** Something that was done. */
  public static Notice said(String text) {
    return new Notice(text, false, List.of());
  }

  /** Something that did not work. */
  public static Notice trouble(String text) {
    return new Notice(text, true, List.of());
  }

  /** The same with one more sentence. */
  public Notice and(String sentence) {
    return new Notice(text + " " + sentence, trouble, details);
  }

  /** Whether there is nothing to say. */
  public boolean isEmpty() {
    return text.isEmpty();
  }
}

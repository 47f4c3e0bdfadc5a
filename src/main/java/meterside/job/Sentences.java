package meterside.job;

import java.util.ResourceBundle;
import java.util.concurrent.ConcurrentHashMap;

/**
 * The sentences a room says to the user: one bundle per room, {@code sentences.properties} beside
 * the room's classes. Arguments stand as {@code {0}} to {@code {9}} and are put in as they are, so
 * that an apostrophe is an apostrophe and a number is written as the caller wants it.
 */
public final class Sentences {
  private static final ConcurrentHashMap<String, Sentences> ROOMS = new ConcurrentHashMap<>();
  private final ResourceBundle bundle;

  private Sentences(String room, ClassLoader loader) {
    bundle = ResourceBundle.getBundle(room + ".sentences", java.util.Locale.ROOT, loader);
  }

  /** The sentences of the room a class lives in. */
  public static Sentences in(Class<?> member) {
    return ROOMS.computeIfAbsent(
        member.getPackageName(), room -> new Sentences(room, member.getClassLoader()));
  }

  /**
   * The sentence of a key.
   *
   * @throws java.util.MissingResourceException if the room has no such sentence
   */
  public String say(String key, Object... arguments) {
    String text = bundle.getString(key);
    StringBuilder out = new StringBuilder();
    for (int i = 0; i < text.length(); i++) {
      char c = text.charAt(i);
      boolean slot =
          c == '{'
              && i + 2 < text.length()
              && text.charAt(i + 2) == '}'
              && Character.isDigit(text.charAt(i + 1));
      if (slot && text.charAt(i + 1) - '0' < arguments.length) {
        out.append(arguments[text.charAt(i + 1) - '0']);
        i += 2;
      } else {
        out.append(c);
      }
    }
    return out.toString();
  }
}

package meterside.archive;

import java.nio.charset.StandardCharsets;
import java.util.Locale;
import java.util.regex.Pattern;

/** What a job may be called: its name is a folder's name, on any of the usual systems. */
final class JobName {
  private static final int LONGEST = 100;

  /** Below the 255 bytes of common file systems, with room for what is put before and after. */
  private static final int MOST_BYTES = 200;

  /** Names that Windows keeps for devices, whatever follows a dot. */
  private static final Pattern DEVICE =
      Pattern.compile("(con|prn|aux|nul|conin\\$|conout\\$|(com|lpt)[0-9¹²³])(\\..*)?");

  private static final String FORBIDDEN = "/\\:*?\"<>|";

  private JobName() {}

  /** Whether the name can be one. */
  static boolean good(String name) {
    return key(name) == null;
  }

  /**
   * Refuses a bad name.
   *
   * @throws BadName saying what is wrong with it
   */
  static void check(String name) {
    String key = key(name);
    if (key != null) {
      throw new BadName(key, shown(name));
    }
  }

  private static String key(String name) {
    if (name == null || name.isBlank()) {
      return "name.empty";
    }
    if (name.length() > LONGEST || name.getBytes(StandardCharsets.UTF_8).length > MOST_BYTES) {
      return "name.long";
    }
    boolean sign =
        name.codePoints()
            .anyMatch(
                c -> {
                  int kind = Character.getType(c);
                  return Character.isISOControl(c)
                      || FORBIDDEN.indexOf(c) >= 0
                      || kind == Character.SURROGATE
                      || kind == Character.FORMAT
                      || kind == Character.LINE_SEPARATOR
                      || kind == Character.PARAGRAPH_SEPARATOR;
                });
    if (sign) {
      return "name.sign";
    }
    char first = name.charAt(0);
    char last = name.charAt(name.length() - 1);
    if (first == '.' || last == '.' || first == ' ' || last == ' ') {
      return "name.ends";
    }
    // Windows drops blanks before a dot, so "con .txt" is a device too.
    if (DEVICE.matcher(name.toLowerCase(Locale.ROOT).replace(" ", "")).matches()) {
      return "name.device";
    }
    return null;
  }

  /** The name as it may be shown: no control characters, not endless. */
  private static String shown(String name) {
    if (name == null) {
      return "";
    }
    StringBuilder out = new StringBuilder();
    name.codePoints()
        .limit(LONGEST)
        .forEach(c -> out.appendCodePoint(Character.isISOControl(c) ? '\uFFFD' : c));
    return out.toString();
  }
}

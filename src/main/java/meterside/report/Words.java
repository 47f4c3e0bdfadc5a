package meterside.report;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import meterside.job.Clock;
import meterside.job.ClockBasis;
import meterside.job.Sentences;
import meterside.job.TimeBasis;
import meterside.job.TrueTime;

/** The room's own words, and how it writes dates, times and clock corrections. */
final class Words {
  private static final Sentences SAY = Sentences.in(Words.class);
  private static final DateTimeFormatter DAY =
      DateTimeFormatter.ofPattern("d MMMM uuuu", Locale.ENGLISH);
  private static final DateTimeFormatter TIME =
      DateTimeFormatter.ofPattern("HH:mm:ss", Locale.ROOT);
  private static final DateTimeFormatter SHORT = DateTimeFormatter.ofPattern("HH:mm", Locale.ROOT);
  private static final DateTimeFormatter FULL =
      DateTimeFormatter.ofPattern("uuuu-MM-dd HH:mm:ss", Locale.ROOT);

  private Words() {}

  /** The sentence of a key. */
  static String say(String key, Object... arguments) {
    return SAY.say(key, arguments);
  }

  /**
   * The sentence for a number: {@code key.one} or {@code key.many}; the number is the last
   * argument.
   */
  static String count(String key, int n, Object... more) {
    if (n == 1) {
      return SAY.say(key + ".one", more);
    }
    Object[] all = Arrays.copyOf(more, more.length + 1);
    all[more.length] = n;
    return SAY.say(key + ".many", all);
  }

  /** The sentences {@code prefix.1}, {@code prefix.2} and so on, n of them. */
  static List<String> list(String prefix, int n) {
    List<String> out = new ArrayList<>(n);
    for (int i = 1; i <= n; i++) {
      out.add(SAY.say(prefix + "." + i));
    }
    return out;
  }

  /** "12 May 2026". */
  static String day(LocalDate date) {
    return DAY.format(date);
  }

  /** "12 May 2026, 18:40". */
  static String dayAndTime(Instant at, ZoneId zone) {
    return DAY.format(at.atZone(zone)) + ", " + SHORT.format(at.atZone(zone));
  }

  /** "10:07:42". */
  static String time(Instant at, ZoneId zone) {
    return TIME.format(at.atZone(zone));
  }

  /** "10:07". */
  static String minute(Instant at, ZoneId zone) {
    return SHORT.format(at.atZone(zone));
  }

  /** "2026-05-12 10:07:42 -04:00". */
  static String full(Instant at, ZoneId zone) {
    return FULL.format(at.atZone(zone)) + " " + zone.getRules().getOffset(at).getId();
  }

  /** How a time is known, with what was odd about it. */
  static String basis(TrueTime time) {
    String text = say("basis." + time.basis());
    if (time.repeated()) {
      text += "; " + say("basis.repeated");
    }
    if (time.shifted()) {
      text += "; " + say("basis.shifted");
    }
    return text;
  }

  /** What was done about a camera's clock, for a time of this basis. */
  static String correction(Clock clock, TimeBasis basis) {
    boolean cameraTime = basis == TimeBasis.CAMERA || basis == TimeBasis.CAMERA_WITH_OFFSET;
    if (!cameraTime) {
      return "";
    }
    if (clock.basis() == ClockBasis.ASSUMED && clock.offsetMillis() == 0) {
      return say("clock.ASSUMED");
    }
    String how = say("clock.basis." + clock.basis());
    if (clock.offsetMillis() == 0) {
      return say("clock.zero", how);
    }
    // A clock that is fast has a positive offset and is set back.
    return say(
        clock.offsetMillis() > 0 ? "clock.back" : "clock.forward",
        duration(Math.abs(clock.offsetMillis())),
        how);
  }

  /** "1 h 2 min 3.25 s", without the parts that are zero. */
  static String duration(long millis) {
    StringBuilder out = new StringBuilder();
    long days = millis / 86_400_000;
    long hours = millis / 3_600_000 % 24;
    long minutes = millis / 60_000 % 60;
    long rest = millis % 60_000;
    if (days > 0) {
      out.append(days).append(" d ");
    }
    if (hours > 0) {
      out.append(hours).append(" h ");
    }
    if (minutes > 0) {
      out.append(minutes).append(" min ");
    }
    if (rest > 0 || out.length() == 0) {
      String fraction =
          rest % 1000 == 0
              ? ""
              : String.format(Locale.ROOT, ".%03d", rest % 1000).replaceFirst("0+$", "");
      out.append(rest / 1000).append(fraction).append(" s");
    }
    return out.toString().strip();
  }

  /** A key of the trade or of a job fact as words: "panel-count" is "Panel count". */
  static String humanize(String key) {
    String text = key.replace('-', ' ').replace('_', ' ').strip();
    return text.isEmpty() ? key : capital(text);
  }

  /** The text with a capital first letter: terms stand alone here, not in a sentence. */
  static String capital(String text) {
    if (text.isEmpty()) {
      return text;
    }
    int first = text.offsetByCodePoints(0, 1);
    return text.substring(0, first).toUpperCase(Locale.ROOT) + text.substring(first);
  }
}

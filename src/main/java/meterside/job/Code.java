package meterside.job;

import java.time.DateTimeException;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.Locale;
import java.util.Optional;

/**
 * What a code says that is photographed on site. Written as text inside a QR code (ISO/IEC 18004):
 * {@code meterside:job:NAME}, {@code meterside:stop:ID}, {@code meterside:clock:TIME}.
 *
 * @param kind what it is for
 * @param value name of the job, written form of the stop, or moment as ISO 8601 in UTC with
 *     milliseconds
 */
public record Code(Kind kind, String value) {
  private static final String PREFIX = "meterside:";
  private static final int LONGEST = 200;

  /** What a code is for. */
  public enum Kind {
    /** Names the house: photographed first by each camera, it splits a card. */
    JOB,
    /** Names a stop: the photo lies there. */
    STOP,
    /** Carries the true time at which the screen showed it. */
    CLOCK
  }

  /** Refuses an empty or overlong value, and a clock code without a moment. */
  public Code {
    value = value.strip();
    if (value.isEmpty() || value.length() > LONGEST) {
      throw new IllegalArgumentException("a code needs a value of 1 to 200 characters");
    }
    if (kind == Kind.CLOCK) {
      try {
        Instant.parse(value);
      } catch (DateTimeException e) {
        throw new IllegalArgumentException("not a moment: " + value, e);
      }
    }
  }

  /** The code that names a house by its job's name. */
  public static Code job(String name) {
    return new Code(Kind.JOB, name);
  }

  /** The code of a stop. */
  public static Code stop(StopKey at) {
    return new Code(Kind.STOP, at.toString());
  }

  /** The code that carries a moment, to the millisecond. */
  public static Code clock(Instant now) {
    return new Code(Kind.CLOCK, now.truncatedTo(ChronoUnit.MILLIS).toString());
  }

  /** The text inside the QR code. */
  public String text() {
    return PREFIX + kind.name().toLowerCase(Locale.ROOT) + ":" + value;
  }

  /** The moment of a clock code; empty for the others. */
  public Optional<Instant> moment() {
    return kind == Kind.CLOCK ? Optional.of(Instant.parse(value)) : Optional.empty();
  }

  /** The stop of a stop code; empty for the others. */
  public Optional<StopKey> at() {
    return kind == Kind.STOP ? Optional.of(StopKey.parse(value)) : Optional.empty();
  }

  /** Reads the text of a code; empty for codes of anybody else. */
  public static Optional<Code> parse(String text) {
    String t = text.strip();
    if (!t.startsWith(PREFIX)) {
      return Optional.empty();
    }
    String rest = t.substring(PREFIX.length());
    for (Kind kind : Kind.values()) {
      String head = kind.name().toLowerCase(Locale.ROOT) + ":";
      if (rest.startsWith(head)) {
        try {
          return Optional.of(new Code(kind, rest.substring(head.length())));
        } catch (IllegalArgumentException e) {
          return Optional.empty();
        }
      }
    }
    return Optional.empty();
  }
}

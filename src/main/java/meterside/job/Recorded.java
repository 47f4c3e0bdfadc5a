package meterside.job;

import java.time.DateTimeException;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.LocalTime;
import java.time.ZoneOffset;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * What a camera wrote about the time, kept word for word. Instants are derived later, with the
 * job's zone and the camera's clock, and both can be corrected; these texts never are.
 *
 * <p>Tags (CIPA DC-008): DateTimeOriginal 0x9003, DateTimeDigitized 0x9004, SubSecTimeOriginal
 * 0x9291 (decimal fraction digits: "05" is .05), OffsetTimeOriginal 0x9011, GPSDateStamp 0x1d and
 * GPSTimeStamp 0x07 (UTC of the fix, which may be older than the photo). DateTime 0x0132 changes
 * when a file is edited and is not kept.
 *
 * @param original text of DateTimeOriginal, or null
 * @param digitized text of DateTimeDigitized, or null
 * @param subSecond text of SubSecTimeOriginal, or null
 * @param offset text of OffsetTimeOriginal, or null
 * @param gpsDate text of GPSDateStamp, or null
 * @param gpsTime the three numbers of GPSTimeStamp as {@code h:m:s} with decimals, or null
 * @param fileTime when the source file was last modified; null if unknown. It says at most when it
 *     was copied
 */
public record Recorded(
    String original,
    String digitized,
    String subSecond,
    String offset,
    String gpsDate,
    String gpsTime,
    Instant fileTime) {

  /** Nothing recorded at all. */
  public static final Recorded NONE = new Recorded(null, null, null, null, null, null, null);

  private static final Pattern WALL =
      Pattern.compile("(\\d{4})[:\\-/](\\d{2})[:\\-/](\\d{2})[ T](\\d{2}):(\\d{2}):(\\d{2}).*");
  private static final Pattern DATE = Pattern.compile("(\\d{4})[:\\-](\\d{2})[:\\-](\\d{2})");
  private static final Pattern CLOCK = Pattern.compile("([0-9.]+):([0-9.]+):([0-9.]+)");

  /**
   * The camera's local date and time, with its fraction of a second: DateTimeOriginal, or else
   * DateTimeDigitized. Blank and zero dates ("0000:00:00 00:00:00") are no time.
   */
  public Optional<LocalDateTime> wall() {
    Optional<LocalDateTime> first = parseWall(original);
    Optional<LocalDateTime> base = first.isPresent() ? first : parseWall(digitized);
    return base.map(t -> t.withNano(first.isPresent() ? nanos() : 0));
  }

  /** Whether {@link #wall} comes from DateTimeOriginal and not from DateTimeDigitized. */
  public boolean wallIsOriginal() {
    return parseWall(original).isPresent();
  }

  /**
   * What the camera wrote, in ISO 8601 form with as many fraction digits as it wrote, and its
   * offset only if it wrote one.
   */
  public Optional<String> wallText() {
    return wall()
        .map(
            t -> {
              String text = t.withNano(0).toString();
              if (text.length() == 16) {
                text += ":00"; // LocalDateTime leaves out zero seconds
              }
              String digits = wallIsOriginal() ? fractionDigits() : "";
              return text
                  + (digits.isEmpty() ? "" : "." + digits)
                  + zoneOffset().map(ZoneOffset::getId).orElse("");
            });
  }

  /** The offset from UTC that the camera wrote, if it wrote a possible one. */
  public Optional<ZoneOffset> zoneOffset() {
    if (offset == null || offset.isBlank()) {
      return Optional.empty();
    }
    try {
      return Optional.of(ZoneOffset.of(offset.strip()));
    } catch (DateTimeException e) {
      return Optional.empty();
    }
  }

  /** The time of the GPS fix, UTC, if date and time are both there and possible. */
  public Optional<Instant> gps() {
    if (gpsDate == null || gpsTime == null) {
      return Optional.empty();
    }
    Matcher date = DATE.matcher(gpsDate.strip());
    Matcher time = CLOCK.matcher(gpsTime.strip());
    if (!date.matches() || !time.matches()) {
      return Optional.empty();
    }
    try {
      LocalDate day =
          LocalDate.of(
              Integer.parseInt(date.group(1)),
              Integer.parseInt(date.group(2)),
              Integer.parseInt(date.group(3)));
      double h = Double.parseDouble(time.group(1));
      double m = Double.parseDouble(time.group(2));
      double s = Double.parseDouble(time.group(3));
      boolean possible = h >= 0 && h < 24 && m >= 0 && m < 60 && s >= 0 && s < 61;
      if (day.getYear() < 1980 || !possible) {
        return Optional.empty(); // GPS time begins in 1980
      }
      long nanos = Math.round((h * 3600 + m * 60 + s) * 1e3) * 1_000_000L;
      return Optional.of(day.atStartOfDay().plusNanos(nanos).toInstant(ZoneOffset.UTC));
    } catch (DateTimeException | NumberFormatException e) {
      return Optional.empty();
    }
  }

  /**
   * Whether the recorded day is one that cameras start from after an empty battery (1 January of
   * 1970, 1980, 1990, or 2000 to 2025), so that the clock was probably never set.
   */
  public boolean looksLikeFactoryDate() {
    return wall()
        .map(
            t ->
                t.getDayOfYear() == 1
                    && (t.getYear() < 2000 || t.getYear() == 2000 || t.getHour() == 0)
                    && t.getYear() <= 2025)
        .orElse(false);
  }

  private int nanos() {
    String digits = fractionDigits();
    return digits.isEmpty() ? 0 : Integer.parseInt((digits + "00000000").substring(0, 9));
  }

  private String fractionDigits() {
    if (subSecond == null) {
      return "";
    }
    String digits = subSecond.strip();
    if (!digits.matches("\\d{1,12}")) {
      return "";
    }
    return digits.length() > 9 ? digits.substring(0, 9) : digits;
  }

  private static Optional<LocalDateTime> parseWall(String text) {
    if (text == null) {
      return Optional.empty();
    }
    Matcher m = WALL.matcher(text.strip());
    if (!m.matches() || m.group(1).equals("0000")) {
      return Optional.empty();
    }
    try {
      return Optional.of(
          LocalDateTime.of(
              LocalDate.of(
                  Integer.parseInt(m.group(1)),
                  Integer.parseInt(m.group(2)),
                  Integer.parseInt(m.group(3))),
              LocalTime.of(
                  Integer.parseInt(m.group(4)),
                  Integer.parseInt(m.group(5)),
                  Math.min(59, Integer.parseInt(m.group(6))))));
    } catch (DateTimeException e) {
      return Optional.empty();
    }
  }
}

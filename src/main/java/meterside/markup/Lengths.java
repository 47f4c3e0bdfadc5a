package meterside.markup;

import java.util.Locale;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import meterside.job.Job;
import meterside.job.Measure;
import meterside.job.Sentences;

/**
 * Writes a measured length with its error band, in feet and inches or in metres. No more is written
 * than is known: the length is rounded to a step that suits the band, and the band, with what that
 * rounding adds, up to whole steps.
 */
public final class Lengths {
  /** The job fact that says in which units lengths are shown. */
  public static final String UNITS = "units";

  /** Its value for metres; anything else, or none, is feet and inches. */
  public static final String METRES = "metres";

  private static final double[] INCH_STEPS = {.25, .5, 1, 2, 3, 6, 12};
  private static final double[] METRE_STEPS = {.005, .01, .02, .05, .1, .2, .5};

  private static final String DECIMAL = "(\\d{1,6}(?:\\.\\d{1,6})?)";

  private static final Pattern IMPERIAL =
      Pattern.compile(
          "(?i)(?:"
              + DECIMAL
              + "\\s*(?:ft|feet|foot|'))?\\s*"
              + "(?:"
              + DECIMAL
              + "(?:[\\s-]+(\\d{1,3})/(\\d{1,3}))?\\s*(?:in|inch|inches|\"))?");

  private static final Pattern FRACTION =
      Pattern.compile("(?i)(\\d{1,3})/(\\d{1,3})\\s*(?:in|inch|inches|\")");

  private static final Pattern METRIC = Pattern.compile("(?i)" + DECIMAL + "\\s*(m|cm|mm)?");

  private Lengths() {}

  /** For example "about 6 ft 4 1/2 in, give or take 1/2 in"; the reason if it was refused. */
  public static String feetAndInches(Measured m) {
    return m.refused() != null
        ? m.refused().sentence()
        : feetAndInches("length.about", m.metres(), m.plusMinus());
  }

  /**
   * A kept result in short, for a plate: "about 6 ft 4 1/2 in ± 1/2 in", or "about 1.94 m ± 0.02
   * m".
   */
  public static String brief(Measure m, boolean inMetres) {
    return inMetres
        ? metres("length.brief", m.metres(), m.plusMinus())
        : feetAndInches("length.brief", m.metres(), m.plusMinus());
  }

  /** Whether a job's lengths are shown in metres: its fact {@value #UNITS} says so. */
  public static boolean inMetres(Job job) {
    return METRES.equals(job.facts().get(UNITS));
  }

  /**
   * Reads a length as people write it: {@code 3 ft 6 1/2 in}, {@code 7.5ft}, {@code 36in}, {@code
   * 2'6"}, {@code 90cm}, {@code 0.9 m}; metres where no unit is given.
   *
   * @return metres above 0; empty if it is no length
   */
  public static Optional<Double> read(String text) {
    Matcher m = IMPERIAL.matcher(text.strip());
    if (!text.isBlank() && m.matches() && (m.group(1) != null || m.group(2) != null)) {
      double inches = number(m.group(1)) * 12 + number(m.group(2));
      if (m.group(3) != null && number(m.group(4)) > 0) {
        inches += number(m.group(3)) / number(m.group(4));
      }
      return length(inches * Measuring.INCH);
    }
    m = FRACTION.matcher(text.strip());
    if (m.matches() && number(m.group(2)) > 0) {
      return length(number(m.group(1)) / number(m.group(2)) * Measuring.INCH);
    }
    m = METRIC.matcher(text.strip());
    if (!m.matches()) {
      return Optional.empty();
    }
    double unit =
        switch (m.group(2) == null ? "m" : m.group(2).toLowerCase(Locale.ROOT)) {
          case "mm" -> 0.001;
          case "cm" -> 0.01;
          default -> 1;
        };
    return length(number(m.group(1)) * unit);
  }

  private static Optional<Double> length(double metres) {
    return metres > 0 && Double.isFinite(metres) ? Optional.of(metres) : Optional.empty();
  }

  private static double number(String text) {
    return text == null ? 0 : Double.parseDouble(text);
  }

  private static String feetAndInches(String key, double metres, double plusMinus) {
    double band = plusMinus / Measuring.INCH;
    double step = step(band, INCH_STEPS);
    double exact = metres / Measuring.INCH;
    double value = Math.round(exact / step) * step;
    return say(key, imperial(value), imperial(whole(band + Math.abs(value - exact), step)));
  }

  /** For example "about 1.94 m, give or take 0.02 m"; the reason if it was refused. */
  public static String metres(Measured m) {
    return m.refused() != null
        ? m.refused().sentence()
        : metres("length.about", m.metres(), m.plusMinus());
  }

  private static String metres(String key, double metres, double plusMinus) {
    double step = step(plusMinus, METRE_STEPS);
    String form = step < .01 ? "%.3f m" : step < .1 ? "%.2f m" : "%.1f m";
    double value = Math.round(metres / step) * step;
    double band = whole(plusMinus + Math.abs(value - metres), step);
    return say(
        key, String.format(Locale.ROOT, form, value), String.format(Locale.ROOT, form, band));
  }

  private static String say(String key, String value, String band) {
    return Sentences.in(Lengths.class).say(key, value, band);
  }

  /** Rounded up to whole steps. */
  private static double whole(double band, double step) {
    return Math.ceil(band / step - 1e-6) * step;
  }

  /** The finest step that is not finer than half the band. */
  private static double step(double band, double[] steps) {
    for (double s : steps) {
      if (s >= band / 2) {
        return s;
      }
    }
    return steps[steps.length - 1];
  }

  private static String imperial(double inches) {
    long quarters = Math.round(inches * 4);
    long feet = quarters / 48;
    long whole = quarters % 48 / 4;
    String fraction = new String[] {"", "1/4", "1/2", "3/4"}[(int) (quarters % 4)];
    String in = whole > 0 || fraction.isEmpty() ? Long.toString(whole) : "";
    in += in.isEmpty() || fraction.isEmpty() ? fraction : " " + fraction;
    boolean even = in.equals("0") && feet > 0;
    return (feet > 0 ? feet + " ft" : "")
        + (feet > 0 && !even ? " " : "")
        + (even ? "" : in + " in");
  }
}

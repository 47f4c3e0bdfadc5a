package meterside.report;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.util.List;
import java.util.Locale;
import org.apache.fontbox.ttf.CmapLookup;
import org.apache.fontbox.ttf.TTFParser;
import org.apache.fontbox.ttf.TrueTypeFont;
import org.apache.pdfbox.io.RandomAccessReadBuffer;

/**
 * The fonts of the report and what they can show. Roboto comes first; DejaVu Sans stands in for
 * what Roboto lacks (Hebrew, Arabic, arrows, symbols). A character that neither has is written as
 * {@code [U+1F600]}, never dropped.
 */
final class Glyphs {
  /**
   * A font file on the class path.
   *
   * @param family family name used by the style sheets
   * @param weight CSS weight, 400 or 700
   * @param resource path on the class path
   */
  record FontFile(String family, int weight, String resource) {
    /** Opens the font file. */
    InputStream stream() {
      InputStream in = Glyphs.class.getResourceAsStream(resource);
      if (in == null) {
        throw new IllegalStateException("font missing from the class path: " + resource);
      }
      return in;
    }

    /** All bytes of the font file. */
    byte[] bytes() {
      try (InputStream in = stream()) {
        return in.readAllBytes();
      } catch (IOException e) {
        throw new UncheckedIOException(e);
      }
    }
  }

  private static final String ROBOTO_AT = "/com/formdev/flatlaf/fonts/roboto/Roboto-";
  private static final String DEJAVU_AT = "/net/sf/jasperreports/fonts/dejavu/DejaVuSans";

  static final FontFile ROBOTO = new FontFile("Roboto", 400, ROBOTO_AT + "Regular.ttf");
  static final FontFile ROBOTO_BOLD = new FontFile("Roboto", 700, ROBOTO_AT + "Bold.ttf");
  static final FontFile DEJAVU = new FontFile("DejaVu Sans", 400, DEJAVU_AT + ".ttf");
  static final FontFile DEJAVU_BOLD = new FontFile("DejaVu Sans", 700, DEJAVU_AT + "-Bold.ttf");

  /** Read once; only the character maps are kept. */
  private static final class Maps {
    private static final List<CmapLookup> ROBOTO_MAPS = List.of(map(ROBOTO), map(ROBOTO_BOLD));
    private static final List<CmapLookup> DEJAVU_MAPS = List.of(map(DEJAVU), map(DEJAVU_BOLD));

    private static CmapLookup map(FontFile file) {
      try (TrueTypeFont font = new TTFParser().parse(new RandomAccessReadBuffer(file.bytes()))) {
        return font.getUnicodeCmapLookup();
      } catch (IOException e) {
        throw new UncheckedIOException(e);
      }
    }
  }

  private Glyphs() {}

  /** The text with every character that neither font can show written as {@code [U+1F600]}. */
  static String printable(String text) {
    return replaced(text, true);
  }

  /** The same for text that only Roboto shows: the plates of callouts. */
  static String printableByRoboto(String text) {
    return replaced(text, false);
  }

  private static String replaced(String text, boolean withFallback) {
    StringBuilder out = new StringBuilder(text.length());
    text.codePoints()
        .forEach(
            c -> {
              if (c == '\n' || c == '\r' || c == '\t' || shows(c, withFallback)) {
                out.appendCodePoint(c);
              } else {
                out.append(bracketed(c));
              }
            });
    return out.toString();
  }

  private static boolean shows(int c, boolean withFallback) {
    int type = Character.getType(c);
    // Invisible characters can turn the order of a line round or hide; they are shown as numbers.
    if (type == Character.FORMAT || type == Character.CONTROL || type == Character.SURROGATE) {
      return false;
    }
    return has(Maps.ROBOTO_MAPS, c) || (withFallback && has(Maps.DEJAVU_MAPS, c));
  }

  private static boolean has(List<CmapLookup> maps, int c) {
    return maps.stream().allMatch(m -> m.getGlyphId(c) != 0);
  }

  /** "[U+1F600]". */
  static String bracketed(int codePoint) {
    return String.format(Locale.ROOT, "[U+%04X]", codePoint);
  }
}

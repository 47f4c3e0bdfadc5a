package meterside.markup;

import java.awt.geom.AffineTransform;
import java.awt.geom.GeneralPath;
import java.awt.geom.Path2D;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.text.Normalizer;
import java.util.HashMap;
import java.util.Locale;
import java.util.Map;
import org.apache.fontbox.ttf.CmapLookup;
import org.apache.fontbox.ttf.GlyphData;
import org.apache.fontbox.ttf.TTFParser;
import org.apache.fontbox.ttf.TrueTypeFont;
import org.apache.pdfbox.io.RandomAccessReadBuffer;

/**
 * Sets text in the program's own copy of Roboto: cleans it, measures it, shortens it and gives its
 * shape. Advances and outlines come straight from the font file, with no kerning and no hinting, so
 * that text is as wide on every system and at every size, and no font of the system is needed.
 *
 * <p>What becomes of awkward text: it is composed (Unicode NFC), control and invisible format
 * characters go, any run of white space becomes one space, and a character that Roboto lacks is
 * written as its number: {@code [U+1F600]}. What is too long ends in an ellipsis, between words
 * where that costs little.
 *
 * <p>Thread-safe.
 */
final class Lettering {
  private static final String FOLDER = "/com/formdev/flatlaf/fonts/roboto/";
  private static final String ELLIPSIS = "\u2026";

  /** More than any plate can show; what follows is not even looked at. */
  private static final int LONGEST = 400;

  private static final Lettering REGULAR = new Lettering("Roboto-Regular.ttf");
  private static final Lettering BOLD = new Lettering("Roboto-Bold.ttf");

  private record Glyph(double advance, GeneralPath path) {}

  private final TrueTypeFont font;
  private final CmapLookup characters;
  private final double unitsPerEm;
  private final Map<Integer, Glyph> glyphs = new HashMap<>();

  private Lettering(String file) {
    try (InputStream in = Lettering.class.getResourceAsStream(FOLDER + file)) {
      if (in == null) {
        throw new IllegalStateException("the program's font is missing: " + file);
      }
      font = new TTFParser().parse(new RandomAccessReadBuffer(in.readAllBytes()));
      characters = font.getUnicodeCmapLookup();
      unitsPerEm = font.getUnitsPerEm();
    } catch (IOException e) {
      throw new UncheckedIOException("the program's font can't be read: " + file, e);
    }
  }

  /** Roboto Regular or Bold. */
  static Lettering of(boolean bold) {
    return bold ? BOLD : REGULAR;
  }

  /** Cleans text for a plate; null and blank become empty. Not shortened. */
  static String clean(String raw) {
    if (raw == null) {
      return "";
    }
    StringBuilder out = new StringBuilder();
    boolean space = false;
    for (int c : Normalizer.normalize(raw, Normalizer.Form.NFC).codePoints().toArray()) {
      if (Character.isWhitespace(c) || Character.isSpaceChar(c)) {
        space = out.length() > 0;
        continue;
      }
      int type = Character.getType(c);
      boolean invisible =
          type == Character.CONTROL
              || type == Character.FORMAT
              || c >= 0xFE00 && c <= 0xFE0F // variation selectors
              || c >= 0xE0000 && c <= 0xE0FFF; // tags
      if (invisible) {
        continue;
      }
      if (space) {
        out.append(' ');
        space = false;
      }
      if (REGULAR.has(c) && BOLD.has(c)) {
        out.appendCodePoint(c);
      } else {
        out.append(String.format(Locale.ROOT, "[U+%04X]", c));
      }
    }
    return out.toString();
  }

  /** Width of text at a size, in the unit of the size. */
  double width(String text, double size) {
    double sum = 0;
    for (int i = 0; i < text.length(); ) {
      int c = text.codePointAt(i);
      sum += glyph(c).advance();
      i += Character.charCount(c);
    }
    return sum * size;
  }

  /** The text, or as much of it as fits with an ellipsis after it; empty if not even that fits. */
  String shorten(String text, double size, double room) {
    String head = text.length() > LONGEST ? text.substring(0, LONGEST) : text;
    if (head.length() == text.length() && width(text, size) <= room) {
      return text;
    }
    double left = room - width(ELLIPSIS, size);
    if (left < 0) {
      return "";
    }
    int end = 0;
    double used = 0;
    while (end < head.length()) {
      int c = head.codePointAt(end);
      double next = used + glyph(c).advance() * size;
      if (next > left) {
        break;
      }
      used = next;
      end += Character.charCount(c);
    }
    end = outsideBrackets(head, end);
    int word = head.lastIndexOf(' ', end);
    boolean between = end < head.length() && head.charAt(end) == ' ';
    if (!between && word > end * 2 / 3) {
      end = word;
    }
    String kept = head.substring(0, end).stripTrailing().replaceFirst("[,;:.\\-]+$", "");
    return kept + ELLIPSIS;
  }

  /** The shape of a line of text at a size, its baseline's left end at the origin, y down. */
  Path2D outline(String text, double size) {
    Path2D out = new Path2D.Double(Path2D.WIND_NON_ZERO);
    double x = 0;
    double scale = size / unitsPerEm;
    for (int i = 0; i < text.length(); ) {
      int c = text.codePointAt(i);
      Glyph g = glyph(c);
      AffineTransform at = new AffineTransform(scale, 0, 0, -scale, x, 0);
      out.append(g.path().getPathIterator(at), false);
      x += g.advance() * size;
      i += Character.charCount(c);
    }
    return out;
  }

  /** Moves a cut out of a "[U+1F600]". */
  private static int outsideBrackets(String text, int end) {
    int open = text.lastIndexOf("[U+", end - 1);
    if (open < 0) {
      return end;
    }
    int close = text.indexOf(']', open);
    return close < 0 || close >= end ? open : end;
  }

  private boolean has(int codePoint) {
    return characters.getGlyphId(codePoint) != 0;
  }

  private synchronized Glyph glyph(int codePoint) {
    return glyphs.computeIfAbsent(codePoint, this::read);
  }

  private Glyph read(int codePoint) {
    try {
      int id = characters.getGlyphId(codePoint);
      GlyphData data = font.getGlyph().getGlyph(id);
      GeneralPath path = data == null ? new GeneralPath() : data.getPath();
      return new Glyph(font.getAdvanceWidth(id) / unitsPerEm, path);
    } catch (IOException e) {
      throw new UncheckedIOException("the program's font can't be read", e);
    }
  }
}

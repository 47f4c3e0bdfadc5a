package meterside.report;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.function.UnaryOperator;

/**
 * Writes a page that is HTML and well-formed XML at once. Text and attribute values are always
 * escaped; only {@link #trusted} writes markup as it is. Characters that XML can't hold are written
 * as {@code [U+0007]}, so nothing disappears.
 */
final class Html {
  private final Appendable out;
  private final UnaryOperator<String> letters;
  private final Deque<String> open = new ArrayDeque<>();

  /**
   * Writes to {@code out}.
   *
   * @param letters what is done to every text before it is escaped
   */
  Html(Appendable out, UnaryOperator<String> letters) {
    this.out = out;
    this.letters = letters;
  }

  /**
   * Opens an element.
   *
   * @param attributes names and values in turn; one whose value is null is left out
   */
  Html open(String tag, String... attributes) {
    start(tag, attributes);
    put(">");
    open.push(tag);
    return this;
  }

  /** Closes the element opened last. */
  Html close() {
    put("</");
    put(open.pop());
    put(">");
    return this;
  }

  /** Closes the element opened last, which is written on lines of its own. */
  Html closeLine() {
    close();
    put("\n");
    return this;
  }

  /** Writes an element that has no content ({@code img}, {@code meta}, {@code br}). */
  Html single(String tag, String... attributes) {
    start(tag, attributes);
    put("/>");
    return this;
  }

  /** Writes an element that holds only text. */
  Html leaf(String tag, String text, String... attributes) {
    return open(tag, attributes).text(text).close();
  }

  /** Writes text; its line breaks stay. */
  Html text(String text) {
    String[] lines = text.strip().split("\\R", -1);
    boolean ownSpace = lines.length == 1;
    for (int i = 0; i < lines.length; i++) {
      if (i > 0) {
        put("<br/>");
      }
      put(escape(letters.apply(ownSpace ? text : lines[i])));
    }
    return this;
  }

  /** Writes markup of our own making as it is. */
  Html trusted(String markup) {
    put(markup);
    return this;
  }

  private void start(String tag, String... attributes) {
    put("<");
    put(tag);
    for (int i = 0; i < attributes.length; i += 2) {
      if (attributes[i + 1] != null) {
        put(" ");
        put(attributes[i]);
        put("=\"");
        put(escape(letters.apply(attributes[i + 1])));
        put("\"");
      }
    }
  }

  private void put(String text) {
    try {
      out.append(text);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  /** Escapes a text for element content and for attribute values in double quotes. */
  static String escape(String text) {
    StringBuilder b = new StringBuilder(text.length() + 16);
    text.codePoints()
        .forEach(
            c -> {
              switch (c) {
                case '&' -> b.append("&amp;");
                case '<' -> b.append("&lt;");
                case '>' -> b.append("&gt;");
                case '"' -> b.append("&quot;");
                case '\'' -> b.append("&#39;");
                default -> {
                  if (inXml(c)) {
                    b.appendCodePoint(c);
                  } else {
                    b.append(Glyphs.bracketed(c));
                  }
                }
              }
            });
    return b.toString();
  }

  /** Whether XML 1.0 allows the character (production Char), control characters of C1 aside. */
  private static boolean inXml(int c) {
    return c == '\t'
        || c == '\n'
        || c == '\r'
        || (c >= 0x20 && c < 0x7f)
        || (c >= 0xa0 && c <= 0xd7ff)
        || (c >= 0xe000 && c <= 0xfffd)
        || (c >= 0x10000 && c <= 0x10ffff);
  }
}

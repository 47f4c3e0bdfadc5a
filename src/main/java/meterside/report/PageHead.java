package meterside.report;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.Base64;
import java.util.List;
import java.util.Locale;

/** The head of the page: title, style, bookmarks, and the policy that forbids loading anything. */
final class PageHead extends PagePart {
  PageHead(PagePart page) {
    super(page);
  }

  void write() {
    String title =
        say(key("title.document"), content.job().site(), Words.day(content.job().header().date()));
    html.open("head").trusted("\n");
    if (print()) {
      html.leaf("title", title).trusted("\n");
      html.single("meta", "name", "subject", "content", say("page.footer"));
      html.single("meta", "name", "description", "content", say("page.footer"));
      html.single("meta", "name", "keywords", "content", say("page.footer"));
      String author = content.options().author();
      html.single("meta", "name", "author", "content", author == null ? "" : author.strip());
      html.open("style").trusted(css("print.css")).trusted(furniture()).closeLine();
      bookmarks();
    } else {
      String css = css("screen.css") + fontFaces();
      html.single("meta", "charset", "utf-8").trusted("\n");
      html.single(
          "meta",
          "http-equiv",
          "Content-Security-Policy",
          "content",
          "default-src 'none'; img-src data:; font-src data:; style-src 'sha256-"
              + sha256(css)
              + "'; base-uri 'none'; form-action 'none'");
      html.single("meta", "name", "viewport", "content", "width=device-width, initial-scale=1");
      html.single("meta", "name", "referrer", "content", "no-referrer");
      html.leaf("title", title).trusted("\n");
      html.open("style").trusted(css).closeLine();
    }
    html.closeLine();
  }

  private void bookmarks() {
    html.open("bookmarks");
    for (Section section : sections()) {
      html.open("bookmark", "name", section.title(), "href", "#" + section.id());
      if (section.id().equals("findings")) {
        for (Content.Found f : content.findings()) {
          bookmark(f.finding().label() + " " + f.where(), "finding-" + f.finding().number());
        }
      } else if (section.id().equals("walk")) {
        for (int i = 0; i < content.walk().size(); i++) {
          bookmark(content.walk().get(i).title(), "stop-" + (i + 1));
        }
      }
      html.close();
    }
    html.close();
  }

  private void bookmark(String name, String id) {
    html.open("bookmark", "name", name, "href", "#" + id).close();
  }

  /** Footer and header of the printed pages. */
  private String furniture() {
    String site = cssString(Glyphs.printable(line(content.job().site())));
    String left =
        "content: "
            + site
            + "; font-family: Roboto; font-size: 8pt; color: #5D6B76;"
            + " vertical-align: top; padding-top: 10pt;";
    String draft =
        content.options().draft()
            ? "@top-right { content: "
                + cssString(say("draft.word"))
                + "; font-weight: 700; color: #9C2F2A; letter-spacing: 1pt; font-size: 9pt; }"
            : "";
    return "@page { size: "
        + content.options().paper().css()
        + "; @bottom-left { "
        + left
        + " } "
        + draft
        + " }\n";
  }

  private static String line(String text) {
    String one = text.strip().replaceAll("\\s+", " ");
    int limit = one.offsetByCodePoints(0, Math.min(80, one.codePointCount(0, one.length())));
    return limit == one.length() ? one : one.substring(0, limit) + " …";
  }

  /** A CSS string; all but ASCII letters and digits as escapes, so it can't be left. */
  static String cssString(String text) {
    StringBuilder b = new StringBuilder("\"");
    text.codePoints()
        .forEach(
            c -> {
              boolean plain =
                  (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z');
              if (plain) {
                b.appendCodePoint(c);
              } else {
                b.append(String.format(Locale.ROOT, "\\%06x", c));
              }
            });
    return b.append('"').toString();
  }

  private static String css(String name) {
    try (InputStream in = PageHead.class.getResourceAsStream(name)) {
      return new String(in.readAllBytes(), StandardCharsets.UTF_8);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  private static String fontFaces() {
    StringBuilder b = new StringBuilder();
    for (Glyphs.FontFile font : List.of(Glyphs.ROBOTO, Glyphs.ROBOTO_BOLD)) {
      b.append("@font-face{font-family:Roboto;font-weight:")
          .append(font.weight())
          .append(";src:url(data:font/ttf;base64,")
          .append(Base64.getEncoder().encodeToString(font.bytes()))
          .append(")}\n");
    }
    return b.toString();
  }

  private static String sha256(String text) {
    try {
      byte[] hash =
          MessageDigest.getInstance("SHA-256").digest(text.getBytes(StandardCharsets.UTF_8));
      return Base64.getEncoder().encodeToString(hash);
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException(e);
    }
  }
}

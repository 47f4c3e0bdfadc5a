package meterside.report;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.ArrayList;
import java.util.Base64;
import java.util.List;
import java.util.Locale;
import java.util.function.UnaryOperator;
import java.util.stream.Collectors;
import meterside.job.FindingKind;
import meterside.job.Mark;
import meterside.job.Redaction;
import meterside.job.TimeBasis;
import meterside.markup.Legend;

/**
 * The report's one template. On {@link Medium#SCREEN} it is a single HTML file with everything in
 * it; for {@link Medium#PRINT} it is the same page with references that {@link PdfPrinter}
 * resolves.
 */
final class Page {
  /** Where the page is read. */
  enum Medium {
    /** One HTML file, offline, in a browser. */
    SCREEN,
    /** The PDF. */
    PRINT
  }

  /** Width of the text on a printed page in points: Letter, 0.7 inch margins left and right. */
  private static final double PRINT_WIDTH = (8.5 - 2 * 0.7) * 72;

  /** So many findings are listed on the first page; the findings then start on the next. */
  private static final int ON_FRONT = 12;

  private final Content content;
  private final Pictures.Set pictures;
  private final Medium medium;
  private final Html html;

  private Page(Content content, Pictures.Set pictures, Medium medium, Appendable out) {
    this.content = content;
    this.pictures = pictures;
    this.medium = medium;
    UnaryOperator<String> letters =
        medium == Medium.PRINT ? Glyphs::printable : UnaryOperator.identity();
    this.html = new Html(out, letters);
  }

  /**
   * Writes the page.
   *
   * @param pictures the pictures of its figures and findings
   */
  static void write(Content content, Pictures.Set pictures, Medium medium, Appendable out) {
    new Page(content, pictures, medium, out).document();
  }

  private static String say(String key, Object... arguments) {
    return Words.say(key, arguments);
  }

  private boolean print() {
    return medium == Medium.PRINT;
  }

  // ---- the document ----

  private void document() {
    if (!print()) {
      html.trusted("<!DOCTYPE html>\n");
    }
    html.open("html", "lang", "en", "xmlns", print() ? "http://www.w3.org/1999/xhtml" : null);
    head();
    html.open("body");
    if (content.options().draft()) {
      html.open("p", "class", "draft");
      html.leaf("strong", say("draft.word")).text(" ").text(say("draft.line")).closeLine();
    }
    titleBlock();
    html.open("main");
    findings();
    walk();
    open();
    limits();
    scope();
    cautions();
    evidence();
    html.closeLine().closeLine().closeLine();
  }

  private void head() {
    String title =
        say("title.document", content.job().site(), Words.day(content.job().header().date()));
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
    return "@page { @bottom-left { " + left + " } " + draft + " }\n";
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

  private record Section(String id, String title) {}

  private List<Section> sections() {
    List<Section> out = new ArrayList<>();
    out.add(new Section("findings", say("findings.title")));
    out.add(new Section("walk", say("walk.title")));
    if (!content.open().isEmpty()) {
      out.add(new Section("open", say("open.title")));
    }
    out.add(new Section("limits", say("limits.title")));
    out.add(new Section("scope", say("scope.title")));
    out.add(new Section("cautions", say("cautions.title")));
    out.add(new Section("evidence", say("evidence.title")));
    return out;
  }

  // ---- the parts ----

  private void titleBlock() {
    ReportOptions o = content.options();
    html.open("header", "class", "title");
    html.leaf("p", say("title.over"), "class", "over");
    html.open("h1");
    html.leaf("span", content.job().site(), dir()).close();
    html.open("p", "class", "sub");
    html.text(say("title.inspected", Words.day(content.job().header().date())));
    html.text(" · ");
    html.text(
        say(
            o.draft() ? "title.draft" : "title.issued",
            o.number(),
            Words.dayAndTime(o.at(), content.job().zone())));
    html.closeLine();

    html.open("div", "class", "facts");
    html.open("table", "class", "pairs").open("tbody");
    for (Content.Fact fact : content.facts()) {
      html.open("tr");
      html.leaf("th", fact.name(), "scope", "row");
      html.leaf("td", fact.value(), dir());
      html.close();
    }
    html.close().close().closeLine();

    html.open("div", "class", "glance");
    glance();
    html.leaf("p", say("title.contents"), "class", "label");
    html.open("ul", "class", "contents");
    for (Section section : sections()) {
      html.open("li");
      link("#" + section.id(), section.title(), "toc");
      html.close();
    }
    html.close().closeLine();
    html.open("div", "class", "clear").close();
    front();
    html.closeLine();
  }

  /** The findings by number and place, so that the first page tells what is in the report. */
  private void front() {
    if (content.findings().isEmpty()) {
      return;
    }
    html.open("div", "class", "front-list");
    html.leaf("p", say("glance.title"), "class", "label");
    table("front", say("glance.number"), say("glance.where"), say("glance.kind"));
    for (Content.Found found : content.findings()) {
      var f = found.finding();
      html.open("tr");
      html.open("td");
      link("#finding-" + f.number(), f.label(), "toc");
      html.close();
      html.leaf("td", found.brief(), dir());
      html.open("td");
      if (f.urgent() != null) {
        html.leaf("strong", say("finding.urgent-word"), "class", "urgent").text(" · ");
      }
      html.text(say("kind." + f.kind())).close().close();
    }
    html.close().close().closeLine();
  }

  private void glance() {
    int n = content.findings().size();
    html.open("p", "class", "count");
    if (n == 0) {
      html.text(say("glance.findings.none"));
    } else {
      html.leaf("strong", Words.count("glance.findings", n));
      int urgent = content.urgent().size();
      if (urgent > 0) {
        html.text(", ").leaf("strong", Words.count("glance.urgent", urgent), "class", "urgent");
      }
    }
    html.close();
    html.open("p", "class", "quiet");
    int open = content.open().size();
    html.text(
        open == 0 ? say("glance.open.none") : Words.count("glance.open", open, say("open.title")));
    html.close();
  }

  private void findings() {
    int n = content.findings().size();
    html.open("section", "id", "findings", "class", 0 < n && n <= ON_FRONT ? "fresh" : null);
    html.leaf("h2", say("findings.title"));
    if (content.findings().isEmpty()) {
      html.leaf("p", say("findings.none"));
    }
    group(content.urgent(), say("findings.urgent"), say("findings.urgent-line"));
    for (FindingKind kind : Content.KINDS) {
      group(content.ofKind(kind), say("kind." + kind), null);
    }
    if (!content.job().withdrawn().isEmpty()) {
      String numbers =
          content.job().withdrawn().keySet().stream()
              .map(k -> "F" + k)
              .collect(Collectors.joining(", "));
      boolean one = content.job().withdrawn().size() == 1;
      html.leaf("p", say("finding.withdrawn." + (one ? "one" : "many"), numbers), "class", "quiet");
    }
    html.closeLine();
  }

  private void group(List<Content.Found> findings, String title, String line) {
    for (int i = 0; i < findings.size(); i++) {
      boolean first = i == 0;
      if (first) {
        html.open("div", "class", "keep");
        html.leaf("h3", title, "class", line == null ? null : "urgent");
        if (line != null) {
          html.leaf("p", line, "class", "urgent");
        }
      }
      card(findings.get(i));
      if (first) {
        html.closeLine();
      }
    }
  }

  private void card(Content.Found found) {
    var f = found.finding();
    html.open("div", "class", "card", "id", "finding-" + f.number());
    html.open("h4");
    html.leaf("span", f.label(), "class", "number").text(" ");
    html.leaf("span", found.where(), dir()).close();
    if (!found.figures().isEmpty()) {
      Figure main = found.figures().get(0);
      cardPicture(main, found);
    }
    html.open("div", "class", "said");
    if (f.urgent() != null) {
      html.open("p", "class", "kind");
      html.leaf("strong", say("finding.urgent-word"), "class", "urgent");
      html.text(" · ").text(say("kind." + f.kind())).close();
    }
    said("finding.seen", f.seen(), "seen");
    said("finding.why", f.why(), "why");
    said("finding.who", f.who(), "who");
    said("finding.told", found.told(), "told");
    if (f.seenLater()) {
      html.leaf("p", say("finding.seen-later"), "class", "quiet");
    }
    html.open("p", "class", "quiet");
    if (found.figures().isEmpty()) {
      html.text(say("finding.no-photo"));
    } else {
      html.text(say("finding.figures")).text(" ");
      figureLinks(found.figures());
    }
    html.close();
    html.close();
    html.open("div", "class", "clear").close();
    html.closeLine();
  }

  private void said(String key, String text, String kind) {
    if (text != null && !text.isBlank()) {
      html.leaf("p", say(key), "class", "label");
      html.leaf("p", text.strip(), "class", kind, dirName(), dirValue());
    }
  }

  private void figureLinks(List<Figure> figures) {
    for (int i = 0; i < figures.size(); i++) {
      if (i > 0) {
        html.text(", ");
      }
      link("#" + figures.get(i).anchor(), figures.get(i).label(), null);
    }
  }

  private void link(String href, String text, String kind) {
    html.leaf("a", text, "href", href, "title", print() ? text : null, "class", kind);
  }

  private void walk() {
    section("walk", say("walk.title"));
    if (content.walk().isEmpty()) {
      html.leaf("p", say("walk.empty"));
    }
    for (int i = 0; i < content.walk().size(); i++) {
      stop(content.walk().get(i), "stop-" + (i + 1));
    }
    if (!content.quiet().isEmpty() && !content.walk().isEmpty()) {
      html.leaf("p", say("walk.quiet", String.join("; ", content.quiet())), "class", "quiet");
    }
    html.closeLine();
  }

  private void stop(Content.StopPart stop, String id) {
    html.open("div", "class", "stop", "id", id);
    html.open("div", "class", "keep");
    html.open("h3");
    html.leaf("span", stop.title(), dir());
    if (stop.times() != null) {
      html.text(" ").leaf("span", stop.times(), "class", "times");
    }
    html.close();
    if (!stop.findings().isEmpty()) {
      html.open("p", "class", "refs").text(say("walk.findings")).text(": ");
      for (int i = 0; i < stop.findings().size(); i++) {
        int number = stop.findings().get(i).finding().number();
        html.text(i > 0 ? ", " : "");
        link("#finding-" + number, "F" + number, null);
      }
      html.close();
    }
    if (!stop.also().isEmpty()) {
      html.open("p", "class", "refs").text(say("walk.also")).text(": ");
      figureLinks(stop.also());
      html.close();
    }
    for (int i = 0; i < stop.figures().size(); i++) {
      figure(stop.figures().get(i));
      if (i == 0) {
        html.closeLine();
      }
    }
    if (stop.figures().isEmpty()) {
      html.closeLine();
    }
    if (!stop.answered().isEmpty()) {
      html.open("div", "class", together(stop.answered().size()));
      html.leaf("p", say("walk.answers"), "class", "label");
      table("answers", say("walk.answers.duty"), say("walk.answers.answer"));
      for (Content.Answered a : stop.answered()) {
        html.open("tr").leaf("td", a.duty().text(), dir());
        html.open("td", dir()).text(a.text());
        shownIn(a.figures());
        html.close().close();
      }
      html.close().close().closeLine();
    }
    if (!stop.tests().isEmpty()) {
      html.open("div", "class", together(stop.tests().size()));
      html.leaf("p", say("walk.tests"), "class", "label");
      table("tests", say("walk.tests.where"), say("walk.tests.device"), say("walk.tests.result"));
      for (Content.Tested t : stop.tests()) {
        html.open("tr");
        html.leaf("td", t.test().location() == null ? "" : t.test().location(), dir());
        html.leaf("td", t.device());
        html.open("td", dir()).text(t.result());
        if (t.test().finding() != null) {
          html.text(" ");
          link("#finding-" + t.test().finding(), "F" + t.test().finding(), null);
        }
        shownIn(t.figures());
        html.close().close();
      }
      html.close().close().closeLine();
    }
    html.closeLine();
  }

  /** A short table stays on one page with its title. */
  private static String together(int rows) {
    return rows <= 12 ? "keep" : null;
  }

  private void shownIn(List<Figure> figures) {
    if (!figures.isEmpty()) {
      html.text(" · ");
      figureLinks(figures);
    }
  }

  private void table(String kind, String... heads) {
    html.open("table", "class", kind).open("thead").open("tr");
    int column = 0;
    for (String head : heads) {
      html.leaf("th", head, "scope", "col", "class", kind + "-" + ++column);
    }
    html.close().close().open("tbody");
  }

  private void open() {
    if (content.open().isEmpty()) {
      return;
    }
    section("open", say("open.title"));
    html.leaf("p", say("open.intro"));
    lines(content.open());
    html.closeLine();
  }

  private void limits() {
    section("limits", say("limits.title"));
    boolean none =
        content.notInspected().isEmpty()
            && content.excluded().isEmpty()
            && content.limits().isEmpty();
    if (none) {
      html.leaf("p", say("limits.none"));
    }
    if (!content.notInspected().isEmpty()) {
      html.leaf("h3", say("limits.not-inspected"));
      lines(content.notInspected());
    }
    if (!content.excluded().isEmpty()) {
      html.leaf("h3", say("limits.excluded"));
      lines(content.excluded());
    }
    if (!content.limits().isEmpty()) {
      html.leaf("h3", say("limits.said"));
      list(content.limits());
    }
    html.closeLine();
  }

  private void scope() {
    section("scope", say("scope.title"));
    html.leaf("h3", say("scope.was"));
    List<String> was = new ArrayList<>(Words.list("scope.was", 3));
    was.addAll(content.covers());
    list(was);
    html.leaf("h3", say("scope.not"));
    list(Words.list("scope.not", 7));
    html.closeLine();
  }

  private void cautions() {
    section("cautions", say("cautions.title"));
    html.open("div", "class", "caution");
    html.leaf("h3", say("cautions.care"));
    list(Words.list("cautions", 6));
    html.closeLine();
    html.leaf("h3", say("cautions.who"));
    list(Words.list("cautions.who", 4));
    html.closeLine();
  }

  private void list(List<String> texts) {
    html.open("ul");
    for (String text : texts) {
      html.leaf("li", text, dir());
    }
    html.closeLine();
  }

  /** Lines by stop: the stop once, then what is said there. */
  private void lines(List<Content.Line> lines) {
    String at = null;
    for (Content.Line line : lines) {
      if (!line.at().equals(at)) {
        if (at != null) {
          html.closeLine();
        }
        at = line.at();
        if (!at.isEmpty()) {
          html.leaf("p", at, "class", "label at", dirName(), dirValue());
        }
        html.open("ul", "class", "lines");
      }
      html.leaf("li", line.text(), dir());
    }
    if (at != null) {
      html.closeLine();
    }
  }

  private void evidence() {
    section("evidence", say("evidence.title"));
    if (content.figures().isEmpty()) {
      html.leaf("p", say("evidence.none"));
    } else {
      html.leaf("p", say("evidence.intro", content.job().zone().getId()));
      if (content.options().keepLocation()) {
        html.leaf("p", say("evidence.location-kept"));
      }
      table(
          "evidence",
          say("evidence.figure"),
          say("evidence.file"),
          say("evidence.taken"),
          say("evidence.camera"));
      for (Figure f : content.figures()) {
        evidenceRow(f);
      }
      html.close().closeLine();
    }
    html.leaf("h3", say("evidence.head"));
    String head = content.options().head();
    if (head == null || head.isBlank()) {
      html.leaf("p", say("evidence.head.none"));
    } else {
      html.leaf("p", say("evidence.head-line"));
      html.leaf("p", head, "class", "hash");
    }
    html.closeLine();
  }

  private void evidenceRow(Figure f) {
    html.open("tr");
    html.open("td");
    link("#" + f.anchor(), Integer.toString(f.number()), null);
    html.close();
    html.open("td");
    html.open("span", dir()).text(f.photo().name()).close();
    html.single("br").leaf("span", f.photo().id().hex(), "class", "hash").close();
    html.open("td");
    if (f.time().basis() != TimeBasis.NONE) {
      html.text(Words.full(f.time().at(), content.job().zone())).single("br");
    }
    html.leaf("span", Words.basis(f.time()), "class", "quiet").close();
    html.open("td").text(content.camera(f.photo()));
    String clock = Words.correction(content.job().clock(f.photo().camera()), f.time().basis());
    if (!clock.isEmpty()) {
      html.single("br").leaf("span", clock, "class", "quiet");
    }
    if (content.options().keepLocation()) {
      html.single("br");
      html.leaf(
          "span",
          say("evidence.position") + " " + Content.position(f.photo().position()),
          "class",
          "quiet");
    }
    html.close().close();
  }

  // ---- pictures ----

  private void figure(Figure f) {
    Pictures.Shot shot = pictures.figures().get(f.number());
    boolean marked = !f.drawing().legend().isEmpty();
    boolean tall = shot.height() > shot.width();
    html.open(
        "div",
        "class",
        "figure" + (marked ? " marked" : "") + (tall ? " tall" : ""),
        "id",
        f.anchor());
    double[] size = shot.page() == null ? new double[] {0, 0} : printSize(shot, marked);
    picture("figure:" + f.number(), shot, alt(f), size);
    html.open(
        "div",
        "class",
        "side",
        "style",
        print() && shot.page() != null ? style("margin-left:%.1fpt", size[0] + 14) : null);
    html.open("p", "class", "caption");
    html.leaf("strong", f.label()).single("br");
    html.open("span", "class", "file", dirName(), dirValue()).text(f.photo().name()).close();
    html.single("br").leaf("span", when(f), "class", "quiet").close();
    legend(f);
    int covered = covered(f);
    if (covered > 0) {
      html.leaf("p", Words.count("figure.covered", covered), "class", "quiet");
    }
    html.close();
    html.open("div", "class", "clear").close();
    html.closeLine();
  }

  private String when(Figure f) {
    boolean known = f.time().basis() != TimeBasis.NONE && f.time().basis() != TimeBasis.FILE;
    return known ? Words.time(f.time().at(), content.job().zone()) : say("figure.untimed");
  }

  private void legend(Figure f) {
    if (f.drawing().legend().isEmpty()) {
      return;
    }
    html.open("ul", "class", "legend");
    for (Legend l : f.drawing().legend()) {
      String note = f.note(l);
      html.open("li");
      html.leaf(
          "span",
          Integer.toString(l.number()),
          "class",
          l.finding() == null ? "plate" : "plate tied");
      html.text(" ").leaf("span", term(l), dir());
      if (l.finding() != null) {
        html.text(" ");
        link("#finding-" + l.finding(), "F" + l.finding(), "ref");
      }
      if (note != null) {
        html.single("br").leaf("span", note, "class", "note", dirName(), dirValue());
      }
      html.close();
    }
    html.close();
  }

  private static String term(Legend l) {
    return l.term() == null || l.term().isBlank() ? say("figure.unnamed") : l.term();
  }

  private static int covered(Figure f) {
    int n = 0;
    for (Mark mark : f.marks()) {
      n += mark instanceof Redaction ? 1 : 0;
    }
    return n;
  }

  /** What the picture shows, for who can't see it: the stop, the parts named and their findings. */
  static String alt(Figure f) {
    List<String> marks = new ArrayList<>();
    for (Legend l : f.drawing().legend()) {
      List<String> bits = new ArrayList<>();
      bits.add(term(l));
      if (l.finding() != null) {
        bits.add(say("figure.alt.finding", "F" + l.finding()));
      }
      if (f.note(l) != null) {
        bits.add(f.note(l));
      }
      marks.add(say("figure.alt.mark", l.number(), String.join(", ", bits)));
    }
    String text =
        marks.isEmpty()
            ? say("figure.alt.none", f.title(), f.photo().name())
            : say("figure.alt.marks", f.title(), f.photo().name(), String.join("; ", marks));
    int covered = covered(f);
    return covered == 0 ? text : text + " " + Words.count("figure.alt.covered", covered);
  }

  private void cardPicture(Figure f, Content.Found found) {
    Pictures.Shot shot = pictures.closeUps().get(found.finding().number());
    if (shot != null) {
      String alt = say("finding.close-alt", f.number(), alt(f));
      picture("figure:" + found.finding().label(), shot, alt, within(shot, 212, 180));
    }
  }

  private void picture(String uri, Pictures.Shot shot, String alt, double[] size) {
    if (shot.page() == null) {
      html.leaf("p", shot.trouble(), "class", "missing");
      return;
    }
    if (print()) {
      String box = style("width:%.1fpt;height:%.1fpt", size[0], size[1]);
      html.open("div", "class", "photo", "style", box);
      html.single("img", "src", uri + ".jpg", "alt", alt, "style", box);
      if (shot.svg() != null) {
        // A background is no figure of its own: photo and callouts are one, with one text.
        html.open(
            "div",
            "class",
            "marks",
            "style",
            box
                + ";background-image:url("
                + uri
                + ".svg);background-size:"
                + style("%.1fpt %.1fpt", size[0], size[1]));
        html.close();
      }
      html.closeLine();
      return;
    }
    html.open("div", "class", "photo");
    html.trusted("<img src=\"data:image/jpeg;base64,");
    html.trusted(Base64.getEncoder().encodeToString(shot.page()));
    html.trusted(
        "\" width=\""
            + shot.width()
            + "\" height=\""
            + shot.height()
            + "\" alt=\""
            + Html.escape(alt)
            + "\"/>");
    if (shot.svg() != null) {
      html.open("div", "class", "marks", "aria-hidden", "true").trusted(shot.svg()).close();
    }
    html.closeLine();
  }

  /** Size on paper in points: large enough to read the plates, small enough for two on a page. */
  private static double[] printSize(Pictures.Shot shot, boolean marked) {
    return marked ? within(shot, PRINT_WIDTH * 0.62, 270) : within(shot, PRINT_WIDTH * 0.46, 215);
  }

  private static double[] within(Pictures.Shot shot, double width, double height) {
    double scale = Math.min(width / shot.width(), height / shot.height());
    return new double[] {shot.width() * scale, shot.height() * scale};
  }

  private static String style(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }

  // ---- small things ----

  private void section(String id, String title) {
    html.open("section", "id", id);
    html.leaf("h2", title);
  }

  /** Text of the user finds its own direction; the PDF renderer knows only the page's. */
  private String[] dir() {
    return new String[] {dirName(), dirValue()};
  }

  private String dirName() {
    return "dir";
  }

  private String dirValue() {
    return print() ? null : "auto";
  }

  private static String css(String name) {
    try (InputStream in = Page.class.getResourceAsStream(name)) {
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

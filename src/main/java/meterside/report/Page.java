package meterside.report;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.ArrayList;
import java.util.Base64;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.function.UnaryOperator;
import java.util.stream.Collectors;
import meterside.job.AnswerKind;
import meterside.job.FindingKind;
import meterside.job.Mark;
import meterside.job.PhotoId;
import meterside.job.Redaction;
import meterside.job.Spot;
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

  /** What is written: the whole report, or an extract of it. */
  enum Edition {
    /** The whole report. */
    REPORT,
    /** What is to be done, without pictures. */
    FIX_LIST,
    /** For whoever does the work. */
    ELECTRICIAN
  }

  /** Fewer findings than this are not listed on the first page: they stand there themselves. */
  private static final int LISTED = 3;

  /** Up to so many the list leaves room on the first page; the findings then start on the next. */
  private static final int ON_FRONT = 12;

  /** A table with so many rows is kept on one page. */
  private static final int SHORT = 12;

  /** So many points that were not inspected for one reason are listed under it. */
  private static final int MANY = 3;

  /** Border and padding of a card left and right, in points: 3 + 12 + 12 + 0.75. */
  private static final double CARD_EDGES = 27.75;

  /** Space between two pictures side by side, in points. */
  private static final double GAP = 14;

  private final Content content;
  private final Pictures.Set pictures;
  private final Medium medium;
  private final Edition edition;
  private final double printWidth;
  private final Map<Integer, Set<String>> saidOf;
  private final Html html;

  private Page(
      Content content, Pictures.Set pictures, Medium medium, Edition edition, Appendable out) {
    this.content = content;
    this.pictures = pictures;
    this.medium = medium;
    this.edition = edition;
    this.printWidth = content.options().paper().textWidth();
    this.saidOf = saidOf(content);
    UnaryOperator<String> letters =
        medium == Medium.PRINT ? Glyphs::printable : UnaryOperator.identity();
    this.html = new Html(out, letters);
  }

  /**
   * Writes the page.
   *
   * @param pictures the pictures of its figures and findings
   */
  static void write(
      Content content, Pictures.Set pictures, Medium medium, Edition edition, Appendable out) {
    new Page(content, pictures, medium, edition, out).document();
  }

  private static String say(String key, Object... arguments) {
    return Words.say(key, arguments);
  }

  /** The key of what this edition says in place of the report. */
  private String key(String of) {
    return switch (edition) {
      case REPORT -> of;
      case FIX_LIST -> of + ".fix-list";
      case ELECTRICIAN -> of + ".electrician";
    };
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
    switch (edition) {
      case REPORT -> report();
      case FIX_LIST -> fixList();
      case ELECTRICIAN -> forElectrician();
    }
    html.closeLine().closeLine();
  }

  private void report() {
    titleBlock();
    html.open("main");
    changes();
    findings();
    walk();
    open();
    limits();
    scope();
    cautions();
    evidence();
    html.closeLine();
  }

  private void head() {
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

  private record Section(String id, String title) {}

  private List<Section> sections() {
    List<Section> out = new ArrayList<>();
    if (edition == Edition.FIX_LIST) {
      out.add(new Section("findings", say("fix-list.title")));
      out.add(new Section("cautions", say("cautions.title")));
      return out;
    }
    if (edition == Edition.ELECTRICIAN) {
      out.add(new Section("findings", say("electrician.title")));
      out.add(new Section("known", say("electrician.known")));
      out.add(new Section("cautions", say("cautions.title")));
      return out;
    }
    if (content.options().earlier() != null) {
      out.add(new Section("changes", changesTitle()));
    }
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

    html.open("div", "class", "glance");
    glance();
    html.closeLine();
    front();
    html.open("div", "class", "facts");
    facts();
    html.closeLine();
    html.open("div", "class", "inside");
    html.leaf("p", say("title.contents"), "class", "label");
    html.open("ul", "class", "contents");
    for (Section section : sections()) {
      html.open("li");
      link("#" + section.id(), section.title(), "toc");
      html.close();
    }
    html.close().closeLine();
    html.closeLine();
  }

  /** The job facts; two beside each other on paper. */
  private void facts() {
    int perRow = print() ? 2 : 1;
    List<Content.Fact> facts = content.facts();
    html.open("table", "class", "pairs").open("tbody");
    for (int i = 0; i < facts.size(); i += perRow) {
      html.open("tr");
      int end = Math.min(facts.size(), i + perRow);
      for (Content.Fact fact : facts.subList(i, end)) {
        html.leaf("th", fact.name(), "scope", "row");
        String span = end - i < perRow ? "3" : null;
        html.leaf("td", fact.value(), dirName(), dirValue(), "colspan", span);
      }
      html.close();
    }
    html.close().close();
  }

  /** The findings by number and place, so that the first page tells what is in the report. */
  private void front() {
    if (content.findings().size() < LISTED) {
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

  private String changesTitle() {
    return say("changes.title", content.options().earlier().number());
  }

  private void changes() {
    ReportOptions.Earlier earlier = content.options().earlier();
    if (earlier == null) {
      return;
    }
    section("changes", changesTitle());
    String when = Words.dayAndTime(earlier.at(), content.job().zone());
    html.leaf("p", say("changes.intro", earlier.number(), when), "class", "quiet");
    if (content.changes().isEmpty()) {
      html.leaf("p", say("changes.none"));
    } else {
      list(content.changes());
    }
    html.closeLine();
  }

  private void findings() {
    int n = content.findings().size();
    html.open("section", "id", "findings", "class", LISTED <= n && n <= ON_FRONT ? "fresh" : null);
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
    html.open("div", "class", "said", "style", cardPicture(found));
    // In the report the heading above says the kind.
    if (f.urgent() != null || edition != Edition.REPORT) {
      html.open("p", "class", "kind");
      if (f.urgent() != null) {
        html.leaf("strong", say("finding.urgent-word"), "class", "urgent").text(" · ");
      }
      html.text(say("kind." + f.kind())).close();
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
    } else if (edition == Edition.REPORT) {
      html.text(say("finding.figures")).text(" ");
      figureLinks(found.figures());
    } else {
      html.text(
          say(
              "extract.files",
              found.figures().stream().map(Figure::fileName).collect(Collectors.joining(", "))));
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

  /** A stop: its name, what was answered and tested there, and its photos. */
  private void stop(Content.StopPart stop, String id) {
    List<Runnable> blocks = new ArrayList<>();
    if (!stop.answered().isEmpty()) {
      blocks.add(() -> answered(stop));
    }
    if (!stop.tests().isEmpty()) {
      blocks.add(() -> tests(stop.tests()));
    }
    for (List<Figure> row : rows(stop.figures())) {
      blocks.add(() -> row(row));
    }
    boolean longTable = stop.answered().size() > SHORT || stop.tests().size() > SHORT;
    html.open("div", "class", "stop", "id", id);
    html.open("div", "class", longTable ? null : "keep");
    html.open("h3");
    html.leaf("span", stop.title(), dir());
    if (stop.times() != null) {
      html.text(" ").leaf("span", stop.times(), "class", "times");
    }
    html.close();
    if (stop.at() != null && stop.at().isOtherSystems()) {
      html.leaf("p", say("walk.other"), "class", "refs");
    }
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
    // The heading stays with the first thing that is said under it.
    for (int i = 0; i < blocks.size(); i++) {
      blocks.get(i).run();
      if (i == 0) {
        html.closeLine();
      }
    }
    if (blocks.isEmpty()) {
      html.closeLine();
    }
    html.closeLine();
  }

  private void answered(Content.StopPart stop) {
    List<Content.Answered> all = stop.answered();
    String reason = Content.oneReason(all);
    if (all.size() > 1 && reason != null) {
      html.open("p", dir()).text(say("walk.none-inspected", all.size(), reason));
      shownIn(all.stream().flatMap(a -> a.figures().stream()).distinct().toList());
      html.close();
      return;
    }
    html.open("div", "class", together(all.size()));
    table("answers", say("walk.answers.duty"), say("walk.answers.answer"));
    for (Content.Answered a : all) {
      html.open("tr").leaf("td", a.duty().text(), dir());
      html.open("td", dir()).text(a.text());
      if (a.answer().finding() != null) {
        html.text(" ");
        link("#finding-" + a.answer().finding(), say("walk.answers.see"), null);
      }
      shownIn(a.figures());
      html.close().close();
    }
    html.close().close().closeLine();
  }

  private void tests(List<Content.Tested> tests) {
    html.open("div", "class", together(tests.size()));
    html.leaf("p", say("walk.tests"), "class", "label");
    table("tests", say("walk.tests.where"), say("walk.tests.device"), say("walk.tests.result"));
    for (Content.Tested t : tests) {
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

  /** Figures as they stand beside each other: wide and close, photos without marks in twos. */
  private List<List<Figure>> rows(List<Figure> figures) {
    List<List<Figure>> out = new ArrayList<>();
    List<Figure> left = new ArrayList<>(figures);
    Set<PhotoId> closes = new HashSet<>();
    figures.forEach(f -> closes.addAll(f.closeOnes()));
    while (!left.isEmpty()) {
      Figure one = left.remove(0);
      Figure close =
          left.stream()
              .filter(f -> one.closeOnes().contains(f.photo().id()) && shown(f) && shown(one))
              .findFirst()
              .orElse(null);
      if (close != null) {
        left.remove(close);
        out.add(List.of(one, close));
        continue;
      }
      boolean waits = closes.contains(one.photo().id());
      Figure wide =
          waits
              ? left.stream()
                  .filter(f -> f.closeOnes().contains(one.photo().id()) && shown(f) && shown(one))
                  .findFirst()
                  .orElse(null)
              : null;
      if (wide != null) {
        left.remove(wide);
        out.add(List.of(wide, one));
      } else if (!left.isEmpty() && plain(one) && plain(left.get(0))) {
        out.add(List.of(one, left.remove(0)));
      } else {
        out.add(List.of(one));
      }
    }
    return out;
  }

  private boolean shown(Figure f) {
    Pictures.Shot shot = pictures.figures().get(f.number());
    return shot != null && shot.page() != null;
  }

  /** Whether a figure is a picture without anything on it. */
  private boolean plain(Figure f) {
    return f.drawing().legend().isEmpty() && f.closeOnes().isEmpty() && shown(f);
  }

  /**
   * Puts a block beside the picture that comes before it. On paper both stay in the order they are
   * read in, which floating ones would not: a PDF has those at the end of what they float in.
   *
   * @param left room left of the block, in points
   * @param right room right of it, in points
   */
  private String beside(Pictures.Shot shot, double[] size, double left, double right) {
    return print() && shot.page() != null
        ? style(
            "margin-top:%.1fpt;min-height:%.1fpt;margin-left:%.1fpt;margin-right:%.1fpt",
            -size[1], size[1] + 2, left, right)
        : null;
  }

  private void row(List<Figure> row) {
    if (row.size() == 1) {
      figure(row.get(0));
      return;
    }
    html.open("div", "class", "row");
    if (print()) {
      double half = (printWidth - GAP) / 2;
      double left = 0;
      double high = 0;
      for (Figure f : row) {
        Pictures.Shot shot = pictures.figures().get(f.number());
        double[] size = within(shot, half, 200);
        html.open("div", "class", "beside", "style", style("margin-top:%.1fpt", -high));
        picture("figure:" + f.number(), shot, alt(f), size, left);
        html.close();
        left = half + GAP;
        high = size[1];
      }
      boolean pair = row.get(0).closeOnes().contains(row.get(1).photo().id());
      String side = pair ? "figure.pair-" : "figure.";
      double tallest = 0;
      for (Figure f : row) {
        tallest = Math.max(tallest, within(pictures.figures().get(f.number()), half, 200)[1]);
      }
      html.open("div", "class", "captions", "style", style("padding-top:%.1fpt", tallest - high));
      for (int i = 0; i < row.size(); i++) {
        html.open("p", "class", "caption", "id", row.get(i).anchor());
        html.leaf("strong", row.get(i).label()).text(" ");
        html.text(say(side + (i == 0 ? "left" : "right"))).text(" · ");
        html.leaf("span", row.get(i).photo().name(), "class", "file").text(" · ");
        html.leaf("span", when(row.get(i)), "class", "quiet").close();
        legend(row.get(i));
        said(row.get(i));
      }
      html.close();
    } else {
      for (Figure f : row) {
        html.open("div", "class", "half", "id", f.anchor());
        picture("figure:" + f.number(), pictures.figures().get(f.number()), alt(f), null, 0);
        caption(f);
        html.closeLine();
      }
    }
    html.closeLine();
  }

  /** A short table stays on one page with its title. */
  private static String together(int rows) {
    return rows <= SHORT ? "keep" : null;
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
    lines(content.open(), true);
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
      notInspected();
    }
    if (!content.excluded().isEmpty()) {
      html.leaf("h3", say("limits.excluded"));
      lines(content.excluded(), true);
    }
    if (!content.limits().isEmpty()) {
      html.leaf("h3", say("limits.said"));
      list(content.limits());
    }
    html.closeLine();
  }

  /** What was not inspected: a reason that holds for many points is said once above them. */
  private void notInspected() {
    Map<String, List<Content.Line>> byReason = new LinkedHashMap<>();
    for (Content.Line line : content.notInspected()) {
      byReason.computeIfAbsent(line.reason(), k -> new ArrayList<>()).add(line);
    }
    List<Content.Line> single = new ArrayList<>();
    byReason.forEach(
        (reason, lines) -> {
          if (lines.size() < MANY) {
            single.addAll(lines);
          }
        });
    if (!single.isEmpty()) {
      html.leaf("h3", say("limits.not-inspected"));
      lines(single, true);
    }
    byReason.forEach(
        (reason, lines) -> {
          if (lines.size() >= MANY) {
            html.leaf("h3", say("limits.all-because", reason), dir());
            lines(lines, false);
          }
        });
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
  private void lines(List<Content.Line> lines, boolean reasons) {
    for (int i = 0; i < lines.size(); ) {
      String at = lines.get(i).at();
      int end = i;
      while (end < lines.size() && lines.get(end).at().equals(at)) {
        end++;
      }
      html.open("div", "class", end - i <= SHORT ? "keep" : null);
      if (!at.isEmpty()) {
        html.leaf("p", at, "class", "label at", dirName(), dirValue());
      }
      html.open("ul", "class", "lines");
      for (Content.Line line : lines.subList(i, end)) {
        html.open("li", dir()).text(reasons ? line.whole() : line.text());
        shownIn(line.figures());
        html.close();
      }
      html.close().closeLine();
      i = end;
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
    String key = content.options().keyFingerprint();
    if (key != null && !key.isBlank()) {
      html.leaf("h3", say("evidence.key"));
      html.leaf("p", say("evidence.key-line"));
      html.leaf("p", key, "class", "hash");
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

  // ---- extracts ----

  private void extractTitle() {
    html.open("header", "class", "title extract");
    html.leaf("p", say(key("title.over")), "class", "over");
    html.open("h1");
    html.leaf("span", content.job().site(), dir()).close();
    html.open("p", "class", "sub");
    html.text(say("title.inspected", Words.day(content.job().header().date())));
    String made = Words.dayAndTime(content.options().at(), content.job().zone());
    html.text(" · ").text(say("title.extract", made));
    html.closeLine();
    html.open("table", "class", "pairs").open("tbody");
    if (content.to() != null && !content.to().isBlank()) {
      pair(say("extract.to"), content.to().strip());
    }
    String author = content.options().author();
    if (author != null && !author.isBlank()) {
      pair(say("extract.by"), author.strip());
    }
    html.close().closeLine();
    html.leaf("p", say(key("extract.intro")), "class", "lead");
    html.closeLine();
  }

  private void pair(String name, String value) {
    html.open("tr");
    html.leaf("th", name, "scope", "row");
    html.leaf("td", value, dir());
    html.close();
  }

  private void fixList() {
    extractTitle();
    html.open("main");
    section("findings", say("fix-list.title"));
    if (content.findings().isEmpty()) {
      html.leaf("p", say("fix-list.none"));
    }
    fixes(content.urgent(), say("findings.urgent"), say("findings.urgent-line"));
    for (FindingKind kind : Content.KINDS) {
      fixes(content.ofKind(kind), say("kind." + kind), null);
    }
    html.closeLine();
    cautions();
    html.closeLine();
  }

  private void fixes(List<Content.Found> findings, String title, String line) {
    if (findings.isEmpty()) {
      return;
    }
    html.open("div", "class", findings.size() <= 4 ? "keep" : null);
    html.leaf("h3", title, "class", line == null ? null : "urgent");
    if (line != null) {
      html.leaf("p", line, "class", "urgent");
    }
    table(
        "fixes",
        say("fix-list.done"),
        say("glance.number"),
        say("fix-list.what"),
        say("finding.who"));
    for (Content.Found found : findings) {
      var f = found.finding();
      html.open("tr", "id", "finding-" + f.number());
      html.open("td").leaf("span", "\u00a0", "class", "box").close();
      html.open("td").leaf("strong", f.label()).close();
      html.open("td");
      html.leaf("strong", found.where(), dir()).single("br");
      html.leaf("span", f.seen().strip(), dir());
      if (f.urgent() != null) {
        html.single("br").leaf("span", say("fix-list.told", found.told()), "class", "quiet");
      }
      html.close();
      html.leaf("td", f.who() == null || f.who().isBlank() ? "–" : f.who().strip(), dir());
      html.close();
    }
    html.close().close().closeLine();
  }

  private void forElectrician() {
    extractTitle();
    html.open("main");
    section("findings", say("electrician.title"));
    if (content.findings().isEmpty()) {
      html.leaf("p", say("fix-list.none"));
    }
    group(content.urgent(), say("findings.urgent"), say("findings.urgent-line"));
    for (Content.StopPart stop : content.walk()) {
      group(
          content.findings().stream()
              .filter(f -> f.finding().urgent() == null && f.finding().at().equals(stop.at()))
              .toList(),
          stop.title(),
          null);
    }
    html.closeLine();
    known();
    cautions();
    html.closeLine();
  }

  /** What is known of the installation: what was described, panel covers, tests that failed. */
  private void known() {
    section("known", say("electrician.known"));
    list(content.covers());
    List<Content.Tested> odd = new ArrayList<>();
    boolean any = false;
    for (Content.StopPart stop : content.walk()) {
      for (Content.Answered a : stop.answered()) {
        if (a.answer().kind() == AnswerKind.DESCRIPTION) {
          if (!any) {
            table("answers", say("walk.answers.duty"), say("walk.answers.answer"));
            any = true;
          }
          html.open("tr");
          html.open("td", dir());
          html.leaf("span", stop.title(), "class", "quiet").single("br");
          html.text(a.duty().text()).close();
          html.leaf("td", a.text(), dir());
          html.close();
        }
      }
      stop.tests().stream().filter(Content.Tested::odd).forEach(odd::add);
    }
    if (any) {
      html.close().closeLine();
    }
    if (!odd.isEmpty()) {
      html.open("div", "class", together(odd.size()));
      html.leaf("h3", say("electrician.tests"));
      table("tests", say("walk.tests.where"), say("walk.tests.device"), say("walk.tests.result"));
      for (Content.Tested t : odd) {
        html.open("tr");
        html.leaf("td", t.test().location() == null ? "" : t.test().location(), dir());
        html.leaf("td", t.device()).leaf("td", t.result(), dir()).close();
      }
      html.close().close().closeLine();
    }
    if (!content.notInspected().isEmpty()) {
      notInspected();
    }
    html.closeLine();
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
    picture("figure:" + f.number(), shot, alt(f), size, 0);
    html.open("div", "class", "side", "style", beside(shot, size, size[0] + GAP, 0));
    caption(f);
    html.close();
    html.open("div", "class", "clear").close();
    html.closeLine();
  }

  private void caption(Figure f) {
    html.open("p", "class", "caption");
    html.leaf("strong", f.label()).single("br");
    html.open("span", "class", "file", dirName(), dirValue()).text(f.photo().name()).close();
    html.single("br").leaf("span", when(f), "class", "quiet").close();
    legend(f);
    said(f);
  }

  /** What the answers that name it say, and what is covered on it. */
  private void said(Figure f) {
    for (String said : saidOf.getOrDefault(f.number(), Set.of())) {
      html.leaf("p", said, "class", "note", dirName(), dirValue());
    }
    for (String wide : closeOf(f)) {
      html.leaf("p", wide, "class", "quiet");
    }
    f.view().sentence().ifPresent(s -> html.leaf("p", s, "class", "quiet"));
    int covered = covered(f);
    if (covered > 0) {
      html.leaf("p", Words.count("figure.covered", covered), "class", "quiet");
    }
  }

  /** In which wide figures a close one has its spot, a sentence for each. */
  private List<String> closeOf(Figure f) {
    List<String> out = new ArrayList<>();
    for (Spot spot : content.job().spotsOf(f.photo().id())) {
      for (Figure wide : content.figures()) {
        for (Legend l : wide.drawing().legend()) {
          if (l.markId() == spot.id()) {
            out.add(say("figure.close-of", l.number(), wide.label()));
          }
        }
      }
    }
    return out;
  }

  /**
   * What the answers that name a figure say: the value that was read, the obstacle that is seen.
   */
  private static Map<Integer, Set<String>> saidOf(Content content) {
    Map<Integer, Set<String>> out = new HashMap<>();
    for (Content.StopPart stop : content.walk()) {
      for (Content.Answered a : stop.answered()) {
        boolean says =
            a.answer().kind() == AnswerKind.NOT_INSPECTED
                || a.answer().kind() == AnswerKind.DESCRIPTION;
        for (Figure f : says ? a.figures() : List.<Figure>of()) {
          out.computeIfAbsent(f.number(), k -> new LinkedHashSet<>()).add(a.text());
        }
      }
    }
    return out;
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

  /** The close view of a finding, if there is one. Returns how what is said stands beside it. */
  private String cardPicture(Content.Found found) {
    Pictures.Shot shot = pictures.closeUps().get(found.finding().number());
    if (shot == null) {
      return null;
    }
    Figure f = found.figures().get(0);
    String alt = say("finding.close-alt", f.number(), alt(f));
    double[] size = edition == Edition.REPORT ? within(shot, 212, 180) : within(shot, 250, 230);
    double inner = printWidth - CARD_EDGES;
    picture("figure:" + found.finding().label(), shot, alt, size, inner - size[0]);
    return beside(shot, size, 0, size[0] + GAP);
  }

  private void picture(String uri, Pictures.Shot shot, String alt, double[] size, double left) {
    if (shot.page() == null) {
      html.leaf("p", shot.trouble(), "class", "missing");
      return;
    }
    if (print()) {
      String box = style("width:%.1fpt;height:%.1fpt", size[0], size[1]);
      html.open("div", "class", "photo", "style", box + style(";margin-left:%.1fpt", left));
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
  private double[] printSize(Pictures.Shot shot, boolean marked) {
    return marked ? within(shot, printWidth * 0.62, 270) : within(shot, printWidth * 0.48, 215);
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

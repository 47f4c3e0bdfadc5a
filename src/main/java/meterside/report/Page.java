package meterside.report;

import java.util.ArrayList;
import java.util.List;
import java.util.function.UnaryOperator;
import java.util.stream.Collectors;
import meterside.job.FindingKind;

/**
 * The report's one template. On {@link Medium#SCREEN} it is a single HTML file with everything in
 * it; for {@link Medium#PRINT} it is the same page with references that {@link PdfPrinter}
 * resolves.
 */
final class Page extends PagePart {
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

  private final FigureBlocks figures;

  private Page(
      Content content, Pictures.Set pictures, Medium medium, Edition edition, Appendable out) {
    super(
        content,
        medium,
        edition,
        new Html(out, medium == Medium.PRINT ? Glyphs::printable : UnaryOperator.identity()));
    this.figures = new FigureBlocks(this, pictures);
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

  // ---- the document ----

  private void document() {
    if (!print()) {
      html.trusted("<!DOCTYPE html>\n");
    }
    html.open("html", "lang", "en", "xmlns", print() ? "http://www.w3.org/1999/xhtml" : null);
    new PageHead(this).write();
    html.open("body");
    if (content.options().draft()) {
      html.open("p", "class", "draft");
      html.leaf("strong", say("draft.word")).text(" ").text(say("draft.line")).closeLine();
    }
    switch (edition) {
      case REPORT -> report();
      case FIX_LIST -> new ExtractParts(this).fixList();
      case ELECTRICIAN -> new ExtractParts(this).forElectrician();
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
    new EvidenceTable(this).write();
    html.closeLine();
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
    List<Section> sections = sections();
    int half = print() ? (sections.size() + 1) / 2 : sections.size();
    for (int from = 0; from < sections.size(); from += half) {
      html.open("div", "class", "column").open("ul", "class", "contents");
      for (Section section : sections.subList(from, Math.min(from + half, sections.size()))) {
        html.open("li");
        link("#" + section.id(), section.title(), "toc");
        html.close();
      }
      html.close().close();
    }
    html.closeLine();
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

  void group(List<Content.Found> findings, String title, String line) {
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
    html.open("div", "class", "said", "style", figures.cardPicture(found));
    // In the report the heading above says the kind.
    if (f.urgent() != null || edition != Edition.REPORT) {
      html.open("p", "class", "kind");
      if (f.urgent() != null) {
        html.leaf("strong", say("finding.urgent-word"), "class", "urgent").text(" · ");
      }
      html.text(say("kind." + f.kind())).close();
    }
    labelled("finding.seen", f.seen(), "seen");
    labelled("finding.why", f.why(), "why");
    labelled("finding.who", f.who(), "who");
    labelled("finding.told", found.told(), "told");
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
    for (List<Figure> row : figures.rows(stop.figures())) {
      blocks.add(() -> figures.row(row));
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
}

package meterside.report;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/** What all parts of the page share: the page they write, and its small forms. */
abstract class PagePart {
  /** A table with so many rows is kept on one page. */
  static final int SHORT = 12;

  /** So many points that were not inspected for one reason are listed under it. */
  private static final int MANY = 3;

  record Section(String id, String title) {}

  final Content content;
  final Page.Medium medium;
  final Page.Edition edition;
  final Html html;

  PagePart(Content content, Page.Medium medium, Page.Edition edition, Html html) {
    this.content = content;
    this.medium = medium;
    this.edition = edition;
    this.html = html;
  }

  /** A part of the same page as another. */
  PagePart(PagePart page) {
    this(page.content, page.medium, page.edition, page.html);
  }

  static String say(String key, Object... arguments) {
    return Words.say(key, arguments);
  }

  /** The key of what this edition says in place of the report. */
  String key(String of) {
    return switch (edition) {
      case REPORT -> of;
      case FIX_LIST -> of + ".fix-list";
      case ELECTRICIAN -> of + ".electrician";
    };
  }

  boolean print() {
    return medium == Page.Medium.PRINT;
  }

  // ---- small things ----

  void section(String id, String title) {
    html.open("section", "id", id);
    html.leaf("h2", title);
  }

  String changesTitle() {
    return say("changes.title", content.options().earlier().number());
  }

  List<Section> sections() {
    List<Section> out = new ArrayList<>();
    if (edition == Page.Edition.FIX_LIST) {
      out.add(new Section("findings", say("fix-list.title")));
      out.add(new Section("cautions", say("cautions.title")));
      return out;
    }
    if (edition == Page.Edition.ELECTRICIAN) {
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

  void labelled(String key, String text, String kind) {
    if (text != null && !text.isBlank()) {
      html.leaf("p", say(key), "class", "label");
      html.leaf("p", text.strip(), "class", kind, dirName(), dirValue());
    }
  }

  void link(String href, String text, String kind) {
    html.leaf("a", text, "href", href, "title", print() ? text : null, "class", kind);
  }

  void figureLinks(List<Figure> figures) {
    for (int i = 0; i < figures.size(); i++) {
      if (i > 0) {
        html.text(", ");
      }
      link("#" + figures.get(i).anchor(), figures.get(i).label(), null);
    }
  }

  void shownIn(List<Figure> figures) {
    if (!figures.isEmpty()) {
      html.text(" · ");
      figureLinks(figures);
    }
  }

  void table(String kind, String... heads) {
    html.open("table", "class", kind).open("thead").open("tr");
    int column = 0;
    for (String head : heads) {
      html.leaf("th", head, "scope", "col", "class", kind + "-" + ++column);
    }
    html.close().close().open("tbody");
  }

  /** A short table stays on one page with its title. */
  static String together(int rows) {
    return rows <= SHORT ? "keep" : null;
  }

  void list(List<String> texts) {
    html.open("ul");
    for (String text : texts) {
      html.leaf("li", text, dir());
    }
    html.closeLine();
  }

  /** Lines by stop: the stop once, then what is said there. */
  void lines(List<Content.Line> lines, boolean reasons) {
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

  /** What was not inspected: a reason that holds for many points is said once above them. */
  void notInspected() {
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

  void cautions() {
    section("cautions", say("cautions.title"));
    html.open("div", "class", "caution");
    html.leaf("h3", say("cautions.care"));
    list(Words.list("cautions", 6));
    html.closeLine();
    html.leaf("h3", say("cautions.who"));
    list(Words.list("cautions.who", 4));
    html.closeLine();
  }

  /** Text of the user finds its own direction; the PDF renderer knows only the page's. */
  String[] dir() {
    return new String[] {dirName(), dirValue()};
  }

  String dirName() {
    return "dir";
  }

  String dirValue() {
    return print() ? null : "auto";
  }
}

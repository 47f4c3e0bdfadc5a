package meterside.report;

import java.util.ArrayList;
import java.util.List;
import meterside.job.AnswerKind;
import meterside.job.FindingKind;

/** The parts of the page that stand only in extracts. */
final class ExtractParts extends PagePart {
  private final Page page;

  ExtractParts(Page page) {
    super(page);
    this.page = page;
  }

  void fixList() {
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

  void forElectrician() {
    extractTitle();
    html.open("main");
    section("findings", say("electrician.title"));
    if (content.findings().isEmpty()) {
      html.leaf("p", say("fix-list.none"));
    }
    page.group(content.urgent(), say("findings.urgent"), say("findings.urgent-line"));
    for (Content.StopPart stop : content.walk()) {
      page.group(
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
}

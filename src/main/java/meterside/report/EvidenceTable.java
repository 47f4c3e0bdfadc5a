package meterside.report;

import java.util.List;
import meterside.job.TimeBasis;

/** Which original each figure is, and what ties the report to the archive. */
final class EvidenceTable extends PagePart {
  EvidenceTable(PagePart page) {
    super(page);
  }

  void write() {
    section("evidence", say("evidence.title"));
    boolean none = content.figures().isEmpty();
    html.leaf(
        "p", none ? say("evidence.none") : say("evidence.intro", content.job().zone().getId()));
    if (!none && content.options().keepLocation()) {
      html.leaf("p", say("evidence.location-kept"));
    }
    journal();
    if (!none) {
      originals();
    }
    html.closeLine();
  }

  /** What ties the report to the archive. */
  private void journal() {
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
  }

  private void originals() {
    html.leaf("h3", say("evidence.originals"));
    List<String> sources = content.figures().stream().map(this::source).distinct().toList();
    sources(sources);
    table(
        "evidence",
        say("evidence.figure"),
        say("evidence.file"),
        say("evidence.hash"),
        say("evidence.taken"),
        say("evidence.source"));
    for (Figure f : content.figures()) {
      row(f, sources.indexOf(source(f)) + 1);
    }
    html.close().closeLine();
  }

  /** Camera, basis of its times, and what was done about its clock: said once for many photos. */
  private String source(Figure f) {
    String clock = Words.correction(content.job().clock(f.photo().camera()), f.time().basis());
    String text = content.camera(f.photo()) + ": " + Words.basis(f.time());
    return clock.isEmpty() ? text : text + "; " + clock;
  }

  private void sources(List<String> sources) {
    html.open("div", "class", sources.size() <= SHORT ? "keep" : null);
    html.leaf("p", say("evidence.sources"), "class", "label");
    html.open("ul", "class", "sources");
    for (int i = 0; i < sources.size(); i++) {
      html.open("li", "id", "clock-" + (i + 1), dirName(), dirValue());
      html.leaf("span", letter(i + 1), "class", "plate").text(" ").text(sources.get(i)).close();
    }
    html.close().closeLine();
  }

  /** 1 is a, 26 is z, 27 is aa. */
  private static String letter(int n) {
    String last = Character.toString('a' + (n - 1) % 26);
    return n <= 26 ? last : letter((n - 1) / 26) + last;
  }

  private void row(Figure f, int source) {
    html.open("tr");
    html.open("td");
    link("#" + f.anchor(), Integer.toString(f.number()), null);
    html.close();
    html.leaf("td", f.photo().name(), dirName(), dirValue());
    html.open("td").leaf("span", f.photo().id().hex(), "class", "hash").close();
    html.open("td");
    boolean timed = f.time().basis() != TimeBasis.NONE;
    html.text(timed ? Words.full(f.time().at(), content.job().zone()) : say("figure.untimed"));
    if (content.options().keepLocation()) {
      html.single("br");
      html.leaf(
          "span",
          say("evidence.position") + " " + Content.position(f.photo().position()),
          "class",
          "quiet");
    }
    html.close().open("td");
    link("#clock-" + source, letter(source), null);
    html.close().close();
  }
}

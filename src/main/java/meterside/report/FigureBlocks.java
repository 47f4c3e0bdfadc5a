package meterside.report;

import java.util.ArrayList;
import java.util.Base64;
import java.util.HashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import meterside.job.AnswerKind;
import meterside.job.Mark;
import meterside.job.Redaction;
import meterside.job.Spot;
import meterside.job.TimeBasis;
import meterside.markup.Legend;

/** The photos on the page, with what stands beside or under them. */
final class FigureBlocks extends PagePart {
  /** Border and padding of a card left and right, in points: 3 + 12 + 12 + 0.75. */
  private static final double CARD_EDGES = 27.75;

  /** Space between two pictures side by side, in points. */
  private static final double GAP = 14;

  /** Highest picture of two side by side, in points: three such rows fit a page. */
  private static final double HALF_HIGH = 165;

  /** The same for one that is higher than wide, so that its plates can be read. */
  private static final double TALL_HIGH = 230;

  /** With more names than this a picture has the page's width for itself and its legend. */
  private static final int CROWDED = 5;

  private final Pictures.Set pictures;
  private final double printWidth;
  private final Map<Integer, Set<String>> saidOf;

  FigureBlocks(PagePart page, Pictures.Set pictures) {
    super(page);
    this.pictures = pictures;
    this.printWidth = content.options().paper().textWidth();
    this.saidOf = saidOf(content);
  }

  /** Figures as they stand beside each other: wide and close first, the others in twos. */
  List<List<Figure>> rows(List<Figure> figures) {
    List<List<Figure>> out = new ArrayList<>();
    List<Figure> left = new ArrayList<>(figures);
    while (!left.isEmpty()) {
      Figure one = left.remove(0);
      Figure other = partner(one, left);
      if (other != null) {
        left.remove(other);
        out.add(isCloseOf(one, other) ? List.of(other, one) : List.of(one, other));
      } else if (!left.isEmpty()
          && small(one)
          && small(left.get(0))
          && partner(left.get(0), left) == null) {
        out.add(List.of(one, left.remove(0)));
      } else {
        out.add(List.of(one));
      }
    }
    return out;
  }

  /** The close photo of a wide one, or the wide one of a close one, among figures that follow. */
  private Figure partner(Figure one, List<Figure> others) {
    return others.stream()
        .filter(f -> f != one && (isCloseOf(f, one) || isCloseOf(one, f)))
        .filter(f -> shown(f) && shown(one))
        .findFirst()
        .orElse(null);
  }

  private static boolean isCloseOf(Figure close, Figure wide) {
    return wide.closeOnes().contains(close.photo().id());
  }

  /** Whether half the page's width is enough for a figure. */
  private boolean small(Figure f) {
    return shown(f) && f.drawing().legend().size() <= CROWDED;
  }

  void row(List<Figure> row) {
    if (row.size() == 1) {
      figure(row.get(0));
      return;
    }
    boolean pair = isCloseOf(row.get(1), row.get(0));
    double half = (printWidth - GAP) / 2;
    html.open("div", "class", "row");
    for (int i = 0; i < row.size(); i++) {
      Figure f = row.get(i);
      Pictures.Shot shot = pictures.figures().get(f.number());
      String gap = i == 0 ? style(";margin-right:%.1fpt", GAP - 0.2) : "";
      String box = print() ? style("width:%.1fpt", half) + gap : null;
      html.open("div", "class", "half", "id", f.anchor(), "style", box);
      boolean tall = shot.height() > shot.width();
      double[] size = within(shot, half, tall ? TALL_HIGH : HALF_HIGH);
      picture("figure:" + f.number(), shot, alt(f), size, 0);
      caption(f, pair ? say(i == 0 ? "figure.wide" : "figure.close") : null, true);
      html.close();
    }
    html.closeLine();
  }

  private boolean shown(Figure f) {
    Pictures.Shot shot = pictures.figures().get(f.number());
    return shot != null && shot.page() != null;
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
    caption(f, null, false);
    html.close();
    html.open("div", "class", "clear").close();
    html.closeLine();
  }

  /**
   * What stands with a picture.
   *
   * @param view which of a pair it is, or null
   * @param half whether it stands beside another
   */
  private void caption(Figure f, String view, boolean half) {
    html.open("p", "class", "caption");
    html.leaf("strong", f.label());
    if (view != null) {
      html.text(" · " + view);
    }
    html.single("br");
    html.open("span", "class", "file", dirName(), dirValue()).text(f.photo().name()).close();
    html.text(" · ").leaf("span", when(f), "class", "quiet").close();
    if (half && print()) {
      run(f);
    } else {
      legend(f);
    }
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

  /** The names on a picture, one below the other. */
  private void legend(Figure f) {
    if (f.drawing().legend().isEmpty()) {
      return;
    }
    html.open("ul", "class", "legend");
    for (Legend l : f.drawing().legend()) {
      html.open("li");
      name(l);
      String note = f.note(l);
      if (note != null) {
        html.single("br").leaf("span", note, "class", "note", dirName(), dirValue());
      }
      html.close();
    }
    html.close();
  }

  /** The names on a picture in one run of text: on paper, under one of two side by side. */
  private void run(Figure f) {
    if (f.drawing().legend().isEmpty()) {
      return;
    }
    html.open("p", "class", "legend");
    for (Legend l : f.drawing().legend()) {
      name(l);
      String note = f.note(l);
      if (note != null) {
        html.text(": ").leaf("span", note, "class", "note");
      }
      html.text("  \u2003");
    }
    html.close();
  }

  private void name(Legend l) {
    html.leaf(
        "span",
        Integer.toString(l.number()),
        "class",
        l.finding() == null ? "plate" : "plate tied");
    html.text("\u00a0").leaf("span", term(l), dir());
    if (l.finding() != null) {
      html.text(" ");
      link("#finding-" + l.finding(), "F" + l.finding(), "ref");
    }
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
  String cardPicture(Content.Found found) {
    Pictures.Shot shot = pictures.closeUps().get(found.finding().number());
    if (shot == null) {
      return null;
    }
    Figure f = found.figures().get(0);
    String alt = say("finding.close-alt", f.number(), alt(f));
    double[] size =
        edition == Page.Edition.REPORT ? within(shot, 212, 180) : within(shot, 250, 230);
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
}

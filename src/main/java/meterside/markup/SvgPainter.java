package meterside.markup;

import java.nio.charset.StandardCharsets;
import java.util.Base64;
import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;
import meterside.job.Point;
import meterside.job.Sentences;

/**
 * Writes a drawing as SVG 1.1: one element, valid XML, no style sheet, no ids, no scripts and
 * nothing from outside, so that it can stand in an HTML page many times over, and in a PDF. Text is
 * text, in Roboto (400 and 700), each line with the width it was measured to have, so that another
 * font does not run over its plate.
 *
 * <p>A cover in SVG hides nothing of a picture beneath it: burn the redactions into the picture
 * first ({@link GraphicsPainter#burn}).
 */
public final class SvgPainter {

  private SvgPainter() {}

  /**
   * The drawing as an {@code svg} element over a photo of that size.
   *
   * @param width width of the view box, in pixels
   * @param height height of the view box, in pixels
   */
  public static String svg(Drawing d, int width, int height) {
    StringBuilder out = new StringBuilder(1024);
    out.append("<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 ")
        .append(width)
        .append(' ')
        .append(height)
        .append("\" width=\"")
        .append(width)
        .append("\" height=\"")
        .append(height)
        .append("\" role=\"img\" aria-label=\"")
        .append(escape(spoken(d)))
        .append("\">");
    d.paintWith(new AsText(out, new Frame(width, height)));
    return out.append("</svg>").toString();
  }

  /**
   * The same as a data URI, for an attribute or a {@code url()} in a style sheet: it holds no
   * quotes, no spaces and no brackets.
   */
  public static String dataUri(Drawing d, int width, int height) {
    byte[] bytes = svg(d, width, height).getBytes(StandardCharsets.UTF_8);
    return "data:image/svg+xml;base64," + Base64.getEncoder().encodeToString(bytes);
  }

  /** What a screen reader says for the whole drawing. */
  private static String spoken(Drawing d) {
    Sentences say = Sentences.in(SvgPainter.class);
    if (d.legend().isEmpty()) {
      return say.say("drawing.no-names");
    }
    String names =
        d.legend().stream()
            .map(
                l ->
                    l.number()
                        + (l.term().isEmpty() ? "" : " " + l.term())
                        + (l.finding() == null ? "" : " F" + l.finding())
                        + (l.note() == null ? "" : ": " + l.note()))
            .collect(Collectors.joining("; "));
    return say.say("drawing.names", names);
  }

  private static String escape(String text) {
    StringBuilder out = new StringBuilder(text.length() + 16);
    for (int i = 0; i < text.length(); i++) {
      char c = text.charAt(i);
      switch (c) {
        case '&' -> out.append("&amp;");
        case '<' -> out.append("&lt;");
        case '>' -> out.append("&gt;");
        case '"' -> out.append("&quot;");
        case '\'' -> out.append("&#39;");
        default -> out.append(c);
      }
    }
    return out.toString();
  }

  private static final class AsText implements Brush {
    private final StringBuilder out;
    private final Frame frame;

    AsText(StringBuilder out, Frame frame) {
      this.out = out;
      this.frame = frame;
    }

    @Override
    public void cover(Cover cover) {
      out.append("<polygon points=\"").append(points(cover.corners())).append('"');
      fill(Tone.COVER);
      // As wide a border as the burnt cover has, so that both look alike.
      out.append(" stroke=\"")
          .append(Tone.COVER.hex())
          .append("\" stroke-width=\"")
          .append(n(2 * GraphicsPainter.COVER_MARGIN))
          .append("\" stroke-linejoin=\"round\"/>");
    }

    @Override
    public void polygon(Polygon p) {
      String open = "<polygon points=\"" + points(p.corners()) + "\" stroke-linejoin=\"round\"";
      twice(open, frame.length(p.stroke()), frame.length(p.halo()));
    }

    @Override
    public void dimension(Dimension d) {
      StringBuilder path = new StringBuilder("<path d=\"");
      for (double[] l : d.lines(frame)) {
        path.append('M').append(n(l[0])).append(' ').append(n(l[1]));
        path.append('L').append(n(l[2])).append(' ').append(n(l[3]));
      }
      path.append("\" stroke-linecap=\"round\"");
      twice(path.toString(), frame.length(d.stroke()), frame.length(d.halo()));
    }

    @Override
    public void ring(Ring r) {
      double halo = frame.length(r.halo());
      twice(circle(r.centre(), frame.length(r.radius())), frame.length(r.stroke()), halo);
      if (r.hasDot()) {
        double dot = frame.length(r.dot());
        out.append(circle(r.centre(), dot + halo));
        fill(Tone.PAPER);
        out.append("/>").append(circle(r.centre(), dot));
        fill(Tone.INK);
        out.append("/>");
      }
    }

    @Override
    public void leader(Leader l) {
      String open =
          "<line x1=\""
              + n(frame.x(l.from()))
              + "\" y1=\""
              + n(frame.y(l.from()))
              + "\" x2=\""
              + n(frame.x(l.to()))
              + "\" y2=\""
              + n(frame.y(l.to()))
              + "\"";
      twice(open, frame.length(l.stroke()), frame.length(l.halo()));
    }

    @Override
    public void plate(Plate p) {
      double x = frame.x(p.topLeft());
      double y = frame.y(p.topLeft());
      double w = frame.length(p.width());
      double h = frame.length(p.height());
      double corner = frame.length(p.corner());
      double halo = frame.length(p.halo());
      double border = frame.length(p.border());
      rect(x - halo, y - halo, w + 2 * halo, h + 2 * halo, corner + halo, Tone.PAPER);
      rect(x, y, w, h, corner, Tone.INK);
      if (!p.filled()) {
        rect(
            x + border,
            y + border,
            w - 2 * border,
            h - 2 * border,
            Math.max(0, corner - border),
            Tone.PAPER);
      }
      for (int i = 0; i < p.lines().size(); i++) {
        Plate.Line line = p.lines().get(i);
        out.append("<text x=\"")
            .append(n(x + frame.length(line.x())))
            .append("\" y=\"")
            .append(n(y + frame.length(line.baseline())))
            .append("\" font-family=\"Roboto, Arial, sans-serif\" font-size=\"")
            .append(n(frame.length(line.size())))
            .append("\" font-weight=\"")
            .append(line.bold() ? "700" : "400")
            .append("\" textLength=\"")
            .append(n(frame.length(line.width())))
            .append("\" lengthAdjust=\"spacingAndGlyphs\"");
        fill(GraphicsPainter.textTone(p.filled(), i));
        out.append('>').append(escape(line.text())).append("</text>");
      }
    }

    private void twice(String open, double stroke, double halo) {
      stroke(open, stroke + 2 * halo, Tone.PAPER);
      stroke(open, stroke, Tone.INK);
    }

    private void stroke(String open, double width, Tone tone) {
      out.append(open)
          .append(" fill=\"none\" stroke=\"")
          .append(tone.hex())
          .append("\" stroke-width=\"")
          .append(n(width))
          .append("\"/>");
    }

    private void fill(Tone tone) {
      out.append(" fill=\"").append(tone.hex()).append('"');
    }

    private void rect(double x, double y, double w, double h, double r, Tone tone) {
      out.append("<rect x=\"")
          .append(n(x))
          .append("\" y=\"")
          .append(n(y))
          .append("\" width=\"")
          .append(n(w))
          .append("\" height=\"")
          .append(n(h))
          .append("\" rx=\"")
          .append(n(r))
          .append('"');
      fill(tone);
      out.append("/>");
    }

    private String circle(Point centre, double r) {
      return "<circle cx=\""
          + n(frame.x(centre))
          + "\" cy=\""
          + n(frame.y(centre))
          + "\" r=\""
          + n(r)
          + "\"";
    }

    private String points(List<Point> corners) {
      return corners.stream()
          .map(p -> n(frame.x(p)) + "," + n(frame.y(p)))
          .collect(Collectors.joining(" "));
    }

    /** A number with at most three decimals. */
    private static String n(double value) {
      String s = String.format(Locale.ROOT, "%.3f", value);
      return s.replaceFirst("\\.?0+$", "");
    }
  }
}

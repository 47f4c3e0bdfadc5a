package meterside.markup;

import java.awt.BasicStroke;
import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.geom.AffineTransform;
import java.awt.geom.Ellipse2D;
import java.awt.geom.Line2D;
import java.awt.geom.Path2D;
import java.awt.geom.RoundRectangle2D;
import java.awt.image.BufferedImage;
import java.util.List;
import meterside.job.Point;

/**
 * Paints a drawing with Java2D, and burns redactions into pixels. Text is filled as outlines, so
 * that it needs no font of the system and looks the same at every size.
 */
public final class GraphicsPainter {

  /** How far a cover reaches over its edge, in device pixels. */
  static final double COVER_MARGIN = 2;

  private GraphicsPainter() {}

  /**
   * Paints a drawing over a photo that is shown with its top left corner at the origin.
   *
   * @param g where to paint; left as it was
   * @param d the drawing
   * @param width width of the shown photo, in the units of {@code g}
   * @param height height of the shown photo
   */
  public static void paint(Graphics2D g, Drawing d, double width, double height) {
    Graphics2D own = (Graphics2D) g.create();
    try {
      d.paintWith(new OnGraphics(own, new Frame(width, height)));
    } finally {
      own.dispose();
    }
  }

  /**
   * A new picture with the redactions burnt in, always, and the marks painted over them if wanted.
   * Every pixel that a redaction touches, and a border of two pixels round it, gets the cover's
   * colour, so that nothing of what was there is left, not even mixed into an edge. Transparent
   * parts become white.
   *
   * @param upright the upright picture; not changed
   * @param d the drawing of the photo
   * @param marks whether to paint the marks too
   * @return opaque, 8 bits a channel, of the same size
   */
  public static BufferedImage burn(BufferedImage upright, Drawing d, boolean marks) {
    int w = upright.getWidth();
    int h = upright.getHeight();
    BufferedImage out = new BufferedImage(w, h, BufferedImage.TYPE_INT_RGB);
    Graphics2D g = out.createGraphics();
    try {
      g.setColor(java.awt.Color.WHITE);
      g.fillRect(0, 0, w, h);
      g.drawImage(upright, 0, 0, null);
      OnGraphics brush = new OnGraphics(g, new Frame(w, h));
      d.coversOnly().paintWith(brush);
      if (marks) {
        d.paintWith(brush);
      }
    } finally {
      g.dispose();
    }
    return out;
  }

  private static final class OnGraphics implements Brush {
    private final Graphics2D g;
    private final Frame frame;

    OnGraphics(Graphics2D g, Frame frame) {
      this.g = g;
      this.frame = frame;
      g.setRenderingHint(RenderingHints.KEY_STROKE_CONTROL, RenderingHints.VALUE_STROKE_PURE);
      g.setRenderingHint(RenderingHints.KEY_RENDERING, RenderingHints.VALUE_RENDER_QUALITY);
    }

    @Override
    public void cover(Cover cover) {
      smooth(false);
      g.setColor(Tone.COVER.color());
      Path2D path = path(cover.corners());
      g.fill(path);
      AffineTransform t = g.getTransform();
      double scale = Math.sqrt(Math.abs(t.getDeterminant()));
      g.setStroke(stroke(2 * COVER_MARGIN / (scale > 0 ? scale : 1)));
      g.draw(path);
      smooth(true);
    }

    @Override
    public void polygon(Polygon polygon) {
      smooth(true);
      Path2D path = path(polygon.corners());
      double stroke = frame.length(polygon.stroke());
      twice(path, stroke, frame.length(polygon.halo()), BasicStroke.CAP_ROUND);
    }

    @Override
    public void dimension(Dimension dimension) {
      smooth(true);
      Path2D path = new Path2D.Double();
      for (double[] l : dimension.lines(frame)) {
        path.moveTo(l[0], l[1]);
        path.lineTo(l[2], l[3]);
      }
      twice(
          path,
          frame.length(dimension.stroke()),
          frame.length(dimension.halo()),
          BasicStroke.CAP_ROUND);
    }

    @Override
    public void ring(Ring ring) {
      smooth(true);
      double x = frame.x(ring.centre());
      double y = frame.y(ring.centre());
      double halo = frame.length(ring.halo());
      twice(
          disc(x, y, frame.length(ring.radius())),
          frame.length(ring.stroke()),
          halo,
          BasicStroke.CAP_BUTT);
      if (ring.hasDot()) {
        double r = frame.length(ring.dot());
        g.setColor(Tone.PAPER.color());
        g.fill(disc(x, y, r + halo));
        g.setColor(Tone.INK.color());
        g.fill(disc(x, y, r));
      }
    }

    @Override
    public void leader(Leader leader) {
      smooth(true);
      Line2D line =
          new Line2D.Double(
              frame.x(leader.from()),
              frame.y(leader.from()),
              frame.x(leader.to()),
              frame.y(leader.to()));
      twice(line, frame.length(leader.stroke()), frame.length(leader.halo()), BasicStroke.CAP_BUTT);
    }

    @Override
    public void plate(Plate plate) {
      smooth(true);
      double x = frame.x(plate.topLeft());
      double y = frame.y(plate.topLeft());
      double w = frame.length(plate.width());
      double h = frame.length(plate.height());
      double corner = frame.length(plate.corner());
      double halo = frame.length(plate.halo());
      double border = frame.length(plate.border());
      g.setColor(Tone.PAPER.color());
      g.fill(rounded(x - halo, y - halo, w + 2 * halo, h + 2 * halo, corner + halo));
      g.setColor(Tone.INK.color());
      g.fill(rounded(x, y, w, h, corner));
      if (!plate.filled()) {
        g.setColor(Tone.PAPER.color());
        g.fill(
            rounded(
                x + border,
                y + border,
                w - 2 * border,
                h - 2 * border,
                Math.max(0, corner - border)));
      }
      for (int i = 0; i < plate.lines().size(); i++) {
        Plate.Line line = plate.lines().get(i);
        g.setColor(textTone(plate.filled(), i).color());
        Path2D text = Lettering.of(line.bold()).outline(line.text(), frame.length(line.size()));
        text.transform(
            AffineTransform.getTranslateInstance(
                x + frame.length(line.x()), y + frame.length(line.baseline())));
        g.fill(text);
      }
    }

    private void twice(java.awt.Shape shape, double stroke, double halo, int cap) {
      g.setColor(Tone.PAPER.color());
      g.setStroke(stroke(stroke + 2 * halo, cap));
      g.draw(shape);
      g.setColor(Tone.INK.color());
      g.setStroke(stroke(stroke, cap));
      g.draw(shape);
    }

    private void smooth(boolean on) {
      g.setRenderingHint(
          RenderingHints.KEY_ANTIALIASING,
          on ? RenderingHints.VALUE_ANTIALIAS_ON : RenderingHints.VALUE_ANTIALIAS_OFF);
    }

    private Path2D path(List<Point> corners) {
      Path2D path = new Path2D.Double(Path2D.WIND_NON_ZERO);
      for (int i = 0; i < corners.size(); i++) {
        double x = frame.x(corners.get(i));
        double y = frame.y(corners.get(i));
        if (i == 0) {
          path.moveTo(x, y);
        } else {
          path.lineTo(x, y);
        }
      }
      path.closePath();
      return path;
    }

    private static BasicStroke stroke(double width) {
      return stroke(width, BasicStroke.CAP_ROUND);
    }

    private static BasicStroke stroke(double width, int cap) {
      return new BasicStroke((float) width, cap, BasicStroke.JOIN_ROUND);
    }

    private static Ellipse2D disc(double x, double y, double r) {
      return new Ellipse2D.Double(x - r, y - r, 2 * r, 2 * r);
    }

    private static RoundRectangle2D rounded(double x, double y, double w, double h, double r) {
      return new RoundRectangle2D.Double(x, y, w, h, 2 * r, 2 * r);
    }
  }

  /** The colour of a line of text on a plate. */
  static Tone textTone(boolean filled, int line) {
    if (line == 0) {
      return filled ? Tone.PAPER : Tone.INK;
    }
    return filled ? Tone.QUIET_ON_INK : Tone.QUIET_ON_PAPER;
  }
}

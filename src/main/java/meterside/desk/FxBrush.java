package meterside.desk;

import java.util.List;
import javafx.scene.canvas.GraphicsContext;
import javafx.scene.paint.Color;
import javafx.scene.shape.StrokeLineCap;
import javafx.scene.shape.StrokeLineJoin;
import javafx.scene.text.Font;
import javafx.scene.text.FontWeight;
import meterside.job.Point;
import meterside.markup.Brush;
import meterside.markup.Cover;
import meterside.markup.Dimension;
import meterside.markup.Frame;
import meterside.markup.Leader;
import meterside.markup.Plate;
import meterside.markup.Polygon;
import meterside.markup.Ring;
import meterside.markup.Tone;

/** Paints a drawing on the window's canvas; decides nothing itself. */
final class FxBrush implements Brush {
  private static final Color INK = color(Tone.INK);
  private static final Color PAPER = color(Tone.PAPER);
  private static final Color COVER = color(Tone.COVER);
  private static final Color QUIET_ON_PAPER = color(Tone.QUIET_ON_PAPER);
  private static final Color QUIET_ON_INK = color(Tone.QUIET_ON_INK);

  private final GraphicsContext g;
  private final Frame frame;
  private final double left;
  private final double top;

  /**
   * A brush for a photo that is shown at a place of the canvas.
   *
   * @param frame size of the shown photo
   * @param left its left edge
   * @param top its top edge
   */
  FxBrush(GraphicsContext g, Frame frame, double left, double top) {
    this.g = g;
    this.frame = frame;
    this.left = left;
    this.top = top;
    g.setLineJoin(StrokeLineJoin.ROUND);
  }

  private static Color color(Tone tone) {
    return Color.web(tone.hex());
  }

  @Override
  public void cover(Cover cover) {
    path(cover.corners());
    g.setFill(COVER);
    g.fill();
  }

  @Override
  public void polygon(Polygon polygon) {
    path(polygon.corners());
    g.setLineCap(StrokeLineCap.ROUND);
    double stroke = frame.length(polygon.stroke());
    stroke(PAPER, stroke + 2 * frame.length(polygon.halo()));
    stroke(INK, stroke);
  }

  @Override
  public void dimension(Dimension dimension) {
    double stroke = frame.length(dimension.stroke());
    g.setLineCap(StrokeLineCap.ROUND);
    for (int pass = 0; pass < 2; pass++) {
      g.setStroke(pass == 0 ? PAPER : INK);
      g.setLineWidth(pass == 0 ? stroke + 2 * frame.length(dimension.halo()) : stroke);
      for (double[] l : dimension.lines(frame)) {
        g.strokeLine(left + l[0], top + l[1], left + l[2], top + l[3]);
      }
    }
  }

  @Override
  public void ring(Ring ring) {
    double x = left + frame.x(ring.centre());
    double y = top + frame.y(ring.centre());
    double r = frame.length(ring.radius());
    double stroke = frame.length(ring.stroke());
    double halo = frame.length(ring.halo());
    g.setStroke(PAPER);
    g.setLineWidth(stroke + 2 * halo);
    g.strokeOval(x - r, y - r, 2 * r, 2 * r);
    g.setStroke(INK);
    g.setLineWidth(stroke);
    g.strokeOval(x - r, y - r, 2 * r, 2 * r);
    if (ring.hasDot()) {
      double dot = frame.length(ring.dot());
      disc(PAPER, x, y, dot + halo);
      disc(INK, x, y, dot);
    }
  }

  @Override
  public void leader(Leader leader) {
    double x1 = left + frame.x(leader.from());
    double y1 = top + frame.y(leader.from());
    double x2 = left + frame.x(leader.to());
    double y2 = top + frame.y(leader.to());
    g.setLineCap(StrokeLineCap.BUTT);
    double stroke = frame.length(leader.stroke());
    g.setStroke(PAPER);
    g.setLineWidth(stroke + 2 * frame.length(leader.halo()));
    g.strokeLine(x1, y1, x2, y2);
    g.setStroke(INK);
    g.setLineWidth(stroke);
    g.strokeLine(x1, y1, x2, y2);
  }

  @Override
  public void plate(Plate plate) {
    double x = left + frame.x(plate.topLeft());
    double y = top + frame.y(plate.topLeft());
    double w = frame.length(plate.width());
    double h = frame.length(plate.height());
    double corner = frame.length(plate.corner());
    double halo = frame.length(plate.halo());
    double border = frame.length(plate.border());
    box(PAPER, x - halo, y - halo, w + 2 * halo, h + 2 * halo, corner + halo);
    box(INK, x, y, w, h, corner);
    if (!plate.filled()) {
      box(
          PAPER,
          x + border,
          y + border,
          w - 2 * border,
          h - 2 * border,
          Math.max(0, corner - border));
    }
    for (int i = 0; i < plate.lines().size(); i++) {
      Plate.Line line = plate.lines().get(i);
      g.setFill(plate.filled() ? i == 0 ? PAPER : QUIET_ON_INK : i == 0 ? INK : QUIET_ON_PAPER);
      g.setFont(
          Font.font(
              "Roboto",
              line.bold() ? FontWeight.BOLD : FontWeight.NORMAL,
              frame.length(line.size())));
      // The drawing says how wide the line is; the toolkit's own setting may differ by a hair.
      g.fillText(
          line.text(),
          x + frame.length(line.x()),
          y + frame.length(line.baseline()),
          frame.length(line.width()) + 1);
    }
  }

  private void path(List<Point> corners) {
    g.beginPath();
    for (int i = 0; i < corners.size(); i++) {
      double x = left + frame.x(corners.get(i));
      double y = top + frame.y(corners.get(i));
      if (i == 0) {
        g.moveTo(x, y);
      } else {
        g.lineTo(x, y);
      }
    }
    g.closePath();
  }

  private void stroke(Color color, double width) {
    g.setStroke(color);
    g.setLineWidth(width);
    g.stroke();
  }

  private void disc(Color color, double x, double y, double r) {
    g.setFill(color);
    g.fillOval(x - r, y - r, 2 * r, 2 * r);
  }

  private void box(Color color, double x, double y, double w, double h, double r) {
    g.setFill(color);
    g.fillRoundRect(x, y, w, h, 2 * r, 2 * r);
  }
}

package meterside.report;

import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.image.BufferedImage;
import java.io.IOException;
import java.nio.file.NoSuchFileException;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import meterside.archive.JobFolder;
import meterside.archive.Sha256;
import meterside.job.Format;
import meterside.job.Mark;
import meterside.job.Orientation;
import meterside.markup.Cover;
import meterside.markup.Drawing;
import meterside.markup.GraphicsPainter;
import meterside.markup.SvgPainter;
import meterside.picture.Jpegs;
import meterside.picture.Pixels;
import meterside.picture.UnreadablePicture;

/**
 * Makes the pictures of a report from the originals. Each photo is decoded once, turned upright,
 * and its redactions are burnt in before anything else happens; every picture delivered is then
 * encoded anew from those pixels.
 */
final class Pictures {
  /** Long side of the pictures on the pages, in pixels: 200 and more to the inch as printed. */
  static final int PAGE_SIDE = 1500;

  /** Long side of the close view beside a finding, in pixels. */
  private static final int CLOSE_SIDE = 900;

  private static final float PAGE_QUALITY = 0.8f;
  private static final float MARKED_QUALITY = 0.88f;

  /**
   * The pictures of one figure.
   *
   * @param page for the pages: upright, redacted, without callouts; null if it can't be shown
   * @param width its width in pixels
   * @param height its height in pixels
   * @param svg its callouts and outlines, the same shape as the picture; null if there are none
   * @param marked upright, redacted, with callouts, in the original's size; null if not shown
   * @param trouble a sentence on why it can't be shown, else null
   */
  record Shot(byte[] page, int width, int height, String svg, byte[] marked, String trouble) {

    /** The same without the large marked photo, once that is on disk. */
    Shot withoutMarked() {
      return new Shot(page, width, height, svg, null, trouble);
    }
  }

  /**
   * All pictures of a report.
   *
   * @param figures by figure number
   * @param closeUps by finding number, for findings whose main photo can be shown
   */
  record Set(Map<Integer, Shot> figures, Map<Integer, Shot> closeUps) {}

  private final JobFolder folder;

  Pictures(JobFolder folder) {
    this.folder = folder;
  }

  /**
   * The pictures of a figure.
   *
   * @param findings the findings whose main photo this is
   * @param closeUps takes their close-ups, by finding number
   */
  Shot take(Figure figure, List<Content.Found> findings, Map<Integer, Shot> closeUps) {
    BufferedImage image;
    try {
      byte[] original = folder.originals().bytes(figure.photo());
      if (!Sha256.of(original).equals(figure.photo().id())) {
        return none("figure.missing.changed");
      }
      image = Pixels.upright(original, figure.photo().format(), figure.photo().orientation(), 0);
    } catch (NoSuchFileException e) {
      return none("figure.missing.gone");
    } catch (UnreadablePicture | IOException e) {
      return none("figure.missing.unread");
    }
    return shot(figure, image, findings, closeUps, true);
  }

  /**
   * The pictures of a figure for pages that are only looked at: from its preview, if there is one,
   * and without the marked photo.
   *
   * @param findings the findings whose main photo this is
   * @param closeUps takes their close-ups, by finding number
   */
  Shot look(Figure figure, List<Content.Found> findings, Map<Integer, Shot> closeUps) {
    byte[] preview = folder.preview(figure.photo().id()).orElse(null);
    if (preview == null) {
      return take(figure, findings, closeUps).withoutMarked();
    }
    try {
      BufferedImage image = Pixels.upright(preview, Format.JPEG, Orientation.NORMAL, 0);
      return shot(figure, image, findings, closeUps, false);
    } catch (UnreadablePicture e) {
      return take(figure, findings, closeUps).withoutMarked();
    }
  }

  private static Shot shot(
      Figure figure,
      BufferedImage upright,
      List<Content.Found> findings,
      Map<Integer, Shot> closeUps,
      boolean withMarked) {
    Drawing drawing = figure.drawing();
    BufferedImage image = figure.view().changes() ? figure.view().picture(upright) : upright;
    BufferedImage small = within(image, PAGE_SIDE);
    byte[] page = Jpegs.encode(small, PAGE_QUALITY);
    int width = small.getWidth();
    int height = small.getHeight();
    String svg =
        visible(drawing).isEmpty() ? null : SvgPainter.svg(visible(drawing), width, height);
    for (Content.Found found : findings) {
      closeUps.put(found.finding().number(), closeUp(figure, found, image));
    }
    if (!withMarked) {
      return new Shot(page, width, height, svg, null, null);
    }
    Graphics2D g = image.createGraphics();
    GraphicsPainter.paint(g, drawing, image.getWidth(), image.getHeight());
    g.dispose();
    return new Shot(page, width, height, svg, Jpegs.encode(image, MARKED_QUALITY), null);
  }

  /** The drawing without its covers, which are in the pixels already. */
  private static Drawing visible(Drawing drawing) {
    return new Drawing(
        drawing.shapes().stream().filter(s -> !(s instanceof Cover)).toList(), drawing.legend());
  }

  private static Shot closeUp(Figure figure, Content.Found found, BufferedImage redacted) {
    java.util.Set<Integer> marks = new HashSet<>();
    for (Mark mark : figure.marks()) {
      if (Objects.equals(Content.findingOf(mark), found.finding().number())) {
        marks.add(mark.id());
      }
    }
    int w = redacted.getWidth();
    int h = redacted.getHeight();
    CloseUp close = CloseUp.of(figure, marks, (double) w / h);
    int left = (int) Math.round(close.x() * w);
    int top = (int) Math.round(close.y() * h);
    BufferedImage part =
        redacted.getSubimage(
            left,
            top,
            Math.max(1, Math.min(w - left, (int) Math.round(close.width() * w))),
            Math.max(1, Math.min(h - top, (int) Math.round(close.height() * h))));
    BufferedImage small = within(part, CLOSE_SIDE);
    String svg =
        close.drawing().isEmpty()
            ? null
            : SvgPainter.svg(close.drawing(), small.getWidth(), small.getHeight());
    return new Shot(
        Jpegs.encode(small, PAGE_QUALITY), small.getWidth(), small.getHeight(), svg, null, null);
  }

  private static Shot none(String key) {
    return new Shot(null, 0, 0, null, null, Words.say("figure.missing", Words.say(key)));
  }

  /** The picture with its long side at most {@code side} pixels; halved step by step. */
  static BufferedImage within(BufferedImage image, int side) {
    double scale = (double) side / Math.max(image.getWidth(), image.getHeight());
    if (scale >= 1) {
      boolean part = image.getRaster().getParent() != null;
      return part ? scaled(image, image.getWidth(), image.getHeight()) : image;
    }
    int width = Math.max(1, (int) Math.round(image.getWidth() * scale));
    int height = Math.max(1, (int) Math.round(image.getHeight() * scale));
    BufferedImage at = image;
    while (at.getWidth() > 2 * width && at.getHeight() > 2 * height) {
      at = scaled(at, (at.getWidth() + 1) / 2, (at.getHeight() + 1) / 2);
    }
    return scaled(at, width, height);
  }

  private static BufferedImage scaled(BufferedImage from, int width, int height) {
    BufferedImage to = new BufferedImage(width, height, BufferedImage.TYPE_INT_RGB);
    Graphics2D g = to.createGraphics();
    g.setRenderingHint(
        RenderingHints.KEY_INTERPOLATION, RenderingHints.VALUE_INTERPOLATION_BILINEAR);
    g.drawImage(from, 0, 0, width, height, null);
    g.dispose();
    return to;
  }
}

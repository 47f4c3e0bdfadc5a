package meterside.markup;

import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.geom.AffineTransform;
import java.awt.geom.NoninvertibleTransformException;
import java.awt.geom.Point2D;
import java.awt.image.BufferedImage;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import meterside.job.Job;
import meterside.job.Mark;
import meterside.job.Photo;
import meterside.job.Point;
import meterside.job.Redaction;
import meterside.job.ReportView;
import meterside.job.Sentences;

/**
 * A photo as it is delivered ({@link ReportView}): the one map between points of the photo and
 * points of the delivered picture, and the pixels. Screen and report both go through it, so that
 * what is marked on one lies on the same thing in the other.
 *
 * <p>Points of the photo are fractions of the EXIF-upright photo; points of the delivered picture
 * are fractions of its width and height, origin top left. {@link Drawing#delivered} makes the
 * drawing that goes over it. Immutable.
 */
public final class Delivered {
  private final ReportView view;
  private final double photoWidth;
  private final double photoHeight;
  private final double width;
  private final double height;
  private final List<Cover> covers;
  private final AffineTransform forth;
  private final AffineTransform back;

  private Delivered(Photo photo, ReportView view, List<Cover> covers) {
    boolean known = photo.uprightWidth() > 0 && photo.uprightHeight() > 0;
    // A photo of unknown size can't be shown either; most cameras are 4:3.
    this.photoWidth = known ? photo.uprightWidth() : 4;
    this.photoHeight = known ? photo.uprightHeight() : 3;
    this.view = view;
    this.covers = List.copyOf(covers);
    boolean swapped = view.turn() % 2 == 1;
    double turnedWidth = swapped ? photoHeight : photoWidth;
    double turnedHeight = swapped ? photoWidth : photoHeight;
    double angle = Math.toRadians(view.straighten());
    double c = Math.cos(angle);
    double s = Math.abs(Math.sin(angle));
    // The largest part of the same shape whose corners, turned back, lie on the photo.
    double kept =
        Math.min(
            turnedWidth / (turnedWidth * c + turnedHeight * s),
            turnedHeight / (turnedWidth * s + turnedHeight * c));
    double straightWidth = turnedWidth * kept;
    double straightHeight = turnedHeight * kept;
    this.width = straightWidth * view.cropWidth();
    this.height = straightHeight * view.cropHeight();
    AffineTransform t = new AffineTransform();
    t.translate(
        straightWidth / 2 - view.cropX() * straightWidth,
        straightHeight / 2 - view.cropY() * straightHeight);
    t.rotate(angle);
    t.quadrantRotate(view.turn());
    t.translate(-photoWidth / 2, -photoHeight / 2);
    this.forth = t;
    try {
      this.back = t.createInverse();
    } catch (NoninvertibleTransformException e) {
      throw new IllegalStateException(e); // turns and shifts can always be undone
    }
  }

  /** A photo as the job delivers it, its redactions burnt in. */
  public static Delivered of(Job job, Photo photo) {
    return of(job, photo, job.reportView(photo.id()));
  }

  /** The same in another view: for showing one before it is kept. */
  public static Delivered of(Job job, Photo photo, ReportView view) {
    List<Cover> covers = new ArrayList<>();
    for (Mark m : job.marksOn(photo.id())) {
      if (m instanceof Redaction r) {
        covers.add(new Cover(r.id(), r.corners()));
      }
    }
    return new Delivered(photo, view, covers);
  }

  /** A photo as it was taken, without its redactions: the frame in which marks are drawn. */
  static Delivered asTaken(Photo photo) {
    return new Delivered(photo, ReportView.AS_TAKEN, List.of());
  }

  /**
   * Whether the delivered picture differs from the photo: something is hidden, or it is shown
   * otherwise.
   */
  public boolean changes() {
    return !covers.isEmpty() || !view.equals(ReportView.AS_TAKEN);
  }

  /** How the photo is shown. */
  public ReportView view() {
    return view;
  }

  /** Width of the delivered picture in pixels of the photo's full size; not rounded. */
  public double width() {
    return width;
  }

  /** Height of the delivered picture in pixels of the photo's full size; not rounded. */
  public double height() {
    return height;
  }

  /** Where a point of the photo lies in the delivered picture; outside 0 to 1 if left out. */
  public Point toDelivered(Point onPhoto) {
    if (view.equals(ReportView.AS_TAKEN)) {
      return onPhoto;
    }
    Point2D p =
        forth.transform(
            new Point2D.Double(onPhoto.x() * photoWidth, onPhoto.y() * photoHeight), null);
    return new Point(p.getX() / width, p.getY() / height);
  }

  /** The point of the photo that is shown at a point of the delivered picture. */
  public Point toPhoto(Point delivered) {
    if (view.equals(ReportView.AS_TAKEN)) {
      return delivered;
    }
    Point2D p =
        back.transform(new Point2D.Double(delivered.x() * width, delivered.y() * height), null);
    return new Point(p.getX() / photoWidth, p.getY() / photoHeight);
  }

  /** The corners of the delivered picture on the photo, in turn from its top left. */
  public List<Point> frameOnPhoto() {
    return List.of(
        toPhoto(new Point(0, 0)),
        toPhoto(new Point(1, 0)),
        toPhoto(new Point(1, 1)),
        toPhoto(new Point(0, 1)));
  }

  /**
   * The delivered picture. Redactions are burnt into the photo's own pixels before anything else
   * happens to them, so that no turning or sharpening mixes a hidden pixel into one beside it; then
   * the picture is turned, straightened and cropped, its tones are changed, and the covers are
   * painted once more, flat. Marks are not painted.
   *
   * @param upright the upright photo at any scale; not changed
   * @return opaque, 8 bits a channel; the same scale
   */
  public BufferedImage picture(BufferedImage upright) {
    Drawing hidden = new Drawing(List.copyOf(covers), List.of());
    BufferedImage burnt = GraphicsPainter.burn(upright, hidden, false);
    if (view.equals(ReportView.AS_TAKEN)) {
      return burnt;
    }
    double sx = burnt.getWidth() / photoWidth;
    double sy = burnt.getHeight() / photoHeight;
    boolean swapped = view.turn() % 2 == 1;
    int w = Math.max(1, (int) Math.round(width * (swapped ? sy : sx)));
    int h = Math.max(1, (int) Math.round(height * (swapped ? sx : sy)));
    BufferedImage out = new BufferedImage(w, h, BufferedImage.TYPE_INT_RGB);
    AffineTransform t = AffineTransform.getScaleInstance(w / width, h / height);
    t.concatenate(forth);
    t.scale(1 / sx, 1 / sy);
    Graphics2D g = out.createGraphics();
    try {
      g.setRenderingHint(
          RenderingHints.KEY_INTERPOLATION,
          view.straighten() == 0
              ? RenderingHints.VALUE_INTERPOLATION_NEAREST_NEIGHBOR
              : RenderingHints.VALUE_INTERPOLATION_BILINEAR);
      g.drawImage(burnt, t, null);
    } finally {
      g.dispose();
    }
    if (view.tonesChanged()) {
      tone(out);
    }
    List<Shape> again = new ArrayList<>();
    for (Cover c : covers) {
      again.add(new Cover(c.mark(), c.corners().stream().map(this::toDelivered).toList()));
    }
    return again.isEmpty() ? out : GraphicsPainter.burn(out, new Drawing(again, List.of()), false);
  }

  /** Contrast turns round middle grey and doubles twice at most; brightness moves by half. */
  private void tone(BufferedImage image) {
    double factor = Math.pow(4, view.contrast());
    int[] table = new int[256];
    for (int i = 0; i < 256; i++) {
      double v = (i / 255.0 - 0.5) * factor + 0.5 + view.brightness() / 2;
      table[i] = (int) Math.round(255 * Math.max(0, Math.min(1, v)));
    }
    int[] row = new int[image.getWidth()];
    for (int y = 0; y < image.getHeight(); y++) {
      image.getRGB(0, y, row.length, 1, row, 0, row.length);
      for (int x = 0; x < row.length; x++) {
        int p = row[x];
        row[x] = table[p >> 16 & 255] << 16 | table[p >> 8 & 255] << 8 | table[p & 255];
      }
      image.setRGB(0, y, row.length, 1, row, 0, row.length);
    }
  }

  /**
   * What was done to the picture for the report, in one sentence for its caption; empty if nothing
   * was.
   */
  public Optional<String> sentence() {
    Sentences say = Sentences.in(Delivered.class);
    List<String> done = new ArrayList<>();
    if (view.turn() != 0) {
      done.add(say.say("view.turned"));
    }
    if (view.straighten() != 0) {
      done.add(say.say("view.straightened"));
    }
    if (view.cropWidth() < 1 || view.cropHeight() < 1) {
      done.add(say.say("view.cropped"));
    }
    if (view.brightness() != 0) {
      done.add(say.say(view.brightness() > 0 ? "view.brighter" : "view.darker"));
    }
    if (view.contrast() != 0) {
      done.add(say.say(view.contrast() > 0 ? "view.harder" : "view.softer"));
    }
    return done.isEmpty()
        ? Optional.empty()
        : Optional.of(say.say("view.done", String.join(", ", done)));
  }
}

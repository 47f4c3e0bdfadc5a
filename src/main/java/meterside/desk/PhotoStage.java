package meterside.desk;

import java.util.ArrayList;
import java.util.List;
import java.util.function.BiConsumer;
import java.util.function.Consumer;
import javafx.geometry.Point2D;
import javafx.geometry.Rectangle2D;
import javafx.scene.AccessibleRole;
import javafx.scene.Cursor;
import javafx.scene.Node;
import javafx.scene.canvas.Canvas;
import javafx.scene.canvas.GraphicsContext;
import javafx.scene.image.Image;
import javafx.scene.image.ImageView;
import javafx.scene.input.MouseButton;
import javafx.scene.input.MouseEvent;
import javafx.scene.input.ScrollEvent;
import javafx.scene.input.ZoomEvent;
import javafx.scene.layout.Region;
import javafx.scene.paint.Color;
import javafx.scene.shape.FillRule;
import javafx.scene.shape.Rectangle;
import meterside.desk.model.JobDesk;
import meterside.desk.model.Marks;
import meterside.desk.model.MeasureDraft;
import meterside.desk.model.Port;
import meterside.desk.model.Words;
import meterside.job.Callout;
import meterside.job.Job;
import meterside.job.Mark;
import meterside.job.Measure;
import meterside.job.Outline;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.Point;
import meterside.job.ReportView;
import meterside.markup.Delivered;
import meterside.markup.Drawing;
import meterside.markup.Frame;
import meterside.markup.Naming;
import meterside.markup.Plate;
import meterside.markup.Ring;
import meterside.markup.Shape;
import meterside.markup.Tone;

/**
 * The photo with its marks. The picture is an image view; the marks are painted on a canvas of the
 * window's size above it and never of the photo's, which would fail on large photos. What is being
 * dragged is shown as the job would be after it; it becomes an edit when the button is released.
 */
final class PhotoStage extends Region {
  /** What a click on the photo does. */
  enum Tool {
    /** Moves marks and the photo. */
    MOVE,
    /** Names a part. */
    CALLOUT,
    /** Draws an outline. */
    AREA,
    /** Hides an area. */
    REDACT,
    /** Measures by something of known size. */
    MEASURE,
    /** Ties a close photo to its spot. */
    SPOT,
    /** Crops for the report. */
    VIEW
  }

  /** Colours of handles and helping lines; the photo is the same in light and dark windows. */
  private static final Color LIGHT = Color.web(Tone.PAPER.hex());

  private static final Color DARK = Color.web(Tone.INK.hex());
  private static final Color COPPER = Color.web("#A8562A");
  private static final Color BRIGHT_COPPER = Color.web("#D08A5C");
  private static final Color QUIET = Color.web("#7B858D");
  private static final Color DIM = Color.web("#15181A", 0.62);

  /** How near the pointer must be to a ring or corner, in view pixels. */
  private static final double REACH = 7;

  /** A press that moves less than this is a click. */
  private static final double SLACK = 4;

  private final JobDesk desk;
  private final Pictures pictures;
  private final ImageView view = new ImageView();

  /** What is looked at of a photo too large to hold, sharp, over the rest. */
  private final ImageView patch = new ImageView();

  private final Canvas canvas = new Canvas();
  private final Rectangle clip = new Rectangle();

  private Photo photo;

  /** The photo as it is shown here: turned as for the report, whole. */
  private Delivered shown;

  private Rectangle2D patched;
  private boolean missing;
  private Port port;
  private Tool tool = Tool.MOVE;
  private Drawing drawing;
  private Mark pending;
  private Drawing pendingDrawing;
  private BiConsumer<Point, Point2D> onPart = (p, at) -> {};
  private BiConsumer<List<Point>, Point2D> onArea = (c, at) -> {};
  private Consumer<Integer> onRelabel = id -> {};
  private Runnable onView = () -> {};
  private Consumer<Point> onPlace = p -> {};
  private BiConsumer<Integer, Integer> onTie = (mark, finding) -> {};
  private MeasureDraft draft;
  private ReportView crop;
  private Consumer<ReportView> onCrop = v -> {};

  // a press
  private Hit grabbed;
  private double pressX;
  private double pressY;
  private double lastX;
  private double lastY;
  private boolean dragged;
  private Point boxFrom;
  private Point boxTo;
  private final List<Point> corners = new ArrayList<>();
  private Point pin;

  private enum What {
    RING,
    PLATE,
    CORNER,
    DRAFT,
    CROP
  }

  private record Hit(What what, int mark, int index, double dx, double dy) {}

  PhotoStage(JobDesk desk, Pictures pictures) {
    this.desk = desk;
    this.pictures = pictures;
    setId("photo");
    view.setManaged(false);
    view.setSmooth(true);
    view.setPreserveRatio(false);
    canvas.setManaged(false);
    canvas.setMouseTransparent(true);
    setClip(clip);
    patch.setManaged(false);
    patch.setSmooth(true);
    getChildren().addAll(view, patch, canvas);
    setFocusTraversable(true);
    setAccessibleRole(AccessibleRole.IMAGE_VIEW);
    setMinSize(0, 0);
    addEventHandler(MouseEvent.MOUSE_PRESSED, this::pressed);
    addEventHandler(MouseEvent.MOUSE_DRAGGED, this::moved);
    addEventHandler(MouseEvent.MOUSE_RELEASED, this::released);
    addEventHandler(MouseEvent.MOUSE_MOVED, this::hover);
    addEventHandler(ScrollEvent.SCROLL, this::scrolled);
    addEventHandler(
        ZoomEvent.ZOOM,
        e -> {
          zoom(e.getZoomFactor(), e.getX(), e.getY());
          e.consume();
        });
  }

  /** Calls this with the point clicked with the callout tool, and where that is in the scene. */
  void onPart(BiConsumer<Point, Point2D> handler) {
    onPart = handler;
  }

  /** Calls this with the corners drawn with the area or redaction tool. */
  void onArea(BiConsumer<List<Point>, Point2D> handler) {
    onArea = handler;
  }

  /** Calls this with a mark whose plate was clicked twice. */
  void onRelabel(Consumer<Integer> handler) {
    onRelabel = handler;
  }

  /** Calls this when scale, position or tool changed. */
  void onView(Runnable handler) {
    onView = handler;
  }

  /** Calls this with each point placed with the measuring tool. */
  void onPlace(Consumer<Point> handler) {
    onPlace = handler;
  }

  /** Calls this with a mark and the number of the finding it was dropped on. */
  void onTie(BiConsumer<Integer, Integer> handler) {
    onTie = handler;
  }

  /** Calls this with the view whose crop was dragged, when it is let go. */
  void onCrop(Consumer<ReportView> handler) {
    onCrop = handler;
  }

  /** Shows a measurement being placed; null takes it away. */
  void draft(MeasureDraft next) {
    draft = next;
    paint();
  }

  /** Shows the frame of a view for the report; null takes it away. */
  void crop(ReportView next) {
    crop = next;
    paint();
  }

  // ---- what is shown ----

  /** Shows the desk's photo, or repaints it if it is the same. */
  void refresh() {
    PhotoId id = desk.current();
    Photo next = id == null ? null : desk.job().photo(id);
    boolean same = next != null && photo != null && next.id().equals(photo.id());
    photo = next;
    if (photo != null) {
      int turn = desk.job().reportView(photo.id()).turn();
      if (!same || shown == null || shown.view().turn() != turn) {
        shown = Delivered.of(desk.job(), photo, ReportView.AS_TAKEN.turned(turn));
        port = null;
      }
    }
    pending = null;
    pendingDrawing = null;
    drawing = null;
    if (!same) {
      corners.clear();
      boxFrom = null;
      pin = null;
      port = null;
      missing = false;
      view.setImage(null);
      unpatch();
      draft = null;
      crop = null;
      load();
    }
    if (photo == null) {
      setAccessibleText(Words.say("photo.none"));
    } else {
      long marks = desk.notes().named().size();
      setAccessibleText(photo.name() + ", " + Words.count("photo.marks", marks));
    }
    requestLayout();
    paint();
  }

  private void load() {
    if (photo == null) {
      return;
    }
    Photo asked = photo;
    pictures.preview(
        desk.session().folder(),
        asked,
        () -> asked == photo,
        image -> {
          if (photo == null || !asked.id().equals(photo.id())) {
            return;
          }
          if (image == null) {
            missing = view.getImage() == null && asked.trouble() != null;
            paint();
            sharpen();
            return;
          }
          if (view.getImage() == null || view.getImage().getWidth() < image.getWidth()) {
            view.setImage(image);
          }
          requestLayout();
          sharpen();
          prefetch(asked);
        });
  }

  /** Reads the previews of the photos beside this one while it is looked at. */
  private void prefetch(Photo asked) {
    int at = desk.walk().indexOf(asked.id());
    for (int by : new int[] {-1, 1}) {
      int to = at + by;
      if (at >= 0 && to >= 0 && to < desk.walk().order().size()) {
        Photo next = desk.job().photo(desk.walk().order().get(to).id());
        pictures.preview(desk.session().folder(), next, () -> asked == photo, image -> {});
      }
    }
  }

  /** Fetches as many pixels as the screen can show, if what is shown has fewer. */
  private void sharpen() {
    if (photo == null || port == null) {
      return;
    }
    double device =
        getScene() == null || getScene().getWindow() == null
            ? 1
            : getScene().getWindow().getRenderScaleX();
    int need = (int) Math.ceil(Math.max(port.shownWidth(), port.shownHeight()) * device);
    int whole = Pictures.finestWhole(photo);
    if (need > whole && Pictures.canPatch(photo)) {
      patch(device);
      need = whole;
    } else {
      unpatch();
    }
    Image now = view.getImage();
    double have = now == null ? 0 : Math.max(now.getWidth(), now.getHeight());
    int full = Math.max(photo.width(), photo.height());
    boolean enough = have >= need * 0.98 || full > 0 && have >= full;
    if (enough) {
      return;
    }
    Photo asked = photo;
    int pixels = need;
    pictures.sharp(
        desk.session().folder(),
        asked,
        pixels,
        () -> asked == photo,
        image -> {
          if (photo == null || !asked.id().equals(photo.id())) {
            return;
          }
          if (image == null) {
            missing = view.getImage() == null;
          } else if (view.getImage() == null || view.getImage().getWidth() < image.getWidth()) {
            view.setImage(image);
            requestLayout();
          }
          paint();
        });
  }

  /**
   * Fetches what is looked at, and some round it, in the photo's own pixels. Asked for again only
   * when the view leaves what was fetched.
   */
  private void patch(double device) {
    Rectangle2D seen = seen(0);
    if (patched != null && patched.contains(seen) && patch.getImage() != null) {
      return;
    }
    Rectangle2D wanted = seen(0.3);
    if (wanted.getWidth() * wanted.getHeight() > Pictures.MOST_PATCH * device * device) {
      wanted = seen;
    }
    Photo asked = photo;
    Rectangle2D region = wanted;
    pictures.region(
        desk.session().folder(),
        asked,
        region,
        () -> asked == photo && port != null && region.intersects(seen(0)),
        image -> {
          if (photo == null || !asked.id().equals(photo.id()) || image == null) {
            return;
          }
          patched = region;
          patch.setImage(image);
          place();
        });
  }

  private void unpatch() {
    patched = null;
    patch.setImage(null);
  }

  /** What is looked at, in pixels of the upright photo, with a margin as a share of the view. */
  private Rectangle2D seen(double margin) {
    double mx = margin * port.viewWidth();
    double my = margin * port.viewHeight();
    Point a = onPhoto(-mx, -my);
    Point b = onPhoto(port.viewWidth() + mx, port.viewHeight() + my);
    double w = photo.uprightWidth();
    double h = photo.uprightHeight();
    double left = Math.floor(Math.min(a.x(), b.x()) * w);
    double top = Math.floor(Math.min(a.y(), b.y()) * h);
    return new Rectangle2D(
        left,
        top,
        Math.max(1, Math.ceil(Math.max(a.x(), b.x()) * w) - left),
        Math.max(1, Math.ceil(Math.max(a.y(), b.y()) * h) - top));
  }

  private double photoWidth() {
    return turnedSize(true);
  }

  private double photoHeight() {
    return turnedSize(false);
  }

  /** Width or height of the photo as it is shown, in its own pixels. */
  private double turnedSize(boolean width) {
    boolean across = width == (shown.view().turn() % 2 == 0);
    if (photo.uprightWidth() > 0 && photo.uprightHeight() > 0) {
      return across ? photo.uprightWidth() : photo.uprightHeight();
    }
    Image now = view.getImage();
    return now == null ? across ? 4 : 3 : across ? now.getWidth() : now.getHeight();
  }

  /** Where a point of the photo lies across this view. */
  private double vx(Point onPhoto) {
    return port.x(shown.toDelivered(onPhoto));
  }

  /** Where a point of the photo lies down this view. */
  private double vy(Point onPhoto) {
    return port.y(shown.toDelivered(onPhoto));
  }

  /** The point of the photo nearest to a position of this view. */
  private Point onPhoto(double x, double y) {
    Point p = shown.toPhoto(port.pointOnPhoto(x, y));
    return new Point(Math.max(0, Math.min(1, p.x())), Math.max(0, Math.min(1, p.y())));
  }

  @Override
  protected void layoutChildren() {
    double w = getWidth();
    double h = getHeight();
    clip.setWidth(w);
    clip.setHeight(h);
    if (canvas.getWidth() != w || canvas.getHeight() != h) {
      canvas.setWidth(w);
      canvas.setHeight(h);
    }
    if (photo == null || w < 2 || h < 2) {
      port = null;
      view.setImage(null);
      paint();
      return;
    }
    boolean other =
        port != null && (port.photoWidth() != photoWidth() || port.photoHeight() != photoHeight());
    if (port == null || other) {
      port = Port.fit(w, h, photoWidth(), photoHeight());
      sharpen();
    } else if (port.viewWidth() != w || port.viewHeight() != h) {
      port = port.resized(w, h);
      sharpen();
    }
    place();
    paint();
  }

  private void place() {
    lay(view, new Rectangle2D(0, 0, 1, 1));
    if (patched != null) {
      double w = photo.uprightWidth();
      double h = photo.uprightHeight();
      lay(
          patch,
          new Rectangle2D(
              patched.getMinX() / w,
              patched.getMinY() / h,
              patched.getWidth() / w,
              patched.getHeight() / h));
    }
    // What lies wholly under the patch would be scaled for nothing in every frame.
    boolean covered = patched != null && patch.getImage() != null && patched.contains(seen(0));
    view.setVisible(!covered);
  }

  /** Lays a picture of a part of the photo (as fractions) where that part is shown. */
  private void lay(ImageView picture, Rectangle2D part) {
    int turn = shown.view().turn();
    double x1 = vx(new Point(part.getMinX(), part.getMinY()));
    double y1 = vy(new Point(part.getMinX(), part.getMinY()));
    double x2 = vx(new Point(part.getMaxX(), part.getMaxY()));
    double y2 = vy(new Point(part.getMaxX(), part.getMaxY()));
    double w = Math.abs(x2 - x1);
    double h = Math.abs(y2 - y1);
    boolean swapped = turn % 2 == 1;
    picture.setFitWidth(swapped ? h : w);
    picture.setFitHeight(swapped ? w : h);
    picture.setRotate(90.0 * turn);
    // A node turns about its middle, which is the middle of where it is to be seen.
    double left = (x1 + x2) / 2 - (swapped ? h : w) / 2;
    double top = (y1 + y2) / 2 - (swapped ? w : h) / 2;
    // One pixel for one needs no mixing of neighbours, which is what costs time without a GPU.
    Image now = picture.getImage();
    boolean exact = now != null && Math.abs(now.getWidth() - picture.getFitWidth()) < 0.5;
    picture.setSmooth(!exact);
    picture.relocate(exact ? Math.round(left) : left, exact ? Math.round(top) : top);
  }

  private void show(Port next) {
    port = next;
    place();
    paint();
    sharpen();
    onView.run();
  }

  /** Scale as a percentage of the photo's pixels, or 0 without a photo. */
  int percent() {
    return port == null ? 0 : (int) Math.round(port.scale() * 100);
  }

  /** Whether the whole photo is shown. */
  boolean fitted() {
    return port == null || port.fitted();
  }

  /** The whole photo, or its pixels one to one round a position of the view. */
  void toggleFit(double x, double y) {
    if (port != null) {
      show(port.fitted() ? actual(x, y) : port.refitted());
    }
  }

  private Port actual(double x, double y) {
    // A photo smaller than the view is at its pixels' size or beyond already.
    return port.scale() >= 1 ? port.zoomed(2, x, y) : port.actualSize(x, y);
  }

  /** The whole photo, or its pixels round the middle. */
  void toggleFit() {
    toggleFit(getWidth() / 2, getHeight() / 2);
  }

  /** Zooms round the middle. */
  void zoom(double factor) {
    zoom(factor, getWidth() / 2, getHeight() / 2);
  }

  private void zoom(double factor, double x, double y) {
    if (port != null) {
      show(port.zoomed(factor, x, y));
    }
  }

  /** Moves the photo by so many pixels of the view. */
  void pan(double dx, double dy) {
    if (port != null) {
      show(port.panned(dx, dy));
    }
  }

  /** Whether a part of a large photo is shown in its own pixels. */
  boolean patched() {
    return patch.getImage() != null;
  }

  /** Where a point of the photo lies in this view. */
  Point2D inView(Point p) {
    return port == null ? Point2D.ZERO : new Point2D(vx(p), vy(p));
  }

  // ---- tools ----

  /** The tool in hand. */
  Tool tool() {
    return tool;
  }

  /** Takes another tool. */
  void tool(Tool next) {
    tool = next;
    corners.clear();
    boxFrom = null;
    setCursor(next == Tool.MOVE ? Cursor.DEFAULT : Cursor.CROSSHAIR);
    paint();
    onView.run();
  }

  /** Shows a small pin where a part is about to be named; null takes it away. */
  void pin(Point at) {
    pin = at;
    paint();
  }

  /** Closes the outline that is being drawn corner by corner; false if there is none. */
  boolean closeOutline() {
    if (corners.size() < 3) {
      return false;
    }
    List<Point> done = List.copyOf(corners);
    corners.clear();
    paint();
    onArea.accept(done, localToScene(vx(done.get(0)), vy(done.get(0))));
    return true;
  }

  /** Gives up what is being drawn; false if there is nothing. */
  boolean giveUp() {
    boolean any = !corners.isEmpty() || boxFrom != null || pending != null;
    if (!any && draft != null && draft.takeBack()) {
      grabbed = null;
      paint();
      onPlace.accept(null);
      return true;
    }
    corners.clear();
    boxFrom = null;
    pending = null;
    pendingDrawing = null;
    grabbed = null;
    paint();
    return any;
  }

  /** Moves the selected mark by view pixels, shown at once and kept by {@link #settle}. */
  void nudge(double dx, double dy) {
    Mark now = pending != null ? pending : desk.selectedMark().orElse(null);
    if (now == null || port == null) {
      return;
    }
    preview(shifted(now, dx, dy));
  }

  /** The mark moved by view pixels. */
  private Mark shifted(Mark m, double dx, double dy) {
    Point from = shown.toPhoto(new Point(0, 0));
    Point to = shown.toPhoto(new Point(dx / port.shownWidth(), dy / port.shownHeight()));
    return Marks.nudged(m, to.x() - from.x(), to.y() - from.y());
  }

  /** Keeps what was moved by keys. */
  void settle() {
    if (pending != null && grabbed == null) {
      desk.putMark(pending);
    }
  }

  private void preview(Mark moved) {
    Mark changed = moved;
    if (moved instanceof Measure m) {
      // A refused result is not kept: the measurement stays as it was.
      changed = MeasureDraft.again(photo, m).orElse(null);
      if (changed == null) {
        return;
      }
    }
    pending = changed;
    try {
      Job would = Marks.put(changed).applyTo(desk.job());
      pendingDrawing = Drawing.in(shown, would, photo, naming(), drawing());
    } catch (meterside.job.EditRefused e) {
      pendingDrawing = null; // the job moved on under the drag; what is shown next is the truth
      pending = null;
    }
    paint();
  }

  // ---- painting ----

  private Drawing drawing() {
    if (drawing == null && photo != null) {
      drawing = Drawing.in(shown, desk.job(), photo, naming(), null);
    }
    return drawing;
  }

  private Naming naming() {
    return Naming.of(desk.job(), part -> Words.term(desk.trade(), part));
  }

  /** Repaints the marks. */
  void paint() {
    GraphicsContext g = canvas.getGraphicsContext2D();
    g.clearRect(0, 0, canvas.getWidth(), canvas.getHeight());
    if (photo == null || port == null) {
      return;
    }
    if (missing && view.getImage() == null) {
      paintMissing(g);
    }
    Frame frame = new Frame(port.shownWidth(), port.shownHeight());
    FxBrush brush = new FxBrush(g, frame, port.left(), port.top());
    Drawing now = pendingDrawing != null ? pendingDrawing : drawing();
    now.paintWith(brush);
    paintSelected(g, now, frame);
    paintDrawn(g);
    paintDraft(g);
    paintCrop(g);
  }

  /** The measurement being placed: its reference, and what is measured. */
  private void paintDraft(GraphicsContext g) {
    if (draft == null) {
      return;
    }
    List<Point> points = draft.points();
    int known = Math.min(draft.known(), points.size());
    helpLine(g, points.subList(0, known), known == 4);
    helpLine(g, points.subList(known, points.size()), false);
    for (Point p : points) {
      handle(g, p);
    }
  }

  private void helpLine(GraphicsContext g, List<Point> path, boolean closed) {
    if (path.size() < 2) {
      return;
    }
    for (int pass = 0; pass < 2; pass++) {
      g.setStroke(pass == 0 ? LIGHT : DARK);
      g.setLineWidth(pass == 0 ? 4.5 : 1.6);
      g.setLineDashes(pass == 0 ? null : new double[] {5, 3});
      g.beginPath();
      g.moveTo(vx(path.get(0)), vy(path.get(0)));
      for (Point p : path.subList(1, path.size())) {
        g.lineTo(vx(p), vy(p));
      }
      if (closed) {
        g.closePath();
      }
      g.stroke();
    }
    g.setLineDashes();
  }

  /** A cross in a square, whose middle shows what it lies on. */
  private void handle(GraphicsContext g, Point p) {
    handle(g, vx(p), vy(p));
  }

  private static void handle(GraphicsContext g, double x, double y) {
    g.setStroke(LIGHT);
    g.setLineWidth(4);
    g.strokeOval(x - 7, y - 7, 14, 14);
    g.setStroke(COPPER);
    g.setLineWidth(1.6);
    g.strokeOval(x - 7, y - 7, 14, 14);
    g.strokeLine(x - 3, y, x + 3, y);
    g.strokeLine(x, y - 3, x, y + 3);
  }

  /** What the report leaves out is dimmed. */
  private void paintCrop(GraphicsContext g) {
    if (crop == null) {
      return;
    }
    List<Point> frame = Delivered.of(desk.job(), photo, crop).frameOnPhoto();
    g.setFill(DIM);
    g.setFillRule(FillRule.EVEN_ODD);
    g.beginPath();
    g.rect(0, 0, canvas.getWidth(), canvas.getHeight());
    g.moveTo(vx(frame.get(0)), vy(frame.get(0)));
    for (Point p : frame.subList(1, 4)) {
      g.lineTo(vx(p), vy(p));
    }
    g.closePath();
    g.fill();
    g.setFillRule(FillRule.NON_ZERO);
    List<Point> round = new ArrayList<>(frame);
    round.add(frame.get(0));
    helpLine(g, round, true);
    for (int i = 0; i < 4; i++) {
      Point2D at = inside(frame, i);
      handle(g, at.getX(), at.getY());
    }
  }

  /**
   * Where a corner of the crop's frame is taken: a little inside, so that it is never at the edge
   * of the view.
   */
  private Point2D inside(List<Point> frame, int corner) {
    Point2D at = inView(frame.get(corner));
    Point2D across = inView(frame.get((corner + 2) % 4));
    double away = at.distance(across);
    return away == 0 ? at : at.add(across.subtract(at).multiply(Math.min(0.4, 14 / away)));
  }

  private void paintMissing(GraphicsContext g) {
    g.setStroke(QUIET);
    g.setLineWidth(1);
    g.setLineDashes(6, 5);
    g.strokeRect(
        Math.round(port.left()) + 0.5,
        Math.round(port.top()) + 0.5,
        port.shownWidth() - 1,
        port.shownHeight() - 1);
    g.setLineDashes();
  }

  private void paintSelected(GraphicsContext g, Drawing shown, Frame frame) {
    int id = desk.mark();
    if (id == 0) {
      return;
    }
    g.setStroke(BRIGHT_COPPER);
    g.setLineWidth(2);
    g.setLineDashes(4, 3);
    for (Shape s : shown.shapes()) {
      if (s.mark() == id && s instanceof Ring r) {
        double reach = frame.length(r.radius() + r.stroke() / 2 + r.halo()) + 4;
        g.strokeOval(port.x(r.centre()) - reach, port.y(r.centre()) - reach, 2 * reach, 2 * reach);
      } else if (s.mark() == id && s instanceof Plate p) {
        double gap = frame.length(p.halo()) + 3;
        g.strokeRoundRect(
            port.x(p.topLeft()) - gap,
            port.y(p.topLeft()) - gap,
            frame.length(p.width()) + 2 * gap,
            frame.length(p.height()) + 2 * gap,
            12,
            12);
      }
    }
    g.setLineDashes();
    Mark m = pending != null && pending.id() == id ? pending : desk.job().marks().get(id);
    if (m instanceof Measure e) {
      helpLine(g, e.known(), e.known().size() == 4);
    }
    for (Point c : handles(m)) {
      g.setFill(LIGHT);
      g.fillRect(vx(c) - 5, vy(c) - 5, 10, 10);
      g.setStroke(COPPER);
      g.setLineWidth(2);
      g.strokeRect(vx(c) - 4, vy(c) - 4, 8, 8);
    }
  }

  private void paintDrawn(GraphicsContext g) {
    if (pin != null) {
      double x = vx(pin);
      double y = vy(pin);
      g.setStroke(LIGHT);
      g.setLineWidth(5);
      g.strokeOval(x - 9, y - 9, 18, 18);
      g.setStroke(COPPER);
      g.setLineWidth(2);
      g.strokeOval(x - 9, y - 9, 18, 18);
    }
    List<Point> path = new ArrayList<>(corners);
    if (boxFrom != null && boxTo != null) {
      path = box(boxFrom, boxTo);
    }
    helpLine(g, path, boxFrom != null);
    for (Point c : corners) {
      g.setFill(LIGHT);
      g.fillRect(vx(c) - 4, vy(c) - 4, 8, 8);
      g.setStroke(DARK);
      g.setLineWidth(1.5);
      g.strokeRect(vx(c) - 4, vy(c) - 4, 8, 8);
    }
  }

  private static List<Point> handles(Mark m) {
    return m == null || m instanceof Callout ? List.of() : m.points();
  }

  // ---- the mouse ----

  private Hit hit(double x, double y) {
    if (photo == null || port == null) {
      return null;
    }
    Frame frame = new Frame(port.shownWidth(), port.shownHeight());
    if (draft != null) {
      int at = near(draft.points(), x, y);
      return at < 0 ? null : new Hit(What.DRAFT, 0, at, 0, 0);
    }
    if (crop != null) {
      List<Point> round = Delivered.of(desk.job(), photo, crop).frameOnPhoto();
      for (int i = 0; i < 4; i++) {
        Point2D at = inside(round, i);
        if (at.distance(x, y) <= REACH + 2) {
          return new Hit(What.CROP, 0, i, vx(round.get(i)) - x, vy(round.get(i)) - y);
        }
      }
      return null;
    }
    int handle = near(handles(desk.selectedMark().orElse(null)), x, y);
    if (handle >= 0) {
      return new Hit(What.CORNER, desk.mark(), handle, 0, 0);
    }
    List<Shape> shapes = drawing().shapes();
    for (int i = shapes.size() - 1; i >= 0; i--) {
      Shape s = shapes.get(i);
      if (s instanceof Plate p) {
        double left = port.x(p.topLeft());
        double top = port.y(p.topLeft());
        double w = frame.length(p.width());
        double h = frame.length(p.height());
        if (x >= left && x <= left + w && y >= top && y <= top + h) {
          return new Hit(What.PLATE, p.mark(), 0, left + w / 2 - x, top + h / 2 - y);
        }
      } else if (s instanceof Ring r) {
        double dx = port.x(r.centre()) - x;
        double dy = port.y(r.centre()) - y;
        if (Math.hypot(dx, dy) <= frame.length(r.radius()) + REACH) {
          Mark m = desk.job().marks().get(r.mark());
          int index = m instanceof Callout c ? ringAt(c, r.centre()) : 0;
          return new Hit(What.RING, r.mark(), index, dx, dy);
        }
      }
    }
    for (Mark m : desk.job().marksOn(photo.id())) {
      List<Point> c = m instanceof Measure e ? List.of(e.from(), e.to()) : handles(m);
      if (!c.isEmpty() && nearEdge(c, x, y)) {
        return new Hit(What.CORNER, m.id(), -1, 0, 0);
      }
    }
    return null;
  }

  /** Which of some points of the photo lies at a position of this view; -1 if none. */
  private int near(List<Point> points, double x, double y) {
    for (int i = 0; i < points.size(); i++) {
      if (Math.hypot(vx(points.get(i)) - x, vy(points.get(i)) - y) <= REACH + 2) {
        return i;
      }
    }
    return -1;
  }

  /** Which ring of a callout is drawn at a point. */
  private int ringAt(Callout c, Point drawn) {
    for (int i = 0; i < c.rings().size(); i++) {
      Point p = shown.toDelivered(c.rings().get(i));
      if (Math.abs(p.x() - drawn.x()) + Math.abs(p.y() - drawn.y()) < 1e-9) {
        return i;
      }
    }
    return 0;
  }

  private boolean nearEdge(List<Point> c, double x, double y) {
    for (int i = 0; i < c.size(); i++) {
      Point a = c.get(i);
      Point b = c.get((i + 1) % c.size());
      double d = java.awt.geom.Line2D.ptSegDist(vx(a), vy(a), vx(b), vy(b), x, y);
      if (d <= REACH) {
        return true;
      }
    }
    return false;
  }

  private void pressed(MouseEvent e) {
    requestFocus();
    if (photo == null || port == null || e.getButton() == MouseButton.SECONDARY) {
      return;
    }
    pressX = lastX = e.getX();
    pressY = lastY = e.getY();
    dragged = false;
    grabbed = corners.isEmpty() ? hit(e.getX(), e.getY()) : null;
    boolean extend =
        e.isShiftDown() && tool != Tool.AREA && desk.selectedMark().orElse(null) instanceof Callout;
    if (grabbed == null && extend && port.point(e.getX(), e.getY()).onPhoto()) {
      Callout c = (Callout) desk.selectedMark().orElseThrow();
      desk.putMark(Marks.withRing(c, onPhoto(e.getX(), e.getY())));
      dragged = true; // the click is used up
      return;
    }
    if (grabbed != null && grabbed.mark() != 0) {
      desk.selectMark(grabbed.mark());
    } else if (grabbed == null && drawsAreas()) {
      boxFrom = onPhoto(e.getX(), e.getY());
      boxTo = null;
    }
    e.consume();
  }

  private void moved(MouseEvent e) {
    if (photo == null || port == null || e.getButton() == MouseButton.SECONDARY) {
      return;
    }
    if (!dragged && Math.hypot(e.getX() - pressX, e.getY() - pressY) < SLACK) {
      return;
    }
    dragged = true;
    if (grabbed != null) {
      drag(e);
    } else if (boxFrom != null && corners.isEmpty()) {
      boxTo = onPhoto(e.getX(), e.getY());
      paint();
    } else if (!port.fitted()) {
      show(port.panned(e.getX() - lastX, e.getY() - lastY));
    }
    lastX = e.getX();
    lastY = e.getY();
    e.consume();
  }

  private boolean drawsAreas() {
    return tool == Tool.AREA || tool == Tool.REDACT || tool == Tool.SPOT;
  }

  private void drag(MouseEvent e) {
    if (grabbed.what() == What.DRAFT) {
      draft.move(grabbed.index(), onPhoto(e.getX(), e.getY()));
      paint();
      return;
    }
    if (grabbed.what() == What.CROP) {
      Point to = onPhoto(e.getX() + grabbed.dx(), e.getY() + grabbed.dy());
      crop = dragged(crop, grabbed.index(), to);
      paint();
      return;
    }
    Mark m = desk.job().marks().get(grabbed.mark());
    if (m == null) {
      return;
    }
    Point to = onPhoto(e.getX() + grabbed.dx(), e.getY() + grabbed.dy());
    if (grabbed.what() == What.RING && m instanceof Callout c) {
      preview(Marks.ringAt(c, grabbed.index(), to));
    } else if (grabbed.what() == What.PLATE && m instanceof Callout c) {
      preview(Marks.plateAt(c, to));
    } else if (grabbed.what() == What.CORNER && grabbed.index() >= 0) {
      preview(Marks.pointAt(m, grabbed.index(), to));
    } else if (grabbed.what() == What.CORNER) {
      Mark from = pending != null ? pending : m;
      preview(shifted(from, e.getX() - lastX, e.getY() - lastY));
    }
  }

  /** The view with a corner of its crop, counted from the top left, at a point of the photo. */
  private ReportView dragged(ReportView v, int corner, Point to) {
    Delivered whole = Delivered.of(desk.job(), photo, v.cropped(0, 0, 1, 1));
    Point p = whole.toDelivered(to);
    boolean right = corner == 1 || corner == 2;
    boolean bottom = corner >= 2;
    double x1 = v.cropX();
    double y1 = v.cropY();
    double x2 = x1 + v.cropWidth();
    double y2 = y1 + v.cropHeight();
    double px = Math.max(0, Math.min(1, p.x()));
    double py = Math.max(0, Math.min(1, p.y()));
    double least = ReportView.LEAST_CROP;
    if (right) {
      x2 = Math.max(px, x1 + least);
    } else {
      x1 = Math.min(px, x2 - least);
    }
    if (bottom) {
      y2 = Math.max(py, y1 + least);
    } else {
      y1 = Math.min(py, y2 - least);
    }
    return v.cropped(x1, y1, x2 - x1, y2 - y1);
  }

  /** The number of the finding whose card lies at a place of the scene; 0 if none does. */
  private int findingAt(double sceneX, double sceneY) {
    for (Node card : getScene().getRoot().lookupAll(".card")) {
      String id = card.getId();
      if (id != null
          && id.matches("finding-\\d+")
          && card.localToScene(card.getBoundsInLocal()).contains(sceneX, sceneY)) {
        return Integer.parseInt(id.substring("finding-".length()));
      }
    }
    return 0;
  }

  private void released(MouseEvent e) {
    if (photo == null || port == null || e.getButton() == MouseButton.SECONDARY) {
      return;
    }
    Hit was = grabbed;
    grabbed = null;
    if (was != null && was.what() == What.DRAFT) {
      if (!dragged && !draft.complete()) {
        clicked(e); // two ends may lie in one place
      } else {
        onPlace.accept(null);
      }
    } else if (was != null && was.what() == What.CROP) {
      onCrop.accept(crop);
    } else if (was != null) {
      int finding =
          dragged && !getLayoutBounds().contains(e.getX(), e.getY())
              ? findingAt(e.getSceneX(), e.getSceneY())
              : 0;
      if (finding > 0) {
        // Dropped on a finding's card: tied to it, and where it was.
        pending = null;
        pendingDrawing = null;
        paint();
        onTie.accept(was.mark(), finding);
      } else if (pending != null) {
        desk.putMark(pending);
      } else if (!dragged && e.getClickCount() == 2) {
        onRelabel.accept(was.mark());
      }
    } else if (dragged && boxFrom != null && boxTo != null && corners.isEmpty()) {
      List<Point> drawn = box(boxFrom, boxTo);
      boxFrom = null;
      boxTo = null;
      paint();
      if (Math.abs(drawn.get(0).x() - drawn.get(2).x()) > 0.004
          && Math.abs(drawn.get(0).y() - drawn.get(2).y()) > 0.004) {
        onArea.accept(drawn, localToScene(e.getX(), e.getY()));
      }
    } else if (!dragged) {
      clicked(e);
    }
    e.consume();
  }

  private void clicked(MouseEvent e) {
    boxFrom = null;
    boolean onIt = port.point(e.getX(), e.getY()).onPhoto();
    if (tool == Tool.CALLOUT) {
      if (onIt) {
        onPart.accept(onPhoto(e.getX(), e.getY()), localToScene(e.getX(), e.getY()));
      }
      return;
    }
    if (tool == Tool.MEASURE) {
      if (onIt && draft != null && !draft.complete()) {
        onPlace.accept(onPhoto(e.getX(), e.getY()));
      }
      return;
    }
    if (tool == Tool.VIEW) {
      return;
    }
    if (drawsAreas()) {
      Point corner = onPhoto(e.getX(), e.getY());
      boolean onFirst =
          corners.size() >= 3
              && Math.hypot(vx(corners.get(0)) - e.getX(), vy(corners.get(0)) - e.getY())
                  <= REACH + 2;
      if (onFirst || e.getClickCount() == 2 && corners.size() >= 3) {
        closeOutline();
      } else if (e.getClickCount() < 2) {
        corners.add(corner);
        paint();
      }
      return;
    }
    if (e.getClickCount() == 2) {
      toggleFit(e.getX(), e.getY());
    } else {
      desk.selectMark(0);
    }
  }

  private void hover(MouseEvent e) {
    if (photo == null || port == null) {
      setCursor(Cursor.DEFAULT);
      return;
    }
    Hit over = corners.isEmpty() ? hit(e.getX(), e.getY()) : null;
    if (over != null) {
      setCursor(over.what() == What.PLATE ? Cursor.MOVE : Cursor.HAND);
    } else if (tool != Tool.MOVE) {
      setCursor(Cursor.CROSSHAIR);
    } else {
      setCursor(port.fitted() ? Cursor.DEFAULT : Cursor.OPEN_HAND);
    }
  }

  private void scrolled(ScrollEvent e) {
    if (port == null || e.isInertia()) {
      return;
    }
    double turn = e.getDeltaY();
    if (turn != 0) {
      zoom(Math.pow(1.0025, turn), e.getX(), e.getY());
    }
    e.consume();
  }

  /** A box with its sides along those of the photo, which a quarter turn keeps. */
  private static List<Point> box(Point a, Point b) {
    double x = Math.min(a.x(), b.x());
    double y = Math.min(a.y(), b.y());
    return Outline.boxCorners(x, y, Math.abs(a.x() - b.x()), Math.abs(a.y() - b.y()));
  }
}

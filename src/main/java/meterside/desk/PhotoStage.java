package meterside.desk;

import java.util.ArrayList;
import java.util.List;
import java.util.function.BiConsumer;
import java.util.function.Consumer;
import javafx.geometry.Point2D;
import javafx.scene.AccessibleRole;
import javafx.scene.Cursor;
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
import javafx.scene.shape.Rectangle;
import meterside.desk.model.JobDesk;
import meterside.desk.model.Marks;
import meterside.desk.model.Port;
import meterside.desk.model.Words;
import meterside.job.Callout;
import meterside.job.Job;
import meterside.job.Mark;
import meterside.job.Outline;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.Point;
import meterside.job.Redaction;
import meterside.markup.Drawing;
import meterside.markup.Frame;
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
    REDACT
  }

  /** Colours of handles and helping lines; the photo is the same in light and dark windows. */
  private static final Color LIGHT = Color.web(Tone.PAPER.hex());

  private static final Color DARK = Color.web(Tone.INK.hex());
  private static final Color COPPER = Color.web("#A8562A");
  private static final Color BRIGHT_COPPER = Color.web("#D08A5C");
  private static final Color QUIET = Color.web("#7B858D");

  /** How near the pointer must be to a ring or corner, in view pixels. */
  private static final double REACH = 7;

  /** A press that moves less than this is a click. */
  private static final double SLACK = 4;

  private final JobDesk desk;
  private final Pictures pictures;
  private final ImageView view = new ImageView();
  private final Canvas canvas = new Canvas();
  private final Rectangle clip = new Rectangle();

  private Photo photo;
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
    CORNER
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
    getChildren().addAll(view, canvas);
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

  // ---- what is shown ----

  /** Shows the desk's photo, or repaints it if it is the same. */
  void refresh() {
    PhotoId id = desk.current();
    Photo next = id == null ? null : desk.job().photo(id);
    boolean same = next != null && photo != null && next.id().equals(photo.id());
    photo = next;
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
    Image now = view.getImage();
    double have = now == null ? 0 : Math.max(now.getWidth(), now.getHeight());
    int full = Math.max(photo.width(), photo.height());
    boolean enough = have >= need * 0.98 || full > 0 && have >= full;
    if (enough) {
      return;
    }
    Photo asked = photo;
    pictures.sharp(
        desk.session().folder(),
        asked,
        need,
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

  private double photoWidth() {
    if (photo.uprightWidth() > 0) {
      return photo.uprightWidth();
    }
    return view.getImage() == null ? 4 : view.getImage().getWidth();
  }

  private double photoHeight() {
    if (photo.uprightHeight() > 0) {
      return photo.uprightHeight();
    }
    return view.getImage() == null ? 3 : view.getImage().getHeight();
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
    view.setFitWidth(port.shownWidth());
    view.setFitHeight(port.shownHeight());
    view.relocate(port.left(), port.top());
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

  /** Where a point of the photo lies in this view. */
  Point2D inView(Point p) {
    return port == null ? Point2D.ZERO : new Point2D(port.x(p), port.y(p));
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
    onArea.accept(done, localToScene(port.x(done.get(0)), port.y(done.get(0))));
    return true;
  }

  /** Gives up what is being drawn; false if there is nothing. */
  boolean giveUp() {
    boolean any = !corners.isEmpty() || boxFrom != null || pending != null;
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
    preview(Marks.nudged(now, dx / port.shownWidth(), dy / port.shownHeight()));
  }

  /** Keeps what was moved by keys. */
  void settle() {
    if (pending != null && grabbed == null) {
      desk.putMark(pending);
    }
  }

  private void preview(Mark changed) {
    pending = changed;
    try {
      Job would = Marks.put(changed).applyTo(desk.job());
      pendingDrawing = Drawing.of(would, photo, part -> Words.term(desk.trade(), part), drawing());
    } catch (meterside.job.EditRefused e) {
      pendingDrawing = null; // the job moved on under the drag; what is shown next is the truth
      pending = null;
    }
    paint();
  }

  // ---- painting ----

  private Drawing drawing() {
    if (drawing == null && photo != null) {
      drawing = Drawing.of(desk.job(), photo, part -> Words.term(desk.trade(), part));
    }
    return drawing;
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
    Drawing shown = pendingDrawing != null ? pendingDrawing : drawing();
    shown.paintWith(brush);
    paintSelected(g, shown, frame);
    paintDrawn(g);
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
    for (Point c : handles(m)) {
      g.setFill(LIGHT);
      g.fillRect(port.x(c) - 5, port.y(c) - 5, 10, 10);
      g.setStroke(COPPER);
      g.strokeRect(port.x(c) - 4, port.y(c) - 4, 8, 8);
    }
  }

  private void paintDrawn(GraphicsContext g) {
    if (pin != null) {
      double x = port.x(pin);
      double y = port.y(pin);
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
    if (path.isEmpty()) {
      return;
    }
    for (int pass = 0; pass < 2; pass++) {
      g.setStroke(pass == 0 ? LIGHT : DARK);
      g.setLineWidth(pass == 0 ? 4.5 : 1.6);
      g.setLineDashes(pass == 0 ? null : new double[] {5, 3});
      g.beginPath();
      for (int i = 0; i < path.size(); i++) {
        if (i == 0) {
          g.moveTo(port.x(path.get(i)), port.y(path.get(i)));
        } else {
          g.lineTo(port.x(path.get(i)), port.y(path.get(i)));
        }
      }
      if (boxFrom != null) {
        g.closePath();
      }
      g.stroke();
    }
    g.setLineDashes();
    for (Point c : corners) {
      g.setFill(LIGHT);
      g.fillRect(port.x(c) - 4, port.y(c) - 4, 8, 8);
      g.setStroke(DARK);
      g.setLineWidth(1.5);
      g.strokeRect(port.x(c) - 4, port.y(c) - 4, 8, 8);
    }
  }

  private static List<Point> handles(Mark m) {
    return m instanceof Outline o
        ? o.corners()
        : m instanceof Redaction r ? r.corners() : List.of();
  }

  // ---- the mouse ----

  private Hit hit(double x, double y) {
    if (photo == null || port == null) {
      return null;
    }
    Frame frame = new Frame(port.shownWidth(), port.shownHeight());
    for (Point c : handles(desk.selectedMark().orElse(null))) {
      if (Math.hypot(port.x(c) - x, port.y(c) - y) <= REACH + 2) {
        int index = handles(desk.selectedMark().orElseThrow()).indexOf(c);
        return new Hit(What.CORNER, desk.mark(), index, 0, 0);
      }
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
          int index = m instanceof Callout c ? Math.max(0, c.rings().indexOf(r.centre())) : 0;
          return new Hit(What.RING, r.mark(), index, dx, dy);
        }
      }
    }
    for (Mark m : desk.job().marksOn(photo.id())) {
      List<Point> c = handles(m);
      if (!c.isEmpty() && nearEdge(c, x, y)) {
        return new Hit(What.CORNER, m.id(), -1, 0, 0);
      }
    }
    return null;
  }

  private boolean nearEdge(List<Point> c, double x, double y) {
    for (int i = 0; i < c.size(); i++) {
      Point a = c.get(i);
      Point b = c.get((i + 1) % c.size());
      double d = java.awt.geom.Line2D.ptSegDist(port.x(a), port.y(a), port.x(b), port.y(b), x, y);
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
      desk.putMark(Marks.withRing(c, port.point(e.getX(), e.getY())));
      dragged = true; // the click is used up
      return;
    }
    if (grabbed != null) {
      desk.selectMark(grabbed.mark());
    } else if (tool == Tool.AREA || tool == Tool.REDACT) {
      boxFrom = port.pointOnPhoto(e.getX(), e.getY());
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
      boxTo = port.pointOnPhoto(e.getX(), e.getY());
      paint();
    } else if (!port.fitted()) {
      show(port.panned(e.getX() - lastX, e.getY() - lastY));
    }
    lastX = e.getX();
    lastY = e.getY();
    e.consume();
  }

  private void drag(MouseEvent e) {
    Mark m = desk.job().marks().get(grabbed.mark());
    if (m == null) {
      return;
    }
    Point to = port.pointOnPhoto(e.getX() + grabbed.dx(), e.getY() + grabbed.dy());
    if (grabbed.what() == What.RING && m instanceof Callout c) {
      preview(Marks.ringAt(c, grabbed.index(), to));
    } else if (grabbed.what() == What.PLATE && m instanceof Callout c) {
      preview(Marks.plateAt(c, to));
    } else if (grabbed.what() == What.CORNER && grabbed.index() >= 0) {
      preview(Marks.pointAt(m, grabbed.index(), to));
    } else if (grabbed.what() == What.CORNER) {
      Mark from = pending != null ? pending : m;
      preview(
          Marks.nudged(
              from,
              (e.getX() - lastX) / port.shownWidth(),
              (e.getY() - lastY) / port.shownHeight()));
    }
  }

  private void released(MouseEvent e) {
    if (photo == null || port == null || e.getButton() == MouseButton.SECONDARY) {
      return;
    }
    Hit was = grabbed;
    grabbed = null;
    if (was != null) {
      if (pending != null) {
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
    Point at = port.point(e.getX(), e.getY());
    if (tool == Tool.CALLOUT) {
      if (at.onPhoto()) {
        onPart.accept(at, localToScene(e.getX(), e.getY()));
      }
      return;
    }
    if (tool == Tool.AREA || tool == Tool.REDACT) {
      Point corner = port.pointOnPhoto(e.getX(), e.getY());
      boolean onFirst =
          corners.size() >= 3
              && Math.hypot(port.x(corners.get(0)) - e.getX(), port.y(corners.get(0)) - e.getY())
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

  private static List<Point> box(Point a, Point b) {
    double x = Math.min(a.x(), b.x());
    double y = Math.min(a.y(), b.y());
    return Outline.boxCorners(x, y, Math.abs(a.x() - b.x()), Math.abs(a.y() - b.y()));
  }
}

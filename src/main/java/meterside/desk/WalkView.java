package meterside.desk;

import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.Set;
import javafx.geometry.Bounds;
import javafx.geometry.Insets;
import javafx.geometry.Pos;
import javafx.scene.AccessibleRole;
import javafx.scene.Node;
import javafx.scene.control.Hyperlink;
import javafx.scene.control.IndexedCell;
import javafx.scene.control.Label;
import javafx.scene.control.ListCell;
import javafx.scene.control.ListView;
import javafx.scene.control.skin.VirtualFlow;
import javafx.scene.image.ImageView;
import javafx.scene.input.MouseButton;
import javafx.scene.input.MouseEvent;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Pane;
import javafx.scene.layout.Priority;
import javafx.scene.layout.Region;
import javafx.scene.layout.StackPane;
import javafx.scene.shape.Line;
import javafx.scene.shape.Rectangle;
import meterside.desk.model.JobDesk;
import meterside.desk.model.Walk;
import meterside.desk.model.Walk.StopView;
import meterside.desk.model.Walk.Thumb;
import meterside.desk.model.Words;
import meterside.job.PhotoId;
import meterside.job.StopKey;

/**
 * The walk: the supply as one copper line, each stop a node on it, its photos beside it in the
 * order they were taken. Photos are dragged onto stops, dividers along the photos.
 */
final class WalkView extends StackPane {
  static final double WIDTH = 300;

  /** In what part the column grows with the text. */
  static final double GROWS = 0.4;

  private static final double RAIL = 36;
  private static final double LINE = 18;

  /** Room right of the photos. */
  private static final double MARGIN = 22;

  private static final double SLACK = 5;

  private final double width = Ui.wide(WIDTH, GROWS);

  /** Width of what stands beside the rail: three photos and the gaps between them. */
  private final double content = width - RAIL - MARGIN;

  private final double thumbWidth = Math.floor((content - 8) / 3);
  private final double thumbHeight = Math.round(thumbWidth * 0.744);
  private final JobDesk desk;
  private final Pictures pictures;
  private final ListView<WalkRow> list = new ListView<>();
  private final Pane above = new Pane();
  private final Label hint = Ui.label("", "walk-hint");
  private final Region bar = new Region();
  private boolean others;

  // a drag
  private PhotoId pressed;
  private Walk.DividerMove move;
  private WalkRow.Divider dividing;
  private int dividingTo;
  private double pressX;
  private double pressY;
  private boolean dragging;
  private StopKey target;
  private boolean hasTarget;

  WalkView(JobDesk desk, Pictures pictures) {
    this.desk = desk;
    this.pictures = pictures;
    setMinWidth(width);
    setPrefWidth(width);
    setMaxWidth(width);
    setMinHeight(0);
    list.setId("walk");
    list.setAccessibleText(Words.say("walk.name"));
    list.setCellFactory(v -> new Cell());
    list.setFocusTraversable(true);
    list.setPadding(new Insets(8, 0, 8, 0));
    // The list's own keys would move its own selection; the window moves along the photos.
    list.addEventFilter(
        javafx.scene.input.KeyEvent.KEY_PRESSED,
        e -> {
          if (getScene() != null && e.getTarget() == list) {
            e.consume();
            fireEvent(e.copyFor(this, this));
          }
        });
    above.setMouseTransparent(true);
    hint.setVisible(false);
    bar.getStyleClass().add("copper-line");
    bar.setVisible(false);
    above.getChildren().addAll(bar, hint);
    getChildren().addAll(list, above);
    refresh();
  }

  /** Shows the walk as it is now. */
  void refresh() {
    List<WalkRow> rows = WalkRow.of(desk.walk(), others);
    List<WalkRow> now = list.getItems();
    int a = 0;
    while (a < rows.size() && a < now.size() && rows.get(a).equals(now.get(a))) {
      a++;
    }
    int b = 0;
    while (b < rows.size() - a
        && b < now.size() - a
        && rows.get(rows.size() - 1 - b).equals(now.get(now.size() - 1 - b))) {
      b++;
    }
    List<WalkRow> fresh = new ArrayList<>(rows.subList(a, rows.size() - b));
    if (now.size() - a - b == fresh.size()) {
      for (int i = 0; i < fresh.size(); i++) {
        if (!fresh.get(i).equals(now.get(a + i))) {
          now.set(a + i, fresh.get(i));
        }
      }
    } else {
      list.getItems().remove(a, now.size() - b);
      list.getItems().addAll(a, fresh);
    }
    select();
  }

  /** Marks what is selected now, and brings it into view. */
  void select() {
    for (Node n : list.lookupAll(".walk-cell")) {
      if (n instanceof Cell c) {
        c.mark();
      }
    }
    int row = rowOfCurrent();
    list.setAccessibleHelp(
        desk.current() == null
            ? ""
            : desk.walk().order().get(Math.max(0, desk.walk().indexOf(desk.current()))).spoken());
    if (row >= 0) {
      bringIntoView(row);
    }
  }

  private int rowOfCurrent() {
    List<WalkRow> rows = list.getItems();
    for (int i = 0; i < rows.size(); i++) {
      WalkRow r = rows.get(i);
      if (desk.current() == null) {
        if (r instanceof WalkRow.Head && Objects.equals(r.stop().key(), desk.stop())) {
          return i;
        }
      } else if (r instanceof WalkRow.Photos p
          && p.thumbs().stream().anyMatch(t -> t.id().equals(desk.current()))) {
        return i;
      }
    }
    // Other systems are folded away: unfold them for a photo of theirs.
    if (desk.current() != null && !others && desk.stop() != null && desk.stop().isOtherSystems()) {
      others = true;
      refresh();
    }
    return -1;
  }

  private void bringIntoView(int row) {
    if (list.lookup(".virtual-flow") instanceof VirtualFlow<?> flow) {
      IndexedCell<?> first = flow.getFirstVisibleCell();
      IndexedCell<?> last = flow.getLastVisibleCell();
      if (first != null && last != null && row > first.getIndex() && row < last.getIndex()) {
        return;
      }
      if (first != null && row <= first.getIndex()) {
        list.scrollTo(Math.max(0, row - 1));
      } else if (first != null && last != null) {
        int span = Math.max(1, last.getIndex() - first.getIndex());
        list.scrollTo(Math.max(0, row - span + 3));
      }
    }
  }

  // ---- dragging ----

  private void press(MouseEvent e, Thumb thumb) {
    if (e.getButton() != MouseButton.PRIMARY) {
      return;
    }
    pressed = thumb.id();
    pressX = e.getSceneX();
    pressY = e.getSceneY();
    dragging = false;
    list.requestFocus();
    e.consume();
  }

  private void dragPhoto(MouseEvent e) {
    if (pressed == null) {
      return;
    }
    boolean far = Math.hypot(e.getSceneX() - pressX, e.getSceneY() - pressY) > SLACK;
    if (!dragging && far) {
      dragging = true;
      if (!desk.selection().contains(pressed)) {
        desk.show(pressed);
      }
    }
    if (!dragging) {
      return;
    }
    scrollAt(e.getSceneY());
    Cell over = cellAt(e.getSceneY());
    WalkRow row = over == null ? null : over.getItem();
    boolean inside = localToScene(getBoundsInLocal()).contains(e.getSceneX(), e.getSceneY());
    hasTarget = inside && row != null && row.stop().key() != null;
    target = hasTarget ? row.stop().key() : null;
    say(
        e,
        hasTarget
            ? Words.count("walk.drop", desk.selection().size()) + " " + desk.job().title(target)
            : Words.say("walk.drop-nowhere"));
    highlight();
    e.consume();
  }

  private void dropPhoto(MouseEvent e) {
    if (pressed == null) {
      return;
    }
    PhotoId id = pressed;
    pressed = null;
    if (!dragging) {
      if (e.isShiftDown()) {
        desk.selectTo(id);
      } else if (e.isShortcutDown()) {
        desk.toggle(id);
      } else {
        desk.show(id);
      }
    } else if (hasTarget) {
      desk.placeSelection(target);
    }
    endDrag();
    e.consume();
  }

  private void dragDivider(MouseEvent e, WalkRow.Divider row) {
    if (!dragging && Math.abs(e.getSceneY() - pressY) < SLACK) {
      return;
    }
    dragging = true;
    dividing = row;
    scrollAt(e.getSceneY());
    place(e.getSceneX(), e.getSceneY());
    move = Walk.moveDivider(row.upper(), row.stop(), dividingTo);
    say(
        e,
        move.photos().isEmpty()
            ? Words.say("walk.divider-same")
            : Words.count("walk.drop", move.photos().size()) + " " + desk.job().title(move.to()));
    e.consume();
  }

  /** Finds the photo before which the divider would lie, and draws a bar there. */
  private void place(double sceneX, double sceneY) {
    StopView up = dividing.upper();
    StopView down = dividing.stop();
    int best = up.photos().size();
    double nearest = Double.MAX_VALUE;
    Bounds at = null;
    boolean after = false;
    for (Node n : list.lookupAll(".thumb")) {
      if (!(n instanceof ThumbNode t) || t.thumb == null || !t.isVisible()) {
        continue;
      }
      int base;
      if (Objects.equals(t.thumb.at(), up.key())) {
        base = 0;
      } else if (Objects.equals(t.thumb.at(), down.key())) {
        base = up.photos().size();
      } else {
        continue;
      }
      Bounds b = t.localToScene(t.getBoundsInLocal());
      double dy = Math.max(0, Math.max(b.getMinY() - sceneY, sceneY - b.getMaxY()));
      for (int side = 0; side < 2; side++) {
        double x = side == 0 ? b.getMinX() : b.getMaxX();
        double d = dy * 4 + Math.abs(x - sceneX);
        if (d < nearest) {
          nearest = d;
          best = base + t.index + side;
          at = b;
          after = side == 1;
        }
      }
    }
    dividingTo = best;
    if (at != null) {
      Bounds local = above.sceneToLocal(at);
      bar.setVisible(true);
      bar.resizeRelocate(
          (after ? local.getMaxX() : local.getMinX()) - 2.5, local.getMinY(), 4, local.getHeight());
    }
  }

  private void dropDivider() {
    if (dividing != null && dragging) {
      desk.moveDivider(dividing.upper(), dividing.stop(), dividingTo);
    }
    endDrag();
  }

  private void endDrag() {
    pressed = null;
    dividing = null;
    move = null;
    dragging = false;
    hasTarget = false;
    target = null;
    hint.setVisible(false);
    bar.setVisible(false);
    highlight();
  }

  private void say(MouseEvent e, String text) {
    hint.setText(text);
    hint.setVisible(true);
    hint.autosize();
    double y = above.sceneToLocal(e.getSceneX(), e.getSceneY()).getY();
    double x = above.sceneToLocal(e.getSceneX(), e.getSceneY()).getX();
    hint.relocate(
        Math.max(4, Math.min(above.getWidth() - hint.getWidth() - 4, x + 12)),
        Math.max(4, Math.min(above.getHeight() - hint.getHeight() - 4, y + 14)));
  }

  private void highlight() {
    for (Node n : list.lookupAll(".walk-cell")) {
      if (n instanceof Cell c) {
        boolean on =
            hasTarget
                && c.getItem() instanceof WalkRow.Head h
                && Objects.equals(h.stop().key(), target);
        Ui.style(c, "drop-target", on);
      }
    }
  }

  private Cell cellAt(double sceneY) {
    for (Node n : list.lookupAll(".walk-cell")) {
      if (n instanceof Cell c && c.getItem() != null) {
        Bounds b = c.localToScene(c.getBoundsInLocal());
        if (sceneY >= b.getMinY() && sceneY < b.getMaxY()) {
          return c;
        }
      }
    }
    return null;
  }

  private void scrollAt(double sceneY) {
    Bounds b = list.localToScene(list.getBoundsInLocal());
    if (list.lookup(".virtual-flow") instanceof VirtualFlow<?> flow) {
      if (sceneY < b.getMinY() + 28) {
        flow.scrollPixels(-14);
      } else if (sceneY > b.getMaxY() - 28) {
        flow.scrollPixels(14);
      }
    }
  }

  // ---- cells ----

  private final class Cell extends ListCell<WalkRow> {
    private final Rail rail = new Rail();
    private final HBox box = new HBox(rail);
    private final ThumbNode[] thumbs = {new ThumbNode(), new ThumbNode(), new ThumbNode()};
    private final HBox photos = new HBox(4, thumbs);

    Cell() {
      getStyleClass().add("walk-cell");
      setPrefWidth(0);
      box.setAlignment(Pos.TOP_LEFT);
      photos.setPadding(new Insets(0, 0, 4, 0));
      addEventHandler(MouseEvent.MOUSE_DRAGGED, WalkView.this::dragPhoto);
      addEventHandler(MouseEvent.MOUSE_RELEASED, WalkView.this::dropPhoto);
    }

    @Override
    protected void updateItem(WalkRow row, boolean empty) {
      super.updateItem(row, empty);
      setText(null);
      setOnMousePressed(null);
      setOnMouseClicked(null);
      if (empty || row == null) {
        setGraphic(null);
        for (ThumbNode t : thumbs) {
          t.show(null, 0);
        }
        return;
      }
      Node content;
      if (row instanceof WalkRow.Head h) {
        content = head(h);
      } else if (row instanceof WalkRow.Photos p) {
        rail.show(p.line(), p.line(), null, false);
        for (int i = 0; i < thumbs.length; i++) {
          boolean there = i < p.thumbs().size();
          thumbs[i].show(there ? p.thumbs().get(i) : null, p.firstIndex() + i);
        }
        content = photos;
      } else if (row instanceof WalkRow.Blank b) {
        rail.show(b.line(), b.line(), null, false);
        content = blank(b);
      } else if (row instanceof WalkRow.Divider d) {
        rail.show(WalkRow.Line.WHOLE, WalkRow.Line.WHOLE, null, false);
        content = divider(d);
      } else if (row instanceof WalkRow.Fold f) {
        rail.show(WalkRow.Line.NONE, WalkRow.Line.NONE, null, false);
        content = fold(f);
      } else {
        WalkRow.Gap g = (WalkRow.Gap) row;
        rail.show(g.line(), g.line(), null, false);
        Region room = new Region();
        room.setMinHeight(10);
        content = room;
      }
      if (!(row instanceof WalkRow.Head)) {
        HBox.setHgrow(content, Priority.ALWAYS);
      }
      box.getChildren().setAll(rail, content);
      setGraphic(box);
      mark();
    }

    /** Shows what is selected. */
    void mark() {
      if (getItem() instanceof WalkRow.Head h) {
        rail.current(Objects.equals(h.stop().key(), desk.stop()));
      }
      Set<PhotoId> selection = desk.selection();
      for (ThumbNode t : thumbs) {
        t.mark(selection);
      }
    }

    private Node head(WalkRow.Head h) {
      StopView s = h.stop();
      rail.show(h.above(), h.below(), s, Objects.equals(s.key(), desk.stop()));
      Label title = Ui.label(s.title(), "walk-head-title");
      title.setWrapText(true);
      title.setMinHeight(Region.USE_PREF_SIZE);
      HBox.setHgrow(title, Priority.ALWAYS);
      String count = s.empty() ? Words.say("walk.none") : Integer.toString(s.photos().size());
      String when = s.start().isEmpty() ? count : s.start() + " · " + count;
      Label time = Ui.label(when, "walk-when");
      time.setMinWidth(Region.USE_PREF_SIZE);
      time.setPadding(new Insets(1, 0, 0, 0));
      title.setMaxWidth(Double.MAX_VALUE);
      HBox row = new HBox(8, title, time);
      row.setAlignment(Pos.TOP_LEFT);
      row.setPadding(new Insets(5, 0, 4, 0));
      row.setMinWidth(content);
      row.setMaxWidth(content);
      row.setPrefWidth(content);
      row.setAccessibleRole(AccessibleRole.TEXT);
      row.setAccessibleText(s.title() + ", " + when);
      setOnMouseClicked(e -> desk.showStop(s.key()));
      return row;
    }

    private Node blank(WalkRow.Blank b) {
      StopView s = b.stop();
      boolean owed = s.open() > 0;
      String text =
          owed
              ? Words.say("walk.blank-open", Words.count("head.open", s.open()))
              : Words.say("walk.blank");
      Label l = Ui.wrapped(text, owed ? "walk-empty" : "walk-when");
      l.setMaxWidth(content);
      l.setPadding(new Insets(0, 0, 2, 0));
      setOnMouseClicked(e -> desk.showStop(s.key()));
      return l;
    }

    private Node divider(WalkRow.Divider d) {
      Line dash = new Line();
      dash.getStyleClass().add("walk-divider-line");
      Label time = Ui.label(d.stop().start(), "walk-divider-time");
      Pane pane =
          new Pane(dash, time) {
            @Override
            protected void layoutChildren() {
              double w = content;
              double y = Math.round(getHeight() / 2) + 0.5;
              double t = time.prefWidth(-1);
              dash.setStartX(0);
              dash.setEndX(Math.max(0, w - t - 2));
              dash.setStartY(y);
              dash.setEndY(y);
              time.resizeRelocate(w - t, y - time.prefHeight(-1) / 2, t, time.prefHeight(-1));
            }
          };
      pane.getStyleClass().add("walk-divider");
      pane.setMinHeight(Ui.px(16));
      pane.setPrefHeight(Ui.px(16));
      pane.setAccessibleRole(AccessibleRole.TEXT);
      pane.setAccessibleText(Words.say("walk.divider", d.stop().start()));
      Ui.tip(pane, Words.say("walk.divider-tip"));
      pane.setOnMousePressed(
          e -> {
            pressX = e.getSceneX();
            pressY = e.getSceneY();
            dragging = false;
            e.consume();
          });
      pane.setOnMouseDragged(e -> dragDivider(e, d));
      pane.setOnMouseReleased(
          e -> {
            dropDivider();
            e.consume();
          });
      return pane;
    }

    private Node fold(WalkRow.Fold f) {
      Hyperlink link =
          new Hyperlink(
              f.shown()
                  ? Words.say("walk.fold")
                  : Words.say("walk.unfold", f.stop().photos().size()));
      link.setFocusTraversable(false);
      link.setOnAction(
          e -> {
            others = !f.shown();
            refresh();
          });
      HBox row = new HBox(link);
      row.setPadding(new Insets(0, 0, 6, 0));
      return row;
    }
  }

  /** The copper line and the node of a stop. */
  private static final class Rail extends Region {
    private final Region top = new Region();
    private final Region bottom = new Region();
    private final Line topDash = new Line();
    private final Line bottomDash = new Line();
    private final Region node = new Region();

    Rail() {
      setMinWidth(RAIL);
      setPrefWidth(RAIL);
      setMaxWidth(RAIL);
      setMaxHeight(Double.MAX_VALUE);
      for (Region r : new Region[] {top, bottom}) {
        r.getStyleClass().add("copper-line");
        r.setManaged(false);
      }
      for (Line l : new Line[] {topDash, bottomDash}) {
        l.getStyleClass().add("copper-dash");
        l.setManaged(false);
      }
      node.getStyleClass().add("stop-node");
      node.setManaged(false);
      getChildren().addAll(top, bottom, topDash, bottomDash, node);
    }

    void show(WalkRow.Line above, WalkRow.Line below, StopView stop, boolean current) {
      top.setVisible(above == WalkRow.Line.WHOLE);
      topDash.setVisible(above == WalkRow.Line.DASHED);
      bottom.setVisible(below == WalkRow.Line.WHOLE);
      bottomDash.setVisible(below == WalkRow.Line.DASHED);
      node.setVisible(stop != null);
      if (stop != null) {
        Ui.style(node, "other", stop.key() == null || stop.otherSystems());
        current(current);
      }
      requestLayout();
    }

    void current(boolean on) {
      Ui.style(node, "current", on);
    }

    @Override
    protected void layoutChildren() {
      double h = getHeight();
      double middle = node.isVisible() ? 13 : h / 2;
      top.resizeRelocate(LINE - 2, 0, 4, middle);
      bottom.resizeRelocate(LINE - 2, middle, 4, h - middle);
      dash(topDash, 0, middle);
      dash(bottomDash, middle, h);
      node.resizeRelocate(LINE - 8, middle - 8, 16, 16);
    }

    private static void dash(Line l, double from, double to) {
      l.setStartX(LINE);
      l.setEndX(LINE);
      l.setStartY(from + 2);
      l.setEndY(Math.max(from + 2, to - 2));
    }
  }

  /** A photo of the walk. */
  final class ThumbNode extends StackPane {
    private final ImageView view = new ImageView();
    private final Label none = Ui.label("", "thumb-none");
    private final Label uncertain = Ui.label("?", "thumb-uncertain");
    private final Label finding = Ui.label("", "thumb-finding");
    private final Region frame = new Region();
    private Thumb thumb;
    private int index;

    ThumbNode() {
      getStyleClass().add("thumb");
      setMinSize(thumbWidth, thumbHeight);
      setMaxSize(thumbWidth, thumbHeight);
      Rectangle round = new Rectangle(thumbWidth, thumbHeight);
      round.setArcWidth(6);
      round.setArcHeight(6);
      view.setClip(round);
      frame.getStyleClass().add("thumb-frame");
      frame.setMouseTransparent(true);
      StackPane.setAlignment(uncertain, Pos.TOP_RIGHT);
      StackPane.setMargin(uncertain, new Insets(3));
      StackPane.setAlignment(finding, Pos.BOTTOM_LEFT);
      StackPane.setMargin(finding, new Insets(3));
      getChildren().addAll(none, view, uncertain, finding, frame);
      setOnMousePressed(
          e -> {
            if (thumb != null) {
              press(e, thumb);
            }
          });
      setAccessibleRole(AccessibleRole.IMAGE_VIEW);
    }

    /** The photo shown, or null. */
    PhotoId photo() {
      return thumb == null ? null : thumb.id();
    }

    void show(Thumb next, int at) {
      boolean same = thumb != null && next != null && thumb.id().equals(next.id());
      thumb = next;
      index = at;
      setVisible(next != null);
      if (next == null) {
        view.setImage(null);
        return;
      }
      setAccessibleText(next.spoken());
      uncertain.setVisible(next.uncertain());
      finding.setVisible(!next.findings().isEmpty());
      finding.setText(
          next.findings().isEmpty()
              ? ""
              : next.findings().get(0) + (next.findings().size() > 1 ? "+" : ""));
      Ui.style(this, "aside", next.aside());
      if (!same || view.getImage() == null) {
        view.setImage(null);
        none.setText("");
        PhotoId asked = next.id();
        pictures.thumbnail(
            desk.session().folder(),
            asked,
            desk.job().photo(asked),
            () -> thumb != null && thumb.id().equals(asked),
            image -> {
              if (thumb == null || !thumb.id().equals(asked)) {
                return; // the cell shows another photo by now
              }
              if (image == null) {
                none.setText(Words.say("thumb.none"));
                return;
              }
              Crop.cover(view, image, thumbWidth, thumbHeight);
            });
      }
    }

    void mark(Set<PhotoId> selection) {
      boolean in = thumb != null && selection.contains(thumb.id());
      Ui.style(this, "selected", in);
      Ui.style(this, "current", thumb != null && thumb.id().equals(desk.current()));
    }
  }
}

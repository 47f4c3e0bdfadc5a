package meterside.desk;

import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import javafx.geometry.Insets;
import javafx.geometry.Pos;
import javafx.scene.AccessibleRole;
import javafx.scene.Node;
import javafx.scene.Parent;
import javafx.scene.control.Button;
import javafx.scene.control.IndexedCell;
import javafx.scene.control.Label;
import javafx.scene.control.ListCell;
import javafx.scene.control.ListView;
import javafx.scene.control.ToggleButton;
import javafx.scene.control.ToggleGroup;
import javafx.scene.control.skin.VirtualFlow;
import javafx.scene.image.ImageView;
import javafx.scene.input.KeyEvent;
import javafx.scene.layout.BorderPane;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Region;
import javafx.scene.layout.StackPane;
import javafx.scene.layout.VBox;
import javafx.scene.shape.Rectangle;
import meterside.desk.model.JobDesk;
import meterside.desk.model.Keys;
import meterside.desk.model.Sheet;
import meterside.desk.model.Walk.Thumb;
import meterside.desk.model.Words;
import meterside.job.Attachment;
import meterside.job.PhotoId;
import meterside.job.StopKey;

/** The sheet: photos of a stop or of the walk in large pictures, for moving many at once. */
final class SheetPlace implements Place {
  private static final double GAP = 12;
  private static final double SIDE = 24;
  private static final double[] SIZES = {168, 232, 336, 480};

  /** A row: a heading, or photos. */
  private sealed interface Row {
    record Head(String title, int photos) implements Row {}

    record Photos(List<Thumb> thumbs) implements Row {}

    record Videos(List<Attachment> videos) implements Row {}
  }

  private final DeskWindow window;
  private final JobDesk desk;
  private final Sheet sheet;
  private final BorderPane root = new BorderPane();
  private final ListView<Row> list = new ListView<>();
  private final VBox below = new VBox();

  /** Acts on what is selected. */
  private final List<Button> onSelected;

  private final Label title = Ui.label("", "large", "bold");
  private final Label count = Ui.label("", "quiet");
  private final Label chosen = Ui.label("", "bold");
  private final ToggleGroup scopes = new ToggleGroup();
  private final ToggleButton stop = scope("lay.scope.stop", Sheet.Scope.STOP, Keys.LAY_STOP);
  private final ToggleButton walk = scope("lay.scope.walk", Sheet.Scope.WALK, Keys.LAY_WALK);
  private final ToggleButton mayGo =
      scope("lay.scope.suggested", Sheet.Scope.SUGGESTED, Keys.LAY_SUGGESTED);
  private final Button take;
  private final Button besideButton;
  private final Label nothing = Ui.wrapped("", "quiet");
  private final Button addPhotos;
  private final VBox none;
  private final Foot foot;
  private BesideView beside;
  private int size = 1;
  private int across = 4;

  SheetPlace(DeskWindow window, JobDesk desk) {
    this.window = window;
    this.desk = desk;
    this.sheet = new Sheet(desk);
    this.foot = new Foot(window.tasks(), window.overlay());
    foot.also(() -> "", () -> Words.say(desk.saved() ? "foot.saved" : "foot.saving"));
    root.getStyleClass().add("place");
    Button back = Ui.button("‹ " + Words.say("report.back"), window::backToJob, "bare");
    Ui.named(back, Words.say("report.back"), Keys.LEAVE);
    Button smaller = Ui.button("−", () -> resize(-1));
    Ui.named(smaller, Words.say("lay.smaller"), Keys.LAY_SMALLER);
    Button larger = Ui.button("+", () -> resize(1));
    Ui.named(larger, Words.say("lay.larger"), Keys.LAY_LARGER);
    HBox scope = new HBox(4, stop, walk, mayGo);
    HBox sizes = new HBox(4, smaller, larger);
    Bar top = new Bar(16, 52).left(back, title, count).right(scope, sizes);
    top.getStyleClass().add("top-bar");
    besideButton = act("lay.beside", Keys.BESIDE, this::beside);
    take = act("lay.take", Keys.LAY_TAKE, this::takeSuggestions);
    Button put = act("lay.put", Keys.PUT, this::put);
    Button other = act("lay.other", Keys.OTHER, this::other);
    Button aside = act("lay.set-aside", Keys.ASIDE, desk::toggleAside);
    Button note = act("lay.note", Keys.NOTE, desk::toggleNoteToSelf);
    Button open = act("lay.open", Keys.LAY_OPEN, window::backToJob);
    onSelected = List.of(put, other, aside, note, besideButton, open);
    Bar acts = new Bar(8, 48).left(chosen).right(put, other, aside, note, besideButton, take, open);
    acts.setStyle("-fx-padding: 0 16 0 16;");
    below.getStyleClass().add("sheet-acts");
    below.getChildren().addAll(acts, foot);
    list.setId("sheet");
    list.setAccessibleText(Words.say("lay.name"));
    list.setCellFactory(v -> new Cell());
    list.setPadding(new Insets(8, 0, 16, 0));
    list.addEventFilter(
        KeyEvent.KEY_PRESSED,
        e -> {
          if (e.getTarget() == list) {
            key(e);
            if (!e.isConsumed()) {
              e.consume();
              root.fireEvent(e.copyFor(root, root));
            }
          }
        });
    list.widthProperty().addListener((o, a, b) -> reflow());
    addPhotos = Ui.button(Words.say("job.add"), window::addToJob, "strong");
    none = new VBox(12, nothing, addPhotos);
    nothing.setMaxWidth(480);
    nothing.setAlignment(Pos.CENTER);
    nothing.setTextAlignment(javafx.scene.text.TextAlignment.CENTER);
    addPhotos.setId("sheet-add");
    none.setAlignment(Pos.CENTER);
    none.setMaxSize(Region.USE_PREF_SIZE, Region.USE_PREF_SIZE);
    root.setTop(top);
    root.setCenter(new StackPane(list, none));
    root.setBottom(below);
    desk.onChange(this::changed);
  }

  private ToggleButton scope(String key, Sheet.Scope scope, Keys shortcut) {
    ToggleButton b = new ToggleButton(Words.say(key));
    b.setToggleGroup(scopes);
    b.setId("scope-" + scope.name().toLowerCase(java.util.Locale.ROOT));
    Ui.named(b, Words.say(key), shortcut);
    b.setOnAction(e -> lay(scope));
    return b;
  }

  private Button act(String key, Keys shortcut, Runnable what) {
    Button b = Ui.button(Words.say(key), what, "tiny");
    Ui.named(b, Words.say(key), shortcut);
    return b;
  }

  private void changed(JobDesk.Change what) {
    if (root.getScene() == null) {
      return;
    }
    if (what == JobDesk.Change.JOB) {
      refresh();
    } else if (what == JobDesk.Change.SELECTION) {
      mark();
    } else if (what == JobDesk.Change.SAVED) {
      foot.refresh();
    }
  }

  @Override
  public Parent root() {
    return root;
  }

  @Override
  public Foot foot() {
    return foot;
  }

  @Override
  public void begin() {
    if (sheet.scope() == Sheet.Scope.STOP) {
      sheet.scope(Sheet.Scope.STOP);
    }
    refresh();
    list.requestFocus();
    sheet.changed();
    sheet.look(this::refresh);
  }

  @Override
  public void leave() {
    closeBeside();
  }

  /** Leaves the photos that lie side by side; false if none do. */
  boolean escape() {
    return closeBeside();
  }

  private void lay(Sheet.Scope scope) {
    sheet.scope(scope);
    refresh();
    list.requestFocus();
    if (scope == Sheet.Scope.SUGGESTED && !sheet.mayGo().isEmpty()) {
      desk.show(sheet.mayGo().get(0));
    } else if (!sheet.order().isEmpty()
        && sheet.order().stream().noneMatch(t -> t.id().equals(desk.current()))) {
      desk.show(sheet.order().get(0).id());
    }
    bring();
  }

  private void resize(int by) {
    size = Math.max(0, Math.min(SIZES.length - 1, size + by));
    reflow();
    bring();
  }

  private double cell() {
    return SIZES[size];
  }

  private void reflow() {
    double room = Math.max(cell(), list.getWidth() - 2 * SIDE - 12);
    across = Math.max(1, (int) ((room + GAP) / (cell() + GAP)));
    refresh();
  }

  private void refresh() {
    title.setText(sheet.title());
    count.setText(sheet.count());
    (switch (sheet.scope()) {
          case STOP -> stop;
          case WALK -> walk;
          case SUGGESTED -> mayGo;
        })
        .setSelected(true);
    int may = sheet.mayGo().size();
    mayGo.setText(
        may == 0 ? Words.say("lay.scope.suggested") : Words.say("lay.scope.suggested.count", may));
    boolean takes = sheet.scope() == Sheet.Scope.SUGGESTED && may > 0;
    String set = Words.say("lay.take", sheet.mayGo().size());
    take.setText(set);
    Ui.named(take, set, Keys.LAY_TAKE);
    take.setVisible(takes);
    take.setManaged(takes);
    List<Row> rows = new ArrayList<>();
    for (Sheet.Part p : sheet.parts()) {
      rows.add(new Row.Head(p.title(), p.photos().size()));
      for (int i = 0; i < p.photos().size(); i += across) {
        rows.add(new Row.Photos(p.photos().subList(i, Math.min(p.photos().size(), i + across))));
      }
    }
    List<Attachment> videos = sheet.videos();
    if (!videos.isEmpty()) {
      rows.add(new Row.Head(Words.say("lay.videos"), videos.size()));
      for (int i = 0; i < videos.size(); i += across) {
        rows.add(new Row.Videos(videos.subList(i, Math.min(videos.size(), i + across))));
      }
    }
    if (rows.size() == list.getItems().size()) {
      for (int i = 0; i < rows.size(); i++) {
        if (!rows.get(i).equals(list.getItems().get(i))) {
          list.getItems().set(i, rows.get(i));
        }
      }
      list.refresh();
    } else {
      list.getItems().setAll(rows);
    }
    nothing.setText(
        Words.say(
            sheet.scope() == Sheet.Scope.SUGGESTED ? "lay.nothing-suggested" : "lay.nothing"));
    boolean empty = desk.job().photos().isEmpty();
    if (empty) {
      nothing.setText(Words.say("lay.empty"));
    }
    none.setVisible(rows.isEmpty());
    addPhotos.setVisible(empty);
    addPhotos.setManaged(empty);
    mark();
  }

  private void mark() {
    Set<PhotoId> selection = desk.selection();
    // What is not laid out is not seen here, so nothing acts on it.
    List<Thumb> order = sheet.order();
    long laid = order.stream().filter(t -> selection.contains(t.id())).count();
    chosen.setText(Words.count("lay.chosen", laid));
    onSelected.forEach(b -> b.setDisable(laid == 0));
    for (Node n : list.lookupAll(".sheet-photo")) {
      if (n instanceof Tile t) {
        t.mark(selection);
      }
    }
    list.setAccessibleHelp(
        desk.current() == null || desk.walk().indexOf(desk.current()) < 0
            ? ""
            : desk.walk().order().get(desk.walk().indexOf(desk.current())).spoken());
    bring();
  }

  private void bring() {
    int at = -1;
    for (int i = 0; i < list.getItems().size(); i++) {
      if (list.getItems().get(i) instanceof Row.Photos p
          && p.thumbs().stream().anyMatch(t -> t.id().equals(desk.current()))) {
        at = i;
      }
    }
    if (at < 0 || !(list.lookup(".virtual-flow") instanceof VirtualFlow<?> flow)) {
      return;
    }
    IndexedCell<?> first = flow.getFirstVisibleCell();
    IndexedCell<?> last = flow.getLastVisibleCell();
    if (first == null || last == null || at <= first.getIndex()) {
      list.scrollTo(Math.max(0, at - 1));
    } else if (at >= last.getIndex()) {
      list.scrollTo(Math.max(0, at - Math.max(0, last.getIndex() - first.getIndex() - 2)));
    }
  }

  // ---- acts ----

  private void put() {
    StopChoice.ask(desk, window.overlay(), 200, 120, desk::placeSelection);
  }

  private void other() {
    desk.placeSelection(StopKey.of(StopKey.OTHER_SYSTEMS));
  }

  private void takeSuggestions() {
    if (sheet.scope() == Sheet.Scope.SUGGESTED) {
      sheet.takeSuggestions();
    }
  }

  /** Looks at photos side by side. */
  void beside() {
    List<PhotoId> photos = sheet.beside();
    if (photos.size() < 2) {
      window.tasks().say(meterside.desk.model.Notice.said(Words.say("beside.too-few")));
      return;
    }
    beside =
        new BesideView(
            desk,
            window.pictures(),
            photos,
            sheet::findings,
            best -> {
              closeBeside();
              sheet.keepBest(best, photos);
            },
            this::closeBeside);
    root.setCenter(beside);
    below.getChildren().get(0).setDisable(true);
    beside.requestFocus();
  }

  private boolean closeBeside() {
    if (beside == null) {
      return false;
    }
    beside = null;
    root.setCenter(new StackPane(list, none));
    below.getChildren().get(0).setDisable(false);
    list.requestFocus();
    return true;
  }

  @Override
  public void key(KeyEvent e) {
    if (e.getEventType() != KeyEvent.KEY_PRESSED || window.overlay().open()) {
      return;
    }
    if (beside != null) {
      if (!e.isShortcutDown() && beside.key(e)) {
        e.consume();
      }
      return;
    }
    Keys k = KeyMap.pressed(e, Keys.Place.LAID_OUT);
    if (k == null) {
      k = KeyMap.pressed(e, Keys.Place.JOB);
    }
    if (k != null && act(k)) {
      e.consume();
    }
  }

  private boolean act(Keys k) {
    switch (k) {
      case NEXT -> sheet.step(1, false);
      case BEFORE -> sheet.step(-1, false);
      case SELECT_NEXT -> sheet.step(1, true);
      case SELECT_BEFORE -> sheet.step(-1, true);
      case LAY_DOWN -> sheet.stepRow(1, across, false);
      case LAY_UP -> sheet.stepRow(-1, across, false);
      case LAY_SELECT_DOWN -> sheet.stepRow(1, across, true);
      case LAY_SELECT_UP -> sheet.stepRow(-1, across, true);
      case LAY_NEXT_STOP -> stepStop(1);
      case LAY_STOP_BEFORE -> stepStop(-1);
      case LAY_ALL -> sheet.selectAll();
      case LAY_STOP -> lay(Sheet.Scope.STOP);
      case LAY_WALK -> lay(Sheet.Scope.WALK);
      case LAY_SUGGESTED -> lay(Sheet.Scope.SUGGESTED);
      case LAY_LARGER -> resize(1);
      case LAY_SMALLER -> resize(-1);
      case LAY_TAKE -> takeSuggestions();
      case LAY_OPEN -> window.backToJob();
      case BESIDE -> beside();
      case PUT -> put();
      case OTHER -> other();
      case PUT_AFTER -> desk.placeSelectionBy(1);
      case PUT_BEFORE -> desk.placeSelectionBy(-1);
      case ASIDE -> desk.toggleAside();
      case NOTE -> desk.toggleNoteToSelf();
      case KEEP -> desk.keepHere();
      case RELEASE -> desk.release();
      case LOOK -> desk.nextToLookAt();
      case BEGINS -> desk.beginsHere();
      case UNDO -> desk.undo();
      case REDO -> desk.redo();
      default -> {
        return false;
      }
    }
    return true;
  }

  private void stepStop(int by) {
    sheet.stepStop(by);
    refresh();
  }

  // ---- cells ----

  private final class Cell extends ListCell<Row> {
    private final HBox box = new HBox(GAP);
    private final List<Tile> tiles = new ArrayList<>();

    Cell() {
      getStyleClass().add("sheet-cell");
      setPrefWidth(0);
      box.setPadding(new Insets(0, SIDE, GAP, SIDE));
    }

    @Override
    protected void updateItem(Row row, boolean empty) {
      super.updateItem(row, empty);
      setText(null);
      if (empty || row == null) {
        setGraphic(null);
        tiles.forEach(t -> t.show(null));
        return;
      }
      if (row instanceof Row.Head h) {
        HBox head = new HBox(8, Ui.label(h.title(), "bold"), Ui.label("" + h.photos(), "quiet"));
        head.setPadding(new Insets(8, SIDE, 8, SIDE));
        setGraphic(head);
        return;
      }
      if (row instanceof Row.Videos v) {
        HBox stills = new HBox(GAP);
        stills.setPadding(new Insets(0, SIDE, GAP, SIDE));
        v.videos().forEach(a -> stills.getChildren().add(still(a)));
        setGraphic(stills);
        return;
      }
      List<Thumb> thumbs = ((Row.Photos) row).thumbs();
      while (tiles.size() < thumbs.size()) {
        tiles.add(new Tile());
      }
      box.getChildren().setAll(tiles.subList(0, thumbs.size()));
      for (int i = 0; i < tiles.size(); i++) {
        tiles.get(i).show(i < thumbs.size() ? thumbs.get(i) : null);
      }
      Set<PhotoId> selection = desk.selection();
      tiles.forEach(t -> t.mark(selection));
      setGraphic(box);
    }
  }

  /** A video: a still tile with its name, since nothing here plays it. */
  private Node still(Attachment video) {
    double w = cell();
    StackPane picture = new StackPane(Ui.label(Words.say("lay.video"), "on-surround-quiet"));
    picture.getStyleClass().add("thumb");
    picture.setMinSize(w, Math.round(w * 0.75));
    picture.setMaxSize(w, Math.round(w * 0.75));
    String what = Words.say("lay.video.size", Sheet.size(video));
    VBox tile =
        new VBox(4, picture, Ui.label(video.name(), "small"), Ui.wrapped(what, "small", "quiet"));
    tile.getStyleClass().add("sheet-video");
    tile.setPrefWidth(w);
    tile.setMinWidth(w);
    tile.setMaxWidth(w);
    tile.setAccessibleRole(AccessibleRole.TEXT);
    tile.setAccessibleText(video.name() + ", " + what);
    return tile;
  }

  /** A photo of the sheet. */
  final class Tile extends VBox {
    private final ImageView view = new ImageView();
    private final Label none = Ui.label("", "thumb-none");
    private final Label uncertain = Ui.label("?", "thumb-uncertain");
    private final Label finding = Ui.label("", "thumb-finding");
    private final Region frame = new Region();
    private final StackPane picture = new StackPane(none, view, uncertain, finding, frame);
    private final Label when = Ui.label("", "small");
    private final Label more = Ui.wrapped("", "small", "quiet");
    private final Rectangle round = new Rectangle();
    private Thumb thumb;
    private double shownAt;

    Tile() {
      super(4);
      getStyleClass().add("sheet-photo");
      picture.getStyleClass().add("thumb");
      frame.getStyleClass().add("thumb-frame");
      frame.setMouseTransparent(true);
      round.setArcWidth(6);
      round.setArcHeight(6);
      view.setClip(round);
      StackPane.setAlignment(uncertain, Pos.TOP_RIGHT);
      StackPane.setMargin(uncertain, new Insets(4));
      StackPane.setAlignment(finding, Pos.BOTTOM_LEFT);
      StackPane.setMargin(finding, new Insets(4));
      getChildren().addAll(picture, when, more);
      setAccessibleRole(AccessibleRole.IMAGE_VIEW);
      picture.setOnMouseClicked(
          e -> {
            if (thumb == null) {
              return;
            }
            list.requestFocus();
            if (e.isShiftDown()) {
              extendTo(thumb.id());
            } else if (e.isShortcutDown()) {
              desk.toggle(thumb.id());
            } else if (e.getClickCount() == 2) {
              window.backToJob();
            } else {
              desk.show(thumb.id());
            }
            e.consume();
          });
    }

    /** The photo shown, or null. */
    PhotoId photo() {
      return thumb == null ? null : thumb.id();
    }

    void show(Thumb next) {
      double w = cell();
      double h = Math.round(w * 0.75);
      boolean same = thumb != null && next != null && thumb.id().equals(next.id()) && shownAt == w;
      thumb = next;
      if (next == null) {
        view.setImage(null);
        return;
      }
      shownAt = w;
      setPrefWidth(w);
      setMinWidth(w);
      setMaxWidth(w);
      picture.setMinSize(w, h);
      picture.setMaxSize(w, h);
      round.setWidth(w);
      round.setHeight(h);
      setAccessibleText(next.spoken());
      uncertain.setVisible(next.uncertain());
      finding.setVisible(!next.findings().isEmpty());
      finding.setText(String.join(" ", next.findings()));
      Ui.style(picture, "aside", next.aside());
      when.setText(next.time().isEmpty() ? Words.say("time.none") : next.time());
      List<String> bits = new ArrayList<>();
      bits.add(next.name());
      if (next.aside()) {
        bits.add(Words.say("walk.aside"));
      } else if (desk.job().notesToSelf().contains(next.id())) {
        bits.add(Words.say("lay.note-to-self"));
      } else {
        sheet.why(next.id()).ifPresent(bits::add);
      }
      more.setText(String.join(" · ", bits));
      if (!same || view.getImage() == null) {
        view.setImage(null);
        none.setText("");
        PhotoId asked = next.id();
        var photo = desk.job().photo(asked);
        window
            .pictures()
            .thumbnail(
                desk.session().folder(),
                asked,
                photo,
                () -> asked.equals(photo()),
                image -> put(asked, image, w, h));
        if (w > 260 && photo != null) {
          window
              .pictures()
              .preview(
                  desk.session().folder(),
                  photo,
                  () -> asked.equals(photo()),
                  image -> {
                    if (image != null) {
                      put(asked, image, w, h);
                    }
                  });
        }
      }
    }

    private void put(PhotoId asked, javafx.scene.image.Image image, double w, double h) {
      if (!asked.equals(photo())) {
        return; // the tile shows another photo by now
      }
      if (image == null) {
        none.setText(Words.say("thumb.none"));
      } else {
        Crop.cover(view, image, w, h);
      }
    }

    private void extendTo(PhotoId id) {
      List<PhotoId> all = sheet.order().stream().map(Thumb::id).toList();
      int a = all.indexOf(desk.current());
      int b = all.indexOf(id);
      sheet.step(b - a, true);
    }

    void mark(Set<PhotoId> selection) {
      Ui.style(picture, "selected", thumb != null && selection.contains(thumb.id()));
      Ui.style(picture, "current", thumb != null && thumb.id().equals(desk.current()));
    }
  }
}

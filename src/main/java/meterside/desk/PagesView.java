package meterside.desk;

import java.awt.image.BufferedImage;
import java.util.function.IntConsumer;
import javafx.geometry.Pos;
import javafx.scene.control.Label;
import javafx.scene.control.ListCell;
import javafx.scene.control.ListView;
import javafx.scene.image.Image;
import javafx.scene.image.ImageView;
import javafx.scene.layout.StackPane;
import meterside.desk.model.JobDesk;
import meterside.desk.model.Words;
import meterside.report.Paper;
import meterside.report.ReportPages;

/**
 * The real pages of the report, below each other. They are laid out beside the window's work, and
 * painted as they come into sight.
 */
final class PagesView extends StackPane {
  /** Room left and right of a page, scroll bar included. */
  private static final double EDGES = 56;

  /** A page is never painted wider than this, whatever the window. */
  private static final double WIDEST = 920;

  private final JobDesk desk;
  private final ListView<Integer> list = new ListView<>();
  private final Label says = Ui.label("", "on-surround");
  private final IntConsumer counted;
  private ReportPages pages;
  private boolean busy;
  private Runnable next;

  /**
   * An empty view.
   *
   * @param counted told how many pages there are, whenever they were laid out
   */
  PagesView(JobDesk desk, IntConsumer counted) {
    this.desk = desk;
    this.counted = counted;
    getStyleClass().add("surround");
    setMinSize(0, 0);
    list.setId("report-pages");
    list.getStyleClass().add("pages");
    list.setAccessibleText(Words.say("report.pages"));
    list.setCellFactory(l -> new PageCell());
    says.setWrapText(true);
    says.setMaxWidth(320);
    getChildren().addAll(list, says);
    StackPane.setAlignment(says, Pos.CENTER);
    list.setVisible(false);
  }

  /** Lays the pages out anew. What is shown stays until they are there. */
  void show(boolean draft, boolean keepLocation, Paper paper) {
    next = () -> make(draft, keepLocation, paper);
    if (!busy) {
      step();
    }
  }

  private void step() {
    Runnable now = next;
    next = null;
    if (now != null) {
      now.run();
    }
  }

  private void make(boolean draft, boolean keepLocation, Paper paper) {
    busy = true;
    if (pages == null) {
      says.setText(Words.say("report.pages.soon"));
    }
    desk.pages(
        draft,
        keepLocation,
        paper,
        made -> {
          busy = false;
          if (getScene() == null || next != null) {
            made.close();
          } else {
            take(made);
          }
          step();
        },
        () -> {
          busy = false;
          says.setText(pages == null ? Words.say("report.pages.none") : "");
          step();
        });
  }

  private void take(ReportPages made) {
    ReportPages before = pages;
    pages = made;
    says.setText("");
    int count = made.count();
    list.getItems().setAll(java.util.stream.IntStream.range(0, count).boxed().toList());
    list.setVisible(true);
    list.refresh();
    counted.accept(count);
    if (before != null) {
      before.close();
    }
  }

  /** Lets the pages go. */
  void leave() {
    next = null;
    list.getItems().clear();
    list.setVisible(false);
    says.setText("");
    if (pages != null) {
      pages.close();
      pages = null;
    }
  }

  private double pageWidth() {
    return Math.max(120, Math.min(WIDEST, getWidth() - EDGES));
  }

  /** One page: white until it is painted. */
  private final class PageCell extends ListCell<Integer> {
    private final ImageView view = new ImageView();
    private final StackPane sheet = new StackPane(view);

    PageCell() {
      sheet.getStyleClass().add("paper-page");
      sheet.setMaxWidth(USE_PREF_SIZE);
      setAlignment(Pos.TOP_CENTER);
      setPrefWidth(0);
      PagesView.this.widthProperty().addListener((o, a, b) -> paint());
    }

    @Override
    protected void updateItem(Integer page, boolean empty) {
      super.updateItem(page, empty);
      setText(null);
      setGraphic(empty ? null : sheet);
      setAccessibleText(
          empty || pages == null ? null : Words.say("report.page", page + 1, pages.count()));
      paint();
    }

    private void paint() {
      view.setImage(null);
      Integer page = getItem();
      ReportPages from = pages;
      if (page == null || from == null) {
        return;
      }
      double width = Math.floor(pageWidth());
      sheet.setPrefSize(width, Math.round(width * from.heightByWidth()));
      double scale = getScene() == null ? 1 : getScene().getWindow().getOutputScaleX();
      desk.beside(
          () -> from.picture(page, (int) Math.round(width * scale)),
          picture -> {
            if (picture != null && page.equals(getItem()) && from == pages && width == asked()) {
              view.setImage(image(picture));
              view.setFitWidth(width);
              view.setPreserveRatio(true);
            }
          });
    }

    private double asked() {
      return Math.floor(pageWidth());
    }

    private Image image(BufferedImage picture) {
      return Pictures.image(picture);
    }
  }
}

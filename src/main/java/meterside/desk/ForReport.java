package meterside.desk;

import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.image.BufferedImage;
import java.util.function.BiFunction;
import java.util.function.ToDoubleFunction;
import javafx.embed.swing.SwingFXUtils;
import javafx.scene.control.Button;
import javafx.scene.control.Label;
import javafx.scene.control.Slider;
import javafx.scene.image.Image;
import javafx.scene.image.ImageView;
import javafx.scene.layout.FlowPane;
import javafx.scene.layout.VBox;
import meterside.desk.model.JobDesk;
import meterside.desk.model.Words;
import meterside.job.Photo;
import meterside.job.ReportView;
import meterside.markup.Delivered;
import org.kordamp.ikonli.feather.Feather;

/**
 * How the report shows a photo: turned, straightened, cropped, brighter, with more contrast. The
 * frame lies on the photo; the panel shows what comes of it. A slider's way is one step.
 */
final class ForReport {
  private static final double WIDTH = 260;

  private final JobDesk desk;
  private final Pictures pictures;
  private final PhotoStage stage;
  private final VBox panel = new VBox(8);
  private final ImageView preview = new ImageView();
  private final Slider straighten = slider(-ReportView.MOST_DEGREES, ReportView.MOST_DEGREES, 5);
  private final Slider brightness = slider(-1, 1, 0.5);
  private final Slider contrast = slider(-1, 1, 0.5);
  private Photo photo;
  private BufferedImage small;
  private ReportView view = ReportView.AS_TAKEN;
  private boolean setting;

  ForReport(JobDesk desk, Pictures pictures, PhotoStage stage, Runnable done) {
    this.desk = desk;
    this.pictures = pictures;
    this.stage = stage;
    panel.getStyleClass().add("overlay-panel");
    panel.setId("view-panel");
    panel.setPrefWidth(WIDTH);
    panel.setMaxSize(WIDTH, VBox.USE_PREF_SIZE);
    panel.setVisible(false);
    preview.setPreserveRatio(true);
    preview.setFitWidth(WIDTH - 24);
    preview.setFitHeight(200);
    preview.setAccessibleText(Words.say("view.preview"));
    Button left =
        Ui.iconButton(Feather.ROTATE_CCW, Words.say("view.left"), () -> keep(view.turned(3)));
    left.setId("view-left");
    Button right =
        Ui.iconButton(Feather.ROTATE_CW, Words.say("view.right"), () -> keep(view.turned(1)));
    right.setId("view-right");
    Button plain = Ui.button(Words.say("view.as-taken"), () -> keep(ReportView.AS_TAKEN));
    plain.setId("view-as-taken");
    Button close = Ui.button(Words.say("view.done"), done, "strong");
    panel
        .getChildren()
        .addAll(
            Ui.label(Words.say("view.title"), "bold"),
            preview,
            new FlowPane(8, 8, left, right, plain, close),
            row("view.straighten", straighten, v -> v.straighten(), ReportView::straightened),
            row(
                "view.brightness",
                brightness,
                v -> v.brightness(),
                (v, x) -> v.toned(x, v.contrast())),
            row(
                "view.contrast",
                contrast,
                v -> v.contrast(),
                (v, x) -> v.toned(v.brightness(), x)));
    stage.onCrop(this::keep);
  }

  private static Slider slider(double from, double to, double tick) {
    Slider s = new Slider(from, to, 0);
    s.setMajorTickUnit(tick);
    s.setBlockIncrement((to - from) / 60);
    return s;
  }

  private VBox row(
      String key,
      Slider slider,
      ToDoubleFunction<ReportView> of,
      BiFunction<ReportView, Double, ReportView> with) {
    Label name = Ui.label(Words.say(key), "small");
    slider.setAccessibleText(Words.say(key));
    slider.setId(key.replace('.', '-'));
    slider
        .valueProperty()
        .addListener(
            (o, was, now) -> {
              if (!setting) {
                view = with.apply(view, now.doubleValue());
                show();
                if (!slider.isValueChanging()) {
                  desk.setReportView(view); // by key or click: a step of its own
                }
              }
            });
    slider
        .valueChangingProperty()
        .addListener(
            (o, was, now) -> {
              if (was && !now && of.applyAsDouble(view) == slider.getValue()) {
                desk.setReportView(view);
              }
            });
    return new VBox(2, name, slider);
  }

  /** The panel beside the photo. */
  VBox panel() {
    return panel;
  }

  /** Shows how the report shows the desk's photo. */
  void begin() {
    photo = desk.job().photo(desk.current());
    small = null;
    preview.setImage(null);
    panel.setVisible(true);
    refresh();
    Photo asked = photo;
    pictures.preview(
        desk.session().folder(),
        asked,
        () -> asked == photo,
        image -> {
          if (asked == photo && image != null) {
            small = smaller(SwingFXUtils.fromFXImage(image, null));
            show();
          }
        });
  }

  /** As large as the panel can show on a fine screen: it is worked out anew as a slider moves. */
  private static BufferedImage smaller(BufferedImage image) {
    double scale = Math.min(1, 2 * WIDTH / Math.max(image.getWidth(), image.getHeight()));
    int w = Math.max(1, (int) Math.round(image.getWidth() * scale));
    int h = Math.max(1, (int) Math.round(image.getHeight() * scale));
    BufferedImage out = new BufferedImage(w, h, BufferedImage.TYPE_INT_RGB);
    Graphics2D g = out.createGraphics();
    g.setRenderingHint(
        RenderingHints.KEY_INTERPOLATION, RenderingHints.VALUE_INTERPOLATION_BICUBIC);
    g.drawImage(image, 0, 0, w, h, null);
    g.dispose();
    return out;
  }

  /** Shows the view as the job has it now. */
  void refresh() {
    if (!panel.isVisible() || photo == null || !photo.id().equals(desk.current())) {
      end();
      return;
    }
    view = desk.job().reportView(photo.id());
    setting = true;
    straighten.setValue(view.straighten());
    brightness.setValue(view.brightness());
    contrast.setValue(view.contrast());
    setting = false;
    show();
  }

  private void keep(ReportView next) {
    view = next;
    show();
    desk.setReportView(next);
  }

  private void show() {
    stage.crop(view);
    if (small != null) {
      Image shown =
          SwingFXUtils.toFXImage(Delivered.of(desk.job(), photo, view).picture(small), null);
      preview.setImage(shown);
    }
  }

  /** Puts everything away. */
  void end() {
    photo = null;
    small = null;
    stage.crop(null);
    panel.setVisible(false);
  }
}

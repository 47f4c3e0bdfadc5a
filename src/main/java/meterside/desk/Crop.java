package meterside.desk;

import javafx.geometry.Rectangle2D;
import javafx.scene.image.Image;
import javafx.scene.image.ImageView;

/** Pictures in boxes of another shape. */
final class Crop {
  private Crop() {}

  /** Shows the middle of a picture so that it covers a box. */
  static void cover(ImageView view, Image image, double width, double height) {
    double scale = Math.max(width / image.getWidth(), height / image.getHeight());
    double w = width / scale;
    double h = height / scale;
    view.setViewport(
        new Rectangle2D((image.getWidth() - w) / 2, (image.getHeight() - h) / 2, w, h));
    view.setFitWidth(width);
    view.setFitHeight(height);
    view.setSmooth(true);
    view.setImage(image);
  }
}

package meterside.desk;

import java.util.List;
import javafx.geometry.Orientation;
import javafx.geometry.VPos;
import javafx.scene.control.Label;
import javafx.scene.control.ScrollPane;
import javafx.scene.layout.FlowPane;
import javafx.scene.layout.GridPane;
import javafx.scene.layout.Region;
import javafx.scene.layout.VBox;
import meterside.desk.model.Keys;
import meterside.desk.model.Words;

/** The sheet of keys. */
final class KeySheet extends VBox {

  KeySheet() {
    getStyleClass().addAll("overlay-panel", "overlay-page");
    setId("key-sheet");
    List<Keys> job = Keys.of(Keys.Place.JOB);
    int walkEnd = job.indexOf(Keys.CALLOUT);
    int photoEnd = job.indexOf(Keys.FINDING);
    int walkStart = job.indexOf(Keys.NEXT);
    FlowPane groups = new FlowPane(Orientation.HORIZONTAL, 32, 20);
    groups.setPrefWrapLength(Math.min(1280, Ui.px(1240)));
    groups.setRowValignment(VPos.TOP);
    groups
        .getChildren()
        .addAll(
            new VBox(
                16,
                group("sheet.anywhere", Keys.of(Keys.Place.ANYWHERE)),
                group("sheet.job", job.subList(0, walkStart)),
                group("sheet.out", Keys.of(Keys.Place.GOING_OUT))),
            group("sheet.walk", job.subList(walkStart, walkEnd)),
            new VBox(
                16,
                group("sheet.photo", job.subList(walkEnd, photoEnd)),
                group("sheet.mark", Keys.of(Keys.Place.MARK))),
            new VBox(
                16,
                group("sheet.notes", job.subList(photoEnd, job.size())),
                group("sheet.duty", Keys.of(Keys.Place.DUTY)),
                group("sheet.form", Keys.of(Keys.Place.FORM)),
                group("sheet.past", Keys.of(Keys.Place.PAST))),
            group("sheet.laid-out", Keys.of(Keys.Place.LAID_OUT)));
    ScrollPane scroll = new ScrollPane(groups);
    scroll.setFitToWidth(true);
    scroll.setHbarPolicy(ScrollPane.ScrollBarPolicy.NEVER);
    scroll.setPrefViewportWidth(Math.min(1300, Ui.px(1290)));
    scroll.setPrefViewportHeight(Math.min(720, Ui.px(540)));
    scroll.setFocusTraversable(true);
    getChildren().addAll(Ui.label(Words.say("sheet.title"), "huge"), scroll);
  }

  private static VBox group(String title, List<Keys> keys) {
    GridPane grid = new GridPane();
    grid.setHgap(12);
    grid.setVgap(4);
    int row = 0;
    for (Keys k : keys) {
      Label cap = Ui.label(Ui.shown(k), "keycap");
      cap.setMinWidth(Region.USE_PREF_SIZE);
      GridPane.setValignment(cap, VPos.TOP);
      Label what = Ui.wrapped(k.sentence());
      what.setMaxWidth(Ui.px(150));
      grid.addRow(row++, cap, what);
    }
    return new VBox(8, Ui.label(Words.say(title), "section"), grid);
  }
}

package meterside.desk;

import java.util.List;
import javafx.geometry.VPos;
import javafx.scene.control.Label;
import javafx.scene.layout.GridPane;
import javafx.scene.layout.HBox;
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
    VBox first =
        new VBox(
            16,
            group("sheet.anywhere", Keys.of(Keys.Place.ANYWHERE)),
            group("sheet.job", job.subList(0, walkStart)));
    VBox second = new VBox(16, group("sheet.walk", job.subList(walkStart, walkEnd)));
    VBox third = new VBox(16, group("sheet.photo", job.subList(walkEnd, photoEnd)));
    VBox fourth =
        new VBox(
            16,
            group("sheet.mark", Keys.of(Keys.Place.MARK)),
            group("sheet.notes", job.subList(photoEnd, job.size())),
            group("sheet.duty", Keys.of(Keys.Place.DUTY)),
            group("sheet.form", Keys.of(Keys.Place.FORM)));
    getChildren()
        .addAll(
            Ui.label(Words.say("sheet.title"), "huge"), new HBox(32, first, second, third, fourth));
  }

  private static VBox group(String title, List<Keys> keys) {
    GridPane grid = new GridPane();
    grid.setHgap(12);
    grid.setVgap(4);
    int row = 0;
    for (Keys k : keys) {
      Label cap = Ui.label(Ui.shown(k), "keycap");
      GridPane.setValignment(cap, VPos.TOP);
      Label what = Ui.wrapped(k.sentence());
      what.setMaxWidth(190);
      grid.addRow(row++, cap, what);
    }
    return new VBox(8, Ui.label(Words.say(title), "section"), grid);
  }
}

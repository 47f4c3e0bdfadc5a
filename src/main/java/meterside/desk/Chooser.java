package meterside.desk;

import java.util.ArrayList;
import java.util.List;
import java.util.function.Consumer;
import java.util.function.Function;
import javafx.application.Platform;
import javafx.geometry.Pos;
import javafx.scene.AccessibleRole;
import javafx.scene.Node;
import javafx.scene.control.Label;
import javafx.scene.control.TextField;
import javafx.scene.input.KeyEvent;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Priority;
import javafx.scene.layout.VBox;

/**
 * A small panel to choose one of many by typing a little of it: the best match is chosen already,
 * arrows move, Enter takes it.
 *
 * @param <T> what is chosen
 */
final class Chooser<T> extends VBox {
  private static final int MOST = 14;

  /**
   * How a choice is said.
   *
   * @param text what it is
   * @param more something quiet behind it, may be empty
   */
  record Line(String text, String more) {}

  private final TextField typed = new TextField();
  private final VBox rows = new VBox();
  private final Function<String, List<T>> complete;
  private final Function<T, Line> line;
  private final Consumer<T> chosen;
  private final Function<T, Node> picture;
  private List<T> shown = List.of();
  private int at;

  /**
   * A chooser.
   *
   * @param prompt what to type
   * @param complete what fits what was typed, best first; everything for ""
   * @param chosen given what was chosen; closing the panel is the caller's part
   */
  Chooser(
      String prompt,
      Function<String, List<T>> complete,
      Function<T, Line> line,
      Consumer<T> chosen) {
    this(prompt, complete, line, chosen, null);
  }

  /**
   * The same with a small picture before each row.
   *
   * @param picture makes it, or null for none
   */
  Chooser(
      String prompt,
      Function<String, List<T>> complete,
      Function<T, Line> line,
      Consumer<T> chosen,
      Function<T, Node> picture) {
    this.picture = picture;
    this.complete = complete;
    this.line = line;
    this.chosen = chosen;
    getStyleClass().add("overlay-panel");
    setPrefWidth(Ui.wide(280, 0.6));
    typed.setPromptText(prompt);
    typed.setAccessibleText(prompt);
    typed.setId("choice-typed");
    getChildren().addAll(typed, rows);
    typed.textProperty().addListener((o, a, b) -> fill());
    typed.addEventFilter(KeyEvent.KEY_PRESSED, this::key);
    fill();
  }

  /** Puts the cursor into the field once the panel is shown. */
  void begin() {
    typed.requestFocus();
    Platform.runLater(typed::requestFocus);
  }

  /** Quiet words below the rows. */
  Chooser<T> hint(String text) {
    getChildren().add(Ui.wrapped(text, "small", "quiet"));
    return this;
  }

  private void key(KeyEvent e) {
    switch (e.getCode()) {
      case DOWN -> {
        choose(at + 1);
        e.consume();
      }
      case UP -> {
        choose(at - 1);
        e.consume();
      }
      case ENTER -> {
        if (!shown.isEmpty()) {
          chosen.accept(shown.get(at));
        }
        e.consume();
      }
      default -> {}
    }
  }

  private void fill() {
    List<T> all = complete.apply(typed.getText().strip());
    shown = new ArrayList<>(all.subList(0, Math.min(MOST, all.size())));
    rows.getChildren().clear();
    for (int i = 0; i < shown.size(); i++) {
      T item = shown.get(i);
      Line said = line.apply(item);
      Label text = Ui.wrapped(said.text());
      HBox.setHgrow(text, Priority.ALWAYS);
      text.setMaxWidth(Double.MAX_VALUE);
      HBox row = new HBox(text);
      if (!said.more().isEmpty()) {
        row.getChildren().add(Ui.wrapped(said.more(), "small", "quiet"));
      }
      if (picture != null) {
        row.getChildren().add(0, picture.apply(item));
        row.setAlignment(Pos.CENTER_LEFT);
        row.setSpacing(8);
      }
      row.getStyleClass().add("choice");
      row.setAccessibleRole(AccessibleRole.LIST_ITEM);
      row.setAccessibleText(said.text());
      row.setOnMouseClicked(e -> chosen.accept(item));
      rows.getChildren().add(row);
    }
    choose(0);
  }

  private void choose(int index) {
    at = shown.isEmpty() ? 0 : Math.floorMod(index, shown.size());
    for (int i = 0; i < rows.getChildren().size(); i++) {
      Ui.style(rows.getChildren().get(i), "chosen", i == at);
    }
    if (!shown.isEmpty()) {
      typed.setAccessibleHelp(line.apply(shown.get(at)).text());
    }
  }
}

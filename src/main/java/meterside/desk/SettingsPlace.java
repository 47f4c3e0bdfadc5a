package meterside.desk;

import javafx.geometry.Pos;
import javafx.scene.Parent;
import javafx.scene.control.Button;
import javafx.scene.control.Label;
import javafx.scene.control.RadioButton;
import javafx.scene.control.TextField;
import javafx.scene.control.ToggleGroup;
import javafx.scene.input.KeyEvent;
import javafx.scene.layout.BorderPane;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Region;
import javafx.scene.layout.StackPane;
import javafx.scene.layout.VBox;
import meterside.desk.model.Words;
import meterside.work.Settings;

/** The settings: who writes, light or dark. Kept as they are changed. */
final class SettingsPlace implements Place {
  private final DeskWindow window;
  private final BorderPane root = new BorderPane();
  private final TextField author = new TextField();
  private final TextField license = new TextField();
  private final Foot foot;

  SettingsPlace(DeskWindow window) {
    this.window = window;
    this.foot = new Foot(window.tasks(), window.overlay());
    root.getStyleClass().add("place");
    Button back = Ui.button("‹ " + Words.say("settings.back"), window::back, "bare");
    HBox top = new HBox(back, Ui.label(Words.say("place.settings"), "large", "bold"));
    top.getStyleClass().add("top-bar");
    Settings s = window.workspace().settings();
    author.setText(s.author() == null ? "" : s.author());
    author.setPromptText(s.authorOrUser());
    author.setAccessibleText(Words.say("settings.author"));
    license.setText(s.licenseLine() == null ? "" : s.licenseLine());
    license.setPromptText(Words.say("settings.license.prompt"));
    license.setAccessibleText(Words.say("settings.license"));
    for (TextField f : new TextField[] {author, license}) {
      f.setMaxWidth(420);
      f.focusedProperty()
          .addListener(
              (o, was, now) -> {
                if (!now) {
                  keep();
                }
              });
      f.setOnAction(e -> keep());
    }
    ToggleGroup themes = new ToggleGroup();
    HBox row = new HBox(16);
    for (String t : new String[] {"system", "light", "dark"}) {
      RadioButton b = new RadioButton(Words.say("theme." + t));
      b.setToggleGroup(themes);
      b.setSelected(t.equals(s.theme()));
      b.setOnAction(e -> window.theme(t));
      row.getChildren().add(b);
    }
    VBox page =
        new VBox(
            Ui.label(Words.say("place.settings"), "huge", "bold"),
            field("settings.author", author),
            field("settings.license", license),
            section("settings.theme"),
            row,
            section("settings.archive"),
            Ui.wrapped(window.workspace().root().toString()),
            Ui.wrapped(Words.say("settings.archive.more"), "small", "quiet"));
    page.getStyleClass().add("sheet-page");
    page.setMaxWidth(680);
    page.setMaxHeight(Region.USE_PREF_SIZE);
    StackPane middle = new StackPane(page);
    middle.setStyle("-fx-padding: 24;");
    StackPane.setAlignment(page, Pos.TOP_CENTER);
    root.setTop(top);
    root.setCenter(middle);
    root.setBottom(foot);
  }

  private static Label section(String key) {
    return Ui.label(Words.say(key), "section");
  }

  private static VBox field(String key, TextField f) {
    Label l = section(key);
    l.setLabelFor(f);
    return new VBox(4, l, f);
  }

  private void keep() {
    Settings s = window.workspace().settings();
    Settings next = s.withAuthor(orNull(author.getText()), orNull(license.getText()));
    if (!next.equals(s)) {
      window.keep(next);
    }
  }

  private static String orNull(String text) {
    return text == null || text.isBlank() ? null : text.strip();
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
    author.requestFocus();
  }

  @Override
  public void leave() {
    keep();
  }

  @Override
  public void key(KeyEvent e) {}
}

package meterside.desk;

import java.nio.file.Path;
import java.time.ZoneId;
import java.util.List;
import javafx.application.Platform;
import javafx.geometry.Pos;
import javafx.scene.Node;
import javafx.scene.Parent;
import javafx.scene.control.Button;
import javafx.scene.control.CheckBox;
import javafx.scene.control.ComboBox;
import javafx.scene.control.Label;
import javafx.scene.control.RadioButton;
import javafx.scene.control.ScrollPane;
import javafx.scene.control.TextField;
import javafx.scene.control.ToggleGroup;
import javafx.scene.input.KeyEvent;
import javafx.scene.layout.BorderPane;
import javafx.scene.layout.FlowPane;
import javafx.scene.layout.Region;
import javafx.scene.layout.StackPane;
import javafx.scene.layout.VBox;
import meterside.desk.model.Evidence;
import meterside.desk.model.Folders;
import meterside.desk.model.JobFacts;
import meterside.desk.model.Notice;
import meterside.desk.model.Words;
import meterside.job.DutyProfile;
import meterside.work.Copying;
import meterside.work.Settings;

/** The settings: who writes, light or dark. Kept as they are changed. */
final class SettingsPlace implements Place {
  private final DeskWindow window;
  private final BorderPane root = new BorderPane();
  private final TextField author = new TextField();
  private final TextField license = new TextField();
  private final TextField zone = new TextField();
  private final TextField reports = new TextField();
  private final CheckBox location = new CheckBox(Words.say("settings.location"));
  private final ScrollPane scroll = new ScrollPane();
  private final Foot foot;

  SettingsPlace(DeskWindow window) {
    this.window = window;
    this.foot = new Foot(window.tasks(), window.overlay());
    root.getStyleClass().add("place");
    Button back = Ui.button("‹ " + Words.say("settings.back"), window::back, "bare");
    Bar top = new Bar(16, 52).left(back, Ui.label(Words.say("place.settings"), "large", "bold"));
    top.getStyleClass().add("top-bar");
    Settings s = window.workspace().settings();
    author.setText(s.author() == null ? "" : s.author());
    author.setPromptText(s.authorOrUser());
    author.setAccessibleText(Words.say("settings.author"));
    license.setText(s.licenseLine() == null ? "" : s.licenseLine());
    license.setPromptText(Words.say("settings.license.prompt"));
    license.setAccessibleText(Words.say("settings.license"));
    zone.setText(s.zone() == null ? "" : s.zone());
    zone.setPromptText(ZoneId.systemDefault().getId());
    zone.setAccessibleText(Words.say("settings.zone"));
    reports.setText(s.reportFolder() == null ? "" : s.reportFolder());
    reports.setPromptText(Folders.shown(window.reportsFolder()));
    reports.setAccessibleText(Words.say("settings.report-folder"));
    location.setSelected(Boolean.TRUE.equals(s.reportLocation()));
    location.setWrapText(true);
    location.setOnAction(e -> keep());
    for (TextField f : new TextField[] {author, license, zone, reports}) {
      f.setMaxWidth(Ui.wide(420, 0.6));
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
    FlowPane row = new FlowPane(16, 8);
    for (String t : new String[] {"system", "light", "dark"}) {
      RadioButton b = new RadioButton(Words.say("theme." + t));
      b.setToggleGroup(themes);
      b.setSelected(t.equals(s.theme()));
      b.setOnAction(e -> window.theme(t));
      row.getChildren().add(b);
    }
    VBox page =
        new VBox(
            Ui.wrapped(Words.say("place.settings"), "huge", "bold"),
            field("settings.author", author),
            field("settings.license", license),
            section("settings.theme"),
            row,
            section("settings.text"),
            textSizes(s),
            field("settings.zone", zone),
            section("new.duties"),
            duties(s),
            section("settings.report"),
            location,
            field("settings.report-folder", reports),
            section("settings.copy"),
            secondCopy(),
            Ui.wrapped(Words.say("settings.copy.more"), "small", "quiet"),
            section("settings.archive"),
            Ui.wrapped(Folders.shown(window.workspace().root())),
            archive(s),
            Ui.wrapped(Words.say("settings.archive.more"), "small", "quiet"));
    page.getStyleClass().add("sheet-page");
    page.setMaxWidth(Ui.wide(680, 0.6));
    page.setMaxHeight(Region.USE_PREF_SIZE);
    StackPane middle = new StackPane(page);
    middle.setStyle("-fx-padding: 24;");
    StackPane.setAlignment(page, Pos.TOP_CENTER);
    root.setTop(top);
    scroll.setContent(middle);
    scroll.setFitToWidth(true);
    root.setCenter(scroll);
    root.setBottom(foot);
  }

  /** Shows where the second copy is chosen. */
  void toCopy() {
    Platform.runLater(
        () -> {
          Node choose = root.lookup("#copy-choose");
          if (choose != null && root.getScene() != null) {
            choose.requestFocus();
            Ui.reveal(scroll, choose);
          }
        });
  }

  private static Label section(String key) {
    return Ui.label(Words.say(key), "section");
  }

  private static VBox field(String key, TextField f) {
    Label l = section(key);
    l.setLabelFor(f);
    return new VBox(4, l, f);
  }

  private Node textSizes(Settings s) {
    FlowPane row = new FlowPane(16, 8);
    ToggleGroup group = new ToggleGroup();
    for (int percent : new int[] {100, 125, 150, 200}) {
      RadioButton b = new RadioButton(percent + " %");
      b.setToggleGroup(group);
      b.setId("text-" + percent);
      b.setSelected(s.textSize() == percent);
      b.setOnAction(e -> window.textSize(percent));
      row.getChildren().add(b);
    }
    return row;
  }

  /** Where the second copy lies, how old it is, and what can be done with it. */
  private Node secondCopy() {
    Label where = Ui.wrapped("");
    where.setId("copy-where");
    Label age = Ui.wrapped("", "quiet");
    Button now = Ui.button(Words.say("settings.copy.now"), () -> {});
    Button card = Ui.button(Words.say("settings.copy.card"), () -> {});
    Runnable refresh =
        () -> {
          Path place = Copying.place(window.workspace()).orElse(null);
          where.setText(place == null ? Words.say("settings.copy.none") : Folders.shown(place));
          age.setText(place == null ? "" : Copying.ageSentence(window.workspace()));
          age.setVisible(place != null);
          age.setManaged(place != null);
          now.setDisable(place == null);
          card.setDisable(place == null);
          foot.refresh();
        };
    Button choose =
        Ui.button(
            Words.say("settings.copy.choose"),
            () ->
                window
                    .picker()
                    .target(Words.say("settings.copy.choose"), null)
                    .ifPresent(
                        p -> {
                          window.keep(
                              window.workspace().settings().withSecondCopy(p.toString(), null));
                          refresh.run();
                          copy(List.of(), refresh);
                        }));
    choose.setId("copy-choose");
    now.setId("copy-now");
    card.setId("copy-card");
    now.setOnAction(e -> copy(List.of(), refresh));
    card.setOnAction(
        e ->
            window
                .picker()
                .folder(Words.say("settings.copy.card"))
                .ifPresent(p -> copy(List.of(p), refresh)));
    refresh.run();
    return new VBox(8, where, age, new FlowPane(12, 8, choose, now, card));
  }

  private void copy(List<Path> card, Runnable then) {
    Evidence.copy(window.workspace(), window.tasks(), card, then);
  }

  private Node duties(Settings s) {
    ComboBox<DutyProfile> box = new ComboBox<>();
    box.getItems().setAll(window.workspace().trade().profiles());
    box.setConverter(FactsForm.said(p -> p.title() + " (" + p.dated() + ")"));
    box.setAccessibleText(Words.say("new.duties"));
    box.setMaxWidth(Ui.wide(520, 0.6));
    DutyProfile chosen =
        box.getItems().stream()
            .filter(p -> p.id().equals(s.duties()))
            .findFirst()
            .orElse(box.getItems().get(0));
    box.setValue(chosen);
    Label source = Ui.wrapped(Words.say("facts.source", chosen.source()), "small", "quiet");
    box.setOnAction(
        e -> {
          source.setText(Words.say("facts.source", box.getValue().source()));
          window.keep(window.workspace().settings().withDuties(box.getValue().id()));
        });
    return new VBox(4, box, source);
  }

  private Node archive(Settings s) {
    Label next =
        Ui.wrapped(
            s.archive() == null ? "" : Words.say("settings.archive.next", s.archive()), "quiet");
    Button choose =
        Ui.button(
            Words.say("settings.archive.choose"),
            () ->
                window
                    .picker()
                    .target(Words.say("settings.archive"), window.workspace().root())
                    .ifPresent(
                        p -> {
                          window.keep(window.workspace().settings().withArchive(p.toString()));
                          next.setText(Words.say("settings.archive.next", p));
                        }));
    return new VBox(4, choose, next);
  }

  private void keep() {
    Settings s = window.workspace().settings();
    String at = orNull(zone.getText());
    if (at != null && JobFacts.zone(at).isEmpty()) {
      window.tasks().say(Notice.trouble(Words.say("new.wrong.zone")));
      at = s.zone();
    }
    Settings next =
        s.withAuthor(orNull(author.getText()), orNull(license.getText()))
            .withZone(at)
            .withReport(location.isSelected() ? Boolean.TRUE : null, orNull(reports.getText()));
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

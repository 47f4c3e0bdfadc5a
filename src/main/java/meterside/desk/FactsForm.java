package meterside.desk;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.ComboBox;
import javafx.scene.control.Label;
import javafx.scene.control.ScrollPane;
import javafx.scene.control.TextField;
import javafx.scene.input.KeyEvent;
import javafx.scene.layout.ColumnConstraints;
import javafx.scene.layout.GridPane;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Priority;
import javafx.scene.layout.VBox;
import javafx.util.StringConverter;
import meterside.desk.model.JobDesk;
import meterside.desk.model.JobFacts;
import meterside.desk.model.Keys;
import meterside.desk.model.Words;
import meterside.job.DutyProfile;
import meterside.job.RoutePlan;

/** The facts of the job: client, times, weather, what the agreement says. */
final class FactsForm extends VBox {
  private final JobDesk desk;
  private final Runnable close;
  private final JobFacts was;
  private final TextField site = new TextField();
  private final TextField zone = new TextField();
  private final ComboBox<RoutePlan> route = new ComboBox<>();
  private final ComboBox<DutyProfile> duties = new ComboBox<>();
  private final Label source = Ui.wrapped("", "small", "quiet");
  private final Map<String, TextField> fields = new LinkedHashMap<>();
  private final Label wrong = Ui.wrapped("", "small", "urgent");

  FactsForm(JobDesk desk, Runnable close) {
    this.desk = desk;
    this.close = close;
    this.was = JobFacts.of(desk.job());
    getStyleClass().addAll("overlay-panel", "overlay-page");
    setId("facts-form");
    site.setText(was.site());
    zone.setText(was.zone().getId());
    choices();
    GridPane grid = new GridPane();
    grid.setHgap(12);
    grid.setVgap(8);
    ColumnConstraints left = new ColumnConstraints();
    left.setMinWidth(Ui.px(130));
    left.setPrefWidth(Ui.px(130));
    ColumnConstraints right = new ColumnConstraints();
    right.setHgrow(Priority.ALWAYS);
    grid.getColumnConstraints().addAll(left, right);
    int row = 0;
    row = put(grid, row, Words.say("new.site"), site);
    for (Map.Entry<String, String> e : was.facts().entrySet()) {
      TextField f = new TextField(e.getValue());
      f.setPromptText(prompt(e.getKey()));
      fields.put(e.getKey(), f);
      row = put(grid, row, JobFacts.title(e.getKey()), f);
    }
    row = put(grid, row, Words.say("new.zone"), zone);
    row = put(grid, row, Words.say("new.route"), route);
    row = put(grid, row, Words.say("new.duties"), duties);
    grid.add(source, 1, row);
    wrong.setManaged(false);
    ScrollPane scroll = new ScrollPane(grid);
    scroll.setFitToWidth(true);
    scroll.setPrefViewportWidth(Ui.wide(560, 0.6));
    scroll.setPrefViewportHeight(540);
    Button keep = Ui.button(Words.say("form.keep"), this::keep, "strong");
    keep.setId("facts-keep");
    Ui.named(keep, Words.say("form.keep"), Keys.KEEP_FORM);
    getChildren()
        .addAll(
            Ui.label(Words.say("facts.title"), "huge", "bold"),
            scroll,
            wrong,
            new HBox(8, keep, Ui.button(Words.say("form.leave"), close)));
    addEventFilter(
        KeyEvent.KEY_PRESSED,
        e -> {
          if (KeyMap.pressed(e, Keys.Place.FORM) == Keys.KEEP_FORM) {
            keep();
            e.consume();
          }
        });
  }

  private void choices() {
    List<RoutePlan> routes = new ArrayList<>(desk.trade().routes());
    if (!routes.contains(was.route())) {
      routes.replaceAll(r -> r.id().equals(was.route().id()) ? was.route() : r);
    }
    route.getItems().setAll(routes);
    route.setConverter(said(RoutePlan::title));
    route.setValue(was.route());
    List<DutyProfile> all = new ArrayList<>(desk.trade().profiles());
    if (!all.contains(was.duties())) {
      all.removeIf(p -> p.id().equals(was.duties().id()));
      all.add(0, was.duties()); // the job's own copy, as it was when the job was started
    }
    duties.getItems().setAll(all);
    duties.setConverter(said(p -> p.title() + " (" + p.dated() + ")"));
    duties.setValue(was.duties());
    duties.setOnAction(e -> source.setText(Words.say("facts.source", duties.getValue().source())));
    source.setText(Words.say("facts.source", was.duties().source()));
    route.setMaxWidth(Double.MAX_VALUE);
    duties.setMaxWidth(Double.MAX_VALUE);
  }

  /** A converter that only says. */
  static <T> StringConverter<T> said(java.util.function.Function<T, String> how) {
    return new StringConverter<>() {
      @Override
      public String toString(T value) {
        return value == null ? "" : how.apply(value);
      }

      @Override
      public T fromString(String text) {
        return null;
      }
    };
  }

  private static int put(GridPane grid, int row, String title, Node field) {
    Label l = Ui.wrapped(title, "quiet");
    l.setLabelFor(field);
    field.setAccessibleText(title);
    grid.addRow(row, l, field);
    GridPane.setValignment(l, javafx.geometry.VPos.CENTER);
    return row + 1;
  }

  private static String prompt(String key) {
    List<String> usual = JobFacts.USUAL.get(JobFacts.known(key));
    return usual == null ? "" : String.join(" · ", usual);
  }

  /** Puts the cursor where the writing starts. */
  void begin() {
    TextField first =
        fields.values().stream().filter(f -> f.getText().isBlank()).findFirst().orElse(site);
    first.requestFocus();
  }

  private void keep() {
    Optional<java.time.ZoneId> at = JobFacts.zone(zone.getText());
    if (at.isEmpty()) {
      wrong.setText(Words.say("new.wrong.zone"));
      wrong.setManaged(true);
      zone.requestFocus();
      return;
    }
    Map<String, String> facts = new LinkedHashMap<>();
    fields.forEach((k, f) -> facts.put(k, f.getText()));
    new JobFacts(site.getText(), at.get(), route.getValue(), duties.getValue(), facts).keep(desk);
    close.run();
  }
}

package meterside.desk;

import java.time.LocalDate;
import java.time.ZoneId;
import java.util.function.Consumer;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.ComboBox;
import javafx.scene.control.DatePicker;
import javafx.scene.control.Label;
import javafx.scene.control.RadioButton;
import javafx.scene.control.TextField;
import javafx.scene.control.ToggleGroup;
import javafx.scene.input.KeyCode;
import javafx.scene.input.KeyEvent;
import javafx.scene.layout.HBox;
import javafx.scene.layout.VBox;
import meterside.desk.model.NewJob;
import meterside.desk.model.Words;
import meterside.job.DutyProfile;
import meterside.job.RoutePlan;
import meterside.trade.Trade;
import meterside.work.Settings;

/** Starts a job: the house, the day, the zone, the route. */
final class NewJobForm extends VBox {
  private final TextField site = new TextField();
  private final DatePicker date = new DatePicker();
  private final TextField zone = new TextField();
  private final ComboBox<DutyProfile> duties = new ComboBox<>();
  private final ToggleGroup routes = new ToggleGroup();
  private final Label wrong = Ui.wrapped("", "small", "urgent");

  NewJobForm(
      Trade trade, LocalDate today, Settings settings, Consumer<NewJob> start, Runnable leave) {
    getStyleClass().addAll("overlay-panel", "overlay-page");
    setPrefWidth(Ui.wide(460, 0.6));
    setId("new-job-form");
    site.setPromptText(Words.say("new.site.prompt"));
    site.setId("new-site");
    date.setValue(today);
    date.setMaxWidth(Double.MAX_VALUE);
    zone.setText(settings.zone() == null ? ZoneId.systemDefault().getId() : settings.zone());
    duties.getItems().setAll(trade.profiles());
    duties.setConverter(FactsForm.said(p -> p.title() + " (" + p.dated() + ")"));
    duties.setMaxWidth(Double.MAX_VALUE);
    duties.setValue(
        trade.profiles().stream()
            .filter(p -> p.id().equals(settings.duties()))
            .findFirst()
            .orElse(trade.profiles().get(0)));
    VBox routeRow = new VBox(4);
    for (RoutePlan r : trade.routes()) {
      RadioButton b = new RadioButton(r.title());
      b.setUserData(r.id());
      b.setToggleGroup(routes);
      b.setSelected(r.id().equals("overhead"));
      routeRow.getChildren().add(b);
    }
    Button go = Ui.button(Words.say("new.start"), () -> begin(start), "strong");
    go.setId("new-start");
    wrong.setManaged(false);
    getChildren()
        .addAll(
            Ui.label(Words.say("new.title"), "huge", "bold"),
            field("new.site", site),
            field("new.date", date),
            field("new.zone", zone),
            field("new.route", routeRow),
            field("new.duties", duties),
            wrong,
            new HBox(8, go, Ui.button(Words.say("form.leave"), leave)));
    addEventHandler(
        KeyEvent.KEY_PRESSED,
        e -> {
          if (e.getCode() == KeyCode.ENTER && e.getTarget() instanceof TextField) {
            begin(start);
            e.consume();
          }
        });
  }

  private static Node field(String key, Node control) {
    Label l = Ui.label(Words.say(key), "section");
    l.setLabelFor(control);
    control.setAccessibleText(Words.say(key));
    return new VBox(4, l, control);
  }

  /** Puts the cursor where the writing starts. */
  void begin() {
    site.requestFocus();
  }

  private void begin(Consumer<NewJob> start) {
    if (site.getText().isBlank()) {
      say("new.wrong.site", site);
      return;
    }
    if (date.getValue() == null) {
      say("new.wrong.date", date);
      return;
    }
    ZoneId at;
    try {
      at = ZoneId.of(zone.getText().strip());
    } catch (java.time.DateTimeException e) {
      say("new.wrong.zone", zone);
      return;
    }
    start.accept(
        new NewJob(
            site.getText().strip(),
            date.getValue(),
            at,
            (String) routes.getSelectedToggle().getUserData(),
            duties.getValue().id()));
  }

  private void say(String key, Node where) {
    wrong.setText(Words.say(key));
    wrong.setManaged(true);
    where.requestFocus();
  }
}

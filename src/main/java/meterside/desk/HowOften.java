package meterside.desk;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.function.Function;
import javafx.geometry.Insets;
import javafx.geometry.Pos;
import javafx.scene.AccessibleRole;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.ScrollPane;
import javafx.scene.control.ToggleButton;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Priority;
import javafx.scene.layout.Region;
import javafx.scene.layout.StackPane;
import javafx.scene.layout.VBox;
import meterside.desk.model.PastJobsModel;
import meterside.desk.model.Words;
import meterside.job.FindingKind;
import meterside.job.RoutePlan;
import meterside.job.Stop;
import meterside.search.Counts;
import meterside.trade.Trade;

/**
 * How often there is each, and the filters: for every row one chip a value, with its count and a
 * bar as long as its share. A pressed chip is the filter; pressing it again takes the filter away.
 */
final class HowOften {
  /** So many chips a row, until more are asked for. */
  private static final int FEW = 6;

  private final PastJobsModel model;
  private final VBox rows = new VBox(12);
  private final ScrollPane root = new ScrollPane(rows);
  private final Set<String> open = new HashSet<>();
  private final Runnable export;
  private final double width;

  /** Which value of a row is the filter now, and how to make another one so; null for none. */
  private record Row(
      String key, Object chosen, Function<Object, Runnable> choosing, boolean inOrder) {}

  HowOften(PastJobsModel model, double width, Runnable export) {
    this.model = model;
    this.width = width;
    this.export = export;
    root.setFitToWidth(true);
    root.setHbarPolicy(ScrollPane.ScrollBarPolicy.NEVER);
    root.getStyleClass().add("side");
    root.setPrefWidth(width);
    root.setMinWidth(width);
    rows.setPadding(new Insets(0, 10, 16, 0));
    refresh();
  }

  Node root() {
    return root;
  }

  private Trade trade() {
    return model.workspace().trade();
  }

  void refresh() {
    Counts c = model.counts();
    List<Node> out = new ArrayList<>();
    Button csv = Ui.button(Words.say("often.csv"), export, "tiny");
    csv.setId("often-csv");
    csv.setDisable(c == null);
    HBox head = new HBox(8, Ui.label(Words.say("often.title"), "section"), Ui.spacer(), csv);
    head.setAlignment(Pos.CENTER_LEFT);
    out.add(head);
    if (c == null && (model.looking() || !model.asking())) {
      out.add(Ui.wrapped(Words.say("often.counting"), "small", "quiet"));
    }
    if (c != null) {
      add(
          out,
          new Row("filter.kind", model.kind(), v -> () -> set(null, null, v, null, null), false),
          c.kinds(),
          k -> Words.kind((FindingKind) k));
      add(
          out,
          new Row("filter.stop", model.stop(), v -> () -> set(v, null, null, null, null), false),
          alongRoute(c.stops()),
          this::stop);
      add(
          out,
          new Row("filter.part", model.part(), v -> () -> set(null, v, null, null, null), true),
          c.parts(),
          p -> Words.term(trade(), (String) p));
      add(
          out,
          new Row(
              "filter.year",
              model.year() == null ? null : model.year().toString(),
              v -> () -> set(null, null, null, v, null),
              false),
          c.years(),
          Object::toString);
      add(
          out,
          new Row("filter.camera", model.camera(), v -> () -> set(null, null, null, null, v), true),
          c.cameras(),
          Object::toString);
      out.add(withFinding(c));
    }
    if (model.asking()) {
      Button clear =
          Ui.button(
              Words.say("filter.clear"),
              () -> {
                model.words("");
                model.filters(null, null, null, null, null, false);
              },
              "bare");
      clear.setId("filter-clear");
      out.add(clear);
    }
    rows.getChildren().setAll(out);
  }

  /** Sets the one filter that is given: pressed again, it is taken away. */
  private void set(Object stop, Object part, Object kind, Object year, Object camera) {
    model.filters(
        (String) toggled(stop, model.stop()),
        (String) toggled(part, model.part()),
        (FindingKind) toggled(kind, model.kind()),
        year == null
            ? model.year()
            : Integer.valueOf((String) year).equals(model.year())
                ? null
                : Integer.valueOf((String) year),
        (String) toggled(camera, model.camera()),
        model.withFinding());
  }

  private static Object toggled(Object pressed, Object now) {
    return pressed == null ? now : pressed.equals(now) ? null : pressed;
  }

  private void add(List<Node> out, Row row, Map<?, Long> counts, Function<Object, String> named) {
    if (counts.isEmpty() && row.chosen() == null) {
      return;
    }
    List<Map.Entry<Object, Long>> all = new ArrayList<>();
    counts.forEach((k, n) -> all.add(Map.entry(k, n)));
    if (row.chosen() != null && !counts.containsKey(row.chosen())) {
      all.add(0, Map.entry(row.chosen(), 0L));
    }
    if (row.inOrder()) {
      all.sort(Map.Entry.<Object, Long>comparingByValue().reversed());
    }
    if (row.key().equals("filter.year")) {
      all.sort(
          Comparator.comparing((Map.Entry<Object, Long> e) -> e.getKey().toString()).reversed());
    }
    long most = all.stream().mapToLong(Map.Entry::getValue).max().orElse(1);
    VBox box = new VBox(2, Ui.label(Words.say(row.key()), "small", "quiet"));
    boolean whole = open.contains(row.key());
    int shown = 0;
    for (Map.Entry<Object, Long> e : all) {
      boolean chosen = Objects.equals(e.getKey(), row.chosen());
      if (whole || shown < FEW || chosen) {
        box.getChildren()
            .add(
                chip(
                    named.apply(e.getKey()),
                    e.getValue(),
                    most,
                    chosen,
                    row.choosing().apply(e.getKey())));
        shown++;
      }
    }
    if (all.size() > FEW && !whole) {
      Button more =
          Ui.button(
              Words.say("often.more", all.size() - shown),
              () -> {
                open.add(row.key());
                refresh();
              },
              "bare");
      box.getChildren().add(more);
    }
    out.add(box);
  }

  private Node withFinding(Counts c) {
    long all = c.things().values().stream().mapToLong(Long::longValue).sum();
    return chip(
        Words.say("filter.with-finding"),
        c.withFinding(),
        Math.max(all, c.withFinding()),
        model.withFinding(),
        () ->
            model.filters(
                model.stop(),
                model.part(),
                model.kind(),
                model.year(),
                model.camera(),
                !model.withFinding()));
  }

  private Node chip(String name, long n, long most, boolean chosen, Runnable act) {
    Region bar = new Region();
    bar.getStyleClass().add("often-bar");
    bar.setMaxWidth(Math.max(2, (width - 40) * n / Math.max(1, most)));
    bar.setMouseTransparent(true);
    StackPane.setAlignment(bar, Pos.CENTER_LEFT);
    var label = Ui.wrapped(name, "small");
    label.setMaxWidth(Double.MAX_VALUE);
    HBox.setHgrow(label, Priority.ALWAYS);
    var count = Ui.label(Long.toString(n), "small", "quiet");
    count.setMinWidth(Region.USE_PREF_SIZE);
    HBox line = new HBox(8, label, count);
    line.setAlignment(Pos.CENTER_LEFT);
    line.setPadding(new Insets(2, 6, 2, 6));
    line.setMouseTransparent(true);
    ToggleButton chip = new ToggleButton();
    // As high as its words at this width: a name that wraps is asked without one otherwise.
    chip.setGraphic(
        new StackPane(bar, line) {
          @Override
          protected double computePrefHeight(double any) {
            return line.prefHeight(HowOften.this.width - 36);
          }

          @Override
          protected double computeMinHeight(double any) {
            return computePrefHeight(any);
          }
        });
    chip.getStyleClass().setAll("often-chip");
    chip.setMaxWidth(Double.MAX_VALUE);
    ((StackPane) chip.getGraphic()).setPrefWidth(width - 36);
    chip.setSelected(chosen);
    chip.setAccessibleRole(AccessibleRole.TOGGLE_BUTTON);
    chip.setAccessibleText(Words.say("often.chip", name, n));
    chip.setOnAction(e -> act.run());
    return chip;
  }

  /** The stops in the order they are walked. */
  private Map<String, Long> alongRoute(Map<String, Long> counts) {
    Map<String, Long> out = new java.util.LinkedHashMap<>();
    for (RoutePlan route : trade().routes()) {
      for (Stop s : route.stops()) {
        if (counts.containsKey(s.id())) {
          out.putIfAbsent(s.id(), counts.get(s.id()));
        }
      }
    }
    counts.forEach(out::putIfAbsent);
    return out;
  }

  private String stop(Object id) {
    return trade().stop((String) id).map(Stop::title).orElse((String) id);
  }
}

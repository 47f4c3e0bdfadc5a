package meterside.desk;

import java.util.ArrayList;
import java.util.List;
import javafx.scene.text.Text;
import javafx.scene.text.TextFlow;
import meterside.desk.model.Words;
import meterside.search.Hit;
import meterside.search.Stretch;
import meterside.trade.Trade;

/** Hits of the search as lines. */
final class HitText {
  private HitText() {}

  /** One line for a hit. */
  static String line(Hit h, Trade trade) {
    String text = text(h, trade);
    return h.kind() == Hit.Kind.FINDING ? "F" + h.finding() + "  " + text : text;
  }

  /** What a hit says. */
  static String text(Hit h, Trade trade) {
    String text = h.text() == null ? "" : h.text().strip();
    return switch (h.kind()) {
      case FINDING -> text;
      case PHOTO -> {
        List<String> terms = new ArrayList<>();
        for (String part : h.parts()) {
          terms.add(terms.isEmpty() ? Words.term(trade, part) : trade.term(part));
        }
        String parts = String.join(", ", terms);
        String name = h.photo() == null ? "" : h.photo();
        yield parts.isEmpty() ? (text.isEmpty() ? name : text) : parts;
      }
      case JOB -> text.isEmpty() ? h.job() : text;
    };
  }

  /** What kind of thing was hit. */
  static String where(Hit h) {
    return switch (h.kind()) {
      case FINDING -> Words.say("hit.finding");
      case PHOTO -> h.photo() == null ? Words.say("hit.photo") : h.photo();
      case JOB -> Words.say("hit.job");
    };
  }

  /** A text with the stretches marked that meet what is searched for. */
  static TextFlow marked(String text, List<Stretch> met) {
    TextFlow flow = new TextFlow();
    int at = 0;
    for (Stretch s : met) {
      add(flow, text.substring(at, s.from()), "hit-word");
      add(flow, text.substring(s.from(), s.to()), "mark-word");
      at = s.to();
    }
    add(flow, text.substring(at), "hit-word");
    return flow;
  }

  private static void add(TextFlow flow, String text, String style) {
    if (!text.isEmpty()) {
      Text t = new Text(text);
      t.getStyleClass().add(style);
      flow.getChildren().add(t);
    }
  }
}

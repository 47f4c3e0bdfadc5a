package meterside.desk;

import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import javafx.scene.control.TextInputControl;
import javafx.scene.input.KeyCombination;
import javafx.scene.input.KeyEvent;
import meterside.desk.model.Keys;

/** Matches key presses against the table of keys. */
final class KeyMap {
  private static final Map<Keys, List<KeyCombination>> COMBINATIONS = new EnumMap<>(Keys.class);

  static {
    for (Keys k : Keys.values()) {
      COMBINATIONS.put(
          k,
          k.combinations().stream()
              .map(c -> c.replace("Page_", "Page ").replace("Numpad", "Numpad "))
              .map(c -> c.replace("Open_", "Open ").replace("Close_", "Close "))
              .map(KeyCombination::valueOf)
              .toList());
    }
  }

  private KeyMap() {}

  /** The key of a place that was pressed, or null. */
  static Keys pressed(KeyEvent e, Keys.Place place) {
    boolean typing = e.getTarget() instanceof TextInputControl;
    for (Keys k : Keys.of(place)) {
      for (KeyCombination c : COMBINATIONS.get(k)) {
        boolean plain = !e.isShortcutDown() && !e.isAltDown();
        boolean heard = !typing || !plain || k == Keys.LEAVE || k == Keys.SHEET;
        // While text is typed, undo and redo belong to the text.
        boolean ofText = typing && (k == Keys.UNDO || k == Keys.REDO);
        if (heard && !ofText && c.match(e)) {
          return k;
        }
      }
    }
    return null;
  }
}

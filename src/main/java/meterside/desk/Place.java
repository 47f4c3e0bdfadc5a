package meterside.desk;

import javafx.scene.Parent;
import javafx.scene.input.KeyEvent;

/** A place of the window: one at a time fills it. */
interface Place {
  /** What fills the window. */
  Parent root();

  /** Puts the focus where work starts. */
  void begin();

  /** Takes a key that nobody took; consumes the event if it did. */
  void key(KeyEvent e);

  /** Leaves: what was opened in it is closed. */
  default void leave() {}

  /** The foot, so that the window can show what runs. */
  Foot foot();
}

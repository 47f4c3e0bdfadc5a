package meterside.desk.model;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;

class KeysTest {
  @Test
  void noTwoKeysCollideInOnePlace() {
    List<String> collisions = new ArrayList<>();
    for (Keys.Place place : Keys.Place.values()) {
      Map<String, Keys> taken = new HashMap<>();
      List<Keys> heard = new ArrayList<>(Keys.of(Keys.Place.ANYWHERE));
      if (place != Keys.Place.ANYWHERE) {
        heard.addAll(Keys.of(place));
      }
      for (Keys k : heard) {
        for (String c : k.combinations()) {
          Keys other = taken.put(c, k);
          if (other != null) {
            collisions.add(place + ": " + c + " is " + other + " and " + k);
          }
        }
      }
    }
    assertEquals(List.of(), collisions);
  }

  @Test
  void everyKeySaysWhatItDoesAndHowItIsCalled() {
    for (Keys k : Keys.values()) {
      assertFalse(k.sentence().isBlank(), k.name());
      assertFalse(k.shown(false).contains("_"), k.shown(false));
    }
    assertEquals("Ctrl Shift Z", Keys.REDO.shown(false));
    assertEquals("⌘ Z", Keys.UNDO.shown(true));
    assertEquals("Page Down", Keys.NEXT_STOP.shown(false));
    assertTrue(Keys.NEXT.shown(false).equals("→"));
  }
}

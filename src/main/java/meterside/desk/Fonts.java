package meterside.desk;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import javafx.scene.text.Font;

/** The program's own typeface, the same on every system: Roboto, whose figures are tabular. */
final class Fonts {
  private static final String FOLDER = "/com/formdev/flatlaf/fonts/roboto/";
  private static boolean loaded;

  private Fonts() {}

  /** Loads it once; call before the first scene. */
  static synchronized void load() {
    if (loaded) {
      return;
    }
    for (String face : new String[] {"Regular", "Medium", "Bold"}) {
      String file = FOLDER + "Roboto-" + face + ".ttf";
      try (InputStream in = Fonts.class.getResourceAsStream(file)) {
        if (in == null || Font.loadFont(in, 13) == null) {
          throw new IllegalStateException("the program's font is missing: " + file);
        }
      } catch (IOException e) {
        throw new UncheckedIOException(e);
      }
    }
    loaded = true;
  }
}

package meterside.desk;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;

/**
 * The stylesheet's colours, light and dark: contrast by the formula of WCAG 2.2 ("contrast ratio"
 * and "relative luminance"), at least 4.5 to 1 for text (success criterion 1.4.3) and 3 to 1 for
 * the boundaries that tell something (1.4.11).
 */
class ColoursTest {
  private static final Pattern DEFINITION =
      Pattern.compile("\\b([pr]-[a-z-]+):\\s*(#[0-9A-Fa-f]{6}|p-[a-z-]+);");

  private static final String[][] TEXT = {
    {"r-text", "r-panel"},
    {"r-text", "r-ground"},
    {"r-text", "r-hover"},
    {"r-text", "r-chosen"},
    {"r-quiet", "r-panel"},
    {"r-quiet", "r-ground"},
    {"r-quiet", "r-hover"},
    {"r-accent", "r-panel"},
    {"r-accent", "r-hover"},
    {"r-urgent", "r-panel"},
    {"r-urgent", "r-hover"},
    {"r-caution-text", "r-caution"},
    {"r-on-strong", "r-strong"},
    {"p-on-surround", "r-surround"},
    {"p-on-surround", "r-tools"},
    {"p-on-surround", "r-tool-pressed"},
    {"p-on-surround-quiet", "r-surround"},
    {"p-on-surround-quiet", "r-tools"},
    {"p-panel", "p-ink"},
  };

  private static final String[][] SHAPES = {
    {"r-accent", "r-panel"}, {"r-done", "r-panel"}, {"r-edge", "r-panel"}, {"r-edge", "r-ground"},
  };

  @Test
  void theFormulaGivesTheKnownRatios() {
    // WCAG 2.2: black on white is 21:1; the often quoted #767676 on white is 4.54:1.
    assertEquals(21, contrast("#000000", "#FFFFFF"), 1e-9);
    assertEquals(4.54, contrast("#767676", "#FFFFFF"), 0.005);
  }

  @Test
  void textAndShapesStandOutInLightAndDark() throws IOException {
    List<String> weak = new ArrayList<>();
    for (boolean dark : new boolean[] {false, true}) {
      Map<String, String> colours = colours(dark);
      check(colours, TEXT, 4.5, dark, weak);
      check(colours, SHAPES, 3, dark, weak);
    }
    assertEquals(List.of(), weak);
  }

  @Test
  void theDarkThemeRedefinesRolesOnly() throws IOException {
    String css = css();
    int at = css.indexOf(".root.dark {");
    String block = css.substring(at, css.indexOf('}', at));
    assertTrue(at > 0);
    Matcher m = DEFINITION.matcher(block);
    int count = 0;
    while (m.find()) {
      assertTrue(m.group(1).startsWith("r-"), m.group());
      assertTrue(m.group(2).startsWith("p-"), m.group());
      count++;
    }
    assertTrue(count > 10, "roles read: " + count);
  }

  private static void check(
      Map<String, String> colours,
      String[][] pairs,
      double least,
      boolean dark,
      List<String> weak) {
    for (String[] p : pairs) {
      double c = contrast(value(colours, p[0]), value(colours, p[1]));
      if (c < least) {
        weak.add(
            String.format(
                Locale.ROOT, "%s on %s, %s: %.2f", p[0], p[1], dark ? "dark" : "light", c));
      }
    }
  }

  private static String value(Map<String, String> colours, String name) {
    String v = colours.get(name);
    while (v != null && !v.startsWith("#")) {
      v = colours.get(v);
    }
    if (v == null) {
      throw new AssertionError("no colour " + name);
    }
    return v;
  }

  private static Map<String, String> colours(boolean dark) throws IOException {
    Map<String, String> out = new LinkedHashMap<>();
    String css = css();
    read(css.substring(css.indexOf(".root {"), css.indexOf(".root.dark {")), out);
    if (dark) {
      int at = css.indexOf(".root.dark {");
      read(css.substring(at, css.indexOf('}', at)), out);
    }
    return out;
  }

  private static void read(String block, Map<String, String> out) {
    Matcher m = DEFINITION.matcher(block);
    while (m.find()) {
      out.put(m.group(1), m.group(2));
    }
  }

  private static String css() throws IOException {
    try (InputStream in = DeskWindow.class.getResourceAsStream("desk.css")) {
      return new String(in.readAllBytes(), StandardCharsets.UTF_8);
    }
  }

  private static double contrast(String a, String b) {
    double x = luminance(a);
    double y = luminance(b);
    return (Math.max(x, y) + 0.05) / (Math.min(x, y) + 0.05);
  }

  private static double luminance(String hex) {
    double sum = 0;
    double[] weight = {0.2126, 0.7152, 0.0722};
    for (int i = 0; i < 3; i++) {
      double c = Integer.parseInt(hex.substring(1 + 2 * i, 3 + 2 * i), 16) / 255.0;
      sum += weight[i] * (c <= 0.04045 ? c / 12.92 : Math.pow((c + 0.055) / 1.055, 2.4));
    }
    return sum;
  }
}

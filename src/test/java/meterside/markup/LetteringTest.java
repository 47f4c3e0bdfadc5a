package meterside.markup;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.awt.Font;
import java.awt.font.FontRenderContext;
import java.io.InputStream;
import java.util.Random;
import org.junit.jupiter.api.Test;

/** Awkward text, and the measure of text against the Java platform's. */
class LetteringTest {
  private static final Lettering REGULAR = Lettering.of(false);

  @Test
  void aCharacterRobotoLacksIsWrittenAsItsNumber() {
    assertEquals("hot [U+1F600] here", Lettering.clean("hot \uD83D\uDE00 here"));
    assertEquals("[U+05E9][U+05DC]", Lettering.clean("\u05E9\u05DC"));
    assertEquals("[U+D83D]", Lettering.clean("\uD83D"));
    assertEquals("[U+1F468][U+1F469]", Lettering.clean("\uD83D\uDC68\u200D\uD83D\uDC69\uFE0F"));
  }

  @Test
  void accentsFractionsAndDegreesStay() {
    assertEquals(
        "Caf\u00e9 \u00bd\u2033 90\u00b0 \u2013 \u201cok\u201d",
        Lettering.clean("Cafe\u0301 \u00bd\u2033 90\u00b0 \u2013 \u201cok\u201d"));
  }

  @Test
  void controlAndInvisibleCharactersGoAndWhiteSpaceShrinks() {
    assertEquals("a b c", Lettering.clean("\u0000 a\t\n b\u0007\u202E \u00A0\u2028c\u0085 "));
    assertEquals("", Lettering.clean(null));
    assertEquals("", Lettering.clean(" \n\u200B"));
  }

  @Test
  void longTextEndsInAnEllipsisBetweenWords() {
    String five = "Cracks on two of three conductors ".repeat(150);
    String shown = REGULAR.shorten(Lettering.clean(five), 12, 240);
    assertTrue(REGULAR.width(shown, 12) <= 240);
    assertEquals("Cracks on two of three conductors Cracks\u2026", shown);
    assertEquals("short", REGULAR.shorten("short", 12, 240));
    String unbroken = REGULAR.shorten("x".repeat(5000), 12, 100);
    assertTrue(unbroken.matches("x{10,}\u2026"), unbroken);
    assertTrue(REGULAR.width(unbroken, 12) <= 100);
    assertEquals("", REGULAR.shorten("Meter", 12, 3));
  }

  @Test
  void aWrittenNumberIsNeverCutInTwo() {
    for (int room = 10; room < 240; room++) {
      String shown = REGULAR.shorten(Lettering.clean("\uD83D\uDE00".repeat(2500)), 12, room);
      assertTrue(shown.matches("(\\[U\\+1F600\\])*\u2026|"), shown);
    }
  }

  /** The Java platform reads the same font file independently. */
  @Test
  void widthsAgreeWithTheJavaPlatforms() throws Exception {
    for (boolean bold : new boolean[] {false, true}) {
      String file = "/com/formdev/flatlaf/fonts/roboto/Roboto-" + (bold ? "Bold" : "Regular");
      Font font;
      try (InputStream in = getClass().getResourceAsStream(file + ".ttf")) {
        font = Font.createFont(Font.TRUETYPE_FONT, in).deriveFont(1000f);
      }
      FontRenderContext frc = new FontRenderContext(null, true, true);
      for (String s :
          new String[] {"2 Service head", "WAVE To. 1,234 \u2014 \u00bd", "3 Drip loop F4"}) {
        double theirs = font.createGlyphVector(frc, s).getLogicalBounds().getWidth();
        assertEquals(theirs, Lettering.of(bold).width(s, 1000), theirs * 0.002, s);
      }
    }
  }

  @Test
  void anyTextIsCleanedToCharactersThatCanBeSetAndWrittenInXml() {
    long seed = Long.getLong("seed", 31);
    System.out.println("any text: seed " + seed);
    Random r = new Random(seed);
    for (int round = 0; round < 500; round++) {
      char[] raw = new char[1 + r.nextInt(60)];
      for (int i = 0; i < raw.length; i++) {
        raw[i] = (char) (r.nextBoolean() ? r.nextInt(0x250) : r.nextInt(0x10000));
      }
      String clean = Lettering.clean(new String(raw));
      for (int i = 0; i < clean.length(); i++) {
        char c = clean.charAt(i);
        assertTrue(
            c >= ' ' && c != 0x7f && !Character.isSurrogate(c) && c < 0xFFFE, "U+" + (int) c);
      }
      assertEquals(clean, Lettering.clean(clean), "cleaning twice changes nothing");
      assertTrue(REGULAR.width(clean, 1) >= 0);
    }
  }
}

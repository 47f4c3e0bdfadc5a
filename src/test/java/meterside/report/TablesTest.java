package meterside.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

/** The CSV files against RFC 4180, read back by a reader of its own, and against formulas. */
class TablesTest {
  private static final List<String> FILES =
      List.of(
          "tables/findings.csv",
          "tables/photos.csv",
          "tables/answers.csv",
          "tables/device-tests.csv");

  /** A reader of RFC 4180, strict: CRLF between records, quotes doubled, nothing after a quote. */
  static List<List<String>> read(String text) {
    List<List<String>> out = new ArrayList<>();
    List<String> row = new ArrayList<>();
    int i = 0;
    while (i < text.length()) {
      StringBuilder cell = new StringBuilder();
      if (text.charAt(i) == '"') {
        i++;
        while (true) {
          char c = text.charAt(i++);
          if (c == '"') {
            if (i < text.length() && text.charAt(i) == '"') {
              i++;
            } else {
              break;
            }
          }
          cell.append(c);
        }
      } else {
        while (i < text.length() && ",\r\n\"".indexOf(text.charAt(i)) < 0) {
          cell.append(text.charAt(i++));
        }
      }
      row.add(cell.toString());
      if (i < text.length() && text.charAt(i) == ',') {
        i++;
      } else {
        assertTrue(text.startsWith("\r\n", i), "CRLF expected at " + i);
        i += 2;
        out.add(row);
        row = new ArrayList<>();
      }
    }
    assertEquals(List.of(), row);
    return out;
  }

  @Test
  void everyRecordHasAsManyFieldsAsItsHeader() {
    for (Issued issued : List.of(Issued.full(), Issued.empty(), Issued.hostile())) {
      for (String file : FILES) {
        String text = issued.text(file);
        assertEquals('\uFEFF', text.charAt(0), "byte order mark");
        List<List<String>> rows = read(text.substring(1));
        for (List<String> row : rows) {
          assertEquals(rows.get(0).size(), row.size(), file + " " + row);
        }
      }
    }
    assertEquals(6, read(Issued.full().text("tables/findings.csv")).size());
    assertEquals(12, read(Issued.full().text("tables/photos.csv")).size());
    assertEquals(4, read(Issued.full().text("tables/device-tests.csv")).size());
  }

  @Test
  void textsComeBackAsTheyWerePutIn() {
    List<List<String>> rows = read(Issued.hostile().text("tables/findings.csv").substring(1));
    List<String> first = rows.stream().filter(r -> r.get(0).equals("F1")).findFirst().get();
    assertEquals(TestHouse.SCRIPT, first.get(rows.get(0).indexOf("seen")));
    assertEquals(TestHouse.EMOJI, first.get(rows.get(0).indexOf("why")));
    assertEquals(TestHouse.RIGHT_TO_LEFT, first.get(rows.get(0).indexOf("location")));
    List<String> third = rows.stream().filter(r -> r.get(0).equals("F3")).findFirst().get();
    assertTrue(third.get(rows.get(0).indexOf("seen")).contains("second line\r\nthird"));
  }

  @Test
  void noCellStartsAFormula() {
    int apostrophes = 0;
    for (Issued issued : List.of(Issued.full(), Issued.hostile())) {
      for (String file : FILES) {
        for (List<String> row : read(issued.text(file).substring(1))) {
          for (String cell : row) {
            boolean formula = !cell.isEmpty() && "=+-@\t\r\n".indexOf(cell.charAt(0)) >= 0;
            assertFalse(formula, file + ": " + cell);
            apostrophes += cell.startsWith("'") ? 1 : 0;
          }
        }
      }
    }
    assertTrue(apostrophes >= 4, "the hostile job has formulas: " + apostrophes);
    for (String start : List.of("=1", "+1", "-1", "@x", "\tx", "\rx", "\nx", "\uFF1D1")) {
      assertTrue(Tables.cell(start).replaceFirst("^\"", "").startsWith("'"), start);
    }
    assertEquals("plain", Tables.cell("plain"));
    assertEquals("a=b", Tables.cell("a=b"));
    assertEquals("\"a,\"\"b\"\"\"", Tables.cell("a,\"b\""));
  }

  @Test
  void anOwnHabitIsNeverShownAsUnmet() {
    for (List<String> row : read(Issued.full().text("tables/answers.csv"))) {
      assertFalse(row.contains("own-habit") && row.contains("open"), row.toString());
    }
  }
}

package meterside.job;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;

/** CIPA DC-008 (Exif), tag Orientation 0x0112: which edge of the scene row 0 and column 0 show. */
class OrientationTest {

  @ParameterizedTest
  @CsvSource({
    // tag, where the stored top left corner stands in the upright picture
    "1, 0, 0",
    "2, 1, 0",
    "3, 1, 1",
    "4, 0, 1",
    "5, 0, 0",
    "6, 1, 0",
    "7, 1, 1",
    "8, 0, 1"
  })
  void putsTheStoredTopLeftWhereTheTagSays(int tag, double x, double y) {
    assertEquals(new Point(x, y), Orientation.of(tag).toUpright(new Point(0, 0)));
  }

  @ParameterizedTest
  @CsvSource({
    // tag, where the stored top right corner stands: tells 5 to 8 from 1 to 4
    "1, 1, 0",
    "2, 0, 0",
    "3, 0, 1",
    "4, 1, 1",
    "5, 0, 1",
    "6, 1, 1",
    "7, 1, 0",
    "8, 0, 0"
  })
  void putsTheStoredTopRightWhereTheTagSays(int tag, double x, double y) {
    assertEquals(new Point(x, y), Orientation.of(tag).toUpright(new Point(1, 0)));
  }

  @ParameterizedTest
  @EnumSource(Orientation.class)
  void mapsBackToWhereItCameFrom(Orientation o) {
    Point p = new Point(0.25, 0.625);
    assertEquals(p, o.toStored(o.toUpright(p)));
  }

  @ParameterizedTest
  @ValueSource(ints = {0, 9, -1, 36865, 65535})
  void countsIllegalValuesAsNormal(int tag) {
    assertEquals(Orientation.NORMAL, Orientation.of(tag));
  }

  @Test
  void swapsSidesFromFiveOn() {
    for (int tag = 1; tag <= 8; tag++) {
      assertEquals(tag >= 5, Orientation.of(tag).swapsSides());
    }
  }
}

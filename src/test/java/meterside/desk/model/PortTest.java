package meterside.desk.model;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import meterside.job.Point;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class PortTest {
  @Test
  void aFittedPhotoIsWholeAndInTheMiddle() {
    Port p = Port.fit(800, 600, 4000, 2000);
    assertEquals(0.2, p.scale(), 1e-12);
    assertEquals(0, p.left(), 1e-9);
    assertEquals(100, p.top(), 1e-9);
    assertEquals(new Point(0.5, 0.5), p.point(400, 300));
  }

  @Test
  void whatLiesUnderThePointerStaysThereWhileZooming() {
    Port p = Port.fit(800, 600, 4000, 3000);
    Point under = p.point(300, 200);
    Port q = p.zoomed(3, 300, 200);
    assertEquals(300, q.x(under), 1e-6);
    assertEquals(200, q.y(under), 1e-6);
    assertEquals(p.scale() * 3, q.scale(), 1e-12);
  }

  @Test
  void actualSizeShowsOnePixelForOne() {
    assertEquals(1, Port.fit(800, 600, 4000, 3000).actualSize(10, 10).scale(), 1e-12);
  }

  @Test
  void aFittedPhotoStaysFittedWhenTheWindowGrows() {
    Port p = Port.fit(800, 600, 4000, 3000).resized(1600, 1200);
    assertTrue(p.fitted());
    assertEquals(0.4, p.scale(), 1e-12);
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5})
  void noGestureLeavesTheViewWithoutThePhoto(long seed) {
    Random random = new Random(Long.getLong("seed", seed));
    String said = "seed " + seed;
    Port p = Port.fit(900, 700, 500 + random.nextInt(6000), 500 + random.nextInt(6000));
    for (int i = 0; i < 400; i++) {
      p =
          switch (random.nextInt(4)) {
            case 0 ->
                p.zoomed(
                    Math.exp(random.nextGaussian()),
                    random.nextDouble() * p.viewWidth(),
                    random.nextDouble() * p.viewHeight());
            case 1 -> p.panned(random.nextGaussian() * 900, random.nextGaussian() * 900);
            case 2 -> p.resized(200 + random.nextInt(1500), 200 + random.nextInt(1000));
            default -> p.refitted();
          };
      if (p.shownWidth() >= p.viewWidth()) {
        assertTrue(p.left() <= 1e-6, said);
        assertTrue(p.left() + p.shownWidth() >= p.viewWidth() - 1e-6, said);
      } else {
        assertEquals((p.viewWidth() - p.shownWidth()) / 2, p.left(), 1e-6, said);
      }
      assertTrue(p.scale() <= Port.LARGEST + 1e-9, said);
      Point back = p.point(p.x(new Point(0.3, 0.7)), p.y(new Point(0.3, 0.7)));
      assertEquals(0.3, back.x(), 1e-9, said);
      assertEquals(0.7, back.y(), 1e-9, said);
    }
  }
}

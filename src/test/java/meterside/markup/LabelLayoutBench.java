package meterside.markup;

import java.lang.management.ManagementFactory;
import java.lang.management.ThreadMXBean;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/** How long the drawing of fifty callouts takes, spread over a photo and crowded in its middle. */
@Tag("bench")
class LabelLayoutBench {

  /** Processor time, so that a busy machine does not count. The first half only warms up. */
  @Test
  void fiftyCallouts() {
    Random r = new Random(50);
    ThreadMXBean clock = ManagementFactory.getThreadMXBean();
    String[] parts = {"service-drop", "service-head", "drip-loop", "meter", "entrance-cable"};
    List<Double> took = new ArrayList<>();
    for (int round = 0; round < 200; round++) {
      MarkedPhoto p = new MarkedPhoto(4000, 3000).finding(1, "Cracks on two of three conductors");
      double share = round % 2 == 0 ? .9 : .4;
      for (int i = 0; i < 50; i++) {
        Integer finding = r.nextInt(6) == 0 ? Integer.valueOf(1) : null;
        double x = .5 + share * (r.nextDouble() - .5);
        double y = .5 + share * (r.nextDouble() - .5);
        p.callout(parts[r.nextInt(parts.length)], finding, null, null, x, y);
      }
      long start = clock.getCurrentThreadCpuTime();
      p.drawing();
      if (round >= 100) {
        took.add((clock.getCurrentThreadCpuTime() - start) / 1e6);
      }
    }
    took.sort(null);
    System.out.printf(
        Locale.ROOT,
        "50 callouts: median %.1f ms, 95 of 100 within %.1f ms, worst %.1f ms%n",
        took.get(took.size() / 2),
        took.get(took.size() * 95 / 100),
        took.get(took.size() - 1));
  }
}

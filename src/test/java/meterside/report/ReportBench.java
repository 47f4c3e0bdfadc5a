package meterside.report;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.awt.image.BufferedImage;
import java.nio.file.Files;
import java.nio.file.Path;
import meterside.job.Photo;
import meterside.picture.Jpegs;
import meterside.picture.Pixels;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** How long a large report takes, beside plainly decoding and encoding the same photos. */
@Tag("bench")
class ReportBench {
  private static final int PHOTOS = Integer.getInteger("meterside.bench.photos", 100);

  @TempDir Path tmp;

  @Test
  void aHundredMarkedPhotosOfTwelveMegapixels() throws Exception {
    TestHouse house = new TestHouse(tmp.resolve("archive"), "3 Ember Court");
    house.camera("A", "Halden", "H2");
    BufferedImage image = DrawnPhotos.house(4000, 3000, 5);
    java.util.Random random = new java.util.Random(5);
    for (int y = 0; y < 3000; y++) {
      for (int x = 0; x < 4000; x++) {
        int noise = random.nextInt(9) - 4;
        int p = image.getRGB(x, y);
        int g = Math.max(0, Math.min(255, (p >> 8 & 255) + noise));
        image.setRGB(x, y, p & 0xFF00FF | g << 8);
      }
    }
    for (int i = 0; i < PHOTOS; i++) {
      image.setRGB(i, 0, i); // each photo has its own content
      Photo p = house.photo("IMG_" + i + ".JPG", "A", "panelboard", image, 1);
      house.callout(p, "breaker", 0.3, 0.3, null, null);
      house.callout(p, "panelboard", 0.6, 0.6, null, null);
    }
    image = null;
    house.report(tmp.resolve("warm"), true, false);

    long plain = System.nanoTime();
    for (Photo p : house.job().inTrueOrder()) {
      byte[] bytes = house.folder.originals().bytes(p);
      BufferedImage pixels = Pixels.upright(bytes, p.format(), p.orientation(), 0);
      Files.write(tmp.resolve(p.name()), Jpegs.encode(pixels, 0.88f));
    }
    plain = System.nanoTime() - plain;

    long report = System.nanoTime();
    house.report(tmp.resolve("out"), false, false);
    report = System.nanoTime() - report;
    long pdf = Files.size(tmp.resolve("out/report.pdf"));
    System.out.printf(
        "photos %d, plain %.1f s, report %.1f s, ratio %.2f, PDF %.1f MB, HTML %.1f MB, heap %d MB%n",
        PHOTOS,
        plain / 1e9,
        report / 1e9,
        (double) report / plain,
        pdf / 1e6,
        Files.size(tmp.resolve("out/report.html")) / 1e6,
        Runtime.getRuntime().maxMemory() >> 20);
    assertTrue(pdf < 40_000_000, "PDF has " + pdf + " bytes");
  }
}

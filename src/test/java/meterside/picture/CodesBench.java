package meterside.picture;

import static org.junit.jupiter.api.Assertions.assertTrue;

import com.sun.management.OperatingSystemMXBean;
import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.lang.management.ManagementFactory;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.stream.Stream;
import javax.imageio.ImageIO;
import meterside.job.Code;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/**
 * What looking for codes costs a photo at intake, in processor time of all threads, so that a busy
 * machine does not count: on the previews of the sample house's photos, which show no code.
 */
@Tag("bench")
class CodesBench {
  private static final OperatingSystemMXBean SYSTEM =
      (OperatingSystemMXBean) ManagementFactory.getOperatingSystemMXBean();

  private interface Looking {
    List<Code> at(BufferedImage preview, byte[] jpeg) throws Exception;
  }

  @Test
  void whatLookingForCodesCosts() throws Exception {
    List<BufferedImage> previews = new ArrayList<>();
    List<byte[]> jpegs = new ArrayList<>();
    try (Stream<Path> all = Files.walk(Path.of("sample-photos"))) {
      for (Path p : all.filter(f -> f.toString().endsWith(".jpg")).sorted().toList()) {
        Picture picture = (Picture) PictureReader.read(Files.readAllBytes(p), p.toString());
        jpegs.add(picture.previewJpeg());
        previews.add(Rgb.of(ImageIO.read(new ByteArrayInputStream(picture.previewJpeg()))));
      }
    }
    assertTrue(previews.size() > 40, previews.size() + " photos");
    time("in the preview's pixels", previews, jpegs, (image, jpeg) -> Codes.read(image));
    time("decoding the preview first", previews, jpegs, (image, jpeg) -> Codes.readJpeg(jpeg));
  }

  private static void time(
      String what, List<BufferedImage> previews, List<byte[]> jpegs, Looking looking)
      throws Exception {
    int found = 0;
    long start = 0;
    int rounds = 10;
    for (int round = 0; round < rounds; round++) {
      if (round == rounds / 2) {
        start = SYSTEM.getProcessCpuTime();
      }
      for (int i = 0; i < previews.size(); i++) {
        found += looking.at(previews.get(i), jpegs.get(i)).size();
      }
    }
    double ms = (SYSTEM.getProcessCpuTime() - start) / 1e6 / (rounds - rounds / 2);
    System.out.printf(
        Locale.ROOT,
        "codes, %s: %.2f ms a photo (%d previews, %d codes found)%n",
        what,
        ms / previews.size(),
        previews.size(),
        found);
  }
}

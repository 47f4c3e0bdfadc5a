package meterside.scenes;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.awt.image.BufferedImage;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import javax.imageio.ImageIO;
import meterside.scenes.Development.Developed;
import meterside.scenes.ShotList.JobShots;
import meterside.scenes.ShotList.Shot;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Photos rendered again from their sources equal the ones that are there. Needs POV-Ray. */
@Tag("heavy")
class RenderAgainTest {

  /** So many photos are rendered again. */
  private static final int MOST = 3;

  @TempDir Path folder;

  @Test
  void aPhotoRenderedAgainEqualsTheOneThatIsThere() throws IOException, InterruptedException {
    assumeTrue(povrayRuns(), "POV-Ray does not run here; nothing can be rendered");
    JsonNode truth =
        new ObjectMapper().readTree(Files.readAllBytes(Path.of("sample-photos", "truth.json")));
    Path kit = Path.of("src/scenes").toAbsolutePath();
    Map<Shot, JobShots> current = new LinkedHashMap<>();
    for (JobShots job : ShotList.read(kit.resolve("shots.json")).jobs()) {
      for (Shot shot : job.shots()) {
        if (current(truth, job, shot, kit)) {
          current.put(shot, job);
        }
      }
    }
    assumeTrue(!current.isEmpty(), "every photo is older than its scene; render them first");
    // Others each day, and far apart, so that in time all have their turn.
    List<Shot> shots = List.copyOf(current.keySet());
    int first = Integer.getInteger("first", (int) (LocalDate.now().toEpochDay() % shots.size()));
    for (int i = 0; i < MOST; i++) {
      Shot shot = shots.get((first + i * shots.size() / MOST) % shots.size());
      double psnr = again(kit, current.get(shot), shot);
      System.out.printf(Locale.ROOT, "%s again: %.1f dB%n", shot.file(), psnr);
      assertTrue(psnr >= 40, shot.file() + ": " + psnr + " dB (-Dfirst=" + first + ")");
    }
  }

  private static boolean povrayRuns() throws InterruptedException {
    try {
      return new ProcessBuilder("povray", "--version")
              .redirectErrorStream(true)
              .redirectOutput(ProcessBuilder.Redirect.DISCARD)
              .start()
              .waitFor()
          == 0;
    } catch (IOException e) {
      return false;
    }
  }

  private static boolean current(JsonNode truth, JobShots job, Shot shot, Path kit)
      throws IOException {
    for (JsonNode j : truth.get("jobs")) {
      for (JsonNode photo : j.get("photos")) {
        if (j.get("id").asText().equals(job.id())
            && photo.get("file").asText().equals(shot.file())) {
          return photo.get("madeFrom").asText().equals(new Scene(kit, shot).madeFrom());
        }
      }
    }
    return false;
  }

  @Test
  void psnrOfPicturesOneStepApartIsThatOfTheDefinition() {
    BufferedImage a = new BufferedImage(4, 4, BufferedImage.TYPE_INT_RGB);
    BufferedImage b = new BufferedImage(4, 4, BufferedImage.TYPE_INT_RGB);
    for (int i = 0; i < 16; i++) {
      b.setRGB(i % 4, i / 4, 0x010101);
    }
    // 20 log10(255 / 1): the peak over a root mean square error of one step.
    assertEquals(48.1308, RenderPhotos.psnr(a, b), 1e-4);
  }

  private double again(Path kit, JobShots job, Shot shot) throws IOException, InterruptedException {
    Scene scene = new Scene(kit, shot);
    scene.render(folder, shot.scale());
    Developed picture =
        Development.develop(
            scene.light(folder), shot.uprightWidth(), shot, job.cameras().get(shot.camera()));
    Path out = folder.resolve(shot.name() + ".jpg");
    CameraFile.write(out, picture, job, shot);
    Path there = Path.of("sample-photos").resolve(job.folder()).resolve(shot.file());
    return RenderPhotos.psnr(ImageIO.read(out.toFile()), ImageIO.read(there.toFile()));
  }
}

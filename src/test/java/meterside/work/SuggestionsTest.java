package meterside.work;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.awt.Color;
import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.image.BufferedImage;
import java.awt.image.ConvolveOp;
import java.awt.image.Kernel;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import meterside.job.Edit;
import meterside.job.Finding;
import meterside.job.FindingKind;
import meterside.job.Job;
import meterside.job.PhotoId;
import meterside.job.Progress;
import meterside.job.StopKey;
import meterside.picture.Jpegs;
import meterside.picture.Tones;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class SuggestionsTest {
  @TempDir Path temporary;

  /** A scene of bars and boxes, drawn a little further right and larger. */
  private static BufferedImage scene(long seed, double shift, double gain) {
    Random random = new Random(seed);
    BufferedImage image = new BufferedImage(800, 600, BufferedImage.TYPE_INT_RGB);
    Graphics2D g = image.createGraphics();
    g.setRenderingHint(RenderingHints.KEY_ANTIALIASING, RenderingHints.VALUE_ANTIALIAS_ON);
    g.setColor(grey(200, gain));
    g.fillRect(0, 0, 800, 600);
    g.translate(shift, shift / 2);
    for (int i = 0; i < 60; i++) {
      g.setColor(grey(40 + random.nextInt(190), gain));
      g.fillRect(
          random.nextInt(900) - 50,
          random.nextInt(700) - 50,
          4 + random.nextInt(160),
          4 + random.nextInt(160));
    }
    g.dispose();
    return image;
  }

  private static Color grey(int v, double gain) {
    int c = (int) Math.max(0, Math.min(255, v * gain));
    return new Color(c, c, Math.max(0, c - 12));
  }

  private static BufferedImage blurred(BufferedImage image) {
    float[] box = new float[15 * 15];
    Arrays.fill(box, 1f / box.length);
    return new ConvolveOp(new Kernel(15, 15, box), ConvolveOp.EDGE_NO_OP, null).filter(image, null);
  }

  private Job job(Map<String, BufferedImage> photos, JobSession[] out) throws IOException {
    Path card = Files.createDirectories(temporary.resolve("card"));
    Instant at = Instant.parse("2026-05-12T10:00:00Z");
    int i = 0;
    for (Map.Entry<String, BufferedImage> e : photos.entrySet()) {
      Path file = Files.write(card.resolve(e.getKey()), Jpegs.encode(e.getValue(), 0.9f));
      Files.setLastModifiedTime(
          file, java.nio.file.attribute.FileTime.from(at.plusSeconds(8L * i++)));
    }
    Path root = temporary.resolve("archive");
    Workspace w =
        Workspace.open(root, true, new Home(temporary.resolve("home"), root), Clock.systemUTC());
    w.newJob("one", "a house", LocalDate.of(2026, 5, 12), ZoneId.of("UTC"), "overhead");
    JobSession s = JobSession.open(w, "one");
    s.intake(List.of(card), false, Progress.NONE);
    s.act(new Edit.PlaceByHand(s.job().intakeOrder(), StopKey.of("meter-and-base")));
    out[0] = s;
    return s.job();
  }

  private static PhotoId id(Job job, String name) {
    return job.photosNamed(name).get(0).id();
  }

  @Test
  void nearDuplicatesBlurredDarkAndLightAreSuggestedAndOthersLeft() throws Exception {
    Map<String, BufferedImage> photos = new LinkedHashMap<>();
    photos.put("a1.jpg", scene(1, 0, 1));
    photos.put("a2.jpg", scene(1, 9, 1.04));
    photos.put("b.jpg", scene(2, 0, 1));
    photos.put("b-blurred.jpg", blurred(scene(2, 3, 1)));
    photos.put("c.jpg", scene(3, 0, 1));
    photos.put("d-dark.jpg", scene(4, 0, 0.12));
    photos.put("e-light.jpg", scene(5, 0, 8));
    photos.put("f.jpg", scene(6, 0, 1));
    JobSession[] session = new JobSession[1];
    Job job = job(photos, session);
    Suggestions found = Suggestions.of(job, session[0].folder(), Progress.NONE);
    Map<String, Suggestions.Why> why = new LinkedHashMap<>();
    found.all().forEach(s -> why.put(job.photo(s.photo()).name(), s.why()));
    assertEquals(Suggestions.Why.BLURRED, why.get("b-blurred.jpg"));
    assertEquals(Suggestions.Why.TOO_DARK, why.get("d-dark.jpg"));
    assertEquals(Suggestions.Why.TOO_LIGHT, why.get("e-light.jpg"));
    assertEquals(1, why.keySet().stream().filter(n -> n.startsWith("a")).count(), why.toString());
    assertEquals(4, why.size(), why.toString());
    Suggestions.Group pair = found.group(id(job, "a1.jpg")).orElseThrow();
    assertEquals(List.of(id(job, "a1.jpg"), id(job, "a2.jpg")), pair.photos());
    session[0].close();
  }

  @Test
  void whatAFindingShowsIsNeverSuggested() throws Exception {
    Map<String, BufferedImage> photos = new LinkedHashMap<>();
    photos.put("a1.jpg", scene(1, 0, 1));
    photos.put("a2.jpg", scene(1, 9, 1.04));
    photos.put("d-dark.jpg", scene(4, 0, 0.12));
    JobSession[] session = new JobSession[1];
    Job before = job(photos, session);
    List<PhotoId> shown = List.of(id(before, "a2.jpg"), id(before, "d-dark.jpg"));
    Job job =
        session[0].act(
            new Edit.PutFinding(
                new Finding(
                    1,
                    StopKey.of("meter-and-base"),
                    null,
                    "meter",
                    FindingKind.NOTE,
                    "seen",
                    null,
                    null,
                    shown,
                    null,
                    false)));
    Suggestions found = Suggestions.of(job, session[0].folder(), Progress.NONE);
    assertEquals(List.of(id(job, "a1.jpg")), found.all().stream().map(s -> s.photo()).toList());
    assertEquals(id(job, "a2.jpg"), found.all().get(0).better());
    session[0].close();
  }

  @Test
  void tonesAreSharesOfTheLuma() {
    BufferedImage half = new BufferedImage(10, 10, BufferedImage.TYPE_INT_RGB);
    Graphics2D g = half.createGraphics();
    g.setColor(Color.WHITE);
    g.fillRect(0, 0, 10, 5);
    g.dispose();
    Tones t = Tones.of(half);
    assertEquals(0, t.dark());
    assertEquals(255, t.light());
    assertEquals(0.5, t.burnt(), 1e-9);
    assertTrue(!t.tooDark() && !t.tooLight());
  }
}

package meterside.scenes;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import javax.imageio.ImageIO;
import meterside.scenes.Development.Developed;
import meterside.scenes.ShotList.JobShots;
import meterside.scenes.ShotList.Shot;

/**
 * Renders sample photos that are older than their scenes and exports {@code
 * sample-photos/truth.json}.
 *
 * <pre>
 * render                 photos whose sources changed, then truth.json
 * render NAME…           these photos, changed or not (a part of the file name is enough)
 * render --preview NAME… a sixth of the size, into target/scenes/preview, truth.json untouched
 * render --check NAME…   renders again and prints the PSNR against the photo that is there;
 *                        at 40 dB or better the photo stays and counts as made from today's sources
 * render --develop NAME… develops again what target/scenes still holds, without rendering
 * render --truth         only asks the scenes again, renders nothing
 * </pre>
 */
public final class RenderPhotos {

  /** A photo rendered again equals the one that is there from this value on, in dB. */
  private static final double SAME = 40;

  /** A preview is this much smaller each way. */
  private static final int PREVIEW = 6;

  private static final ObjectMapper JSON = new ObjectMapper();

  private final Path base;
  private final Path kit;
  private final Path work;
  private final Path truthFile;
  private final Map<String, ObjectNode> known = new HashMap<>();

  private RenderPhotos(Path base) {
    this.base = base;
    kit = base.resolve("src/scenes");
    work = base.resolve("target/scenes");
    truthFile = base.resolve("sample-photos/truth.json");
  }

  /** Starts in the project's folder; see the class comment for the arguments. */
  public static void main(String[] args) throws IOException, InterruptedException {
    List<String> words = new ArrayList<>(Arrays.asList(args));
    String mode = words.isEmpty() || !words.get(0).startsWith("--") ? "" : words.remove(0);
    new RenderPhotos(Path.of("").toAbsolutePath()).run(mode, words);
  }

  private void run(String mode, List<String> names) throws IOException, InterruptedException {
    ShotList list = ShotList.read(kit.resolve("shots.json"));
    readTruth();
    Set<String> there = new HashSet<>();
    for (JobShots job : list.jobs()) {
      for (Shot shot : job.shots()) {
        if (Files.exists(photo(job, shot))) {
          there.add(key(job, shot));
        }
      }
    }
    int failed = 0;
    // Photos that are not there come before those that are only older than their scenes.
    for (boolean missing : new boolean[] {true, false}) {
      for (JobShots job : list.jobs()) {
        for (Shot shot : job.shots()) {
          boolean named = names.stream().anyMatch(shot.file()::contains);
          if ((named || names.isEmpty()) && there.contains(key(job, shot)) != missing) {
            try {
              one(mode, named, job, shot);
            } catch (IOException e) {
              say("%s", e.getMessage());
              failed++;
            }
            if (!mode.equals("--preview")) {
              writeTruth(list);
            }
          }
        }
      }
    }
    if (failed > 0) {
      say("%d photos were not made; the ones that were there before are still there", failed);
    }
  }

  private void one(String mode, boolean named, JobShots job, Shot shot)
      throws IOException, InterruptedException {
    switch (mode) {
      case "--preview" -> preview(job, shot);
      case "--check" -> check(job, shot);
      case "--develop" -> developAgain(job, shot);
      case "--truth" -> ask(job, shot);
      case "" -> {
        if (named || stale(job, shot)) {
          render(job, shot);
        }
      }
      default ->
          throw new IllegalArgumentException(
              mode + " is not known: --preview, --develop, --check, --truth");
    }
  }

  private Path photo(JobShots job, Shot shot) {
    return base.resolve("sample-photos").resolve(job.folder()).resolve(shot.file());
  }

  private boolean stale(JobShots job, Shot shot) throws IOException {
    ObjectNode n = known.get(key(job, shot));
    return n == null
        || !Files.exists(photo(job, shot))
        || !n.path("madeFrom").asText().equals(new Scene(kit, shot).madeFrom());
  }

  private void render(JobShots job, Shot shot) throws IOException, InterruptedException {
    long start = System.nanoTime();
    Scene scene = new Scene(kit, shot);
    String madeFrom = scene.madeFrom();
    List<String> lines = scene.render(work, shot.scale());
    Developed picture =
        Development.develop(
            scene.light(work), shot.uprightWidth(), shot, job.cameras().get(shot.camera()));
    Path out = photo(job, shot);
    CameraFile.write(out, picture, job, shot);
    known.put(key(job, shot), Truth.of(lines).photo(job, shot, madeFrom, picture.ev100()));
    say(
        "%s  %d s  EV %.1f  %d kB",
        shot.file(),
        (System.nanoTime() - start) / 1_000_000_000,
        picture.ev100(),
        Files.size(out) / 1024);
  }

  private void developAgain(JobShots job, Shot shot) throws IOException {
    Scene scene = new Scene(kit, shot);
    ObjectNode n = known.get(key(job, shot));
    if (n == null || !scene.lightIsOfToday(work)) {
      say("%s  no rendering of today's scene lies in target/scenes", shot.file());
      return;
    }
    Developed picture =
        Development.develop(
            scene.light(work), shot.uprightWidth(), shot, job.cameras().get(shot.camera()));
    CameraFile.write(photo(job, shot), picture, job, shot);
    String madeFrom = scene.madeFrom();
    List<String> lines = scene.told(scene.log(work));
    known.put(key(job, shot), Truth.of(lines).photo(job, shot, madeFrom, picture.ev100()));
    say("%s  EV %.1f", shot.file(), picture.ev100());
  }

  private void preview(JobShots job, Shot shot) throws IOException, InterruptedException {
    long start = System.nanoTime();
    Scene scene = new Scene(kit, shot);
    Path folder = work.resolve("preview");
    List<String> lines = scene.render(folder, PREVIEW);
    Developed picture =
        Development.develop(
            scene.light(folder),
            shot.uprightWidth() / PREVIEW,
            shot,
            job.cameras().get(shot.camera()));
    ImageIO.write(picture.image(), "png", folder.resolve(shot.name() + ".png").toFile());
    say(
        "%s  %d s  EV %.1f  1/%.0f s f/%.1f ISO %d",
        shot.file(),
        (System.nanoTime() - start) / 1_000_000_000,
        picture.ev100(),
        1 / picture.exposureSeconds(),
        picture.fNumber(),
        picture.iso());
    for (JsonNode part : Truth.of(lines).photo(job, shot, "", 0).get("parts")) {
      say(
          "    %s %s at %.2f, %.2f",
          part.get("part").asText(),
          part.get("which").asText(),
          part.get("x").asDouble(),
          part.get("y").asDouble());
    }
  }

  private void check(JobShots job, Shot shot) throws IOException, InterruptedException {
    Scene scene = new Scene(kit, shot);
    String madeFrom = scene.madeFrom();
    List<String> lines = scene.render(work, shot.scale());
    Developed picture =
        Development.develop(
            scene.light(work), shot.uprightWidth(), shot, job.cameras().get(shot.camera()));
    Path again = work.resolve(shot.name() + ".jpg");
    CameraFile.write(again, picture, job, shot);
    double psnr = psnr(pixels(again), pixels(photo(job, shot)));
    say("%s  %.1f dB", shot.file(), psnr);
    if (psnr >= SAME) {
      known.put(key(job, shot), Truth.of(lines).photo(job, shot, madeFrom, picture.ev100()));
    }
  }

  private void ask(JobShots job, Shot shot) throws IOException, InterruptedException {
    ObjectNode n = known.get(key(job, shot));
    if (n == null) {
      return;
    }
    List<String> lines = new Scene(kit, shot).ask(work);
    known.put(
        key(job, shot),
        Truth.of(lines).photo(job, shot, n.get("madeFrom").asText(), n.get("ev100").asDouble()));
    say("%s", shot.file());
  }

  /** Peak signal-to-noise ratio of two pictures of one size, in dB over all three channels. */
  static double psnr(BufferedImage a, BufferedImage b) {
    if (a.getWidth() != b.getWidth() || a.getHeight() != b.getHeight()) {
      throw new IllegalArgumentException("pictures of different size");
    }
    double sum = 0;
    for (int y = 0; y < a.getHeight(); y++) {
      for (int x = 0; x < a.getWidth(); x++) {
        int p = a.getRGB(x, y);
        int q = b.getRGB(x, y);
        for (int s = 0; s <= 16; s += 8) {
          int d = (p >> s & 255) - (q >> s & 255);
          sum += d * d;
        }
      }
    }
    double mean = sum / (3.0 * a.getWidth() * a.getHeight());
    return mean == 0 ? Double.POSITIVE_INFINITY : 10 * Math.log10(255 * 255 / mean);
  }

  private static BufferedImage pixels(Path file) throws IOException {
    return ImageIO.read(new ByteArrayInputStream(Files.readAllBytes(file)));
  }

  private static String key(JobShots job, Shot shot) {
    return job.id() + "/" + shot.file();
  }

  private void readTruth() throws IOException {
    if (!Files.exists(truthFile)) {
      return;
    }
    for (JsonNode job : JSON.readTree(Files.readAllBytes(truthFile)).get("jobs")) {
      for (JsonNode photo : job.get("photos")) {
        known.put(job.get("id").asText() + "/" + photo.get("file").asText(), (ObjectNode) photo);
      }
    }
  }

  private void writeTruth(ShotList list) throws IOException {
    ObjectNode root = JSON.createObjectNode();
    root.put("format", 1);
    root.put(
        "coordinates",
        "x and y are fractions of the upright picture, origin top left; positions are metres in the frame of the photo's place");
    ArrayNode jobs = root.putArray("jobs");
    for (JobShots job : list.jobs()) {
      if (job.shots().stream().noneMatch(s -> Files.exists(photo(job, s)))) {
        continue;
      }
      ObjectNode j = jobs.addObject();
      j.put("id", job.id());
      j.put("folder", job.folder());
      j.put("site", job.site());
      j.put("date", job.date().toString());
      j.put("zone", job.zone().getId());
      j.put("route", job.route());
      ArrayNode cameras = j.putArray("cameras");
      job.cameras()
          .forEach(
              (letter, body) -> {
                ObjectNode c = cameras.addObject();
                c.put("camera", letter);
                c.put("make", body.make());
                c.put("model", body.model());
                c.put("clockSeconds", body.clockSeconds());
                c.put("gps", body.knowsPlace());
              });
      ArrayNode photos = j.putArray("photos");
      for (Shot shot : job.shots()) {
        ObjectNode n = known.get(key(job, shot));
        if (n != null && Files.exists(photo(job, shot))) {
          photos.add(n);
        }
      }
    }
    Files.createDirectories(truthFile.getParent());
    String text = JSON.writerWithDefaultPrettyPrinter().writeValueAsString(root);
    Files.writeString(truthFile, text.replace(System.lineSeparator(), "\n") + "\n");
  }

  private static void say(String format, Object... values) {
    System.out.println(String.format(Locale.ROOT, format, values));
  }
}

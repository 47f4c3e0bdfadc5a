package meterside.scenes;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.drew.imaging.ImageMetadataReader;
import com.drew.metadata.Metadata;
import com.drew.metadata.exif.ExifIFD0Directory;
import com.drew.metadata.exif.ExifSubIFDDirectory;
import com.drew.metadata.exif.ExifThumbnailDirectory;
import com.drew.metadata.exif.GpsDirectory;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.LocalDateTime;
import java.time.OffsetDateTime;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.function.Predicate;
import java.util.stream.Stream;
import javax.imageio.ImageIO;
import meterside.job.Code;
import meterside.picture.Codes;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;

/**
 * The sample photos are what {@code truth.json} says: files, clocks, geometry, and the pixels at
 * the points where parts are said to be. Metadata is read by a library that did not write it, and
 * points are projected by formulas written for this test.
 */
class SampleTruthTest {

  private static final Path PHOTOS = Path.of("sample-photos");
  private static final DateTimeFormatter EXIF =
      DateTimeFormatter.ofPattern("yyyy:MM:dd HH:mm:ss.SSS", Locale.ROOT);
  private static final long MOST_BYTES = 40L << 20;

  private static JsonNode truth;

  /** A photo's entry and the job it belongs to. */
  private record Entry(JsonNode job, JsonNode photo) {
    Path file() {
      return PHOTOS.resolve(job.get("folder").asText()).resolve(photo.get("file").asText());
    }

    @Override
    public String toString() {
      return photo.get("file").asText();
    }
  }

  @BeforeAll
  static void read() throws IOException {
    truth = new ObjectMapper().readTree(Files.readAllBytes(PHOTOS.resolve("truth.json")));
  }

  private static List<Entry> photos() {
    List<Entry> all = new ArrayList<>();
    for (JsonNode job : truth.get("jobs")) {
      for (JsonNode photo : job.get("photos")) {
        all.add(new Entry(job, photo));
      }
    }
    return all;
  }

  @Test
  void theTruthNamesExactlyThePhotosThatAreThereAndTheListKnowsThemAll() throws IOException {
    Set<String> told = new TreeSet<>();
    photos().forEach(e -> told.add(e.job().get("folder").asText() + "/" + e));
    Set<String> listed = new TreeSet<>();
    for (ShotList.JobShots job : ShotList.read(Path.of("src/scenes/shots.json")).jobs()) {
      job.shots().forEach(s -> listed.add(job.folder() + "/" + s.file()));
    }
    Set<String> found = new TreeSet<>();
    long bytes = 0;
    try (Stream<Path> walk = Files.walk(PHOTOS)) {
      for (Path p : walk.filter(Files::isRegularFile).toList()) {
        String name = PHOTOS.relativize(p).toString().replace('\\', '/');
        if (!name.endsWith(".json")) {
          found.add(name);
          bytes += Files.size(p);
        }
      }
    }
    assertEquals(found, told);
    assertTrue(listed.containsAll(found), "photos without an entry in shots.json: " + found);
    assertTrue(bytes < MOST_BYTES, "the photos take " + bytes + " bytes");
  }

  @Test
  void everyStopOfTheOverheadRouteHasAPhotoAndBothCamerasTookSome() {
    Set<String> stops = new HashSet<>();
    Set<String> cameras = new HashSet<>();
    for (Entry e : photos()) {
      if (e.job().get("route").asText().equals("overhead")) {
        stops.add(e.photo().get("stop").asText());
        cameras.add(e.photo().get("camera").asText());
      }
    }
    assertTrue(
        stops.containsAll(
            Set.of(
                "service-drop",
                "splice-and-drip-loop",
                "service-head-and-mast",
                "entrance-cable",
                "meter-and-base",
                "grounding-and-bonding",
                "main-disconnect",
                "panelboard",
                "branch-wiring",
                "receptacles-and-switches",
                "gfci-and-afci",
                "alarms")),
        stops.toString());
    assertEquals(Set.of("A", "B"), cameras);
  }

  @Test
  void camerasWriteTheirOwnClockAndOnlyThePhoneKnowsThePlace() throws Exception {
    for (Entry e : photos()) {
      Metadata metadata =
          ImageMetadataReader.readMetadata(new ByteArrayInputStream(Files.readAllBytes(e.file())));
      ExifSubIFDDirectory exif = metadata.getFirstDirectoryOfType(ExifSubIFDDirectory.class);
      ExifIFD0Directory root = metadata.getFirstDirectoryOfType(ExifIFD0Directory.class);
      GpsDirectory gps = metadata.getFirstDirectoryOfType(GpsDirectory.class);
      ExifThumbnailDirectory thumbnail =
          metadata.getFirstDirectoryOfType(ExifThumbnailDirectory.class);
      boolean phone = e.photo().get("camera").asText().equals("A");
      String fraction = exif.getString(ExifSubIFDDirectory.TAG_SUBSECOND_TIME_ORIGINAL);
      LocalDateTime written =
          LocalDateTime.parse(
              exif.getString(ExifSubIFDDirectory.TAG_DATETIME_ORIGINAL)
                  + "."
                  + (fraction + "00").substring(0, 3),
              EXIF);
      OffsetDateTime taken = OffsetDateTime.parse(e.photo().get("takenAt").asText());
      double fast = Duration.between(taken.toLocalDateTime(), written).toMillis() / 1000.0;
      double clock = 0;
      for (JsonNode camera : e.job().get("cameras")) {
        if (camera.get("camera").equals(e.photo().get("camera"))) {
          clock = camera.get("clockSeconds").asDouble();
        }
      }
      assertEquals(clock, fast, 0.011, e.toString());
      assertEquals(
          e.photo().get("orientation").asInt(),
          root.getInt(ExifIFD0Directory.TAG_ORIENTATION),
          e.toString());
      if (phone) {
        assertEquals(taken.getOffset().getId(), exif.getString(0x9011), e.toString());
        assertTrue(Math.abs(gps.getGeoLocation().getLatitude() - 40) < 0.1, e.toString());
        double late =
            Duration.between(gps.getGpsDate().toInstant(), taken.toInstant()).toMillis() / 1000.0;
        double oldest = underTheSky(e) ? 2 : 26;
        assertTrue(late >= 0 && late < oldest, e + ": the fix is " + late + " s old");
      } else {
        assertNull(exif.getString(0x9011), e.toString());
        assertNull(gps, e.toString());
        assertEquals(
            "K20-0047731",
            exif.getString(ExifSubIFDDirectory.TAG_BODY_SERIAL_NUMBER),
            e.toString());
        assertTrue(
            thumbnail.getInt(ExifThumbnailDirectory.TAG_THUMBNAIL_LENGTH) > 1000, e.toString());
      }
    }
  }

  @Test
  void exposureInTheMetadataFitsTheLight() throws Exception {
    for (Entry e : photos()) {
      Metadata metadata =
          ImageMetadataReader.readMetadata(new ByteArrayInputStream(Files.readAllBytes(e.file())));
      ExifSubIFDDirectory exif = metadata.getFirstDirectoryOfType(ExifSubIFDDirectory.class);
      double n = exif.getDouble(ExifSubIFDDirectory.TAG_FNUMBER);
      double t = exif.getDouble(ExifSubIFDDirectory.TAG_EXPOSURE_TIME);
      double iso = exif.getInt(ExifSubIFDDirectory.TAG_ISO_EQUIVALENT);
      // APEX: EV at ISO 100 = log2(N^2 / t) - log2(ISO / 100); Exif 2.32, annex C.
      double ev = (Math.log(n * n / t) - Math.log(iso / 100)) / Math.log(2);
      assertEquals(e.photo().get("ev100").asDouble(), ev, 0.06, e.toString());
      // Over-exposing on purpose is not a matter of the light.
      double light = e.photo().get("onPurpose").toString().contains("over-exposed") ? ev + 2.3 : ev;
      assertTrue(
          underTheSky(e) ? light > 11.5 && light < 15.5 : light > 3.5 && light < 8,
          e + " at EV " + ev);
    }
  }

  private static boolean underTheSky(Entry e) {
    String place = e.photo().get("place").asText();
    return place.endsWith("outside") || place.equals("job-card");
  }

  @Test
  void everythingThatIsOnPurposeIsThere() {
    Map<String, Integer> purposes = new TreeMap<>();
    Map<String, Integer> photosOf = new TreeMap<>();
    Set<String> defects = new TreeSet<>();
    int turned = 0;
    for (Entry e : photos()) {
      photosOf.merge(e.job().get("folder").asText(), 1, Integer::sum);
      e.photo().get("onPurpose").forEach(p -> purposes.merge(p.asText(), 1, Integer::sum));
      e.photo().get("defects").forEach(d -> defects.add(d.asText()));
      turned += e.photo().get("orientation").asInt() == 6 ? 1 : 0;
    }
    assertTrue(photosOf.get("wren-hollow-18") >= 48, photosOf.toString());
    assertTrue(photosOf.get("tansy-lane-7") >= 12, photosOf.toString());
    assertEquals(
        new TreeMap<>(
            Map.of(
                "blurred", 2,
                "burst-branches", 3,
                "burst-panel", 2,
                "clock-code", 2,
                "close-up-needs-wide", 2,
                "job-code", 4,
                "obstacle", 1,
                "other-systems", 5,
                "out-of-order", 1,
                "over-exposed", 1)),
        purposes);
    assertTrue(turned >= 1, "photos stored on their side: " + turned);
    assertTrue(
        defects.containsAll(
            Set.of(
                "insulation-cracked",
                "branches-on-drop",
                "head-below-splice",
                "sheath-frayed",
                "open-breaker-slot",
                "plate-missing",
                "receptacle-scorched",
                "aluminum-at-device",
                "open-knockout",
                "directory-blank",
                "alarm-missing")),
        defects.toString());
  }

  @Test
  void thePhotographedCodesSayWhichJobItIsAndWhatTimeItWas() throws IOException {
    for (Entry e : photos()) {
      if (e.photo().has("code")) {
        BufferedImage image = upright(e);
        String text = e.photo().get("code").asText();
        assertEquals(
            List.of(text), Codes.read(image).stream().map(Code::text).toList(), e.toString());
        Code code = Code.parse(text).orElseThrow();
        if (code.moment().isPresent()) {
          OffsetDateTime taken = OffsetDateTime.parse(e.photo().get("takenAt").asText());
          long age = Duration.between(code.moment().get(), taken.toInstant()).toMillis();
          assertTrue(age >= 0 && age < 1000, e + ": the screen is " + age + " ms old");
        } else {
          assertEquals(e.job().get("id").asText(), code.value(), e.toString());
        }
      }
    }
  }

  @Test
  void pointsProjectToWhereTheTruthPutsThem() {
    int points = 0;
    for (Entry e : photos()) {
      JsonNode p = e.photo();
      double w = 2 * Math.tan(Math.toRadians(p.get("horizontalFieldOfView").asDouble()) / 2);
      double h = 2 * Math.tan(Math.toRadians(p.get("verticalFieldOfView").asDouble()) / 2);
      assertEquals(
          p.get("width").asDouble() / p.get("height").asDouble(), w / h, 1e-4, e.toString());
      for (JsonNode part : p.get("parts")) {
        double[] d = new double[3];
        for (int i = 0; i < 3; i++) {
          d[i] = part.get("at").get(i).asDouble() - p.get("position").get(i).asDouble();
        }
        double depth = dot(d, p.get("forward"));
        assertEquals(
            0.5 + dot(d, p.get("right")) / depth / w,
            part.get("x").asDouble(),
            3e-4,
            e + " " + part);
        assertEquals(
            0.5 - dot(d, p.get("up")) / depth / h, part.get("y").asDouble(), 3e-4, e + " " + part);
        points++;
      }
    }
    assertTrue(points > 2 * photos().size(), points + " points");
  }

  private static double dot(double[] a, JsonNode b) {
    return a[0] * b.get(0).asDouble() + a[1] * b.get(1).asDouble() + a[2] * b.get(2).asDouble();
  }

  /** Only parts whose colour is known beforehand are looked at; blurred pictures are left out. */
  @Test
  void thePixelsAtThePointsAreTheParts() throws IOException {
    int looked = 0;
    for (Entry e : photos()) {
      String purpose = e.photo().get("onPurpose").toString();
      if (purpose.contains("blurred") || purpose.contains("over-exposed")) {
        continue;
      }
      BufferedImage image = upright(e);
      double[] plate = null;
      double[] breaker = null;
      for (JsonNode part : e.photo().get("parts")) {
        String which = part.get("which").asText();
        if (which.equals("scorched receptacle")) {
          plate = colour(image, part, 2);
        }
        if (which.equals("with test button, seventh row")) {
          breaker = colour(image, part, 1);
        }
      }
      for (JsonNode part : e.photo().get("parts")) {
        String id = part.get("part").asText();
        String which = part.get("which").asText();
        double[] c = colour(image, part, 1);
        String where =
            e
                + " "
                + id
                + " "
                + which
                + " "
                + Math.round(c[0])
                + " "
                + Math.round(c[1])
                + " "
                + Math.round(c[2]);
        if (id.equals("grounding-electrode-conductor")) {
          assertTrue(c[0] > 1.2 * c[2], where + ": bare copper is reddish");
          looked++;
        } else if (id.equals("receptacle") && which.equals("scorched") && plate != null) {
          assertTrue(light(c) < 0.6 * light(plate), where + ": soot is darker than the plate");
          looked++;
        } else if (id.equals("breaker") && which.startsWith("open slot")) {
          assertTrue(light(darkest(image, part, 0.006)) < 45, where + ": an open slot is dark");
          looked++;
        } else if (id.equals("drip-loop")) {
          assertTrue(light(darkest(image, part, 0.004)) < 80, where + ": insulation is dark");
          looked++;
        } else if (id.equals("service-drop") && which.equals("mid span")) {
          assertTrue(
              light(darkest(image, part, 0.004)) < 70, where + ": the drop is dark before the sky");
          looked++;
        } else if (id.equals("cover-plate") && which.equals("kitchen GFCI")) {
          assertTrue(light(c) > 100, where + ": the plate is white");
          looked++;
        } else if (id.equals("afci") && which.equals("upper") && breaker != null) {
          assertTrue(
              light(brightest(image, part, 0.004)) > light(breaker) + 30,
              where + ": the button is white");
          looked++;
        } else if (id.equals("knockout")) {
          assertTrue(light(darkest(image, part, 0.006)) < 60, where + ": an open knockout is dark");
          looked++;
        }
      }
    }
    assertTrue(looked >= 10, looked + " parts were looked at");
  }

  /**
   * Each deficiency shows in the pixels of at least one photo, at the point where the truth puts
   * it. What is looked for is what one would say of it in colours.
   */
  @Test
  void eachNamedDeficiencyCanBeSeenInThePixels() throws IOException {
    Set<String> seen = new TreeSet<>();
    for (Entry e : photos()) {
      String purpose = e.photo().get("onPurpose").toString();
      if (purpose.contains("blurred") || purpose.contains("over-exposed")) {
        continue;
      }
      BufferedImage image = null;
      for (JsonNode defect : e.photo().get("defects")) {
        String id = defect.asText();
        String[] anchor = ANCHORS.get(id);
        JsonNode part = anchor == null ? null : part(e, anchor[0], anchor[1]);
        if (part == null) {
          continue;
        }
        image = image == null ? upright(e) : image;
        if (shows(id, image, e, part)) {
          seen.add(id);
        }
      }
    }
    assertEquals(new TreeSet<>(ANCHORS.keySet()), seen);
  }

  /** By deficiency: part and the beginning of which one it is. */
  private static final Map<String, String[]> ANCHORS =
      Map.ofEntries(
          Map.entry("insulation-cracked", new String[] {"drip-loop", "low point"}),
          Map.entry("branches-on-drop", new String[] {"service-drop", "branches"}),
          Map.entry("head-below-splice", new String[] {"service-head", ""}),
          Map.entry("sheath-frayed", new String[] {"entrance-cable", "frayed"}),
          Map.entry("open-breaker-slot", new String[] {"breaker", "open slot"}),
          Map.entry("plate-missing", new String[] {"receptacle", "without plate"}),
          Map.entry("receptacle-scorched", new String[] {"receptacle", "scorched"}),
          Map.entry("aluminum-at-device", new String[] {"aluminum-branch-wire", ""}),
          Map.entry("open-knockout", new String[] {"knockout", "open"}),
          Map.entry("directory-blank", new String[] {"circuit-directory", "blank"}),
          Map.entry("alarm-missing", new String[] {"smoke-alarm", "missing"}));

  private static JsonNode part(Entry e, String id, String which) {
    for (JsonNode part : e.photo().get("parts")) {
      if (part.get("part").asText().equals(id) && part.get("which").asText().startsWith(which)) {
        return part;
      }
    }
    return null;
  }

  private static boolean shows(String id, BufferedImage image, Entry e, JsonNode part) {
    double dark = light(darkest(image, part, 0.008));
    double bright = light(brightest(image, part, 0.008));
    return switch (id) {
      // Light cracks in dark insulation.
      case "insulation-cracked" -> dark < 50 && bright > 110;
      case "branches-on-drop" ->
          any(image, part, 0.03, c -> c[1] > c[0] + 8 && c[1] > c[2] + 25)
              && any(image, part, 0.03, c -> light(c) < 60);
      case "head-below-splice" -> {
        JsonNode splice = part(e, "splice", "");
        yield splice != null
            && splice.get("y").asDouble() < part.get("y").asDouble()
            && splice.get("at").get(1).asDouble() > part.get("at").get(1).asDouble();
      }
      case "sheath-frayed" -> {
        JsonNode whole = part(e, "entrance-cable", "below the meter");
        yield whole != null && rough(image, part) > 1.5 * rough(image, whole);
      }
      case "open-breaker-slot" -> dark < 45;
      // The blue box round the device.
      case "plate-missing" -> any(image, part, 0.2, c -> c[2] > c[0] + 40);
      case "receptacle-scorched" -> {
        JsonNode plate = part(e, "cover-plate", "scorched");
        yield plate != null && light(colour(image, part, 1)) < 0.6 * light(colour(image, plate, 2));
      }
      // Neither reddish as copper nor yellowish as brass.
      case "aluminum-at-device" ->
          any(image, part, 0.006, c -> light(c) > 90 && Math.abs(c[0] - c[2]) < 25);
      case "open-knockout" -> dark < 60;
      // Paper with ruled lines at most.
      case "directory-blank" -> inked(image, part, 0.02) < 0.10;
      // The hole of the bracket, and its ring.
      case "alarm-missing" -> dark < 60 && light(brightest(image, part, 0.03)) > 120;
      default -> throw new IllegalArgumentException(id);
    };
  }

  private static boolean any(
      BufferedImage image, JsonNode part, double reach, Predicate<double[]> test) {
    int cx = (int) (part.get("x").asDouble() * image.getWidth());
    int cy = (int) (part.get("y").asDouble() * image.getHeight());
    int r = (int) Math.ceil(reach * image.getWidth());
    for (int y = Math.max(0, cy - r); y <= Math.min(image.getHeight() - 1, cy + r); y++) {
      for (int x = Math.max(0, cx - r); x <= Math.min(image.getWidth() - 1, cx + r); x++) {
        int rgb = image.getRGB(x, y);
        if (test.test(new double[] {rgb >> 16 & 255, rgb >> 8 & 255, rgb & 255})) {
          return true;
        }
      }
    }
    return false;
  }

  /** Share of pixels round a part that are much darker than the brightest one. */
  private static double inked(BufferedImage image, JsonNode part, double reach) {
    double paper = light(brightest(image, part, reach));
    int cx = (int) (part.get("x").asDouble() * image.getWidth());
    int cy = (int) (part.get("y").asDouble() * image.getHeight());
    int r = (int) Math.ceil(reach * image.getWidth());
    int dark = 0;
    int all = 0;
    for (int y = cy - r; y <= cy + r; y++) {
      for (int x = cx - r; x <= cx + r; x++) {
        int rgb = image.getRGB(x, y);
        dark +=
            light(new double[] {rgb >> 16 & 255, rgb >> 8 & 255, rgb & 255}) < 0.6 * paper ? 1 : 0;
        all++;
      }
    }
    return dark / (double) all;
  }

  /** Mean step of lightness from pixel to pixel down the picture, round a part. */
  private static double rough(BufferedImage image, JsonNode part) {
    int cx = (int) (part.get("x").asDouble() * image.getWidth());
    int cy = (int) (part.get("y").asDouble() * image.getHeight());
    int r = image.getWidth() / 100;
    double sum = 0;
    int n = 0;
    for (int y = Math.max(1, cy - r); y <= Math.min(image.getHeight() - 1, cy + r); y++) {
      for (int x = Math.max(0, cx - r); x <= Math.min(image.getWidth() - 1, cx + r); x++) {
        sum += Math.abs((image.getRGB(x, y) >> 8 & 255) - (image.getRGB(x, y - 1) >> 8 & 255));
        n++;
      }
    }
    return sum / n;
  }

  private static BufferedImage upright(Entry e) throws IOException {
    BufferedImage stored = ImageIO.read(e.file().toFile());
    int orientation = e.photo().get("orientation").asInt();
    if (orientation == 1) {
      return stored;
    }
    int w = e.photo().get("width").asInt();
    int h = e.photo().get("height").asInt();
    BufferedImage image = new BufferedImage(w, h, BufferedImage.TYPE_INT_RGB);
    for (int y = 0; y < h; y++) {
      for (int x = 0; x < w; x++) {
        // Exif 2.32, tag 0x0112: 6 = the first row is the right-hand side; 8 = the left-hand side;
        // 3 = bottom.
        int rgb =
            switch (orientation) {
              case 6 -> stored.getRGB(y, w - 1 - x);
              case 8 -> stored.getRGB(h - 1 - y, x);
              case 3 -> stored.getRGB(w - 1 - x, h - 1 - y);
              default -> throw new IllegalArgumentException("orientation " + orientation);
            };
        image.setRGB(x, y, rgb);
      }
    }
    return image;
  }

  private static double[] colour(BufferedImage image, JsonNode part, int r) {
    int cx = (int) (part.get("x").asDouble() * image.getWidth());
    int cy = (int) (part.get("y").asDouble() * image.getHeight());
    double[] sum = new double[3];
    int n = 0;
    for (int y = Math.max(0, cy - r); y <= Math.min(image.getHeight() - 1, cy + r); y++) {
      for (int x = Math.max(0, cx - r); x <= Math.min(image.getWidth() - 1, cx + r); x++) {
        int rgb = image.getRGB(x, y);
        sum[0] += rgb >> 16 & 255;
        sum[1] += rgb >> 8 & 255;
        sum[2] += rgb & 255;
        n++;
      }
    }
    return new double[] {sum[0] / n, sum[1] / n, sum[2] / n};
  }

  private static double[] darkest(BufferedImage image, JsonNode part, double reach) {
    return extreme(image, part, reach, 1);
  }

  private static double[] brightest(BufferedImage image, JsonNode part, double reach) {
    return extreme(image, part, reach, -1);
  }

  /** The darkest or brightest pixel within a reach given as a fraction of the width. */
  private static double[] extreme(BufferedImage image, JsonNode part, double reach, int sign) {
    int cx = (int) (part.get("x").asDouble() * image.getWidth());
    int cy = (int) (part.get("y").asDouble() * image.getHeight());
    int r = (int) Math.ceil(reach * image.getWidth());
    double[] best = null;
    for (int y = Math.max(0, cy - r); y <= Math.min(image.getHeight() - 1, cy + r); y++) {
      for (int x = Math.max(0, cx - r); x <= Math.min(image.getWidth() - 1, cx + r); x++) {
        int rgb = image.getRGB(x, y);
        double[] c = {rgb >> 16 & 255, rgb >> 8 & 255, rgb & 255};
        if (best == null || sign * light(c) < sign * light(best)) {
          best = c;
        }
      }
    }
    return best;
  }

  private static double light(double[] c) {
    return 0.2126 * c[0] + 0.7152 * c[1] + 0.0722 * c[2];
  }
}

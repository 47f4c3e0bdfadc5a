package meterside.scenes;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import meterside.job.Code;

/**
 * The declarative list of all sample photos, {@code src/scenes/shots.json}.
 *
 * @param jobs the jobs in file order
 */
record ShotList(List<JobShots> jobs) {

  /** The stored pixel size of every photo: long side. */
  static final int LONG_SIDE = 2016;

  /** The stored pixel size of every photo: short side. */
  static final int SHORT_SIDE = 1512;

  /** A screen shows a moment that is this old when it is photographed. */
  private static final Duration SCREEN_LAG = Duration.ofMillis(340);

  private static final DateTimeFormatter DAY =
      DateTimeFormatter.ofPattern("EEEE, d MMMM yyyy", Locale.ENGLISH);
  private static final DateTimeFormatter TIME =
      DateTimeFormatter.ofPattern("HH:mm:ss", Locale.ROOT);

  /**
   * One job's photos.
   *
   * @param id the job's folder name
   * @param folder the folder under {@code sample-photos}
   * @param site the invented address
   * @param zone the time zone of the house
   * @param route {@code overhead} or {@code underground}
   * @param latitude degrees north of the house's origin (open water, on purpose)
   * @param longitude degrees east of the house's origin
   * @param cameras the cameras by letter
   * @param shots the photos in the order of the list
   */
  record JobShots(
      String id,
      String folder,
      String site,
      LocalDate date,
      ZoneId zone,
      String route,
      double latitude,
      double longitude,
      Map<String, CameraBody> cameras,
      List<Shot> shots) {}

  /**
   * A camera that does not exist.
   *
   * @param crop 35 mm equivalent focal length divided by the real one
   * @param fNumbers f-number in dim light and in bright light
   * @param baseIso lowest sensitivity
   * @param clockSeconds camera clock minus true time, seconds
   * @param knowsPlace whether it writes zone, position, satellite time and heading
   * @param serial body serial number, empty if it writes none
   * @param thumbnail whether it embeds a thumbnail
   */
  record CameraBody(
      String make,
      String model,
      String software,
      double crop,
      double[] fNumbers,
      int baseIso,
      double clockSeconds,
      boolean knowsPlace,
      String serial,
      boolean thumbnail) {}

  /**
   * One photo.
   *
   * @param file path under the job's folder
   * @param at true local time
   * @param place include file under {@code src/scenes/places}, without ending
   * @param from camera position, metres in the place's frame
   * @param look point looked at
   * @param mm 35 mm equivalent focal length
   * @param tilt hand-held roll, degrees
   * @param portrait whether the camera was held upright
   * @param orientation EXIF orientation of the stored picture: 1, 3, 6 or 8
   * @param wallAzimuth true azimuth the camera looks to when it looks along +z, degrees
   * @param houseAt where the place's origin lies from the house's origin: metres east, north
   * @param evBase EV100 of a surface of radiance 1 in this place's light
   * @param ev how far the exposure misses, stops (positive is too bright)
   * @param blur hand movement in pixels: x, y
   * @param defocus out-of-focus disc, pixels
   * @param scale 1 renders every pixel; 2 renders half as many each way and enlarges them, as a
   *     small camera does that makes three colours of one pixel
   * @param set further POV-Ray declarations for this photo
   * @param code the code that is photographed, or null
   * @param defects ids of the deficiencies this photo is there to show
   * @param purpose what is special about it, ids of {@code docs/sample-house.md}
   */
  record Shot(
      String file,
      String camera,
      LocalDateTime at,
      String stop,
      String place,
      double[] from,
      double[] look,
      double mm,
      double tilt,
      boolean portrait,
      int orientation,
      double wallAzimuth,
      double[] houseAt,
      double evBase,
      double ev,
      double[] blur,
      double defocus,
      int scale,
      Map<String, String> set,
      Code code,
      List<String> defects,
      List<String> purpose) {

    /** The file's name without folder and ending. */
    String name() {
      String last = file.substring(file.lastIndexOf('/') + 1);
      return last.substring(0, last.lastIndexOf('.'));
    }

    /** Seed of everything random in this photo. */
    long seed() {
      return file.hashCode() * 2654435761L;
    }

    int uprightWidth() {
      return portrait ? SHORT_SIDE : LONG_SIDE;
    }

    int uprightHeight() {
      return portrait ? LONG_SIDE : SHORT_SIDE;
    }
  }

  static ShotList read(Path file) throws IOException {
    JsonNode root = new ObjectMapper().readTree(Files.readAllBytes(file));
    List<JobShots> jobs = new ArrayList<>();
    for (JsonNode job : root.get("jobs")) {
      Map<String, CameraBody> cameras = new LinkedHashMap<>();
      job.get("cameras").properties().forEach(e -> cameras.put(e.getKey(), camera(e.getValue())));
      Map<String, JsonNode> places = new LinkedHashMap<>();
      job.get("places").properties().forEach(e -> places.put(e.getKey(), e.getValue()));
      LocalDate date = LocalDate.parse(job.get("date").asText());
      List<Shot> shots = new ArrayList<>();
      for (JsonNode shot : job.get("shots")) {
        shots.add(shot(shot, job, date, places));
      }
      jobs.add(
          new JobShots(
              job.get("id").asText(),
              job.get("folder").asText(),
              job.get("site").asText(),
              date,
              ZoneId.of(job.get("zone").asText()),
              job.get("route").asText(),
              job.get("latitude").asDouble(),
              job.get("longitude").asDouble(),
              cameras,
              shots));
    }
    return new ShotList(jobs);
  }

  private static CameraBody camera(JsonNode n) {
    return new CameraBody(
        n.get("make").asText(),
        n.get("model").asText(),
        n.get("software").asText(),
        n.get("crop").asDouble(),
        numbers(n.get("fNumbers")),
        n.get("baseIso").asInt(),
        n.path("clockSeconds").asDouble(0),
        n.path("knowsPlace").asBoolean(false),
        n.path("serial").asText(""),
        n.path("thumbnail").asBoolean(false));
  }

  private static Shot shot(JsonNode n, JsonNode job, LocalDate date, Map<String, JsonNode> places) {
    String place = n.get("place").asText();
    JsonNode p = places.get(place);
    if (p == null) {
      throw new IllegalArgumentException(n.get("file").asText() + ": no place " + place);
    }
    boolean portrait = n.path("portrait").asBoolean(false);
    Map<String, String> set = new LinkedHashMap<>();
    p.path("set").properties().forEach(e -> set.put(e.getKey(), e.getValue().asText()));
    n.path("set").properties().forEach(e -> set.put(e.getKey(), e.getValue().asText()));
    LocalDateTime at = LocalDateTime.parse(date + "T" + n.get("at").asText());
    Code code = code(n.path("code").asText(""), job, at);
    if (code != null) {
      set.put("Card_Title", quoted(job.get("site").asText()));
      set.put("Card_Day", quoted(date.format(DAY)));
    }
    if (code != null && code.moment().isPresent()) {
      ZoneId zone = ZoneId.of(job.get("zone").asText());
      set.put("Card_Time", quoted(code.moment().get().atZone(zone).format(TIME)));
    }
    return new Shot(
        n.get("file").asText(),
        n.get("camera").asText(),
        at,
        n.get("stop").asText(),
        p.path("scene").asText(place),
        numbers(n.get("from")),
        numbers(n.get("look")),
        n.get("mm").asDouble(),
        n.path("tilt").asDouble(0),
        portrait,
        n.path("orientation").asInt(portrait ? 6 : 1),
        p.get("azimuth").asDouble(),
        numbers(p.get("at")),
        p.get("evBase").asDouble(),
        n.path("ev").asDouble(0),
        n.has("blur") ? numbers(n.get("blur")) : new double[] {0, 0},
        n.path("defocus").asDouble(0),
        n.path("scale").asInt(2),
        set,
        code,
        words(n.path("defects")),
        words(n.path("purpose")));
  }

  private static Code code(String kind, JsonNode job, LocalDateTime at) {
    return switch (kind) {
      case "" -> null;
      case "job" -> Code.job(job.get("id").asText());
      case "clock" ->
          Code.clock(at.atZone(ZoneId.of(job.get("zone").asText())).toInstant().minus(SCREEN_LAG));
      default -> throw new IllegalArgumentException("no code " + kind);
    };
  }

  /** A POV-Ray string. */
  private static String quoted(String words) {
    return '"' + words.replace("\"", "") + '"';
  }

  private static double[] numbers(JsonNode n) {
    double[] v = new double[n.size()];
    for (int i = 0; i < v.length; i++) {
      v[i] = n.get(i).asDouble();
    }
    return v;
  }

  private static List<String> words(JsonNode n) {
    List<String> v = new ArrayList<>();
    n.forEach(w -> v.add(w.asText()));
    return v;
  }
}

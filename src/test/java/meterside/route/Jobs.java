package meterside.route;

import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import meterside.job.Camera;
import meterside.job.Edit;
import meterside.job.Exposure;
import meterside.job.Format;
import meterside.job.Job;
import meterside.job.JobHeader;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.Position;
import meterside.job.Recorded;
import meterside.trade.Trade;

/** Invented jobs for the tests of this room. */
final class Jobs {
  static final ZoneId ZONE = ZoneId.of("America/Denver");
  static final LocalDateTime MORNING = LocalDateTime.of(2026, 5, 12, 9, 0, 0);

  private Jobs() {}

  static Job start(String route) {
    Trade trade = Trade.standard();
    Job job =
        Job.start(
            new JobHeader(
                JobHeader.FORMAT,
                "3f0e7a52-0000-4000-8000-000000000001",
                "18 Wren Hollow",
                LocalDate.of(2026, 5, 12),
                ZONE,
                trade.route(route),
                trade.profile("general")));
    for (String id : List.of("A", "B")) {
      job =
          new Edit.PutCamera(new Camera(id, "Make", "Model " + id, null, null, null)).applyTo(job);
    }
    return job;
  }

  static Job with(Job job, List<Photo> photos) {
    return new Edit.AddPhotos(photos).applyTo(job);
  }

  static PhotoId id(String name) {
    try {
      return new PhotoId(
          HexFormat.of()
              .formatHex(
                  MessageDigest.getInstance("SHA-256")
                      .digest(name.getBytes(StandardCharsets.UTF_8))));
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException(e);
    }
  }

  static Photo photo(String name, String camera, Recorded recorded, Double ev, Position position) {
    // At f/1 and ISO 100, EV100 is −log2 of the exposure time.
    Exposure exposure = ev == null ? null : new Exposure(1.0, Math.pow(2, -ev), 100.0);
    return new Photo(
        id(name),
        name,
        "",
        1000,
        Format.JPEG,
        "jpg",
        4000,
        3000,
        1,
        recorded,
        camera,
        exposure,
        position,
        null,
        null,
        null);
  }

  static Recorded at(LocalDateTime wall) {
    return recorded(wall, null, null);
  }

  /** A wall time with its offset, and the UTC of a fix; either may be null. */
  static Recorded recorded(LocalDateTime wall, String offset, LocalDateTime fix) {
    return new Recorded(
        wall.format(DateTimeFormatter.ofPattern("uuuu:MM:dd HH:mm:ss")),
        null,
        String.format(Locale.ROOT, "%03d", wall.getNano() / 1_000_000),
        offset,
        fix == null ? null : fix.format(DateTimeFormatter.ofPattern("uuuu:MM:dd")),
        fix == null
            ? null
            : fix.getHour()
                + ":"
                + fix.getMinute()
                + ":"
                + fix.getSecond()
                + "."
                + String.format(Locale.ROOT, "%03d", fix.getNano() / 1_000_000),
        null);
  }

  /**
   * A simulated walk photographed with two cameras, by turns: A is right, B is off and records no
   * position.
   *
   * @param offsetSeconds camera B's clock minus true time
   */
  static List<Photo> twoCameras(Walks.Walk walk, double offsetSeconds) {
    List<Photo> out = new ArrayList<>();
    java.util.Random random = new java.util.Random(walk.seed());
    boolean second = false;
    List<Photo> one = photos(walk);
    for (int t = 0; t < one.size(); t++) {
      second = random.nextDouble() < 0.25 ? random.nextDouble() < 0.4 : second;
      Photo p = one.get(t);
      Walks.Shot s = walk.shots().get(t);
      out.add(
          second
              ? photo(
                  "B_" + p.name(),
                  "B",
                  at(MORNING.plusNanos((long) ((s.seconds() + offsetSeconds) * 1e9))),
                  s.light(),
                  null)
              : p);
    }
    return out;
  }

  /** A simulated walk as photos. */
  static List<Photo> photos(Walks.Walk walk) {
    List<Photo> out = new ArrayList<>();
    for (int t = 0; t < walk.shots().size(); t++) {
      Walks.Shot s = walk.shots().get(t);
      Position position =
          walk.gps()
              ? new Position(40 + s.north() / 111_195, -105 + s.east() / 85_180, null, null, false)
              : null;
      out.add(
          photo(
              String.format(Locale.ROOT, "IMG_%04d.JPG", t + 1),
              "A",
              at(MORNING.plusNanos((long) (s.seconds() * 1e9))),
              s.light(),
              position));
    }
    return out;
  }
}

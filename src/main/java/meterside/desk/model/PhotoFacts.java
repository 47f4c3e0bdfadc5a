package meterside.desk.model;

import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import meterside.job.Camera;
import meterside.job.Clock;
import meterside.job.ClockBasis;
import meterside.job.Job;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.Placement;
import meterside.job.PlacementBasis;
import meterside.job.TimeBasis;
import meterside.job.TrueTime;
import meterside.report.Selection;

/**
 * The line below the photo.
 *
 * @param file file name
 * @param time time of day and how it is known
 * @param camera "Camera B" and what it is
 * @param size pixels of the upright photo, and whether it is sharp
 * @param place how it came to its stop
 * @param report whether it goes into the report
 * @param trouble what is wrong with the picture, or null
 */
public record PhotoFacts(
    String file,
    String time,
    String camera,
    String size,
    String place,
    String report,
    String trouble) {

  /** Below this part of the job's middle sharpness a photo may be soft. */
  private static final double SOFT = 0.25;

  private static final DateTimeFormatter SECONDS =
      DateTimeFormatter.ofPattern("HH:mm:ss", Locale.ROOT);

  /** The facts of a photo of a job. */
  public static PhotoFacts of(Job job, PhotoId id) {
    Photo p = job.photo(id);
    Camera c = job.cameras().get(p.camera());
    String camera = Words.say("facts.camera", p.camera());
    return new PhotoFacts(
        p.name(),
        time(job, p),
        c == null ? camera : camera + " · " + c.label(),
        size(job, p),
        place(job, id),
        report(job, id),
        p.trouble());
  }

  private static String time(Job job, Photo p) {
    TrueTime t = job.trueTime(p);
    if (t.basis() == TimeBasis.NONE) {
      return Words.say("time.none");
    }
    String at = SECONDS.format(t.at().atZone(job.zone()));
    List<String> how = new ArrayList<>();
    if (t.basis() == TimeBasis.FILE) {
      how.add(Words.say("time.file"));
    } else if (t.basis() == TimeBasis.GPS) {
      how.add(Words.say("time.gps"));
    } else {
      Clock clock = job.clock(p.camera());
      if (clock.basis() == ClockBasis.ASSUMED) {
        how.add(Words.say("time.assumed"));
      } else {
        how.add(offset(clock) + " (" + basis(clock.basis()) + ")");
      }
      if (t.basis() == TimeBasis.CAMERA_WITH_OFFSET) {
        how.add(Words.say("time.offset"));
      }
    }
    if (t.repeated()) {
      how.add(Words.say("time.repeated"));
    }
    if (t.shifted()) {
      how.add(Words.say("time.shifted"));
    }
    return at + " · " + String.join(", ", how);
  }

  /** "clock set back 58 s": what was done to the camera's clock. */
  static String offset(Clock clock) {
    long millis = clock.offsetMillis();
    if (Math.abs(millis) < 500) {
      return Words.say("time.right");
    }
    return Words.say(millis > 0 ? "time.back" : "time.on", duration(Math.abs(millis)));
  }

  private static String duration(long millis) {
    long s = Math.round(millis / 1000.0);
    if (s < 120) {
      return s + " s";
    }
    long h = s / 3600;
    long m = s % 3600 / 60;
    long rest = s % 60;
    StringBuilder out = new StringBuilder();
    if (h > 0) {
      out.append(h).append(" h ");
    }
    if (m > 0) {
      out.append(m).append(" min ");
    }
    if (rest > 0) {
      out.append(rest).append(" s");
    }
    return out.toString().strip();
  }

  private static String basis(ClockBasis basis) {
    return Words.say("clock." + basis.name().toLowerCase(Locale.ROOT).replace('_', '-'));
  }

  private static String size(Job job, Photo p) {
    if (p.uprightWidth() <= 0 || p.uprightHeight() <= 0) {
      return Words.say("facts.size-unknown");
    }
    String size = p.uprightWidth() + " × " + p.uprightHeight();
    String sharp = sharp(job, p);
    return sharp.isEmpty() ? size : size + " · " + sharp;
  }

  /** Sharpness only means something beside photos of the same camera. */
  private static String sharp(Job job, Photo p) {
    if (p.sharpness() == null) {
      return "";
    }
    double[] all =
        job.photos().values().stream()
            .filter(o -> o.camera().equals(p.camera()) && o.sharpness() != null)
            .mapToDouble(Photo::sharpness)
            .toArray();
    if (all.length < 5) {
      return "";
    }
    Arrays.sort(all);
    double middle = all[all.length / 2];
    return Words.say(p.sharpness() < SOFT * middle ? "facts.soft" : "facts.sharp");
  }

  private static String place(Job job, PhotoId id) {
    Placement at = job.placement(id).orElse(null);
    if (at == null) {
      return Words.say("place.none");
    }
    if (at.basis() == PlacementBasis.BY_HAND) {
      return Words.say("place.hand");
    }
    if (at.basis() == PlacementBasis.BY_CODE) {
      return Words.say("place.code");
    }
    return Words.say("place.inferred", sure(at.confidence()));
  }

  /**
   * "87 % sure", and at most "more than 99 % sure": what was sorted is never certain.
   *
   * @param confidence 0 to 1
   */
  static String sure(double confidence) {
    long percent = Math.round(confidence * 100);
    return percent > 99 ? Words.say("sure.most") : Words.say("sure", percent);
  }

  private static String report(Job job, PhotoId id) {
    if (job.aside().containsKey(id)) {
      return Words.say("report.aside");
    }
    if (job.notesToSelf().contains(id)) {
      return Words.say("report.note");
    }
    return Words.say(Selection.photos(job).contains(id) ? "report.in" : "report.not");
  }
}

package meterside.work;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import meterside.job.Edit;
import meterside.job.Format;
import meterside.job.Job;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.Sentences;

/**
 * Pairs HEIC photos with their JPEG twins: one shot that a phone or a program kept twice, under one
 * name, in one folder, of one moment. Both are kept; one of each pair is set aside, so that no shot
 * comes twice: the JPEG, unless the HEIC can't be shown here.
 */
public final class Twins {
  private Twins() {}

  /**
   * A shot that is there twice.
   *
   * @param heic the HEIC photo
   * @param jpeg its JPEG twin
   */
  public record Pair(Photo heic, Photo jpeg) {}

  /** The pairs of a job, in intake order. */
  public static List<Pair> of(Job job) {
    Map<String, Photo> jpegs = new HashMap<>();
    for (PhotoId id : job.intakeOrder()) {
      Photo p = job.photo(id);
      if (p.format() == Format.JPEG) {
        jpegs.putIfAbsent(key(p), p);
      }
    }
    List<Pair> out = new ArrayList<>();
    for (PhotoId id : job.intakeOrder()) {
      Photo p = job.photo(id);
      Photo jpeg = p.format() == Format.HEIC ? jpegs.get(key(p)) : null;
      if (jpeg != null && p.recorded().wall().equals(jpeg.recorded().wall())) {
        out.add(new Pair(p, jpeg));
      }
    }
    return out;
  }

  /** The edits that set one photo of each new pair aside. */
  static List<Edit> edits(Job job, List<PhotoId> fresh) {
    List<Edit> out = new ArrayList<>();
    for (Pair pair : of(job)) {
      boolean isNew = fresh.contains(pair.heic().id()) || fresh.contains(pair.jpeg().id());
      boolean done =
          job.aside().containsKey(pair.heic().id()) || job.aside().containsKey(pair.jpeg().id());
      if (isNew && !done) {
        Photo away = pair.heic().trouble() == null ? pair.jpeg() : pair.heic();
        Photo stays = away == pair.jpeg() ? pair.heic() : pair.jpeg();
        String reason = Sentences.in(Twins.class).say("twin.reason", stays.name());
        out.add(new Edit.SetAside(List.of(away.id()), true, reason));
      }
    }
    return out;
  }

  private static String key(Photo p) {
    int dot = p.name().lastIndexOf('.');
    String base = dot < 0 ? p.name() : p.name().substring(0, dot);
    return p.folder() + "/" + base.toLowerCase(Locale.ROOT);
  }
}

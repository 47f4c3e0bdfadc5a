package meterside.work;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import meterside.archive.JobFolder;
import meterside.job.Answer;
import meterside.job.DutyKey;
import meterside.job.Finding;
import meterside.job.Job;
import meterside.job.Mark;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.Placement;
import meterside.job.Progress;
import meterside.job.Sentences;
import meterside.job.StopKey;
import meterside.picture.Look;
import meterside.picture.Tones;

/**
 * Photos that the inspector may want to set aside. Nothing is done; a photo that shows a finding,
 * carries a mark or stands behind an answer is never suggested.
 *
 * <p>Near-duplicates are neighbours in time of one camera at one stop whose looks all but agree;
 * the sharpest is kept. A photo is called blurred beside like ones of the same camera, and too dark
 * or too light by its tones.
 *
 * @param all one for each photo, in true-time order
 * @param groups near-duplicates that belong together, each with two or more photos
 */
public record Suggestions(List<Suggestion> all, List<Group> groups) {

  /** Neighbours further apart than this are no near-duplicates. */
  private static final Duration NEAR = Duration.ofSeconds(45);

  /**
   * Looks at least this alike agree but for a step aside: on the sample house's photos a shift by 4
   * % of the width, a turn by 2 degrees or a step closer by 5 % stay above 0.979, and two different
   * photos of one stop lie at 0.90 and below.
   */
  static final double ALIKE = 0.97;

  /**
   * Below this part of the camera's middle sharpness a photo is blurred. A plain ceiling has a
   * tenth of what siding has, so only what lies well below that is called so.
   */
  private static final double BLURRED = 0.06;

  /** Below this part of the sharpness of a like photo at the same stop a photo is blurred. */
  private static final double BLURRED_BESIDE = 0.2;

  /** From here on two photos at a stop are of one thing. */
  private static final double SAME_THING = 0.85;

  /** Fewer photos of a camera tell nothing of its sharpness. */
  private static final int ENOUGH = 5;

  /** Why a photo may go. */
  public enum Why {
    /** Another shows the same. */
    NEAR_DUPLICATE,
    /** Out of focus or moved. */
    BLURRED,
    /** Hardly anything can be seen for darkness. */
    TOO_DARK,
    /** Hardly anything can be seen for light. */
    TOO_LIGHT
  }

  /**
   * One suggestion.
   *
   * @param photo the photo
   * @param why why it may go
   * @param better the photo that shows the same and stays, or null
   * @param sentence the reason in words
   */
  public record Suggestion(PhotoId photo, Why why, PhotoId better, String sentence) {}

  /**
   * Near-duplicates.
   *
   * @param photos in true-time order
   * @param best the one to keep
   */
  public record Group(List<PhotoId> photos, PhotoId best) {
    /** Copies the list. */
    public Group {
      photos = List.copyOf(photos);
    }
  }

  /** Nothing suggested. */
  public static final Suggestions NONE = new Suggestions(List.of(), List.of());

  /** Copies the lists. */
  public Suggestions {
    all = List.copyOf(all);
    groups = List.copyOf(groups);
  }

  /** Looks through a job; reads kept thumbnails and looks, never originals. */
  public static Suggestions of(Job job, JobFolder folder, Progress progress) {
    Set<PhotoId> used = used(job);
    Map<PhotoId, float[]> looks = new HashMap<>();
    Map<PhotoId, Suggestion> found = new HashMap<>();
    Map<String, Double> middles = new HashMap<>();
    List<Photo> order =
        job.inTrueOrder().stream().filter(p -> !job.aside().containsKey(p.id())).toList();
    int done = 0;
    for (Photo p : order) {
      if (progress.cancelled()) {
        return NONE;
      }
      look(folder, p.id()).ifPresent(l -> looks.put(p.id(), unit(l)));
      if (!used.contains(p.id())) {
        badlyExposed(folder, p).ifPresent(s -> found.put(p.id(), s));
      }
      progress.at(++done, order.size());
    }
    for (Photo p : order) {
      if (!used.contains(p.id()) && !found.containsKey(p.id()) && blurred(job, p, looks, middles)) {
        found.put(p.id(), new Suggestion(p.id(), Why.BLURRED, null, say("suggest.blurred")));
      }
    }
    List<Group> groups = groups(job, order, looks, used, found.keySet());
    for (Group g : groups) {
      for (PhotoId id : g.photos()) {
        if (!id.equals(g.best()) && !used.contains(id)) {
          Suggestion bad = found.get(id);
          found.put(
              id,
              bad == null
                  ? new Suggestion(
                      id,
                      Why.NEAR_DUPLICATE,
                      g.best(),
                      say("suggest.near-duplicate", job.photo(g.best()).name()))
                  : new Suggestion(id, bad.why(), g.best(), bad.sentence()));
        }
      }
    }
    return new Suggestions(
        order.stream().map(p -> found.get(p.id())).filter(Objects::nonNull).toList(), groups);
  }

  /** The suggestion for a photo. */
  public Optional<Suggestion> of(PhotoId id) {
    return all.stream().filter(s -> s.photo().equals(id)).findFirst();
  }

  /** The near-duplicates a photo belongs to. */
  public Optional<Group> group(PhotoId id) {
    return groups.stream().filter(g -> g.photos().contains(id)).findFirst();
  }

  private static Optional<Suggestion> badlyExposed(JobFolder folder, Photo p) {
    Tones tones = folder.thumbnail(p.id()).flatMap(Tones::ofJpeg).orElse(null);
    if (tones != null && tones.tooDark()) {
      return Optional.of(new Suggestion(p.id(), Why.TOO_DARK, null, say("suggest.too-dark")));
    }
    if (tones != null && tones.tooLight()) {
      return Optional.of(new Suggestion(p.id(), Why.TOO_LIGHT, null, say("suggest.too-light")));
    }
    return Optional.empty();
  }

  private static boolean blurred(
      Job job, Photo p, Map<PhotoId, float[]> looks, Map<String, Double> middles) {
    if (p.sharpness() == null) {
      return false;
    }
    double middle = middles.computeIfAbsent(p.camera(), c -> middleSharpness(job, c));
    if (p.sharpness() < BLURRED * middle) {
      return true;
    }
    float[] own = looks.get(p.id());
    if (own == null) {
      return false;
    }
    return job.photos().values().stream()
        .filter(o -> o.camera().equals(p.camera()) && o.sharpness() != null)
        .filter(o -> p.sharpness() < BLURRED_BESIDE * o.sharpness())
        .filter(o -> Objects.equals(stop(job, o), stop(job, p)) && looks.containsKey(o.id()))
        .anyMatch(o -> Look.alike(own, looks.get(o.id())) >= SAME_THING);
  }

  /** The middle sharpness of a camera's photos, or 0 if there are too few to tell. */
  private static double middleSharpness(Job job, String camera) {
    double[] all =
        job.photos().values().stream()
            .filter(o -> o.camera().equals(camera) && o.sharpness() != null)
            .mapToDouble(Photo::sharpness)
            .toArray();
    if (all.length < ENOUGH) {
      return 0;
    }
    Arrays.sort(all);
    return all[all.length / 2];
  }

  private static Optional<float[]> look(JobFolder folder, PhotoId id) {
    Optional<float[]> kept = folder.look(id).flatMap(Look::unpack);
    return kept.isPresent() ? kept : folder.thumbnail(id).flatMap(Look::ofJpeg);
  }

  private static List<Group> groups(
      Job job,
      List<Photo> order,
      Map<PhotoId, float[]> looks,
      Set<PhotoId> used,
      Set<PhotoId> bad) {
    List<Group> out = new ArrayList<>();
    Map<String, List<Photo>> runs = new HashMap<>();
    for (Photo p : order) {
      List<Photo> run = runs.computeIfAbsent(p.camera(), c -> new ArrayList<>());
      if (!run.isEmpty() && !alike(job, run.get(run.size() - 1), p, looks)) {
        close(run, used, bad, out);
        run.clear();
      }
      run.add(p);
    }
    runs.values().forEach(run -> close(run, used, bad, out));
    Map<PhotoId, Integer> at = new HashMap<>();
    for (Photo p : order) {
      at.put(p.id(), at.size());
    }
    out.sort(Comparator.comparing(g -> at.get(g.photos().get(0))));
    return out;
  }

  private static boolean alike(Job job, Photo a, Photo b, Map<PhotoId, float[]> looks) {
    float[] x = looks.get(a.id());
    float[] y = looks.get(b.id());
    if (x == null || y == null || !Objects.equals(stop(job, a), stop(job, b))) {
      return false;
    }
    Instant s = job.trueTime(a).at();
    Instant t = job.trueTime(b).at();
    boolean near = Duration.between(s, t).abs().compareTo(NEAR) <= 0;
    return near && Look.alike(x, y) >= ALIKE;
  }

  /** A kept look comes in steps of a byte; its length is not quite 1. */
  private static float[] unit(float[] v) {
    double sum = 0;
    for (float f : v) {
      sum += f * f;
    }
    double length = Math.sqrt(Math.max(sum, 1e-12));
    float[] out = new float[v.length];
    for (int i = 0; i < v.length; i++) {
      out[i] = (float) (v[i] / length);
    }
    return out;
  }

  private static StopKey stop(Job job, Photo p) {
    return job.placement(p.id()).map(Placement::at).orElse(null);
  }

  private static void close(List<Photo> run, Set<PhotoId> used, Set<PhotoId> bad, List<Group> out) {
    if (run.size() < 2) {
      return;
    }
    PhotoId best =
        run.stream()
            .max(
                Comparator.comparing((Photo p) -> used.contains(p.id()))
                    .thenComparing(p -> !bad.contains(p.id()))
                    .thenComparing(p -> p.sharpness() == null ? 0.0 : p.sharpness()))
            .map(Photo::id)
            .orElseThrow();
    out.add(new Group(run.stream().map(Photo::id).toList(), best));
  }

  /** Photos something rests on. */
  private static Set<PhotoId> used(Job job) {
    Set<PhotoId> out = new HashSet<>(job.notesToSelf());
    for (Mark m : job.marks().values()) {
      out.add(m.photo());
    }
    for (Finding f : job.findings().values()) {
      out.addAll(f.photos());
    }
    for (DutyKey key : job.dutyKeys()) {
      job.answer(key).map(Answer::photos).ifPresent(out::addAll);
    }
    job.tests().values().forEach(t -> out.addAll(t.photos()));
    return out;
  }

  private static String say(String key, Object... arguments) {
    return Sentences.in(Suggestions.class).say(key, arguments);
  }
}

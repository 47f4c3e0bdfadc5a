package meterside.report;

import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import meterside.job.Answer;
import meterside.job.DeviceTest;
import meterside.job.DutyKey;
import meterside.job.Finding;
import meterside.job.Job;
import meterside.job.Mark;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.Spot;
import meterside.job.StopKey;
import meterside.markup.Delivered;
import meterside.markup.Drawing;
import meterside.markup.Naming;
import meterside.trade.Trade;

/**
 * Which photos go into a report: every photo with a mark and every close photo tied to its spot in
 * a wide one, every photo that a finding, an answer or a device test names, and the first of each
 * stop; never one that is set aside or a note to self. Other systems are a stop like the others
 * here.
 */
public final class Selection {
  private Selection() {}

  /** The photos that a report of the job shows, in no order. The one place of this rule. */
  public static Set<PhotoId> photos(Job job) {
    Set<PhotoId> chosen = new HashSet<>(named(job).keySet());
    for (Mark mark : job.marks().values()) {
      chosen.add(mark.photo());
      if (mark instanceof Spot spot) {
        chosen.add(spot.close());
      }
    }
    Map<StopKey, List<Photo>> byStop = job.photosByStop();
    for (StopKey at : byStop.keySet()) {
      if (at != null) {
        firstOf(job, byStop, at).ifPresent(p -> chosen.add(p.id()));
      }
    }
    chosen.removeIf(id -> !delivered(job, id));
    return chosen;
  }

  /** The photos of the report as figures, in the order of the walk. */
  static List<Figure> figures(Job job, Trade trade) {
    Set<PhotoId> chosen = photos(job);
    Map<StopKey, List<Photo>> byStop = job.photosByStop();
    List<StopKey> order = inWalkingOrder(job, byStop.keySet());
    List<Figure> out = new ArrayList<>();
    int count = chosen.size();
    // Numbers first: a drawing names the figure that shows a part closely.
    Map<PhotoId, Integer> numbers = new LinkedHashMap<>();
    for (StopKey at : order) {
      for (Photo photo : byStop.getOrDefault(at, List.of())) {
        if (chosen.contains(photo.id())) {
          numbers.put(photo.id(), numbers.size() + 1);
        }
      }
    }
    Naming naming =
        new Naming(
            id -> Words.capital(trade.term(id)),
            id -> numbers.containsKey(id) ? Words.say("figure.label", numbers.get(id)) : null);
    for (StopKey at : order) {
      for (Photo photo : byStop.getOrDefault(at, List.of())) {
        if (chosen.contains(photo.id())) {
          int number = out.size() + 1;
          out.add(
              new Figure(
                  number,
                  photo,
                  at,
                  at == null ? Words.say("walk.unsorted") : job.title(at),
                  job.trueTime(photo),
                  Delivered.of(job, photo),
                  Drawing.delivered(job, photo, naming),
                  Drawing.in(Delivered.of(job, photo), job, photo, naming, null),
                  job.marksOn(photo.id()),
                  fileName(number, count, at, photo) + ".jpg"));
        }
      }
    }
    return out;
  }

  /**
   * The stops of the route with their instances in walking order, those of {@code more} among them:
   * unnamed instances beside their stop, stops of a route the job had before after the others, and
   * null last.
   */
  static List<StopKey> inWalkingOrder(Job job, Collection<StopKey> more) {
    Set<StopKey> all = new LinkedHashSet<>(job.stopKeys());
    all.addAll(more);
    List<StopKey> out = new ArrayList<>(all);
    out.sort(
        Comparator.comparingInt(
                (StopKey at) -> {
                  int index = at == null ? -1 : job.route().indexOf(at.stop());
                  return at == null ? Integer.MAX_VALUE : index < 0 ? Integer.MAX_VALUE - 1 : index;
                })
            .thenComparing(Comparator.nullsLast(Comparator.naturalOrder())));
    return out;
  }

  /** Whether a photo may be delivered at all. */
  static boolean delivered(Job job, PhotoId id) {
    return !job.aside().containsKey(id) && !job.notesToSelf().contains(id);
  }

  /** Photos that a finding, an answer or a device test names, each with what names it. */
  static Map<PhotoId, Set<String>> named(Job job) {
    Map<PhotoId, Set<String>> out = new LinkedHashMap<>();
    for (Finding finding : job.findings().values()) {
      finding.photos().forEach(p -> add(out, p, finding.label()));
    }
    for (DutyKey duty : job.dutyKeys()) {
      for (PhotoId p : job.answer(duty).map(Answer::photos).orElse(List.of())) {
        add(out, p, job.duty(duty).text());
      }
    }
    for (DeviceTest test : job.tests().values()) {
      String device = Words.humanize(test.part());
      test.photos().forEach(p -> add(out, p, device));
    }
    return out;
  }

  private static void add(Map<PhotoId, Set<String>> out, PhotoId photo, String by) {
    out.computeIfAbsent(photo, k -> new LinkedHashSet<>()).add(by);
  }

  /** The first photo of a stop that may be delivered, one that can be shown if there is any. */
  private static java.util.Optional<Photo> firstOf(
      Job job, Map<StopKey, List<Photo>> byStop, StopKey at) {
    List<Photo> here =
        byStop.getOrDefault(at, List.of()).stream().filter(p -> delivered(job, p.id())).toList();
    return here.stream()
        .filter(p -> p.trouble() == null)
        .findFirst()
        .or(() -> here.stream().findFirst());
  }

  /**
   * A name that sorts in the order of the figures and works on every system: number, stop, original
   * name, all without an extension; ASCII letters, digits, hyphen and underscore only.
   */
  static String fileName(int number, int count, StopKey at, Photo photo) {
    int width = Math.max(2, Integer.toString(count).length());
    String stop =
        at == null
            ? "unsorted"
            : at.instance().isEmpty() ? at.stop() : at.stop() + "-" + at.instance();
    int dot = photo.name().lastIndexOf('.');
    String base = plain(dot > 0 ? photo.name().substring(0, dot) : photo.name());
    return String.format(Locale.ROOT, "%0" + width + "d", number)
        + "-"
        + plain(stop)
        + "-"
        + (base.isEmpty() ? photo.id().brief() : base);
  }

  private static String plain(String text) {
    String out = text.replaceAll("[^A-Za-z0-9_-]+", "-").replaceAll("^-+|-+$", "");
    return out.length() > 60 ? out.substring(0, 60) : out;
  }
}

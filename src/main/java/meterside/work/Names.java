package meterside.work;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Collectors;
import meterside.job.Attachment;
import meterside.job.Duty;
import meterside.job.DutyKey;
import meterside.job.FindingKind;
import meterside.job.Job;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.RoutePlan;
import meterside.job.Stop;
import meterside.job.StopKey;
import meterside.trade.Part;
import meterside.trade.Trade;

/** Turns what people type into the job's stops, parts, photos and duties, or says what is near. */
public final class Names {
  private Names() {}

  /**
   * The one photo a text points at: an original file name, or the first characters of its SHA-256
   * where names repeat.
   *
   * @throws NotDone if there is none, or several
   */
  public static Photo photo(Job job, String text) {
    List<Photo> found = job.photosNamed(text.strip());
    if (found.isEmpty()) {
      throw new NotDone(NotDone.WRONG_USE, "photo.unknown", text);
    }
    if (found.size() > 1) {
      String ids =
          found.stream().map(p -> p.id().hex().substring(0, 12)).collect(Collectors.joining(", "));
      throw new NotDone(NotDone.WRONG_USE, "photo.ambiguous", found.size(), text, ids);
    }
    return found.get(0);
  }

  /**
   * The photo, or the video kept beside the photos, that a text points at, as for {@link #photo}.
   *
   * @throws NotDone if there is none, or several
   */
  public static PhotoId photoOrVideo(Job job, String text) {
    String typed = text.strip();
    if (job.photosNamed(typed).isEmpty()) {
      List<PhotoId> found =
          job.attachments().values().stream()
              .filter(
                  a ->
                      a.name().equals(typed)
                          || typed.length() >= 6 && a.id().hex().startsWith(typed))
              .map(Attachment::id)
              .toList();
      if (found.size() == 1) {
        return found.get(0);
      }
    }
    return photo(job, text).id();
  }

  /**
   * The stop a text names by id or title, with its instance after a {@code #}.
   *
   * @throws NotDone if the job's route has no such stop
   */
  public static StopKey stop(Job job, String text) {
    int hash = text.indexOf('#');
    String typed = (hash < 0 ? text : text.substring(0, hash)).strip();
    String instance = hash < 0 ? "" : text.substring(hash + 1).strip();
    for (Stop s : job.route().stops()) {
      if (s.id().equals(typed) || plain(s.id()).equals(plain(typed))) {
        return new StopKey(s.id(), instance);
      }
    }
    for (Stop s : job.route().stops()) {
      if (plain(s.title()).equals(plain(typed))) {
        return new StopKey(s.id(), instance);
      }
    }
    String all = job.route().stops().stream().map(Stop::id).collect(Collectors.joining(", "));
    throw new NotDone(NotDone.WRONG_USE, "stop.unknown", typed, all);
  }

  /**
   * The id of a stop of any route, by id or title.
   *
   * @throws NotDone if no route has such a stop
   */
  public static String stopOfAnyRoute(Trade trade, String text) {
    List<String> all = new ArrayList<>();
    for (RoutePlan route : trade.routes()) {
      for (Stop s : route.stops()) {
        if (plain(s.id()).equals(plain(text)) || plain(s.title()).equals(plain(text))) {
          return s.id();
        }
        if (!all.contains(s.id())) {
          all.add(s.id());
        }
      }
    }
    throw new NotDone(NotDone.WRONG_USE, "stop.unknown", text, String.join(", ", all));
  }

  /**
   * The part a text names by id, term, synonym, abbreviation or a listed slip.
   *
   * @throws NotDone if the trade knows no such part
   */
  public static Part part(Trade trade, String text) {
    Optional<Part> found = trade.resolve(text);
    if (found.isPresent()) {
      return found.get();
    }
    List<Part> near = trade.complete(text, null);
    throw near.isEmpty()
        ? new NotDone(NotDone.WRONG_USE, "part.unknown", text)
        : new NotDone(
            NotDone.WRONG_USE,
            "part.near",
            text,
            near.stream().limit(4).map(Part::id).collect(Collectors.joining(", ")));
  }

  /**
   * The duty of this id at a stop.
   *
   * @throws NotDone if the stop has no such duty
   */
  public static DutyKey duty(Job job, StopKey at, String text) {
    List<String> there = new ArrayList<>();
    for (Duty d : job.profile().duties()) {
      if (d.stop().equals(at.stop())) {
        if (plain(d.id()).equals(plain(text))) {
          return new DutyKey(at, d.id());
        }
        there.add(d.id());
      }
    }
    throw new NotDone(
        NotDone.WRONG_USE,
        there.isEmpty() ? "duty.none" : "duty.unknown",
        text,
        at,
        String.join(", ", there));
  }

  /**
   * The kind of finding a text names: {@code needs-correction}, {@code further-evaluation}, {@code
   * safety-improvement} or {@code note}.
   *
   * @throws NotDone if it names none
   */
  public static FindingKind kind(String text) {
    for (FindingKind k : FindingKind.values()) {
      if (plain(k.name()).equals(plain(text))) {
        return k;
      }
    }
    throw new NotDone(NotDone.WRONG_USE, "kind.unknown", text);
  }

  /** A value of an enumeration by its written form, whatever the case and hyphens. */
  public static <E extends Enum<E>> E value(Class<E> type, String text) {
    for (E e : type.getEnumConstants()) {
      if (plain(e.name()).equals(plain(text))) {
        return e;
      }
    }
    List<String> all = new ArrayList<>();
    for (E e : type.getEnumConstants()) {
      all.add(id(e));
    }
    throw new NotDone(NotDone.WRONG_USE, "value.unknown", text, String.join(", ", all));
  }

  /** The written form of a value: lower case with hyphens. */
  public static String id(Enum<?> value) {
    return value.name().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  private static String plain(String text) {
    return text.strip().toLowerCase(Locale.ROOT).replace('_', '-').replace(' ', '-');
  }
}

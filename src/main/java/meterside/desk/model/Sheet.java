package meterside.desk.model;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import meterside.desk.model.Walk.StopView;
import meterside.desk.model.Walk.Thumb;
import meterside.job.Attachment;
import meterside.job.Edit;
import meterside.job.PhotoId;
import meterside.job.StopKey;
import meterside.work.Suggestions;

/**
 * The sheet: photos of a stop, of the whole walk, or those that may go, in large pictures. What is
 * selected and shown is the desk's own selection, so that the walk and the sheet agree.
 */
public final class Sheet {
  /** Most photos that are looked at side by side. */
  public static final int MOST_BESIDE = 4;

  /** What is laid out. */
  public enum Scope {
    /** The photos of the stop shown. */
    STOP,
    /** All photos, stop by stop. */
    WALK,
    /** Photos suggested for setting aside, near-duplicates with what they are like. */
    SUGGESTED
  }

  /**
   * A part of the sheet under one heading.
   *
   * @param title the stop, or the reason
   * @param photos its photos
   */
  public record Part(String title, List<Thumb> photos) {
    /** Copies the list. */
    public Part {
      photos = List.copyOf(photos);
    }
  }

  private final JobDesk desk;
  private Scope scope = Scope.STOP;
  private StopKey at;
  private Suggestions suggestions = Suggestions.NONE;
  private boolean looked;

  /** A sheet of a job. */
  public Sheet(JobDesk desk) {
    this.desk = desk;
    this.at = desk.stop();
  }

  /** What is laid out. */
  public Scope scope() {
    return scope;
  }

  /** The stop that {@link Scope#STOP} shows. */
  public StopKey at() {
    return at;
  }

  /** Lays out something else; a stop is the one that is shown then. */
  public void scope(Scope next) {
    scope = next;
    if (next == Scope.STOP) {
      at = desk.stop();
    }
  }

  /** Lays out the stop after, or before if negative, that has photos. */
  public void stepStop(int by) {
    List<StopView> stops = desk.walk().stops().stream().filter(s -> !s.empty()).toList();
    int here = -1;
    for (int i = 0; i < stops.size(); i++) {
      if (Objects.equals(stops.get(i).key(), at)) {
        here = i;
      }
    }
    if (stops.isEmpty()) {
      return;
    }
    int to = Math.max(0, Math.min(stops.size() - 1, here + by));
    at = stops.get(to).key();
    scope = Scope.STOP;
    desk.show(stops.get(to).photos().get(0).id());
  }

  /** What the heading says. */
  public String title() {
    return switch (scope) {
      case STOP -> at == null ? Words.say("walk.unsorted") : desk.job().title(at);
      case WALK -> Words.say("lay.walk");
      case SUGGESTED ->
          order().isEmpty()
              ? Words.say("lay.suggested")
              : Words.say("lay.suggested.of", mayGo().size(), order().size());
    };
  }

  /** The parts of the sheet; those without photos are left out. */
  public List<Part> parts() {
    List<Part> out = new ArrayList<>();
    if (scope == Scope.SUGGESTED) {
      return suggested();
    }
    for (StopView s : desk.walk().stops()) {
      boolean shown = scope == Scope.WALK || Objects.equals(s.key(), at);
      if (shown && !s.empty()) {
        out.add(new Part(s.title(), s.photos()));
      }
    }
    return out;
  }

  /**
   * Videos kept beside the photos, in the order of their names; shown with the whole walk only,
   * since they are at no stop.
   */
  public List<Attachment> videos() {
    return scope != Scope.WALK
        ? List.of()
        : desk.job().attachments().values().stream()
            .sorted(Comparator.comparing(Attachment::name).thenComparing(a -> a.id().hex()))
            .toList();
  }

  /** "1.4 MB", for a video's tile. */
  public static String size(Attachment video) {
    return String.format(Locale.ROOT, "%.1f MB", video.bytes() / 1e6);
  }

  private List<Part> suggested() {
    Map<PhotoId, Thumb> thumbs = new LinkedHashMap<>();
    desk.walk().order().forEach(t -> thumbs.put(t.id(), t));
    List<Part> out = new ArrayList<>();
    for (Suggestions.Group g : suggestions.groups()) {
      List<Thumb> photos = present(g.photos(), thumbs);
      long left = photos.stream().filter(t -> !t.aside()).count();
      if (left > 1) {
        out.add(new Part(Words.say("lay.alike"), photos));
      }
    }
    for (Suggestions.Why why : Suggestions.Why.values()) {
      List<PhotoId> ids =
          suggestions.all().stream()
              .filter(s -> s.why() == why && why != Suggestions.Why.NEAR_DUPLICATE)
              .map(Suggestions.Suggestion::photo)
              .toList();
      List<Thumb> photos = present(ids, thumbs).stream().filter(t -> !t.aside()).toList();
      if (!photos.isEmpty()) {
        out.add(
            new Part(
                Words.say("lay.why." + why.name().toLowerCase(Locale.ROOT).replace('_', '-')),
                photos));
      }
    }
    return out;
  }

  private static List<Thumb> present(List<PhotoId> ids, Map<PhotoId, Thumb> thumbs) {
    return ids.stream().map(thumbs::get).filter(Objects::nonNull).toList();
  }

  /** All photos in the order they are laid out. */
  public List<Thumb> order() {
    return parts().stream().flatMap(p -> p.photos().stream()).toList();
  }

  /** "31 photos, 2 set aside". */
  public String count() {
    List<Thumb> all = order();
    long aside = all.stream().filter(Thumb::aside).count();
    String photos = Words.count("head.photos", all.size());
    return aside == 0 ? photos : photos + ", " + Words.say("lay.aside", aside);
  }

  // ---- moving along ----

  /**
   * Moves by so many photos, back if negative.
   *
   * @param extend whether everything on the way is selected too
   */
  public void step(int by, boolean extend) {
    List<Thumb> all = order();
    if (all.isEmpty()) {
      return;
    }
    int here = indexOf(all, desk.current());
    int to = here < 0 ? 0 : Math.max(0, Math.min(all.size() - 1, here + by));
    if (!extend || here < 0) {
      desk.show(all.get(to).id());
      return;
    }
    int way = to < here ? -1 : 1;
    for (int i = here; i != to; i += way) {
      PhotoId next = all.get(i + way).id();
      if (desk.selection().contains(next)) {
        desk.toggle(all.get(i).id());
      } else {
        desk.toggle(next);
      }
    }
  }

  /**
   * Moves up or down by so many rows.
   *
   * @param across photos in a row
   */
  public void stepRow(int by, int across, boolean extend) {
    List<Part> parts = parts();
    int row = 0;
    for (int p = 0; p < parts.size(); p++) {
      int k = indexOf(parts.get(p).photos(), desk.current());
      if (k < 0) {
        continue;
      }
      int column = k % across;
      row = k / across + by;
      int rows = (parts.get(p).photos().size() + across - 1) / across;
      if (row < 0 && p > 0) {
        int size = parts.get(p - 1).photos().size();
        int last = (size - 1) / across;
        jump(parts.get(p - 1), last * across + column, k, extend);
      } else if (row >= rows && p + 1 < parts.size()) {
        jump(parts.get(p + 1), column, k, extend);
      } else if (row >= 0 && row < rows) {
        jump(parts.get(p), row * across + column, k, extend);
      }
      return;
    }
    step(0, false);
  }

  private void jump(Part to, int index, int from, boolean extend) {
    Thumb t = to.photos().get(Math.max(0, Math.min(to.photos().size() - 1, index)));
    step(indexOf(order(), t.id()) - indexOf(order(), desk.current()), extend);
  }

  /** Selects everything that is laid out. */
  public void selectAll() {
    List<Thumb> all = order();
    if (all.isEmpty()) {
      return;
    }
    desk.show(all.get(0).id());
    for (Thumb t : all.subList(1, all.size())) {
      if (!desk.selection().contains(t.id())) {
        desk.toggle(t.id());
      }
    }
  }

  private static int indexOf(List<Thumb> all, PhotoId id) {
    for (int i = 0; i < all.size(); i++) {
      if (all.get(i).id().equals(id)) {
        return i;
      }
    }
    return -1;
  }

  // ---- suggestions ----

  /** Looks for photos that may go; told when it is done. */
  public void look(Runnable then) {
    if (looked) {
      then.run();
      return;
    }
    desk.tasks()
        .start(
            Words.say("task.suggest"),
            progress -> Suggestions.of(desk.job(), desk.session().folder(), progress),
            found -> {
              suggestions = found;
              looked = true;
              then.run();
            });
  }

  /** Looks anew at the next {@link #look}: photos came in. */
  public void changed() {
    looked = false;
  }

  /** What was found. */
  public Suggestions suggestions() {
    return suggestions;
  }

  /** The photos laid out under {@link Scope#SUGGESTED} that may go, those set aside left out. */
  public List<PhotoId> mayGo() {
    return suggested().stream()
        .flatMap(p -> p.photos().stream())
        .filter(t -> !t.aside() && suggestions.of(t.id()).isPresent())
        .map(Thumb::id)
        .distinct()
        .toList();
  }

  /** Why a photo may go, or empty. */
  public Optional<String> why(PhotoId id) {
    return suggestions.of(id).map(Suggestions.Suggestion::sentence);
  }

  /** Sets aside everything that was suggested and is laid out, in one step. */
  public void takeSuggestions() {
    List<Edit> edits = new ArrayList<>();
    for (PhotoId id : mayGo()) {
      edits.add(new Edit.SetAside(List.of(id), true, why(id).orElse(null)));
    }
    if (!edits.isEmpty()) {
      desk.act(false, () -> edits, () -> {});
    }
  }

  // ---- side by side ----

  /**
   * The photos to look at side by side: those selected if they are two or more, else the
   * near-duplicates of the photo shown, else its neighbours at the stop.
   */
  public List<PhotoId> beside() {
    List<PhotoId> chosen =
        order().stream().map(Thumb::id).filter(desk.selection()::contains).toList();
    if (chosen.size() < 2 && desk.current() != null) {
      chosen =
          suggestions
              .group(desk.current())
              .map(Suggestions.Group::photos)
              .orElse(neighbours(desk.current()));
    }
    List<PhotoId> out = new ArrayList<>(chosen);
    // The photo shown is always among them.
    if (out.size() > MOST_BESIDE) {
      int here = Math.max(0, out.indexOf(desk.current()));
      int from = Math.max(0, Math.min(here - 1, out.size() - MOST_BESIDE));
      out = out.subList(from, from + MOST_BESIDE);
    }
    return List.copyOf(out);
  }

  private List<PhotoId> neighbours(PhotoId id) {
    List<Thumb> here = desk.walk().stopOf(id).map(StopView::photos).orElse(List.of());
    int at = indexOf(here, id);
    if (at < 0 || here.size() < 2) {
      return List.of();
    }
    int from = Math.max(0, Math.min(at, here.size() - 2));
    return here.subList(from, from + 2).stream().map(Thumb::id).toList();
  }

  /** Labels of the findings a photo shows ("F1"); such a photo is never set aside with others. */
  public List<String> findings(PhotoId id) {
    return desk.walk().order().stream()
        .filter(t -> t.id().equals(id))
        .findFirst()
        .map(Thumb::findings)
        .orElse(List.of());
  }

  /**
   * Keeps one of several that show the same and sets the others aside, in one step. One that shows
   * a finding stays.
   */
  public void keepBest(PhotoId best, List<PhotoId> all) {
    List<PhotoId> others =
        all.stream().filter(id -> !id.equals(best) && findings(id).isEmpty()).toList();
    if (others.isEmpty()) {
      if (all.size() > 1) {
        desk.tasks().say(Notice.said(Words.say("beside.all-stay")));
      }
      return;
    }
    String why = Words.say("lay.reason", desk.job().photo(best).name());
    List<Edit> edits = new ArrayList<>();
    edits.add(new Edit.SetAside(others, true, why));
    if (desk.job().aside().containsKey(best)) {
      edits.add(new Edit.SetAside(List.of(best), false, null));
    }
    desk.act(false, () -> edits, () -> desk.show(best));
  }
}

package meterside.job;

import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.time.zone.ZoneOffsetTransition;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.SortedMap;
import java.util.TreeSet;
import java.util.function.Consumer;
import org.pcollections.HashTreePMap;
import org.pcollections.HashTreePSet;
import org.pcollections.OrderedPSet;
import org.pcollections.PMap;
import org.pcollections.PSet;
import org.pcollections.PVector;
import org.pcollections.TreePMap;
import org.pcollections.TreePVector;

/**
 * A job at one moment: photos, what was said about them, findings and answers. Immutable; an {@link
 * Edit} makes the next one. Changing one thing shares all the rest, so keeping every past state for
 * undo is cheap.
 */
public final class Job {
  private final JobHeader header;
  private final String site;
  private final ZoneId zone;
  private final RoutePlan route;
  private final DutyProfile profile;
  private final PSet<StopKey> instances;
  private final TreePMap<String, String> facts;
  private final TreePMap<String, Camera> cameras;
  private final PMap<String, Clock> clocks;
  private final PVector<PhotoId> intakeOrder;
  private final PMap<PhotoId, Photo> photos;
  private final PMap<PhotoId, Placement> placements;
  private final PMap<PhotoId, PSet<StopKey>> also;
  private final PMap<PhotoId, String> aside;
  private final PSet<PhotoId> notesToSelf;
  private final TreePMap<Integer, Mark> marks;
  private final PMap<PhotoId, PVector<Integer>> marksByPhoto;
  private final PMap<PhotoId, ReportView> views;
  private final TreePMap<Integer, Finding> findings;
  private final TreePMap<Integer, String> withdrawn;
  private final PMap<DutyKey, Answer> answers;
  private final TreePMap<Integer, DeviceTest> tests;
  private final PMap<DutyKey, PVector<RoomCount>> counts;
  private final PVector<IssuedReport> reports;
  private final PMap<PhotoId, PVector<String>> codes;
  private final PMap<PhotoId, Source> sources;
  private final PMap<PhotoId, Attachment> attachments;
  private final PMap<PhotoId, WithdrawnPhoto> gone;
  private final Packaging packaging;
  private final PVector<Extract> extracts;
  private final LocalDate keepUntil;
  private final String hold;
  private final String solver;

  // Derived once and handed on while photos, clocks and zone stay the same.
  private volatile List<Photo> trueOrder;

  /** The job as its header starts it. */
  public static Job start(JobHeader header) {
    return new Job(new Copy(header));
  }

  private Job(Copy c) {
    header = c.header;
    site = c.site;
    zone = c.zone;
    route = c.route;
    profile = c.profile;
    instances = c.instances;
    facts = c.facts;
    cameras = c.cameras;
    clocks = c.clocks;
    intakeOrder = c.intakeOrder;
    photos = c.photos;
    placements = c.placements;
    also = c.also;
    aside = c.aside;
    notesToSelf = c.notesToSelf;
    marks = c.marks;
    marksByPhoto = c.marksByPhoto;
    views = c.views;
    findings = c.findings;
    withdrawn = c.withdrawn;
    answers = c.answers;
    tests = c.tests;
    counts = c.counts;
    reports = c.reports;
    codes = c.codes;
    sources = c.sources;
    attachments = c.attachments;
    gone = c.gone;
    packaging = c.packaging;
    extracts = c.extracts;
    keepUntil = c.keepUntil;
    hold = c.hold;
    solver = c.solver;
  }

  // ---- what the job holds ----

  /** What the job started from. */
  public JobHeader header() {
    return header;
  }

  /** The house, as the inspector names it. */
  public String site() {
    return site;
  }

  /** Time zone of the house. */
  public ZoneId zone() {
    return zone;
  }

  /** The route. */
  public RoutePlan route() {
    return route;
  }

  /** The duties' profile. */
  public DutyProfile profile() {
    return profile;
  }

  /** Named instances of stops, in the order they were named. */
  public Set<StopKey> instances() {
    return instances;
  }

  /** Job facts by key. */
  public SortedMap<String, String> facts() {
    return facts;
  }

  /** Cameras by id. */
  public SortedMap<String, Camera> cameras() {
    return cameras;
  }

  /** The clock of a camera; {@link Clock#ASSUMED} if nothing was said. */
  public Clock clock(String camera) {
    return clocks.getOrDefault(camera, Clock.ASSUMED);
  }

  /** Photos in the order they came in. */
  public List<PhotoId> intakeOrder() {
    return intakeOrder;
  }

  /** Photos by id. */
  public Map<PhotoId, Photo> photos() {
    return photos;
  }

  /** A photo that is known to be in the job. */
  public Photo photo(PhotoId id) {
    return requirePhoto(id);
  }

  /** Where a photo lies; empty if it was not sorted yet. */
  public Optional<Placement> placement(PhotoId id) {
    return Optional.ofNullable(placements.get(id));
  }

  /** Further stops that a photo serves. */
  public Set<StopKey> alsoServes(PhotoId id) {
    PSet<StopKey> more = also.get(id);
    return more == null ? Set.of() : more;
  }

  /** Photos set aside, each with the reason (may be empty). */
  public Map<PhotoId, String> aside() {
    return aside;
  }

  /** Photos that are notes to self. */
  public Set<PhotoId> notesToSelf() {
    return notesToSelf;
  }

  /** Marks by number. */
  public SortedMap<Integer, Mark> marks() {
    return marks;
  }

  /** Marks on a photo, in the order they were drawn. */
  public List<Mark> marksOn(PhotoId id) {
    PVector<Integer> ids = marksByPhoto.get(id);
    if (ids == null) {
      return List.of();
    }
    List<Mark> out = new ArrayList<>(ids.size());
    for (Integer i : ids) {
      out.add(marks.get(i));
    }
    return out;
  }

  /** How a photo is shown in what is delivered; as it was taken if nothing was said. */
  public ReportView reportView(PhotoId id) {
    return views.getOrDefault(id, ReportView.AS_TAKEN);
  }

  /**
   * The wide photos that show where a close photo was taken: the spots tied to it, by number of the
   * mark.
   */
  public List<Spot> spotsOf(PhotoId close) {
    List<Spot> out = new ArrayList<>();
    for (Mark m : marks.values()) {
      if (m instanceof Spot s && s.close().equals(close)) {
        out.add(s);
      }
    }
    return out;
  }

  /** Findings by number. */
  public SortedMap<Integer, Finding> findings() {
    return findings;
  }

  /** Numbers of withdrawn findings, each with the reason. */
  public SortedMap<Integer, String> withdrawn() {
    return withdrawn;
  }

  /** The answer to a duty; empty while it is open. */
  public Optional<Answer> answer(DutyKey duty) {
    return Optional.ofNullable(answers.get(duty));
  }

  /** Device tests by number. */
  public SortedMap<Integer, DeviceTest> tests() {
    return tests;
  }

  /** What was counted by room for a sampled duty, in the order the rooms were first counted. */
  public List<RoomCount> counts(DutyKey duty) {
    PVector<RoomCount> rooms = counts.get(duty);
    return rooms == null ? List.of() : rooms;
  }

  /** Reports issued so far. */
  public List<IssuedReport> reports() {
    return reports;
  }

  /**
   * The codes that were read in a photo; those of a kind this program does not know are left out.
   */
  public List<Code> codes(PhotoId id) {
    PVector<String> texts = codes.get(id);
    return texts == null
        ? List.of()
        : texts.stream().map(Code::parse).flatMap(Optional::stream).toList();
  }

  /** Where a photo came from; empty if nobody noted it. */
  public Optional<Source> source(PhotoId id) {
    return Optional.ofNullable(sources.get(id));
  }

  /** Files kept beside the photos, by their hash. */
  public Map<PhotoId, Attachment> attachments() {
    return attachments;
  }

  /** Photos and files kept beside them that were withdrawn; their bytes are gone. */
  public Map<PhotoId, WithdrawnPhoto> withdrawnPhotos() {
    return gone;
  }

  /** The evidence package that is being made or was made of the job; empty if it is open. */
  public Optional<Packaging> packaging() {
    return Optional.ofNullable(packaging);
  }

  /** Parts of it that were handed out, in order. */
  public List<Extract> extracts() {
    return extracts;
  }

  /** The last day on which the job must be kept; empty if nothing was said. */
  public Optional<LocalDate> keepUntil() {
    return Optional.ofNullable(keepUntil);
  }

  /** Why the job is held (a complaint, a claim); empty if it is not. */
  public Optional<String> hold() {
    return Optional.ofNullable(hold);
  }

  /** The solver that last sorted the job; empty if none did. */
  public String solver() {
    return solver;
  }

  // ---- what follows from it ----

  /** Every stop with its instances, in the route's order: where photos and duties can lie. */
  public List<StopKey> stopKeys() {
    List<StopKey> out = new ArrayList<>();
    for (Stop stop : route.stops()) {
      out.add(StopKey.of(stop.id()));
      for (StopKey instance : new TreeSet<>(instances)) {
        if (instance.stop().equals(stop.id()) && !instance.instance().isEmpty()) {
          out.add(instance);
        }
      }
    }
    return out;
  }

  /** What the screen calls a stop or an instance. */
  public String title(StopKey at) {
    String stop = route.stop(at.stop()).map(Stop::title).orElse(at.stop());
    return at.instance().isEmpty() ? stop : stop + ": " + at.instance();
  }

  /** Every duty of the job, those of named instances too, in the route's order. */
  public List<DutyKey> dutyKeys() {
    List<DutyKey> out = new ArrayList<>();
    for (StopKey at : stopKeys()) {
      for (Duty duty : profile.duties()) {
        if (duty.stop().equals(at.stop())) {
          out.add(new DutyKey(at, duty.id()));
        }
      }
    }
    return out;
  }

  /** The duty of a key. */
  public Duty duty(DutyKey key) {
    return requireDuty(key);
  }

  /** Duties without an answer; own habits do not count. */
  public List<DutyKey> openDuties() {
    List<DutyKey> out = new ArrayList<>();
    for (DutyKey key : dutyKeys()) {
      if (!answers.containsKey(key) && duty(key).kind() != DutyKind.OWN_HABIT) {
        out.add(key);
      }
    }
    return out;
  }

  /** When a photo was taken, by the job's zone and the camera's clock as they are now. */
  public TrueTime trueTime(Photo photo) {
    Recorded r = photo.recorded();
    Duration off = Duration.ofMillis(clock(photo.camera()).offsetMillis());
    Optional<LocalDateTime> wall = r.wall();
    if (wall.isPresent()) {
      LocalDateTime corrected = wall.get().minus(off);
      Optional<ZoneOffset> own = r.zoneOffset();
      if (own.isPresent()) {
        return new TrueTime(
            corrected.toInstant(own.get()), TimeBasis.CAMERA_WITH_OFFSET, false, false);
      }
      ZoneOffsetTransition change = zone.getRules().getTransition(corrected);
      boolean repeated = change != null && change.isOverlap();
      boolean shifted = change != null && change.isGap();
      // ofLocal takes the earlier of two and moves a missing time forward by the gap.
      return new TrueTime(corrected.atZone(zone).toInstant(), TimeBasis.CAMERA, repeated, shifted);
    }
    Optional<Instant> gps = r.gps();
    if (gps.isPresent()) {
      return new TrueTime(gps.get(), TimeBasis.GPS, false, false);
    }
    if (r.fileTime() != null) {
      return new TrueTime(r.fileTime(), TimeBasis.FILE, false, false);
    }
    return new TrueTime(Instant.EPOCH, TimeBasis.NONE, false, false);
  }

  /**
   * All photos in true-time order. Within one moment: sub-second first (it is part of the instant),
   * then the file name with its numbers read as numbers, then the content.
   */
  public List<Photo> inTrueOrder() {
    List<Photo> order = trueOrder;
    if (order == null) {
      record Timed(Photo photo, Instant at) {}
      List<Timed> timed = new ArrayList<>(photos.size());
      for (PhotoId id : intakeOrder) {
        Photo p = photos.get(id);
        timed.add(new Timed(p, trueTime(p).at()));
      }
      timed.sort(
          Comparator.comparing(Timed::at)
              .thenComparing(t -> t.photo().name(), Job::byNumber)
              .thenComparing(t -> t.photo().id()));
      order = timed.stream().map(Timed::photo).toList();
      trueOrder = order;
    }
    return order;
  }

  /**
   * Photos of each stop in true-time order, set-aside ones included; the stop under the key {@code
   * null} holds what is not sorted yet. Stops without photos are absent.
   */
  public Map<StopKey, List<Photo>> photosByStop() {
    Map<StopKey, List<Photo>> out = new LinkedHashMap<>();
    for (Photo p : inTrueOrder()) {
      Placement at = placements.get(p.id());
      out.computeIfAbsent(at == null ? null : at.at(), k -> new ArrayList<>()).add(p);
    }
    return out;
  }

  /**
   * Photos that a name or the first characters of a SHA-256 point at: exact file name first, then
   * file name whatever the case, then hash.
   *
   * @return none, one or several
   */
  public List<Photo> photosNamed(String text) {
    List<Photo> exact = new ArrayList<>();
    List<Photo> anyCase = new ArrayList<>();
    List<Photo> byHash = new ArrayList<>();
    for (PhotoId id : intakeOrder) {
      Photo p = photos.get(id);
      String path = p.folder().isEmpty() ? p.name() : p.folder() + "/" + p.name();
      if (p.name().equals(text) || path.equals(text)) {
        exact.add(p);
      } else if (p.name().equalsIgnoreCase(text)) {
        anyCase.add(p);
      } else if (text.length() >= 4
          && p.id().hex().startsWith(text.toLowerCase(java.util.Locale.ROOT))) {
        byHash.add(p);
      }
    }
    return !exact.isEmpty() ? exact : !anyCase.isEmpty() ? anyCase : byHash;
  }

  /** Compares names with runs of digits read as numbers: IMG_9 before IMG_10. */
  public static int byNumber(String a, String b) {
    int i = 0;
    int j = 0;
    while (i < a.length() && j < b.length()) {
      char x = a.charAt(i);
      char y = b.charAt(j);
      if (isDigit(x) && isDigit(y)) {
        int si = i;
        int sj = j;
        while (i < a.length() && isDigit(a.charAt(i))) {
          i++;
        }
        while (j < b.length() && isDigit(b.charAt(j))) {
          j++;
        }
        String na = a.substring(si, i).replaceFirst("^0+(?=.)", "");
        String nb = b.substring(sj, j).replaceFirst("^0+(?=.)", "");
        int c =
            na.length() != nb.length()
                ? Integer.compare(na.length(), nb.length())
                : na.compareTo(nb);
        if (c != 0) {
          return c;
        }
      } else {
        if (x != y) {
          return Character.compare(x, y);
        }
        i++;
        j++;
      }
    }
    return Integer.compare(a.length() - i, b.length() - j) != 0
        ? Integer.compare(a.length() - i, b.length() - j)
        : a.compareTo(b);
  }

  private static boolean isDigit(char c) {
    return c >= '0' && c <= '9';
  }

  // ---- what edits ask of it ----

  Photo requirePhoto(PhotoId id) {
    Photo p = photos.get(id);
    if (p == null) {
      throw new EditRefused("photo.unknown", id.brief());
    }
    return p;
  }

  void requireStop(String stop) {
    if (route.indexOf(stop) < 0) {
      throw new EditRefused("stop.unknown", stop);
    }
  }

  void requireCamera(String camera) {
    if (!cameras.containsKey(camera)) {
      throw new EditRefused("camera.unknown", camera);
    }
  }

  void requireFindingOrNull(Integer number) {
    if (number != null && !findings.containsKey(number)) {
      throw new EditRefused("finding.unknown", "F" + number);
    }
  }

  Duty requireDuty(DutyKey key) {
    for (Duty d : profile.duties()) {
      if (d.stop().equals(key.at().stop()) && d.id().equals(key.duty())) {
        return d;
      }
    }
    throw new EditRefused("duty.unknown", key.duty(), key.at());
  }

  Job with(Consumer<Copy> change) {
    Copy copy = new Copy(this);
    change.accept(copy);
    Job next = new Job(copy);
    boolean sameTimes = copy.zone.equals(zone) && copy.clocks == clocks && copy.photos == photos;
    if (sameTimes) {
      next.trueOrder = trueOrder;
    }
    return next;
  }

  Job withPhotos(List<Photo> added) {
    for (Photo p : added) {
      requireCamera(p.camera());
    }
    return with(
        c -> {
          for (Photo p : added) {
            if (c.photos.containsKey(p.id())) {
              throw new EditRefused("photo.known", p.name());
            }
            c.gone = c.gone.minus(p.id());
            c.photos = c.photos.plus(p.id(), p);
            c.intakeOrder = c.intakeOrder.plus(p.id());
          }
        });
  }

  Job withAlso(List<PhotoId> ids, StopKey at, boolean on) {
    return with(
        c -> {
          for (PhotoId id : ids) {
            PSet<StopKey> was = c.also.get(id);
            PSet<StopKey> base = was == null ? OrderedPSet.empty() : was;
            PSet<StopKey> now = on ? base.plus(at) : base.minus(at);
            c.also = now.isEmpty() ? c.also.minus(id) : c.also.plus(id, now);
          }
        });
  }

  Job withMark(Mark mark) {
    requirePhoto(mark.photo());
    Mark was = marks.get(mark.id());
    if (was != null && (!was.photo().equals(mark.photo()) || was.getClass() != mark.getClass())) {
      throw new EditRefused("mark.other", Integer.toString(mark.id()));
    }
    return with(
        c -> {
          c.marks = c.marks.plus(mark.id(), mark);
          if (was == null) {
            PVector<Integer> on = c.marksByPhoto.get(mark.photo());
            c.marksByPhoto =
                c.marksByPhoto.plus(
                    mark.photo(), (on == null ? TreePVector.<Integer>empty() : on).plus(mark.id()));
          }
        });
  }

  Job withoutMark(int id) {
    Mark was = marks.get(id);
    if (was == null) {
      throw new EditRefused("mark.unknown", Integer.toString(id));
    }
    return with(
        c -> {
          c.marks = c.marks.minus(id);
          PVector<Integer> left = c.marksByPhoto.get(was.photo()).minus((Object) id);
          c.marksByPhoto =
              left.isEmpty()
                  ? c.marksByPhoto.minus(was.photo())
                  : c.marksByPhoto.plus(was.photo(), left);
        });
  }

  Job withoutFinding(int number, String reason) {
    requireFindingOrNull(number);
    return with(
        c -> {
          c.findings = c.findings.minus(number);
          c.withdrawn = c.withdrawn.plus(number, reason);
          for (Mark m : marks.values()) {
            if (Objects.equals(m.finding(), number)) {
              c.marks = c.marks.plus(m.id(), m.tied(null));
            }
          }
          for (Map.Entry<DutyKey, Answer> e : answers.entrySet()) {
            if (Objects.equals(e.getValue().finding(), number)) {
              c.answers = c.answers.minus(e.getKey());
            }
          }
          for (DeviceTest t : tests.values()) {
            if (Objects.equals(t.finding(), number)) {
              c.tests =
                  c.tests.plus(
                      t.id(),
                      new DeviceTest(
                          t.id(),
                          t.at(),
                          t.location(),
                          t.part(),
                          t.outcomes(),
                          t.means(),
                          t.notTested(),
                          null,
                          t.photos()));
            }
          }
        });
  }

  Job withoutPhotos(List<PhotoId> ids, String reason, String movedTo) {
    Set<PhotoId> away = Set.copyOf(ids);
    return with(
        c -> {
          for (PhotoId id : away) {
            c.gone =
                c.gone.plus(id, new WithdrawnPhoto(id, photos.get(id).name(), reason, movedTo));
          }
          c.photos = c.photos.minusAll(away);
          c.intakeOrder = c.intakeOrder.minusAll(away);
          c.placements = c.placements.minusAll(away);
          c.also = c.also.minusAll(away);
          c.aside = c.aside.minusAll(away);
          c.notesToSelf = c.notesToSelf.minusAll(away);
          c.views = c.views.minusAll(away);
          c.codes = c.codes.minusAll(away);
          c.sources = c.sources.minusAll(away);
          c.marksByPhoto = c.marksByPhoto.minusAll(away);
          for (Mark m : marks.values()) {
            boolean closeGone = m instanceof Spot s && away.contains(s.close());
            if (away.contains(m.photo()) || closeGone) {
              c.marks = c.marks.minus(m.id());
            }
            if (closeGone && !away.contains(m.photo())) {
              PVector<Integer> left = c.marksByPhoto.get(m.photo()).minus((Object) m.id());
              c.marksByPhoto =
                  left.isEmpty()
                      ? c.marksByPhoto.minus(m.photo())
                      : c.marksByPhoto.plus(m.photo(), left);
            }
          }
          for (Finding f : findings.values()) {
            if (f.photos().stream().anyMatch(away::contains)) {
              c.findings =
                  c.findings.plus(
                      f.number(),
                      new Finding(
                          f.number(),
                          f.at(),
                          f.location(),
                          f.part(),
                          f.kind(),
                          f.seen(),
                          f.why(),
                          f.who(),
                          without(f.photos(), away),
                          f.urgent(),
                          f.seenLater()));
            }
          }
          for (Map.Entry<DutyKey, Answer> e : answers.entrySet()) {
            Answer a = e.getValue();
            if (a.photos().stream().anyMatch(away::contains)) {
              c.answers =
                  c.answers.plus(
                      e.getKey(),
                      new Answer(
                          a.kind(),
                          a.text(),
                          a.howKnown(),
                          a.finding(),
                          without(a.photos(), away)));
            }
          }
          for (DeviceTest t : tests.values()) {
            if (t.photos().stream().anyMatch(away::contains)) {
              c.tests =
                  c.tests.plus(
                      t.id(),
                      new DeviceTest(
                          t.id(),
                          t.at(),
                          t.location(),
                          t.part(),
                          t.outcomes(),
                          t.means(),
                          t.notTested(),
                          t.finding(),
                          without(t.photos(), away)));
            }
          }
        });
  }

  private static List<PhotoId> without(List<PhotoId> photos, Set<PhotoId> away) {
    return photos.stream().filter(p -> !away.contains(p)).toList();
  }

  Job withCount(DutyKey duty, RoomCount count) {
    PVector<RoomCount> was = counts.getOrDefault(duty, TreePVector.empty());
    int at = -1;
    for (int i = 0; i < was.size(); i++) {
      if (was.get(i).room().equalsIgnoreCase(count.room())) {
        at = i;
      }
    }
    PVector<RoomCount> now;
    if (count.looked() == 0) {
      now = at < 0 ? was : was.minus(at);
    } else {
      now = at < 0 ? was.plus(count) : was.with(at, count);
    }
    return with(c -> c.counts = now.isEmpty() ? c.counts.minus(duty) : c.counts.plus(duty, now));
  }

  private List<Object> parts() {
    return List.of(
        header,
        site,
        zone,
        route,
        profile,
        instances,
        facts,
        cameras,
        clocks,
        intakeOrder,
        photos,
        placements,
        also,
        aside,
        notesToSelf,
        marks,
        marksByPhoto,
        views,
        findings,
        withdrawn,
        answers,
        tests,
        counts,
        reports,
        codes,
        sources,
        attachments,
        gone,
        String.valueOf(packaging),
        extracts,
        String.valueOf(keepUntil),
        String.valueOf(hold),
        solver);
  }

  @Override
  public boolean equals(Object other) {
    return other instanceof Job j && parts().equals(j.parts());
  }

  @Override
  public int hashCode() {
    return parts().hashCode();
  }

  /** The fields while an edit changes them. */
  static final class Copy {
    private final JobHeader header;
    String site;
    ZoneId zone;
    RoutePlan route;
    DutyProfile profile;
    PSet<StopKey> instances;
    TreePMap<String, String> facts;
    TreePMap<String, Camera> cameras;
    PMap<String, Clock> clocks;
    PVector<PhotoId> intakeOrder;
    PMap<PhotoId, Photo> photos;
    PMap<PhotoId, Placement> placements;
    PMap<PhotoId, PSet<StopKey>> also;
    PMap<PhotoId, String> aside;
    PSet<PhotoId> notesToSelf;
    TreePMap<Integer, Mark> marks;
    PMap<PhotoId, PVector<Integer>> marksByPhoto;
    PMap<PhotoId, ReportView> views;
    TreePMap<Integer, Finding> findings;
    TreePMap<Integer, String> withdrawn;
    PMap<DutyKey, Answer> answers;
    TreePMap<Integer, DeviceTest> tests;
    PMap<DutyKey, PVector<RoomCount>> counts;
    PVector<IssuedReport> reports;
    PMap<PhotoId, PVector<String>> codes;
    PMap<PhotoId, Source> sources;
    PMap<PhotoId, Attachment> attachments;
    PMap<PhotoId, WithdrawnPhoto> gone;
    Packaging packaging;
    PVector<Extract> extracts;
    LocalDate keepUntil;
    String hold;
    String solver;

    private Copy(JobHeader start) {
      header = start;
      site = start.site();
      zone = start.zone();
      route = start.route();
      profile = start.profile();
      instances = OrderedPSet.empty();
      facts = TreePMap.empty();
      cameras = TreePMap.empty(Camera.ORDER);
      clocks = HashTreePMap.empty();
      intakeOrder = TreePVector.empty();
      photos = HashTreePMap.empty();
      placements = HashTreePMap.empty();
      also = HashTreePMap.empty();
      aside = HashTreePMap.empty();
      notesToSelf = HashTreePSet.empty();
      marks = TreePMap.empty();
      marksByPhoto = HashTreePMap.empty();
      views = HashTreePMap.empty();
      findings = TreePMap.empty();
      withdrawn = TreePMap.empty();
      answers = HashTreePMap.empty();
      tests = TreePMap.empty();
      counts = HashTreePMap.empty();
      reports = TreePVector.empty();
      codes = HashTreePMap.empty();
      sources = HashTreePMap.empty();
      attachments = HashTreePMap.empty();
      gone = HashTreePMap.empty();
      extracts = TreePVector.empty();
      solver = "";
    }

    private Copy(Job j) {
      header = j.header;
      site = j.site;
      zone = j.zone;
      route = j.route;
      profile = j.profile;
      instances = j.instances;
      facts = j.facts;
      cameras = j.cameras;
      clocks = j.clocks;
      intakeOrder = j.intakeOrder;
      photos = j.photos;
      placements = j.placements;
      also = j.also;
      aside = j.aside;
      notesToSelf = j.notesToSelf;
      marks = j.marks;
      marksByPhoto = j.marksByPhoto;
      views = j.views;
      findings = j.findings;
      withdrawn = j.withdrawn;
      answers = j.answers;
      tests = j.tests;
      counts = j.counts;
      reports = j.reports;
      codes = j.codes;
      sources = j.sources;
      attachments = j.attachments;
      gone = j.gone;
      packaging = j.packaging;
      extracts = j.extracts;
      keepUntil = j.keepUntil;
      hold = j.hold;
      solver = j.solver;
    }
  }
}

package meterside.intake;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Collections;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.function.Function;
import java.util.stream.Stream;
import meterside.archive.Sha256;
import meterside.job.Code;
import meterside.job.PhotoId;
import meterside.job.Position;
import meterside.job.Progress;
import meterside.job.Sentences;
import meterside.picture.Picture;
import meterside.picture.PictureReader;
import meterside.picture.Reading;
import meterside.picture.Signature;

/**
 * Shows how a card falls into houses and days, and changes nothing.
 *
 * <p>Each camera's clock is first brought in line: by clock codes, by GPS, by job codes that two
 * cameras photographed, or else, where its photos would lie beside those of the other camera, by
 * whole hours or by the beginnings of visits. Then photos of all cameras in time order are cut at
 * pauses of four minutes, and pieces are joined again that belong to one house: by job code, by
 * place (150 m), and with neither of these by pauses shorter than 25 minutes.
 */
public final class Card {

  /** A shorter pause never ends a visit, in seconds. */
  private static final long PIECE = 4 * 60;

  /** With nothing else to go by, a pause this long ends a visit, in seconds. */
  private static final long VISIT = 25 * 60;

  /** A pause this long ends a visit even at one place, in seconds. */
  private static final long AWAY = 3 * 3600;

  /** So many positions say where a piece was taken; fewer may all be old fixes. */
  private static final int ENOUGH = 5;

  /** Two houses lie at least this far apart, in metres: phones are right within some tens. */
  private static final double APART = 150;

  /** Daylight, as EV100: the front of a house is outdoors. */
  private static final double DAYLIGHT = 9.5;

  /**
   * A photo on the card.
   *
   * @param file where it lies
   * @param label its path below the source it was found in
   * @param id SHA-256 of its bytes
   * @param camera make and model, with the card's name where that tells two cameras apart
   * @param wall the camera's local time as it wrote it, or null
   * @param gps time of the GPS fix, or null
   * @param position where it was taken, or null
   * @param ev100 exposure value, or null
   * @param codes codes in it
   * @param keptIn name of the job that holds it already, or null
   * @param thumbnailJpeg small upright JPEG, or null
   */
  @SuppressWarnings("ArrayRecordComponent") // compared by nobody
  public record Shot(
      Path file,
      String label,
      PhotoId id,
      String camera,
      LocalDateTime wall,
      Instant gps,
      Position position,
      Double ev100,
      List<Code> codes,
      String keptIn,
      byte[] thumbnailJpeg) {}

  /**
   * A video on the card.
   *
   * @param file where it lies
   * @param label its path below the source it was found in
   * @param keptIn name of the job that holds it already, or null
   */
  public record Clip(Path file, String label, String keptIn) {}

  /**
   * Photos that belong to one visit to one house.
   *
   * @param number from 1, in order of time
   * @param day local day of its first photo, by the clocks as they were brought in line
   * @param house name on its job code, or null
   * @param from corrected local time of the first photo
   * @param to and of the last
   * @param photos in time order
   * @param front a picture to know the house by: the first one in daylight
   * @param where median of the recorded positions, or null
   * @param kept how many of them a job of the archive holds already
   * @param reasons why it was taken as a group of its own
   * @param videos short videos that lie among these photos, in path order
   */
  public record Group(
      int number,
      LocalDate day,
      String house,
      LocalDateTime from,
      LocalDateTime to,
      List<Shot> photos,
      Shot front,
      Position where,
      int kept,
      List<String> reasons,
      List<Clip> videos) {

    /** The files of the group, to be taken in. */
    public List<Path> files() {
      return Stream.concat(photos.stream().map(Shot::file), videos.stream().map(Clip::file))
          .toList();
    }

    private Group with(List<Clip> clips) {
      return new Group(
          number, day, house, from, to, photos, front, where, kept, reasons, List.copyOf(clips));
    }

    /** The job that holds most of the photos that are kept already; empty if none is. */
    public Optional<String> keptIn() {
      Map<String, Long> count = new LinkedHashMap<>();
      photos.stream()
          .filter(p -> p.keptIn() != null)
          .forEach(p -> count.merge(p.keptIn(), 1L, Long::sum));
      return count.entrySet().stream().max(Map.Entry.comparingByValue()).map(Map.Entry::getKey);
    }
  }

  /**
   * How a card falls apart.
   *
   * @param groups in order of time
   * @param undated photos that record no time
   * @param ignored files that are no photos
   * @param problems files that could not be read
   * @param assumed what was assumed about the cameras' clocks, a sentence for each camera
   * @param cancelled whether reading was stopped; then only what was read is in it
   * @param loose videos that lie among no group's photos
   * @param sources what was read
   */
  public record Split(
      List<Group> groups,
      List<Shot> undated,
      int ignored,
      List<Intake.Problem> problems,
      List<String> assumed,
      boolean cancelled,
      List<Clip> loose,
      List<Path> sources) {}

  private static final Sentences SENTENCES = Sentences.in(Card.class);

  /** A larger file is not read whole: several are read at once. */
  private static final long LARGEST = Runtime.getRuntime().maxMemory() / 8;

  private Card() {}

  /**
   * Reads files and folders and says how they fall into houses and days.
   *
   * @param archive the archive's folder, which is never read as a card
   * @param zone zone in which the cameras' local times are compared with GPS
   * @param kept name of the job that holds a photo already
   * @throws IntakeRefused if no source is named or one lies in the archive
   */
  public static Split read(
      List<Path> sources,
      Path archive,
      ZoneId zone,
      Function<PhotoId, Optional<String>> kept,
      Progress progress) {
    Source.Found found = Source.find(sources, archive);
    List<Intake.Problem> problems = new ArrayList<>(found.problems());
    List<Shot> shots = new ArrayList<>();
    List<Clip> clips = new ArrayList<>();
    int ignored = found.ignored();
    List<Source.Candidate> files = found.candidates();
    ExecutorService pool =
        Executors.newFixedThreadPool(
            Math.max(1, Runtime.getRuntime().availableProcessors()),
            task -> {
              Thread t = new Thread(task, "card");
              t.setDaemon(true);
              return t;
            });
    boolean cancelled = false;
    try {
      List<Future<Object>> pending = new ArrayList<>();
      for (Source.Candidate file : files) {
        pending.add(pool.submit(() -> progress.cancelled() ? null : one(file, kept)));
      }
      for (int i = 0; i < pending.size(); i++) {
        Object outcome;
        try {
          outcome = pending.get(i).get();
        } catch (ExecutionException e) {
          String label = files.get(i).label();
          outcome = new Intake.Problem(label, false, true, SENTENCES.say("card.unreadable", label));
        }
        if (outcome instanceof Shot s) {
          shots.add(s);
        } else if (outcome instanceof Clip c) {
          clips.add(c);
        } else if (outcome instanceof Intake.Problem p) {
          problems.add(p);
        } else if (outcome == null) {
          cancelled = true;
        } else {
          ignored++;
        }
        progress.at(i + 1, files.size());
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      cancelled = true;
    } finally {
      pool.shutdownNow();
    }
    Split s = split(shots, zone);
    List<Clip> loose = new ArrayList<>();
    return new Split(
        videos(s.groups(), clips, loose),
        s.undated(),
        ignored,
        problems,
        s.assumed(),
        cancelled,
        List.copyOf(loose),
        List.copyOf(sources));
  }

  /**
   * Gives each video to the group of the photo before it in its folder, by name, or of the first
   * one there: cameras number videos and photos through.
   */
  private static List<Group> videos(List<Group> groups, List<Clip> clips, List<Clip> loose) {
    Map<Path, TreeMap<String, Integer>> byFolder = new HashMap<>();
    for (Group g : groups) {
      for (Shot s : g.photos()) {
        byFolder
            .computeIfAbsent(s.file().getParent(), f -> new TreeMap<>())
            .put(s.file().getFileName().toString(), g.number());
      }
    }
    Map<Integer, List<Clip>> of = new HashMap<>();
    for (Clip c : clips) {
      TreeMap<String, Integer> names = byFolder.get(c.file().getParent());
      if (names == null) {
        loose.add(c);
      } else {
        Map.Entry<String, Integer> before = names.lowerEntry(c.file().getFileName().toString());
        int number = (before == null ? names.firstEntry() : before).getValue();
        of.computeIfAbsent(number, n -> new ArrayList<>()).add(c);
      }
    }
    return groups.stream().map(g -> g.with(of.getOrDefault(g.number(), List.of()))).toList();
  }

  /** A shot, a video, a problem, or {@code Boolean.FALSE} for any other file. */
  private static Object one(Source.Candidate file, Function<PhotoId, Optional<String>> kept)
      throws IOException {
    boolean promised = Signature.promisesPicture(file.name());
    byte[] head;
    try (InputStream in = Files.newInputStream(file.path())) {
      head = in.readNBytes(Signature.LENGTH);
    }
    if (Signature.of(head).isEmpty() && !promised) {
      if (Signature.video(head, file.name()).isEmpty() || file.size() > Intake.LARGEST_VIDEO) {
        return Boolean.FALSE;
      }
      PhotoId id = Sha256.of(file.path());
      synchronized (Card.class) {
        return new Clip(file.path(), file.label(), kept.apply(id).orElse(null));
      }
    }
    if (file.size() > LARGEST) {
      String sentence = SENTENCES.say("problem.too-large", file.label());
      return new Intake.Problem(file.label(), false, true, sentence);
    }
    byte[] bytes = Files.readAllBytes(file.path());
    Reading reading = PictureReader.read(bytes, file.label());
    if (!(reading instanceof Picture p)) {
      String sentence = SENTENCES.say("card.no-photo", file.label());
      return promised ? new Intake.Problem(file.label(), false, true, sentence) : Boolean.FALSE;
    }
    PhotoId id = Sha256.of(bytes);
    String keptIn;
    synchronized (Card.class) {
      keptIn = kept.apply(id).orElse(null);
    }
    String make = p.make() == null ? "" : p.make().strip();
    String model = p.model() == null ? "" : p.model().strip();
    String name = (model.startsWith(make) ? model : make + " " + model).strip();
    String camera = p.serial() != null ? name + " " + p.serial() : name + " (" + file.card() + ")";
    Double ev =
        p.exposure() != null && p.exposure().ev100().isPresent()
            ? (Double) p.exposure().ev100().getAsDouble()
            : null;
    return new Shot(
        file.path(),
        file.label(),
        id,
        camera,
        p.recorded().wall().orElse(null),
        p.recorded().gps().orElse(null),
        p.position(),
        ev,
        p.codes(),
        keptIn,
        p.thumbnailJpeg());
  }

  // ---- the split itself, on values ----

  private record Timed(Shot shot, LocalDateTime at) {}

  /**
   * Splits photos that were read. Depends on the photos alone, not on their order; a photo that is
   * on the card twice counts once.
   */
  public static Split split(List<Shot> read, ZoneId zone) {
    Map<PhotoId, Shot> once = new LinkedHashMap<>();
    read.stream()
        .sorted(Comparator.comparing(Shot::label))
        .forEach(s -> once.putIfAbsent(s.id(), s));
    List<Shot> undated = new ArrayList<>();
    Map<String, List<Shot>> byCamera = new TreeMap<>();
    for (Shot s : once.values()) {
      if (s.wall() == null && s.gps() == null) {
        undated.add(s);
      } else {
        byCamera.computeIfAbsent(s.camera(), c -> new ArrayList<>()).add(s);
      }
    }
    List<String> assumed = new ArrayList<>();
    Map<String, Duration> offsets = CardClocks.offsets(byCamera, zone, assumed);
    List<Timed> order = new ArrayList<>();
    byCamera.forEach(
        (camera, shots) -> {
          for (Shot s : shots) {
            LocalDateTime at =
                s.wall() != null
                    ? s.wall().minus(offsets.get(camera))
                    : LocalDateTime.ofInstant(s.gps(), zone);
            order.add(new Timed(s, at));
          }
        });
    order.sort(Comparator.comparing(Timed::at).thenComparing(t -> t.shot().label()));
    return new Split(groups(order), undated, 0, List.of(), assumed, false, List.of(), List.of());
  }

  /** Photos with no pause of note between them. */
  private static final class Piece {
    final List<Timed> photos = new ArrayList<>();
    String house;

    /** Whether it says which house it is of. */
    boolean tells() {
      return house != null || placed(photos);
    }

    LocalDateTime from() {
      return photos.get(0).at();
    }

    LocalDateTime to() {
      return photos.get(photos.size() - 1).at();
    }
  }

  private static List<Group> groups(List<Timed> order) {
    List<Piece> pieces = new ArrayList<>();
    for (Timed t : order) {
      String house = house(t.shot());
      Piece last = pieces.isEmpty() ? null : pieces.get(pieces.size() - 1);
      boolean other =
          last != null && house != null && last.house != null && !house.equals(last.house);
      boolean paused = last != null && seconds(last.to(), t.at()) >= PIECE;
      if (last == null || other || paused) {
        last = new Piece();
        pieces.add(last);
      }
      last.photos.add(t);
      if (house != null && last.house == null) {
        last.house = house;
      }
    }
    Map<Integer, List<String>> cuts = cuts(pieces);
    List<Group> out = new ArrayList<>();
    List<Piece> visit = new ArrayList<>();
    List<String> why = List.of();
    for (int i = 0; i < pieces.size(); i++) {
      if (cuts.containsKey(i)) {
        out.add(group(out.size() + 1, visit, why));
        visit.clear();
        why = cuts.get(i);
      }
      visit.add(pieces.get(i));
    }
    if (!visit.isEmpty()) {
      out.add(group(out.size() + 1, visit, why));
    }
    return out;
  }

  /**
   * Before which pieces a visit begins, and why. Pieces that say where they were taken are compared
   * with each other; a cut between two of them falls on the longest pause, whatever little pieces
   * lie between: the first fixes at a house are often still those of the house before.
   */
  private static Map<Integer, List<String>> cuts(List<Piece> pieces) {
    Map<Integer, List<String>> out = new LinkedHashMap<>();
    int last = -1;
    List<Piece> visit = new ArrayList<>();
    for (int i = 0; i < pieces.size(); i++) {
      if (!pieces.get(i).tells()) {
        continue;
      }
      List<String> why = List.of();
      if (last >= 0) {
        int longest = i;
        for (int k = last + 1; k < i; k++) {
          longest = pause(pieces, k) > pause(pieces, longest) ? k : longest;
        }
        why = apart(visit, pieces.get(i), pause(pieces, longest));
        if (!why.isEmpty()) {
          byPause(pieces, last + 1, i, out);
          out.put(longest, why);
          visit.clear();
        }
      } else {
        byPause(pieces, 1, i, out);
      }
      visit.add(pieces.get(i));
      last = i;
    }
    byPause(pieces, Math.max(1, last + 1), pieces.size() - 1, out);
    return out;
  }

  /** Cuts at long pauses, where there is nothing else to go by. */
  private static void byPause(
      List<Piece> pieces, int from, int to, Map<Integer, List<String>> out) {
    for (int k = from; k <= to; k++) {
      long pause = pause(pieces, k);
      if (pause >= VISIT) {
        LocalDate day = pieces.get(k).from().toLocalDate();
        boolean other = !day.equals(pieces.get(k - 1).to().toLocalDate()) && pause >= AWAY;
        out.put(
            k,
            List.of(
                other
                    ? SENTENCES.say("split.day", day)
                    : SENTENCES.say("split.pause", minutes(pause))));
      }
    }
  }

  private static long pause(List<Piece> pieces, int before) {
    return seconds(pieces.get(before - 1).to(), pieces.get(before).from());
  }

  private static boolean placed(List<Timed> photos) {
    return photos.stream().filter(t -> t.shot().position() != null).count() >= ENOUGH;
  }

  private static String house(Shot s) {
    return s.codes().stream()
        .filter(c -> c.kind() == Code.Kind.JOB)
        .map(Code::value)
        .findFirst()
        .orElse(null);
  }

  /** Why a piece does not belong to the visit before it; empty if it does. */
  private static List<String> apart(List<Piece> visit, Piece next, long pause) {
    LocalDateTime end = visit.get(visit.size() - 1).to();
    LocalDate day = next.from().toLocalDate();
    boolean otherDay = !end.toLocalDate().equals(day) && pause >= AWAY;
    String house =
        visit.stream().map(v -> v.house).filter(h -> h != null).reduce((a, b) -> b).orElse(null);
    List<String> out = new ArrayList<>();
    if (otherDay) {
      out.add(SENTENCES.say("split.day", day));
    }
    List<Timed> before = visit.stream().flatMap(v -> v.photos.stream()).toList();
    Optional<Position> here = placed(before) ? where(before) : Optional.empty();
    Optional<Position> there = placed(next.photos) ? where(next.photos) : Optional.empty();
    boolean near =
        here.isPresent() && there.isPresent() && metres(here.get(), there.get()) <= APART;
    if (house != null && next.house != null) {
      if (!house.equals(next.house)) {
        out.add(SENTENCES.say("split.code", next.house));
      }
    } else if (here.isPresent() && there.isPresent() && !near) {
      out.add(SENTENCES.say("split.place", distance(metres(here.get(), there.get()))));
    } else if (pause >= (near ? AWAY : VISIT) && !otherDay) {
      out.add(SENTENCES.say("split.pause", minutes(pause)));
    } else if (next.house != null && !near && seconds(visit.get(0).from(), end) > VISIT) {
      out.add(SENTENCES.say("split.code", next.house)); // named only after a long while: another
    }
    return out;
  }

  private static Group group(int number, List<Piece> visit, List<String> why) {
    List<Timed> photos = visit.stream().flatMap(p -> p.photos.stream()).toList();
    List<Shot> shots = photos.stream().map(Timed::shot).toList();
    String house = visit.stream().map(p -> p.house).filter(h -> h != null).findFirst().orElse(null);
    List<Shot> plain = shots.stream().filter(s -> s.codes().isEmpty()).toList();
    Shot front =
        plain.stream()
            .limit(20)
            .filter(s -> s.ev100() != null && s.ev100() >= DAYLIGHT)
            .findFirst()
            .orElse(plain.isEmpty() ? shots.get(0) : plain.get(0));
    List<String> reasons = new ArrayList<>(why);
    if (reasons.isEmpty()) {
      reasons.add(SENTENCES.say("split.first"));
    }
    Set<String> cameras = new LinkedHashSet<>();
    shots.forEach(s -> cameras.add(s.camera()));
    if (house != null && reasons.stream().noneMatch(r -> r.contains(house))) {
      reasons.add(SENTENCES.say("split.named", house));
    }
    if (cameras.size() > 1) {
      reasons.add(SENTENCES.say("split.cameras", cameras.size()));
    }
    LocalDateTime from = photos.get(0).at();
    return new Group(
        number,
        from.toLocalDate(),
        house,
        from,
        photos.get(photos.size() - 1).at(),
        shots,
        front,
        where(photos).orElse(null),
        (int) shots.stream().filter(s -> s.keptIn() != null).count(),
        List.copyOf(reasons),
        List.of());
  }

  /** The median of the positions: some fixes are still those of the house before. */
  private static Optional<Position> where(List<Timed> photos) {
    List<Double> north = new ArrayList<>();
    List<Double> east = new ArrayList<>();
    for (Timed t : photos) {
      if (t.shot().position() != null) {
        north.add(t.shot().position().latitude());
        east.add(t.shot().position().longitude());
      }
    }
    if (north.isEmpty()) {
      return Optional.empty();
    }
    Collections.sort(north);
    Collections.sort(east);
    int m = north.size() / 2;
    return Optional.of(new Position(north.get(m), east.get(m), null, null, false));
  }

  /** Metres between two near positions on a sphere of mean radius 6,371,008.8 m (IUGG). */
  private static double metres(Position a, Position b) {
    double north = Math.toRadians(b.latitude() - a.latitude());
    double east =
        Math.toRadians(b.longitude() - a.longitude())
            * Math.cos(Math.toRadians((a.latitude() + b.latitude()) / 2));
    return 6_371_008.8 * Math.hypot(north, east);
  }

  private static String distance(double metres) {
    return metres < 950
        ? Math.round(metres / 10) * 10 + " m"
        : String.format(Locale.ROOT, "%.1f km", metres / 1000);
  }

  private static String minutes(long seconds) {
    long m = Math.round(seconds / 60.0);
    return m < 120 ? m + " min" : m / 60 + " h " + m % 60 + " min";
  }

  static long seconds(LocalDateTime from, LocalDateTime to) {
    return Duration.between(from, to).toSeconds();
  }
}

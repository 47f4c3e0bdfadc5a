package meterside.desk.model;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.EnumMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import meterside.job.DeviceTest;
import meterside.job.Duty;
import meterside.job.DutyKey;
import meterside.job.Edit;
import meterside.job.Job;
import meterside.job.Phase;
import meterside.job.PhotoId;
import meterside.job.RoomCount;
import meterside.job.StopKey;
import meterside.job.TestOutcome;
import meterside.trade.Trade;

/**
 * Tests and counts: what was tried of the devices of a house, as two quick tables.
 *
 * @param counts sampled duties with what was counted by room
 * @param tests device tests, in the route's order
 */
public record Devices(List<Counted> counts, List<Line> tests) {

  private static final Pattern TYPED = Pattern.compile("^(.*?)[\\s,:]+(\\d{1,3})\\b(.*)$");
  private static final Pattern EXCEPTION = Pattern.compile("^(\\d{1,2})?\\s*(.+)$");
  private static final int MOST = 40;

  /** What alarms get unless the inspector says otherwise. */
  public static final String PRESENCE_NOTED = "presence noted, not tested";

  /**
   * A sampled duty.
   *
   * @param key the duty
   * @param title its stop
   * @param text what it asks
   * @param rooms what was counted
   * @param summary the same in one line; empty if nothing was counted
   */
  public record Counted(
      DutyKey key, String title, String text, List<RoomCount> rooms, String summary) {
    /** Copies the list. */
    public Counted {
      rooms = List.copyOf(rooms);
    }
  }

  /**
   * A device test as a row.
   *
   * @param test the test
   * @param stopTitle its stop
   * @param device the part's term
   */
  public record Line(DeviceTest test, String stopTitle, String device) {}

  /** Copies the lists. */
  public Devices {
    counts = List.copyOf(counts);
    tests = List.copyOf(tests);
  }

  /** The tests and counts of a job. */
  public static Devices of(Job job, Trade trade) {
    List<Counted> counts = new ArrayList<>();
    for (DutyKey key : job.dutyKeys()) {
      Duty d = job.duty(key);
      if (d.sampled()) {
        counts.add(
            new Counted(
                key,
                job.title(key.at()),
                d.text(),
                job.counts(key),
                RoomCount.summary(job.counts(key), d.id())));
      }
    }
    List<Line> lines = new ArrayList<>();
    List<StopKey> order = job.stopKeys();
    job.tests().values().stream()
        .sorted(java.util.Comparator.comparingInt(t -> order.indexOf(t.at())))
        .forEach(t -> lines.add(new Line(t, job.title(t.at()), Words.term(trade, t.part()))));
    return new Devices(counts, lines);
  }

  /** Whether devices are tried at a stop. */
  public static boolean triedAt(Job job, StopKey at) {
    return at != null
        && job.route().stop(at.stop()).map(s -> s.phase() == Phase.ROOMS).orElse(false);
  }

  /** The part a new row at a stop starts with. */
  public static String usualPart(StopKey at) {
    return switch (at == null ? "" : at.stop()) {
      case "gfci-and-afci" -> "gfci";
      case "alarms" -> "smoke-alarm";
      default -> "receptacle";
    };
  }

  /** Parts that are tried, as far as the trade's data know them. */
  public static List<String> parts(Trade trade) {
    return List.of("receptacle", "switch", "luminaire", "gfci", "afci", "smoke-alarm", "co-alarm")
        .stream()
        .filter(p -> trade.part(p).isPresent())
        .toList();
  }

  /**
   * A new row. An alarm's presence is noted and it is not tested; anything else starts as expected.
   */
  public static DeviceTest fresh(int id, StopKey at, String location, String part, PhotoId photo) {
    boolean alarm = part.endsWith("-alarm");
    return new DeviceTest(
        id,
        at,
        location,
        part,
        alarm ? List.of() : List.of(TestOutcome.AS_EXPECTED),
        null,
        alarm ? PRESENCE_NOTED : null,
        null,
        photo == null ? List.of() : List.of(photo));
  }

  /**
   * A test after one outcome was chosen or taken back. Something out of order takes "as expected"
   * away and the other way round; with nothing left it is as expected again.
   */
  public static DeviceTest toggled(DeviceTest t, TestOutcome outcome) {
    TreeSet<TestOutcome> now = new TreeSet<>(t.outcomes());
    if (!now.remove(outcome)) {
      if (outcome == TestOutcome.AS_EXPECTED) {
        now.clear();
      } else {
        now.remove(TestOutcome.AS_EXPECTED);
      }
      now.add(outcome);
    }
    if (now.isEmpty()) {
      now.add(TestOutcome.AS_EXPECTED);
    }
    return new DeviceTest(
        t.id(),
        t.at(),
        t.location(),
        t.part(),
        List.copyOf(now),
        t.means(),
        null,
        t.finding(),
        t.photos());
  }

  /** A test that was not made, because; blank makes it one as expected again. */
  public static DeviceTest notTested(DeviceTest t, String because) {
    boolean tested = because == null || because.isBlank();
    List<TestOutcome> outcomes =
        !tested
            ? List.of()
            : t.outcomes().isEmpty() ? List.of(TestOutcome.AS_EXPECTED) : t.outcomes();
    return new DeviceTest(
        t.id(),
        t.at(),
        t.location(),
        t.part(),
        outcomes,
        tested ? t.means() : null,
        tested ? null : because.strip(),
        t.finding(),
        t.photos());
  }

  /** A test with other words for where and by which means, and another part. */
  public static DeviceTest worded(DeviceTest t, String location, String part, String means) {
    String how = means == null || means.isBlank() ? null : means.strip();
    return new DeviceTest(
        t.id(),
        t.at(),
        location == null || location.isBlank() ? t.location() : location.strip(),
        part,
        t.outcomes(),
        t.outcomes().isEmpty() ? null : how,
        t.notTested(),
        t.finding(),
        t.photos());
  }

  /**
   * The outcomes that fit a device: only what can trip is said not to have tripped, only what has a
   * grounding contact to lack it. What was noted before stays offered, so that it can be taken
   * back.
   */
  public static List<TestOutcome> outcomes(DeviceTest t) {
    boolean trips =
        t.part().equals("gfci") || t.part().equals("afci") || t.at().stop().equals("gfci-and-afci");
    boolean contacts = trips || t.part().equals("receptacle");
    return Arrays.stream(TestOutcome.values())
        .filter(
            o ->
                t.outcomes().contains(o)
                    || switch (o) {
                      case AS_EXPECTED, NO_POWER, LOOSE, HEAT_MARKS -> true;
                      case REVERSED, OPEN_GROUND, OPEN_NEUTRAL -> contacts;
                      case DID_NOT_TRIP, DID_NOT_RESET -> trips;
                    })
        .toList();
  }

  /** What the screen calls an outcome. */
  public static String outcome(TestOutcome o) {
    return Words.say("outcome." + o.name().toLowerCase(Locale.ROOT).replace('_', '-'));
  }

  /**
   * Reads a room's count as one types it: "kitchen 4", "kitchen 4, 1 open ground", "hall 2 loose".
   *
   * @return the count, or empty if it can't be read
   */
  public static Optional<RoomCount> read(String typed) {
    Matcher m = TYPED.matcher(typed.strip());
    if (!m.matches() || m.group(1).isBlank()) {
      return Optional.empty();
    }
    int looked = Integer.parseInt(m.group(2));
    List<TestOutcome> out = new ArrayList<>();
    for (String bit : m.group(3).split(",|;| and ")) {
      String text = bit.strip();
      if (text.isEmpty()) {
        continue;
      }
      Matcher e = EXCEPTION.matcher(text);
      if (!e.matches()) {
        return Optional.empty();
      }
      int n = e.group(1) == null ? 1 : Integer.parseInt(e.group(1));
      Optional<TestOutcome> o = outcomeOf(e.group(2));
      if (o.isEmpty() || n > MOST) {
        return Optional.empty();
      }
      for (int i = 0; i < n; i++) {
        out.add(o.get());
      }
    }
    if (out.size() > looked) {
      return Optional.empty();
    }
    return Optional.of(new RoomCount(m.group(1), looked, out));
  }

  private static Optional<TestOutcome> outcomeOf(String typed) {
    String t = typed.strip().toLowerCase(Locale.ROOT).replace('-', ' ');
    for (TestOutcome o : TestOutcome.values()) {
      String said = o.name().toLowerCase(Locale.ROOT).replace('_', ' ');
      if (o != TestOutcome.AS_EXPECTED && t.length() >= 3 && said.startsWith(t)) {
        return Optional.of(o);
      }
    }
    return Optional.empty();
  }

  /** A room's count as one would type it. */
  public static String typed(RoomCount c) {
    Map<TestOutcome, Integer> n = new EnumMap<>(TestOutcome.class);
    c.exceptions().forEach(e -> n.merge(e, 1, Integer::sum));
    StringBuilder out = new StringBuilder(c.room() + " " + c.looked());
    n.forEach((e, k) -> out.append(", ").append(k).append(' ').append(outcome(e)));
    return out.toString();
  }

  // ---- acts ----

  /** Adds a row. */
  public static void add(JobDesk desk, StopKey at, String location, String part, PhotoId photo) {
    desk.act(
        false,
        () ->
            List.of(
                new Edit.PutDeviceTest(
                    fresh(desk.session().nextTest(), at, location.strip(), part, photo))),
        () -> {});
  }

  /** Changes a row. */
  public static void put(JobDesk desk, DeviceTest changed) {
    if (!changed.equals(desk.job().tests().get(changed.id()))) {
      desk.act(false, () -> List.of(new Edit.PutDeviceTest(changed)), () -> {});
    }
  }

  /** Takes a row away. */
  public static void remove(JobDesk desk, int id) {
    desk.act(false, () -> List.of(new Edit.RemoveDeviceTest(id)), () -> {});
  }

  /** Keeps a room's count. */
  public static void count(JobDesk desk, DutyKey duty, RoomCount count) {
    desk.act(false, () -> List.of(new Edit.CountRoom(duty, count)), () -> {});
  }
}

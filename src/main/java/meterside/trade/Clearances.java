package meterside.trade;

import com.fasterxml.jackson.annotation.JsonCreator;
import com.fasterxml.jackson.annotation.JsonProperty;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;
import meterside.job.Sentences;

/**
 * Clearances of overhead service conductors, by edition of the NEC: numbers and section references
 * only. They bind the customer's side; a span that belongs to the utility follows the utility's own
 * rules, and these numbers serve only as a yardstick there.
 *
 * <p>Every question is answered with one {@link Answer} for each different figure: where the
 * edition is unknown (null, or none of {@link #editions}) and the editions differ, both are shown.
 * Distances are in feet, which are the authority here (the printed metric figures are rounded). No
 * answer says more than that something looks low.
 */
public final class Clearances {

  /** How well a row is known. */
  public enum Status {
    /** The section's own text was read. */
    SEEN_TEXT,
    /** From memory; a person should confirm it. */
    MEMORY
  }

  /**
   * A row of the table.
   *
   * @param id what is asked, for example {@code ROOF_BASE}
   * @param feet the distance
   * @param applies where it applies
   * @param section section reference
   * @param editions editions that have this figure
   * @param status how well it is known
   */
  public record Row(
      String id,
      double feet,
      String applies,
      String section,
      List<Integer> editions,
      Status status) {
    /** Copies the list. */
    public Row {
      editions = List.copyOf(editions);
    }
  }

  /**
   * A figure that applies.
   *
   * @param id id of the row
   * @param feet the distance in feet
   * @param measuredFrom from what it is measured
   * @param applies where it applies
   * @param section section reference
   * @param editions editions that have this figure, ascending
   * @param status how well it is known
   */
  public record Answer(
      String id,
      double feet,
      Surface measuredFrom,
      String applies,
      String section,
      List<Integer> editions,
      Status status) {

    /** The editions as text: "NEC 2017, 2020". */
    public String edition() {
      return "NEC " + editions.stream().map(String::valueOf).collect(Collectors.joining(", "));
    }

    /** The distance in metres. */
    public double metres() {
      return feet * 0.3048;
    }

    /** Whether a height or distance is below this figure. */
    public boolean looksLow(double measuredFeet) {
      return measuredFeet < feet;
    }

    /** The figure as a sentence, with its section, edition and how well it is known. */
    public String sentence() {
      Sentences s = Sentences.in(Clearances.class);
      return s.say(
          "clearance.figure",
          feetAndInches(feet),
          s.say("from." + measuredFrom.name().toLowerCase(Locale.ROOT)),
          section,
          edition(),
          s.say("status." + status.name().toLowerCase(Locale.ROOT)));
    }

    /** What may be said of a measured height or distance. Never more than that it looks low. */
    public String sentence(double measuredFeet) {
      String key = looksLow(measuredFeet) ? "clearance.low" : "clearance.not-low";
      return Sentences.in(Clearances.class).say(key, feetAndInches(measuredFeet), sentence());
    }
  }

  /** From what a distance is measured. */
  public enum Surface {
    /** Finished grade. */
    GRADE,
    /** A deck or porch, or another surface people reach. */
    DECK,
    /** The roof. */
    ROOF,
    /** A window, door, porch, balcony, ladder or stair. */
    OPENING,
    /** Water at its highest level. */
    WATER,
    /** A diving platform or an observation stand. */
    STAND,
    /** The inside wall of the pool. */
    POOL_WALL,
    /** The attachment. */
    ATTACHMENT
  }

  /** What lies under the wires. */
  public enum Ground {
    /** The service entrance, the low point of the drip loop, or walks only pedestrians reach. */
    PEDESTRIANS,
    /** A residential yard or driveway. */
    RESIDENTIAL,
    /** A public street or alley, truck parking, farm land. */
    STREET,
    /** Railroad tracks. */
    RAILROAD
  }

  /**
   * The wires in question.
   *
   * @param voltsToGround voltage to ground
   * @param voltsBetween voltage between conductors
   * @param messenger whether it is cable carried on and cabled with a bare grounded messenger
   */
  public record Wires(double voltsToGround, double voltsBetween, boolean messenger) {
    /** A house's 120/240 V drop. */
    public static final Wires HOUSE = new Wires(120, 240, true);
  }

  /**
   * A roof under the wires.
   *
   * @param riseIn12 rise in inches on a run of 12 inches
   * @param usedByPeople whether people or vehicles use its surface
   * @param guarded whether the area is guarded or isolated
   * @param overhang how the wires cross the overhang, or null if they do not just cross it
   */
  public record Roof(double riseIn12, boolean usedByPeople, boolean guarded, Overhang overhang) {}

  /**
   * Wires that cross an overhang.
   *
   * @param onlyOverhang whether they are above the overhang only
   * @param wireFeet feet of conductor above it
   * @param sidewaysFeet feet of it measured horizontally
   * @param throughRoof whether they end at a through-the-roof raceway or an approved support
   */
  public record Overhang(
      boolean onlyOverhang, double wireFeet, double sidewaysFeet, boolean throughRoof) {}

  /** What a wire comes near. */
  public enum Opening {
    /** A window that opens. */
    WINDOW_THAT_OPENS,
    /** A window that does not open. */
    FIXED_WINDOW,
    /** A door, porch, balcony, ladder, stair or fire escape. */
    DOOR_PORCH_OR_STAIR
  }

  private final String source;
  private final List<Integer> editions;
  private final List<Row> rows;

  /** Made from {@code trade/clearances.json}. */
  @JsonCreator
  Clearances(
      @JsonProperty("source") String source,
      @JsonProperty("editions") List<Integer> editions,
      @JsonProperty("rows") List<Row> rows) {
    this.source = source;
    this.editions = List.copyOf(editions);
    this.rows = List.copyOf(rows);
  }

  /** Where the numbers come from. */
  public String source() {
    return source;
  }

  /** Years of the editions that are known, ascending. */
  public List<Integer> editions() {
    return editions;
  }

  /** All rows. */
  public List<Row> rows() {
    return rows;
  }

  /**
   * Above a roof: 230.24(A) and its exceptions. Used by people or vehicles: as over ground,
   * measured from the roof. Crossing only the overhang, with every condition met: 18 inches. Of 4
   * in 12 or steeper, or guarded: 3 ft. Otherwise the base figure, which depends on the edition.
   *
   * @param edition year, or null if unknown
   */
  public List<Answer> aboveRoof(Roof roof, Wires wires, Integer edition) {
    if (roof.usedByPeople()) {
      return answers(groundRow(Ground.PEDESTRIANS, wires), Surface.ROOF, edition);
    }
    boolean to300 = wires.voltsBetween() <= 300;
    Overhang o = roof.overhang();
    boolean overhang =
        o != null
            && o.onlyOverhang()
            && o.wireFeet() <= 6
            && o.sidewaysFeet() <= 4
            && o.throughRoof();
    String row = "ROOF_BASE";
    if (to300 && overhang) {
      row = "ROOF_OVERHANG";
    } else if (to300 && roof.riseIn12() >= 4) {
      row = "ROOF_STEEP";
    } else if (to300 && roof.guarded()) {
      row = "ROOF_GUARDED";
    }
    return answers(row, Surface.ROOF, edition);
  }

  /**
   * How far beyond a roof's edge its clearance is kept; nothing for a last span attached to the
   * side of the building (230.24(A) exception 4).
   */
  public List<Answer> beyondRoofEdge(boolean lastSpanAtSide, Integer edition) {
    return lastSpanAtSide ? List.of() : answers("ROOF_EDGE_REACH", Surface.ROOF, edition);
  }

  /** Over the ground, or over a deck, porch or other surface that people reach: 230.24(B). */
  public List<Answer> overGround(Ground ground, Surface from, Wires wires, Integer edition) {
    return answers(groundRow(ground, wires), from, edition);
  }

  private static String groundRow(Ground ground, Wires wires) {
    return switch (ground) {
      case STREET -> "GRADE_STREET";
      case RAILROAD -> "GRADE_RAIL";
      case PEDESTRIANS, RESIDENTIAL -> {
        if (wires.voltsToGround() > 300) {
          yield "GRADE_OVER300V";
        }
        boolean low =
            ground == Ground.PEDESTRIANS && wires.messenger() && wires.voltsToGround() <= 150;
        yield low ? "GRADE_ENTRANCE" : "GRADE_YARD_DRIVE";
      }
    };
  }

  /**
   * From windows, doors and the like: 230.9(A). Nothing applies above the top of a window, at a
   * fixed window, or to cable with an overall outer jacket.
   *
   * @param aboveTop whether the wires are above the top of the window
   * @param jacketed whether it is cable with an overall outer jacket
   */
  public List<Answer> fromOpening(
      Opening opening, boolean aboveTop, boolean jacketed, Integer edition) {
    boolean window = opening != Opening.DOOR_PORCH_OR_STAIR;
    if (jacketed || opening == Opening.FIXED_WINDOW || (window && aboveTop)) {
      return List.of();
    }
    return answers("OPENING", Surface.OPENING, edition);
  }

  /**
   * The point of attachment above finished grade: 230.26. This is a floor: the drip loop and the
   * wires over a drive may need it higher.
   */
  public List<Answer> attachment(Integer edition) {
    return answers("ATTACH_MIN", Surface.GRADE, edition);
  }

  /** How far the head may be from the attachment where above it is impracticable: 230.54(C). */
  public List<Answer> headFromAttachment(Integer edition) {
    return answers("HEAD_MAX_OFFSET", Surface.ATTACHMENT, edition);
  }

  /**
   * Near a pool: 680.9(A), for cable on a messenger to 750 V to ground. Beyond the sideways reach
   * the other two figures do not come into play.
   */
  public List<Answer> pool(Integer edition) {
    List<Answer> out = new ArrayList<>(answers("POOL_WATER", Surface.WATER, edition));
    out.addAll(answers("POOL_STAND", Surface.STAND, edition));
    out.addAll(answers("POOL_REACH", Surface.POOL_WALL, edition));
    return List.copyOf(out);
  }

  private List<Answer> answers(String id, Surface from, Integer edition) {
    List<Answer> out = new ArrayList<>();
    boolean known = edition != null && editions.contains(edition);
    for (Row r : rows) {
      if (r.id().equals(id) && (!known || r.editions().contains(edition))) {
        List<Integer> named = known ? List.of(edition) : r.editions();
        out.add(new Answer(id, r.feet(), from, r.applies(), r.section(), named, r.status()));
      }
    }
    return List.copyOf(out);
  }

  /** Feet and inches as they are said: 8.5 is "8 ft 6 in", 1.5 is "18 in". */
  public static String feetAndInches(double feet) {
    // Rounded down, with a hair's width for binary fractions: 9 ft 11.9 in must not read as 10 ft.
    long inches = (long) Math.floor(feet * 12 + 1e-6);
    if (inches < 24) {
      return inches + " in";
    }
    return inches % 12 == 0 ? inches / 12 + " ft" : inches / 12 + " ft " + inches % 12 + " in";
  }
}

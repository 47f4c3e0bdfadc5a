package meterside.trade;

import com.fasterxml.jackson.annotation.JsonCreator;
import com.fasterxml.jackson.annotation.JsonProperty;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import meterside.job.Sentences;

/**
 * Usual ratings of breakers (NEC table 240.6(A)) and the largest usual breaker for small wires
 * (240.4(D)). Other ratings exist: an unusual number on a photo is a question, never an error.
 *
 * @param source where the numbers come from
 * @param section section reference
 * @param standard breaker ratings in amperes, ascending
 * @param addedFrom2023 ratings that became ordinary with the 2023 edition
 * @param fusesOnly further ratings of fuses
 * @param smallWires largest usual breaker by wire
 */
public record Ratings(
    String source,
    String section,
    List<Integer> standard,
    List<Integer> addedFrom2023,
    List<Integer> fusesOnly,
    List<SmallWire> smallWires) {

  /**
   * A small wire and its largest usual breaker. Motor and air-conditioner circuits are excepted, so
   * nothing is ever flagged from this alone.
   *
   * @param metal {@code copper} or {@code aluminum}
   * @param awg wire size
   * @param amperes largest usual breaker
   */
  public record SmallWire(String metal, int awg, int amperes) {}

  /** Copies the lists. */
  @JsonCreator
  public Ratings(
      @JsonProperty("source") String source,
      @JsonProperty("section") String section,
      @JsonProperty("standard") List<Integer> standard,
      @JsonProperty("addedFrom2023") List<Integer> addedFrom2023,
      @JsonProperty("fusesOnly") List<Integer> fusesOnly,
      @JsonProperty("smallWires") List<SmallWire> smallWires) {
    this.source = source;
    this.section = section;
    this.standard = List.copyOf(standard);
    this.addedFrom2023 = List.copyOf(addedFrom2023);
    this.fusesOnly = List.copyOf(fusesOnly);
    this.smallWires = List.copyOf(smallWires);
  }

  /**
   * Whether a breaker rating is an ordinary one.
   *
   * @param amperes rating on the handle
   * @param edition edition year, or null if unknown (the 2023 additions then count as ordinary only
   *     with a question)
   */
  public boolean ordinary(int amperes, Integer edition) {
    return standard.contains(amperes)
        || (edition != null && edition >= 2023 && addedFrom2023.contains(amperes));
  }

  /** A question to the inspector about an unusual breaker rating; empty for an ordinary one. */
  public Optional<String> question(int amperes, Integer edition) {
    return ordinary(amperes, edition)
        ? Optional.empty()
        : Optional.of(Sentences.in(Ratings.class).say("rating.question", amperes));
  }

  /** The largest usual breaker for a small wire, in amperes; empty if the wire is not listed. */
  public OptionalInt largestUsual(String metal, int awg) {
    return smallWires.stream()
        .filter(w -> w.metal().equals(metal) && w.awg() == awg)
        .mapToInt(SmallWire::amperes)
        .findFirst();
  }
}

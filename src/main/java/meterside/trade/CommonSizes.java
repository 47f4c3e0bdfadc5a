package meterside.trade;

import com.fasterxml.jackson.annotation.JsonCreator;
import com.fasterxml.jackson.annotation.JsonProperty;
import java.util.List;
import java.util.Optional;
import meterside.job.Reference;

/**
 * Things of known size that lengths in photos are measured by, from {@code trade/sizes.json}. Each
 * has a source and an error; things that look alike and differ in size stand in one group, with the
 * question that tells them apart. Sizes are kept in inches, as they are published, and handed out
 * in metres. Immutable.
 */
public final class CommonSizes {
  private static final double INCH = 0.0254;

  /** The most courses that can be counted as one reference. */
  private static final int MOST = 500;

  /** How well a size is known. */
  public enum Status {
    /** A source was read. */
    SEEN,
    /** From memory; to be confirmed by measuring the thing itself. */
    MEMORY
  }

  /**
   * Things that are easily taken for one another.
   *
   * @param id id of the group
   * @param title what they are
   * @param ask what to ask oneself before choosing one
   * @param sizes the things
   */
  public record Group(String id, String title, String ask, List<Size> sizes) {
    /** Copies the list. */
    public Group {
      sizes = List.copyOf(sizes);
    }
  }

  /**
   * A thing of known size: a length, or a rectangle if it has a height.
   *
   * @param id its id
   * @param name what it is, as it is printed
   * @param inches its length, or the width of the rectangle; of one course if counted
   * @param plusMinus error of that, in inches
   * @param heightInches height of the rectangle, or null
   * @param heightPlusMinus error of that, or null
   * @param counted whether the length is that of one course, and so many are counted
   * @param source where the size comes from
   * @param status how well it is known
   */
  public record Size(
      String id,
      String name,
      double inches,
      double plusMinus,
      Double heightInches,
      Double heightPlusMinus,
      boolean counted,
      String source,
      Status status) {

    /** Whether it is a rectangle. */
    public boolean rectangle() {
      return heightInches != null;
    }

    /**
     * As a reference. Courses err alike, so the error of many is that of one as often.
     *
     * @param count how many courses; 1 for what is not counted
     */
    public Reference reference(int count) {
      if (count < 1 || count > MOST || !counted && count != 1) {
        throw new IllegalArgumentException("so many can't be counted: " + count);
      }
      if (rectangle()) {
        return new Reference(
            id, name, inches * INCH, plusMinus * INCH, heightInches * INCH, heightPlusMinus * INCH);
      }
      String what = counted ? count + " " + name : name;
      return Reference.length(id, what, inches * count * INCH, plusMinus * count * INCH);
    }
  }

  private final String source;
  private final List<Group> groups;

  /** Made from {@code trade/sizes.json}. */
  @JsonCreator
  CommonSizes(@JsonProperty("source") String source, @JsonProperty("groups") List<Group> groups) {
    this.source = source;
    this.groups = List.copyOf(groups);
  }

  /** Where the list comes from. */
  public String source() {
    return source;
  }

  /** The things, those that are easily taken for one another together. */
  public List<Group> groups() {
    return groups;
  }

  /** A thing by its id. */
  public Optional<Size> find(String id) {
    return groups.stream()
        .flatMap(g -> g.sizes().stream())
        .filter(s -> s.id().equals(id))
        .findAny();
  }

  /** The group a thing stands in. */
  public Optional<Group> groupOf(String id) {
    return groups.stream()
        .filter(g -> g.sizes().stream().anyMatch(s -> s.id().equals(id)))
        .findAny();
  }
}

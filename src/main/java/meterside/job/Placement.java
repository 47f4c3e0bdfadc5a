package meterside.job;

/**
 * Where a photo lies on the route.
 *
 * @param at the stop
 * @param basis why
 * @param confidence probability, 0 to 1, that this is its stop; 1 if it was not inferred
 */
public record Placement(StopKey at, PlacementBasis basis, double confidence) {

  /** Whether the sorting must leave it where it is. */
  public boolean fixed() {
    return basis != PlacementBasis.INFERRED;
  }
}

package meterside.markup;

import java.util.List;
import java.util.Optional;

/**
 * What a measurement in a photo gave. Always an estimate, with its error band.
 *
 * @param metres the length
 * @param plusMinus half the width of the band in which the true length lies 95 times of 100 if what
 *     was assumed holds (same plane, reference as stated), in metres
 * @param doubts what speaks against trusting it; may be empty
 * @param refused why there is no value to show, or null if there is one; {@code metres} and {@code
 *     plusMinus} are then not a number
 */
public record Measured(double metres, double plusMinus, List<Doubt> doubts, Doubt refused) {

  /** Copies the list. */
  public Measured {
    doubts = List.copyOf(doubts);
  }

  /** A measurement without a value, for a reason. */
  public static Measured refuse(Doubt why) {
    return new Measured(Double.NaN, Double.NaN, List.of(), why);
  }

  /** The length, if there is one to show. */
  public Optional<Double> value() {
    return refused == null ? Optional.of(metres) : Optional.empty();
  }

  /** Half the band as a share of the length. */
  public double share() {
    return plusMinus / metres;
  }
}

package meterside.route;

import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import java.util.Map;
import java.util.TreeMap;
import meterside.job.Phase;
import meterside.job.Stop;

/**
 * What is expected of a walk before its photos are looked at.
 *
 * @param source where the figures come from
 * @param stops by stop id
 * @param otherShare expected share of the photos that are of other systems, 0 to 1
 * @param otherStart probability that a run of other systems comes after a run
 * @param returnToGrounding probability that the walk turns to grounding out of turn after a run
 * @param backward probability that the walk goes back to a stop it has passed
 * @param excursion probability of a short turn to a stop out of turn; only photos that are fixed
 *     can be such a turn
 */
public record Priors(
    String source,
    Map<String, OfStop> stops,
    double otherShare,
    double otherStart,
    double returnToGrounding,
    double backward,
    double excursion) {

  /**
   * What is expected of a stop.
   *
   * @param share expected share of the electrical photos if the stop is visited
   * @param absent probability that it has no photo
   * @param outdoors probability that its photos have daylight
   * @param brightness how much brighter than usual it is, in deviations of a run's light: wires
   *     against the sky are brighter, the ground by a wall and attics darker
   */
  public record OfStop(double share, double absent, double outdoors, double brightness) {}

  private static final class Holder {
    static final Priors STANDARD = load();
  }

  /** Copies the map. */
  public Priors {
    stops = Map.copyOf(new TreeMap<>(stops));
  }

  /** The priors that come with the program, for a first job. */
  public static Priors standard() {
    return Holder.STANDARD;
  }

  private static Priors load() {
    try (InputStream in = Priors.class.getResourceAsStream("priors.json")) {
      return new ObjectMapper().readValue(in, Priors.class);
    } catch (IOException e) {
      throw new UncheckedIOException("unreadable in this build: priors.json", e);
    }
  }

  /** What is expected of a stop; by its phase if nothing is known of it. */
  OfStop of(Stop stop) {
    OfStop known = stops.get(stop.id());
    return known != null
        ? known
        : new OfStop(0.07, 0.1, stop.phase() == Phase.OUTSIDE ? 0.95 : 0.05, 0);
  }

  /** The first 16 hexadecimal digits of the SHA-256 of these figures, to tell priors apart. */
  public String hash() {
    StringBuilder text = new StringBuilder();
    new TreeMap<>(stops).forEach((id, of) -> text.append(id).append(of).append('\n'));
    text.append(otherShare).append(' ').append(otherStart).append(' ');
    text.append(returnToGrounding).append(' ').append(backward).append(' ').append(excursion);
    try {
      byte[] digest =
          MessageDigest.getInstance("SHA-256")
              .digest(text.toString().getBytes(StandardCharsets.UTF_8));
      return HexFormat.of().formatHex(digest, 0, 8);
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java has SHA-256", e);
    }
  }
}

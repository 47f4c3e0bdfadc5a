package meterside.job;

import java.util.List;
import java.util.Optional;

/**
 * A route: the stops in the order they are usually walked. A job carries its own copy, so that an
 * old job keeps its route when the program's routes grow.
 *
 * @param id {@code overhead} or {@code underground}
 * @param title what the screen says
 * @param stops in walking order; {@code other-systems} is the last
 */
public record RoutePlan(String id, String title, List<Stop> stops) {

  /** Copies the list. */
  public RoutePlan {
    stops = List.copyOf(stops);
  }

  /** The stop with this id, if the route has it. */
  public Optional<Stop> stop(String stopId) {
    return stops.stream().filter(s -> s.id().equals(stopId)).findFirst();
  }

  /** Position of a stop on the route from 0, or −1 if the route does not have it. */
  public int indexOf(String stopId) {
    for (int i = 0; i < stops.size(); i++) {
      if (stops.get(i).id().equals(stopId)) {
        return i;
      }
    }
    return -1;
  }
}

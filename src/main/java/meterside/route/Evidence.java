package meterside.route;

import java.util.Arrays;

/**
 * What the photos of a walk say, one entry for each photo in true-time order. {@code NaN} stands
 * for what is not known.
 *
 * @param pause natural logarithm of the seconds since the photo before; the first has none
 * @param light EV100
 * @param move natural logarithm of the metres since the photo before, by GPS
 * @param turn change of heading since the photo before, degrees from 0 to 180
 * @param change how unlike the photo before it looks, as the natural logarithm of 1 minus their
 *     cosine
 * @param fixed index of the stop where the photo must lie, or −1 if it is free
 * @param look how much likelier the photo looks at each stop than in general (a ratio), by photo
 *     and stop; an entry is null where nothing is known
 */
record Evidence(
    double[] pause,
    double[] light,
    double[] move,
    double[] turn,
    double[] change,
    int[] fixed,
    double[][] look) {

  /** Nothing known of so many photos. */
  static Evidence none(int photos) {
    double[] unknown = new double[photos];
    Arrays.fill(unknown, Double.NaN);
    int[] free = new int[photos];
    Arrays.fill(free, -1);
    return new Evidence(
        unknown,
        unknown.clone(),
        unknown.clone(),
        unknown.clone(),
        unknown.clone(),
        free,
        new double[photos][]);
  }

  int photos() {
    return pause.length;
  }
}

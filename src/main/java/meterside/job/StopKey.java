package meterside.job;

/**
 * A stop of the route, or one named instance of it (the panelboard stop may have "main panel" and
 * "garage subpanel"). Written as {@code panelboard} or {@code panelboard#garage subpanel}.
 *
 * @param stop the stop's fixed id, for example {@code meter-and-base}
 * @param instance the instance's name, empty for the stop itself
 */
public record StopKey(String stop, String instance) implements Comparable<StopKey> {

  /** Photos that are kept but are not of the electrical service; a valid stop anywhere. */
  public static final String OTHER_SYSTEMS = "other-systems";

  /** Refuses an empty stop id. */
  public StopKey {
    if (stop.isBlank()) {
      throw new IllegalArgumentException("a stop needs an id");
    }
    instance = instance == null ? "" : instance.strip();
  }

  /** The stop itself, with no instance named. */
  public static StopKey of(String stop) {
    return new StopKey(stop, "");
  }

  /** Reads the written form. */
  public static StopKey parse(String text) {
    int hash = text.indexOf('#');
    return hash < 0
        ? of(text.strip())
        : new StopKey(text.substring(0, hash).strip(), text.substring(hash + 1));
  }

  /** Whether this is {@link #OTHER_SYSTEMS}. */
  public boolean isOtherSystems() {
    return OTHER_SYSTEMS.equals(stop);
  }

  @Override
  public int compareTo(StopKey other) {
    int byStop = stop.compareTo(other.stop);
    return byStop != 0 ? byStop : instance.compareTo(other.instance);
  }

  @Override
  public String toString() {
    return instance.isEmpty() ? stop : stop + "#" + instance;
  }
}

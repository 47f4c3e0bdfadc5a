package meterside.job;

/**
 * Something of known size in a photo. Lengths are metres; an error is half the width of the band in
 * which the true size lies 95 times of 100.
 *
 * @param id id of the trade's list of common sizes, or null if the inspector gave the size
 * @param name what it is, as it is printed: "1-gang plate, height"
 * @param length the known length, or the width of the known rectangle
 * @param lengthError its error
 * @param height height of the known rectangle, or null for a length
 * @param heightError its error, or null for a length
 */
public record Reference(
    String id, String name, double length, double lengthError, Double height, Double heightError) {

  /** Refuses sizes that are none. */
  public Reference {
    boolean rectangle = height != null || heightError != null;
    if (!good(length, lengthError)
        || rectangle && (height == null || heightError == null || !good(height, heightError))) {
      throw new EditRefused("measure.reference");
    }
  }

  private static boolean good(double size, double error) {
    return size > 0 && error >= 0 && Double.isFinite(size + error);
  }

  /** A known length. */
  public static Reference length(String id, String name, double metres, double error) {
    return new Reference(id, name, metres, error, null, null);
  }

  /** Whether it is a rectangle. */
  public boolean rectangle() {
    return height != null;
  }
}

package meterside.job;

import java.util.Comparator;

/**
 * A camera of the job. Cameras are A, B … in path order; two phones of one model are told apart by
 * source folder if their files do not.
 *
 * @param id "A", "B" …
 * @param make as recorded, or null
 * @param model as recorded, or null
 * @param serial body serial number as recorded, or null; never delivered
 * @param folder source folder where it is what tells two cameras apart, or null
 * @param photographer who held it, or null
 */
public record Camera(
    String id, String make, String model, String serial, String folder, String photographer) {

  /** The order of camera ids: A to Z, then AA, AB … */
  public static final Comparator<String> ORDER =
      Comparator.comparingInt(String::length).thenComparing(Comparator.naturalOrder());

  /** What to call it on a screen: make and model as far as known. */
  public String label() {
    String m = make == null ? "" : make.strip();
    String n = model == null ? "" : model.strip();
    if (n.startsWith(m)) {
      m = "";
    }
    String both = (m + " " + n).strip();
    return both.isEmpty() ? "unnamed camera" : both;
  }
}

package meterside.intake;

import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.Set;
import java.util.TreeSet;
import meterside.job.Camera;
import meterside.job.Job;
import meterside.picture.Picture;

/**
 * Gives cameras their letters, A, B … in the order their first photos come. A camera is known again
 * by make, model and serial number; where no serial number is recorded, two cameras of one model
 * are told apart by the folder their photos came from.
 */
final class Cameras {
  private final List<Camera> known;
  private final Set<String> ids;
  private final List<Camera> fresh = new ArrayList<>();

  Cameras(Job job) {
    known = new ArrayList<>(job.cameras().values());
    ids = new TreeSet<>(job.cameras().keySet());
  }

  /** The letter of the camera that took a picture. */
  String idOf(Picture picture, String card) {
    for (Camera c : known) {
      boolean same =
          Objects.equals(c.make(), picture.make())
              && Objects.equals(c.model(), picture.model())
              && Objects.equals(c.serial(), picture.serial());
      if (same && (c.serial() != null || c.folder() == null || c.folder().equals(card))) {
        return c.id();
      }
    }
    String folder = picture.serial() == null ? card : null;
    Camera next =
        new Camera(nextId(), picture.make(), picture.model(), picture.serial(), folder, null);
    ids.add(next.id());
    known.add(next);
    fresh.add(next);
    return next.id();
  }

  /** Cameras that were new since this was last asked. */
  List<Camera> takeFresh() {
    List<Camera> out = List.copyOf(fresh);
    fresh.clear();
    return out;
  }

  private String nextId() {
    for (int i = 0; ; i++) {
      String id = letters(i);
      if (!ids.contains(id)) {
        return id;
      }
    }
  }

  /** A to Z, then AA, AB … */
  static String letters(int i) {
    String last = String.valueOf((char) ('A' + i % 26));
    return i < 26 ? last : letters(i / 26 - 1) + last;
  }
}

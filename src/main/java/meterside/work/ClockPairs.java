package meterside.work;

import java.time.Duration;
import java.time.LocalDateTime;
import meterside.job.Clock;
import meterside.job.ClockBasis;
import meterside.job.Job;
import meterside.job.Photo;
import meterside.job.TimeBasis;
import meterside.job.TrueTime;

/** Sets a camera's clock by two photos of the same moment, one of it and one of another camera. */
public final class ClockPairs {
  /** Each camera rounds down to its own second, so a pair is known to about one second. */
  private static final double UNCERTAIN_SECONDS = 1;

  private ClockPairs() {}

  /**
   * The clock of a camera by a pair.
   *
   * @param mine a photo of the camera that is to be set
   * @param other a photo of another camera, whose clock is believed
   * @throws NotDone if both are of one camera, or one has no time that its camera wrote
   */
  public static Clock of(Job job, Photo mine, Photo other) {
    if (mine.camera().equals(other.camera())) {
      throw new NotDone(NotDone.WRONG_USE, "clock.pair-cameras", mine.camera());
    }
    LocalDateTime wall = mine.recorded().wall().orElse(null);
    TrueTime truth = job.trueTime(other);
    if (wall == null || truth.basis() == TimeBasis.FILE || truth.basis() == TimeBasis.NONE) {
      throw new NotDone(NotDone.WRONG_USE, "clock.pair-times");
    }
    LocalDateTime local =
        mine.recorded()
            .zoneOffset()
            .map(z -> LocalDateTime.ofInstant(truth.at(), z))
            .orElseGet(() -> LocalDateTime.ofInstant(truth.at(), job.zone()));
    return new Clock(Duration.between(local, wall).toMillis(), ClockBasis.PAIR, UNCERTAIN_SECONDS);
  }
}

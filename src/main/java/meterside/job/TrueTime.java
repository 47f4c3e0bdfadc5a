package meterside.job;

import java.time.Instant;

/**
 * When a photo was taken, as derived from what was recorded, the job's zone and the camera's clock.
 *
 * @param at the instant; {@link Instant#EPOCH} if the basis is {@link TimeBasis#NONE}
 * @param basis where it comes from
 * @param repeated whether the wall time occurs twice (clocks set back); the earlier one was taken
 * @param shifted whether the wall time does not exist (clocks set forward); it was moved by the gap
 */
public record TrueTime(Instant at, TimeBasis basis, boolean repeated, boolean shifted) {}

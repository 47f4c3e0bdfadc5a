package meterside.job;

/**
 * Something to inspect, describe or report at a stop.
 *
 * @param id fixed id, unique within its stop, for example {@code drip-loop}
 * @param stop id of the stop it belongs to
 * @param kind what it asks for
 * @param text what the screen says, in our own words
 * @param sampled whether it is counted by room with exceptions
 * @param source where the duty comes from, or {@code common practice, no source}
 */
public record Duty(
    String id, String stop, DutyKind kind, String text, boolean sampled, String source) {}

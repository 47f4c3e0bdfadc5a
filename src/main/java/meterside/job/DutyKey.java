package meterside.job;

/**
 * A duty at a stop or at one instance of it.
 *
 * @param at the stop or instance
 * @param duty the duty's id
 */
public record DutyKey(StopKey at, String duty) {}

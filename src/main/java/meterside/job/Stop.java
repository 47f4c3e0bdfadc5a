package meterside.job;

/**
 * A stop on the route.
 *
 * @param id fixed id, kept forever, for example {@code service-drop}
 * @param title what the screen and the report say
 * @param phase where on the walk it lies
 */
public record Stop(String id, String title, Phase phase) {}

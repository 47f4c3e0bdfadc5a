package meterside.job;

/**
 * Where photos came from.
 *
 * @param kind what kind of place it was
 * @param label name of the card or folder, or null
 * @param maybeReencoded whether the files may be no longer the camera's own bytes
 */
public record Source(SourceKind kind, String label, boolean maybeReencoded) {}

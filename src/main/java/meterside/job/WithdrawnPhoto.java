package meterside.job;

/**
 * What is left of a photo, or of a file kept beside the photos, that was withdrawn: its bytes are
 * gone. Who did it and when is in the journal.
 *
 * @param id SHA-256 of the bytes it had
 * @param name original file name
 * @param reason why
 * @param movedTo name of the job it was moved to, or null
 */
public record WithdrawnPhoto(PhotoId id, String name, String reason, String movedTo) {}

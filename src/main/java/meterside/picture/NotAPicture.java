package meterside.picture;

/**
 * No picture of a kind that is kept as a photo.
 *
 * @param sentence why, naming the file
 */
public record NotAPicture(String sentence) implements Reading {}

package meterside.search;

/**
 * A stretch of a text that meets a question.
 *
 * @param from position of its first character
 * @param to position after its last one
 */
public record Stretch(int from, int to) {}

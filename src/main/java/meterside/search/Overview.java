package meterside.search;

/**
 * An answer with what it could be narrowed down to.
 *
 * @param found the answer
 * @param counts how many there are of each
 */
public record Overview(Found found, Counts counts) {}

package meterside.search;

/**
 * A question for findings that are worded alike.
 *
 * @param text what was seen, and why if it is known
 * @param part id of the part, or null
 * @param stop id of the stop, or null
 * @param job folder name of the job the text is from, or null
 * @param finding number of the finding it is from, which is left out of the answer; or null
 * @param limit how many are wanted at most
 */
public record Like(String text, String part, String stop, String job, Integer finding, int limit) {}

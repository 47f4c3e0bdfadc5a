package meterside.search;

import java.util.List;

/**
 * A question for what is like a finding or a photo: worded alike, of the same part, looking alike.
 *
 * @param wanted what is looked for: findings or photos
 * @param text what was seen, and why if it is known; for a photo also what is noted on it
 * @param parts ids of the parts, may be empty
 * @param stop id of the stop, or null
 * @param looks looks of its photos as {@link meterside.picture.Look} makes them, may be empty
 * @param job folder name of the job it is from, or null
 * @param finding number of the finding it is from, or null
 * @param sameJob whether the answer may be from the same job; the finding itself is left out
 * @param limit how many are wanted at most
 */
public record Like(
    Hit.Kind wanted,
    String text,
    List<String> parts,
    String stop,
    List<float[]> looks,
    String job,
    Integer finding,
    boolean sameJob,
    int limit) {

  /** Copies the lists. */
  public Like {
    parts = List.copyOf(parts);
    looks = List.copyOf(looks);
  }

  /** Findings of any job that are worded like a text, without photos to go by. */
  public Like(String text, String part, String stop, String job, Integer finding, int limit) {
    this(
        Hit.Kind.FINDING,
        text,
        part == null ? List.of() : List.of(part),
        stop,
        List.of(),
        job,
        finding,
        true,
        limit);
  }
}

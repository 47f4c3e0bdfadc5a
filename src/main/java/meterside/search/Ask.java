package meterside.search;

import java.time.LocalDate;
import meterside.job.FindingKind;

/**
 * A question to past jobs. Every component but {@code limit} and {@code typing} may be null, which
 * asks for nothing in particular. All filters must hold together.
 *
 * @param words words as they were typed, in any form; quotes hold words together. Null or blank
 *     asks for everything that the filters let through, newest first
 * @param stop id of a stop, or a stop with its instance as {@link meterside.job.StopKey} writes it
 * @param part id of a part, or any word for one
 * @param kind kind of finding; lets only findings through
 * @param from first day of inspection
 * @param to last day of inspection
 * @param job folder name of a job
 * @param camera label of a camera as {@link meterside.job.Camera#label} says it; lets only photos
 *     through
 * @param only lets only photos, only findings or only jobs through
 * @param hasFinding photos that a finding or a mark of a finding names (true) or that none does
 *     (false); true lets findings through as well
 * @param limit how many hits are wanted at most
 * @param typing whether the last word may be unfinished
 */
public record Ask(
    String words,
    String stop,
    String part,
    FindingKind kind,
    LocalDate from,
    LocalDate to,
    String job,
    String camera,
    Hit.Kind only,
    Boolean hasFinding,
    int limit,
    boolean typing) {

  /** How many hits a question gets if it does not say. */
  public static final int USUAL_LIMIT = 50;

  /** A question in finished words, with the filters that the command line knows. */
  public Ask(
      String words,
      String stop,
      String part,
      FindingKind kind,
      LocalDate from,
      LocalDate to,
      String job,
      int limit) {
    this(words, stop, part, kind, from, to, job, null, null, null, limit, false);
  }

  /** A question in finished words without filters. */
  public static Ask words(String words) {
    return new Ask(words, null, null, null, null, null, null, USUAL_LIMIT);
  }

  /** The same question while its last word is being typed. */
  public Ask whileTyping() {
    return new Ask(words, stop, part, kind, from, to, job, camera, only, hasFinding, limit, true);
  }

  /** The same question for more or fewer hits. */
  public Ask withLimit(int hits) {
    return new Ask(words, stop, part, kind, from, to, job, camera, only, hasFinding, hits, typing);
  }

  /** The same question with another stop, or null for any. */
  public Ask withStop(String id) {
    return new Ask(words, id, part, kind, from, to, job, camera, only, hasFinding, limit, typing);
  }

  /** The same question with another part, or null for any. */
  public Ask withPart(String id) {
    return new Ask(words, stop, id, kind, from, to, job, camera, only, hasFinding, limit, typing);
  }

  /** The same question with another kind of finding, or null for any. */
  public Ask withKind(FindingKind k) {
    return new Ask(words, stop, part, k, from, to, job, camera, only, hasFinding, limit, typing);
  }

  /** The same question between two days of inspection, each null for no bound. */
  public Ask withDays(LocalDate first, LocalDate last) {
    return new Ask(
        words, stop, part, kind, first, last, job, camera, only, hasFinding, limit, typing);
  }

  /** The same question with another camera, or null for any. */
  public Ask withCamera(String label) {
    return new Ask(words, stop, part, kind, from, to, job, label, only, hasFinding, limit, typing);
  }

  /** The same question for one kind of thing, or null for all. */
  public Ask withOnly(Hit.Kind thing) {
    return new Ask(
        words, stop, part, kind, from, to, job, camera, thing, hasFinding, limit, typing);
  }

  /** The same question with or without findings, or null for both. */
  public Ask withHasFinding(Boolean has) {
    return new Ask(words, stop, part, kind, from, to, job, camera, only, has, limit, typing);
  }
}

package meterside.report;

import java.time.Instant;
import meterside.job.Job;

/**
 * How a report is made.
 *
 * @param draft whether it is a draft and says so on every page
 * @param keepLocation whether the positions that the cameras recorded go into the evidence table
 * @param author who makes it, or null; the creator of its annotations, and the inspector where the
 *     job facts name none
 * @param at when it is made
 * @param number number of the report, 1 or higher
 * @param head hash of the journal's last line, 64 hexadecimal digits, or null if not known
 * @param paper what the PDF is printed on
 * @param earlier the report issued before this one, or null; what changed since is then said
 * @param license the line on the author's license, or null
 * @param keyFingerprint fingerprint of the key that the job's packages are signed with, or null
 */
public record ReportOptions(
    boolean draft,
    boolean keepLocation,
    String author,
    Instant at,
    int number,
    String head,
    Paper paper,
    Earlier earlier,
    String license,
    String keyFingerprint) {

  /**
   * A report that was issued before.
   *
   * @param number its number
   * @param at when it was issued
   * @param job the job as it was then
   */
  public record Earlier(int number, Instant at, Job job) {}

  /** A first report on Letter paper, without a key. */
  public ReportOptions(
      boolean draft, boolean keepLocation, String author, Instant at, int number, String head) {
    this(draft, keepLocation, author, at, number, head, Paper.LETTER, null, null, null);
  }

  /** The same on another paper. */
  public ReportOptions on(Paper other) {
    return new ReportOptions(
        draft, keepLocation, author, at, number, head, other, earlier, license, keyFingerprint);
  }

  /** The same, saying what changed since an earlier report; null says nothing. */
  public ReportOptions after(Earlier report) {
    return new ReportOptions(
        draft, keepLocation, author, at, number, head, paper, report, license, keyFingerprint);
  }

  /** The same with a line on the author's license; null for none. */
  public ReportOptions licensed(String line) {
    return new ReportOptions(
        draft, keepLocation, author, at, number, head, paper, earlier, line, keyFingerprint);
  }

  /** The same, naming the key that packages of the job are signed with; null names none. */
  public ReportOptions signedWith(String fingerprint) {
    return new ReportOptions(
        draft, keepLocation, author, at, number, head, paper, earlier, license, fingerprint);
  }
}

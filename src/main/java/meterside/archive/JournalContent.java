package meterside.archive;

import java.util.List;
import meterside.job.History;
import meterside.job.JobHeader;

/**
 * What a journal held when it was read: every line checked, every edit folded once.
 *
 * @param header line 1
 * @param entries the edits, from line 2
 * @param head hash of the last good line, 64 lower-case hexadecimal digits
 * @param goodLength bytes up to and with the last good line's newline
 * @param tornTail whether bytes after that were dropped
 * @param readOnly whether it holds edits that this program does not understand; nothing may then be
 *     written. The edits that are understood are folded, the others stand in their place as {@link
 *     meterside.job.Edit.NotUnderstood} and change nothing
 * @param readOnlySentence what to tell the user then, else null
 */
public record JournalContent(
    JobHeader header,
    List<History.Entry> entries,
    String head,
    long goodLength,
    boolean tornTail,
    boolean readOnly,
    String readOnlySentence) {
  /** Copies the list. */
  public JournalContent {
    entries = List.copyOf(entries);
  }

  /** The fold, fresh; the caller may go on with it. */
  public History history() {
    History history = new History(header);
    entries.forEach(history::accept);
    return history;
  }

  /** What the user should be told about the reading; empty if nothing. */
  public List<String> notices() {
    java.util.ArrayList<String> out = new java.util.ArrayList<>();
    if (tornTail) {
      out.add(ArchiveException.say("journal.torn"));
    }
    if (readOnly) {
      out.add(readOnlySentence);
    }
    return List.copyOf(out);
  }
}

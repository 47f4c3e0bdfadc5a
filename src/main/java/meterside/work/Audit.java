package meterside.work;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import meterside.archive.JobFolder;
import meterside.archive.JournalContent;
import meterside.job.Edit;
import meterside.job.History;
import meterside.job.Job;
import meterside.job.Sentences;

/**
 * Who did what when in a job: one row for every line of its journal, undone ones too.
 *
 * @param zone zone of the house, in which job time is given
 * @param rows in the order of the journal
 */
public record Audit(ZoneId zone, List<Row> rows) {
  private static final DateTimeFormatter LOCAL =
      DateTimeFormatter.ofPattern("yyyy-MM-dd HH:mm:ss.SSS xxx", Locale.ROOT);

  /**
   * One line of the journal.
   *
   * @param line its number, from 1
   * @param at when it was written
   * @param author who wrote it
   * @param step the step it belongs to; 0 for line 1
   * @param what what was done
   * @param inForce whether it counts now; false for what was undone
   * @param hash its hash, which holds all lines before it
   */
  public record Row(
      long line, Instant at, String author, long step, String what, boolean inForce, String hash) {}

  /** Copies the list. */
  public Audit {
    rows = List.copyOf(rows);
  }

  /**
   * Reads a job's journal, checked, without its lock.
   *
   * @throws meterside.archive.ArchiveException if it is broken or of a newer format
   */
  public static Audit of(Workspace w, String job) {
    JobFolder.Chain chain = w.folder(job).chain();
    JournalContent content = chain.content();
    List<String> hashes = chain.heads();
    History history = content.history();
    Job now = history.job();
    Set<Long> inForce = new HashSet<>();
    history.steps().forEach(step -> step.edits().forEach(e -> inForce.add(e.seq())));
    List<Row> rows = new ArrayList<>();
    for (History.Entry e : content.entries()) {
      boolean cursor = e.edit() instanceof Edit.StepBack || e.edit() instanceof Edit.StepForward;
      rows.add(
          new Row(
              e.seq(),
              e.at(),
              e.author(),
              e.step(),
              StepTitles.ofEntries(List.of(e), now),
              cursor || inForce.contains(e.seq()),
              hashes.get((int) e.seq() - 1)));
    }
    return new Audit(now.zone(), rows);
  }

  /** A moment as the house's clock shows it, with its offset from UTC. */
  public static String jobTime(Instant at, ZoneId zone) {
    return LOCAL.format(at.atZone(zone));
  }

  /** The rows as comma-separated values (RFC 4180): UTC and job time in columns of their own. */
  public String csv() {
    StringBuilder out = new StringBuilder(say("audit.header")).append("\r\n");
    for (Row r : rows) {
      out.append(r.line()).append(',');
      out.append(r.at()).append(',');
      out.append(jobTime(r.at(), zone)).append(',');
      out.append(text(r.author())).append(',');
      out.append(r.step()).append(',');
      out.append(text(r.what())).append(',');
      out.append(say(r.inForce() ? "audit.in-force" : "audit.undone")).append(',');
      out.append(r.hash()).append("\r\n");
    }
    return out.toString();
  }

  /** Quoted; a sign that a spreadsheet would take for a formula is kept from its first place. */
  private static String text(String value) {
    boolean formula = !value.isEmpty() && "=+-@\t\r".indexOf(value.charAt(0)) >= 0;
    return '"' + (formula ? "'" : "") + value.replace("\"", "\"\"") + '"';
  }

  /**
   * Writes the table, in UTF-8 with a byte order mark, by which spreadsheets know it.
   *
   * @throws NotDone if it can't be written
   */
  public void write(Path file) {
    try {
      Files.write(file, ('\ufeff' + csv()).getBytes(StandardCharsets.UTF_8));
    } catch (IOException e) {
      throw new NotDone(NotDone.NOT_NOW, "audit.not-written", file);
    }
  }

  private static String say(String key, Object... arguments) {
    return Sentences.in(Audit.class).say(key, arguments);
  }
}

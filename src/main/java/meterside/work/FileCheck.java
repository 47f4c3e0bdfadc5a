package meterside.work;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Instant;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import meterside.archive.ArchiveException;
import meterside.archive.JournalContent;
import meterside.archive.Sha256;
import meterside.job.Edit;
import meterside.job.Extract;
import meterside.job.History;
import meterside.job.IssuedReport;
import meterside.job.Job;
import meterside.job.Photo;
import meterside.job.Sentences;
import meterside.report.Printed;

/**
 * Whether a file is one that was issued from this archive: a file of a report, of an extract, or an
 * original photo. The journals say so by its SHA-256, wherever the file lies and whatever its name.
 *
 * @param file the file
 * @param sha256 its hash, 64 hexadecimal digits
 * @param issued whether it is one
 * @param what {@code report}, {@code extract}, {@code original}, {@code changed} or {@code unknown}
 * @param job the job it is of, or null
 * @param sentences what was found, in plain words
 */
public record FileCheck(
    Path file, String sha256, boolean issued, String what, String job, List<String> sentences) {

  private static final DateTimeFormatter WHEN =
      DateTimeFormatter.ofPattern("uuuu-MM-dd HH:mm", Locale.ROOT);

  /** Copies the list. */
  public FileCheck {
    sentences = List.copyOf(sentences);
  }

  /**
   * Looks for a file in all journals of an archive.
   *
   * @throws NotDone if the file can't be read
   */
  public static FileCheck of(Workspace workspace, Path file) {
    try {
      String hash = Sha256.of(file).hex();
      Map<String, JournalContent> journals = new TreeMap<>();
      List<String> damaged = new ArrayList<>();
      for (String name : workspace.jobNames()) {
        try {
          journals.put(name, workspace.folder(name).read());
        } catch (ArchiveException e) {
          damaged.add(say("check.damaged", name, e.getMessage()));
        }
      }
      for (Map.Entry<String, JournalContent> job : journals.entrySet()) {
        FileCheck found = in(job.getKey(), job.getValue(), file, hash);
        if (found != null) {
          return found;
        }
      }
      Set<String> printed = Printed.hashes(file);
      for (Map.Entry<String, JournalContent> job : journals.entrySet()) {
        for (History.Entry e : job.getValue().entries()) {
          if (e.edit() instanceof Edit.IssueReport r && printed.contains(r.report().head())) {
            String sentence = say("check.changed", r.report().number(), job.getKey());
            return new FileCheck(file, hash, false, "changed", job.getKey(), List.of(sentence));
          }
        }
      }
      List<String> sentences = new ArrayList<>();
      sentences.add(say("check.unknown"));
      sentences.addAll(damaged);
      return new FileCheck(file, hash, false, "unknown", null, sentences);
    } catch (IOException e) {
      String why = e.getMessage() == null ? e.getClass().getSimpleName() : e.getMessage();
      throw new NotDone(NotDone.WRONG_USE, "check.unreadable", file, why);
    }
  }

  private static FileCheck in(String name, JournalContent journal, Path file, String hash) {
    Job now = journal.history().job();
    FileCheck original = null;
    for (History.Entry e : journal.entries()) {
      if (e.edit() instanceof Edit.IssueReport r) {
        String path = path(r.report().files(), hash);
        if (path != null) {
          return report(name, now, e, r.report(), path, file, hash);
        }
      } else if (e.edit() instanceof Edit.RecordExtract x) {
        String path = path(x.extract().files(), hash);
        if (path != null) {
          return extract(name, now, e, x.extract(), path, file, hash);
        }
      } else if (e.edit() instanceof Edit.AddPhotos added) {
        for (Photo p : added.photos()) {
          if (p.id().hex().equals(hash)) {
            String sentence = say("check.original", p.name(), name);
            original = new FileCheck(file, hash, true, "original", name, List.of(sentence));
          }
        }
      }
    }
    return original;
  }

  private static FileCheck report(
      String name,
      Job now,
      History.Entry entry,
      IssuedReport report,
      String path,
      Path file,
      String hash) {
    List<String> sentences = new ArrayList<>();
    String when = when(entry.at(), now.zone());
    sentences.add(say("check.report", path, report.number(), name, when, entry.author()));
    int last = now.reports().stream().mapToInt(IssuedReport::number).max().orElse(0);
    if (last > report.number()) {
      sentences.add(say("check.later", last));
    }
    return new FileCheck(file, hash, true, "report", name, sentences);
  }

  private static FileCheck extract(
      String name,
      Job now,
      History.Entry entry,
      Extract extract,
      String path,
      Path file,
      String hash) {
    String what = say("extract." + Names.id(extract.kind()));
    String to = extract.to() == null ? say("extract.nobody") : extract.to();
    String when = when(entry.at(), now.zone());
    String sentence = say("check.extract", path, what, name, when, entry.author(), to);
    return new FileCheck(file, hash, true, "extract", name, List.of(sentence));
  }

  /** The path of the file with that hash; of several, the first by name. */
  private static String path(Map<String, String> files, String hash) {
    return files.entrySet().stream()
        .filter(f -> f.getValue().equals(hash))
        .map(Map.Entry::getKey)
        .sorted()
        .findFirst()
        .orElse(null);
  }

  private static String when(Instant at, ZoneId zone) {
    return WHEN.format(at.atZone(zone));
  }

  private static String say(String key, Object... arguments) {
    return Sentences.in(FileCheck.class).say(key, arguments);
  }
}

package meterside.report;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.stream.Collectors;
import meterside.archive.JobFolder;
import meterside.job.Camera;
import meterside.job.Edit;
import meterside.job.History;
import meterside.job.Job;
import meterside.job.Mark;
import meterside.job.PhotoId;
import meterside.job.Progress;
import meterside.job.Redaction;
import meterside.trade.Trade;

/**
 * Writes a report into a folder:
 *
 * <pre>
 * report.html            one file, opens offline
 * report.pdf             PDF/UA-1 and PDF/A-2a
 * report-mail.pdf        the same below 10 MB, with smaller pictures where it must be
 * marked/01-service-drop-IMG_0412.jpg …
 * annotations.jsonld     W3C Web Annotations
 * tables/findings.csv, photos.csv, answers.csv, device-tests.csv
 * </pre>
 *
 * <p>Everything is made in a hidden folder beside its place and moved when all of it is done. What
 * an earlier report left in the same folder under these names is replaced, its marked photos too:
 * one of them may have been redacted since. Other files in the folder are left alone.
 */
public final class ReportWriter {
  private static final String HTML = "report.html";
  private static final String PDF = "report.pdf";
  private static final String MAIL = "report-mail.pdf";
  private static final String ANNOTATIONS = "annotations.jsonld";
  private static final String MARKED = "marked";
  private static final String TABLES = "tables";

  /** Steps after the photos: HTML, PDF, and the rest. */
  private static final int MORE_STEPS = 3;

  private final Job job;
  private final JobFolder folder;
  private final Content content;
  private final Gallery gallery;

  private ReportWriter(Job job, JobFolder folder, Content content, Progress progress) {
    this.job = job;
    this.folder = folder;
    this.content = content;
    this.gallery = new Gallery(folder, progress, content.figures().size() + MORE_STEPS);
  }

  /**
   * Writes the report of a job.
   *
   * @param job the job as it is to be told
   * @param folder where its originals and its journal lie; only read
   * @param trade the trade's words
   * @param dir the folder to write into; made if it is not there
   * @param options draft or not, private or not, paper
   * @param progress told of every photo; may stop the work
   * @return the files with their hashes, and what was left out
   * @throws ReportFailed with a sentence, if the report could not be written or was stopped; no
   *     part of it is then there
   * @throws meterside.archive.ArchiveException if the journal can't be read
   */
  public static ReportFiles write(
      Job job, JobFolder folder, Trade trade, Path dir, ReportOptions options, Progress progress) {
    Content content = Content.of(job, trade, options);
    ReportWriter writer = new ReportWriter(job, folder, content, progress);
    Delivery.Done done =
        Delivery.into(
            dir,
            List.of(HTML, PDF, MAIL, ANNOTATIONS),
            List.of(MARKED, TABLES),
            MARKED,
            writer::make);
    return new ReportFiles(done.hashes(), writer.leftOut(done.stale()));
  }

  /**
   * The marks of a job as W3C Web Annotations, as a report has them.
   *
   * @throws meterside.archive.ArchiveException if the journal can't be read
   */
  public static String annotations(Job job, JobFolder folder, Trade trade, ReportOptions options) {
    Content content = Content.of(job, trade, options);
    ReportWriter writer = new ReportWriter(job, folder, content, Progress.NONE);
    return Annotations.write(content, writer.markTimes());
  }

  /**
   * Takes away the marked photos of an earlier report in a folder that this one does not have: one
   * of them may have been redacted since. For whoever copies a report there.
   *
   * @param dir the folder; may not be there
   * @param names the files of this report, by their path within it
   * @return how many were taken away
   * @throws IOException if one can't be deleted
   */
  public static int clearMarked(Path dir, Set<String> names) throws IOException {
    Map<String, String> kept = names.stream().collect(Collectors.toMap(n -> n, n -> ""));
    return Delivery.clear(dir.resolve(MARKED), MARKED, HTML, kept);
  }

  // ---- making ----

  private void make(Path staging) throws IOException {
    gallery.take(content, staging.resolve(MARKED));
    Pictures.Set pictures = gallery.set();
    gallery.stopIfAsked();

    try (Writer out = Files.newBufferedWriter(staging.resolve(HTML), StandardCharsets.UTF_8)) {
      Page.write(content, pictures, Page.Medium.SCREEN, Page.Edition.REPORT, out);
    }
    gallery.step();
    byte[] pdf = pdf(content, pictures, Page.Edition.REPORT);
    Files.write(staging.resolve(PDF), pdf);
    Files.write(staging.resolve(MAIL), forMail(pdf, pictures));
    gallery.step();

    Files.writeString(staging.resolve(ANNOTATIONS), Annotations.write(content, markTimes()));
    Files.createDirectories(staging.resolve(TABLES));
    for (Map.Entry<String, String> table : Tables.of(content).entrySet()) {
      Files.writeString(staging.resolve(TABLES).resolve(table.getKey()), table.getValue());
    }
    gallery.step();
  }

  /** One PDF of a content. */
  static byte[] pdf(Content content, Pictures.Set pictures, Page.Edition edition)
      throws IOException {
    StringBuilder page = new StringBuilder();
    Page.write(content, pictures, Page.Medium.PRINT, edition, page);
    ByteArrayOutputStream pdf = new ByteArrayOutputStream();
    PdfPrinter.print(page.toString(), uri -> Gallery.bytes(pictures, uri), pdf);
    return pdf.toByteArray();
  }

  /** The PDF below 10 MB: the full one if it is, else one with smaller pictures. */
  private byte[] forMail(byte[] full, Pictures.Set pictures) throws IOException {
    if (full.length <= MailSize.MOST_BYTES) {
      return full;
    }
    gallery.stopIfAsked();
    long rest = full.length - MailSize.bytes(pictures);
    return pdf(content, MailSize.of(pictures, Math.max(0, rest)), Page.Edition.REPORT);
  }

  private Map<Integer, Annotations.Times> markTimes() {
    Map<Integer, Annotations.Times> out = new HashMap<>();
    for (History.Entry entry : folder.read().entries()) {
      Mark mark =
          entry.edit() instanceof Edit.PutCallout c
              ? c.callout()
              : entry.edit() instanceof Edit.PutOutline o ? o.outline() : null;
      if (mark != null) {
        Instant at = entry.at();
        out.merge(
            mark.id(),
            new Annotations.Times(at, at),
            (was, now) -> new Annotations.Times(was.created(), now.modified()));
      }
    }
    return out;
  }

  // ---- what was left out ----

  private List<String> leftOut(int stale) {
    List<String> out = new ArrayList<>();
    boolean keep = content.options().keepLocation();
    out.add(Words.say(keep ? "left.metadata-but-location" : "left.metadata"));
    Set<PhotoId> shown = new HashSet<>();
    Set<String> cameras = new HashSet<>();
    int located = 0;
    int covered = 0;
    for (Figure f : content.figures()) {
      shown.add(f.photo().id());
      cameras.add(f.photo().camera());
      located += f.photo().position() == null ? 0 : 1;
      covered += (int) f.marks().stream().filter(m -> m instanceof Redaction).count();
    }
    if (!keep) {
      some(out, "left.positions", located);
    }
    long serials =
        cameras.stream()
            .map(job.cameras()::get)
            .filter(Objects::nonNull)
            .map(Camera::serial)
            .filter(s -> s != null && !s.isBlank())
            .count();
    some(out, "left.serials", (int) serials);
    some(out, "left.covered", covered);
    out.add(Words.say("left.history"));
    some(out, "left.aside", job.aside().size());
    some(
        out,
        "left.notes",
        (int) job.notesToSelf().stream().filter(p -> !job.aside().containsKey(p)).count());
    some(
        out,
        "left.unused",
        (int)
            job.photos().keySet().stream()
                .filter(p -> Selection.delivered(job, p) && !shown.contains(p))
                .count());
    Selection.named(job)
        .forEach(
            (photo, by) -> {
              if (!Selection.delivered(job, photo)) {
                out.add(Words.say("left.referred", job.photo(photo).name(), String.join(", ", by)));
              }
            });
    for (Figure f : content.figures()) {
      Pictures.Shot shot = gallery.shot(f);
      if (shot.page() == null) {
        out.add(Words.say("left.no-picture", f.photo().name(), shot.trouble()));
      }
    }
    some(out, "left.stale", stale);
    return out;
  }

  private static void some(List<String> out, String key, int n) {
    if (n > 0) {
      out.add(Words.count(key, n));
    }
  }
}

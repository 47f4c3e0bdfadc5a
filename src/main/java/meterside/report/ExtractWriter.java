package meterside.report;

import java.io.IOException;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import meterside.archive.JobFolder;
import meterside.archive.Sha256;
import meterside.job.ExtractKind;
import meterside.job.FindingKind;
import meterside.job.Job;
import meterside.job.Photo;
import meterside.job.Progress;
import meterside.job.Redaction;
import meterside.trade.Trade;

/**
 * Writes what is handed out beside the report:
 *
 * <pre>
 * fix list           fix-list.html, fix-list.pdf, fix-list.csv
 * for electrician    for-electrician.html, for-electrician.pdf, photos/…jpg
 * originals          originals/… as the cameras wrote them, SHA256SUMS, originals.csv, READ-ME.txt
 * </pre>
 *
 * <p>The first two are as private as the report. Originals can't be: a file that is changed in any
 * way no longer has its hash. So they hold whatever the camera wrote, which is said, and a photo
 * with a covered area is not among them.
 */
public final class ExtractWriter {
  private static final String FIX_LIST = "fix-list";
  private static final String ELECTRICIAN = "for-electrician";
  private static final String PHOTOS = "photos";
  private static final String ORIGINALS = "originals";

  /** The form that the usual checking tools read: hash, two blanks, name. */
  private static final String SUMS = "SHA256SUMS";

  private static final String READ_ME = "READ-ME.txt";

  private final Job job;
  private final JobFolder folder;
  private final Content content;
  private final Progress progress;
  private final List<String> leftOut = new ArrayList<>();

  private ExtractWriter(Job job, JobFolder folder, Content content, Progress progress) {
    this.job = job;
    this.folder = folder;
    this.content = content;
    this.progress = progress;
  }

  /**
   * Writes an extract of a job.
   *
   * @param job the job as it is to be told
   * @param folder where its originals lie; only read
   * @param trade the trade's words
   * @param kind which extract
   * @param to who gets it, or null if that is not said
   * @param dir the folder to write into; made if it is not there
   * @param options who makes it, when, and on what paper; number and draft do not matter
   * @param progress told of every photo; may stop the work
   * @return the files with their hashes, and what was left out or what is in them
   * @throws ReportFailed with a sentence, if it could not be written or was stopped; no part of it
   *     is then there
   */
  public static ReportFiles write(
      Job job,
      JobFolder folder,
      Trade trade,
      ExtractKind kind,
      String to,
      Path dir,
      ReportOptions options,
      Progress progress) {
    Content whole = Content.of(job, trade, options);
    Content content =
        whole.extract(
            to, f -> kind == ExtractKind.ORIGINALS || f.finding().kind() != FindingKind.NOTE);
    ExtractWriter w = new ExtractWriter(job, folder, content, progress);
    Delivery.Done done =
        switch (kind) {
          case FIX_LIST ->
              Delivery.into(
                  dir,
                  List.of(FIX_LIST + ".html", FIX_LIST + ".pdf", FIX_LIST + ".csv"),
                  List.of(),
                  null,
                  w::fixList);
          case FOR_ELECTRICIAN ->
              Delivery.into(
                  dir,
                  List.of(ELECTRICIAN + ".html", ELECTRICIAN + ".pdf"),
                  List.of(PHOTOS),
                  PHOTOS,
                  w::forElectrician);
          case ORIGINALS ->
              Delivery.into(
                  dir,
                  List.of(SUMS, "originals.csv", READ_ME),
                  List.of(ORIGINALS),
                  ORIGINALS,
                  staging -> w.originals(staging, whole.figures()));
        };
    if (done.stale() > 0) {
      w.leftOut.add(Words.count("left.stale", done.stale()));
    }
    return new ReportFiles(done.hashes(), w.leftOut);
  }

  private void fixList(Path staging) throws IOException {
    Pictures.Set none = new Pictures.Set(Map.of(), Map.of());
    pages(staging, FIX_LIST, Page.Edition.FIX_LIST, none);
    Files.writeString(staging.resolve(FIX_LIST + ".csv"), Tables.findings(content));
    progress.at(1, 1);
    leftOut.add(Words.say("left.metadata"));
    notes();
  }

  private void forElectrician(Path staging) throws IOException {
    Gallery gallery = new Gallery(folder, progress, content.figures().size() + 1L);
    gallery.take(content, staging.resolve(PHOTOS));
    pages(staging, ELECTRICIAN, Page.Edition.ELECTRICIAN, gallery.set());
    gallery.step();
    leftOut.add(Words.say("left.metadata"));
    notes();
  }

  private void notes() {
    long notes = job.findings().values().stream().filter(f -> f.kind() == FindingKind.NOTE).count();
    if (notes > 0) {
      leftOut.add(Words.count("left.finding-notes", (int) notes));
    }
  }

  private void pages(Path staging, String name, Page.Edition edition, Pictures.Set pictures)
      throws IOException {
    Path html = staging.resolve(name + ".html");
    try (Writer out = Files.newBufferedWriter(html, StandardCharsets.UTF_8)) {
      Page.write(content, pictures, Page.Medium.SCREEN, edition, out);
    }
    byte[] pdf = ReportWriter.pdf(content, pictures, edition);
    Files.write(staging.resolve(name + ".pdf"), pdf);
  }

  /** The originals of the report's figures, byte for byte. */
  private void originals(Path staging, List<Figure> figures) throws IOException {
    Path to = Files.createDirectories(staging.resolve(ORIGINALS));
    StringBuilder sums = new StringBuilder();
    List<Tables.Original> rows = new ArrayList<>();
    int located = 0;
    for (Figure f : figures) {
      if (progress.cancelled()) {
        throw new ReportFailed(null, "failed.stopped");
      }
      Photo photo = f.photo();
      if (f.marks().stream().anyMatch(m -> m instanceof Redaction)) {
        leftOut.add(Words.say("left.original-covered", photo.name()));
      } else {
        byte[] bytes =
            folder.originals().has(photo.id(), photo.extension())
                ? folder.originals().bytes(photo)
                : null;
        if (bytes == null || !Sha256.of(bytes).equals(photo.id())) {
          leftOut.add(Words.say("left.original-changed", photo.name()));
        } else {
          String name = name(f, photo);
          Files.write(to.resolve(name), bytes);
          sums.append(photo.id().hex()).append("  originals/").append(name).append('\n');
          rows.add(new Tables.Original(f, name));
          located += photo.position() == null ? 0 : 1;
        }
      }
      progress.at(f.number(), figures.size());
    }
    Files.writeString(staging.resolve(SUMS), sums.toString());
    Files.writeString(staging.resolve("originals.csv"), Tables.originals(content, rows));
    String what = Words.say("originals.hold");
    Files.writeString(
        staging.resolve(READ_ME),
        String.join(
                "\n\n",
                Words.say("originals.about", job.site(), Words.day(job.header().date())),
                Words.say("originals.check"),
                what)
            + "\n");
    leftOut.add(0, what);
    if (located > 0) {
      leftOut.add(1, Words.count("originals.located", located));
    }
    int more = job.photos().size() - figures.size();
    if (more > 0) {
      leftOut.add(Words.count("left.original-unused", more));
    }
  }

  private static String name(Figure f, Photo photo) {
    String marked = f.fileName();
    String base = marked.substring(0, marked.lastIndexOf('.'));
    return base + "." + photo.extension().toLowerCase(Locale.ROOT);
  }
}

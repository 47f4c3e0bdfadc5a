package meterside.report;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.nio.file.AtomicMoveNotSupportedException;
import java.nio.file.DirectoryStream;
import java.nio.file.FileVisitResult;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.SimpleFileVisitor;
import java.nio.file.StandardCopyOption;
import java.nio.file.attribute.BasicFileAttributes;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.TreeMap;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.atomic.AtomicInteger;
import meterside.archive.JobFolder;
import meterside.archive.Sha256;
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
  private static final String ANNOTATIONS = "annotations.jsonld";
  private static final String MARKED = "marked";
  private static final String TABLES = "tables";

  /** Heap that two photos of 12 megapixels at a time can do with. */
  private static final long TWO_AT_A_TIME = 400L << 20;

  private final Job job;
  private final JobFolder folder;
  private final Content content;
  private final Progress progress;
  private final Map<Integer, Pictures.Shot> figures = new ConcurrentHashMap<>();
  private final Map<Integer, Pictures.Shot> closeUps = new ConcurrentHashMap<>();

  private ReportWriter(Job job, JobFolder folder, Content content, Progress progress) {
    this.job = job;
    this.folder = folder;
    this.content = content;
    this.progress = progress;
  }

  /**
   * Writes the report of a job.
   *
   * @param job the job as it is to be told
   * @param folder where its originals and its journal lie; only read
   * @param trade the trade's words
   * @param dir the folder to write into; made if it is not there
   * @param options draft or not, private or not
   * @param progress told of every photo; may stop the work
   * @return the files with their hashes, and what was left out
   * @throws ReportFailed with a sentence, if the report could not be written or was stopped; no
   *     part of it is then there
   * @throws meterside.archive.ArchiveException if the journal can't be read
   */
  public static ReportFiles write(
      Job job, JobFolder folder, Trade trade, Path dir, ReportOptions options, Progress progress) {
    Content content = Content.of(job, trade, options);
    return new ReportWriter(job, folder, content, progress).into(dir);
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

  private ReportFiles into(Path dir) {
    if (Files.exists(dir) && !Files.isDirectory(dir)) {
      throw new ReportFailed(null, "failed.not-a-folder", dir);
    }
    boolean wasThere = Files.isDirectory(dir);
    Path staging = null;
    try {
      Files.createDirectories(dir);
      inTheWay(dir);
      staging = Files.createTempDirectory(dir, ".report-");
      Map<String, String> hashes = make(staging);
      int stale = clearMarked(dir, hashes.keySet());
      place(staging, dir, hashes.keySet());
      return new ReportFiles(hashes, leftOut(stale));
    } catch (IOException e) {
      throw new ReportFailed(e, "failed.write", dir, reason(e));
    } finally {
      discard(staging);
      if (!wasThere) {
        removeIfEmpty(dir);
      }
    }
  }

  /** Refuses before any work what could not be moved into place at its end. */
  private static void inTheWay(Path dir) throws IOException {
    for (String name : List.of(HTML, PDF, ANNOTATIONS)) {
      if (Files.isDirectory(dir.resolve(name))) {
        throw new IOException(name);
      }
    }
    for (String name : List.of(MARKED, TABLES)) {
      Path sub = dir.resolve(name);
      if (Files.exists(sub) && !Files.isDirectory(sub)) {
        throw new IOException(name);
      }
    }
  }

  // ---- making ----

  private Map<String, String> make(Path staging) throws IOException {
    Files.createDirectories(staging.resolve(MARKED));
    Files.createDirectories(staging.resolve(TABLES));
    takePictures(staging);
    Pictures.Set pictures = new Pictures.Set(figures, closeUps);
    stopIfAsked();

    try (Writer out = Files.newBufferedWriter(staging.resolve(HTML), StandardCharsets.UTF_8)) {
      Page.write(content, pictures, Page.Medium.SCREEN, out);
    }
    step();
    StringBuilder page = new StringBuilder();
    Page.write(content, pictures, Page.Medium.PRINT, page);
    ByteArrayOutputStream pdf = new ByteArrayOutputStream();
    PdfPrinter.print(page.toString(), this::picture, pdf);
    Files.write(staging.resolve(PDF), pdf.toByteArray());
    step();

    Files.writeString(staging.resolve(ANNOTATIONS), Annotations.write(content, markTimes()));
    for (Map.Entry<String, String> table : Tables.of(content).entrySet()) {
      Files.writeString(staging.resolve(TABLES).resolve(table.getKey()), table.getValue());
    }
    step();

    Map<String, String> hashes = new TreeMap<>();
    Files.walkFileTree(
        staging,
        new SimpleFileVisitor<>() {
          @Override
          public FileVisitResult visitFile(Path file, BasicFileAttributes a) throws IOException {
            String name = staging.relativize(file).toString().replace('\\', '/');
            hashes.put(name, Sha256.of(file).hex());
            return FileVisitResult.CONTINUE;
          }
        });
    return hashes;
  }

  private void takePictures(Path staging) throws IOException {
    Pictures pictures = new Pictures(folder);
    boolean two =
        Runtime.getRuntime().maxMemory() >= TWO_AT_A_TIME
            && Runtime.getRuntime().availableProcessors() > 1;
    ExecutorService pool = Executors.newFixedThreadPool(two ? 2 : 1);
    try {
      List<Future<?>> all = new ArrayList<>();
      for (Figure figure : content.figures()) {
        all.add(
            pool.submit(
                () -> {
                  stopIfAsked();
                  take(pictures, figure, staging);
                  step();
                  return null;
                }));
      }
      for (Future<?> one : all) {
        one.get();
      }
    } catch (ExecutionException e) {
      if (e.getCause() instanceof IOException io) {
        throw io;
      }
      if (e.getCause() instanceof RuntimeException unchecked) {
        throw unchecked;
      }
      throw (Error) e.getCause();
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new ReportFailed(e, "failed.stopped");
    } finally {
      pool.shutdownNow();
    }
  }

  private void take(Pictures pictures, Figure figure, Path staging) throws IOException {
    List<Content.Found> main =
        content.findings().stream()
            .filter(f -> !f.figures().isEmpty() && f.figures().get(0).equals(figure))
            .toList();
    Pictures.Shot shot = pictures.take(figure, main, closeUps);
    if (shot.marked() != null) {
      byte[] described =
          Regions.into(shot.marked(), figure, job.zone(), content.options().author());
      Files.write(staging.resolve(MARKED).resolve(figure.fileName()), described);
    }
    figures.put(figure.number(), shot.withoutMarked());
  }

  /** The bytes behind "figure:3.jpg", "figure:3.svg", "figure:F4.jpg" and "figure:F4.svg". */
  private byte[] picture(String uri) {
    String name = uri.substring(uri.indexOf(':') + 1);
    int dot = name.indexOf('.');
    boolean close = name.startsWith("F");
    int number = Integer.parseInt(name.substring(close ? 1 : 0, dot));
    Pictures.Shot shot = (close ? closeUps : figures).get(number);
    return name.endsWith(".svg") ? shot.svg().getBytes(StandardCharsets.UTF_8) : shot.page();
  }

  private final AtomicInteger done = new AtomicInteger();

  private void step() {
    progress.at(done.incrementAndGet(), content.figures().size() + 3L);
    stopIfAsked();
  }

  private void stopIfAsked() {
    if (progress.cancelled()) {
      throw new ReportFailed(null, "failed.stopped");
    }
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

  // ---- placing ----

  private static void place(Path staging, Path dir, Set<String> names) throws IOException {
    Files.createDirectories(dir.resolve(MARKED));
    Files.createDirectories(dir.resolve(TABLES));
    for (String name : names) {
      Path from = staging.resolve(name);
      Path to = dir.resolve(name);
      try {
        Files.move(from, to, StandardCopyOption.ATOMIC_MOVE);
      } catch (AtomicMoveNotSupportedException e) {
        Files.move(from, to, StandardCopyOption.REPLACE_EXISTING);
      }
    }
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
    Path marked = dir.resolve(MARKED);
    if (!Files.isDirectory(marked) || !Files.isRegularFile(dir.resolve(HTML))) {
      return 0;
    }
    List<Path> stale = new ArrayList<>();
    try (DirectoryStream<Path> files = Files.newDirectoryStream(marked, "*.jpg")) {
      for (Path file : files) {
        String name = file.getFileName().toString();
        if (name.matches("\\d{2,}-.+\\.jpg") && !names.contains(MARKED + "/" + name)) {
          stale.add(file);
        }
      }
    }
    for (Path file : stale) {
      Files.delete(file);
    }
    return stale.size();
  }

  private static void discard(Path staging) {
    if (staging == null) {
      return;
    }
    try {
      Files.walkFileTree(
          staging,
          new SimpleFileVisitor<>() {
            @Override
            public FileVisitResult visitFile(Path file, BasicFileAttributes a) throws IOException {
              Files.delete(file);
              return FileVisitResult.CONTINUE;
            }

            @Override
            public FileVisitResult postVisitDirectory(Path d, IOException e) throws IOException {
              Files.delete(d);
              return FileVisitResult.CONTINUE;
            }
          });
    } catch (IOException e) {
      // A hidden folder that can't be removed does no harm; the next report does not use it.
      staging.toFile().deleteOnExit();
    }
  }

  private static void removeIfEmpty(Path dir) {
    try (DirectoryStream<Path> files = Files.newDirectoryStream(dir)) {
      if (!files.iterator().hasNext()) {
        Files.delete(dir);
      }
    } catch (IOException e) {
      dir.toFile().deleteOnExit();
    }
  }

  private static String reason(IOException e) {
    return e.getMessage() == null ? e.getClass().getSimpleName() : e.getMessage();
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
      Pictures.Shot shot = figures.get(f.number());
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

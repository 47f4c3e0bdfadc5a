package meterside.report;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.atomic.AtomicInteger;
import meterside.archive.JobFolder;
import meterside.job.Progress;

/**
 * Takes the pictures of a report, two photos at a time where the heap allows it, and keeps the
 * small ones for the pages.
 */
final class Gallery {
  /** Heap that two photos of 12 megapixels at a time can do with. */
  private static final long TWO_AT_A_TIME = 400L << 20;

  private final JobFolder folder;
  private final Progress progress;
  private final long total;
  private final AtomicInteger done = new AtomicInteger();
  private final Map<Integer, Pictures.Shot> figures = new ConcurrentHashMap<>();
  private final Map<Integer, Pictures.Shot> closeUps = new ConcurrentHashMap<>();

  /**
   * An empty one.
   *
   * @param total number of steps that the whole work has, a photo being one
   */
  Gallery(JobFolder folder, Progress progress, long total) {
    this.folder = folder;
    this.progress = progress;
    this.total = total;
  }

  /** The pictures for the pages, as taken. */
  Pictures.Set set() {
    return new Pictures.Set(Map.copyOf(figures), Map.copyOf(closeUps));
  }

  /** The picture of a figure; null if it was not taken. */
  Pictures.Shot shot(Figure figure) {
    return figures.get(figure.number());
  }

  /**
   * Takes the pictures of all figures of a content and writes the marked photos.
   *
   * @param marked the folder for the marked photos
   */
  void take(Content content, Path marked) throws IOException {
    Files.createDirectories(marked);
    each(content, marked);
  }

  /** Takes the pictures of all figures of a content for the pages only, from their previews. */
  void look(Content content) throws IOException {
    each(content, null);
  }

  private void each(Content content, Path marked) throws IOException {
    Map<Integer, List<Content.Found>> byMain = new HashMap<>();
    for (Content.Found f : content.findings()) {
      if (!f.figures().isEmpty()) {
        byMain.computeIfAbsent(f.figures().get(0).number(), k -> new ArrayList<>()).add(f);
      }
    }
    Pictures pictures = new Pictures(folder);
    boolean two =
        Runtime.getRuntime().maxMemory() >= TWO_AT_A_TIME
            && Runtime.getRuntime().availableProcessors() > 1;
    ExecutorService pool = Executors.newFixedThreadPool(two ? 2 : 1);
    try {
      List<Future<?>> all = new ArrayList<>();
      for (Figure figure : content.figures()) {
        List<Content.Found> main = byMain.getOrDefault(figure.number(), List.of());
        all.add(
            pool.submit(
                () -> {
                  stopIfAsked();
                  take(pictures, figure, main, content, marked);
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

  private void take(
      Pictures pictures, Figure figure, List<Content.Found> main, Content content, Path marked)
      throws IOException {
    if (marked == null) {
      figures.put(figure.number(), pictures.look(figure, main, closeUps));
      return;
    }
    Pictures.Shot shot = pictures.take(figure, main, closeUps);
    if (shot.marked() != null) {
      ZoneId zone = content.job().zone();
      byte[] described = Regions.into(shot.marked(), figure, zone, content.options().author());
      Files.write(marked.resolve(figure.fileName()), described);
    }
    figures.put(figure.number(), shot.withoutMarked());
  }

  /** One step is done. */
  void step() {
    progress.at(done.incrementAndGet(), total);
    stopIfAsked();
  }

  /** Ends the work if that was asked for. */
  void stopIfAsked() {
    if (progress.cancelled()) {
      throw new ReportFailed(null, "failed.stopped");
    }
  }

  /** The bytes behind "figure:3.jpg", "figure:3.svg", "figure:F4.jpg" and "figure:F4.svg". */
  static byte[] bytes(Pictures.Set set, String uri) {
    String name = uri.substring(uri.indexOf(':') + 1);
    int dot = name.indexOf('.');
    boolean close = name.startsWith("F");
    int number = Integer.parseInt(name.substring(close ? 1 : 0, dot));
    Pictures.Shot shot = (close ? set.closeUps() : set.figures()).get(number);
    return name.endsWith(".svg") ? shot.svg().getBytes(StandardCharsets.UTF_8) : shot.page();
  }
}

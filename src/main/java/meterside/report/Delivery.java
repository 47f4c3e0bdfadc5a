package meterside.report;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.AtomicMoveNotSupportedException;
import java.nio.file.DirectoryStream;
import java.nio.file.FileVisitResult;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.SimpleFileVisitor;
import java.nio.file.StandardCopyOption;
import java.nio.file.attribute.BasicFileAttributes;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import meterside.archive.Sha256;

/**
 * Brings files into a folder all at once. They are made in a hidden folder beside their place and
 * moved when all of them are done, so a failure leaves the folder as it was.
 */
final class Delivery {
  /** Makes the files. */
  interface Making {
    /** Writes all files below a folder that is empty. */
    void into(Path folder) throws IOException;
  }

  /**
   * What was delivered.
   *
   * @param hashes SHA-256 by path within the folder
   * @param stale how many pictures of an earlier delivery were taken away
   */
  record Done(Map<String, String> hashes, int stale) {}

  private Delivery() {}

  /**
   * Makes files and brings them into a folder.
   *
   * @param dir the folder; made if it is not there
   * @param files names that will be files in it
   * @param folders names that will be folders in it
   * @param pictures the one of the folders whose pictures of an earlier delivery are taken away:
   *     one of them may have been redacted since
   * @throws ReportFailed with a sentence; the folder is then as it was
   */
  static Done into(
      Path dir, List<String> files, List<String> folders, String pictures, Making making) {
    if (Files.exists(dir) && !Files.isDirectory(dir)) {
      throw new ReportFailed(null, "failed.not-a-folder", dir);
    }
    boolean wasThere = Files.isDirectory(dir);
    Path staging = null;
    try {
      Files.createDirectories(dir);
      inTheWay(dir, files, folders);
      staging = Files.createTempDirectory(dir, ".report-");
      making.into(staging);
      Map<String, String> hashes = hashes(staging);
      int stale =
          pictures == null ? 0 : clear(dir.resolve(pictures), pictures, files.get(0), hashes);
      place(staging, dir, hashes.keySet());
      return new Done(hashes, stale);
    } catch (IOException e) {
      throw new ReportFailed(e, "failed.write", dir, reason(e));
    } catch (UncheckedIOException e) {
      throw new ReportFailed(e, "failed.write", dir, reason(e.getCause()));
    } finally {
      discard(staging);
      if (!wasThere) {
        removeIfEmpty(dir);
      }
    }
  }

  /** Refuses before any work what could not be moved into place at its end. */
  private static void inTheWay(Path dir, List<String> files, List<String> folders)
      throws IOException {
    for (String name : files) {
      if (Files.isDirectory(dir.resolve(name))) {
        throw new IOException(name);
      }
    }
    for (String name : folders) {
      Path sub = dir.resolve(name);
      if (Files.exists(sub) && !Files.isDirectory(sub)) {
        throw new IOException(name);
      }
    }
  }

  private static Map<String, String> hashes(Path staging) throws IOException {
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

  private static void place(Path staging, Path dir, Set<String> names) throws IOException {
    for (String name : names) {
      Path from = staging.resolve(name);
      Path to = dir.resolve(name);
      Files.createDirectories(to.getParent());
      try {
        Files.move(from, to, StandardCopyOption.ATOMIC_MOVE);
      } catch (AtomicMoveNotSupportedException e) {
        Files.move(from, to, StandardCopyOption.REPLACE_EXISTING);
      }
    }
  }

  /**
   * Takes away numbered pictures of an earlier delivery that this one does not have.
   *
   * @param folder the folder of the pictures; may not be there
   * @param name its name within the delivery
   * @param sign a file beside it that shows that it is of a delivery
   * @param hashes the files of this delivery
   * @return how many were taken away
   */
  static int clear(Path folder, String name, String sign, Map<String, String> hashes)
      throws IOException {
    if (!Files.isDirectory(folder) || !Files.isRegularFile(folder.resolveSibling(sign))) {
      return 0;
    }
    List<Path> stale = new ArrayList<>();
    try (DirectoryStream<Path> files = Files.newDirectoryStream(folder)) {
      for (Path file : files) {
        String at = file.getFileName().toString();
        if (at.matches("\\d{2,}-.+\\.[A-Za-z0-9]{2,5}") && !hashes.containsKey(name + "/" + at)) {
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
}

package meterside.intake;

import java.io.IOException;
import java.nio.file.FileVisitResult;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.SimpleFileVisitor;
import java.nio.file.attribute.BasicFileAttributes;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.TreeMap;
import java.util.regex.Pattern;
import meterside.job.Sentences;

/** Finds the files of an intake, in path order. */
final class Source {
  /**
   * Folders that cameras make by themselves (DCF, JEITA CP-3461: three digits and five characters
   * under DCIM). They say nothing about which camera it is.
   */
  private static final Pattern CAMERA_FOLDER = Pattern.compile("DCIM|\\d{3}[A-Z0-9_]{5}");

  /** The same sources, of which only some files are meant. */
  static Found only(Found all, Set<Path> wanted) {
    Set<Path> real = new HashSet<>();
    wanted.forEach(p -> real.add(real(p)));
    return new Found(
        all.candidates().stream().filter(c -> real.contains(c.path())).toList(), 0, all.problems());
  }

  /** Folders that systems keep beside the user's files. */
  private static final Set<String> SYSTEM_FOLDERS =
      Set.of("$recycle.bin", "system volume information", "__macosx", "@eadir", "lost+found");

  private static final Comparator<Path> PATH_ORDER =
      (a, b) -> {
        int n = Math.min(a.getNameCount(), b.getNameCount());
        for (int i = 0; i < n; i++) {
          int c = a.getName(i).toString().compareTo(b.getName(i).toString());
          if (c != 0) {
            return c;
          }
        }
        return Integer.compare(a.getNameCount(), b.getNameCount());
      };

  private Source() {}

  /**
   * A file to look at.
   *
   * @param path where it is
   * @param folder its folder relative to what was named, with {@code /}; empty at the top
   * @param name file name
   * @param size length in bytes when it was found
   * @param modified when it was last modified
   * @param card name of the folder that stands for the card or phone it came from
   */
  record Candidate(
      Path path, String folder, String name, long size, Instant modified, String card) {
    /** What to call it in a sentence. */
    String label() {
      return folder.isEmpty() ? name : folder + "/" + name;
    }
  }

  /**
   * What was found.
   *
   * @param candidates files to look at, in path order
   * @param ignored hidden, system and special files, and links
   * @param problems folders and files that can't be read
   */
  record Found(List<Candidate> candidates, int ignored, List<Intake.Problem> problems) {}

  /**
   * Walks the sources. Links inside them are not followed; hidden files, system folders, special
   * files and the archive itself are passed by.
   *
   * <p>A source that is not there is a problem like any other: the rest is taken in.
   *
   * @throws IntakeRefused if no source is named, or one lies in the archive
   */
  static Found find(List<Path> sources, Path archive) {
    if (sources.isEmpty()) {
      throw new IntakeRefused(say("refused.none"));
    }
    List<Path> roots = new ArrayList<>();
    List<Intake.Problem> missing = new ArrayList<>();
    Path home = real(archive);
    for (Path source : sources) {
      if (!Files.exists(source)) {
        missing.add(
            new Intake.Problem(source.toString(), false, true, say("problem.missing", source)));
        continue;
      }
      Path root = real(source);
      if (root.startsWith(home)) {
        throw new IntakeRefused(say("refused.archive", source));
      }
      roots.add(root);
    }
    Walk walk = new Walk(home);
    walk.problems.addAll(missing);
    for (Path root : roots) {
      walk.from(root);
    }
    return new Found(List.copyOf(walk.found.values()), walk.ignored, walk.problems);
  }

  private static Path real(Path path) {
    try {
      return path.toRealPath();
    } catch (IOException e) {
      return path.toAbsolutePath().normalize();
    }
  }

  private static String say(String key, Object... arguments) {
    return Sentences.in(Source.class).say(key, arguments);
  }

  private static final class Walk extends SimpleFileVisitor<Path> {
    private final Path archive;
    private final TreeMap<Path, Candidate> found = new TreeMap<>(PATH_ORDER);
    private final List<Intake.Problem> problems = new ArrayList<>();
    private final Set<Path> passed = new HashSet<>();
    private Path root;
    private int ignored;

    Walk(Path archive) {
      this.archive = archive;
    }

    void from(Path source) {
      root = source;
      try {
        Files.walkFileTree(source, this);
      } catch (IOException e) {
        problems.add(unreadable(source));
      }
    }

    @Override
    public FileVisitResult preVisitDirectory(Path dir, BasicFileAttributes attributes) {
      if (dir.equals(archive)) {
        return FileVisitResult.SKIP_SUBTREE;
      }
      return FileVisitResult.CONTINUE;
    }

    @Override
    public FileVisitResult visitFile(Path file, BasicFileAttributes attributes) {
      if (found.containsKey(file) || !attributes.isRegularFile() || outOfSight(file)) {
        // A file may be named twice, by overlapping sources: it counts once.
        if (!found.containsKey(file) && passed.add(file)) {
          ignored++;
        }
        return FileVisitResult.CONTINUE;
      }
      Path relative = file.equals(root) ? file.getFileName() : root.relativize(file);
      StringBuilder folder = new StringBuilder();
      Path top = file.equals(root) ? root.getParent() : root;
      String card = top == null || top.getFileName() == null ? "" : top.getFileName().toString();
      boolean named = false;
      for (int i = 0; i < relative.getNameCount() - 1; i++) {
        String part = relative.getName(i).toString();
        folder.append(i == 0 ? "" : "/").append(part);
        if (!named && !CAMERA_FOLDER.matcher(part.toUpperCase(Locale.ROOT)).matches()) {
          card = part;
          named = true;
        }
      }
      found.put(
          file,
          new Candidate(
              file,
              folder.toString(),
              file.getFileName().toString(),
              attributes.size(),
              attributes.lastModifiedTime().toInstant().truncatedTo(ChronoUnit.MILLIS),
              card));
      return FileVisitResult.CONTINUE;
    }

    @Override
    public FileVisitResult visitFileFailed(Path file, IOException e) {
      problems.add(unreadable(file));
      return FileVisitResult.CONTINUE;
    }

    @Override
    public FileVisitResult postVisitDirectory(Path dir, IOException e) {
      if (e != null) {
        problems.add(unreadable(dir));
      }
      return FileVisitResult.CONTINUE;
    }

    /** Hidden, or in a hidden or system folder below the source; what the user named is not. */
    private boolean outOfSight(Path file) {
      if (file.equals(root)) {
        return false;
      }
      Path relative = root.relativize(file);
      for (Path part : relative) {
        String name = part.toString();
        if (name.startsWith(".") || SYSTEM_FOLDERS.contains(name.toLowerCase(Locale.ROOT))) {
          return true;
        }
      }
      try {
        return Files.isHidden(file);
      } catch (IOException e) {
        return false;
      }
    }

    private Intake.Problem unreadable(Path path) {
      String label =
          path.equals(root) ? root.toString() : root.relativize(path).toString().replace('\\', '/');
      return new Intake.Problem(label, false, true, say("problem.unreadable", label));
    }
  }
}

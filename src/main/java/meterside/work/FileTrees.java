package meterside.work;

import java.io.IOException;
import java.nio.file.FileVisitResult;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.SimpleFileVisitor;
import java.nio.file.StandardCopyOption;
import java.nio.file.attribute.BasicFileAttributes;
import java.util.List;
import java.util.stream.Stream;

/** Whole folders of issued files: delete, copy. */
final class FileTrees {
  private FileTrees() {}

  static void delete(Path root) {
    if (!Files.exists(root)) {
      return;
    }
    try {
      Files.walkFileTree(
          root,
          new SimpleFileVisitor<>() {
            @Override
            public FileVisitResult visitFile(Path file, BasicFileAttributes a) throws IOException {
              Files.delete(file);
              return FileVisitResult.CONTINUE;
            }

            @Override
            public FileVisitResult postVisitDirectory(Path dir, IOException e) throws IOException {
              Files.delete(dir);
              return FileVisitResult.CONTINUE;
            }
          });
    } catch (IOException e) {
      throw new NotDone(NotDone.NOT_NOW, "folder.not-cleared", root);
    }
  }

  static void copy(Path from, Path to) {
    for (Path file : files(from)) {
      Path target = to.resolve(from.relativize(file).toString());
      try {
        Files.createDirectories(target.getParent());
        Files.copy(file, target, StandardCopyOption.REPLACE_EXISTING);
      } catch (IOException e) {
        throw new NotDone(NotDone.NOT_NOW, "report.not-written", target);
      }
    }
  }

  private static List<Path> files(Path root) {
    try (Stream<Path> walk = Files.walk(root)) {
      return walk.filter(Files::isRegularFile).sorted().toList();
    } catch (IOException e) {
      throw new NotDone(NotDone.NOT_NOW, "report.not-written", root);
    }
  }
}

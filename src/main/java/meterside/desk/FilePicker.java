package meterside.desk;

import java.io.File;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import javafx.stage.DirectoryChooser;
import javafx.stage.FileChooser;
import javafx.stage.Window;
import meterside.desk.model.Words;

/** How files and folders come in. An interface, since a window without a display has no chooser. */
public interface FilePicker {

  /** Chooses nothing: for a window that nobody can choose in. */
  FilePicker NONE =
      new FilePicker() {
        @Override
        public Optional<Path> folder(String title) {
          return Optional.empty();
        }

        @Override
        public List<Path> photos() {
          return List.of();
        }

        @Override
        public Optional<Path> target(String title, Path start) {
          return Optional.empty();
        }
      };

  /** A folder to take photos from; empty if none was chosen. */
  Optional<Path> folder(String title);

  /** Photos to take; empty if none were chosen. */
  List<Path> photos();

  /** Folder to write to; empty if none was chosen. */
  Optional<Path> target(String title, Path start);

  /** The system's own choosers. */
  static FilePicker ofSystem(Window owner) {
    return new FilePicker() {
      @Override
      public Optional<Path> folder(String title) {
        DirectoryChooser chooser = new DirectoryChooser();
        chooser.setTitle(title);
        return Optional.ofNullable(chooser.showDialog(owner)).map(File::toPath);
      }

      @Override
      public List<Path> photos() {
        FileChooser chooser = new FileChooser();
        chooser.setTitle(Words.say("pick.photos"));
        List<File> files = chooser.showOpenMultipleDialog(owner);
        return files == null ? List.of() : files.stream().map(File::toPath).toList();
      }

      @Override
      public Optional<Path> target(String title, Path start) {
        DirectoryChooser chooser = new DirectoryChooser();
        chooser.setTitle(title);
        if (start != null && start.toFile().isDirectory()) {
          chooser.setInitialDirectory(start.toFile());
        }
        return Optional.ofNullable(chooser.showDialog(owner)).map(File::toPath);
      }
    };
  }
}

package meterside.desk;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.List;
import javafx.stage.Stage;
import javax.imageio.ImageIO;
import meterside.job.Progress;
import meterside.work.Home;
import meterside.work.SampleJobs;
import meterside.work.Workspace;
import org.junit.jupiter.api.Assumptions;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Walks every screen with larger text: nothing is cut, everything has its name. */
@Tag("window")
class LargeTextTest {
  private static final Path OUT = Path.of("target", "pictures");

  @TempDir Path temporary;
  private final List<String> found = new ArrayList<>();
  private DeskWindow window;
  private int percent;

  @ParameterizedTest
  @ValueSource(ints = {200})
  void noTextIsCut(int size) throws Exception {
    Toolkit.start();
    Assumptions.assumeTrue(
        Files.isRegularFile(Path.of("sample-photos", "demo.json")), "needs the sample photos");
    percent = size;
    Files.createDirectories(OUT);
    walk(temporary.resolve("empty"), false);
    walk(temporary.resolve("full"), true);
    assertEquals(List.of(), found);
  }

  private void walk(Path root, boolean full) throws Exception {
    Home home = new Home(root.resolve("home"), root);
    String job = full ? SampleJobs.make(root, home, Progress.NONE).get(0) : null;
    try (DeskThreads threads = new DeskThreads()) {
      window =
          Toolkit.on(
              () -> {
                Workspace workspace = Workspace.open(root, true, home, Clock.systemUTC());
                workspace.keep(workspace.settings().withTheme("light").withTextSize(percent));
                DeskWindow w =
                    new DeskWindow(
                        new Stage(),
                        workspace,
                        home,
                        threads.threads(),
                        FilePicker.NONE,
                        path -> {});
                w.start(job);
                return w;
              });
      try {
        Toolkit.settle(600);
        Screens screens = new Screens(window, temporary.resolve("out"), this::check);
        if (full) {
          screens.full();
        } else {
          screens.empty();
        }
      } finally {
        Toolkit.on(
            () -> {
              window.close();
              window.scene().getWindow().hide();
              Ui.scale(1);
              return null;
            });
      }
    }
  }

  private void check(String name) throws Exception {
    Toolkit.on(
        () -> {
          SceneChecks.cut(window.scene()).forEach(s -> found.add(name + ": " + s));
          SceneChecks.nameless(window.scene().getRoot()).forEach(s -> found.add(name + ": " + s));
          ImageIO.write(
              WindowPicture.of(window.scene()),
              "png",
              OUT.resolve(name + "-" + percent + ".png").toFile());
          return null;
        });
  }
}

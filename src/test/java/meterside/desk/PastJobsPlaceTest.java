package meterside.desk;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.awt.image.BufferedImage;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.ToggleButton;
import javafx.scene.input.KeyCode;
import javafx.stage.Stage;
import javax.imageio.ImageIO;
import meterside.job.Edit;
import meterside.job.Finding;
import meterside.job.FindingKind;
import meterside.job.Photo;
import meterside.job.Progress;
import meterside.job.StopKey;
import meterside.search.Hit;
import meterside.work.Home;
import meterside.work.JobSession;
import meterside.work.Workspace;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Past jobs in the window: words, chips with counts, CSV, similar, the way into a job. */
@Tag("window")
class PastJobsPlaceTest {
  private static final Path HOUSES = Path.of("src/test/resources/meterside/search/houses");

  @TempDir Path folder;
  private DeskWindow window;
  private Hand hand;

  /** Always the same folder to write to. */
  private record Target(Path folder) implements FilePicker {
    @Override
    public Optional<Path> folder(String title) {
      return Optional.of(folder);
    }

    @Override
    public List<Path> photos() {
      return List.of();
    }

    @Override
    public Optional<Path> target(String title, Path start) {
      return Optional.of(folder);
    }
  }

  private static Path photo(String house, String begins) throws Exception {
    try (Stream<Path> all = Files.list(HOUSES.resolve(house))) {
      return all.filter(f -> f.getFileName().toString().startsWith(begins))
          .sorted()
          .findFirst()
          .get();
    }
  }

  private void house(Workspace w, String house, String day, String frayed, String slot)
      throws Exception {
    String name = day + "-" + house;
    w.newJob(
        name, house + " house", LocalDate.parse(day), ZoneId.of("America/New_York"), "overhead");
    try (JobSession s = JobSession.open(w, name)) {
      s.intake(
          List.of(photo(house, "sheath-frayed"), photo(house, "open-breaker-slot")),
          false,
          Progress.NONE);
      for (Photo p : s.job().photos().values()) {
        boolean cable = p.name().startsWith("sheath");
        String stop = cable ? "entrance-cable" : "panelboard";
        s.actAndSort(List.of(new Edit.PlaceByHand(List.of(p.id()), StopKey.of(stop))));
        s.act(
            new Edit.PutFinding(
                new Finding(
                    s.nextFinding(),
                    StopKey.of(stop),
                    null,
                    cable ? "entrance-cable" : "dead-front",
                    cable ? FindingKind.FURTHER_EVALUATION : FindingKind.NEEDS_CORRECTION,
                    cable ? frayed : slot,
                    null,
                    null,
                    List.of(p.id()),
                    null,
                    false)));
      }
    }
  }

  private void open() throws Exception {
    Toolkit.start();
    Path root = folder.resolve("archive");
    Home home = new Home(folder.resolve("home"), root);
    try (Workspace w = Workspace.open(root, true, home, Clock.systemUTC())) {
      house(w, "sample", "2024-03-01", "Cable jacket is frayed.", "Open slot in the panel cover.");
      house(w, "blue", "2025-04-02", "SEC worn through above the meter.", "Missing blank.");
      house(w, "green", "2026-05-03", "Frayed cable on the wall.", "A breaker was taken out.");
    }
    DeskThreads threads = new DeskThreads();
    window =
        Toolkit.on(
            () -> {
              DeskWindow d =
                  new DeskWindow(
                      new Stage(),
                      Workspace.open(root, true, home, Clock.systemUTC()),
                      home,
                      threads.threads(),
                      new Target(folder),
                      path -> {});
              d.start(null);
              d.showPastJobs();
              return d;
            });
    Toolkit.settle(400);
    hand = new Hand(window.scene());
  }

  private List<ToggleButton> chips() {
    List<ToggleButton> out = new ArrayList<>();
    for (Node n : window.scene().getRoot().lookupAll(".often-chip")) {
      out.add((ToggleButton) n);
    }
    return out;
  }

  private Optional<ToggleButton> chip(String text) {
    return chips().stream().filter(c -> text.equals(c.getAccessibleText())).findFirst();
  }

  private void press(String chip) throws Exception {
    Toolkit.await("chip " + chip, () -> chip(chip).isPresent());
    Toolkit.on(
        () -> {
          chip(chip).orElseThrow().fire();
          return null;
        });
  }

  private void shoot(String name) throws Exception {
    Toolkit.settle(700);
    Files.createDirectories(Path.of("target", "pictures"));
    BufferedImage image = Toolkit.on(() -> WindowPicture.of(window.scene()));
    ImageIO.write(image, "png", Path.of("target", "pictures", name + ".png").toFile());
  }

  @Test
  void wordsChipsCountsCsvSimilarAndTheWayIntoTheJob() throws Exception {
    open();
    // How often in the whole archive, before anything is asked.
    Toolkit.await("counts", () -> window.pastJobs().counts() != null);
    Toolkit.await("six findings by kind", () -> chip("Needs correction, 3").isPresent());
    Toolkit.on(
        () -> {
          ((Button) window.scene().lookup("#often-csv")).fire();
          return null;
        });
    Path csv = folder.resolve("how-often.csv");
    Toolkit.await("the CSV", () -> Files.exists(csv));
    Toolkit.settle(200);
    assertTrue(Files.readString(csv).contains("part,entrance-cable,3"), Files.readString(csv));

    // A slip and an abbreviation; then a chip narrows what was found.
    hand.find("past-words");
    hand.type("frayd cable");
    Toolkit.await(
        "hits", () -> window.pastJobs().found() != null && window.pastJobs().found().total() > 1);
    shoot("past-jobs-words");
    long all = Toolkit.on(() -> window.pastJobs().found().total());
    press("2026, 1");
    Toolkit.await("only that year", () -> window.pastJobs().found().total() < all);
    assertEquals(
        "2026-05-03-green", Toolkit.on(() -> window.pastJobs().found().hits().get(0).job()));
    press("2026, 1");
    Toolkit.await("all years again", () -> window.pastJobs().found().total() == all);

    // Similar to the finding of one house: the same defect of the others, and why.
    Hit asked =
        Toolkit.on(
            () ->
                window.pastJobs().found().hits().stream()
                    .filter(h -> h.finding() != null)
                    .findFirst()
                    .orElseThrow());
    Toolkit.on(
        () -> {
          window.pastJobs().similarTo(asked);
          return null;
        });
    Toolkit.await("similar", () -> window.pastJobs().similar() != null);
    var first = Toolkit.on(() -> window.pastJobs().similar().likenesses().get(0));
    assertTrue(!first.hit().job().equals(asked.job()), "of another job");
    assertTrue(first.hit().parts().contains("entrance-cable"), first.toString());
    assertTrue(first.because().contains("look alike"), first.because());
    shoot("past-jobs-similar");
    assertTrue(
        Toolkit.on(
            () ->
                window.pastJobs().similar().likenesses().stream()
                    .allMatch(l -> l.hit().parts().contains("entrance-cable"))),
        "a panel is nothing like a cable");

    // One key on a hit opens its job at its photo.
    hand.find("past-words");
    hand.key(KeyCode.DOWN);
    Toolkit.settle(200);
    hand.key(KeyCode.ENTER);
    Toolkit.await("the job", () -> window.job() != null);
    assertEquals(first.hit().job(), Toolkit.on(() -> window.job().desk().session().name()));
    Toolkit.await("its photo", () -> first.hit().photoId().equals(window.job().desk().current()));
    // And one key asks from there what is like the photo.
    Toolkit.on(
        () -> {
          window.job().begin();
          return null;
        });
    hand.key(KeyCode.M, KeyCode.CONTROL);
    Toolkit.await(
        "similar to the photo",
        () -> window.pastJobs().similar().to().startsWith(first.hit().photo() + ", "));
    assertTrue(
        Toolkit.on(() -> window.pastJobs().similar().likenesses()).stream()
            .allMatch(l -> !l.hit().job().equals(first.hit().job())),
        "of other jobs");
    Toolkit.on(
        () -> {
          window.close();
          window.scene().getWindow().hide();
          return null;
        });
  }
}

package meterside.work;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNotSame;
import static org.junit.jupiter.api.Assertions.assertSame;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.util.List;
import meterside.TestPhotos;
import meterside.job.Edit;
import meterside.job.PhotoId;
import meterside.job.Progress;
import meterside.job.StopKey;
import meterside.route.Looks;
import meterside.route.Priors;
import meterside.route.Sorter;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What confirmed jobs of the archive teach, and what does not teach. */
class LearnedTest {
  private static final LocalDateTime START = LocalDateTime.of(2026, 5, 12, 10, 0);

  @TempDir Path folder;
  private Workspace workspace;
  private int photos;

  @BeforeEach
  void open() {
    workspace =
        Workspace.open(
            folder.resolve("archive"),
            true,
            new Home(folder.resolve("home"), null),
            Clock.systemUTC());
    job("2026-05-20-next", false);
  }

  @AfterEach
  void close() {
    workspace.close();
  }

  private void job(String name, boolean confirmed) {
    workspace.newJob(name, name, LocalDate.of(2026, 5, 12), ZoneId.of("UTC"), "overhead");
    Path card = folder.resolve("card of " + name);
    try (JobSession s = JobSession.open(workspace, name)) {
      for (int i = 0; i < 6; i++) {
        TestPhotos.photo(photos++)
            .at(START.plusSeconds(30L * i))
            .write(card.resolve("IMG_" + i + ".jpg"));
      }
      s.intake(List.of(card), false, Progress.NONE);
      if (confirmed) {
        List<PhotoId> all = s.job().intakeOrder();
        s.act(new Edit.PlaceByHand(all.subList(0, 4), StopKey.of("panelboard")));
        s.act(new Edit.PlaceByHand(all.subList(4, 6), StopKey.of("alarms")));
      }
    } catch (java.io.IOException e) {
      throw new java.io.UncheckedIOException(e);
    }
  }

  private Sorter.Knowledge learned() {
    return Learned.of(workspace, workspace.folder("2026-05-20-next"));
  }

  @Test
  void aFirstJobGoesByWhatComesWithTheProgram() {
    assertEquals(Priors.standard().hash(), learned().priors().hash());
    assertSame(Looks.NONE, learned().looks());
  }

  @Test
  void aJobThatNobodyConfirmedTeachesNothing() {
    job("2026-05-10-other", false);
    assertEquals(Priors.standard().hash(), learned().priors().hash());
    assertSame(Looks.NONE, learned().looks());
  }

  @Test
  void aConfirmedJobTeachesHowPhotosSpreadAndWhatTheyLookLike() {
    job("2026-05-10-other", true);
    Sorter.Knowledge k = learned();
    assertNotEquals(Priors.standard().hash(), k.priors().hash());
    assertNotSame(Looks.NONE, k.looks());
    double before = Priors.standard().stops().get("panelboard").share();
    double after = k.priors().stops().get("panelboard").share();
    assertEquals(true, after > before, before + " to " + after);
    PhotoId own = workspace.folder("2026-05-20-next").read().history().job().intakeOrder().get(0);
    assertNotNull(k.lookOf().apply(own));
  }

  @Test
  void theJobItselfAndABrokenJobTeachNothing() throws Exception {
    job("2026-05-10-other", true);
    try (JobSession s = JobSession.open(workspace, "2026-05-20-next")) {
      s.act(new Edit.PlaceByHand(s.job().intakeOrder(), StopKey.of("meter-and-base")));
    }
    String one = learned().priors().hash();
    Path journal = workspace.folder("2026-05-10-other").journalFile();
    byte[] bytes = Files.readAllBytes(journal);
    bytes[200] ^= 1;
    Files.write(journal, bytes);
    assertNotEquals(one, learned().priors().hash());
    assertEquals(Priors.standard().hash(), learned().priors().hash());
  }
}

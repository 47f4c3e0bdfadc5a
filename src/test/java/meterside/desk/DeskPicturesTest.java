package meterside.desk;

import static java.nio.file.StandardCopyOption.REPLACE_EXISTING;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.awt.image.BufferedImage;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.stream.Stream;
import javafx.stage.Stage;
import javax.imageio.ImageIO;
import meterside.TestVideos;
import meterside.job.Answer;
import meterside.job.AnswerKind;
import meterside.job.Callout;
import meterside.job.DutyKey;
import meterside.job.Edit;
import meterside.job.Finding;
import meterside.job.FindingKind;
import meterside.job.Job;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.Point;
import meterside.job.Progress;
import meterside.job.StopKey;
import meterside.job.Urgent;
import meterside.picture.Jpegs;
import meterside.work.Home;
import meterside.work.JobSession;
import meterside.work.SampleJobs;
import meterside.work.Workspace;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Takes a picture of every screen, light and dark, full and empty, in {@code target/pictures}, for
 * people to look at; and checks that each shows something, that all text stands out and is whole,
 * and that every control has a name. {@code -Dmeterside.pictures=docs/pictures} writes those of the
 * user guide, too.
 */
@Tag("window")
class DeskPicturesTest {
  private static final String JOB = "2026-05-12-wren-hollow-18";
  private static final Path OUT = Path.of("target", "pictures");

  /** Folder for the pictures of the user guide, or null. */
  private static final String GUIDE = System.getProperty("meterside.pictures");

  @TempDir Path temporary;

  private DeskWindow window;
  private DeskThreads threads;
  private Workspace workspace;
  private String theme;
  private Path made;
  private final List<String> wrong = new ArrayList<>();

  @Test
  void everyScreenShowsInLightAndDark() throws Exception {
    Toolkit.start();
    Files.createDirectories(OUT);
    // Pictures of the guide show an inspector's computer, not the one they were made on.
    String user = System.getProperty("user.name");
    String own = System.getProperty("user.home");
    System.setProperty("user.name", "R. Calder");
    try {
      for (String t : List.of("light", "dark")) {
        theme = t;
        empty(at(t, "empty"));
        full(at(t, "full"));
      }
    } finally {
      System.setProperty("user.name", user);
      System.setProperty("user.home", own);
    }
    assertEquals(List.of(), wrong);
  }

  private Path at(String theme, String what) throws Exception {
    Path own = Files.createDirectories(temporary.resolve(theme).resolve(what));
    System.setProperty("user.home", own.toString());
    return own.resolve("Meterside");
  }

  private void empty(Path root) throws Exception {
    open(root, null);
    Screens screens = new Screens(window, temporary.resolve("out-" + theme), this::shoot);
    screens.empty();
    Path card = temporary.resolve("two-houses-" + theme);
    TestCard.twoHouses(card);
    screens.card(List.of(card));
    close();
  }

  private void full(Path root) throws Exception {
    String job = make(root);
    videos(root, job);
    open(root, job);
    new Screens(window, temporary.resolve("out-" + theme), this::shoot).full();
    close();
  }

  // ---- what is shown ----

  private void videos(Path root, String job) throws Exception {
    Path card = temporary.resolve("videos-" + theme);
    TestVideos.write(1, card.resolve("P5120040.MOV"));
    TestVideos.write(2, card.resolve("P5120041.MP4"));
    Home home = new Home(root.resolve("home"), root);
    try (Workspace w = Workspace.open(root, false, home, Clock.systemUTC());
        JobSession s = JobSession.open(w, job)) {
      assertEquals(2, s.intake(List.of(card), false, Progress.NONE).videos());
    }
  }

  /** The sample house if its photos are here, else a drawn one. */
  private String make(Path root) throws Exception {
    Home home = new Home(root.resolve("home"), root);
    if (Files.isRegularFile(Path.of("sample-photos", "demo.json"))) {
      if (made == null) {
        made = temporary.resolve("made");
        SampleJobs.make(made, home, Progress.NONE);
      }
      Files.createDirectories(root.getParent());
      try (Stream<Path> all = Files.walk(made)) {
        for (Path from : all.toList()) {
          Files.copy(from, root.resolve(made.relativize(from).toString()), REPLACE_EXISTING);
        }
      }
      try (Stream<Path> jobs = Files.list(root.resolve("jobs"))) {
        return jobs.map(j -> j.getFileName().toString()).sorted().findFirst().orElseThrow();
      }
    }
    Path card = temporary.resolve("card-" + theme);
    TestCard.walk(card);
    try (Workspace w = Workspace.open(root, true, home, Clock.systemUTC())) {
      w.newJob(
          JOB,
          "18 Wren Hollow",
          LocalDate.of(2026, 5, 12),
          ZoneId.of("America/New_York"),
          "overhead");
      try (JobSession s = JobSession.open(w, JOB)) {
        s.intake(List.of(card), false, Progress.NONE);
        work(s);
      }
    }
    return JOB;
  }

  private static void work(JobSession s) {
    List<Photo> photos = s.job().inTrueOrder();
    PhotoId drip = photos.get(5).id();
    StopKey at = StopKey.of("splice-and-drip-loop");
    s.actAndSort(
        List.of(new Edit.PlaceByHand(photos.subList(4, 9).stream().map(Photo::id).toList(), at)));
    s.act(
        new Edit.PutFinding(
            new Finding(
                s.nextFinding(),
                at,
                "east wall, above the meter",
                "drip-loop",
                FindingKind.NEEDS_CORRECTION,
                "Drip loop insulation is cracked. Cracks on two of three conductors at the low"
                    + " point of the loop.",
                "Water can reach bare metal.",
                "utility or a licensed electrician",
                List.of(photos.get(6).id()),
                new Urgent("the buyer's agent", "by phone", "12 May, 17:40"),
                false)));
    int n = s.job().findings().firstKey();
    callout(s, drip, "service-drop", 0.22, 0.2, null);
    callout(s, drip, "service-head", 0.49, 0.27, null);
    callout(s, drip, "drip-loop", 0.33, 0.47, n);
    callout(s, drip, "mast", 0.475, 0.6, null);
    Job job = s.job();
    for (DutyKey k : job.dutyKeys()) {
      if (k.at().equals(StopKey.of("service-drop"))) {
        s.act(new Edit.GiveAnswer(k, answerFor(job, k)));
      }
    }
    List<DutyKey> here = job.dutyKeys().stream().filter(k -> k.at().equals(at)).toList();
    s.act(
        new Edit.GiveAnswer(here.get(0), new Answer(AnswerKind.FINDING, null, null, n, List.of())));
    s.act(new Edit.GiveAnswer(here.get(1), Answer.of(AnswerKind.NO_CONDITION)));
    s.act(new Edit.SetAside(List.of(photos.get(8).id()), true, "blurred"));
  }

  private static Answer answerFor(Job job, DutyKey k) {
    return switch (job.duty(k).kind()) {
      case DESCRIBE ->
          new Answer(AnswerKind.DESCRIPTION, "overhead", "seen at the pole", null, List.of());
      default -> Answer.of(AnswerKind.NO_CONDITION);
    };
  }

  private static void callout(
      JobSession s, PhotoId photo, String part, double x, double y, Integer finding) {
    s.act(
        new Edit.PutCallout(
            new Callout(s.nextMark(), photo, part, List.of(new Point(x, y)), null, finding, null)));
  }

  // ---- the window ----

  private void open(Path root, String job) throws Exception {
    Home home = new Home(root.resolve("home"), root);
    threads = new DeskThreads();
    window =
        Toolkit.on(
            () -> {
              workspace = Workspace.open(root, true, home, Clock.systemUTC());
              workspace.keep(workspace.settings().withTheme(theme));
              Stage stage = new Stage();
              DeskWindow w =
                  new DeskWindow(
                      stage, workspace, home, threads.threads(), FilePicker.NONE, path -> {});
              w.start(job);
              return w;
            });
    Toolkit.settle(700);
  }

  private void close() throws Exception {
    Toolkit.on(
        () -> {
          window.close();
          window.scene().getWindow().hide();
          return null;
        });
    threads.close();
  }

  private void shoot(String name) throws Exception {
    Toolkit.settle(220);
    List<String> found = new ArrayList<>();
    Toolkit.on(
        () -> {
          found.addAll(SceneChecks.nameless(window.scene().getRoot()));
          found.addAll(SceneChecks.weak(window.scene()));
          found.addAll(SceneChecks.cut(window.scene()));
          return null;
        });
    found.forEach(f -> wrong.add(name + "-" + theme + ": " + f));
    BufferedImage image = Toolkit.on(() -> WindowPicture.of(window.scene()));
    ImageIO.write(image, "png", OUT.resolve(name + "-" + theme + ".png").toFile());
    boolean used =
        Files.readString(Path.of("docs", "user-guide.md")).contains(name + "-" + theme + ".jpg");
    if (GUIDE != null && used) {
      Files.createDirectories(Path.of(GUIDE));
      Files.write(Path.of(GUIDE, name + "-" + theme + ".jpg"), Jpegs.encode(image, 0.82f));
    }
    assertEquals(1440, image.getWidth(), name);
    assertEquals(900, image.getHeight(), name);
    Set<Integer> colours = new HashSet<>();
    for (int y = 0; y < 900; y += 3) {
      for (int x = 0; x < 1440; x += 3) {
        colours.add(image.getRGB(x, y));
      }
    }
    assertTrue(
        colours.size() > 20,
        String.format(Locale.ROOT, "%s shows only %d colours", name, colours.size()));
  }
}

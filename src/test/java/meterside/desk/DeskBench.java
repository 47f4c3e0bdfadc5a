package meterside.desk;

import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import meterside.job.Progress;
import meterside.work.Home;
import meterside.work.JobSession;
import meterside.work.Workspace;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * The window: from the JVM's start to a usable window beside an empty JavaFX window, by turns in
 * one run; and a job of 700 photos beside one of 50, in a heap of 512 MB. The figures are printed.
 */
@Tag("bench")
class DeskBench {
  private static final int RUNS = Integer.getInteger("meterside.bench.runs", 7);
  private static final int LARGE = Integer.getInteger("meterside.bench.photos", 700);
  private static final int SMALL = 50;

  @TempDir Path temporary;

  @Test
  void startBesideAnEmptyWindow() throws Exception {
    Path archive = archive("start", SMALL);
    double[] empty = new double[RUNS];
    double[] desk = new double[RUNS];
    for (int i = -1; i < RUNS; i++) {
      double e = shown("empty");
      double d = shown("desk", archive.toString());
      if (i >= 0) { // the first of each only warms the disk's cache
        empty[i] = e;
        desk[i] = d;
      }
    }
    Arrays.sort(empty);
    Arrays.sort(desk);
    double ratio = desk[RUNS / 2] / empty[RUNS / 2];
    System.out.printf(
        Locale.ROOT,
        "start: empty window %.0f ms, desk %.0f ms, ratio %.2f (medians of %d)%n",
        empty[RUNS / 2],
        desk[RUNS / 2],
        ratio,
        RUNS);
    assertTrue(ratio > 0);
  }

  @Test
  void aLargeJobBesideASmallOne() throws Exception {
    Map<String, double[]> small = work(archive("small", SMALL), SMALL);
    Map<String, double[]> large = work(archive("large", LARGE), LARGE);
    for (String what : large.keySet()) {
      System.out.printf(
          Locale.ROOT,
          "%s: %d photos %s, %d photos %s, ratio %.2f%n",
          what,
          SMALL,
          Arrays.toString(small.get(what)),
          LARGE,
          Arrays.toString(large.get(what)),
          large.get(what)[0] / small.get(what)[0]);
    }
    assertTrue(large.get("heap")[0] < 512);
  }

  private Map<String, double[]> work(Path archive, int photos) throws Exception {
    Map<String, double[]> out = new LinkedHashMap<>();
    List<String> command = java("-Xmx512m");
    command.addAll(List.of("meterside.desk.LargeJobRun", archive.toString(), "job-" + photos));
    for (String line : run(command)) {
      String[] w = line.strip().split(" ");
      if (w.length >= 2 && w[0].matches("open|scroll|switch|sheet|heap")) {
        out.put(w[0], Arrays.stream(w).skip(1).mapToDouble(Double::parseDouble).toArray());
      }
    }
    return out;
  }

  private double shown(String... what) throws Exception {
    assumeTrue(has("xvfb-run"), "needs xvfb-run");
    List<String> command =
        new ArrayList<>(List.of("xvfb-run", "-a", "-s", "-screen 0 1600x1000x24"));
    command.addAll(java());
    command.add("meterside.desk.StartTimes");
    command.addAll(List.of(what));
    for (String line : run(command)) {
      if (line.startsWith("shown after ")) {
        return Double.parseDouble(line.substring("shown after ".length()).strip());
      }
    }
    throw new AssertionError("no window: " + command);
  }

  private static boolean has(String program) {
    return Arrays.stream(System.getenv("PATH").split(java.io.File.pathSeparator))
        .anyMatch(p -> Files.isExecutable(Path.of(p, program)));
  }

  private static List<String> java(String... options) {
    List<String> out = new ArrayList<>();
    out.add(Path.of(System.getProperty("java.home"), "bin", "java").toString());
    out.addAll(List.of(options));
    if (Runtime.version().feature() >= 22) {
      out.add("--enable-native-access=ALL-UNNAMED");
    }
    out.add("-Dprism.order=sw");
    out.add("-cp");
    out.add(System.getProperty("surefire.test.class.path", System.getProperty("java.class.path")));
    return out;
  }

  private List<String> run(List<String> command) throws Exception {
    ProcessBuilder b = new ProcessBuilder(command).redirectErrorStream(true);
    b.environment().put("METERSIDE_HOME", temporary.resolve("home").toString());
    Process p = b.start();
    p.getOutputStream().close();
    String said = new String(p.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    p.waitFor();
    return said.lines().toList();
  }

  /** An archive with one job; a few drawn photos, each many times with another time. */
  private Path archive(String name, int photos) throws Exception {
    Path card = temporary.resolve("card-" + name);
    Files.createDirectories(card);
    LocalDateTime at = LocalDateTime.of(2026, 5, 12, 9, 0, 0);
    List<byte[]> drawn = new ArrayList<>();
    Path one = temporary.resolve("drawn-" + name);
    for (int i = 0; i < 12; i++) {
      drawn.add(
          Files.readAllBytes(
              TestCard.photo(one, "D" + i + ".JPG", at, i * 97, i > 7, "Heron 40", 2016)));
    }
    for (int i = 0; i < photos; i++) {
      Files.write(
          card.resolve(String.format(Locale.ROOT, "P512%04d.JPG", i + 1)),
          dated(drawn.get(i * 12 / photos), at, at.plusSeconds(9L * i), i));
    }
    Path root = temporary.resolve("archive-" + name);
    Home home = new Home(temporary.resolve("home"), root);
    try (Workspace w = Workspace.open(root, true, home, Clock.systemUTC())) {
      w.newJob(
          "job-" + photos,
          "a house",
          LocalDate.of(2026, 5, 12),
          ZoneId.of("America/New_York"),
          "overhead");
      try (JobSession s = JobSession.open(w, "job-" + photos)) {
        s.intake(List.of(card), false, Progress.NONE);
      }
    }
    return root;
  }

  /** The same photo at another time: its EXIF text is written over, a few bytes follow its end. */
  private static byte[] dated(byte[] jpeg, LocalDateTime was, LocalDateTime is, int n)
      throws IOException {
    DateTimeFormatter exif = DateTimeFormatter.ofPattern("yyyy:MM:dd HH:mm:ss", Locale.ROOT);
    byte[] from = exif.format(was).getBytes(StandardCharsets.US_ASCII);
    byte[] to = exif.format(is).getBytes(StandardCharsets.US_ASCII);
    byte[] out = jpeg.clone();
    for (int i = 0; i + from.length < Math.min(out.length, 4096); i++) {
      if (Arrays.equals(out, i, i + from.length, from, 0, from.length)) {
        System.arraycopy(to, 0, out, i, to.length);
      }
    }
    ByteArrayOutputStream all = new ByteArrayOutputStream();
    all.write(out);
    all.write(("n" + n).getBytes(StandardCharsets.US_ASCII));
    return all.toByteArray();
  }
}

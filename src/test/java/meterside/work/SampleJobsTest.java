package meterside.work;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Stream;
import meterside.job.Finding;
import meterside.job.Job;
import meterside.job.Mark;
import meterside.job.Measure;
import meterside.job.Photo;
import meterside.job.Progress;
import meterside.job.Spot;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The sample jobs, made from the sample house's photos and held against their truth. */
class SampleJobsTest {
  @TempDir static Path folder;
  private static JsonNode truth;

  @BeforeAll
  static void make() throws IOException {
    truth = new ObjectMapper().readTree(Files.readAllBytes(Path.of("sample-photos", "truth.json")));
    SampleJobs.make(archive(), home(), Progress.NONE);
  }

  private static Path archive() {
    return folder.resolve("archive");
  }

  private static Home home() {
    return new Home(folder.resolve("home"), null);
  }

  private interface Look {
    void at(JsonNode truthOfJob, Job job);
  }

  private static void each(Look look) {
    try (Workspace w = Workspace.open(archive(), false, home(), Clock.systemUTC())) {
      for (JsonNode j : truth.get("jobs")) {
        try (JobSession session = JobSession.open(w, j.get("id").asText())) {
          look.at(j, session.job());
        }
      }
    }
  }

  private static Photo photo(Job job, JsonNode p) {
    return job.photos().values().stream()
        .filter(x -> p.get("file").asText().endsWith("/" + x.name()))
        .findFirst()
        .orElseThrow();
  }

  @Test
  void everyPhotoLiesAtItsTrueStop() {
    each(
        (j, job) -> {
          List<String> wrong = new ArrayList<>();
          for (JsonNode p : j.get("photos")) {
            String at = job.placement(photo(job, p).id()).orElseThrow().at().stop();
            if (!p.has("code") && !at.equals(p.get("stop").asText())) {
              wrong.add(p.get("file").asText() + " at " + at);
            }
          }
          assertEquals(List.of(), wrong);
          assertEquals(j.get("photos").size(), job.photos().size());
        });
  }

  @Test
  void everyDutyIsAnsweredAndEveryFindingHasAMarkedPhoto() {
    each(
        (j, job) -> {
          assertEquals(List.of(), List.copyOf(job.openDuties()));
          Set<Integer> marked = new TreeSet<>();
          for (Mark m : job.marks().values()) {
            if (m.finding() != null) {
              marked.add(m.finding());
              assertTrue(
                  job.findings().get(m.finding()).photos().contains(m.photo()),
                  "mark " + m.id() + " is tied to a finding without its photo");
            }
          }
          assertEquals(job.findings().keySet(), marked);
          for (Finding f : job.findings().values()) {
            assertTrue(!f.photos().isEmpty(), "finding " + f.number());
          }
        });
  }

  @Test
  void measuredLengthsAreTrueWithinTheirBands() {
    Map<String, String> measured =
        Map.of(
            "IMG_0409.jpg", "attachment-above-grade", "IMG_0701.jpg", "meter-centre-above-grade");
    Set<String> seen = new TreeSet<>();
    each(
        (j, job) -> {
          for (Mark mark : job.marks().values()) {
            if (mark instanceof Measure m) {
              String name = job.photos().get(m.photo()).name();
              double metres = length(j, name, measured.get(name));
              assertEquals(metres, m.metres(), m.plusMinus(), name);
              assertTrue(m.plusMinus() < 0.06 * metres, name + " ± " + m.plusMinus());
              seen.add(name);
            }
          }
        });
    assertEquals(measured.keySet(), seen);
  }

  private static double length(JsonNode job, String photo, String id) {
    for (JsonNode p : job.get("photos")) {
      for (JsonNode l : p.get("lengths")) {
        if (p.get("file").asText().endsWith("/" + photo) && l.get("id").asText().equals(id)) {
          return l.get("metres").asDouble();
        }
      }
    }
    throw new AssertionError(photo + " shows no " + id);
  }

  @Test
  void closeViewsThatNeedTheirWideOneAreTiedToIt() {
    each(
        (j, job) -> {
          Set<String> tied = new TreeSet<>();
          for (Mark m : job.marks().values()) {
            if (m instanceof Spot s) {
              tied.add(job.photos().get(s.close()).name());
            }
          }
          for (JsonNode p : j.get("photos")) {
            if (p.get("onPurpose").toString().contains("close-up-needs-wide")) {
              assertTrue(tied.contains(photo(job, p).name()), p.get("file").asText());
            }
          }
        });
  }

  @Test
  @Tag("heavy")
  void bothJobsTakeLessThanAMinuteAndGetReports(@TempDir Path other) throws IOException {
    long start = System.nanoTime();
    SampleJobs.make(other.resolve("archive"), home(), Progress.NONE);
    double seconds = (System.nanoTime() - start) / 1e9;
    assertTrue(seconds < 60, seconds + " s");
    ByteArrayOutputStream said = new ByteArrayOutputStream();
    SampleRun.run(other, home(), new PrintStream(said, true, StandardCharsets.UTF_8));
    try (Stream<Path> files = Files.walk(other)) {
      assertEquals(2, files.filter(f -> f.endsWith("report.pdf")).count());
    }
    // The serial number of camera B stays out of what is delivered.
    try (Stream<Path> files = Files.walk(other)) {
      for (Path f : files.filter(Files::isRegularFile).toList()) {
        if (!f.startsWith(other.resolve("archive"))) {
          String bytes = Files.readString(f, StandardCharsets.ISO_8859_1);
          assertTrue(!bytes.contains("K20-0047731"), f + " holds a serial number");
        }
      }
    }
  }
}

package meterside.work;

import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import meterside.job.Edit;
import meterside.job.Job;
import meterside.job.Phase;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.Placement;
import meterside.job.Progress;
import meterside.job.StopKey;
import meterside.route.Sorter;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * The sample houses' real files, taken in and sorted without a hand, against their truth. The
 * rooms' stops count as one; photos of codes do not count.
 */
class SampleWalkTest {
  private static final String WREN = "2026-05-12-wren-hollow-18";
  private static final String TANSY = "2026-06-03-tansy-lane-7";

  @TempDir Path folder;

  private final JsonNode truth = read();

  private static JsonNode read() {
    try {
      return new ObjectMapper()
          .readTree(Files.readAllBytes(Path.of("sample-photos", "truth.json")));
    } catch (IOException e) {
      throw new IllegalStateException(e);
    }
  }

  private JsonNode of(String job) {
    for (JsonNode j : truth.get("jobs")) {
      if (j.get("id").asText().equals(job)) {
        return j;
      }
    }
    throw new IllegalStateException(job);
  }

  private JobSession taken(Workspace w, String name) {
    JsonNode j = of(name);
    LocalDate date = LocalDate.parse(j.get("date").asText());
    ZoneId zone = ZoneId.of(j.get("zone").asText());
    w.newJob(name, j.get("site").asText(), date, zone, j.get("route").asText());
    JobSession session = JobSession.open(w, name);
    Path card = Path.of("sample-photos", j.get("folder").asText());
    session.intake(List.of(card), false, Progress.NONE);
    return session;
  }

  /** The true stop of each photo that counts. */
  private Map<PhotoId, String> stops(Job job, String name) {
    Map<PhotoId, String> out = new HashMap<>();
    for (JsonNode p : of(name).get("photos")) {
      if (!p.has("code")) {
        String file = p.get("file").asText();
        Photo photo =
            job.photos().values().stream()
                .filter(x -> file.endsWith("/" + x.name()))
                .findFirst()
                .orElseThrow();
        out.put(photo.id(), p.get("stop").asText());
      }
    }
    return out;
  }

  private static String phase(Job job, String stop) {
    int i = job.route().indexOf(stop);
    return job.route().stops().get(i).phase() == Phase.ROOMS ? "rooms" : stop;
  }

  private int right(Job job, String name) {
    int right = 0;
    List<String> wrong = new ArrayList<>();
    for (Map.Entry<PhotoId, String> e : stops(job, name).entrySet()) {
      Placement at = job.placement(e.getKey()).orElseThrow();
      if (phase(job, at.at().stop()).equals(phase(job, e.getValue()))) {
        right++;
      } else {
        wrong.add(
            job.photo(e.getKey()).name()
                + " of "
                + e.getValue()
                + " at "
                + at.at().stop()
                + " "
                + at.confidence());
      }
    }
    wrong.sort(null);
    System.out.println(name + ": " + right + " right; " + wrong);
    return right;
  }

  /** Answers the program's next question as the truth has it. */
  private void answer(JobSession session, String name, Set<String> notSideBySide) {
    Job job = session.job();
    Map<PhotoId, String> stops = stops(job, name);
    for (Sorter.Question q : session.ask()) {
      if (q instanceof Sorter.AtWhichStop one) {
        List<PhotoId> photo = List.of(one.photo());
        StopKey at = StopKey.of(stops.get(one.photo()));
        System.out.println(job.photo(one.photo()).name() + " is at " + at);
        session.actAndSort(List.of(new Edit.PlaceByHand(photo, at)));
        return;
      }
      Sorter.WhereItBegins border = (Sorter.WhereItBegins) q;
      String pair = border.before() + " to " + border.after();
      if (notSideBySide.contains(pair)) {
        continue;
      }
      Optional<PhotoId> first =
          border.around().stream()
              .skip(1)
              .filter(
                  id -> {
                    PhotoId last = border.around().get(border.around().indexOf(id) - 1);
                    return phase(job, stops.get(last)).equals(phase(job, border.before().stop()))
                        && phase(job, stops.get(id)).equals(phase(job, border.after().stop()));
                  })
              .findFirst();
      System.out.println(pair + ": " + first.map(id -> job.photo(id).name()).orElse("nowhere"));
      if (first.isPresent()) {
        session.actAndSort(Sorter.answer(border, first.get()));
      } else {
        notSideBySide.add(pair);
      }
      return;
    }
  }

  private void confirm(JobSession session, String name) {
    Map<PhotoId, String> stops = stops(session.job(), name);
    List<Edit> edits = new ArrayList<>();
    stops.forEach((id, s) -> edits.add(new Edit.PlaceByHand(List.of(id), StopKey.of(s))));
    session.actAndSort(edits);
  }

  @Test
  void theFirstJobIsSortedByTimesAndLight() {
    try (Workspace w = workspace();
        JobSession session = taken(w, WREN)) {
      int unaided = right(session.job(), WREN);
      Set<String> notSideBySide = new HashSet<>();
      for (int i = 0; i < 3; i++) {
        answer(session, WREN, notSideBySide);
      }
      int answered = right(session.job(), WREN);
      for (int i = 3; i < 8; i++) {
        answer(session, WREN, notSideBySide);
      }
      int more = right(session.job(), WREN);
      System.out.println("sample walk: " + unaided + ", " + answered + ", " + more + " of 63");
      assertTrue(unaided >= 51, "unaided " + unaided);
      assertTrue(answered >= 52, "after three answers " + answered);
      assertTrue(more >= 58, "after eight answers " + more);
    }
  }

  @Test
  void aJobIsSortedBetterByTheLooksOfTheOther() {
    try (Workspace w = workspace()) {
      int alone;
      try (JobSession session = taken(w, TANSY)) {
        alone = right(session.job(), TANSY);
        confirm(session, TANSY);
      }
      int learned;
      try (JobSession session = taken(w, WREN)) {
        learned = right(session.job(), WREN);
        Set<String> notSideBySide = new HashSet<>();
        for (int i = 0; i < 3; i++) {
          answer(session, WREN, notSideBySide);
        }
        right(session.job(), WREN);
        confirm(session, WREN);
      }
      System.out.println("learned from the small one: " + learned + " of 63; alone " + alone);
      try (JobSession session = JobSession.open(w, TANSY)) {
        List<PhotoId> all = new ArrayList<>(stops(session.job(), TANSY).keySet());
        session.actAndSort(List.of(new Edit.ReleaseByHand(all)));
        int after = right(session.job(), TANSY);
        System.out.println("the small one by the large one: " + after + " of 14");
        assertTrue(after > alone, after + " of 14, alone " + alone);
      }
    }
  }

  private Workspace workspace() {
    Path archive = folder.resolve("archive");
    return Workspace.open(archive, true, new Home(folder.resolve("home"), null), Clock.systemUTC());
  }
}

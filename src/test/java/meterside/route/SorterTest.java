package meterside.route;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import meterside.job.Edit;
import meterside.job.Job;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.Placement;
import meterside.job.PlacementBasis;
import meterside.job.Recorded;
import meterside.job.RoutePlan;
import meterside.job.StopKey;
import meterside.trade.Trade;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class SorterTest {
  private static final RoutePlan OVERHEAD = Trade.standard().route("overhead");

  private static Job sorted(Job job) {
    return Sorter.resolve(job).map(e -> e.applyTo(job)).orElse(job);
  }

  private static Job walked(long seed, int photos) {
    return Jobs.with(Jobs.start("overhead"), Jobs.photos(Walks.draw(seed, OVERHEAD, photos, 0)));
  }

  @Test
  void everyPhotoGetsAStopAndAProbability() {
    Job job = sorted(walked(3, 80));
    for (PhotoId id : job.intakeOrder()) {
      Placement p = job.placement(id).orElseThrow();
      assertEquals(PlacementBasis.INFERRED, p.basis());
      assertTrue(p.confidence() > 0 && p.confidence() <= 1, p.toString());
      assertEquals(Math.round(p.confidence() * 100) / 100.0, p.confidence());
    }
    assertEquals(Sorter.SOLVER, job.solver());
  }

  @Test
  void aJobWithoutPhotosHasNothingToSort() {
    assertEquals(Optional.empty(), Sorter.resolve(Jobs.start("overhead")));
  }

  @Test
  void solvingAgainChangesNothing() {
    Job job = sorted(walked(4, 120));
    assertEquals(Optional.empty(), Sorter.resolve(job));
  }

  @Test
  void theOrderPhotosCameInDoesNotMatter() {
    List<Photo> photos = Jobs.photos(Walks.draw(5, OVERHEAD, 90, 0));
    List<Photo> shuffled = new ArrayList<>(photos);
    Collections.shuffle(shuffled, new Random(5));
    Job a = sorted(Jobs.with(Jobs.start("overhead"), photos));
    Job b = sorted(Jobs.with(Jobs.start("overhead"), shuffled));
    for (Photo p : photos) {
      assertEquals(a.placement(p.id()), b.placement(p.id()));
    }
  }

  @ParameterizedTest
  @ValueSource(longs = {11, 12, 13, 14, 15, 16})
  void photosPutByHandNeverMove(long seed) {
    System.out.println("seed " + seed);
    Random r = new Random(seed);
    Job job = sorted(walked(seed, 70));
    for (int i = 0; i < 12; i++) {
      PhotoId id = job.intakeOrder().get(r.nextInt(job.intakeOrder().size()));
      String stop = OVERHEAD.stops().get(r.nextInt(OVERHEAD.stops().size())).id();
      StopKey at = StopKey.of(stop);
      job = sorted(new Edit.PlaceByHand(List.of(id), at).applyTo(job));
      assertEquals(new Placement(at, PlacementBasis.BY_HAND, 1), job.placement(id).orElseThrow());
    }
    for (PhotoId id : job.intakeOrder()) {
      assertTrue(job.placement(id).isPresent());
    }
  }

  @Test
  void aPhotoPutByHandMovesItsNeighbours() {
    // Three groups of ten photos outdoors, each a minute apart: which stops they are is open.
    List<Photo> photos = new ArrayList<>();
    for (int i = 0; i < 30; i++) {
      photos.add(
          Jobs.photo(
              "IMG_" + (100 + i) + ".JPG",
              "A",
              Jobs.at(Jobs.MORNING.plusSeconds(5L * i + 90L * (i / 10))),
              13.0,
              null));
    }
    Job job = sorted(Jobs.with(Jobs.start("overhead"), photos));
    StopKey meter = StopKey.of("meter-and-base");
    PhotoId middle = photos.get(15).id();
    assertNotEquals(meter, job.placement(middle).orElseThrow().at());
    job = sorted(new Edit.PlaceByHand(List.of(middle), meter).applyTo(job));
    for (int i : new int[] {14, 16}) {
      assertEquals(meter, job.placement(photos.get(i).id()).orElseThrow().at(), "photo " + i);
    }
    job = sorted(new Edit.ReleaseByHand(List.of(middle)).applyTo(job));
    assertFalse(job.placement(middle).orElseThrow().fixed());
  }

  @Test
  void onlyWhatChangesIsRecorded() {
    Job job = sorted(walked(6, 300));
    PhotoId last = job.inTrueOrder().get(job.inTrueOrder().size() - 1).id();
    StopKey at = StopKey.of("alarms");
    Job placed = new Edit.PlaceByHand(List.of(last), at).applyTo(job);
    int changed =
        Sorter.resolve(placed)
            .map(e -> e.runs().stream().mapToInt(run -> run.photos().size()).sum())
            .orElse(0);
    assertTrue(changed < 300, "changed " + changed);
  }

  @Test
  void photosWithoutATimeGoBesideTheirNumber() {
    List<Photo> photos = new ArrayList<>(Jobs.photos(Walks.draw(7, OVERHEAD, 60, 0)));
    Photo timed = photos.get(10);
    photos.add(Jobs.photo("IMG_0011a.JPG", "A", Recorded.NONE, null, null));
    Job job = sorted(Jobs.with(Jobs.start("overhead"), photos));
    Placement p = job.placement(Jobs.id("IMG_0011a.JPG")).orElseThrow();
    assertEquals(job.placement(timed.id()).orElseThrow().at(), p.at());
    assertTrue(p.confidence() <= 0.6);
  }

  @Test
  void aJobWhereNoPhotoHasATimeIsSortedByName() {
    List<Photo> photos = new ArrayList<>();
    for (int i = 0; i < 40; i++) {
      photos.add(Jobs.photo("IMG_" + i + ".JPG", "A", Recorded.NONE, i < 20 ? 13.0 : 5.0, null));
    }
    Job job = sorted(Jobs.with(Jobs.start("overhead"), photos));
    int before = -1;
    for (Photo p : photos) {
      int at = OVERHEAD.indexOf(job.placement(p.id()).orElseThrow().at().stop());
      assertTrue(at >= before, p.name());
      before = Math.min(at, 9); // the rooms' stops interleave
    }
  }

  @Test
  void aPhotoLeftAtAStopTheNewRouteLacksStaysThere() {
    Job job = sorted(walked(8, 60));
    PhotoId first = job.inTrueOrder().get(0).id();
    StopKey drop = StopKey.of("service-drop");
    job = new Edit.PlaceByHand(List.of(first), drop).applyTo(job);
    Trade trade = Trade.standard();
    job =
        sorted(
            new Edit.ChangeRoute(trade.route("underground"), trade.profile("general"))
                .applyTo(job));
    assertEquals(drop, job.placement(first).orElseThrow().at());
    for (PhotoId id : job.intakeOrder()) {
      Placement p = job.placement(id).orElseThrow();
      assertTrue(p.fixed() || job.route().indexOf(p.at().stop()) >= 0, p.toString());
    }
  }

  @Test
  void aNamedInstanceIsHandedToItsRun() {
    List<Photo> photos = new ArrayList<>();
    for (int i = 0; i < 12; i++) {
      photos.add(
          Jobs.photo("P" + i + ".JPG", "A", Jobs.at(Jobs.MORNING.plusSeconds(4L * i)), 5.0, null));
    }
    Job job = Jobs.with(Jobs.start("overhead"), photos);
    StopKey garage = new StopKey("panelboard", "garage subpanel");
    job = new Edit.AddInstance(garage).applyTo(job);
    List<PhotoId> byHand = List.of(photos.get(3).id(), photos.get(8).id());
    job = sorted(new Edit.PlaceByHand(byHand, garage).applyTo(job));
    assertEquals(garage, job.placement(photos.get(5).id()).orElseThrow().at());
  }

  @Test
  void whatIsProbableIsToldByStop() {
    Job job = walked(9, 50);
    for (Sorter.Laid l : Sorter.lay(job, Sorter.Knowledge.standard())) {
      Map<String, Double> by = l.byStop();
      assertEquals(1, by.values().stream().mapToDouble(Double::doubleValue).sum(), 1e-9);
    }
  }

  @Test
  void questionsAreAboutFreePhotosAndEndWhenAllIsAnswered() {
    Job job = sorted(walked(10, 60));
    List<PhotoId> first = Sorter.questions(job);
    assertFalse(first.isEmpty());
    PhotoId asked = first.get(0);
    StopKey at = job.placement(asked).orElseThrow().at();
    job = sorted(new Edit.PlaceByHand(List.of(asked), at).applyTo(job));
    assertFalse(Sorter.questions(job).contains(asked));
    job = new Edit.PlaceByHand(job.intakeOrder(), at).applyTo(job);
    assertEquals(List.of(), Sorter.questions(job));
    assertEquals(List.of(), Sorter.questions(Jobs.start("overhead")));
  }

  @Test
  void answersPutMorePhotosRightAndSoonNearlyAll() {
    int[] asked = {0, 5, 10};
    double[] right = new double[asked.length];
    int walks = 12;
    for (long seed = 3001; seed < 3001 + walks; seed++) {
      Walks.Walk walk = Walks.draw(seed, OVERHEAD, Walks.size(seed), 0);
      Evidence ev = walk.evidence();
      Sorter.Solution s = Sorter.solve(OVERHEAD, ev, Priors.standard());
      Set<List<Integer>> none = new HashSet<>();
      int answers = 0;
      for (int a = 0; a < asked.length; a++) {
        for (; answers < asked[a]; answers++) {
          s = SorterFigures.answer(walk, ev, s, "both", none);
        }
        right[a] += SorterFigures.right(walk, ev, s) / walks;
      }
    }
    System.out.println("seeds 3001 to 3012, right " + Arrays.toString(right));
    assertTrue(right[1] > right[0] + 0.1, "after five " + right[1]);
    assertTrue(right[1] > 0.93, "after five " + right[1]);
    assertTrue(right[2] > 0.97, "after ten " + right[2]);
  }

  @Test
  void layoutsAreDrawnAsOftenAsTheyAreProbable() {
    Evidence ev = Walks.draw(12, OVERHEAD, 60, 0).evidence();
    ev.fixed()[30] = 2;
    Inference in = Sorter.solve(OVERHEAD, ev, Priors.standard()).fits().get(0).inference();
    Random r = new Random(12);
    int draws = 4000;
    int states = in.states();
    int[][] seen = new int[ev.photos()][states];
    for (int i = 0; i < draws; i++) {
      int[] layout = in.draw(r);
      for (int t = 0; t < layout.length; t++) {
        seen[t][layout[t]]++;
      }
    }
    for (int t = 0; t < ev.photos(); t++) {
      for (int s = 0; s < states; s++) {
        double p = in.state(t, s);
        // Five deviations of a count of so many draws.
        double off = 5 * Math.sqrt(p * (1 - p) / draws) + 1e-3;
        assertEquals(p, seen[t][s] / (double) draws, off, "seed 12, photo " + t + " state " + s);
      }
    }
  }

  @Test
  void simulatedWalksAreLaidFarBetterThanByCuttingAtTheLongestPauses() {
    double laid = 0;
    double cut = 0;
    int walks = 40;
    for (long seed = 1001; seed < 1001 + walks; seed++) {
      Walks.Walk walk = Walks.draw(seed, OVERHEAD, Walks.size(seed), 0);
      Evidence ev = walk.evidence();
      laid += SorterFigures.right(walk, ev, Sorter.solve(OVERHEAD, ev, Priors.standard()));
      cut += SorterFigures.cutAtPauses(walk, ev);
    }
    System.out.println("laid right " + laid / walks + ", by cutting " + cut / walks);
    assertTrue(laid / walks > 0.74, "laid right " + laid / walks);
    assertTrue(cut / walks < 0.4, "by cutting " + cut / walks);
  }
}

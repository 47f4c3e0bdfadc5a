package meterside.route;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import meterside.job.Edit;
import meterside.job.Job;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.RoutePlan;
import meterside.job.StopKey;
import meterside.trade.Trade;
import org.junit.jupiter.api.Test;

class LooksTest {
  private static final RoutePlan OVERHEAD = Trade.standard().route("overhead");

  private static float[] near(double x, Random r) {
    return new float[] {(float) (x + 0.1 * r.nextGaussian()), (float) r.nextGaussian()};
  }

  private static Looks meterAtZeroPanelAtFive(int each) {
    Random r = new Random(1);
    List<Looks.Example> examples = new ArrayList<>();
    for (int i = 0; i < each; i++) {
      examples.add(new Looks.Example(near(0, r), "meter-and-base"));
      examples.add(new Looks.Example(near(5, r), "panelboard"));
    }
    return Looks.of(examples);
  }

  @Test
  void aPhotoIsLikelierAtTheStopWhosePhotosItLooksLike() {
    double[] p = meterAtZeroPanelAtFive(30).ratios(new float[] {0.05f, 0}, OVERHEAD);
    double meter = p[OVERHEAD.indexOf("meter-and-base")];
    double panel = p[OVERHEAD.indexOf("panelboard")];
    assertTrue(meter > 1.3, "meter " + meter);
    assertTrue(panel < 0.5 && panel > 0, "panel " + panel);
    assertEquals(1, p[OVERHEAD.indexOf("alarms")]); // no example, no opinion
  }

  @Test
  void tooFewExamplesAnotherLengthAndNoLookSayNothing() {
    assertNull(meterAtZeroPanelAtFive(5).ratios(new float[] {0, 0}, OVERHEAD));
    assertNull(meterAtZeroPanelAtFive(30).ratios(new float[] {0, 0, 0}, OVERHEAD));
    assertNull(meterAtZeroPanelAtFive(30).ratios(null, OVERHEAD));
    assertNull(Looks.NONE.ratios(new float[] {0}, OVERHEAD));
  }

  @Test
  void examplesThatAreAllAlikeSayAlmostNothing() {
    List<Looks.Example> examples = new ArrayList<>();
    for (int i = 0; i < 40; i++) {
      examples.add(new Looks.Example(new float[] {1, 1}, i % 2 == 0 ? "alarms" : "panelboard"));
    }
    double[] p = Looks.of(examples).ratios(new float[] {1, 1}, OVERHEAD);
    assertEquals(1, p[OVERHEAD.indexOf("alarms")], 1e-9);
    assertEquals(1, p[OVERHEAD.indexOf("panelboard")], 1e-9);
  }

  private static Job confirmed(long seed, double others) {
    Walks.Walk walk = Walks.draw(seed, OVERHEAD, 120, others);
    Job job = Jobs.with(Jobs.start("overhead"), Jobs.photos(walk));
    for (int t = 0; t < walk.shots().size(); t++) {
      StopKey at = StopKey.of(OVERHEAD.stops().get(walk.shots().get(t).label()).id());
      job = new Edit.PlaceByHand(List.of(job.intakeOrder().get(t)), at).applyTo(job);
    }
    return job;
  }

  @Test
  void priorsGoByConfirmedJobsAndByNothingElse() {
    Priors standard = Priors.standard();
    Job sortedOnly = Jobs.with(Jobs.start("overhead"), Jobs.photos(Walks.draw(1, OVERHEAD, 60, 0)));
    assertSame(standard, standard.learn(List.of(sortedOnly)));
    assertFalse(Priors.confirmed(sortedOnly));
    Priors learned = standard.learn(List.of(confirmed(2, 0.6), confirmed(3, 0.6)));
    assertTrue(learned.otherShare() > 0.2, "other " + learned.otherShare());
    assertTrue(learned.otherStart() > standard.otherStart());
    assertNotEquals(standard.hash(), learned.hash());
    assertEquals(standard.stops().keySet(), learned.stops().keySet());
    for (Priors.OfStop of : learned.stops().values()) {
      assertTrue(of.share() > 0 && of.absent() > 0 && of.absent() < 1, of.toString());
    }
  }

  @Test
  void learnedLooksFindOtherSystemsAmongTheElectricalPhotos() {
    double[] f = SorterFigures.withOthers(6, 501, 0.6);
    System.out.println(
        "right with others "
            + f[0]
            + ", by the nearest look alone "
            + f[3]
            + "; other systems laid at a stop "
            + f[1]
            + ", photos of the route laid wrong "
            + f[2]);
    assertTrue(f[0] >= 0.9, "right " + f[0]);
    assertTrue(f[1] < 0.1, "other systems laid at a stop " + f[1]);
    assertTrue(f[2] < 0.15, "photos of the route laid wrong " + f[2]);
    assertTrue(f[0] > f[3] + 0.1, "by look alone " + f[3]);
  }

  @Test
  void aJobIsSortedByItsPhotosLooks() {
    List<Photo> photos = new ArrayList<>();
    Map<PhotoId, float[]> looks = new HashMap<>();
    Random r = new Random(4);
    for (int i = 0; i < 30; i++) {
      Photo p =
          Jobs.photo("P" + i + ".JPG", "A", Jobs.at(Jobs.MORNING.plusSeconds(6L * i)), null, null);
      photos.add(p);
      looks.put(p.id(), near(i < 12 ? 0 : 5, r));
    }
    Job job = Jobs.with(Jobs.start("overhead"), photos);
    Sorter.Knowledge known =
        new Sorter.Knowledge(Priors.standard(), meterAtZeroPanelAtFive(30), looks::get);
    Job sorted = Sorter.resolve(job, known).orElseThrow().applyTo(job);
    StopKey meter = StopKey.of("meter-and-base");
    StopKey panel = StopKey.of("panelboard");
    assertEquals(meter, sorted.placement(photos.get(8).id()).orElseThrow().at());
    assertEquals(panel, sorted.placement(photos.get(20).id()).orElseThrow().at());
    assertFalse(Sorter.questions(job, known).equals(Sorter.questions(job)));
  }
}

package meterside.search;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Stream;
import meterside.archive.JobFolder;
import meterside.job.Edit;
import meterside.job.FindingKind;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.Progress;
import meterside.picture.Look;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * The same defects on four invented houses: rendered with other colours, light, places to stand,
 * lenses and hands, two of them mirrored ({@code meterside.scenes.RenderHouses}), each worded by
 * another inspector ({@code houses.txt}). From each photo and finding, how often one of the same
 * defect on another house is among the first five; a draw by lot beside it.
 *
 * <p>These are variants of one set of scenes, not photos of real houses: they say that likeness
 * survives such changes, not how it fares on any house there is.
 */
class SimilarHousesTest {
  private static final int FIRST = 5;
  private static final List<String> HOUSES = List.of("sample", "blue", "brick", "green");
  private static final Path ROOT = Path.of("src/test/resources/meterside/search");

  @TempDir static Path folder;
  private static TestJobs jobs;
  private static PastJobs past;
  private static final List<Shown> SHOWN = new ArrayList<>();
  private static final Map<String, Worded> WORDINGS = new LinkedHashMap<>();

  /** A photo of a house; its defects, if it shows any, each with the number of its finding. */
  private record Shown(
      String job, String file, PhotoId id, Map<String, Integer> defects, float[] look) {}

  private record Worded(String stop, String part, List<String> texts) {}

  @BeforeAll
  static void takeIn() throws IOException {
    for (String line : Files.readAllLines(ROOT.resolve("houses.txt"))) {
      if (!line.startsWith("#")) {
        String[] f = line.split("\\s*\\|\\s*");
        WORDINGS.put(f[0], new Worded(f[1], f[2], List.of(f).subList(3, 7)));
      }
    }
    jobs = new TestJobs(folder);
    for (int h = 0; h < HOUSES.size(); h++) {
      house(h);
    }
    past = jobs.pastJobs();
    past.catchUp(Progress.NONE);
  }

  private static void house(int h) throws IOException {
    String name = "2026-0" + (h + 1) + "-10-" + HOUSES.get(h);
    TestJobs.Draft draft = jobs.job(name, (h + 1) + " Fen Row", name.substring(0, 10));
    JobFolder job = jobs.archive().find(name).orElseThrow();
    List<Path> files;
    try (Stream<Path> all = Files.list(ROOT.resolve("houses").resolve(HOUSES.get(h)))) {
      files = all.sorted().toList();
    }
    int second = 0;
    int finding = 1;
    for (Path f : files) {
      String file = f.getFileName().toString();
      byte[] jpeg = Files.readAllBytes(f);
      Photo p = TestJobs.photo(name, file, second++);
      draft.edit(new Edit.AddPhotos(List.of(p)));
      job.keepThumbnail(p.id(), jpeg);
      Map<String, Integer> defects = new LinkedHashMap<>();
      String shows = file.substring(0, file.indexOf("--"));
      for (String d : shows.equals("none") ? new String[0] : shows.split("\\+")) {
        Worded w = WORDINGS.get(d);
        draft.finding(
            finding,
            w.stop(),
            w.part(),
            FindingKind.NEEDS_CORRECTION,
            w.texts().get(h),
            null,
            null,
            file);
        defects.put(d, finding++);
      }
      if (defects.isEmpty()) {
        draft.callout(file, "conduit", null); // marked, so that it is looked at too
      }
      SHOWN.add(new Shown(name, file, p.id(), defects, Look.ofJpeg(jpeg).orElseThrow()));
    }
    draft.save();
  }

  @AfterAll
  static void close() {
    past.close();
  }

  private static List<float[]> looks(Shown s) {
    return List.of(s.look(), Look.mirrored(s.look()));
  }

  private static Set<String> defects(Likeness l) {
    Set<String> out = new TreeSet<>();
    for (Shown s : SHOWN) {
      if (s.job().equals(l.hit().job())) {
        boolean photo = l.hit().kind() == Hit.Kind.PHOTO && s.id().equals(l.hit().photoId());
        s.defects()
            .forEach(
                (d, n) -> {
                  if (photo || n.equals(l.hit().finding())) {
                    out.add(d);
                  }
                });
      }
    }
    return out;
  }

  private static boolean meets(List<Likeness> first, Set<String> wanted) {
    assertTrue(first.size() <= FIRST);
    return first.stream().anyMatch(l -> defects(l).stream().anyMatch(wanted::contains));
  }

  private interface Asking {
    List<Likeness> of(Shown s, String defect);
  }

  /** Share of the defects shown that are met again on another house. */
  private static double share(String what, Asking asking) {
    int met = 0;
    int asked = 0;
    int byLot = 0;
    Random lot = new Random(20260512);
    Map<String, int[]> by = new LinkedHashMap<>();
    for (Shown s : SHOWN) {
      List<Shown> others = SHOWN.stream().filter(o -> !o.job().equals(s.job())).toList();
      for (String d : s.defects().keySet()) {
        List<Likeness> first = asking.of(s, d);
        first.forEach(l -> assertFalse(l.hit().job().equals(s.job()), "only past jobs"));
        boolean hit = meets(first, Set.of(d));
        met += hit ? 1 : 0;
        asked++;
        int[] n = by.computeIfAbsent(d, k -> new int[2]);
        n[0] += hit ? 1 : 0;
        n[1]++;
        for (int i = 0; i < FIRST; i++) {
          if (others.get(lot.nextInt(others.size())).defects().containsKey(d)) {
            byLot++;
            break;
          }
        }
      }
    }
    StringBuilder weak = new StringBuilder();
    by.forEach((d, n) -> weak.append(n[0] < n[1] ? " " + d + " " + n[0] + "/" + n[1] : ""));
    System.out.printf(
        Locale.ROOT,
        "similar, %s: the same defect on another house among the first %d for %d of %d (%.1f %%),"
            + " by lot %.1f %%;%s%n",
        what,
        FIRST,
        met,
        asked,
        100.0 * met / asked,
        100.0 * byLot / asked,
        weak);
    return (double) met / asked;
  }

  @Test
  void from_a_photo_alone_without_any_word() {
    double share =
        share(
            "photo alone",
            (s, d) ->
                past.similar(
                    new Like(
                        Hit.Kind.PHOTO,
                        "",
                        List.of(),
                        null,
                        looks(s),
                        s.job(),
                        null,
                        false,
                        FIRST)));
    assertTrue(share >= 0.9, "share " + share);
  }

  @Test
  void from_a_photo_with_what_was_found_on_it() {
    double share =
        share(
            "photo with its finding",
            (s, d) -> {
              Worded w = WORDINGS.get(d);
              String text = w.texts().get(HOUSES.indexOf(s.job().substring(11)));
              return past.similar(
                  new Like(
                      Hit.Kind.PHOTO,
                      text,
                      List.of(w.part()),
                      w.stop(),
                      looks(s),
                      s.job(),
                      null,
                      false,
                      FIRST));
            });
    assertTrue(share >= 0.9, "share " + share);
  }

  @Test
  void from_a_finding_with_its_photo() {
    double share = share("finding", (s, d) -> fromFinding(s, d, looks(s)));
    assertTrue(share >= 0.9, "share " + share);
  }

  @Test
  void words_and_looks_together_are_no_worse_than_words_alone() {
    double words = share("finding, words and part only", (s, d) -> fromFinding(s, d, List.of()));
    double both = share("finding, all together", (s, d) -> fromFinding(s, d, looks(s)));
    assertTrue(both >= words, both + " against " + words);
  }

  private static List<Likeness> fromFinding(Shown s, String d, List<float[]> looks) {
    Worded w = WORDINGS.get(d);
    String text = w.texts().get(HOUSES.indexOf(s.job().substring(11)));
    return past.similar(
        new Like(
            Hit.Kind.FINDING,
            text,
            List.of(w.part()),
            w.stop(),
            looks,
            s.job(),
            s.defects().get(d),
            false,
            FIRST));
  }

  /**
   * The harder case, for the record: two houses that share no scene. A photo of one is compared
   * with all photos of the other by its look alone.
   */
  @Test
  void looks_alone_between_two_houses_that_share_no_scene_beat_a_draw_by_lot() {
    int met = 0;
    int asked = 0;
    double byLot = 0;
    for (Shown s : SHOWN) {
      boolean tansy = s.file().contains("--tansy");
      for (String d : s.defects().keySet()) {
        List<Shown> others =
            SHOWN.stream()
                .filter(o -> o.file().contains("--tansy") != tansy && !o.job().equals(s.job()))
                .toList();
        long same = others.stream().filter(o -> o.defects().containsKey(d)).count();
        if (same > 0) {
          List<Shown> nearest = new ArrayList<>(others);
          nearest.sort(java.util.Comparator.comparingDouble((Shown o) -> -alike(s, o)));
          boolean hit =
              nearest.subList(0, FIRST).stream().anyMatch(o -> o.defects().containsKey(d));
          met += hit ? 1 : 0;
          asked++;
          byLot += 1 - Math.pow(1 - (double) same / others.size(), FIRST);
        }
      }
    }
    System.out.printf(
        Locale.ROOT,
        "similar, looks alone between houses that share no scene: %d of %d (%.1f %%), by lot"
            + " %.1f %%%n",
        met,
        asked,
        100.0 * met / asked,
        100 * byLot / asked);
    assertTrue(met > byLot);
  }

  private static double alike(Shown a, Shown b) {
    return Math.max(Look.alike(a.look(), b.look()), Look.alike(Look.mirrored(a.look()), b.look()));
  }

  @Test
  void it_says_why() {
    Shown s =
        SHOWN.stream().filter(x -> x.defects().containsKey("sheath-frayed")).findFirst().get();
    Likeness first = fromFinding(s, "sheath-frayed", looks(s)).get(0);
    assertTrue(first.samePart());
    assertTrue(first.because().startsWith("Same part (service-entrance cable)"), first.because());
    assertTrue(first.look() >= 0 && first.look() <= 1);
    Likeness photo =
        past.similar(
                new Like(
                    Hit.Kind.PHOTO, "", List.of(), null, looks(s), s.job(), null, false, FIRST))
            .get(0);
    assertEquals("The photos look alike.", photo.because());
    assertFalse(photo.findings().isEmpty());
  }
}

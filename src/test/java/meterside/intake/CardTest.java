package meterside.intake;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.time.Instant;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Collections;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import meterside.job.Code;
import meterside.job.PhotoId;
import meterside.job.Position;
import org.junit.jupiter.api.Test;

/** Simulated days: three houses, yesterday's photos, two cameras whose clocks disagree. */
class CardTest {
  private static final ZoneId ZONE = ZoneId.of("America/Denver");

  private record Day(List<Card.Shot> shots, Map<PhotoId, Integer> house) {}

  /** What a day's cameras record besides the time. */
  private enum Hints {
    GPS,
    CODES,
    BOTH,
    PAUSES_ONLY
  }

  private static Day draw(long seed, Hints hints, long offset) {
    Random r = new Random(seed);
    List<Card.Shot> shots = new ArrayList<>();
    Map<PhotoId, Integer> truth = new HashMap<>();
    LocalDateTime now = LocalDateTime.of(2026, 5, 11, 15, 0).plusMinutes(r.nextInt(90));
    double latitude = 40;
    int n = 0;
    for (int house = 0; house < 4; house++) {
      boolean pausesOnly = hints == Hints.PAUSES_ONLY;
      if (house == 1) {
        now = LocalDateTime.of(2026, 5, 12, 8, 0).plusMinutes(r.nextInt(60)); // yesterday is over
      } else if (house > 1) {
        now = now.plusMinutes((pausesOnly ? 32 : 9) + r.nextInt(40)); // the drive
      }
      latitude += 0.004 + 0.03 * r.nextDouble(); // at least 440 m
      boolean gps = hints == Hints.GPS || hints == Hints.BOTH;
      boolean codes = hints == Hints.CODES || hints == Hints.BOTH;
      int count = 60 + r.nextInt(200);
      int codesLeft = codes ? 2 : 0;
      double staleLatitude = latitude - 0.02;
      for (int i = 0; i < count; i++) {
        boolean second = codesLeft > 0 ? codesLeft == 1 : r.nextInt(4) == 0;
        List<Code> seen = codesLeft > 0 ? List.of(Code.job("house-" + house)) : List.of();
        codesLeft--;
        double pause = 6 * Math.exp(0.8 * r.nextGaussian());
        if (r.nextInt(60) == 0) {
          pause += 60 * (1 + r.nextInt(14)); // a talk with the owner
        }
        now = now.plusNanos((long) (pause * 1e9));
        double at = i < 3 ? staleLatitude : latitude;
        Position p =
            gps && !second && r.nextInt(3) > 0
                ? new Position(
                    at + 0.0001 * r.nextGaussian(),
                    -105 + 0.0001 * r.nextGaussian(),
                    null,
                    null,
                    false)
                : null;
        Instant fix = p == null ? null : now.atZone(ZONE).toInstant().minusSeconds(r.nextInt(2));
        PhotoId id = new PhotoId(String.format(Locale.ROOT, "%064x", seed * 100_000 + n));
        shots.add(
            new Card.Shot(
                Path.of("DCIM", "IMG_" + n + ".JPG"),
                String.format(Locale.ROOT, "%s/IMG_%05d.JPG", second ? "b" : "a", n),
                id,
                second ? "second camera" : "first camera",
                second ? now.plusSeconds(offset) : now,
                fix,
                p,
                i % 3 == 0 ? 13.0 : 5.0,
                seen,
                house == 0 ? "yesterday" : null,
                null));
        truth.put(id, house);
        n++;
      }
    }
    Collections.shuffle(shots, r);
    return new Day(shots, truth);
  }

  @Test
  void threeHousesAndYesterdayFromTwoCamerasAreSplitRight() {
    for (Hints hints : Hints.values()) {
      for (long offset : new long[] {58, -125, 3600, -7200}) {
        int right = 0;
        int days = 25;
        for (long seed = 1; seed <= days; seed++) {
          Day day = draw(seed, hints, offset);
          Card.Split split = Card.split(day.shots(), ZONE);
          right += isRight(day, split) ? 1 : 0;
        }
        System.out.println(
            "card days split right: "
                + right
                + " of 25 ("
                + hints
                + ", second camera off by "
                + offset
                + " s, seeds 1 to 25)");
        assertTrue(right >= days - 1, hints + " " + offset + ": " + right);
      }
    }
  }

  /** Each group is one house's photos, all of them. */
  private static boolean isRight(Day day, Card.Split split) {
    if (split.groups().size() != 4) {
      return false;
    }
    for (Card.Group g : split.groups()) {
      Set<Integer> houses = new HashSet<>();
      g.photos().forEach(p -> houses.add(day.house().get(p.id())));
      if (houses.size() != 1) {
        return false;
      }
    }
    return true;
  }

  @Test
  void aGroupSaysItsDayItsHouseItsFrontAndWhatIsKept() {
    Day day = draw(7, Hints.BOTH, 58);
    List<Card.Group> groups = Card.split(day.shots(), ZONE).groups();
    assertEquals("house-2", groups.get(2).house());
    assertEquals(LocalDateTime.of(2026, 5, 11, 0, 0).toLocalDate(), groups.get(0).day());
    assertEquals(groups.get(0).photos().size(), groups.get(0).kept());
    assertEquals("yesterday", groups.get(0).keptIn().orElseThrow());
    assertEquals(0, groups.get(1).kept());
    assertTrue(groups.get(1).front().ev100() > 9 && groups.get(1).front().codes().isEmpty());
    assertTrue(groups.stream().allMatch(g -> !g.reasons().isEmpty()));
  }

  @Test
  void theOrderOfTheFilesDoesNotMatterAndACopyCountsOnce() {
    Day day = draw(3, Hints.GPS, 58);
    List<Card.Shot> twice = new ArrayList<>(day.shots());
    twice.addAll(day.shots());
    Collections.shuffle(twice, new Random(1));
    assertEquals(Card.split(day.shots(), ZONE).groups(), Card.split(twice, ZONE).groups());
  }
}

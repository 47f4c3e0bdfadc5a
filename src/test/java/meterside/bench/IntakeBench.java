package meterside.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.stream.Stream;
import meterside.job.Progress;
import meterside.work.Home;
import meterside.work.Verification;
import meterside.work.Workspace;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * A card's intake from the command line to its end, beside general tools that do the same work on
 * the same files in the same run: copy and force, SHA-256, metadata, previews of 1,008 and
 * thumbnails of 256 pixels, on all cores. Then a full check beside plainly hashing the same bytes.
 *
 * <p>{@code -Dmeterside.bench.photos=300} says how many photos, {@code -Dmeterside.bench.runs=5}
 * how often.
 */
@Tag("bench")
class IntakeBench {
  private static final int PHOTOS = Integer.getInteger("meterside.bench.photos", 300);
  private static final int RUNS = Integer.getInteger("meterside.bench.runs", 5);

  /** A check is short, so it is measured more often. */
  private static final int CHECKS = Math.max(RUNS, 9);

  /**
   * The tools' way. Copying and forcing come first, since a photo must be on the disk before the
   * card may go; then one reader of metadata beside two lanes of hashing and shrinking, the
   * thumbnail from the preview, as we do it.
   */
  private static final String TOOLS =
      """
      card=$1; out=$2; lanes=$3
      mkdir -p "$out/photos" "$out/preview" "$out/thumb"
      cp "$card"/* "$out/photos/"
      sync & forcing=$!
      exiftool -json -n -q "$out/photos" > "$out/facts.json" & facts=$!
      export OUT="$out" VIPS_CONCURRENCY=1
      find "$out/photos" -type f | sort | xargs -P "$lanes" -n 10 sh -c '
        openssl dgst -sha256 "$@" >> "$OUT/hashes.$$"
        vipsthumbnail "$@" --size 1008 -o "$OUT/preview/%s.jpg[Q=82,strip]"
        for f in "$@"; do
          b=${f##*/}; echo "$OUT/preview/${b%.*}.jpg"
        done | xargs sh -c "vipsthumbnail \\"\\$@\\" --size 256 -o \\"$OUT/thumb/%s.jpg[Q=78,strip]\\"" x
      ' lane
      wait $facts; wait $forcing; sync
      """;

  @TempDir Path tmp;

  @Test
  void aCardOfTwelveMegapixels() throws Exception {
    for (String tool : List.of("exiftool", "vipsthumbnail", "openssl", "bash")) {
      assumeTrue(Runs.has(tool), tool + " is not there to compare with");
    }
    Path card = tmp.resolve("card");
    long bytes = NoisyCard.fill(card, PHOTOS, 4000, 0.9f);
    System.out.printf(Locale.ROOT, "%d photos, %.1f MB each%n", PHOTOS, bytes / 1e6 / PHOTOS);
    Path log = tmp.resolve("log");
    Path archive = tmp.resolve("archive");
    Path tools = tmp.resolve("tools");
    String cores = Integer.toString(Runtime.getRuntime().availableProcessors());
    List<Double> ours = new ArrayList<>();
    List<Double> theirs = new ArrayList<>();
    for (int i = 0; i < RUNS; i++) {
      Runs.clear(tools, log);
      theirs.add(
          Runs.seconds(() -> Runs.shell(log, TOOLS, card.toString(), tools.toString(), cores)));
      Runs.clear(archive, log);
      Runs.java(
          "meterside.Meterside",
          log,
          ("--archive " + archive + " new noisy --site Noise --date 2026-05-12 --zone UTC")
              .split(" "));
      ours.add(
          Runs.seconds(
              () ->
                  Runs.java(
                      "meterside.Meterside",
                      log,
                      "--archive",
                      archive.toString(),
                      "intake",
                      "noisy",
                      card.toString())));
    }
    Runs.say("intake of " + PHOTOS, ours, theirs);
    long oursPreviews = size(archive.resolve("jobs/noisy/derived"), "");
    long theirPreviews = size(tools.resolve("preview"), "") + size(tools.resolve("thumb"), "");
    System.out.printf(
        Locale.ROOT,
        "previews and thumbnails: ours %.1f MB, the tools' %.1f MB%n",
        oursPreviews / 1e6,
        theirPreviews / 1e6);
    assertEquals(bytes, size(archive.resolve("jobs/noisy/photos"), ""));
    assertEquals(bytes, size(tools.resolve("photos"), ""));
    assertEquals(PHOTOS, count(tools.resolve("preview")));
    assertEquals(PHOTOS, count(tools.resolve("thumb")));

    List<Double> checks = new ArrayList<>();
    List<Double> hashes = new ArrayList<>();
    Path photos = archive.resolve("jobs/noisy/photos");
    Home home = new Home(tmp.resolve("home"), archive);
    try (Workspace w = Workspace.open(archive, false, home, Clock.systemUTC())) {
      for (int i = 0; i <= CHECKS; i++) {
        hashes.add(Runs.seconds(() -> assertEquals(PHOTOS, PlainHash.of(photos))));
        checks.add(
            Runs.seconds(
                () -> assertTrue(Verification.of(w, "noisy", false, Progress.NONE).intact())));
      }
    }
    // In the running program: the first of each only warms the code.
    hashes.remove(0);
    checks.remove(0);
    Runs.say("full check of " + PHOTOS + ", in the running program", checks, hashes);
    checks.clear();
    hashes.clear();
    for (int i = 0; i < CHECKS; i++) {
      hashes.add(
          Runs.seconds(() -> Runs.java("meterside.bench.PlainHash", log, photos.toString())));
      checks.add(
          Runs.seconds(
              () ->
                  Runs.java(
                      "meterside.Meterside",
                      log,
                      "--archive",
                      archive.toString(),
                      "verify",
                      "noisy")));
    }
    Runs.say("full check of " + PHOTOS + ", with the start of a process", checks, hashes);
  }

  private static long size(Path folder, String ending) throws Exception {
    try (Stream<Path> all = Files.walk(folder)) {
      long sum = 0;
      for (Path p : all.filter(Files::isRegularFile).toList()) {
        if (p.toString().endsWith(ending)) {
          sum += Files.size(p);
        }
      }
      return sum;
    }
  }

  private static long count(Path folder) throws Exception {
    try (Stream<Path> all = Files.list(folder)) {
      return all.count();
    }
  }
}

package meterside.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import meterside.TestPhotos;
import meterside.archive.Archive;
import meterside.job.Job;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * A real disk of a few megabytes that fills up under every kind of command: one sentence, exit 4,
 * nothing acknowledged lost, and the same command goes through after room is made. Needs the right
 * to mount a small disk; skipped without.
 */
@Tag("process")
class SmallDiskLineTest {
  private static final int PHOTOS = 30;
  @TempDir Path dir;
  private Path disk;
  private Path card;
  private Line line;
  private boolean mounted;

  @BeforeEach
  void prepare() throws Exception {
    disk = Files.createDirectory(dir.resolve("disk"));
    mounted = run("mount", "-t", "tmpfs", "-o", "size=12m", "tmpfs", disk.toString()) == 0;
    assumeTrue(mounted, "a small disk can't be mounted here");
    card = dir.resolve("card");
    LocalDateTime t = LocalDateTime.of(2026, 5, 12, 10, 0);
    for (int i = 0; i < PHOTOS; i++) {
      TestPhotos.photo(i)
          .at(t.plusSeconds(i * 40L))
          .write(card.resolve(String.format("IMG_%04d.jpg", i)));
    }
    line = new Line(disk.resolve("archive"));
    line.json("new", "j", "--site", "x", "--date", "2026-05-12", "--zone", "America/New_York");
  }

  @AfterEach
  void unmount() throws Exception {
    if (mounted) {
      // Lazily: a picture reader of the process may still hold a file for a moment.
      assertEquals(0, run("umount", "-l", disk.toString()));
    }
  }

  private static int run(String... command) throws Exception {
    try {
      Process process = new ProcessBuilder(command).redirectErrorStream(true).start();
      process.getInputStream().readAllBytes();
      return process.waitFor();
    } catch (IOException notThere) {
      return -1;
    }
  }

  private Job job() {
    return Archive.open(disk.resolve("archive")).job("j").read().history().job();
  }

  private Path fillBut(int kilobytes) throws IOException {
    Path filler = disk.resolve("filler");
    long left = Files.getFileStore(disk).getUsableSpace() - kilobytes * 1024L;
    byte[] block = new byte[4096];
    try (var out = Files.newOutputStream(filler)) {
      for (; left >= block.length; left -= block.length) {
        out.write(block);
      }
    }
    return filler;
  }

  /** Gives a command with ever more room, until it goes through. Returns how often it was full. */
  private int untilItGoesThrough(int step, String... command) throws IOException {
    int full = 0;
    for (int kilobytes = 0; ; kilobytes += step) {
      Job before = job();
      Path filler = fillBut(kilobytes);
      Line.Ran ran = line.run(command);
      String say = String.join(" ", command) + " with " + kilobytes + " kB: " + ran.err();
      if (ran.exit() == 0) {
        Files.delete(filler);
        return full;
      }
      full++;
      assertEquals(4, ran.exit(), say);
      assertTrue(ran.err().contains("full") || ran.err().contains("space"), say);
      assertFalse(ran.err().contains("Exception"), say);
      assertTrue(job().photos().keySet().containsAll(before.photos().keySet()), say);
      assertTrue(job().findings().keySet().containsAll(before.findings().keySet()), say);
      Files.delete(filler);
      assertEquals(0, line.run("verify", "j").exit(), say);
      assertTrue(kilobytes < 11_000, say);
    }
  }

  @Test
  void everyCommandSaysThatTheDiskIsFullAndGoesThroughAfterRoomIsMade() throws Exception {
    Map<String, Integer> full = new TreeMap<>();
    full.put("intake", untilItGoesThrough(48, "intake", "j", card.toString()));
    assertEquals(PHOTOS, job().photos().size());
    full.put("set", untilItGoesThrough(4, "set", "j", "--fact", "note=" + "n".repeat(3000)));
    List<String> finding =
        new ArrayList<>(
            List.of(
                "finding",
                "j",
                "--stop",
                "service-drop",
                "--kind",
                "note",
                "--seen",
                "s".repeat(5000),
                "--photo",
                "IMG_0003.jpg"));
    full.put("finding", untilItGoesThrough(4, finding.toArray(String[]::new)));
    assertEquals(1, job().findings().size());
    Path report = disk.resolve("report");
    full.put("report", untilItGoesThrough(400, "report", "j", "-o", report.toString()));
    assertEquals(1, job().reports().size());
    run("rm", "-r", report.toString());
    full.put("reindex", untilItGoesThrough(8, "reindex"));
    Path copy = disk.resolve("copy");
    full.put("copy", untilItGoesThrough(160, "copy", copy.toString()));
    run("rm", "-r", copy.toString());
    Path bag = disk.resolve("bag");
    full.put("pack", untilItGoesThrough(160, "pack", "j", "-o", bag.toString()));
    System.out.println("commands that met a full disk: " + full);
    assertEquals(0, line.run("verify", bag.toString()).exit());
    for (String command : List.of("intake", "finding", "report", "reindex", "copy", "pack")) {
      assertTrue(full.get(command) > 0, "never full: " + full);
    }
  }
}

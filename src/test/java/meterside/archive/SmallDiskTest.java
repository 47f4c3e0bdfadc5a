package meterside.archive;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import meterside.job.Camera;
import meterside.job.Edit;
import meterside.job.Examples;
import meterside.job.Format;
import meterside.job.History;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.Progress;
import meterside.job.Recorded;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * A real disk of one megabyte that fills up; needs the right to mount one, and is skipped without.
 */
@Tag("process")
class SmallDiskTest {
  private static final Clock CLOCK = Clock.systemUTC();
  @TempDir Path dir;
  private Path disk;
  private boolean mounted;

  @BeforeEach
  void mount() throws Exception {
    disk = Files.createDirectory(dir.resolve("disk"));
    mounted = run("mount", "-t", "tmpfs", "-o", "size=1m", "tmpfs", disk.toString()) == 0;
    assumeTrue(mounted, "a small disk can't be mounted here");
  }

  @AfterEach
  void unmount() throws Exception {
    if (mounted) {
      assertEquals(0, run("umount", disk.toString()));
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

  private static Photo photo(PhotoId id, int length) {
    return new Photo(
        id,
        id.brief() + ".JPG",
        "",
        length,
        Format.JPEG,
        "jpg",
        1,
        1,
        1,
        Recorded.NONE,
        "A",
        null,
        null,
        null,
        null,
        null);
  }

  /** Leaves so many free kilobytes. */
  private Path fillBut(int kilobytes) throws IOException {
    Path filler = disk.resolve("filler");
    long free = Files.getFileStore(disk).getUsableSpace() - kilobytes * 1024L;
    Files.write(filler, new byte[(int) Math.max(0, free)]);
    return filler;
  }

  @Test
  void aFullDiskIsSaidNothingAcknowledgedIsLostAndTheWorkGoesOnAfterRoomIsMade() throws Exception {
    int stoppedAtPhoto = 0;
    int stoppedAtJournal = 0;
    for (int kilobytes = 0; kilobytes <= 160; kilobytes += 4) {
      Archive archive = Archive.create(disk.resolve("archive" + kilobytes));
      JobFolder job = archive.createJob("wren", Examples.header(), "t", Examples.AT);
      List<History.Entry> acknowledged = new ArrayList<>();
      List<PhotoId> kept = new ArrayList<>();
      Random random = new Random(kilobytes);
      try (JournalWriter w = JournalWriter.open(job, "t", CLOCK)) {
        acknowledged.addAll(
            w.append(
                "t",
                1,
                List.of(new Edit.PutCamera(new Camera("A", null, null, null, null, null)))));
        Path filler = fillBut(kilobytes);
        boolean full = false;
        for (int i = 0; i < 40 && !full; i++) {
          byte[] bytes = new byte[3000 + random.nextInt(30_000)];
          random.nextBytes(bytes);
          PhotoId id = Sha256.of(bytes);
          boolean photoDone = false;
          try {
            job.originals().keep(id, "jpg", bytes);
            kept.add(id);
            photoDone = true;
            String note = "x".repeat(random.nextInt(9000));
            acknowledged.addAll(
                w.append(
                    "t",
                    2 + i,
                    List.of(
                        new Edit.AddPhotos(List.of(photo(id, bytes.length))),
                        new Edit.SetFact("note", note))));
          } catch (DiskFull e) {
            full = true;
            assertEquals(4, e.exitCode());
            assertTrue(e.getMessage().startsWith("The disk is full: "));
            stoppedAtPhoto += photoDone ? 0 : 1;
            stoppedAtJournal += photoDone ? 1 : 0;
          }
        }
        assertTrue(full);
        assertEquals(acknowledged, job.read().entries());
        Files.delete(filler);
        acknowledged.addAll(w.append("t", 99, List.of(new Edit.SetSite("after"))));
      }
      assertEquals(acknowledged, job.read().entries());
      for (PhotoId id : kept) {
        assertEquals(id, Sha256.of(job.originals().path(id, "jpg")));
      }
      assertEquals(
          0, Verify.exitCode(Verify.job(job, false, List.of(), Progress.NONE)), "all is right");
      run("rm", "-r", archive.root().toString());
    }
    assertTrue(
        stoppedAtPhoto > 3 && stoppedAtJournal > 0, stoppedAtPhoto + ", " + stoppedAtJournal);
  }

  @Test
  void aJobAndAnArchiveThatDoNotFitAreNotBegun() throws Exception {
    Archive archive = Archive.create(disk.resolve("archive"));
    Path filler = fillBut(0);
    DiskFull e = null;
    try {
      archive.createJob("wren", Examples.header(), "t", Examples.AT);
    } catch (DiskFull full) {
      e = full;
    }
    assertTrue(e != null && e.getMessage().contains("wren"));
    assertEquals(List.of(), archive.jobNames());
    DiskFull other = null;
    try {
      Archive.create(disk.resolve("other"));
    } catch (DiskFull full) {
      other = full;
    }
    assertTrue(other != null);
    Files.delete(filler);
    archive.createJob("wren", Examples.header(), "t", Examples.AT);
    Archive.create(disk.resolve("other"));
    String line = Files.readString(archive.job("wren").journalFile(), StandardCharsets.UTF_8);
    assertTrue(line.endsWith("\"}\n"));
  }
}

package meterside.archive;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import meterside.job.Camera;
import meterside.job.Edit;
import meterside.job.Examples;
import meterside.job.History;
import meterside.job.Photo;
import meterside.job.PhotoId;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * A disk that fills up at any byte: a sentence, exit 4, nothing acknowledged lost, and on it goes.
 */
class FullDiskTest {
  private static final Clock CLOCK = Clock.systemUTC();
  @TempDir Path dir;

  private static byte[] picture(int number) {
    return ("picture " + number + " ").repeat(20).getBytes(StandardCharsets.UTF_8);
  }

  private static Edit photoEdit(PhotoId id, int number) {
    Photo bare = Examples.barePhoto(id, "IMG_" + number + ".jpg", "A");
    return new Edit.AddPhotos(
        List.of(
            new Photo(
                id,
                bare.name(),
                "",
                picture(number).length,
                bare.format(),
                "jpg",
                0,
                0,
                1,
                bare.recorded(),
                "A",
                null,
                null,
                null,
                null,
                null)));
  }

  /** What was acknowledged before the disk was full, and whether it was. */
  private static final class Run {
    final List<History.Entry> acknowledged = new ArrayList<>();
    final List<PhotoId> kept = new ArrayList<>();
    boolean full;

    void go(Archive archive) throws IOException {
      JobFolder job;
      try {
        job =
            archive.find("wren").isPresent()
                ? archive.job("wren")
                : archive.createJob("wren", Examples.header(), "t", Examples.AT);
      } catch (DiskFull e) {
        said(e);
        return;
      }
      try (JournalWriter writer = JournalWriter.open(job, "t", CLOCK)) {
        int done = writer.content().entries().size();
        if (done == 0) {
          acknowledged.addAll(
              writer.append(
                  "t",
                  1,
                  List.of(new Edit.PutCamera(new Camera("A", null, null, null, null, null)))));
        }
        for (int i = Math.max(0, done - 1); i < 3; i++) {
          byte[] bytes = picture(i);
          PhotoId id = Sha256.of(bytes);
          job.originals().keep(id, "jpg", bytes);
          kept.add(id);
          acknowledged.addAll(writer.append("t", 2 + i, List.of(photoEdit(id, i))));
        }
      } catch (DiskFull e) {
        said(e);
      }
    }

    private void said(DiskFull e) {
      full = true;
      assertEquals(4, e.exitCode());
      assertTrue(e.getMessage().startsWith("The disk is full: "), e.getMessage());
      assertTrue(e.getMessage().contains("\"wren\"") || e.getMessage().contains("wren"));
    }
  }

  @Test
  void atAnyByteNothingAcknowledgedIsLostAndAfterRoomIsMadeTheJobIsTheSame() throws Exception {
    Archive undisturbed = Archive.create(dir.resolve("undisturbed"), new FullDisk(Long.MAX_VALUE));
    Run whole = new Run();
    whole.go(undisturbed);
    long needed = Files.size(undisturbed.job("wren").journalFile()) + 3L * picture(0).length;
    int stopped = 0;
    for (long room = 0; room <= needed; room += 17) {
      FullDisk disk = new FullDisk(room);
      Path root = dir.resolve("a" + room);
      Archive.create(root, new FullDisk(Long.MAX_VALUE));
      Archive archive = Archive.open(root, disk);
      Run run = new Run();
      run.go(archive);
      stopped += run.full ? 1 : 0;
      String say = "room for " + room + " bytes";
      if (archive.find("wren").isPresent()) {
        JobFolder job = archive.job("wren");
        JournalContent read = job.read();
        assertEquals(false, read.tornTail(), say);
        assertEquals(run.acknowledged, read.entries(), say);
        for (PhotoId id : run.kept) {
          assertEquals(id, Sha256.of(job.originals().path(id, "jpg")), say);
        }
        try (Stream<Path> files = Files.list(job.originals().folder())) {
          assertEquals(run.kept.size(), files.count(), say + ": nothing half written is left");
        }
      } else {
        assertEquals(List.of(), archive.jobNames(), say);
        try (Stream<Path> files = Files.list(root.resolve("jobs"))) {
          assertEquals(0, files.count(), say);
        }
      }
      disk.makeRoom();
      new Run().go(archive);
      assertEquals(
          undisturbed.job("wren").read().history().job(),
          archive.job("wren").read().history().job(),
          say);
      assertEquals(
          Verify.Severity.FINE,
          Verify.worst(
              Verify.job(archive.job("wren"), false, List.of(), meterside.job.Progress.NONE)),
          say);
    }
    assertTrue(stopped > 80, "the disk was full " + stopped + " times");
  }

  @Test
  void theSameWriterGoesOnAfterRoomIsMade() throws Exception {
    FullDisk disk = new FullDisk(100_000);
    Archive.create(dir.resolve("a"));
    Archive archive = Archive.open(dir.resolve("a"), disk);
    JobFolder job = archive.createJob("wren", Examples.header(), "t", Examples.AT);
    byte[] before = Files.readAllBytes(job.journalFile());
    try (JournalWriter writer = JournalWriter.open(job, "t", CLOCK)) {
      String head = writer.head();
      Edit large = new Edit.SetFact("weather", "rain ".repeat(30_000));
      boolean full = false;
      try {
        writer.append("t", 1, List.of(large));
      } catch (DiskFull e) {
        full = true;
      }
      assertTrue(full);
      assertArrayEquals(before, Files.readAllBytes(job.journalFile()));
      assertEquals(head, writer.head());
      disk.makeRoom();
      List<History.Entry> written = writer.append("t", 1, List.of(large));
      assertEquals(2, written.get(0).seq());
      assertEquals(written, job.read().entries());
    }
  }
}

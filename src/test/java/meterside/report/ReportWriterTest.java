package meterside.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import javax.imageio.ImageIO;
import meterside.archive.Sha256;
import meterside.job.Edit;
import meterside.job.FindingKind;
import meterside.job.Photo;
import meterside.job.Progress;
import meterside.job.StopKey;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Which photos go in, how files are named and placed, and what happens when something is wrong. */
class ReportWriterTest {
  @TempDir Path tmp;

  private TestHouse house() {
    return new TestHouse(tmp.resolve("archive"), "3 Ember Court").camera("A", "Halden", "H2");
  }

  private static Photo small(TestHouse house, String name, String stop) {
    return house.photo(name, "A", stop, DrawnPhotos.house(320, 240, name.hashCode()), 1);
  }

  private static List<String> marked(ReportFiles files) {
    return files.sha256ByName().keySet().stream()
        .filter(n -> n.startsWith("marked/"))
        .map(n -> n.substring(7))
        .toList();
  }

  @Test
  void deliversWhatItSaysWithTheRightHashes() {
    Issued issued = Issued.full();
    Map<String, byte[]> all = issued.all();
    assertEquals(all.keySet(), issued.files().sha256ByName().keySet());
    all.forEach(
        (name, bytes) ->
            assertEquals(Sha256.of(bytes).hex(), issued.files().sha256ByName().get(name), name));
    for (String name :
        List.of(
            "report.html",
            "report.pdf",
            "annotations.jsonld",
            "tables/findings.csv",
            "marked/01-service-drop-IMG_0411.jpg")) {
      assertTrue(all.containsKey(name), name);
    }
  }

  @Test
  void holdsMarkedAndNamedPhotosAndTheFirstOfEachStop() {
    TestHouse house = house();
    Photo first = small(house, "IMG_1.JPG", "service-drop");
    small(house, "IMG_2.JPG", "service-drop");
    Photo marked = small(house, "IMG_3.JPG", "service-drop");
    Photo covered = small(house, "IMG_4.JPG", "service-drop");
    Photo other = small(house, "IMG_5.JPG", "other-systems");
    Photo named = small(house, "IMG_6.JPG", "other-systems");
    small(house, "IMG_6b.JPG", "other-systems");
    Photo loose = small(house, "IMG_7.JPG", null);
    small(house, "IMG_8.JPG", null);
    Photo aside = small(house, "IMG_9.JPG", "alarms");
    Photo note = small(house, "IMG_10.JPG", "alarms");
    small(house, "IMG_11.JPG", "alarms");
    house.callout(marked, "service-drop", 0.5, 0.5, null, null);
    house.redact(covered, 0.1, 0.1, 0.2, 0.2);
    house.finding(
        1, "service-drop", null, null, FindingKind.NOTE, "Seen.", null, null, null, named, aside);
    house.callout(loose, "meter", 0.5, 0.5, null, null);
    house.callout(note, "smoke-alarm", 0.5, 0.5, null, null);
    house.edit(
        new Edit.SetAside(List.of(aside.id()), true, null),
        new Edit.NoteToSelf(List.of(note.id()), true));
    ReportFiles files = house.report(tmp.resolve("out"), false, false);
    assertEquals(
        List.of(
            "01-service-drop-IMG_1.jpg",
            "02-service-drop-IMG_3.jpg",
            "03-service-drop-IMG_4.jpg",
            "04-alarms-IMG_11.jpg",
            "05-other-systems-IMG_5.jpg",
            "06-other-systems-IMG_6.jpg",
            "07-unsorted-IMG_7.jpg"),
        marked(files));
    assertTrue(first.id().compareTo(other.id()) != 0);
    assertTrue(
        files.leftOut().stream().anyMatch(s -> s.contains("IMG_9.JPG") && s.contains("F1")),
        files.leftOut().toString());
  }

  @Test
  void fileNamesWorkEverywhere() {
    for (String name : marked(Issued.hostile().files())) {
      assertTrue(name.matches("\\d{2}-[A-Za-z0-9_-]+\\.jpg"), name);
    }
  }

  @Test
  void markedPhotosHaveTheOriginalsSizeAndCarryTheMarks() throws IOException {
    TestHouse house = house();
    Photo plain = small(house, "IMG_1.JPG", "service-drop");
    Photo marked = small(house, "IMG_2.JPG", "meter-and-base");
    house.callout(marked, "meter", 0.5, 0.5, null, null);
    house.report(tmp.resolve("out"), false, false);
    BufferedImage a = ImageIO.read(tmp.resolve("out/marked/01-service-drop-IMG_1.jpg").toFile());
    BufferedImage b = ImageIO.read(tmp.resolve("out/marked/02-meter-and-base-IMG_2.jpg").toFile());
    assertEquals(320, a.getWidth());
    assertEquals(240, a.getHeight());
    assertEquals(0, changed(a, original(house, plain)), "an unmarked photo is as it was");
    assertTrue(changed(b, original(house, marked)) > 50, "marks are painted");
  }

  private static BufferedImage original(TestHouse house, Photo p) throws IOException {
    return ImageIO.read(new ByteArrayInputStream(house.folder.originals().bytes(p)));
  }

  /** How many pixels differ by more than a new encoding makes them. */
  private static int changed(BufferedImage a, BufferedImage b) {
    int n = 0;
    for (int y = 0; y < a.getHeight(); y++) {
      for (int x = 0; x < a.getWidth(); x++) {
        n += Math.abs((a.getRGB(x, y) >> 8 & 255) - (b.getRGB(x, y) >> 8 & 255)) > 60 ? 1 : 0;
      }
    }
    return n;
  }

  @Test
  void aPhotoThatCannotBeShownIsSaidAndTheRestIsDone() throws IOException {
    TestHouse house = house();
    byte[] whole = DrawnPhotos.jpeg(DrawnPhotos.house(320, 240, 1), 1);
    byte[] garbage = Arrays.copyOf(whole, 700);
    house.photo("BROKEN.JPG", "A", "service-drop", garbage, 320, 240, 1);
    Photo gone = small(house, "GONE.JPG", "meter-and-base");
    Photo changed = small(house, "CHANGED.JPG", "panelboard");
    small(house, "GOOD.JPG", "alarms");
    house.callout(gone, "meter", 0.5, 0.5, null, "Look here");
    Path kept = house.folder.originals().path(gone);
    kept.toFile().setWritable(true);
    Files.delete(kept);
    Path other = house.folder.originals().path(changed);
    other.toFile().setWritable(true);
    Files.write(other, whole);
    ReportFiles files = house.report(tmp.resolve("out"), false, false);
    assertEquals(List.of("04-alarms-GOOD.jpg"), marked(files));
    String html = Files.readString(tmp.resolve("out/report.html"));
    for (String key : List.of("unread", "gone", "changed")) {
      assertTrue(html.contains(Html.escape(Words.say("figure.missing." + key))), key);
    }
    assertTrue(html.contains("Look here"));
    for (String name : List.of("BROKEN.JPG", "GONE.JPG", "CHANGED.JPG")) {
      assertTrue(files.leftOut().stream().anyMatch(s -> s.contains(name)), name);
    }
  }

  @Test
  void aSecondReportInTheSameFolderTakesTheOldMarkedPhotosAway() throws IOException {
    TestHouse house = house();
    Photo p = small(house, "IMG_1.JPG", "service-drop");
    Path out = tmp.resolve("out");
    house.report(out, true, false);
    Files.writeString(out.resolve("letter.txt"), "mine");
    Files.writeString(out.resolve("marked/holiday.jpg"), "mine too");
    house.edit(new Edit.PlaceByHand(List.of(p.id()), StopKey.of("meter-and-base")));
    ReportFiles files = house.report(out, false, false);
    assertFalse(Files.exists(out.resolve("marked/01-service-drop-IMG_1.jpg")));
    assertTrue(Files.exists(out.resolve("marked/01-meter-and-base-IMG_1.jpg")));
    assertTrue(Files.exists(out.resolve("letter.txt")));
    assertTrue(Files.exists(out.resolve("marked/holiday.jpg")));
    assertTrue(files.leftOut().contains(Words.say("left.stale.one")), files.leftOut().toString());
  }

  @Test
  void aStoppedReportLeavesNothing() throws IOException {
    TestHouse house = house();
    small(house, "IMG_1.JPG", "service-drop");
    house.report(tmp.resolve("journal-written"), true, false);
    Path out = tmp.resolve("out");
    Progress stop =
        new Progress() {
          private volatile boolean stopped;

          @Override
          public void at(long done, long total) {
            stopped = done >= 1;
            assertTrue(done <= total);
          }

          @Override
          public boolean cancelled() {
            return stopped;
          }
        };
    ReportOptions options = new ReportOptions(false, false, null, TestHouse.AT, 1, null);
    ReportFailed failed =
        assertThrows(
            ReportFailed.class,
            () -> ReportWriter.write(house.job(), house.folder, house.trade, out, options, stop));
    assertEquals(Words.say("failed.stopped"), failed.getMessage());
    assertFalse(Files.exists(out));
  }

  @Test
  void aFileInTheWayIsSaidAndNothingIsWritten() throws IOException {
    TestHouse house = house();
    Path file = Files.writeString(tmp.resolve("out"), "mine");
    ReportFailed failed = assertThrows(ReportFailed.class, () -> house.report(file, false, false));
    assertTrue(failed.getMessage().contains("out is a file"), failed.getMessage());
    assertEquals("mine", Files.readString(file));
    Path dir = Files.createDirectory(tmp.resolve("dir"));
    Files.writeString(dir.resolve("marked"), "mine");
    assertThrows(ReportFailed.class, () -> house.report(dir, false, false));
    try (Stream<Path> left = Files.list(dir)) {
      assertEquals(List.of(dir.resolve("marked")), left.toList());
    }
  }

  @Test
  void progressReachesItsTotal() {
    TestHouse house = house();
    small(house, "IMG_1.JPG", "service-drop");
    house.report(tmp.resolve("journal-written"), true, false);
    long[] last = new long[2];
    Progress progress =
        new Progress() {
          @Override
          public void at(long done, long total) {
            last[0] = done;
            last[1] = total;
          }

          @Override
          public boolean cancelled() {
            return false;
          }
        };
    ReportOptions options = new ReportOptions(false, false, null, TestHouse.AT, 1, null);
    ReportWriter.write(
        house.job(), house.folder, house.trade, tmp.resolve("out"), options, progress);
    assertEquals(4, last[1]);
    assertEquals(last[1], last[0]);
  }
}

package meterside.picture;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.awt.Rectangle;
import java.awt.image.BufferedImage;
import java.io.IOException;
import java.util.List;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CompletionException;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.stream.IntStream;
import meterside.job.Format;
import meterside.job.Orientation;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/** HEIC is decoded in helpers; what takes a helper down leaves this process alone. */
@Tag("process")
class HeifProcessTest {
  private static final long MOST = 100_000_000L;
  private byte[] photo;

  @BeforeEach
  void needsTheLibrary() {
    photo = SharedData.bytes("exifr/test/fixtures/heic-single.heic");
    assumeTrue(HeifDecoder.available(), "libheif is not installed");
  }

  @Test
  void aHelperDecodesWhatThisProcessWould() throws IOException {
    BufferedImage here = HeifDecoder.decode(photo, 500, MOST);
    BufferedImage there = HeifProcess.decode(photo, 500, MOST, null);
    assertEquals(500, there.getWidth());
    assertEquals(0, TestPictures.difference(here, there));
    assertTrue(helpers().size() >= 1, "no helper was used");
  }

  @Test
  void aPartOfAPhotoIsThatPartOfTheWhole() throws Exception {
    BufferedImage whole = Pixels.upright(photo, Format.HEIC, Orientation.NORMAL, 0);
    int w = whole.getWidth();
    int h = whole.getHeight();
    for (Rectangle part :
        List.of(
            new Rectangle(0, 0, w, h),
            new Rectangle(w / 3, h / 4, 301, 207),
            new Rectangle(w - 50, h - 40, 200, 100))) {
      Rectangle in = part.intersection(new Rectangle(0, 0, w, h));
      BufferedImage got = Pixels.uprightRegion(photo, Format.HEIC, Orientation.NORMAL, part);
      assertEquals(in.width, got.getWidth());
      assertEquals(in.height, got.getHeight());
      for (int y = 0; y < in.height; y += 7) {
        for (int x = 0; x < in.width; x += 7) {
          assertEquals(whole.getRGB(in.x + x, in.y + y), got.getRGB(x, y));
        }
      }
    }
    Rectangle beside = new Rectangle(w + 5, 0, 10, 10);
    assertThrows(
        UnreadablePicture.class,
        () -> Pixels.uprightRegion(photo, Format.HEIC, Orientation.NORMAL, beside));
    assertEquals(200, Pixels.upright(photo, Format.HEIC, Orientation.NORMAL, 200).getWidth(), 60);
  }

  @Test
  void severalAtOnceShareFewHelpers() {
    List<CompletableFuture<Integer>> all =
        IntStream.range(0, 8)
            .mapToObj(
                i ->
                    CompletableFuture.supplyAsync(
                        () -> {
                          try {
                            return HeifProcess.decode(photo, 200 + i, MOST, null).getWidth();
                          } catch (IOException e) {
                            throw new CompletionException(e);
                          }
                        }))
            .toList();
    for (int i = 0; i < 8; i++) {
      assertEquals(200 + i, all.get(i).join());
    }
    assertTrue(helpers().size() <= 4);
  }

  @Test
  void whatTheLibraryRefusesIsSaidAndTheHelperGoesOn() throws IOException {
    HeifProcess.decode(photo, 100, MOST, null);
    List<Long> before = helpers().stream().map(ProcessHandle::pid).toList();
    byte[] broken = photo.clone();
    java.util.Arrays.fill(broken, 200, 400, (byte) 0);
    IOException e =
        assertThrows(IOException.class, () -> HeifProcess.decode(broken, 100, MOST, null));
    assertTrue(!(e instanceof HeifProcess.Died), e.toString());
    assertNotNull(HeifProcess.decode(photo, 100, MOST, null));
    assertEquals(before, helpers().stream().map(ProcessHandle::pid).toList());
  }

  @Test
  void aHelperThatEndsWhileIdleIsReplaced() throws Exception {
    HeifProcess.decode(photo, 100, MOST, null);
    endHelpers();
    assertEquals(100, HeifProcess.decode(photo, 100, MOST, null).getWidth());
  }

  @Test
  void aHelperThatEndsOverAFileMeansThatThisFileIsDamaged() throws Exception {
    endHelpers();
    byte[] large = SharedData.bytes("exifr/test/fixtures/heic-iphone.heic");
    CompletableFuture<Reading> reading =
        CompletableFuture.supplyAsync(() -> PictureReader.read(large, "large.heic"));
    while (helpers().isEmpty() && !reading.isDone()) {
      Thread.sleep(2);
    }
    endHelpers();
    Picture p = (Picture) result(reading);
    assertTrue(p.damaged(), p.trouble());
    assertTrue(p.trouble().startsWith("large.heic"), p.trouble());
    assertEquals("2019:08:21 10:57:23", p.recorded().original());
  }

  private static Reading result(CompletableFuture<Reading> reading)
      throws InterruptedException, ExecutionException {
    try {
      return reading.get(60, TimeUnit.SECONDS);
    } catch (java.util.concurrent.TimeoutException e) {
      throw new AssertionError("the program waits for a helper that ended", e);
    }
  }

  private static List<ProcessHandle> helpers() {
    return ProcessHandle.current()
        .children()
        // The end of a long command line is not told; the options in front are a helper's own.
        .filter(p -> p.info().commandLine().filter(c -> c.contains("-Xmx640m")).isPresent())
        .toList();
  }

  private static void endHelpers() throws Exception {
    for (ProcessHandle p : helpers()) {
      p.destroyForcibly();
      p.onExit().get(10, TimeUnit.SECONDS);
    }
  }
}

package meterside.work;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.awt.Graphics2D;
import java.awt.image.BufferedImage;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.List;
import meterside.TestPhotos;
import meterside.archive.Verify;
import meterside.intake.Card;
import meterside.job.Code;
import meterside.job.EditRefused;
import meterside.job.Job;
import meterside.job.PhotoId;
import meterside.job.PlacementBasis;
import meterside.job.Progress;
import meterside.job.SourceKind;
import meterside.job.StopKey;
import meterside.picture.Codes;
import meterside.picture.Jpegs;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.rendering.PDFRenderer;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Cards, codes, and photos that belong to another job, through the use cases. */
class CardWorkTest {
  private static final LocalDateTime START = LocalDateTime.of(2026, 5, 12, 10, 0);

  @TempDir Path folder;
  private Workspace workspace;

  @BeforeEach
  void open() {
    workspace =
        Workspace.open(
            folder.resolve("archive"),
            true,
            new Home(folder.resolve("home"), null),
            Clock.fixed(Instant.parse("2026-05-12T20:00:00Z"), ZoneOffset.UTC));
    for (String job : List.of("wren-hollow", "mill-lane")) {
      workspace.newJob(job, job, LocalDate.of(2026, 5, 12), ZoneId.of("UTC"), "overhead");
    }
  }

  @AfterEach
  void close() {
    workspace.close();
  }

  private Path card(int photos) throws Exception {
    Path card = folder.resolve("card").resolve("DCIM").resolve("100HOUSE");
    for (int i = 0; i < photos; i++) {
      TestPhotos.photo(i)
          .at(START.plusSeconds(20L * i))
          .light(i < photos / 2 ? 14 : 5)
          .write(card.resolve("IMG_" + (100 + i) + ".jpg"));
    }
    return folder.resolve("card");
  }

  private static byte[] photoOf(Code code) {
    BufferedImage out = new BufferedImage(900, 700, BufferedImage.TYPE_INT_RGB);
    Graphics2D g = out.createGraphics();
    g.rotate(0.2, 450, 350);
    g.drawImage(Codes.draw(code, 8), 280, 180, null);
    g.dispose();
    return Jpegs.encode(out, 0.85f);
  }

  @Test
  void intakeReadsCodesAndAStopCodeIsAFixedPoint() throws Exception {
    Path card = card(8);
    Files.write(card.resolve("stop.jpg"), photoOf(Code.stop(StopKey.of("panelboard"))));
    Files.write(card.resolve("house.jpg"), photoOf(Code.job("wren-hollow")));
    try (JobSession s = JobSession.open(workspace, "wren-hollow")) {
      s.intake(List.of(card), false, Progress.NONE);
      Job job = s.job();
      PhotoId stop = job.photosNamed("stop.jpg").get(0).id();
      assertEquals(List.of(Code.stop(StopKey.of("panelboard"))), job.codes(stop));
      assertEquals(PlacementBasis.BY_CODE, job.placement(stop).orElseThrow().basis());
      assertEquals("panelboard", job.placement(stop).orElseThrow().at().stop());
      PhotoId house = job.photosNamed("house.jpg").get(0).id();
      assertEquals("wren-hollow", job.codes(house).get(0).value());
      PhotoId plain = job.photosNamed("IMG_100.jpg").get(0).id();
      assertEquals(SourceKind.CARD, job.source(plain).orElseThrow().kind());
      assertFalse(job.source(plain).orElseThrow().maybeReencoded());
      assertTrue(job.source(house).orElseThrow().maybeReencoded());
    }
  }

  @Test
  void aWithdrawnPhotoLosesItsBytesAndLeavesARecordAndTheJobVerifies() throws Exception {
    try (JobSession s = JobSession.open(workspace, "wren-hollow")) {
      s.intake(List.of(card(6)), false, Progress.NONE);
      PhotoId id = s.job().photosNamed("IMG_102.jpg").get(0).id();
      Path file = s.folder().originals().path(s.job().photo(id));
      assertThrows(EditRefused.class, () -> s.withdraw(List.of(id), " "));
      assertTrue(Files.exists(file));
      Job now = s.withdraw(List.of(id), "another client's kitchen");
      assertFalse(Files.exists(file));
      assertTrue(s.folder().preview(id).isEmpty() && s.folder().look(id).isEmpty());
      assertEquals(5, now.photos().size());
      assertEquals("another client's kitchen", now.withdrawnPhotos().get(id).reason());
      assertEquals("IMG_102.jpg", now.withdrawnPhotos().get(id).name());
      assertThrows(EditRefused.class, s::undo);
    }
    List<Verify.Result> results =
        Verify.job(workspace.folder("wren-hollow"), false, List.of(), Progress.NONE);
    assertEquals(0, Verify.exitCode(results));
    assertEquals(1, results.size(), results.toString());
  }

  @Test
  void photosMoveToAnotherJobByteForByte() throws Exception {
    PhotoId id;
    byte[] before;
    try (JobSession s = JobSession.open(workspace, "wren-hollow")) {
      s.intake(List.of(card(6)), false, Progress.NONE);
      id = s.job().photosNamed("IMG_104.jpg").get(0).id();
      before = s.folder().originalBytes(s.job().photo(id));
      assertThrows(NotDone.class, () -> s.moveTo(List.of(id), "wren-hollow", "wrong house"));
      Job here = s.moveTo(List.of(id), "mill-lane", "wrong house");
      assertEquals("mill-lane", here.withdrawnPhotos().get(id).movedTo());
    }
    Job there = workspace.folder("mill-lane").read().history().job();
    assertEquals(1, there.photos().size());
    assertTrue(there.placement(id).isPresent());
    org.junit.jupiter.api.Assertions.assertArrayEquals(
        before, workspace.folder("mill-lane").originalBytes(there.photo(id)));
    for (String job : List.of("wren-hollow", "mill-lane")) {
      List<Verify.Result> results =
          Verify.job(workspace.folder(job), false, List.of(), Progress.NONE);
      assertEquals(0, Verify.exitCode(results), results.toString());
    }
  }

  @Test
  void aBytesRemovalThatWasCutShortIsMadeGoodWhenTheJobIsOpened() throws Exception {
    Path file;
    byte[] bytes;
    try (JobSession s = JobSession.open(workspace, "wren-hollow")) {
      s.intake(List.of(card(4)), false, Progress.NONE);
      PhotoId id = s.job().photosNamed("IMG_101.jpg").get(0).id();
      file = s.folder().originals().path(s.job().photo(id));
      bytes = Files.readAllBytes(file);
      s.withdraw(List.of(id), "neighbour's house");
    }
    Files.write(file, bytes); // as if the power had failed before the file was removed
    JobSession.open(workspace, "wren-hollow").close();
    assertFalse(Files.exists(file));
  }

  @Test
  void splitOfACardSaysWhatIsKeptAndChangesNothing() throws Exception {
    Path card = card(8);
    try (JobSession s = JobSession.open(workspace, "wren-hollow")) {
      s.intake(List.of(card), false, Progress.NONE);
    }
    for (int i = 0; i < 5; i++) {
      TestPhotos.photo(50 + i)
          .at(START.plusHours(3).plusSeconds(15L * i))
          .light(14)
          .write(card.resolve("IMG_" + (200 + i) + ".jpg"));
    }
    Card.Split split = workspace.split(List.of(card), ZoneId.of("UTC"), Progress.NONE);
    assertEquals(2, split.groups().size());
    assertEquals(8, split.groups().get(0).kept());
    assertEquals("wren-hollow", split.groups().get(0).keptIn().orElseThrow());
    assertEquals(0, split.groups().get(1).kept());
    assertEquals(5, split.groups().get(1).photos().size());
    assertEquals(8, workspace.folder("wren-hollow").read().history().job().photos().size());
  }

  @Test
  void printedCodesAreReadFromTheirPages() throws Exception {
    Path file = folder.resolve("codes.pdf");
    CodeSheets.write(file, List.of("wren-hollow"), workspace.trade().route("overhead"));
    try (PDDocument pdf = Loader.loadPDF(file.toFile())) {
      PDFRenderer pages = new PDFRenderer(pdf);
      assertEquals(4, pdf.getNumberOfPages());
      assertEquals(List.of(Code.job("wren-hollow")), Codes.read(pages.renderImageWithDPI(0, 100)));
      int stops = 0;
      for (int i = 1; i < pdf.getNumberOfPages(); i++) {
        stops += Codes.read(pages.renderImageWithDPI(i, 150)).size();
      }
      assertEquals(workspace.trade().route("overhead").stops().size(), stops);
    }
    assertThrows(
        NotDone.class,
        () ->
            CodeSheets.write(
                folder.resolve("codes.doc"), List.of(), workspace.trade().route("overhead")));
  }
}

package meterside.report;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.drew.imaging.ImageMetadataReader;
import com.drew.metadata.Directory;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import meterside.archive.Sha256;
import meterside.job.ExtractKind;
import meterside.job.Photo;
import meterside.job.Progress;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.text.PDFTextStripper;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.verapdf.pdfa.flavours.PDFAFlavour;

/** The smaller hand-overs: what is in each, and what is not. */
class ExtractTest {
  private static final Map<String, Issued> MADE = new TreeMap<>();

  /** An extract of the full or the hostile house, made once. */
  private static synchronized Issued made(String house, ExtractKind kind) {
    return MADE.computeIfAbsent(
        house + "-" + kind,
        name -> {
          Path archive = Issued.fresh("extract-archive-" + name);
          TestHouse h =
              switch (house) {
                case "full" -> TestHouse.full(archive);
                case "hostile" -> TestHouse.hostile(archive);
                default -> TestHouse.empty(archive);
              };
          Path dir = Issued.fresh("extract-" + name);
          String to = house.equals("hostile") ? TestHouse.SCRIPT : "Agent of the sale";
          return new Issued(h, dir, h.extract(kind, to, dir));
        });
  }

  private static String text(byte[] pdf) throws IOException {
    try (PDDocument document = Loader.loadPDF(pdf)) {
      return squeezed(new PDFTextStripper().getText(document));
    }
  }

  private static String squeezed(String text) {
    return text.replaceAll("[\\s\\u00a0]+", "");
  }

  @ParameterizedTest
  @CsvSource({
    "full,FIX_LIST",
    "full,FOR_ELECTRICIAN",
    "hostile,FIX_LIST",
    "hostile,FOR_ELECTRICIAN",
    "empty,FIX_LIST",
    "empty,FOR_ELECTRICIAN"
  })
  void conformsToPdfUa1AndPdfA2aAndHoldsTheFindings(String house, ExtractKind kind)
      throws Exception {
    Issued issued = made(house, kind);
    String name = kind == ExtractKind.FIX_LIST ? "fix-list" : "for-electrician";
    byte[] pdf = issued.bytes(name + ".pdf");
    for (PDFAFlavour flavour : List.of(PDFAFlavour.PDFUA_1, PDFAFlavour.PDFA_2_A)) {
      assertEquals(List.of(), PdfTest.faults(pdf, flavour), house + " " + flavour);
    }
    String said = text(pdf);
    issued.house().job().findings().values().stream()
        .filter(f -> f.kind() != meterside.job.FindingKind.NOTE)
        .forEach(
            f -> {
              String seen = squeezed(Glyphs.printable(f.seen()));
              assertTrue(said.contains(seen), f.label() + " is in " + name);
              assertTrue(said.contains(squeezed(Glyphs.printable(f.who()))), f.label());
            });
    assertTrue(said.contains(squeezed(Words.say("cautions.who.1"))), "who decides");
    assertEquals(Set.copyOf(issued.all().keySet()), issued.files().sha256ByName().keySet());
    issued
        .all()
        .forEach(
            (file, bytes) ->
                assertEquals(
                    Sha256.of(bytes).hex(), issued.files().sha256ByName().get(file), file));
  }

  @Test
  void theFixListHasNoNotesAndNoPictures() throws IOException {
    Issued list = made("full", ExtractKind.FIX_LIST);
    assertEquals(
        Set.of("fix-list.html", "fix-list.pdf", "fix-list.csv"),
        list.files().sha256ByName().keySet());
    assertFalse(list.text("fix-list.html").contains("<img"));
    assertFalse(text(list.bytes("fix-list.pdf")).contains("Thecircuitdirectoryisfilledinpencil"));
    assertTrue(list.files().leftOut().contains("1 finding that is a note was left out."));
    assertTrue(list.text("fix-list.html").contains("Agent of the sale"));
  }

  @Test
  void theElectricianGetsOnlyThePicturesOfTheFindings() throws IOException {
    Issued set = made("full", ExtractKind.FOR_ELECTRICIAN);
    assertEquals(
        Set.of(
            "photos/02-splice-and-drip-loop-IMG_0412.jpg",
            "photos/03-splice-and-drip-loop-IMG_0413.jpg",
            "photos/04-service-head-and-mast-P5120031.jpg",
            "photos/07-panelboard-IMG_0430.jpg",
            "photos/09-gfci-and-afci-P5120050.jpg"),
        new TreeSet<>(set.files().sha256ByName().keySet()).subSet("photos/", "photos0"));
    String said = text(set.bytes("for-electrician.pdf"));
    assertTrue(said.contains("200A(readfromthehandle)"), "what was described");
    assertTrue(said.contains("shelvingwasscrewedtothewall"), "panel covers");
    assertTrue(said.contains("Didnottrip"), "tests that went wrong");
    assertFalse(said.contains("Asexpected"), "tests that went well are not listed");
  }

  @Test
  void originalsAreTheCamerasBytesWithTheirHashesAndWithoutCoveredPhotos() throws IOException {
    Issued set = made("full", ExtractKind.ORIGINALS);
    Map<String, String> sums = new TreeMap<>();
    for (String line : set.text("SHA256SUMS").lines().toList()) {
      String[] two = line.split("  ", 2);
      sums.put(two[1], two[0]);
    }
    // Eleven figures, one of them with a covered area.
    assertEquals(10, sums.size());
    for (Map.Entry<String, String> e : sums.entrySet()) {
      byte[] bytes = set.bytes(e.getKey());
      assertEquals(Sha256.of(bytes).hex(), e.getValue());
      Photo photo =
          set.house().job().photos().values().stream()
              .filter(p -> p.id().hex().equals(e.getValue()))
              .findFirst()
              .orElseThrow();
      assertArrayEquals(set.house().folder.originals().bytes(photo), bytes);
    }
    assertTrue(sums.keySet().stream().noneMatch(n -> n.contains("P5120035")), sums.toString());
    String left = String.join("\n", set.files().leftOut());
    assertTrue(left.contains("P5120035.JPG has a covered area"), left);
    assertTrue(left.contains("10 of the files hold the place"), left);
    assertTrue(set.text("READ-ME.txt").contains("serial number"), "what they hold is said");
  }

  /** A second reader (metadata-extractor) and a search of the bytes. */
  @ParameterizedTest
  @CsvSource({
    "full,FIX_LIST",
    "full,FOR_ELECTRICIAN",
    "hostile,FIX_LIST",
    "hostile,FOR_ELECTRICIAN"
  })
  void nothingPrivateIsInAnyFile(String house, ExtractKind kind) throws Exception {
    for (Map.Entry<String, byte[]> file : made(house, kind).all().entrySet()) {
      StringBuilder all = new StringBuilder();
      all.append(new String(file.getValue(), StandardCharsets.ISO_8859_1));
      if (file.getKey().endsWith(".pdf")) {
        all.append(text(file.getValue()));
      }
      for (String secret : DrawnPhotos.PRIVATE) {
        assertFalse(all.indexOf(secret) >= 0, file.getKey() + " holds " + secret);
      }
      for (String secret : List.of("39.4172", "77.4129", "77.4130", "100ABC")) {
        assertFalse(all.indexOf(secret) >= 0, file.getKey() + " holds " + secret);
      }
      if (file.getKey().endsWith(".jpg")) {
        for (Directory d :
            ImageMetadataReader.readMetadata(new ByteArrayInputStream(file.getValue()))
                .getDirectories()) {
          assertTrue(
              List.of("JPEG", "JFIF", "Huffman", "File Type", "XMP").contains(d.getName()),
              file.getKey() + " has " + d.getName());
        }
      }
    }
  }

  @Test
  void theListsOfTheOriginalsHoldNothingPrivateEither() throws IOException {
    Issued set = made("full", ExtractKind.ORIGINALS);
    for (String name : List.of("SHA256SUMS", "originals.csv", "READ-ME.txt")) {
      for (String secret : DrawnPhotos.PRIVATE) {
        assertFalse(set.text(name).contains(secret), name + " holds " + secret);
      }
      assertFalse(set.text(name).contains("39.4"), name);
    }
  }

  @Test
  void aStoppedExtractLeavesNothing() throws IOException {
    TestHouse house = TestHouse.walked(Issued.fresh("extract-archive-stopped"), 6);
    String head = house.written();
    Path dir = Issued.fresh("extract-stopped").resolve("new");
    Progress stop =
        new Progress() {
          @Override
          public void at(long done, long total) {}

          @Override
          public boolean cancelled() {
            return true;
          }
        };
    for (ExtractKind kind : List.of(ExtractKind.FOR_ELECTRICIAN, ExtractKind.ORIGINALS)) {
      assertThrows(
          ReportFailed.class,
          () ->
              ExtractWriter.write(
                  house.job(),
                  house.folder,
                  house.trade,
                  kind,
                  null,
                  dir,
                  new ReportOptions(false, false, null, TestHouse.AT, 1, head),
                  stop));
      assertFalse(Files.exists(dir));
    }
  }
}

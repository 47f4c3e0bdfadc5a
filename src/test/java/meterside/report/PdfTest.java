package meterside.report;

import static java.nio.charset.StandardCharsets.US_ASCII;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.awt.Rectangle;
import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.function.Supplier;
import meterside.job.Finding;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.cos.COSArray;
import org.apache.pdfbox.cos.COSBase;
import org.apache.pdfbox.cos.COSDictionary;
import org.apache.pdfbox.cos.COSName;
import org.apache.pdfbox.cos.COSObject;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.pdmodel.PDPage;
import org.apache.pdfbox.pdmodel.font.PDFont;
import org.apache.pdfbox.text.PDFTextStripperByArea;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.verapdf.gf.foundry.VeraGreenfieldFoundryProvider;
import org.verapdf.pdfa.Foundries;
import org.verapdf.pdfa.PDFAParser;
import org.verapdf.pdfa.PDFAValidator;
import org.verapdf.pdfa.flavours.PDFAFlavour;
import org.verapdf.pdfa.results.TestAssertion;
import org.verapdf.pdfa.results.ValidationResult;

/**
 * The PDF against its standards (veraPDF as the outside judge of ISO 14289-1 and ISO 19005-2), and
 * what veraPDF does not see: text that was dropped, pictures that are missing.
 */
class PdfTest {
  private static Issued issued(String which) {
    return Map.<String, Supplier<Issued>>of(
            "full",
            Issued::full,
            "empty",
            Issued::empty,
            "limits",
            Issued::limits,
            "hostile",
            Issued::hostile)
        .get(which)
        .get();
  }

  @ParameterizedTest
  @ValueSource(strings = {"full", "empty", "limits", "hostile"})
  void conformsToPdfUa1AndPdfA2a(String which) throws Exception {
    byte[] pdf = issued(which).bytes("report.pdf");
    for (PDFAFlavour flavour : List.of(PDFAFlavour.PDFUA_1, PDFAFlavour.PDFA_2_A)) {
      assertEquals(List.of(), faults(pdf, flavour), which + " " + flavour);
    }
  }

  @Test
  void theJudgeRefusesAPlainPdf() throws Exception {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    try (PDDocument plain = new PDDocument()) {
      plain.addPage(new PDPage());
      plain.save(out);
    }
    assertFalse(faults(out.toByteArray(), PDFAFlavour.PDFUA_1).isEmpty());
    assertFalse(faults(out.toByteArray(), PDFAFlavour.PDFA_2_A).isEmpty());
  }

  @Test
  void aPictureWithoutAnAlternativeTextIsAFailure() {
    byte[] jpeg = meterside.picture.Jpegs.encode(DrawnPhotos.house(64, 48, 1), 0.8f);
    ReportFailed failed =
        assertThrows(
            ReportFailed.class,
            () ->
                PdfPrinter.print(
                    "<html lang=\"en\"><head><title>t</title></head>"
                        + "<body><h1>t</h1><img src=\"figure:1.jpg\"/></body></html>",
                    uri -> jpeg,
                    new ByteArrayOutputStream()));
    assertTrue(failed.getMessage().contains("alt"), failed.getMessage());
  }

  static List<String> faults(byte[] pdf, PDFAFlavour flavour) throws Exception {
    VeraGreenfieldFoundryProvider.initialise();
    try (PDFAParser parser =
            Foundries.defaultInstance().createParser(new ByteArrayInputStream(pdf), flavour);
        PDFAValidator validator = Foundries.defaultInstance().createValidator(flavour, false)) {
      ValidationResult result = validator.validate(parser);
      List<String> out = new ArrayList<>();
      for (TestAssertion a : result.getTestAssertions()) {
        out.add(
            a.getRuleId().getClause() + "-" + a.getRuleId().getTestNumber() + " " + a.getMessage());
      }
      if (out.isEmpty() && !result.isCompliant()) {
        out.add("refused without a reason");
      }
      return out;
    }
  }

  @ParameterizedTest
  @ValueSource(strings = {"full", "empty", "limits", "hostile"})
  void holdsEveryTextThatWasPutIn(String which) throws IOException {
    Issued issued = issued(which);
    String extracted = squeezed(body(issued.bytes("report.pdf")));
    Content content =
        Content.of(
            issued.house().job(),
            issued.house().trade,
            new ReportOptions(true, false, TestHouse.AUTHOR, TestHouse.AT, 1, null));
    List<String> texts = new ArrayList<>();
    texts.add(content.job().site());
    content.facts().forEach(f -> texts.addAll(List.of(f.name(), f.value())));
    for (Content.Found found : content.findings()) {
      Finding f = found.finding();
      texts.addAll(List.of(f.label(), found.where(), f.seen()));
      texts.add(f.why());
      texts.add(f.who());
      texts.add(found.told());
    }
    for (Content.StopPart stop : content.walk()) {
      texts.add(stop.title());
      if (Content.oneReason(stop.answered()) == null) {
        stop.answered().forEach(a -> texts.addAll(List.of(a.duty().text(), a.text())));
      }
      stop.tests().forEach(t -> texts.addAll(List.of(t.device(), t.result(), t.test().location())));
    }
    for (Figure figure : content.figures()) {
      texts.add(figure.photo().name());
      texts.add(figure.photo().id().hex());
      figure.drawing().legend().forEach(l -> texts.add(l.term()));
      figure.drawing().legend().forEach(l -> texts.add(figure.note(l)));
    }
    content.open().forEach(l -> texts.addAll(List.of(l.at(), l.text())));
    content.notInspected().forEach(l -> texts.addAll(List.of(l.text(), l.reason())));
    content.excluded().forEach(l -> texts.add(l.text()));
    texts.addAll(content.covers());
    texts.addAll(Words.list("scope.was", 3));
    texts.addAll(Words.list("scope.not", 7));
    texts.addAll(Words.list("cautions", 6));
    texts.addAll(Words.list("cautions.who", 4));
    List<String> missing = new ArrayList<>();
    for (String text : texts) {
      if (text != null && !extracted.contains(squeezed(Glyphs.printable(text)))) {
        missing.add(text);
      }
    }
    assertEquals(List.of(), missing);
    assertTrue(texts.size() > 30);
  }

  @Test
  void showsWhatNoFontHasAsItsNumber() throws IOException {
    String text = squeezed(body(Issued.hostile().bytes("report.pdf")));
    assertTrue(text.contains("Hot[U+1F525]panel"), "an emoji is written as its number");
    assertTrue(text.contains("third[U+202E]line[U+0007]end"), "so is what can't be seen");
    assertTrue(text.contains("\u05e9\u05dc\u05d5\u05dd"), "Hebrew is shown as it is");
  }

  /** The joined forms are those of the Unicode Standard's block Arabic Presentation Forms-B. */
  @Test
  void arabicLettersAreJoinedAndTheFontHasTheirForms() {
    BidiText.Reorderer r = new BidiText.Reorderer();
    // beh, yeh, teh: initial, medial, final.
    assertEquals("\uFE91\uFEF4\uFE96", r.shapeText("\u0628\u064A\u062A"));
    // lam with alef is one letter.
    assertEquals("\uFEFB", r.shapeText("\u0644\u0627"));
    assertEquals("\u0628\u064A\u062A", r.deshapeText("\uFE91\uFEF4\uFE96"));
    assertEquals("F4 ok", r.shapeText("F4 ok"));
    String joined = r.shapeText(TestHouse.ARABIC);
    assertEquals(joined, Glyphs.printable(joined));
    assertFalse(joined.equals(TestHouse.ARABIC));
    assertEquals("(\u05D1\u05D0)", r.reorderRTLTextToLTR("(\u05D0\u05D1)"), "mirrored and turned");
  }

  @Test
  void holdsThePicturesOfAllFiguresAndOnlyEmbeddedFonts() throws IOException {
    try (PDDocument pdf = Loader.loadPDF(Issued.full().bytes("report.pdf"))) {
      int images = 0;
      for (PDPage page : pdf.getPages()) {
        for (COSName name : page.getResources().getXObjectNames()) {
          images += page.getResources().isImageXObject(name) ? 1 : 0;
        }
        for (COSName name : page.getResources().getFontNames()) {
          PDFont font = page.getResources().getFont(name);
          assertTrue(font.isEmbedded(), font.getName());
        }
      }
      // Eleven figures, and a close view at each of five findings.
      assertEquals(16, images);
    }
  }

  @Test
  void photoAndCalloutsAreOneFigureWithOneTextInReadingOrder() throws IOException {
    try (PDDocument pdf = Loader.loadPDF(Issued.full().bytes("report.pdf"))) {
      List<String> alts = new ArrayList<>();
      collect(pdf.getDocumentCatalog().getStructureTreeRoot().getCOSObject(), alts);
      assertEquals(16, alts.size(), alts.toString());
      String loop =
          alts.stream()
              .filter(a -> a.contains("IMG_0412") && !a.contains("Close"))
              .findFirst()
              .get();
      assertEquals(
          "Attachment, splice and drip loop, photo IMG_0412.JPG. 1: Drip loop, finding F1, Covering"
              + " cracked; 2: Service head; 3: Electric meter.",
          loop);
      int last = -1;
      for (String name : List.of("IMG_0411", "IMG_0412", "P5120031", "P5120050", "IMG_0463")) {
        int at = -1;
        for (int i = 0; i < alts.size(); i++) {
          at = alts.get(i).contains(name) && !alts.get(i).contains("Close") ? i : at;
        }
        assertTrue(at > last, name);
        last = at;
      }
    }
  }

  private static void collect(COSBase node, List<String> alts) {
    if (node instanceof COSObject o) {
      collect(o.getObject(), alts);
    } else if (node instanceof COSArray array) {
      array.forEach(n -> collect(n, alts));
    } else if (node instanceof COSDictionary d) {
      if (COSName.getPDFName("Figure").equals(d.getCOSName(COSName.S))) {
        alts.add(d.getString(COSName.ALT));
      }
      collect(d.getItem(COSName.K), alts);
    }
  }

  @Test
  void aPictureThatIsMissingIsAFailureAndNotAGap() {
    ReportFailed failed =
        assertThrows(
            ReportFailed.class,
            () ->
                PdfPrinter.print(
                    "<html lang=\"en\"><head><title>t</title></head><body><h1>t</h1>"
                        + "<img src=\"figure:9.jpg\" alt=\"x\"/></body></html>",
                    uri -> null,
                    new ByteArrayOutputStream()));
    assertTrue(failed.getMessage().contains("figure:9.jpg"), failed.getMessage());
  }

  @Test
  void aPictureThatIsNoPictureIsAFailureToo() {
    for (byte[] garbage : List.of(new byte[] {1, 2, 3}, "<svg".getBytes(US_ASCII))) {
      assertThrows(
          ReportFailed.class,
          () ->
              PdfPrinter.print(
                  "<html lang=\"en\"><head><title>t</title></head><body><h1>t</h1>"
                      + "<img src=\"figure:9.jpg\" alt=\"x\"/></body></html>",
                  uri -> garbage,
                  new ByteArrayOutputStream()));
    }
  }

  @Test
  void nothingFromDiskOrNetworkIsLoaded() {
    for (String source : List.of("file:///etc/hostname", "http://localhost:9/x.png")) {
      assertThrows(
          ReportFailed.class,
          () ->
              PdfPrinter.print(
                  "<html lang=\"en\"><head><title>t</title></head><body><h1>t</h1><img src=\""
                      + source
                      + "\" alt=\"x\"/></body></html>",
                  uri -> null,
                  new ByteArrayOutputStream()),
          source);
    }
  }

  /** The text of the pages between header and footer, in the order it was written. */
  private static String body(byte[] bytes) throws IOException {
    StringBuilder out = new StringBuilder();
    try (PDDocument pdf = Loader.loadPDF(bytes)) {
      for (PDPage page : pdf.getPages()) {
        PDFTextStripperByArea area = new PDFTextStripperByArea();
        area.setSortByPosition(false);
        area.addRegion("body", new Rectangle(0, 50, 612, 792 - 50 - 52));
        area.extractRegions(page);
        out.append(area.getTextForRegion("body")).append('\n');
      }
    }
    return out.toString();
  }

  private static String squeezed(String text) {
    return text.replaceAll("[\\s\\u00a0]+", "");
  }

  @Test
  void bookmarksAndContentsLeadToEverySection() throws IOException {
    try (PDDocument pdf = Loader.loadPDF(Issued.full().bytes("report.pdf"))) {
      Map<String, Integer> top = new TreeMap<>();
      pdf.getDocumentCatalog()
          .getDocumentOutline()
          .children()
          .forEach(i -> top.put(i.getTitle(), i.getOpenCount()));
      assertEquals(7, top.size(), top.toString());
      assertEquals("en", pdf.getDocumentCatalog().getLanguage());
    }
  }
}

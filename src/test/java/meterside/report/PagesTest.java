package meterside.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.function.Function;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.cos.COSArray;
import org.apache.pdfbox.cos.COSBase;
import org.apache.pdfbox.cos.COSDictionary;
import org.apache.pdfbox.cos.COSInteger;
import org.apache.pdfbox.cos.COSName;
import org.apache.pdfbox.cos.COSObject;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.pdmodel.PDPage;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * How the pages break, read from the PDF's own structure: a heading stands on the page of what
 * follows it, a picture on the page of its caption, and nothing reaches over the margins.
 */
class PagesTest {
  private static final Map<String, Path> MADE = new TreeMap<>();

  /** A report of one of the houses on a paper, made once. */
  static synchronized Path pdf(String house, Paper paper) {
    return MADE.computeIfAbsent(
        house + "-" + paper.name().toLowerCase(java.util.Locale.ROOT),
        name -> {
          Function<Path, TestHouse> make =
              switch (house) {
                case "full" -> TestHouse::full;
                case "empty" -> TestHouse::empty;
                case "limits" -> TestHouse::limits;
                default -> at -> TestHouse.walked(at, Integer.parseInt(house));
              };
          TestHouse h = make.apply(Issued.fresh("pages-archive-" + name));
          Path dir = Issued.fresh("pages-" + name);
          ReportOptions options =
              new ReportOptions(false, false, TestHouse.AUTHOR, TestHouse.AT, 1, h.written());
          h.report(dir, options.on(paper));
          return dir.resolve("report.pdf");
        });
  }

  /** A piece of content: its kind of element, its text if it has any, its page. */
  private record Piece(String kind, String parents, int page) {}

  @ParameterizedTest
  @CsvSource({
    "1,LETTER",
    "1,A4",
    "3,LETTER",
    "3,A4",
    "60,LETTER",
    "60,A4",
    "full,LETTER",
    "full,A4",
    "empty,LETTER",
    "empty,A4",
    "limits,LETTER",
    "limits,A4"
  })
  void headingsStayWithWhatFollowsAndPicturesWithTheirCaptions(String house, Paper paper)
      throws IOException {
    try (PDDocument pdf = Loader.loadPDF(Files.readAllBytes(pdf(house, paper)))) {
      for (PDPage page : pdf.getPages()) {
        assertEquals(paper.width(), page.getMediaBox().getWidth(), 0.5);
        assertEquals(paper.height(), page.getMediaBox().getHeight(), 0.5);
      }
      List<Piece> pieces = pieces(pdf);
      int before = 1;
      for (Piece piece : pieces) {
        assertTrue(
            piece.page() == before || piece.page() == before + 1,
            "page " + before + " is followed by " + piece);
        before = piece.page();
      }
      assertEquals(pdf.getNumberOfPages(), before, "the last page is not empty");
      int headings = 0;
      List<String> torn = new ArrayList<>();
      for (int i = 0; i < pieces.size(); i++) {
        Piece p = pieces.get(i);
        if (p.kind().matches("H[1-6]")) {
          headings++;
          int next = i + 1;
          while (next < pieces.size() && pieces.get(next).kind().equals(p.kind())) {
            next++;
          }
          if (next < pieces.size() && pieces.get(next).page() != p.page()) {
            torn.add(p + " before " + pieces.get(next));
          }
        } else if (p.kind().equals("Figure")
            && i + 1 < pieces.size()
            && pieces.get(i + 1).page() != p.page()) {
          torn.add(p + " before its caption " + pieces.get(i + 1));
        }
      }
      assertEquals(List.of(), torn);
      assertTrue(headings >= 8, "headings: " + headings);
    }
  }

  @org.junit.jupiter.api.Test
  void aWidePhotoAndTheCloseOneOfItsSpotStandSideBySide() throws Exception {
    TestHouse h = new TestHouse(Issued.fresh("pair-archive"), "5 Lathe Row");
    h.camera("A", "Halden", "H2");
    meterside.job.Photo close = h.photo("IMG_2.JPG", "A", "meter-and-base");
    h.photo("IMG_3.JPG", "A", "meter-and-base");
    meterside.job.Photo wide = h.photo("IMG_4.JPG", "A", "meter-and-base");
    h.edit(
        new meterside.job.Edit.PutSpot(
            new meterside.job.Spot(
                900, wide.id(), meterside.job.Outline.boxCorners(0.4, 0.6, 0.2, 0.3), close.id())));
    Path dir = Issued.fresh("pair");
    h.report(dir, false, false);
    byte[] bytes = Files.readAllBytes(dir.resolve("report.pdf"));
    try (PDDocument pdf = Loader.loadPDF(bytes)) {
      org.apache.pdfbox.text.PDFTextStripper reader = new org.apache.pdfbox.text.PDFTextStripper();
      String text = reader.getText(pdf);
      int left = text.indexOf("Figure 2 · wide view");
      int right = text.indexOf("Figure 1 · close view");
      assertTrue(left > 0 && right > left, text);
      reader.setSortByPosition(true);
      String seen = reader.getText(pdf);
      assertTrue(
          seen.lines().anyMatch(l -> l.matches("Figure 2 · wide view\\s+Figure 1 · close view")),
          seen);
    }
    for (org.verapdf.pdfa.flavours.PDFAFlavour flavour :
        List.of(
            org.verapdf.pdfa.flavours.PDFAFlavour.PDFUA_1,
            org.verapdf.pdfa.flavours.PDFAFlavour.PDFA_2_A)) {
      assertEquals(List.of(), PdfTest.faults(bytes, flavour));
    }
  }

  private static List<Piece> pieces(PDDocument pdf) {
    Map<COSDictionary, Integer> pages = new IdentityHashMap<>();
    int n = 0;
    for (PDPage page : pdf.getPages()) {
      pages.put(page.getCOSObject(), ++n);
    }
    List<Piece> out = new ArrayList<>();
    walk(
        pdf.getDocumentCatalog().getStructureTreeRoot().getCOSObject().getItem(COSName.K),
        "",
        "",
        0,
        pages,
        out);
    // The head of a table that goes on is repeated on each page, all in one element.
    out.removeIf(p -> p.parents().contains("/THead"));
    return out;
  }

  private static void walk(
      COSBase node,
      String kind,
      String parents,
      int page,
      Map<COSDictionary, Integer> pages,
      List<Piece> out) {
    if (node instanceof COSObject o) {
      walk(o.getObject(), kind, parents, page, pages, out);
    } else if (node instanceof COSArray array) {
      array.forEach(k -> walk(k, kind, parents, page, pages, out));
    } else if (node instanceof COSInteger) {
      out.add(new Piece(kind, parents, page));
    } else if (node instanceof COSDictionary d) {
      COSBase pg = d.getDictionaryObject(COSName.PG);
      int at = pg instanceof COSDictionary p && pages.containsKey(p) ? pages.get(p) : page;
      if (d.containsKey(COSName.MCID)) {
        out.add(new Piece(kind, parents, at));
        return;
      }
      String own = d.getNameAsString(COSName.S);
      // Spans and the like belong to the heading or figure around them.
      boolean inHeading = kind.matches("H[1-6]|Figure");
      walk(
          d.getItem(COSName.K),
          inHeading || own == null ? kind : own,
          parents + "/" + own,
          at,
          pages,
          out);
    }
  }
}

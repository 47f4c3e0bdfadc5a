package meterside.work;

import java.awt.image.BufferedImage;
import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import meterside.job.Code;
import meterside.job.RoutePlan;
import meterside.job.Sentences;
import meterside.job.Stop;
import meterside.job.StopKey;
import meterside.picture.Codes;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.pdmodel.PDPage;
import org.apache.pdfbox.pdmodel.PDPageContentStream;
import org.apache.pdfbox.pdmodel.common.PDRectangle;
import org.apache.pdfbox.pdmodel.font.PDFont;
import org.apache.pdfbox.pdmodel.font.PDType0Font;
import org.apache.pdfbox.pdmodel.graphics.image.LosslessFactory;
import org.apache.pdfbox.pdmodel.graphics.image.PDImageXObject;

/**
 * Printable codes as a PDF: a page for each job with its job code, and the stop codes of a route,
 * six on a page. Clock codes are not printed: they carry the time and belong on a screen.
 */
public final class CodeSheets {
  private static final PDRectangle PAGE = PDRectangle.LETTER;
  private static final String FONT = "/com/formdev/flatlaf/fonts/roboto/Roboto-Regular.ttf";
  private static final int MODULE = 8;

  private CodeSheets() {}

  /**
   * Writes the codes to a file.
   *
   * @param file the PDF, replaced if it is there
   * @param jobs names of jobs that get a page each
   * @param route whose stops get codes
   * @throws NotDone if the file can't be written or is no PDF by its name
   */
  public static void write(Path file, List<String> jobs, RoutePlan route) {
    if (!file.toString().toLowerCase(Locale.ROOT).endsWith(".pdf")) {
      throw new NotDone(NotDone.WRONG_USE, "codes.pdf-only", file);
    }
    try (PDDocument pdf = new PDDocument();
        InputStream ttf = CodeSheets.class.getResourceAsStream(FONT)) {
      PDFont font = PDType0Font.load(pdf, ttf, true);
      for (String job : jobs) {
        PDPage page = new PDPage(PAGE);
        pdf.addPage(page);
        try (PDPageContentStream out = new PDPageContentStream(pdf, page)) {
          float side = 430;
          float x = (PAGE.getWidth() - side) / 2;
          draw(pdf, out, Code.job(job), x, 250, side);
          text(out, font, 22, 205, job);
          text(out, font, 12, 180, say("codes.job-how"));
        }
      }
      List<Stop> stops = route.stops();
      for (int i = 0; i < stops.size(); i += 6) {
        PDPage page = new PDPage(PAGE);
        pdf.addPage(page);
        try (PDPageContentStream out = new PDPageContentStream(pdf, page)) {
          text(out, font, 12, 40, say("codes.stop-how"));
          for (int k = i; k < Math.min(stops.size(), i + 6); k++) {
            int cell = k - i;
            float x = 60 + (cell % 2) * 260;
            float y = 560 - (cell / 2) * 240;
            draw(pdf, out, Code.stop(StopKey.of(stops.get(k).id())), x, y, 190);
            centred(out, font, 11, x + 95, y - 14, stops.get(k).title());
          }
        }
      }
      pdf.getDocumentInformation().setTitle(say("codes.title"));
      pdf.save(file.toFile());
    } catch (IOException e) {
      throw new NotDone(NotDone.NOT_NOW, "codes.not-written", file);
    }
  }

  private static void draw(
      PDDocument pdf, PDPageContentStream out, Code code, float x, float y, float side)
      throws IOException {
    BufferedImage image = Codes.draw(code, MODULE);
    PDImageXObject drawn = LosslessFactory.createFromImage(pdf, image);
    out.drawImage(drawn, x, y, side, side);
  }

  private static void text(PDPageContentStream out, PDFont font, float size, float y, String text)
      throws IOException {
    centred(out, font, size, PAGE.getWidth() / 2, y, text);
  }

  private static void centred(
      PDPageContentStream out, PDFont font, float size, float x, float y, String text)
      throws IOException {
    String shown = shown(font, text);
    float width = font.getStringWidth(shown) / 1000 * size;
    float fit = Math.min(size, size * (PAGE.getWidth() - 60) / Math.max(1, width));
    out.beginText();
    out.setFont(font, fit);
    out.newLineAtOffset(x - font.getStringWidth(shown) / 2000 * fit, y);
    out.showText(shown);
    out.endText();
  }

  /** The text with a question mark for what the font lacks; the code itself holds it whole. */
  private static String shown(PDFont font, String text) {
    StringBuilder out = new StringBuilder();
    text.codePoints()
        .forEach(
            c -> {
              String one = Character.toString(c);
              try {
                font.encode(one);
                out.append(one);
              } catch (IOException | IllegalArgumentException e) {
                out.append('?');
              }
            });
    return out.toString();
  }

  private static String say(String key) {
    return Sentences.in(CodeSheets.class).say(key);
  }
}

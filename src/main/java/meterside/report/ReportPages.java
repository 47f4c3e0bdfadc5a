package meterside.report;

import java.awt.image.BufferedImage;
import java.io.IOException;
import meterside.archive.JobFolder;
import meterside.job.Job;
import meterside.job.Progress;
import meterside.trade.Trade;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.pdmodel.common.PDRectangle;
import org.apache.pdfbox.rendering.ImageType;
import org.apache.pdfbox.rendering.PDFRenderer;

/**
 * The pages of a report as they would be printed, to be looked at before it is written. They are
 * the pages of the PDF itself; only the photos on them come from the previews, where there is one,
 * so that they are there soon. Nothing is written to a disk. May be used by several threads.
 */
public final class ReportPages implements AutoCloseable {
  private final PDDocument pdf;
  private final PDFRenderer renderer;
  private boolean closed;

  private ReportPages(PDDocument pdf) {
    this.pdf = pdf;
    this.renderer = new PDFRenderer(pdf);
    renderer.setSubsamplingAllowed(true);
  }

  /**
   * Makes the pages of a report.
   *
   * @param job the job as it is to be told
   * @param folder where its originals and previews lie; only read
   * @param trade the trade's words
   * @param options draft or not, private or not, paper
   * @param progress told of every photo; may stop the work
   * @throws ReportFailed with a sentence, if they could not be made or the work was stopped
   */
  public static ReportPages of(
      Job job, JobFolder folder, Trade trade, ReportOptions options, Progress progress) {
    Content content = Content.of(job, trade, options);
    Gallery gallery = new Gallery(folder, progress, content.figures().size() + 1);
    try {
      gallery.look(content);
      byte[] bytes = ReportWriter.pdf(content, gallery.set(), Page.Edition.REPORT);
      gallery.step();
      return new ReportPages(Loader.loadPDF(bytes));
    } catch (IOException e) {
      throw new ReportFailed(e, "failed.pages");
    }
  }

  /** How many pages there are, at least one. */
  public synchronized int count() {
    return closed ? 0 : pdf.getNumberOfPages();
  }

  /** Height of the pages by their width; all have one size. */
  public synchronized double heightByWidth() {
    PDRectangle box = closed ? PDRectangle.LETTER : pdf.getPage(0).getMediaBox();
    return box.getHeight() / (double) box.getWidth();
  }

  /**
   * A picture of a page.
   *
   * @param page 0 to {@link #count()} − 1
   * @param width of the picture in pixels, 1 or more
   * @return the picture; null if the pages were let go, or a page can't be painted
   */
  public synchronized BufferedImage picture(int page, int width) {
    if (closed) {
      return null;
    }
    try {
      float scale = width / pdf.getPage(page).getMediaBox().getWidth();
      return renderer.renderImage(page, scale, ImageType.RGB);
    } catch (IOException e) {
      return null;
    }
  }

  /** Lets the pages go. */
  @Override
  public synchronized void close() {
    if (!closed) {
      closed = true;
      try {
        pdf.close();
      } catch (IOException e) {
        // They lie in memory only; nothing is lost.
      }
    }
  }
}

package meterside.report;

import com.openhtmltopdf.extend.FSStream;
import com.openhtmltopdf.outputdevice.helper.BaseRendererBuilder.FSFontUseCase;
import com.openhtmltopdf.outputdevice.helper.BaseRendererBuilder.FontStyle;
import com.openhtmltopdf.outputdevice.helper.ExternalResourceControlPriority;
import com.openhtmltopdf.outputdevice.helper.ExternalResourceType;
import com.openhtmltopdf.pdfboxout.PdfRendererBuilder;
import com.openhtmltopdf.svgsupport.BatikSVGDrawer;
import com.openhtmltopdf.util.Diagnostic;
import com.openhtmltopdf.util.XRLog;
import com.openhtmltopdf.util.XRLogger;
import java.awt.color.ColorSpace;
import java.awt.color.ICC_Profile;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.io.OutputStream;
import java.io.Reader;
import java.nio.charset.StandardCharsets;
import java.util.EnumSet;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.function.BiPredicate;
import java.util.function.Function;
import java.util.logging.Level;

/**
 * Prints a page as a tagged PDF that conforms to PDF/UA-1 (ISO 14289-1) and PDF/A-2a (ISO 19005-2).
 *
 * <p>The renderer would rather leave something out than stop: a font, a picture, a drawing. So
 * everything it warns of is taken as a failure, and no PDF comes of it. It may load only what it is
 * handed: nothing from a disk or a network.
 */
final class PdfPrinter {
  /** Scheme of the pictures that belong to the page. */
  static final String SCHEME = "figure";

  private PdfPrinter() {}

  /**
   * Prints a page.
   *
   * @param xhtml the page, well-formed
   * @param pictures the bytes behind a {@code figure:} reference, null if there are none
   * @throws IOException if the PDF can't be written
   * @throws ReportFailed if the renderer warned of anything
   */
  static void print(String xhtml, Function<String, byte[]> pictures, OutputStream out)
      throws IOException {
    List<String> warnings = new CopyOnWriteArrayList<>();
    XRLog.setLoggerImpl(new Silent());
    XRLog.setLoggingEnabled(true);
    PdfRendererBuilder builder = new PdfRendererBuilder();
    builder.usePdfVersion(1.7f);
    builder.usePdfUaAccessibility(true);
    builder.usePdfAConformance(PdfRendererBuilder.PdfAConformance.PDFA_2_A);
    builder.useColorProfile(ICC_Profile.getInstance(ColorSpace.CS_sRGB).getData());
    builder.withProducer("Meterside");
    fonts(builder);
    builder.useSVGDrawer(new BatikSVGDrawer());
    builder.useUnicodeBidiSplitter(BidiText.Splitter::new);
    builder.useUnicodeBidiReorderer(new BidiText.Reorderer());
    builder.defaultTextDirection(PdfRendererBuilder.TextDirection.LTR);
    builder.useProtocolsStreamImplementation(uri -> stream(pictures, uri, warnings), SCHEME);
    builder.useUriResolver((base, uri) -> uri);
    // The renderer goes on without what it may not load; that is a gap, so it is a failure too.
    BiPredicate<String, ExternalResourceType> ours =
        (uri, type) -> {
          boolean own = uri.startsWith(SCHEME + ":");
          if (!own) {
            warnings.add(uri);
          }
          return own;
        };
    builder.useExternalResourceAccessControl(
        ours, ExternalResourceControlPriority.RUN_BEFORE_RESOLVING_URI);
    builder.useExternalResourceAccessControl(
        ours, ExternalResourceControlPriority.RUN_AFTER_RESOLVING_URI);
    builder.withDiagnosticConsumer(
        d -> {
          if (d.getLevel().intValue() >= Level.WARNING.intValue()) {
            warnings.add(d.getFormattedMessage());
          }
        });
    builder.withHtmlContent(xhtml, null);
    builder.toStream(out);
    try {
      builder.run();
    } catch (RuntimeException e) {
      throw new ReportFailed(e, "failed.renderer", e.getMessage());
    }
    if (!warnings.isEmpty()) {
      throw new ReportFailed(null, "failed.renderer", String.join("; ", warnings));
    }
  }

  /**
   * Writes nothing to the console. Logging must be on nevertheless: only what is logged reaches the
   * diagnostic consumer.
   */
  private static final class Silent implements XRLogger {
    @Override
    public void log(String where, Level level, String message) {
      // Said through the diagnostic consumer.
    }

    @Override
    public void log(String where, Level level, String message, Throwable error) {
      // Said through the diagnostic consumer.
    }

    @Override
    public void setLevel(String logger, Level level) {
      // Nothing is written at any level.
    }

    @Override
    public boolean isLogLevelEnabled(Diagnostic diagnostic) {
      return false;
    }
  }

  private static void fonts(PdfRendererBuilder builder) {
    EnumSet<FSFontUseCase> first = EnumSet.of(FSFontUseCase.DOCUMENT, FSFontUseCase.SVG);
    EnumSet<FSFontUseCase> last = EnumSet.of(FSFontUseCase.DOCUMENT, FSFontUseCase.FALLBACK_FINAL);
    for (Glyphs.FontFile f : List.of(Glyphs.ROBOTO, Glyphs.ROBOTO_BOLD)) {
      builder.useFont(f::stream, f.family(), f.weight(), FontStyle.NORMAL, true, first);
    }
    for (Glyphs.FontFile f : List.of(Glyphs.DEJAVU, Glyphs.DEJAVU_BOLD)) {
      builder.useFont(f::stream, f.family(), f.weight(), FontStyle.NORMAL, true, last);
    }
  }

  private static FSStream stream(
      Function<String, byte[]> pictures, String uri, List<String> warnings) {
    byte[] bytes = pictures.apply(uri);
    if (bytes == null) {
      warnings.add(uri);
      bytes = new byte[0];
    }
    InputStream in = new ByteArrayInputStream(bytes);
    return new FSStream() {
      @Override
      public InputStream getStream() {
        return in;
      }

      @Override
      public Reader getReader() {
        return new InputStreamReader(in, StandardCharsets.UTF_8);
      }
    };
  }
}

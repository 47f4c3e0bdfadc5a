package meterside.report;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.LinkedHashSet;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.text.PDFTextStripper;

/** Reads what a report prints about where it comes from. */
public final class Printed {
  private static final Pattern HASH = Pattern.compile("(?<![0-9a-f])[0-9a-f]{64}(?![0-9a-f])");

  /** Larger files are no report of ours. */
  private static final long LARGEST = 400L << 20;

  private Printed() {}

  /**
   * Every SHA-256 that a file prints: of photos, and of the journal's head.
   *
   * @return 64 lower-case hexadecimal digits each; none for a file that is no PDF and no text
   * @throws IOException if it can't be read at all
   */
  public static Set<String> hashes(Path file) throws IOException {
    if (Files.size(file) > LARGEST) {
      return Set.of();
    }
    byte[] bytes = Files.readAllBytes(file);
    String text;
    if (bytes.length > 4 && bytes[0] == '%' && bytes[1] == 'P' && bytes[2] == 'D') {
      try (PDDocument pdf = Loader.loadPDF(bytes)) {
        text = new PDFTextStripper().getText(pdf);
      } catch (IOException | RuntimeException e) {
        return Set.of(); // not a PDF that can be read: it names nothing
      }
    } else {
      text = new String(bytes, StandardCharsets.ISO_8859_1);
    }
    Set<String> out = new LinkedHashSet<>();
    Matcher m = HASH.matcher(text);
    while (m.find()) {
      out.add(m.group());
    }
    return out;
  }
}

package meterside.report;

import com.ibm.icu.text.ArabicShaping;
import com.ibm.icu.text.ArabicShapingException;
import com.openhtmltopdf.bidi.BidiReorderer;
import com.openhtmltopdf.bidi.BidiSplitter;
import com.openhtmltopdf.bidi.BidiTextRun;
import java.text.Bidi;

/**
 * Puts right-to-left text into reading order for the PDF, by the JDK's bidirectional algorithm
 * (Unicode UAX #9), and joins Arabic letters (the Unicode Standard, chapter 9.2) by ICU: letters
 * become their presentation forms, which the fallback font has.
 */
final class BidiText {
  private BidiText() {}

  /** Splits a paragraph into runs of one direction. */
  static final class Splitter implements BidiSplitter {
    private Bidi bidi;

    @Override
    public void setParagraph(String paragraph, byte defaultDirection) {
      boolean rtl = defaultDirection == BidiSplitter.RTL;
      bidi = new Bidi(paragraph, rtl ? Bidi.DIRECTION_RIGHT_TO_LEFT : Bidi.DIRECTION_LEFT_TO_RIGHT);
    }

    @Override
    public int countTextRuns() {
      return bidi.getRunCount();
    }

    @Override
    public BidiTextRun getVisualRun(int run) {
      int start = bidi.getRunStart(run);
      boolean rtl = (bidi.getRunLevel(run) & 1) == 1;
      return new BidiTextRun(
          start, bidi.getRunLimit(run) - start, rtl ? BidiSplitter.RTL : BidiSplitter.LTR);
    }

    @Override
    public byte getBaseDirection(String paragraph) {
      boolean rtl = !new Bidi(paragraph, Bidi.DIRECTION_DEFAULT_LEFT_TO_RIGHT).baseIsLeftToRight();
      return rtl ? BidiSplitter.RTL : BidiSplitter.LTR;
    }
  }

  /** Joins Arabic letters, and turns a right-to-left run round with brackets mirrored. */
  static final class Reorderer implements BidiReorderer {
    private static final ArabicShaping JOIN =
        new ArabicShaping(ArabicShaping.LETTERS_SHAPE | ArabicShaping.LENGTH_GROW_SHRINK);
    private static final ArabicShaping PART =
        new ArabicShaping(ArabicShaping.LETTERS_UNSHAPE | ArabicShaping.LENGTH_GROW_SHRINK);

    @Override
    public String reorderRTLTextToLTR(String text) {
      // A letter stays in front of the marks that belong to it.
      return com.ibm.icu.text.Bidi.writeReverse(
          text, com.ibm.icu.text.Bidi.DO_MIRRORING | com.ibm.icu.text.Bidi.KEEP_BASE_COMBINING);
    }

    @Override
    public String shapeText(String text) {
      return shaped(JOIN, text);
    }

    @Override
    public String deshapeText(String text) {
      return shaped(PART, text);
    }

    @Override
    public boolean isLiveImplementation() {
      return true;
    }

    private static String shaped(ArabicShaping how, String text) {
      try {
        return how.shape(text);
      } catch (ArabicShapingException e) {
        return text; // letters that stand apart can be read too
      }
    }
  }
}

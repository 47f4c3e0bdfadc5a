package meterside.report;

import com.openhtmltopdf.bidi.BidiReorderer;
import com.openhtmltopdf.bidi.BidiSplitter;
import com.openhtmltopdf.bidi.BidiTextRun;
import java.text.Bidi;

/**
 * Puts right-to-left text into reading order for the PDF, by the JDK's bidirectional algorithm
 * (Unicode UAX #9). Arabic letters are not joined: they stand apart, in the right order.
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

  /** Turns a right-to-left run round, with brackets mirrored. */
  static final class Reorderer implements BidiReorderer {
    @Override
    public String reorderRTLTextToLTR(String text) {
      StringBuilder out = new StringBuilder(text.length());
      for (int end = text.length(); end > 0; ) {
        // A letter stays in front of the marks that belong to it.
        int start = text.offsetByCodePoints(end, -1);
        while (start > 0 && isMark(text.codePointAt(start))) {
          start = text.offsetByCodePoints(start, -1);
        }
        String cluster = text.substring(start, end);
        out.append(cluster.length() == 1 ? mirrored(cluster.charAt(0)) : cluster);
        end = start;
      }
      return out.toString();
    }

    @Override
    public String shapeText(String text) {
      return text;
    }

    @Override
    public String deshapeText(String text) {
      return text;
    }

    @Override
    public boolean isLiveImplementation() {
      return true;
    }

    private static boolean isMark(int c) {
      int type = Character.getType(c);
      return type == Character.NON_SPACING_MARK || type == Character.ENCLOSING_MARK;
    }

    private static String mirrored(char c) {
      int at = "()[]{}<>«»".indexOf(c);
      return String.valueOf(at < 0 ? c : "()[]{}<>«»".charAt(at ^ 1));
    }
  }
}

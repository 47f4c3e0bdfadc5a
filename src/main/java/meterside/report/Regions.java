package meterside.report;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.time.temporal.ChronoUnit;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import meterside.job.Point;
import meterside.job.TimeBasis;
import meterside.markup.Dimension;
import meterside.markup.Legend;
import meterside.markup.Polygon;
import meterside.markup.Ring;
import meterside.markup.Shape;
import org.apache.commons.imaging.formats.jpeg.xmp.JpegXmpRewriter;

/**
 * Writes what a marked photo shows into the photo, as IPTC Photo Metadata (2025.1) in an XMP
 * packet: title, description, keywords, date, alternative text, and an {@code ImageRegion} for each
 * ring and outline. Everything in it was said in the report; nothing is copied from the original's
 * metadata.
 *
 * <p>Regions count relative to the marked photo, which stands upright: circles by centre and by a
 * radius relative to the width, polygons by their corners.
 */
final class Regions {
  /** An APP1 segment holds 65,533 bytes; some go to its name and to padding. */
  private static final int MOST_BYTES = 60_000;

  private static final String AREA_OF_INTEREST =
      "http://cv.iptc.org/newscodes/imageregionrole/areaOfInterest";

  private final StringBuilder out = new StringBuilder(4096);

  private Regions() {}

  /**
   * The marked photo with its packet. One that would be too long is first written without the
   * inspector's notes, then left out.
   *
   * @param author who made the report, or null
   */
  static byte[] into(byte[] jpeg, Figure figure, ZoneId zone, String author) throws IOException {
    for (boolean notes : new boolean[] {true, false}) {
      String packet = packet(figure, zone, author, notes);
      if (packet.getBytes(StandardCharsets.UTF_8).length <= MOST_BYTES) {
        ByteArrayOutputStream out = new ByteArrayOutputStream(jpeg.length + packet.length());
        new JpegXmpRewriter().updateXmpXml(jpeg, out, packet);
        return out.toByteArray();
      }
    }
    return jpeg;
  }

  private static String packet(Figure figure, ZoneId zone, String author, boolean notes) {
    Regions r = new Regions();
    r.out.append("<?xpacket begin=\"\uFEFF\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n");
    r.out.append(
        "<x:xmpmeta xmlns:x=\"adobe:ns:meta/\"><rdf:RDF"
            + " xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\">\n"
            + "<rdf:Description rdf:about=\"\""
            + " xmlns:dc=\"http://purl.org/dc/elements/1.1/\""
            + " xmlns:xmp=\"http://ns.adobe.com/xap/1.0/\""
            + " xmlns:photoshop=\"http://ns.adobe.com/photoshop/1.0/\""
            + " xmlns:Iptc4xmpCore=\"http://iptc.org/std/Iptc4xmpCore/1.0/xmlns/\""
            + " xmlns:Iptc4xmpExt=\"http://iptc.org/std/Iptc4xmpExt/2008-02-29/\">\n");
    String alt = notes ? FigureBlocks.alt(figure) : figure.label() + ", " + figure.title();
    r.languages("dc:title", figure.label() + ", " + figure.title());
    r.languages("dc:description", alt);
    r.languages("Iptc4xmpCore:AltTextAccessibility", alt);
    Set<String> keywords = new LinkedHashSet<>();
    keywords.add(figure.title());
    for (Legend l : figure.drawing().legend()) {
      if (!l.term().isBlank()) {
        keywords.add(l.term());
      }
      if (l.finding() != null) {
        keywords.add("F" + l.finding());
      }
    }
    r.list("dc:subject", "Bag", List.copyOf(keywords));
    if (author != null && !author.isBlank()) {
      r.list("dc:creator", "Seq", List.of(author.strip()));
    }
    if (figure.time().basis() != TimeBasis.NONE && figure.time().basis() != TimeBasis.FILE) {
      r.leaf(
          "photoshop:DateCreated",
          DateTimeFormatter.ISO_OFFSET_DATE_TIME.format(
              figure.time().at().atZone(zone).truncatedTo(ChronoUnit.SECONDS)));
    }
    r.regions(figure, notes);
    r.out.append("</rdf:Description></rdf:RDF></x:xmpmeta>\n<?xpacket end=\"w\"?>");
    return r.out.toString();
  }

  private void regions(Figure figure, boolean notes) {
    if (figure.drawing().legend().isEmpty()) {
      return;
    }
    open("Iptc4xmpExt:ImageRegion");
    open("rdf:Bag");
    for (Legend l : figure.drawing().legend()) {
      List<Shape> own =
          figure.drawing().shapes().stream()
              .filter(x -> x.mark() == l.markId())
              .filter(x -> x instanceof Ring || x instanceof Polygon || x instanceof Dimension)
              .toList();
      for (int i = 0; i < own.size(); i++) {
        String part = own.size() == 1 ? "" : "-" + (i + 1);
        region(figure, l, part, notes, boundary(own.get(i), figure));
      }
    }
    close("rdf:Bag");
    close("Iptc4xmpExt:ImageRegion");
  }

  /** What a shape bounds in the delivered picture. */
  private static String boundary(Shape shape, Figure figure) {
    if (shape instanceof Ring r) {
      return circle(r.centre(), r.radius() * perWidth(figure));
    }
    if (shape instanceof Dimension d) {
      return rectangle(d.from(), d.to());
    }
    return polygon(((Polygon) shape).corners());
  }

  /** Turns a fraction of the diagonal into a fraction of the width. */
  private static double perWidth(Figure figure) {
    double w = figure.view().width();
    return Math.hypot(w, figure.view().height()) / w;
  }

  private void region(Figure figure, Legend l, String part, boolean notes, String boundary) {
    out.append("<rdf:li rdf:parseType=\"Resource\">");
    leaf("Iptc4xmpExt:rId", "m" + l.markId() + part);
    String term = l.term().isBlank() ? Words.say("figure.unnamed") : l.term();
    languages("Iptc4xmpExt:Name", l.number() + " " + term);
    out.append("<Iptc4xmpExt:RegionBoundary rdf:parseType=\"Resource\">")
        .append(boundary)
        .append("</Iptc4xmpExt:RegionBoundary>");
    out.append("<Iptc4xmpExt:rRole><rdf:Bag><rdf:li rdf:parseType=\"Resource\">");
    languages("Iptc4xmpExt:Name", "area of interest");
    list("xmp:Identifier", "Bag", List.of(AREA_OF_INTEREST));
    out.append("</rdf:li></rdf:Bag></Iptc4xmpExt:rRole>");
    String note = figure.note(l);
    String said =
        (l.finding() == null ? "" : "F" + l.finding())
            + (l.finding() == null || note == null ? "" : ": ")
            + (note == null ? "" : note);
    if (notes && !said.isEmpty()) {
      languages("dc:description", said);
    }
    out.append("</rdf:li>\n");
  }

  private static String circle(Point centre, double radius) {
    return shape("circle")
        + number("rbX", centre.x())
        + number("rbY", centre.y())
        + number("rbRx", radius);
  }

  /** The smallest upright box round a line; never without an extent. */
  private static String rectangle(Point from, Point to) {
    return shape("rectangle")
        + number("rbX", Math.min(from.x(), to.x()))
        + number("rbY", Math.min(from.y(), to.y()))
        + number("rbW", Math.max(0.001, Math.abs(from.x() - to.x())))
        + number("rbH", Math.max(0.001, Math.abs(from.y() - to.y())));
  }

  private static String polygon(List<Point> corners) {
    StringBuilder b = new StringBuilder(shape("polygon"));
    b.append("<Iptc4xmpExt:rbVertices><rdf:Seq>");
    for (Point p : corners) {
      b.append("<rdf:li rdf:parseType=\"Resource\">")
          .append(number("rbX", p.x()))
          .append(number("rbY", p.y()))
          .append("</rdf:li>");
    }
    return b.append("</rdf:Seq></Iptc4xmpExt:rbVertices>").toString();
  }

  private static String shape(String kind) {
    return "<Iptc4xmpExt:rbShape>"
        + kind
        + "</Iptc4xmpExt:rbShape><Iptc4xmpExt:rbUnit>relative</Iptc4xmpExt:rbUnit>";
  }

  private static String number(String name, double value) {
    String text = String.format(Locale.ROOT, "%.6f", value).replaceFirst("\\.?0+$", "");
    return "<Iptc4xmpExt:" + name + ">" + text + "</Iptc4xmpExt:" + name + ">";
  }

  private void leaf(String name, String text) {
    open(name);
    out.append(Html.escape(text));
    close(name);
  }

  private void languages(String name, String text) {
    open(name);
    out.append("<rdf:Alt><rdf:li xml:lang=\"x-default\">")
        .append(Html.escape(text))
        .append("</rdf:li></rdf:Alt>");
    close(name);
  }

  private void list(String name, String kind, List<String> texts) {
    open(name);
    open("rdf:" + kind);
    for (String text : texts) {
      leaf("rdf:li", text);
    }
    close("rdf:" + kind);
    close(name);
    out.append('\n');
  }

  private void open(String name) {
    out.append('<').append(name).append('>');
  }

  private void close(String name) {
    out.append("</").append(name).append('>');
  }
}

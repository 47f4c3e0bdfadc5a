package meterside.report;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.UUID;
import java.util.stream.Collectors;
import meterside.job.Callout;
import meterside.job.Finding;
import meterside.job.Job;
import meterside.job.Mark;
import meterside.job.Orientation;
import meterside.job.Photo;
import meterside.job.Point;
import meterside.job.Redaction;
import meterside.markup.Legend;

/**
 * The callouts and outlines of a report as annotations of the W3C Web Annotation Data Model (REC of
 * 23 February 2017): a JSON array, one annotation a line, each complete in itself.
 *
 * <p>The target is the original photo, named by its SHA-256. The selectors count in its
 * <em>stored</em> pixels, before any EXIF orientation: an {@code SvgSelector} with the exact shape,
 * and a {@code FragmentSelector} (Media Fragments 1.0) with the box round it in whole pixels. Where
 * the size is not known, the fragment counts in percent.
 *
 * <p>Ids stay the same from one report to the next: they are made from the job's id and the mark's
 * number.
 */
final class Annotations {
  private static final ObjectMapper JSON = new ObjectMapper();

  /** When a mark was drawn and last changed. */
  record Times(Instant created, Instant modified) {}

  private final Content content;
  private final Map<Integer, Times> times;

  private Annotations(Content content, Map<Integer, Times> times) {
    this.content = content;
    this.times = times;
  }

  /**
   * The annotations of a report.
   *
   * @param times when the marks were made, by number; the report's own time stands in
   */
  static String write(Content content, Map<Integer, Times> times) {
    Annotations all = new Annotations(content, times);
    List<String> lines = new ArrayList<>();
    for (Figure figure : content.figures()) {
      for (Mark mark : figure.marks()) {
        // A redaction says nothing, and what a crop leaves out is not delivered.
        if (!(mark instanceof Redaction) && figure.shows(mark)) {
          lines.add(all.annotation(figure, mark));
        }
      }
    }
    return lines.isEmpty() ? "[]\n" : "[\n" + String.join(",\n", lines) + "\n]\n";
  }

  private String annotation(Figure figure, Mark mark) {
    Job job = content.job();
    ObjectNode node = JSON.createObjectNode();
    node.put("@context", "http://www.w3.org/ns/anno.jsonld");
    node.put("id", uuid(job.header().id() + "/mark/" + mark.id()));
    node.put("type", "Annotation");
    node.put("motivation", "describing");
    String author = content.options().author();
    if (author != null && !author.isBlank()) {
      ObjectNode creator = node.putObject("creator");
      creator.put("id", uuid(job.header().id() + "/author/" + author.strip()));
      creator.put("type", "Person");
      creator.put("name", author.strip());
    }
    Times when = times.get(mark.id());
    Instant at = content.options().at();
    node.put("created", utc(when == null ? at : when.created()));
    if (when != null && !when.modified().equals(when.created())) {
      node.put("modified", utc(when.modified()));
    }
    body(figure, mark, node.putArray("body"));
    ObjectNode target = node.putObject("target");
    target.put("source", "urn:sha256:" + figure.photo().id().hex());
    selectors(figure, mark, target.putArray("selector"));
    try {
      return JSON.writeValueAsString(node);
    } catch (JsonProcessingException e) {
      throw new UncheckedIOException(e);
    }
  }

  private void body(Figure figure, Mark mark, ArrayNode bodies) {
    Legend legend =
        figure.drawing().legend().stream()
            .filter(l -> l.markId() == mark.id())
            .findFirst()
            .orElse(null);
    String term = legend == null || legend.term().isBlank() ? null : legend.term();
    String note = legend == null ? null : figure.note(legend);
    Integer tied = Content.findingOf(mark);
    Finding finding = tied == null ? null : content.job().findings().get(tied);
    List<String> bits = new ArrayList<>();
    if (term != null) {
      bits.add(term);
    }
    if (note != null) {
      bits.add(note);
    }
    if (finding != null) {
      bits.add(finding.label() + ", " + finding.seen().strip());
    }
    text(
        bodies,
        bits.isEmpty() ? Words.say("figure.unnamed") : String.join(": ", bits),
        "describing");
    if (term != null) {
      text(bodies, term, "tagging");
    }
    if (finding != null) {
      text(bodies, finding.label(), "tagging");
    }
  }

  private static void text(ArrayNode bodies, String value, String purpose) {
    ObjectNode body = bodies.addObject();
    body.put("type", "TextualBody");
    body.put("value", value);
    body.put("format", "text/plain");
    body.put("language", "en");
    body.put("purpose", purpose);
  }

  private static void selectors(Figure figure, Mark mark, ArrayNode selectors) {
    Photo photo = figure.photo();
    Orientation turned = photo.orientation();
    boolean sized = photo.width() > 0 && photo.height() > 0;
    double w = sized ? photo.width() : 100;
    double h = sized ? photo.height() : 100;
    double[] box = {w, h, 0, 0};
    String shape;
    if (mark instanceof Callout c) {
      double r = figure.radius(mark.id()) * Math.hypot(w, h);
      shape =
          c.rings().stream()
              .map(
                  p -> {
                    Point s = turned.toStored(p);
                    hold(box, s.x() * w - r, s.y() * h - r, w, h);
                    hold(box, s.x() * w + r, s.y() * h + r, w, h);
                    return "<circle cx=\""
                        + n(s.x() * w)
                        + "\" cy=\""
                        + n(s.y() * h)
                        + "\" r=\""
                        + n(r)
                        + "\"/>";
                  })
              .collect(Collectors.joining());
    } else {
      String points =
          mark.points().stream()
              .map(
                  p -> {
                    Point s = turned.toStored(p);
                    hold(box, s.x() * w, s.y() * h, w, h);
                    return n(s.x() * w) + "," + n(s.y() * h);
                  })
              .collect(Collectors.joining(" "));
      shape = "<polygon points=\"" + points + "\"/>";
    }
    long left = (long) Math.floor(box[0]);
    long top = (long) Math.floor(box[1]);
    long right = Math.max(left + 1, (long) Math.ceil(box[2]));
    long bottom = Math.max(top + 1, (long) Math.ceil(box[3]));
    ObjectNode fragment = selectors.addObject();
    fragment.put("type", "FragmentSelector");
    fragment.put("conformsTo", "http://www.w3.org/TR/media-frags/");
    fragment.put(
        "value",
        "xywh="
            + (sized ? "pixel:" : "percent:")
            + left
            + ","
            + top
            + ","
            + (right - left)
            + ","
            + (bottom - top));
    ObjectNode svg = selectors.addObject();
    svg.put("type", "SvgSelector");
    svg.put(
        "value",
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 "
            + n(w)
            + " "
            + n(h)
            + "\">"
            + shape
            + "</svg>");
  }

  /** Widens the box to hold a point, as far as it lies on the photo. */
  private static void hold(double[] box, double x, double y, double w, double h) {
    double inX = Math.max(0, Math.min(w, x));
    double inY = Math.max(0, Math.min(h, y));
    box[0] = Math.min(box[0], inX);
    box[1] = Math.min(box[1], inY);
    box[2] = Math.max(box[2], inX);
    box[3] = Math.max(box[3], inY);
  }

  private static String n(double value) {
    return String.format(Locale.ROOT, "%.2f", value).replaceFirst("\\.?0+$", "");
  }

  private static String uuid(String name) {
    return "urn:uuid:" + UUID.nameUUIDFromBytes(name.getBytes(StandardCharsets.UTF_8));
  }

  private static String utc(Instant at) {
    return at.truncatedTo(ChronoUnit.SECONDS).toString(); // ends in Z
  }
}

package meterside.markup;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.function.UnaryOperator;
import meterside.job.Callout;
import meterside.job.Finding;
import meterside.job.Job;
import meterside.job.Mark;
import meterside.job.Measure;
import meterside.job.Outline;
import meterside.job.Photo;
import meterside.job.Point;
import meterside.job.Redaction;
import meterside.job.Sentences;
import meterside.job.Spot;
import meterside.markup.Geometry.Box;
import meterside.markup.Geometry.Segment;
import meterside.markup.LabelLayout.Anchor;
import meterside.markup.LabelLayout.Arrangement;
import meterside.markup.LabelLayout.Candidate;
import meterside.markup.LabelLayout.Label;
import meterside.trade.Trade;

/**
 * What is painted over a photo: primitives in painting order, and what the numbers mean. The same
 * marks always give the same drawing.
 *
 * <p>Callouts, measurements, spots of close views, and outlines that say something (a part, a
 * finding or a note) are numbered from 1 in the order they were drawn on the photo. Terms begin
 * with a capital. Covers come first, then outlines and dimension lines, rings, leaders and plates.
 *
 * <p>If the plates do not fit in full size they are all drawn at four fifths; if they still do not
 * fit they show only their numbers ({@link #needsLegend}).
 *
 * @param shapes primitives in painting order
 * @param legend one entry per number, in order
 */
public record Drawing(List<Shape> shapes, List<Legend> legend) {

  /** Copies the lists. */
  public Drawing {
    shapes = List.copyOf(shapes);
    legend = List.copyOf(legend);
  }

  /** How plates are made, from the most to the least they say. */
  private enum Manner {
    FULL(1, false),
    SMALL(0.8, false),
    BRIEF(1, true);

    private final double scale;
    private final boolean brief;

    Manner(double scale, boolean brief) {
      this.scale = scale;
      this.brief = brief;
    }
  }

  /** Plates that would hide more of the photo than this share are not even tried. */
  private static final double CROWDED = 0.3;

  /** Something with a number and a plate. */
  private record Item(
      int number,
      Mark mark,
      String term,
      Integer finding,
      String note,
      List<Point> at,
      Point byHand) {}

  /** The drawing of a photo, parts called by the trade's preferred terms. */
  public static Drawing of(Job job, Photo photo, Trade trade) {
    return of(job, photo, trade::term, null);
  }

  /** The same, plates staying where they were in an earlier drawing as far as reasonable. */
  public static Drawing of(Job job, Photo photo, Trade trade, Drawing before) {
    return of(job, photo, trade::term, before);
  }

  /**
   * The drawing that goes over a photo's delivered picture ({@link Delivered#of(Job, Photo)}): the
   * same marks, in fractions of that picture, plates laid out anew in it and lettered larger, since
   * a page shows it smaller than a screen does. What the crop leaves out is not drawn; numbers stay
   * those of the whole photo.
   */
  public static Drawing delivered(Job job, Photo photo, Naming naming) {
    return in(Delivered.of(job, photo), job, photo, naming, null, Sizes.DELIVERED);
  }

  /**
   * The drawing of a photo.
   *
   * @param termOf the preferred term of a part id
   */
  public static Drawing of(Job job, Photo photo, UnaryOperator<String> termOf) {
    return of(job, photo, termOf, null);
  }

  /**
   * The drawing of a photo whose plates stay where they were beside their rings, as far as that is
   * reasonable: for use while a ring is dragged.
   *
   * @param termOf the preferred term of a part id
   * @param before an earlier drawing of the same photo, or null
   */
  public static Drawing of(Job job, Photo photo, UnaryOperator<String> termOf, Drawing before) {
    return in(Delivered.asTaken(photo), job, photo, Naming.of(job, termOf), before);
  }

  /**
   * The drawing over a photo that is shown in a certain way: for a screen that shows it turned.
   *
   * @param view how the photo is shown
   * @param before an earlier drawing in the same view, or null
   */
  public static Drawing in(Delivered view, Job job, Photo photo, Naming naming, Drawing before) {
    return in(view, job, photo, naming, before, 1);
  }

  private static Drawing in(
      Delivered view, Job job, Photo photo, Naming naming, Drawing before, double enlarged) {
    List<Shape> covers = new ArrayList<>();
    List<Shape> lines = new ArrayList<>();
    List<Item> items = new ArrayList<>();
    Paper paper = new Paper(view, Sizes.UNITS / enlarged);
    List<Segment> silent = new ArrayList<>();
    int number = 0;
    for (Mark mark : job.marksOn(photo.id())) {
      if (mark instanceof Redaction r) {
        List<Point> shown = paper.clipped(r.corners());
        if (!shown.isEmpty()) {
          covers.add(new Cover(r.id(), shown));
        }
        continue;
      }
      boolean says = says(mark);
      number += says ? 1 : 0;
      List<Point> at = new ArrayList<>();
      if (mark instanceof Callout c) {
        c.rings().stream().map(view::toDelivered).filter(Point::onPhoto).forEach(at::add);
      } else if (mark instanceof Measure m) {
        Point from = view.toDelivered(m.from());
        Point to = view.toDelivered(m.to());
        if (from.onPhoto() && to.onPhoto()) {
          at.addAll(List.of(from, to));
          lines.add(dimension(m.id(), from, to, paper.units));
        }
      } else {
        at.addAll(paper.clipped(mark.points()));
        if (!at.isEmpty()) {
          lines.add(outline(mark.id(), at, paper.units));
        }
      }
      if (!at.isEmpty() && says) {
        items.add(item(job, number, mark, at, naming, view));
      } else if (!at.isEmpty()) {
        silent.addAll(paper.outline(at).edges());
      }
    }
    List<Shape> shapes = new ArrayList<>(covers);
    shapes.addAll(lines);
    for (Item item : items) {
      double dot = item.finding() == null ? 0 : Sizes.DOT / paper.units;
      for (Point p : item.mark() instanceof Callout ? item.at() : List.<Point>of()) {
        shapes.add(
            new Ring(
                item.mark().id(),
                p,
                Sizes.RING / paper.units,
                Sizes.RING_STROKE / paper.units,
                Sizes.HALO / paper.units,
                dot));
      }
    }
    shapes.addAll(plates(paper, items, silent, before));
    List<Legend> legend = new ArrayList<>();
    for (Item i : items) {
      legend.add(new Legend(i.number(), i.mark().id(), i.term(), i.finding(), i.note()));
    }
    return new Drawing(shapes, legend);
  }

  /**
   * Whether plates show only their numbers, so that the legend must be printed beside the photo.
   */
  public boolean needsLegend() {
    return shapes.stream().anyMatch(s -> s instanceof Plate p && p.brief());
  }

  /** Only the covers: what must be burnt even where no marks are wanted. */
  public Drawing coversOnly() {
    return new Drawing(shapes.stream().filter(s -> s instanceof Cover).toList(), List.of());
  }

  /** Whether there is nothing to paint. */
  public boolean isEmpty() {
    return shapes.isEmpty();
  }

  /** Hands every primitive to a brush, in painting order. */
  public void paintWith(Brush brush) {
    for (Shape s : shapes) {
      s.paintWith(brush);
    }
  }

  private static String text(String raw) {
    return Lettering.clean(raw);
  }

  /** A term as a name on a photo begins: "drip loop" is "Drip loop". */
  private static String capital(String term) {
    if (term.isEmpty()) {
      return term;
    }
    int first = term.codePointAt(0);
    return new StringBuilder()
        .appendCodePoint(Character.toTitleCase(first))
        .append(term.substring(Character.charCount(first)))
        .toString();
  }

  /** Whether a mark has a number and a plate. */
  private static boolean says(Mark mark) {
    return !(mark instanceof Outline o)
        || o.part() != null
        || o.finding() != null
        || !text(o.note()).isEmpty();
  }

  private static Polygon outline(int mark, List<Point> corners, double units) {
    return new Polygon(mark, corners, Sizes.OUTLINE_STROKE / units, Sizes.HALO / units);
  }

  private static Dimension dimension(int mark, Point from, Point to, double units) {
    return new Dimension(
        mark, from, to, Sizes.DIMENSION_STROKE / units, Sizes.HALO / units, Sizes.TICK / units);
  }

  /**
   * @param at its rings, its ends, or its corners, in the view
   */
  private static Item item(
      Job job, int number, Mark mark, List<Point> at, Naming naming, Delivered view) {
    Sentences say = Sentences.in(Drawing.class);
    Finding tied = mark.finding() == null ? null : job.findings().get(mark.finding());
    Integer known = tied == null ? null : mark.finding();
    String term = mark.part() == null ? "" : naming.term().apply(mark.part());
    String second = text(mark.note());
    if (second.isEmpty() && tied != null) {
      second = text(tied.seen());
    }
    if (mark instanceof Measure m) {
      term = Lengths.brief(m, Lengths.inMetres(job));
      String by = say.say("measure.by", text(m.reference().name()));
      second = second.isEmpty() ? by : second + "; " + by;
    } else if (mark instanceof Spot s) {
      term = say.say("spot.term");
      second = text(naming.photo().apply(s.close()));
    }
    Point byHand = null;
    if (mark instanceof Callout c && c.plate() != null) {
      Point shown = view.toDelivered(c.plate());
      // A plate whose place the crop leaves out finds another; one off an uncropped photo stays.
      byHand = shown.onPhoto() || !view.view().leavesOut() ? shown : null;
    }
    return new Item(
        number, mark, capital(text(term)), known, second.isEmpty() ? null : second, at, byHand);
  }

  // ---- plates ----

  private static List<Shape> plates(
      Paper paper, List<Item> items, List<Segment> silent, Drawing before) {
    Map<Integer, double[]> kept = before == null ? Map.of() : paper.offsets(before);
    List<Shape> best = List.of();
    for (Manner manner : Manner.values()) {
      List<Text> texts = new ArrayList<>();
      List<Label> labels = new ArrayList<>();
      boolean readable = true;
      for (Item item : items) {
        Text text = Text.of(item, manner, paper);
        readable &= text.readable;
        texts.add(text);
        double[] hand = item.byHand() == null ? null : paper.place(item.byHand());
        labels.add(
            new Label(
                paper.anchors(item), text.width, text.height, hand, kept.get(item.mark().id())));
      }
      boolean last = manner == Manner.BRIEF;
      if (!last && area(labels) > CROWDED * paper.width * paper.height) {
        continue;
      }
      Arrangement a = new LabelLayout(paper.width, paper.height, labels, silent).arrange();
      if (a.broken() > 0 && labels.size() <= LabelLayout.SEARCHED) {
        Arrangement b =
            LabelLayout.withColumns(paper.width, paper.height, labels, silent).arrange();
        a = b.broken() < a.broken() ? b : a;
      }
      best = shapes(paper, items, texts, a);
      if (last || a.broken() == 0 && readable) {
        break;
      }
    }
    return best;
  }

  private static double area(List<Label> labels) {
    return labels.stream().mapToDouble(l -> l.width() * l.height()).sum();
  }

  private static List<Shape> shapes(
      Paper paper, List<Item> items, List<Text> texts, Arrangement arrangement) {
    List<Shape> leaders = new ArrayList<>();
    List<Shape> plates = new ArrayList<>();
    for (int i = 0; i < items.size(); i++) {
      Item item = items.get(i);
      Candidate c = arrangement.chosen().get(i);
      for (Segment s : c.leaders) {
        if (s.length() > 0) {
          leaders.add(
              new Leader(
                  item.mark().id(),
                  paper.point(s.x1(), s.y1()),
                  paper.point(s.x2(), s.y2()),
                  Sizes.LEADER_STROKE / paper.units,
                  Sizes.HALO / paper.units));
        }
      }
      plates.add(texts.get(i).plate(item, paper, c.box));
    }
    leaders.addAll(plates);
    return leaders;
  }

  /** The photo as a sheet in design units. */
  private static final class Paper {
    private final Delivered view;
    private final double width;
    private final double height;

    /** Design units in the diagonal. */
    private final double units;

    private Paper(Delivered view, double units) {
      this.view = view;
      this.units = units;
      double diagonal = Math.hypot(view.width(), view.height());
      width = view.width() / diagonal * units;
      height = view.height() / diagonal * units;
    }

    /** A polygon of the photo in the view, what is left out cut off; empty if all of it is. */
    List<Point> clipped(List<Point> onPhoto) {
      return Geometry.clipped(onPhoto.stream().map(view::toDelivered).toList());
    }

    double[] place(Point p) {
      return new double[] {p.x() * width, p.y() * height};
    }

    Point point(double x, double y) {
      return new Point(x / width, y / height);
    }

    Anchor outline(List<Point> corners) {
      double[] xs = corners.stream().mapToDouble(p -> p.x() * width).toArray();
      double[] ys = corners.stream().mapToDouble(p -> p.y() * height).toArray();
      return Anchor.outline(xs, ys);
    }

    List<Anchor> anchors(Item item) {
      if (!(item.mark() instanceof Callout)) {
        return List.of(outline(item.at()));
      }
      return item.at().stream().map(p -> Anchor.ring(p.x() * width, p.y() * height)).toList();
    }

    /** Where plates lay beside the first ring of their mark. */
    Map<Integer, double[]> offsets(Drawing drawing) {
      Map<Integer, Ring> firstRings = new HashMap<>();
      Map<Integer, double[]> out = new HashMap<>();
      for (Shape s : drawing.shapes()) {
        if (s instanceof Ring r) {
          firstRings.putIfAbsent(r.mark(), r);
        } else if (s instanceof Plate p && firstRings.containsKey(p.mark())) {
          double[] ring = place(firstRings.get(p.mark()).centre());
          double[] corner = place(p.topLeft());
          out.put(
              p.mark(),
              new double[] {
                corner[0] + p.width() * units / 2 - ring[0],
                corner[1] + p.height() * units / 2 - ring[1]
              });
        }
      }
      return out;
    }
  }

  /** The text of a plate, set. Lengths are design units. */
  private static final class Text {
    private final Manner manner;
    private final String[] lines;
    private final double[] widths;
    private final double[] sizes;
    private final boolean filled;
    private final boolean readable;
    private final double width;
    private final double height;

    private Text(Manner manner, boolean filled, boolean readable, String... lines) {
      this.manner = manner;
      this.filled = filled;
      this.readable = readable;
      this.lines = lines;
      double k = manner.scale;
      sizes = new double[] {Sizes.FIRST_TYPE * k, Sizes.SECOND_TYPE * k};
      widths = new double[lines.length];
      for (int i = 0; i < lines.length; i++) {
        widths[i] = Lettering.of(isBold(i)).width(lines[i], sizes[i]);
      }
      double widest = Arrays.stream(widths).max().orElse(0);
      height = (lines.length == 1 ? Sizes.ONE_LINE_HEIGHT : Sizes.TWO_LINE_HEIGHT) * k;
      width = Math.max(widest + 2 * Sizes.PAD * k, Sizes.ONE_LINE_HEIGHT * k);
    }

    static Text of(Item item, Manner manner, Paper paper) {
      double k = manner.scale;
      boolean filled = item.finding() != null;
      String tail = filled ? " F" + item.finding() : "";
      if (manner.brief) {
        return new Text(manner, filled, true, item.number() + tail);
      }
      double room =
          Math.max(0, Math.min(Sizes.WIDEST_TEXT, paper.width * 0.62 / k - 2 * Sizes.PAD));
      Lettering type = Lettering.of(filled);
      String head = item.term().isEmpty() ? "" + item.number() : item.number() + " " + item.term();
      double forHead = room * k - type.width(tail, Sizes.FIRST_TYPE * k);
      String shown = type.shorten(head, Sizes.FIRST_TYPE * k, forHead);
      // A term cut by the widest plate is still a term; one cut by a narrow photo says little.
      boolean readable = shown.equals(head) || room >= Sizes.WIDEST_TEXT;
      if (item.note() == null) {
        return new Text(manner, filled, readable, shown + tail);
      }
      String second = Lettering.of(false).shorten(item.note(), Sizes.SECOND_TYPE * k, room * k);
      return new Text(manner, filled, readable, shown + tail, second);
    }

    private boolean isBold(int line) {
      return filled && line == 0;
    }

    Plate plate(Item item, Paper paper, Box box) {
      double k = manner.scale;
      List<Plate.Line> set = new ArrayList<>();
      for (int i = 0; i < lines.length; i++) {
        double baseline =
            lines.length == 1
                ? Sizes.FIRST_BASELINE
                : i == 0 ? Sizes.FIRST_OF_TWO_BASELINE : Sizes.SECOND_BASELINE;
        // A lone number stands in the middle of its plate.
        double x = manner.brief ? (width - widths[i]) / 2 : Sizes.PAD * k;
        set.add(
            new Plate.Line(
                lines[i],
                x / paper.units,
                baseline * k / paper.units,
                sizes[i] / paper.units,
                widths[i] / paper.units,
                isBold(i)));
      }
      return new Plate(
          item.mark().id(),
          item.number(),
          paper.point(box.x(), box.y()),
          box.w() / paper.units,
          box.h() / paper.units,
          Sizes.CORNER * k / paper.units,
          Sizes.BORDER / paper.units,
          Sizes.HALO / paper.units,
          filled,
          manner.brief,
          set);
    }
  }
}

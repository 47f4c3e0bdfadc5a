package meterside.desk.model;

import java.util.ArrayList;
import java.util.List;
import meterside.job.Callout;
import meterside.job.Edit;
import meterside.job.Mark;
import meterside.job.Measure;
import meterside.job.Outline;
import meterside.job.PhotoId;
import meterside.job.Point;
import meterside.job.Redaction;
import meterside.job.Spot;

/** Changes of one mark: each gives the mark as it would be, for a preview or for an edit. */
public final class Marks {
  private Marks() {}

  /** The edit that puts a mark. */
  public static Edit put(Mark mark) {
    if (mark instanceof Callout c) {
      return new Edit.PutCallout(c);
    }
    if (mark instanceof Outline o) {
      return new Edit.PutOutline(o);
    }
    if (mark instanceof Measure m) {
      return new Edit.PutMeasure(m);
    }
    return mark instanceof Spot s ? new Edit.PutSpot(s) : new Edit.PutRedaction((Redaction) mark);
  }

  /** A new callout whose plate lays itself out. */
  public static Callout callout(int id, PhotoId photo, String part, Point ring) {
    return new Callout(id, photo, part, List.of(clamp(ring)), null, null, null);
  }

  /** The callout with one more ring. */
  public static Callout withRing(Callout c, Point ring) {
    List<Point> rings = new ArrayList<>(c.rings());
    rings.add(clamp(ring));
    return new Callout(c.id(), c.photo(), c.part(), rings, c.plate(), c.finding(), c.note());
  }

  /** The callout with a ring moved. */
  public static Callout ringAt(Callout c, int index, Point to) {
    List<Point> rings = new ArrayList<>(c.rings());
    rings.set(index, clamp(to));
    return new Callout(c.id(), c.photo(), c.part(), rings, c.plate(), c.finding(), c.note());
  }

  /** The callout with its plate placed by hand, or laying itself out again for null. */
  public static Callout plateAt(Callout c, Point centre) {
    Point at = centre == null ? null : clamp(centre);
    return new Callout(c.id(), c.photo(), c.part(), c.rings(), at, c.finding(), c.note());
  }

  /** The mark naming another part; a redaction names none. */
  public static Mark relabelled(Mark m, String part) {
    if (m instanceof Callout c) {
      return new Callout(c.id(), c.photo(), part, c.rings(), c.plate(), c.finding(), c.note());
    }
    return m instanceof Outline o
        ? new Outline(o.id(), o.photo(), part, o.corners(), o.finding(), o.note())
        : m;
  }

  /** The mark with another second line; blank takes it away. */
  public static Mark noted(Mark m, String text) {
    String note = text == null || text.isBlank() ? null : text.strip();
    if (m instanceof Callout c) {
      return new Callout(c.id(), c.photo(), c.part(), c.rings(), c.plate(), c.finding(), note);
    }
    if (m instanceof Measure e) {
      return e.noted(note);
    }
    return m instanceof Outline o
        ? new Outline(o.id(), o.photo(), o.part(), o.corners(), o.finding(), note)
        : m;
  }

  /** The same callout or outline on another photo, tied to the same finding; other marks stay. */
  public static Mark copied(Mark m, int id, PhotoId to) {
    if (m instanceof Callout c) {
      return new Callout(id, to, c.part(), c.rings(), c.plate(), c.finding(), c.note());
    }
    return m instanceof Outline o
        ? new Outline(id, to, o.part(), o.corners(), o.finding(), o.note())
        : m;
  }

  /**
   * The mark with one of its points ({@link Mark#points}) moved; a measurement keeps its result.
   */
  public static Mark pointAt(Mark m, int index, Point to) {
    int[] at = {0};
    return m.moved(p -> at[0]++ == index ? clamp(to) : p);
  }

  /**
   * The whole mark moved: rings of a callout, corners of an area. It stops at the photo's edge.
   *
   * @param dx fraction of the photo's width
   * @param dy fraction of its height
   */
  public static Mark nudged(Mark m, double dx, double dy) {
    List<Point> points = m.points();
    double left = points.stream().mapToDouble(Point::x).min().orElse(0);
    double right = points.stream().mapToDouble(Point::x).max().orElse(1);
    double top = points.stream().mapToDouble(Point::y).min().orElse(0);
    double bottom = points.stream().mapToDouble(Point::y).max().orElse(1);
    double mx = Math.max(-left, Math.min(1 - right, dx));
    double my = Math.max(-top, Math.min(1 - bottom, dy));
    return m.moved(p -> clamp(new Point(p.x() + mx, p.y() + my)));
  }

  private static Point clamp(Point p) {
    return new Point(Math.max(0, Math.min(1, p.x())), Math.max(0, Math.min(1, p.y())));
  }
}

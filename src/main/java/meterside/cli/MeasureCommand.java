package meterside.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import meterside.job.Edit;
import meterside.job.Measure;
import meterside.job.MeasureWay;
import meterside.job.Photo;
import meterside.job.Point;
import meterside.job.Reference;
import meterside.markup.ClearanceNote;
import meterside.markup.Doubt;
import meterside.markup.Lengths;
import meterside.markup.Measured;
import meterside.markup.Measuring;
import meterside.trade.CommonSizes;
import meterside.trade.Trade;
import meterside.work.JobSession;
import meterside.work.Names;
import meterside.work.NotDone;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** Measures a length in a photo by something of known size. */
@CommandLine.Command(
    name = "measure",
    description = "Measures a length in a photo by something of known size; an estimate.")
final class MeasureCommand extends Command {
  /** Error of a size the inspector gives without one: a tape read to half a percent. */
  private static final double OWN_ERROR = 0.005;

  @Parameters(index = "0", arity = "0..1", paramLabel = "JOB")
  String job;

  @Parameters(index = "1", arity = "0..1", paramLabel = "PHOTO")
  String photo;

  @Option(names = "--sizes", description = "Lists the things of known size, with their sources.")
  boolean sizes;

  @Option(names = "--by", paramLabel = "SIZE", description = "A thing of the list.")
  String by;

  @Option(names = "--count", paramLabel = "N", description = "How many courses of it.")
  int count = 1;

  @Option(
      names = "--by-length",
      paramLabel = "LENGTH",
      description = "A length you know: 36in, 7.5ft, 0.9m; metres without a unit.")
  String byLength;

  @Option(
      names = "--by-box",
      paramLabel = "W,H",
      description = "Width and height of a rectangle you know.")
  String byBox;

  @Option(names = "--error", paramLabel = "LENGTH", description = "How far your size may be off.")
  String error;

  @Option(names = "--name", paramLabel = "TEXT", description = "What the thing of your size is.")
  String name;

  @Option(
      names = "--known",
      paramLabel = "X,Y,X,Y[,X,Y,X,Y]",
      description = "Where it lies: two ends, or four corners in turn, the first two along W.")
  String known;

  @Option(names = "--from", paramLabel = "X,Y")
  String from;

  @Option(names = "--to", paramLabel = "X,Y")
  String to;

  @Option(names = "--square-on", description = "The view is square-on, to six degrees.")
  boolean squareOn;

  @Option(names = "--finding", paramLabel = "N")
  String finding;

  @Option(names = "--note", paramLabel = "TEXT")
  String note;

  @Option(
      names = "--clearance",
      paramLabel = "ID",
      description = "A published clearance to note beside it; private.")
  String clearance;

  @Option(names = "--print-clearance", description = "The note goes into reports too.")
  boolean printClearance;

  @Override
  Outcome run() throws Exception {
    if (sizes) {
      return list();
    }
    if (job == null || photo == null || known == null || from == null || to == null) {
      throw new NotDone(NotDone.WRONG_USE, "measure.incomplete");
    }
    return withJob(job, this::measure);
  }

  private static Outcome list() {
    Outcome o = new Outcome();
    ArrayNode groups = o.json.putArray("groups");
    for (CommonSizes.Group g : Trade.standard().sizes().groups()) {
      ObjectNode group = groups.addObject();
      group.put("group", g.id());
      group.put("ask", g.ask());
      ArrayNode all = group.putArray("sizes");
      o.line(g.title() + ". " + g.ask());
      for (CommonSizes.Size s : g.sizes()) {
        Reference r = s.reference(1);
        ObjectNode size = all.addObject();
        size.put("id", s.id());
        size.put("name", s.name());
        size.put("metres", r.length());
        size.put("plusMinus", r.lengthError());
        if (r.rectangle()) {
          size.put("heightMetres", r.height());
          size.put("heightPlusMinus", r.heightError());
        }
        size.put("counted", s.counted());
        size.put("source", s.source());
        String inches = n(s.inches()) + (s.rectangle() ? " x " + n(s.heightInches()) : "") + " in";
        o.line("  " + s.id() + "  " + s.name() + ", " + inches + " (" + s.source() + ")");
      }
    }
    return o;
  }

  private static String n(double v) {
    return String.format(Locale.ROOT, "%.3f", v).replaceFirst("\\.?0+$", "");
  }

  private Outcome measure(JobSession session) {
    Photo p = Names.photo(session.job(), photo);
    Trade trade = session.workspace().trade();
    Reference reference = reference(trade);
    List<Point> at = points(known, reference.rectangle() ? 8 : 4);
    Point a = points(from, 2).get(0);
    Point b = points(to, 2).get(0);
    if (clearance != null
        && ClearanceNote.choices(trade).stream().noneMatch(c -> c.id().equals(clearance))) {
      throw new NotDone(NotDone.WRONG_USE, "measure.clearance", clearance);
    }
    Measured result = Measuring.measured(p, reference, at, squareOn, a, b);
    Outcome o = new Outcome();
    o.json.put("photo", p.name());
    o.json.put("sha256", p.id().hex());
    ArrayNode doubts = o.json.putArray("doubts");
    if (result.refused() != null) {
      o.json.put("refused", result.refused().sentence());
      o.exit(NotDone.NOT_NOW);
      return o.notice(say("measure.refused", result.refused().sentence()));
    }
    Measure m =
        new Measure(
            session.nextMark(),
            p.id(),
            reference.rectangle() ? MeasureWay.ON_PLANE : MeasureWay.ALONG_LENGTH,
            reference,
            at,
            squareOn,
            a,
            b,
            result.metres(),
            result.plusMinus(),
            finding == null ? null : FindingCommands.number(finding),
            note,
            clearance,
            clearance != null && printClearance);
    session.act(new Edit.PutMeasure(m));
    o.json.put("mark", m.id());
    o.json.put("metres", m.metres());
    o.json.put("plusMinus", m.plusMinus());
    String text = Lengths.brief(m, Lengths.inMetres(session.job()));
    o.json.put("text", text);
    o.line(say("measure.done", m.id(), p.name(), text, reference.name()));
    for (Doubt d : result.doubts()) {
      doubts.add(d.sentence());
      o.line(d.sentence());
    }
    if (reference.id() != null) {
      trade.sizes().groupOf(reference.id()).ifPresent(g -> o.line(g.ask()));
    }
    o.line(Measuring.caution());
    ArrayNode beside = o.json.putArray("clearance");
    for (String line : ClearanceNote.lines(m, trade)) {
      beside.add(line);
      o.line(line);
    }
    return o;
  }

  private Reference reference(Trade trade) {
    int given = (by == null ? 0 : 1) + (byLength == null ? 0 : 1) + (byBox == null ? 0 : 1);
    if (given != 1) {
      throw new NotDone(NotDone.WRONG_USE, "measure.incomplete");
    }
    if (by != null) {
      CommonSizes.Size size =
          trade
              .sizes()
              .find(by)
              .orElseThrow(() -> new NotDone(NotDone.WRONG_USE, "measure.size", by));
      if (count < 1 || count > 500 || count > 1 && !size.counted()) {
        throw new NotDone(NotDone.WRONG_USE, "measure.count", count);
      }
      return size.reference(count);
    }
    String called = name == null || name.isBlank() ? say("measure.own") : name.strip();
    Double off = error == null ? null : length(error);
    if (byLength != null) {
      double l = length(byLength);
      return Reference.length(null, called, l, off == null ? l * OWN_ERROR : off);
    }
    String[] sides = byBox.split(",");
    if (sides.length != 2) {
      throw new NotDone(NotDone.WRONG_USE, "measure.length", byBox);
    }
    double w = length(sides[0]);
    double h = length(sides[1]);
    return new Reference(
        null, called, w, off == null ? w * OWN_ERROR : off, h, off == null ? h * OWN_ERROR : off);
  }

  private static double length(String text) {
    return Lengths.read(text)
        .orElseThrow(() -> new NotDone(NotDone.WRONG_USE, "measure.length", text));
  }

  private static List<Point> points(String text, int count) {
    double[] n = MarkCommands.numbers(text, count);
    List<Point> out = new ArrayList<>();
    for (int i = 0; i < n.length; i += 2) {
      out.add(new Point(n[i], n[i + 1]));
    }
    return out;
  }
}

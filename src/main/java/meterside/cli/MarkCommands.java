package meterside.cli;

import java.util.ArrayList;
import java.util.List;
import meterside.job.Callout;
import meterside.job.Edit;
import meterside.job.Mark;
import meterside.job.Outline;
import meterside.job.Photo;
import meterside.job.Point;
import meterside.job.Redaction;
import meterside.job.ReportView;
import meterside.job.Spot;
import meterside.markup.Delivered;
import meterside.work.JobSession;
import meterside.work.Names;
import meterside.work.NotDone;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** Commands that mark a photo. Positions are fractions of the upright photo, origin top left. */
final class MarkCommands {
  private MarkCommands() {}

  static double[] numbers(String text, int count) {
    String[] parts = text.split(",");
    double[] out = new double[parts.length];
    try {
      for (int i = 0; i < parts.length; i++) {
        out[i] = Double.parseDouble(parts[i].strip());
        if (!Double.isFinite(out[i])) {
          throw new NumberFormatException();
        }
      }
    } catch (NumberFormatException e) {
      throw new NotDone(NotDone.WRONG_USE, "numbers.malformed", text, count);
    }
    if (count > 0 && out.length != count) {
      throw new NotDone(NotDone.WRONG_USE, "numbers.malformed", text, count);
    }
    return out;
  }

  static Outcome draw(JobSession session, Photo photo, Edit edit, Mark mark) {
    session.act(edit);
    Outcome o = new Outcome();
    o.json.put("mark", mark.id());
    o.json.put("photo", photo.name());
    o.json.put("sha256", photo.id().hex());
    return o.line(Command.say("mark.done", mark.id(), photo.name()));
  }

  @CommandLine.Command(name = "callout", description = "Names a part on a photo.")
  static final class CalloutCommand extends Command {
    @Parameters(index = "0", paramLabel = "JOB")
    String job;

    @Parameters(index = "1", paramLabel = "PHOTO")
    String photo;

    @Option(names = "--part", required = true, paramLabel = "ID")
    String part;

    @Option(
        names = "--at",
        required = true,
        paramLabel = "X,Y",
        description = "Centre of the ring; give it again for more rings on one plate.")
    List<String> at;

    @Option(names = "--plate", paramLabel = "X,Y", description = "Centre of the plate, if by hand.")
    String plate;

    @Option(names = "--finding", paramLabel = "N", description = "The finding it shows.")
    String finding;

    @Option(names = "--note", paramLabel = "TEXT", description = "Second line of the plate.")
    String note;

    @Override
    Outcome run() throws Exception {
      return withJob(
          job,
          session -> {
            Photo p = Names.photo(session.job(), photo);
            Callout c =
                new Callout(
                    session.nextMark(),
                    p.id(),
                    Names.part(session.workspace().trade(), part).id(),
                    at.stream().map(CalloutCommand::point).toList(),
                    plate == null ? null : point(plate),
                    finding == null ? null : FindingCommands.number(finding),
                    note);
            return draw(session, p, new Edit.PutCallout(c), c);
          });
    }

    private static Point point(String text) {
      double[] xy = numbers(text, 2);
      return new Point(xy[0], xy[1]);
    }
  }

  @CommandLine.Command(name = "outline", description = "Draws an outline on a photo.")
  static final class OutlineCommand extends Command {
    @Parameters(index = "0", paramLabel = "JOB")
    String job;

    @Parameters(index = "1", paramLabel = "PHOTO")
    String photo;

    @CommandLine.ArgGroup(exclusive = true, multiplicity = "1")
    Shape shape;

    @Option(names = "--part", paramLabel = "ID")
    String part;

    @Option(names = "--finding", paramLabel = "N")
    String finding;

    @Option(names = "--note", paramLabel = "TEXT")
    String note;

    static final class Shape {
      @Option(names = "--box", paramLabel = "X,Y,W,H")
      String box;

      @Option(names = "--corners", paramLabel = "X,Y,X,Y,…", description = "Three corners or more.")
      String corners;
    }

    @Override
    Outcome run() throws Exception {
      return withJob(
          job,
          session -> {
            Photo p = Names.photo(session.job(), photo);
            Outline line =
                new Outline(
                    session.nextMark(),
                    p.id(),
                    part == null ? null : Names.part(session.workspace().trade(), part).id(),
                    corners(),
                    finding == null ? null : FindingCommands.number(finding),
                    note);
            return draw(session, p, new Edit.PutOutline(line), line);
          });
    }

    private List<Point> corners() {
      if (shape.box != null) {
        double[] b = numbers(shape.box, 4);
        return Outline.boxCorners(b[0], b[1], b[2], b[3]);
      }
      double[] n = numbers(shape.corners, 0);
      if (n.length < 6 || n.length % 2 != 0) {
        throw new NotDone(NotDone.WRONG_USE, "numbers.corners", shape.corners);
      }
      List<Point> out = new ArrayList<>();
      for (int i = 0; i < n.length; i += 2) {
        out.add(new Point(n[i], n[i + 1]));
      }
      return out;
    }
  }

  @CommandLine.Command(
      name = "redact",
      description = "Hides a box in everything delivered; the original stays as it is.")
  static final class Redact extends Command {
    @Parameters(index = "0", paramLabel = "JOB")
    String job;

    @Parameters(index = "1", paramLabel = "PHOTO")
    String photo;

    @Option(names = "--box", required = true, paramLabel = "X,Y,W,H")
    String box;

    @Override
    Outcome run() throws Exception {
      return withJob(
          job,
          session -> {
            Photo p = Names.photo(session.job(), photo);
            double[] b = numbers(box, 4);
            Redaction r = Redaction.box(session.nextMark(), p.id(), b[0], b[1], b[2], b[3]);
            return draw(session, p, new Edit.PutRedaction(r), r);
          });
    }
  }

  @CommandLine.Command(name = "spot", description = "Ties a close photo to its spot in a wide one.")
  static final class SpotCommand extends Command {
    @Parameters(index = "0", paramLabel = "JOB")
    String job;

    @Parameters(index = "1", paramLabel = "WIDE", description = "The wide photo.")
    String wide;

    @Parameters(index = "2", paramLabel = "CLOSE", description = "The close photo.")
    String close;

    @Option(
        names = "--box",
        required = true,
        paramLabel = "X,Y,W,H",
        description = "What the close photo shows, on the wide one.")
    String box;

    @Override
    Outcome run() throws Exception {
      return withJob(
          job,
          session -> {
            Photo p = Names.photo(session.job(), wide);
            double[] b = numbers(box, 4);
            Spot spot =
                new Spot(
                    session.nextMark(),
                    p.id(),
                    Outline.boxCorners(b[0], b[1], b[2], b[3]),
                    Names.photo(session.job(), close).id());
            return draw(session, p, new Edit.PutSpot(spot), spot);
          });
    }
  }

  @CommandLine.Command(
      name = "view",
      description =
          "Says how a photo is shown in reports. Marks keep their places; the original stays.")
  static final class ViewCommand extends Command {
    @Parameters(index = "0", paramLabel = "JOB")
    String job;

    @Parameters(index = "1", paramLabel = "PHOTO")
    String photo;

    @Option(names = "--turn", paramLabel = "N", description = "Quarter turns clockwise, 0 to 3.")
    Integer turn;

    @Option(names = "--straighten", paramLabel = "DEGREES", description = "Clockwise, -15 to 15.")
    Double straighten;

    @Option(
        names = "--crop",
        paramLabel = "X,Y,W,H",
        description = "Fractions of the turned and straightened picture.")
    String crop;

    @Option(names = "--brightness", paramLabel = "B", description = "-1 to 1; 0 as taken.")
    Double brightness;

    @Option(names = "--contrast", paramLabel = "C", description = "-1 to 1; 0 as taken.")
    Double contrast;

    @Option(names = "--as-taken", description = "As it was taken.")
    boolean asTaken;

    @Override
    Outcome run() throws Exception {
      return withJob(
          job,
          session -> {
            Photo p = Names.photo(session.job(), photo);
            ReportView was = session.job().reportView(p.id());
            double[] c =
                crop == null
                    ? new double[] {was.cropX(), was.cropY(), was.cropWidth(), was.cropHeight()}
                    : numbers(crop, 4);
            ReportView view =
                new ReportView(
                    turn == null ? was.turn() : turn,
                    straighten == null ? was.straighten() : straighten,
                    c[0],
                    c[1],
                    c[2],
                    c[3],
                    brightness == null ? was.brightness() : brightness,
                    contrast == null ? was.contrast() : contrast);
            session.act(new Edit.SetReportView(p.id(), asTaken ? null : view));
            Outcome o = new Outcome();
            o.json.put("photo", p.name());
            o.json.put("sha256", p.id().hex());
            String done = Delivered.of(session.job(), p).sentence().orElse(say("view.as-taken"));
            o.json.put("view", done);
            return o.line(p.name() + ": " + done);
          });
    }
  }
}

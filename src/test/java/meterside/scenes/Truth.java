package meterside.scenes;

import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.time.ZonedDateTime;
import java.time.format.DateTimeFormatter;
import java.util.List;
import meterside.scenes.ShotList.JobShots;
import meterside.scenes.ShotList.Shot;

/**
 * What is truly in a photo, from the lines POV-Ray tells while it renders: the camera's position
 * and axes, the named points that nothing hides, the known lengths.
 */
final class Truth {

  private static final ObjectMapper JSON = new ObjectMapper();

  private final double[] from;
  private final double[] forward;
  private final double[] right;
  private final double[] up;
  private final double width;
  private final double height;
  private final List<String> lines;

  private Truth(List<String> lines) {
    from = vector(lines, "from");
    forward = vector(lines, "forward");
    right = vector(lines, "right");
    up = vector(lines, "up");
    double[] extent = vector(lines, "extent");
    width = extent[0];
    height = extent[1];
    this.lines = lines;
  }

  static Truth of(List<String> lines) {
    return new Truth(lines);
  }

  /**
   * Projects a world point into the upright picture.
   *
   * @return x and y as fractions, which may lie outside 0..1, or null behind the camera
   */
  double[] project(double[] p) {
    double[] v = {p[0] - from[0], p[1] - from[1], p[2] - from[2]};
    double depth = dot(v, forward);
    if (depth <= 0.02) {
      return null;
    }
    return new double[] {0.5 + dot(v, right) / depth / width, 0.5 - dot(v, up) / depth / height};
  }

  /** The photo's entry in truth.json. */
  ObjectNode photo(JobShots job, Shot shot, String madeFrom, double ev100) {
    ObjectNode n = JSON.createObjectNode();
    n.put("file", shot.file());
    n.put("stop", shot.stop());
    n.put(
        "takenAt",
        ZonedDateTime.of(shot.at(), job.zone()).format(DateTimeFormatter.ISO_OFFSET_DATE_TIME));
    n.put("camera", shot.camera());
    n.put("width", shot.uprightWidth());
    n.put("height", shot.uprightHeight());
    n.put("orientation", shot.orientation());
    n.put("place", shot.place());
    n.set("position", array(from));
    n.set("forward", array(forward));
    n.set("right", array(right));
    n.set("up", array(up));
    n.put("horizontalFieldOfView", round(Math.toDegrees(2 * Math.atan(width / 2)), 1e4));
    n.put("verticalFieldOfView", round(Math.toDegrees(2 * Math.atan(height / 2)), 1e4));
    n.put("ev100", round(ev100, 100));
    if (shot.code() != null) {
      n.put("code", shot.code().text());
    }
    ArrayNode parts = n.putArray("parts");
    ArrayNode lengths = n.putArray("lengths");
    for (int i = 0; i < lines.size(); i++) {
      String[] w = lines.get(i).split("\\|", -1);
      if (w[0].equals("part")) {
        double[] p = numbers(lines.get(i + 1));
        double[] xy = project(p);
        ObjectNode part = parts.addObject();
        part.put("part", w[1]);
        part.put("which", w[2]);
        part.put("x", round(xy[0], 1e5));
        part.put("y", round(xy[1], 1e5));
        part.set("at", array(p));
      } else if (w[0].equals("length")) {
        double[] p = numbers(lines.get(i + 1));
        double[] q = numbers(lines.get(i + 2));
        ObjectNode length = lengths.addObject();
        length.put("id", w[1]);
        length.put(
            "metres", round(Math.hypot(Math.hypot(p[0] - q[0], p[1] - q[1]), p[2] - q[2]), 1e4));
        length.set("from", end(p));
        length.set("to", end(q));
      }
    }
    ArrayNode defects = n.putArray("defects");
    shot.defects().forEach(defects::add);
    ArrayNode purpose = n.putArray("onPurpose");
    shot.purpose().forEach(purpose::add);
    n.put("madeFrom", madeFrom);
    return n;
  }

  private ObjectNode end(double[] p) {
    ObjectNode n = JSON.createObjectNode();
    n.set("at", array(p));
    double[] xy = project(p);
    if (xy != null) {
      n.put("x", round(xy[0], 1e5));
      n.put("y", round(xy[1], 1e5));
    }
    return n;
  }

  private static ArrayNode array(double[] v) {
    ArrayNode a = JSON.createArrayNode();
    for (double d : v) {
      a.add(round(d, 1e5));
    }
    return a;
  }

  private static double round(double v, double steps) {
    return Math.round(v * steps) / steps;
  }

  private static double[] vector(List<String> lines, String name) {
    for (String line : lines) {
      if (line.startsWith(name + "|")) {
        return numbers(line);
      }
    }
    throw new IllegalArgumentException("the scene told nothing about " + name);
  }

  private static double[] numbers(String line) {
    String[] w = line.split("\\|", -1);
    double[] v = new double[w.length - 1];
    for (int i = 0; i < v.length; i++) {
      v[i] = Double.parseDouble(w[i + 1]);
    }
    return v;
  }

  private static double dot(double[] a, double[] b) {
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
  }
}

package meterside.scenes;

import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.image.BufferedImage;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Random;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import javax.imageio.IIOImage;
import javax.imageio.ImageIO;
import javax.imageio.ImageWriteParam;
import javax.imageio.ImageWriter;
import meterside.scenes.ShotList.JobShots;
import meterside.scenes.ShotList.Shot;

/**
 * Renders small pictures of the sample houses' scenes as other houses would show them: other
 * colours of walls, ceilings, boxes and boards, another sun or lamp, another place to stand, focal
 * length, hand and exposure; every other house is mirrored. What is broken stays broken. They are
 * the ground that <i>similar</i> is tested on: {@code src/test/resources/meterside/search/houses},
 * one folder a house, {@code DEFECT+DEFECT--PLACE--SHOT.jpg}, or {@code none--…} for a photo that
 * shows no defect.
 *
 * <pre>mvn -q -Pscenes test-compile exec:java -Dscenes.main=meterside.scenes.RenderHouses</pre>
 *
 * Needs POV-Ray; about seven seconds a picture. Pictures that are there are left as they are.
 */
public final class RenderHouses {
  private static final int SCALE = 6;
  private static final int LONG_SIDE = 256;
  private static final float QUALITY = 0.75f;
  private static final Pattern RGB =
      Pattern.compile("rgb(t?) <([0-9.]+), ([0-9.]+), ([0-9.]+)(, [0-9.]+)?>");

  /**
   * A house.
   *
   * @param tints factors of red, green and blue by the name of a surface
   * @param set further declarations
   * @param mirrored whether it is built the other way round
   * @param stray how far camera and light stray; 0 for the sample house as it is
   */
  private record House(
      String name,
      Map<String, double[]> tints,
      Map<String, String> set,
      boolean mirrored,
      double stray) {}

  private static final List<House> HOUSES =
      List.of(
          new House("sample", Map.of(), Map.of(), false, 0),
          new House(
              "blue",
              Map.of(
                  "M_Siding", rgb(0.62, 0.74, 0.92),
                  "M_Drywall", rgb(0.86, 0.98, 1.05),
                  "M_Grey_Enamel", rgb(1.15, 1.13, 1.05),
                  "M_Panel_Grey", rgb(0.8, 0.84, 0.86),
                  "M_Plywood", rgb(0.8, 0.78, 0.8),
                  "M_Wall_Blue", rgb(1.3, 1.2, 0.95)),
              Map.of(
                  "Sun_Dir", "vnormalize(<-0.5, 0.62, -0.45>)",
                  "Lamp_Strength", "0.95",
                  "Window_Strength", "0.45"),
              true,
              1),
          new House(
              "brick",
              Map.of(
                  "M_Siding", rgb(0.66, 0.40, 0.34),
                  "M_Soffit", rgb(0.55, 0.45, 0.38),
                  "M_Drywall", rgb(1.12, 1.02, 0.8),
                  "M_Panel_Grey", rgb(1.2, 1.2, 1.16),
                  "M_Block", rgb(1.15, 1.05, 0.95),
                  "M_Cabinet", rgb(1.5, 1.6, 1.8),
                  "M_Trim", rgb(0.5, 0.42, 0.36)),
              Map.of(
                  "Sun_Dir", "vnormalize(<0.1, 0.9, -0.35>)",
                  "Sun_Strength", "1.2",
                  "Sky_Strength", "1.5",
                  "Lamp_Strength", "0.55"),
              false,
              1),
          new House(
              "green",
              Map.of(
                  "M_Siding", rgb(0.72, 0.84, 0.62),
                  "M_Drywall", rgb(0.88, 1.05, 0.86),
                  "M_Ceiling", rgb(0.95, 0.9, 0.8),
                  "M_Grey_Enamel", rgb(0.72, 0.72, 0.7),
                  "M_Ivory_Plastic", rgb(1.15, 1.2, 1.45),
                  "M_Plywood", rgb(1.2, 1.15, 1.05),
                  "M_Lawn", rgb(1.4, 1.1, 0.7)),
              Map.of(
                  "Sun_Dir", "vnormalize(<0.65, 0.4, -0.4>)",
                  "Sun_Strength", "2.9",
                  "Lamp_Strength", "0.75",
                  "Window_Strength", "1.2"),
              true,
              1));

  private final Path base;
  private final Path work;

  private RenderHouses(Path base) {
    this.base = base;
    this.work = base.resolve("target/houses");
  }

  private static double[] rgb(double r, double g, double b) {
    return new double[] {r, g, b};
  }

  /** Starts in the project's folder. */
  public static void main(String[] args) throws IOException, InterruptedException {
    new RenderHouses(Path.of("").toAbsolutePath()).run();
  }

  private void run() throws IOException, InterruptedException {
    ShotList list = ShotList.read(base.resolve("src/scenes/shots.json"));
    for (House house : HOUSES) {
      Path kit = kit(house);
      for (JobShots job : list.jobs()) {
        for (Shot shot : job.shots()) {
          if (house.stray() == 0 || !shot.defects().isEmpty()) {
            one(house, kit, job, shot);
          }
        }
      }
    }
  }

  private void one(House house, Path kit, JobShots job, Shot shot)
      throws IOException, InterruptedException {
    String shows = shot.defects().isEmpty() ? "none" : String.join("+", shot.defects());
    Path out =
        base.resolve("src/test/resources/meterside/search/houses")
            .resolve(house.name())
            .resolve(shows + "--" + shot.place() + "--" + shot.name() + ".jpg");
    if (Files.exists(out)) {
      return;
    }
    Shot seen = seen(house, shot);
    Path folder = work.resolve(house.name()).resolve("light");
    Scene scene = new Scene(kit, seen);
    scene.render(folder, SCALE);
    BufferedImage image =
        Development.develop(
                scene.light(folder),
                seen.uprightWidth() / SCALE,
                seen,
                job.cameras().get(seen.camera()))
            .image();
    write(small(image, house.mirrored()), out);
    System.out.println(house.name() + " " + out.getFileName());
  }

  /** The kit with the house's colours. */
  private Path kit(House house) throws IOException {
    Path to = work.resolve(house.name()).resolve("kit");
    for (String part : List.of("kit", "places")) {
      Files.createDirectories(to.resolve(part));
      try (Stream<Path> files = Files.list(base.resolve("src/scenes").resolve(part))) {
        for (Path f : files.toList()) {
          String text = Files.readString(f);
          for (Map.Entry<String, double[]> t : house.tints().entrySet()) {
            text = tinted(text, t.getKey(), t.getValue());
          }
          Files.writeString(to.resolve(part).resolve(f.getFileName().toString()), text);
        }
      }
    }
    return to;
  }

  private static String tinted(String text, String surface, double[] tint) {
    int from = text.indexOf("#declare " + surface + " ");
    if (from < 0) {
      return text;
    }
    int to = text.indexOf("#declare ", from + 1);
    to = to < 0 ? text.length() : to;
    Matcher m = RGB.matcher(text.substring(from, to));
    StringBuilder block = new StringBuilder();
    while (m.find()) {
      StringBuilder colour = new StringBuilder("rgb" + m.group(1) + " <");
      for (int c = 0; c < 3; c++) {
        double v = Math.min(0.95, Double.parseDouble(m.group(2 + c)) * tint[c]);
        colour.append(c == 0 ? "" : ", ").append(String.format(Locale.ROOT, "%.4f", v));
      }
      colour.append(m.group(5) == null ? "" : m.group(5)).append('>');
      m.appendReplacement(block, Matcher.quoteReplacement(colour.toString()));
    }
    m.appendTail(block);
    return text.substring(0, from) + block + text.substring(to);
  }

  /** The shot as another inspector would take it in another house. */
  private static Shot seen(House house, Shot s) {
    Random r = new Random(s.seed() * 31 + house.name().hashCode());
    double stray = house.stray();
    double turn = Math.toRadians((r.nextDouble() * 2 - 1) * 12 * stray);
    double far = 1 + (r.nextDouble() * 2 - 1) * 0.15 * stray;
    double[] d = new double[3];
    for (int i = 0; i < 3; i++) {
      d[i] = (s.from()[i] - s.look()[i]) * far;
    }
    double[] from = {
      s.look()[0] + d[0] * Math.cos(turn) - d[2] * Math.sin(turn),
      s.look()[1] + d[1] + (r.nextDouble() * 2 - 1) * 0.06 * Math.abs(d[2]) * stray,
      s.look()[2] + d[0] * Math.sin(turn) + d[2] * Math.cos(turn)
    };
    double aside = 0.04 * Math.sqrt(d[0] * d[0] + d[1] * d[1] + d[2] * d[2]) * stray;
    double[] look = {
      s.look()[0] + (r.nextDouble() * 2 - 1) * aside,
      s.look()[1] + (r.nextDouble() * 2 - 1) * aside,
      s.look()[2]
    };
    Map<String, String> set = new LinkedHashMap<>(s.set());
    set.putAll(house.set());
    return new Shot(
        s.file(),
        s.camera(),
        s.at(),
        s.stop(),
        s.place(),
        from,
        look,
        s.mm() * (1 + (r.nextDouble() * 2 - 1) * 0.12 * stray),
        s.tilt() + (r.nextDouble() * 2 - 1) * 3 * stray,
        s.portrait(),
        s.orientation(),
        s.wallAzimuth(),
        s.houseAt(),
        s.evBase(),
        s.ev() + (r.nextDouble() * 2 - 1) * 0.5 * stray,
        s.blur(),
        s.defocus(),
        s.scale(),
        set,
        s.code(),
        s.defects(),
        s.purpose());
  }

  private static BufferedImage small(BufferedImage image, boolean mirrored) {
    int most = Math.max(image.getWidth(), image.getHeight());
    int w = image.getWidth() * LONG_SIDE / most;
    int h = image.getHeight() * LONG_SIDE / most;
    BufferedImage out = new BufferedImage(w, h, BufferedImage.TYPE_INT_RGB);
    Graphics2D g = out.createGraphics();
    g.setRenderingHint(
        RenderingHints.KEY_INTERPOLATION, RenderingHints.VALUE_INTERPOLATION_BICUBIC);
    g.drawImage(image, mirrored ? w : 0, 0, mirrored ? -w : w, h, null);
    g.dispose();
    return out;
  }

  private static void write(BufferedImage image, Path to) throws IOException {
    ImageWriter writer = ImageIO.getImageWritersByFormatName("jpeg").next();
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    try (var stream = ImageIO.createImageOutputStream(out)) {
      ImageWriteParam p = writer.getDefaultWriteParam();
      p.setCompressionMode(ImageWriteParam.MODE_EXPLICIT);
      p.setCompressionQuality(QUALITY);
      writer.setOutput(stream);
      writer.write(null, new IIOImage(image, new ArrayList<>(), null), p);
    } finally {
      writer.dispose();
    }
    Files.createDirectories(to.getParent());
    Files.write(to, out.toByteArray());
  }
}

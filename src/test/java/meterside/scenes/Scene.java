package meterside.scenes;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import javax.imageio.ImageIO;
import meterside.picture.Codes;
import meterside.scenes.ShotList.Shot;

/** One shot as a POV-Ray scene: its text, what it is made from, and its rendering. */
final class Scene {

  private static final Pattern INCLUDE = Pattern.compile("#include\\s+\"([^\"]+)\"");

  private final Path kit;
  private final Shot shot;

  /**
   * @param kit the folder {@code src/scenes}
   */
  Scene(Path kit, Shot shot) {
    this.kit = kit;
    this.shot = shot;
  }

  /** The scene's own text; everything else lies in the kit. */
  String text() {
    StringBuilder s = new StringBuilder("#version 3.7;\n");
    s.append("#declare Cam_From = ").append(vector(shot.from())).append(";\n");
    s.append("#declare Cam_Look = ").append(vector(shot.look())).append(";\n");
    s.append("#declare Cam_Mm = ").append(number(shot.mm())).append(";\n");
    s.append("#declare Cam_Tilt = ").append(number(shot.tilt())).append(";\n");
    s.append("#declare Cam_Portrait = ").append(shot.portrait() ? 1 : 0).append(";\n");
    for (Map.Entry<String, String> e : shot.set().entrySet()) {
      s.append("#declare ").append(e.getKey()).append(" = ").append(e.getValue()).append(";\n");
    }
    if (shot.code() != null) {
      // The renderer draws the code beside the scene; its text stands here as part of the sources.
      s.append("// ").append(shot.code().text()).append('\n');
      s.append("#declare Code_Image = \"").append(codeImage()).append("\";\n");
    }
    s.append("#include \"kit/shot.inc\"\n");
    s.append("#include \"places/").append(shot.place()).append(".inc\"\n");
    return s.toString();
  }

  /** SHA-256 over the scene's text and every kit file it includes. */
  String sources() throws IOException {
    TreeSet<String> files = new TreeSet<>();
    collect(text(), files);
    MessageDigest digest = sha256();
    digest.update(text().getBytes(StandardCharsets.UTF_8));
    for (String file : files) {
      digest.update(file.getBytes(StandardCharsets.UTF_8));
      digest.update(Files.readAllBytes(kit.resolve(file)));
    }
    return HexFormat.of().formatHex(digest.digest());
  }

  /**
   * SHA-256 over the sources and how the picture is developed. A photo with another value in
   * truth.json is older than its scene.
   */
  String madeFrom() throws IOException {
    MessageDigest digest = sha256();
    digest.update(sources().getBytes(StandardCharsets.UTF_8));
    digest.update(Development.recipe(shot).getBytes(StandardCharsets.UTF_8));
    return HexFormat.of().formatHex(digest.digest());
  }

  /** Whether the light that lies in the work folder is what rendering would make today. */
  boolean lightIsOfToday(Path work) throws IOException {
    Path note = work.resolve(shot.name() + ".sources");
    return Files.exists(light(work))
        && Files.exists(note)
        && Files.readString(note).equals(sources())
        && lightWidth(work) == shot.uprightWidth() / shot.scale();
  }

  private int lightWidth(Path work) throws IOException {
    try (InputStream in = Files.newInputStream(light(work))) {
      String head = new String(in.readNBytes(512), StandardCharsets.ISO_8859_1);
      Matcher m = Pattern.compile("\\+X (\\d+)").matcher(head);
      return m.find() ? Integer.parseInt(m.group(1)) : 0;
    }
  }

  private static MessageDigest sha256() {
    try {
      return MessageDigest.getInstance("SHA-256");
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException(e);
    }
  }

  private void collect(String text, TreeSet<String> files) throws IOException {
    Matcher m = INCLUDE.matcher(text);
    while (m.find()) {
      String file = m.group(1);
      if (Files.exists(kit.resolve(file)) && files.add(file)) {
        collect(Files.readString(kit.resolve(file)), files);
      }
    }
  }

  /**
   * Renders linear light and tells what the camera sees.
   *
   * @param work folder for the scene text, the rendering and the log
   * @param scale 1 for the full size, 4 for a quarter of it in each direction
   * @return POV-Ray's truth lines, without their mark
   */
  List<String> render(Path work, int scale) throws IOException, InterruptedException {
    Files.createDirectories(work);
    Path note = work.resolve(shot.name() + ".sources");
    Files.deleteIfExists(note);
    String sources = sources();
    int width = shot.uprightWidth() / scale;
    int height = shot.uprightHeight() / scale;
    List<String> truth = run(work, width, height, "0.25", light(work));
    Files.writeString(note, sources);
    return truth;
  }

  /** Only asks the scene what the camera sees; the picture is a few pixels. */
  List<String> ask(Path work) throws IOException, InterruptedException {
    return run(work, 4, 4, "0.9", work.resolve(shot.name() + "-ask.hdr"));
  }

  /** Where {@link #render} leaves the linear light, as Radiance RGBE. */
  Path light(Path work) {
    return work.resolve(shot.name() + ".hdr");
  }

  private List<String> run(Path work, int width, int height, String antialias, Path out)
      throws IOException, InterruptedException {
    Files.createDirectories(work);
    Path scene = work.resolve(shot.name() + ".pov");
    Files.writeString(scene, text());
    if (shot.code() != null) {
      ImageIO.write(Codes.draw(shot.code(), 8), "png", work.resolve(codeImage()).toFile());
    }
    Path log = log(work);
    Process p =
        new ProcessBuilder(
                "povray",
                "+I" + scene.toAbsolutePath(),
                "+L" + kit.toAbsolutePath(),
                "+L" + work.toAbsolutePath(),
                "+O" + out.toAbsolutePath(),
                "+FH",
                "+W" + width,
                "+H" + height,
                "+A" + antialias,
                "+AM1",
                "-J",
                "+R2",
                "+HR",
                "-D",
                "-V")
            .directory(kit.toFile())
            .redirectErrorStream(true)
            .redirectOutput(log.toFile())
            .start();
    int code = p.waitFor();
    List<String> truth = told(log);
    if (code != 0 || truth.isEmpty()) {
      throw new IOException("POV-Ray did not render " + shot.file() + "; see " + log);
    }
    return truth;
  }

  private String codeImage() {
    return shot.name() + "-code.png";
  }

  /** What the scene told when it was last rendered into this folder; empty if it never was. */
  List<String> told(Path log) throws IOException {
    List<String> truth = new ArrayList<>();
    if (Files.exists(log)) {
      for (String line : Files.readAllLines(log, StandardCharsets.ISO_8859_1)) {
        if (line.startsWith("TRUTH|")) {
          truth.add(line.substring(6).strip());
        }
      }
    }
    return truth;
  }

  /** The log of the last rendering. */
  Path log(Path work) {
    return work.resolve(shot.name() + ".log");
  }

  private static String vector(double[] v) {
    return "<" + number(v[0]) + ", " + number(v[1]) + ", " + number(v[2]) + ">";
  }

  private static String number(double v) {
    return String.format(Locale.ROOT, "%.5f", v);
  }
}

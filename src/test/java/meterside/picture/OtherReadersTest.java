package meterside.picture;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.TreeMap;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.apache.commons.imaging.Imaging;
import org.apache.commons.imaging.common.ImageMetadata;
import org.apache.commons.imaging.formats.jpeg.JpegImageMetadata;
import org.apache.commons.imaging.formats.tiff.TiffField;
import org.apache.commons.imaging.formats.tiff.constants.ExifTagConstants;
import org.apache.commons.imaging.formats.tiff.taginfos.TagInfo;
import org.junit.jupiter.api.Test;

/**
 * What is read from real camera files, against three readers that share no code with ours: exiftool
 * 12.57 (recorded answers in {@code expected-exiftool}), Commons Imaging, and whoever named the
 * files of the goexif samples after the time in them.
 */
class OtherReadersTest {
  private static final Pattern NAMED =
      Pattern.compile("(\\d{4})-(\\d\\d)-(\\d\\d)-(\\d\\d)-(\\d\\d)-(\\d\\d)-sep-.*");

  /**
   * Where we differ from exiftool on purpose. Key: file name, then what; value: why.
   *
   * <p>Not listed since told by a rule: exiftool reads nothing at all from a JPEG that is cut
   * inside its header ("JPEG format error"), where we read what is there.
   */
  private static final Map<String, String> ON_PURPOSE =
      Map.of(
          "geodegrees_as_string.jpg latitude",
          "text instead of three rationals; exiftool reads 52,00000,50 as 52 0 50",
          "geodegrees_as_string.jpg longitude",
          "as latitude",
          "geodegrees_as_string.jpg gpsTime",
          "as latitude; the text is kept as it is",
          "geodegrees_as_string.jpg seconds",
          "0 is no exposure time",
          "geodegrees_as_string.jpg make",
          "an empty text is no make",
          "withExifAndIptc.jpg iso",
          "0 is no sensitivity",
          "withIptcExifGps.jpg iso",
          "0 is no sensitivity");

  @Test
  void agreesWithExiftoolOnAllFiles() throws IOException {
    int files = 0;
    int values = 0;
    List<String> differences = new ArrayList<>();
    TreeMap<String, Integer> onPurpose = new TreeMap<>();
    for (JsonNode e : SharedData.expected()) {
      Path file = find(e.get("SourceFile").asText());
      String warning = e.path("ExifTool:Warning").asText();
      if (file == null || warning.equals("JPEG format error")) {
        continue;
      }
      String name = file.getFileName().toString();
      Reading reading = PictureReader.read(Files.readAllBytes(file), name);
      if (!(reading instanceof Picture p)) {
        assertTrue(e.path("File:ImageWidth").isMissingNode(), name + " has no picture inside");
        continue;
      }
      files++;
      Map<String, Object[]> pairs = new TreeMap<>();
      pairs.put("original", pair(text(e, "ExifIFD:DateTimeOriginal"), p.recorded().original()));
      pairs.put("digitized", pair(text(e, "ExifIFD:CreateDate"), p.recorded().digitized()));
      pairs.put("subSecond", pair(text(e, "ExifIFD:SubSecTimeOriginal"), p.recorded().subSecond()));
      pairs.put("offset", pair(text(e, "ExifIFD:OffsetTimeOriginal"), p.recorded().offset()));
      pairs.put("gpsDate", pair(text(e, "GPS:GPSDateStamp"), p.recorded().gpsDate()));
      pairs.put("gpsTime", pair(text(e, "GPS:GPSTimeStamp"), p.recorded().gpsTime()));
      pairs.put(
          "orientation", pair(e.path("IFD0:Orientation").asDouble(1), p.orientationTag() + 0.0));
      pairs.put("make", pair(text(e, "IFD0:Make"), p.make()));
      pairs.put("model", pair(text(e, "IFD0:Model"), p.model()));
      boolean exposed = p.exposure() != null;
      pairs.put(
          "fNumber", pair(number(e, "ExifIFD:FNumber"), exposed ? p.exposure().fNumber() : null));
      pairs.put(
          "seconds",
          pair(number(e, "ExifIFD:ExposureTime"), exposed ? p.exposure().seconds() : null));
      pairs.put("iso", pair(number(e, "ExifIFD:ISO"), exposed ? p.exposure().iso() : null));
      pairs.put(
          "ev100",
          pair(
              number(e, "Composite:LightValue"),
              exposed && p.exposure().ev100().isPresent()
                  ? p.exposure().ev100().getAsDouble()
                  : null));
      boolean placed = p.position() != null;
      pairs.put(
          "latitude",
          pair(coordinate(e, "GPS:GPSLatitude", "S"), placed ? p.position().latitude() : null));
      pairs.put(
          "longitude",
          pair(coordinate(e, "GPS:GPSLongitude", "W"), placed ? p.position().longitude() : null));
      pairs.put(
          "heading",
          pair(number(e, "GPS:GPSImgDirection"), placed ? p.position().heading() : null));
      pairs.put(
          "error",
          pair(number(e, "GPS:GPSHPositioningError"), placed ? p.position().errorMetres() : null));
      boolean turned =
          p.format() == meterside.job.Format.HEIC
              && e.path("File:ImageWidth").asInt() == p.height();
      pairs.put(
          "width",
          pair(number(e, turned ? "File:ImageHeight" : "File:ImageWidth"), size(p.width())));
      for (Map.Entry<String, Object[]> entry : pairs.entrySet()) {
        Object theirs = entry.getValue()[0];
        Object ours = entry.getValue()[1];
        values += theirs != null ? 1 : 0;
        if (theirs == null && entry.getKey().matches("fNumber|seconds")) {
          continue; // ours may come from the APEX tags; ev100, which exiftool takes from them too,
          // tells
        }
        if (!same(theirs, ours)) {
          String key = name + " " + entry.getKey();
          if (ON_PURPOSE.containsKey(key)) {
            onPurpose.merge(key, 1, Integer::sum);
          } else {
            differences.add(file + " " + entry.getKey() + ": " + theirs + " / " + ours);
          }
        }
      }
    }
    System.out.println(
        "exiftool: " + files + " files, " + values + " values, on purpose different " + onPurpose);
    assertEquals(List.of(), differences);
    assertEquals(ON_PURPOSE.keySet(), onPurpose.keySet(), "a difference that is listed is gone");
    assertTrue(files >= 100 && values >= 650, files + " files, " + values + " values");
  }

  @Test
  void readsTheTimesThatCutFilesAreNamedAfter() throws IOException {
    int read = 0;
    for (Path file : SharedData.files()) {
      Matcher m = NAMED.matcher(file.getFileName().toString());
      if (!file.toString().contains("goexif") || !m.matches() || file.toString().endsWith("json")) {
        continue;
      }
      Reading reading = PictureReader.read(Files.readAllBytes(file), file.toString());
      if (reading instanceof Picture p && p.recorded().original() != null) {
        String named = m.replaceFirst("$1:$2:$3 $4:$5:$6");
        assertEquals(named, p.recorded().original(), file.toString());
        assertTrue(p.damaged(), "cut after its header: " + file);
        read++;
      }
    }
    System.out.println("named after their time: " + read);
    assertTrue(read >= 80, "only " + read);
  }

  @Test
  void agreesWithCommonsImaging() throws IOException {
    int compared = 0;
    List<String> differences = new ArrayList<>();
    for (Path file : SharedData.files()) {
      String path = file.toString();
      if (!path.endsWith(".jpg") || path.contains("corrupt")) {
        continue;
      }
      byte[] bytes = Files.readAllBytes(file);
      JpegImageMetadata theirs;
      try {
        ImageMetadata any = Imaging.getMetadata(bytes);
        if (!(any instanceof JpegImageMetadata jpeg) || jpeg.getExif() == null) {
          continue;
        }
        theirs = jpeg;
      } catch (IOException | RuntimeException e) {
        continue; // it refuses this file
      }
      if (PictureReader.read(bytes, path) instanceof Picture p) {
        compared++;
        compare(
            path,
            theirs,
            ExifTagConstants.EXIF_TAG_DATE_TIME_ORIGINAL,
            p.recorded().original(),
            differences);
        compare(
            path,
            theirs,
            ExifTagConstants.EXIF_TAG_DATE_TIME_DIGITIZED,
            p.recorded().digitized(),
            differences);
        compare(
            path,
            theirs,
            ExifTagConstants.EXIF_TAG_SUB_SEC_TIME_ORIGINAL,
            p.recorded().subSecond(),
            differences);
      }
    }
    System.out.println("Commons Imaging: " + compared + " files");
    assertEquals(List.of(), differences);
    assertTrue(compared >= 60, "only " + compared);
  }

  private static void compare(
      String path, JpegImageMetadata theirs, TagInfo tag, String ours, List<String> differences)
      throws IOException {
    TiffField field = theirs.findExifValueWithExactMatch(tag);
    String text = null;
    if (field != null && field.getValue() instanceof String s) {
      text = s;
    } else if (field != null && field.getValue() instanceof String[] several) {
      text = several[0]; // more after a NUL
    }
    if (!Objects.equals(text, ours) && !(text == null && ours.isEmpty())) {
      differences.add(path + " " + tag.name + ": " + text + " / " + ours);
    }
  }

  private static Path find(String source) {
    // The recorded answers cover more files than are at hand, and one set was moved.
    String moved =
        source
            .replaceFirst("^pdq/pdq/data/reg-test-input/", "pdq/")
            .replaceFirst("^pdq/pdq/data/", "pdq/");
    Path file = SharedData.dir().resolve(moved);
    return Files.exists(file) ? file : null;
  }

  private static Object[] pair(Object theirs, Object ours) {
    return new Object[] {theirs, ours};
  }

  private static boolean same(Object theirs, Object ours) {
    if (theirs instanceof Double a && ours instanceof Double b) {
      return Math.abs(a - b) <= 1e-6 * Math.max(1, Math.abs(a));
    }
    return Objects.equals(theirs, ours);
  }

  private static String text(JsonNode e, String key) {
    return e.has(key) ? e.get(key).asText() : null;
  }

  private static Double number(JsonNode e, String key) {
    return e.has(key) && e.get(key).isNumber() ? Double.valueOf(e.get(key).asDouble()) : null;
  }

  private static Double size(int pixels) {
    return pixels == 0 ? null : Double.valueOf(pixels);
  }

  private static Double coordinate(JsonNode e, String key, String negative) {
    Double v = number(e, key);
    return v != null && negative.equals(e.path(key + "Ref").asText()) ? Double.valueOf(-v) : v;
  }
}

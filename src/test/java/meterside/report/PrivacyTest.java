package meterside.report;

import static java.nio.charset.StandardCharsets.ISO_8859_1;
import static java.nio.charset.StandardCharsets.UTF_16BE;
import static java.nio.charset.StandardCharsets.UTF_8;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.drew.imaging.ImageMetadataReader;
import com.drew.metadata.Directory;
import java.awt.Color;
import java.awt.Graphics2D;
import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Base64;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import javax.imageio.ImageIO;
import meterside.job.Photo;
import meterside.job.ReportView;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.cos.COSName;
import org.apache.pdfbox.cos.COSObject;
import org.apache.pdfbox.cos.COSObjectKey;
import org.apache.pdfbox.cos.COSStream;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.pdmodel.PDPage;
import org.apache.pdfbox.pdmodel.graphics.image.PDImageXObject;
import org.junit.jupiter.api.Test;

/** What must not leave the house: metadata of the originals, and what a redaction covers. */
class PrivacyTest {

  /** Every file as it lies there, every JPEG in the HTML, and every stream of the PDF unpacked. */
  private static Map<String, byte[]> everything(Issued issued) throws IOException {
    Map<String, byte[]> out = new TreeMap<>(issued.all());
    int n = 0;
    for (byte[] jpeg : jpegsInHtml(issued)) {
      out.put("report.html picture " + n++, jpeg);
    }
    try (PDDocument pdf = Loader.loadPDF(issued.bytes("report.pdf"))) {
      for (COSObjectKey key : pdf.getDocument().getXrefTable().keySet()) {
        COSObject object = pdf.getDocument().getObjectFromPool(key);
        if (object.getObject() instanceof COSStream stream) {
          boolean picture = COSName.DCT_DECODE.equals(stream.getFilters());
          try (var in = picture ? stream.createRawInputStream() : stream.createInputStream()) {
            out.put("report.pdf stream " + key, in.readAllBytes());
          }
        }
      }
    }
    return out;
  }

  private static List<byte[]> jpegsInHtml(Issued issued) {
    List<byte[]> out = new ArrayList<>();
    Matcher m =
        Pattern.compile("data:image/jpeg;base64,([A-Za-z0-9+/=]+)")
            .matcher(issued.text("report.html"));
    while (m.find()) {
      out.add(Base64.getDecoder().decode(m.group(1)));
    }
    return out;
  }

  private static List<String> found(Map<String, byte[]> all, List<String> secrets) {
    List<String> out = new ArrayList<>();
    all.forEach(
        (name, bytes) -> {
          String text = new String(bytes, ISO_8859_1);
          for (String secret : secrets) {
            if (text.contains(new String(secret.getBytes(UTF_8), ISO_8859_1))
                || text.contains(new String(secret.getBytes(UTF_16BE), ISO_8859_1))) {
              out.add(secret + " in " + name);
            }
          }
        });
    return out;
  }

  @Test
  void nothingOfThePhotosMetadataIsInAnyFile() throws IOException {
    List<String> secrets = new ArrayList<>(List.of(DrawnPhotos.PRIVATE));
    secrets.addAll(List.of("Exif", "39.4172", "77.4129", "77.4130", "100ABC"));
    Photo photo = Issued.full().house().job().photos().values().iterator().next();
    Map<String, byte[]> original =
        Map.of("original", Issued.full().house().folder.originals().bytes(photo));
    assertTrue(found(original, List.of(DrawnPhotos.PRIVATE)).size() >= 4, "the search finds them");
    assertEquals(List.of(), found(everything(Issued.full()), secrets));
  }

  @Test
  void aSecondReaderFindsOnlyOurOwnWordsInMarkedPhotos() throws Exception {
    int seen = 0;
    for (Map.Entry<String, byte[]> file : Issued.full().all().entrySet()) {
      if (file.getKey().startsWith("marked/")) {
        seen++;
        for (Directory d :
            ImageMetadataReader.readMetadata(new ByteArrayInputStream(file.getValue()))
                .getDirectories()) {
          assertTrue(
              List.of("JPEG", "JFIF", "Huffman", "File Type", "XMP").contains(d.getName()),
              file.getKey() + " has " + d.getName());
        }
      }
    }
    assertEquals(11, seen);
  }

  @Test
  void theLocationIsDeliveredOnlyWhereItWasAskedForAndItIsSaid() throws IOException {
    String kept = Issued.hostile().text("report.html");
    assertTrue(kept.contains("39.41725 N, 77.41299 W"));
    assertTrue(kept.contains(Html.escape(Words.say("evidence.location-kept"))));
    assertTrue(Issued.hostile().text("tables/photos.csv").contains("77.41299 W"));
    assertEquals(
        List.of(),
        found(
            everything(Issued.hostile()),
            List.of("Exif", DrawnPhotos.PRIVATE[0], DrawnPhotos.PRIVATE[4])));
    assertFalse(Issued.full().text("report.html").contains("Position"));
    assertTrue(
        Issued.full().files().leftOut().contains("The positions of 11 photos were left out."));
    assertTrue(
        Issued.full().files().leftOut().contains("The serial numbers of 2 cameras were left out."));
  }

  @Test
  void aRedactedPixelIsInNoPicture() throws IOException {
    // Without a redaction the search finds the secret; with one it does not, nor in a photo that is
    // straightened, cropped and brightened for the report.
    for (int round = 0; round < 3; round++) {
      boolean redacted = round > 0;
      TestHouse house = new TestHouse(Issued.fresh("secret-archive-" + round), "3 Ember Court");
      house.camera("A", "Halden", "H2");
      BufferedImage image = DrawnPhotos.house(1600, 1200, 11);
      Graphics2D g = image.createGraphics();
      g.setColor(Color.MAGENTA);
      g.fillRect(400, 300, 200, 150);
      g.dispose();
      // Stored lying on its side: the redaction must follow the upright picture.
      Photo photo = house.photo("IMG_1.JPG", "A", "meter-and-base", turnedLeft(image), 6);
      house.finding(
          1,
          "meter-and-base",
          null,
          "meter",
          meterside.job.FindingKind.NOTE,
          "Seen.",
          null,
          null,
          null,
          photo);
      house.callout(photo, "meter", 0.3, 0.45, 1, null);
      if (redacted) {
        house.redact(photo, 400 / 1600.0, 300 / 1200.0, 200 / 1600.0, 150 / 1200.0);
      }
      if (round == 2) {
        house.view(
            photo,
            ReportView.AS_TAKEN.straightened(4).cropped(0.05, 0.05, 0.9, 0.9).toned(0.2, 0.2));
      }
      Issued issued = Issued.write("secret-" + round, house, false, false);
      List<BufferedImage> pictures = new ArrayList<>();
      for (byte[] jpeg : jpegsInHtml(issued)) {
        pictures.add(ImageIO.read(new ByteArrayInputStream(jpeg)));
      }
      assertEquals(2, pictures.size(), "the figure and the close view of the finding");
      pictures.add(
          ImageIO.read(
              new ByteArrayInputStream(issued.bytes("marked/01-meter-and-base-IMG_1.jpg"))));
      try (PDDocument pdf = Loader.loadPDF(issued.bytes("report.pdf"))) {
        for (PDPage page : pdf.getPages()) {
          for (COSName name : page.getResources().getXObjectNames()) {
            if (page.getResources().getXObject(name) instanceof PDImageXObject x) {
              pictures.add(x.getImage());
            }
          }
        }
      }
      assertEquals(5, pictures.size());
      for (BufferedImage picture : pictures) {
        assertEquals(redacted ? 0 : 1, Math.min(1, secretPixels(picture)), "redacted: " + redacted);
        assertTrue(picture.getWidth() > picture.getHeight(), "it stands upright");
      }
    }
  }

  /** Pixels nearer to magenta than anything else on the drawn house, JPEG noise included. */
  private static int secretPixels(BufferedImage image) {
    int n = 0;
    for (int y = 0; y < image.getHeight(); y++) {
      for (int x = 0; x < image.getWidth(); x++) {
        Color c = new Color(image.getRGB(x, y));
        n += c.getRed() - c.getGreen() > 40 && c.getBlue() - c.getGreen() > 40 ? 1 : 0;
      }
    }
    return n;
  }

  /** The stored pixels of a camera held so that orientation 6 makes them upright. */
  private static BufferedImage turnedLeft(BufferedImage upright) {
    int w = upright.getWidth();
    int h = upright.getHeight();
    BufferedImage out = new BufferedImage(h, w, BufferedImage.TYPE_INT_RGB);
    for (int y = 0; y < h; y++) {
      for (int x = 0; x < w; x++) {
        out.setRGB(y, w - 1 - x, upright.getRGB(x, y));
      }
    }
    return out;
  }
}

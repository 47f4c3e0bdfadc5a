package meterside.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.adobe.internal.xmp.XMPMeta;
import com.drew.imaging.ImageMetadataReader;
import com.drew.metadata.xmp.XmpDirectory;
import java.io.ByteArrayInputStream;
import java.util.List;
import org.junit.jupiter.api.Test;

/**
 * The XMP packets of the marked photos, read back by another library than the one that wrote them.
 * Names and structure: IPTC Photo Metadata Standard 2025.1, ImageRegion.
 */
class RegionsTest {
  private static final String EXT = "http://iptc.org/std/Iptc4xmpExt/2008-02-29/";
  private static final String DC = "http://purl.org/dc/elements/1.1/";

  private static XMPMeta read(Issued issued, String file) throws Exception {
    return ImageMetadataReader.readMetadata(new ByteArrayInputStream(issued.bytes(file)))
        .getFirstDirectoryOfType(XmpDirectory.class)
        .getXMPMeta();
  }

  private static String region(XMPMeta xmp, int n, String path) throws Exception {
    return xmp.getPropertyString(EXT, "Iptc4xmpExt:ImageRegion[" + n + "]/" + path);
  }

  @Test
  void aSecondReaderReadsTheRegionsBackWhole() throws Exception {
    XMPMeta xmp = read(Issued.full(), "marked/02-splice-and-drip-loop-IMG_0412.jpg");
    assertEquals(3, xmp.countArrayItems(EXT, "Iptc4xmpExt:ImageRegion"));
    assertEquals("circle", region(xmp, 1, "Iptc4xmpExt:RegionBoundary/Iptc4xmpExt:rbShape"));
    assertEquals("relative", region(xmp, 1, "Iptc4xmpExt:RegionBoundary/Iptc4xmpExt:rbUnit"));
    assertEquals("0.32", region(xmp, 1, "Iptc4xmpExt:RegionBoundary/Iptc4xmpExt:rbX"));
    assertEquals("0.4", region(xmp, 1, "Iptc4xmpExt:RegionBoundary/Iptc4xmpExt:rbY"));
    // A ring of 7.5/900 of the diagonal, half again as large in what is delivered; 4:3, so the
    // diagonal is 1.25 widths.
    assertEquals(
        1.5 * 7.5 / 900 * 1.25,
        Double.parseDouble(region(xmp, 1, "Iptc4xmpExt:RegionBoundary/Iptc4xmpExt:rbRx")),
        1e-6);
    assertEquals("1 Drip loop", region(xmp, 1, "Iptc4xmpExt:Name[1]"));
    assertEquals("F1: Covering cracked", region(xmp, 1, "dc:description[1]"));
    assertEquals(
        "http://cv.iptc.org/newscodes/imageregionrole/areaOfInterest",
        region(xmp, 1, "Iptc4xmpExt:rRole[1]/xmp:Identifier[1]"));
    assertEquals("2 Service head", region(xmp, 2, "Iptc4xmpExt:Name[1]"));

    XMPMeta panel = read(Issued.full(), "marked/07-panelboard-IMG_0430.jpg");
    assertEquals("polygon", region(panel, 1, "Iptc4xmpExt:RegionBoundary/Iptc4xmpExt:rbShape"));
    assertEquals(
        4,
        panel.countArrayItems(
            EXT, "Iptc4xmpExt:ImageRegion[1]/Iptc4xmpExt:RegionBoundary/Iptc4xmpExt:rbVertices"));
  }

  @Test
  void captionKeywordsAndCorrectedTimeAreThere() throws Exception {
    XMPMeta xmp = read(Issued.full(), "marked/04-service-head-and-mast-P5120031.jpg");
    assertEquals(
        "Figure 4, Service head or gooseneck, and mast",
        xmp.getLocalizedText(DC, "title", null, "x-default").getValue());
    assertTrue(
        xmp.getLocalizedText(DC, "description", null, "x-default").getValue().contains("F5"));
    assertEquals("Service mast", xmp.getArrayItem(DC, "subject", 2).getValue());
    // The camera wrote 10:04:28 and its clock was 58 s fast.
    assertEquals(
        "2026-05-12T10:03:30-04:00",
        xmp.getPropertyString("http://ns.adobe.com/photoshop/1.0/", "photoshop:DateCreated"));
  }

  @Test
  void hostileTextComesBackAsItWasPutIn() throws Exception {
    List<String> marked =
        Issued.hostile().files().sha256ByName().keySet().stream()
            .filter(n -> n.startsWith("marked/"))
            .toList();
    XMPMeta xmp = read(Issued.hostile(), marked.get(0));
    assertEquals("F1: " + TestHouse.SCRIPT, region(xmp, 1, "dc:description[1]"));
    assertEquals(TestHouse.EMOJI, region(xmp, 2, "dc:description[1]"));
    assertFalse(xmp.dumpObject().contains("39.417"), "the position stays in the evidence table");
  }
}

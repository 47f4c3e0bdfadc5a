package meterside.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.StringReader;
import java.net.URI;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import javax.xml.parsers.DocumentBuilderFactory;
import meterside.job.Photo;
import org.junit.jupiter.api.Assumptions;
import org.junit.jupiter.api.Test;
import org.w3c.dom.Document;
import org.w3c.dom.Element;
import org.xml.sax.InputSource;

/**
 * annotations.jsonld against the MUSTs of the W3C Web Annotation Data Model (REC of 23 February
 * 2017, sections 3.1, 3.2, 3.3, 4.2.1 and 4.2.6) and Media Fragments URI 1.0.
 */
class AnnotationsTest {
  private static final ObjectMapper JSON = new ObjectMapper();

  /** What is wrong with an annotation; the checks that matter here, written out. */
  static List<String> faults(JsonNode a) throws Exception {
    List<String> out = new ArrayList<>();
    need(out, a.path("@context").asText().equals("http://www.w3.org/ns/anno.jsonld"), "context");
    need(out, a.path("id").isTextual() && URI.create(a.path("id").asText()).isAbsolute(), "id");
    need(out, a.path("type").asText().equals("Annotation"), "type");
    need(out, a.has("target"), "target");
    need(out, !(a.has("body") && a.has("bodyValue")), "body and bodyValue");
    for (String time : new String[] {"created", "modified", "generated"}) {
      if (a.has(time)) {
        String text = a.path(time).asText();
        need(out, text.endsWith("Z") && Instant.parse(text) != null, time);
      }
    }
    for (JsonNode body : a.path("body").isArray() ? a.path("body") : List.of(a.path("body"))) {
      if (body.path("type").asText().equals("TextualBody")) {
        need(out, body.path("value").isTextual(), "body value");
      }
    }
    JsonNode target = a.path("target");
    need(out, target.isObject() && target.path("source").isTextual(), "one source");
    need(out, URI.create(target.path("source").asText("")).isAbsolute(), "source IRI");
    JsonNode selectors = target.path("selector");
    for (JsonNode s : selectors.isArray() ? selectors : List.of(selectors)) {
      String type = s.path("type").asText();
      if (type.equals("FragmentSelector")) {
        need(
            out,
            s.path("value").asText().matches("xywh=(pixel:|percent:)?\\d+,\\d+,\\d+,\\d+"),
            "fragment");
      } else if (type.equals("SvgSelector")) {
        need(out, svg(s.path("value").asText()).getTagName().equals("svg"), "svg");
      } else {
        need(out, false, "selector type " + type);
      }
    }
    return out;
  }

  private static void need(List<String> out, boolean holds, String what) {
    if (!holds) {
      out.add(what);
    }
  }

  private static Element svg(String text) throws Exception {
    DocumentBuilderFactory f = DocumentBuilderFactory.newInstance();
    f.setFeature("http://apache.org/xml/features/disallow-doctype-decl", true);
    Document d = f.newDocumentBuilder().parse(new InputSource(new StringReader(text)));
    return d.getDocumentElement();
  }

  @Test
  void everyCalloutAndOutlineInTheReportIsAnAnnotationThatKeepsTheMusts() throws Exception {
    for (Issued issued : List.of(Issued.full(), Issued.hostile())) {
      JsonNode all = JSON.readTree(issued.bytes("annotations.jsonld"));
      assertTrue(all.isArray());
      // Ten callouts and an outline, of which one callout is on a photo set aside; four and one.
      assertEquals(issued == Issued.full() ? 10 : 4, all.size());
      for (JsonNode a : all) {
        assertEquals(List.of(), faults(a), a.toString());
      }
    }
    assertEquals(0, JSON.readTree(Issued.empty().bytes("annotations.jsonld")).size());
  }

  @Test
  void theCheckAcceptsThePublishedSampleAndRefusesWrongOnes() throws Exception {
    Path data = Path.of(System.getProperty("meterside.data"), "web-annotation-tests");
    Assumptions.assumeTrue(Files.isDirectory(data), "web-annotation-tests is not here: skipped");
    JsonNode sample = JSON.readTree(data.resolve("sample-svg-and-fragment.json").toFile());
    assertEquals(List.of(), faults(sample));
    for (String field : new String[] {"@context", "id", "type", "target"}) {
      JsonNode without = sample.deepCopy();
      ((com.fasterxml.jackson.databind.node.ObjectNode) without).remove(field);
      assertFalse(faultsOrThrown(without).isEmpty(), field);
    }
  }

  @Test
  void thePublishedAssertionsHold() throws Exception {
    Path data = Path.of(System.getProperty("meterside.data"), "web-annotation-tests");
    Assumptions.assumeTrue(Files.isDirectory(data), "web-annotation-tests is not here: skipped");
    PublishedAssertions w3c = new PublishedAssertions(data);
    assertEquals(54, w3c.count());
    JsonNode sample = JSON.readTree(data.resolve("sample-svg-and-fragment.json").toFile());
    assertEquals(List.of(), w3c.broken(sample));
    JsonNode wrong = sample.deepCopy();
    ((com.fasterxml.jackson.databind.node.ObjectNode) wrong).remove("id");
    assertFalse(w3c.broken(wrong).isEmpty(), "the assertions refuse an annotation without an id");
    for (Issued issued : List.of(Issued.full(), Issued.hostile())) {
      for (JsonNode a : JSON.readTree(issued.bytes("annotations.jsonld"))) {
        assertEquals(List.of(), w3c.broken(a), a.toString());
      }
    }
  }

  private static List<String> faultsOrThrown(JsonNode a) {
    try {
      return faults(a);
    } catch (Exception e) {
      return List.of(e.toString());
    }
  }

  @Test
  void selectorsCountInStoredPixels() throws Exception {
    TestHouse house = new TestHouse(Issued.fresh("turned-archive"), "3 Ember Court");
    house.camera("A", "Halden", "H2");
    // Stored 400 wide and 800 high; upright it is 800 wide and 400 high.
    Photo photo =
        house.photo("IMG_1.JPG", "A", "meter-and-base", DrawnPhotos.house(400, 800, 3), 6);
    house.callout(photo, "meter", 0.25, 0.5, null, null);
    house.outline(photo, null, 0, 0, 0.5, 0.25, null);
    Issued issued = Issued.write("turned", house, false, false);
    JsonNode all = JSON.readTree(issued.bytes("annotations.jsonld"));
    Element ring = svg(all.get(0).at("/target/selector/1/value").asText());
    assertEquals("0 0 400 800", ring.getAttribute("viewBox"));
    Element circle = (Element) ring.getFirstChild();
    // Orientation 6 (CIPA DC-008): the stored bottom edge stands on the left of the upright
    // picture.
    assertEquals(200, Double.parseDouble(circle.getAttribute("cx")), 0.01);
    assertEquals(600, Double.parseDouble(circle.getAttribute("cy")), 0.01);
    assertEquals("xywh=pixel:0,400,100,400", all.get(1).at("/target/selector/0/value").asText());
    assertEquals("urn:sha256:" + photo.id().hex(), all.get(0).at("/target/source").asText());
  }

  @Test
  void idsStayTheSameFromReportToReport() throws Exception {
    TestHouse house = new TestHouse(Issued.fresh("again-archive"), "3 Ember Court");
    house.camera("A", "Halden", "H2");
    Photo photo =
        house.photo("IMG_1.JPG", "A", "meter-and-base", DrawnPhotos.house(400, 300, 3), 1);
    house.callout(photo, "meter", 0.25, 0.5, null, null);
    JsonNode first =
        JSON.readTree(Issued.write("again-1", house, false, false).bytes("annotations.jsonld"));
    JsonNode second =
        JSON.readTree(Issued.write("again-2", house, true, false).bytes("annotations.jsonld"));
    assertEquals(first.get(0).path("id"), second.get(0).path("id"));
    assertNotNull(first.get(0).at("/creator/name").textValue());
    assertEquals("2026-05-12T21:40:00Z", first.get(0).path("created").asText());
  }
}

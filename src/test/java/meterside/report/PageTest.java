package meterside.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.StringReader;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.util.ArrayList;
import java.util.Base64;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Properties;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import javax.xml.parsers.DocumentBuilderFactory;
import org.junit.jupiter.api.Test;
import org.w3c.dom.Document;
import org.w3c.dom.Element;
import org.w3c.dom.Node;
import org.w3c.dom.NodeList;
import org.xml.sax.InputSource;

/** report.html: one file, nothing from outside, no script, every text as it was put in. */
class PageTest {
  private static Document parsed(Issued issued) throws Exception {
    String html = issued.text("report.html");
    assertTrue(html.startsWith("<!DOCTYPE html>"));
    String xml = html.substring(html.indexOf("<html"));
    return DocumentBuilderFactory.newInstance()
        .newDocumentBuilder()
        .parse(new InputSource(new StringReader(xml)));
  }

  private static List<Element> elements(Document d) {
    NodeList all = d.getElementsByTagName("*");
    List<Element> out = new ArrayList<>();
    for (int i = 0; i < all.getLength(); i++) {
      out.add((Element) all.item(i));
    }
    return out;
  }

  @Test
  void isWellFormedAndHasOnlyElementsOfItsOwn() throws Exception {
    Set<String> own =
        new HashSet<>(
            List.of(
                "html head meta title style body header main section div p span strong h1 h2 h3 h4"
                    .split(" ")));
    own.addAll(List.of("a ul li table thead tbody tr th td br img".split(" ")));
    own.addAll(List.of("svg circle line rect polygon text".split(" ")));
    for (Issued issued : List.of(Issued.full(), Issued.empty(), Issued.hostile())) {
      Set<String> names = new TreeSet<>();
      for (Element e : elements(parsed(issued))) {
        names.add(e.getTagName());
        for (int i = 0; i < e.getAttributes().getLength(); i++) {
          Node a = e.getAttributes().item(i);
          assertFalse(a.getNodeName().startsWith("on"), a.getNodeName());
          assertFalse(a.getNodeName().equals("style"), "the policy forbids style attributes");
          if (a.getNodeName().equals("href")) {
            assertTrue(a.getNodeValue().startsWith("#"), a.getNodeValue());
          }
          if (a.getNodeName().equals("src")) {
            assertTrue(a.getNodeValue().startsWith("data:image/jpeg;base64,"));
          }
        }
      }
      names.removeAll(own);
      assertEquals(Set.of(), names);
    }
  }

  @Test
  void thePolicyAllowsNothingButItsOwnStyleFontsAndPictures() throws Exception {
    for (Issued issued : List.of(Issued.full(), Issued.hostile())) {
      String html = issued.text("report.html");
      int from = html.indexOf("<style>") + 7;
      String style = html.substring(from, html.indexOf("</style>"));
      String hash =
          Base64.getEncoder()
              .encodeToString(
                  MessageDigest.getInstance("SHA-256")
                      .digest(style.getBytes(StandardCharsets.UTF_8)));
      Element policy =
          elements(parsed(issued)).stream()
              .filter(e -> e.getAttribute("http-equiv").equals("Content-Security-Policy"))
              .findFirst()
              .get();
      assertEquals(
          "default-src 'none'; img-src data:; font-src data:; style-src 'sha256-"
              + hash
              + "'; base-uri 'none'; form-action 'none'",
          policy.getAttribute("content"));
      assertFalse(style.contains("@import"));
      assertFalse(style.replaceAll("url\\(data:[^)]*\\)", "").contains("url("));
    }
  }

  @Test
  void everyTextIsThereAsItWasPutIn() throws Exception {
    String text = parsed(Issued.hostile()).getDocumentElement().getTextContent();
    for (String put :
        List.of(
            TestHouse.SCRIPT,
            TestHouse.EMOJI,
            TestHouse.RIGHT_TO_LEFT,
            TestHouse.ARABIC,
            TestHouse.LONG.strip(),
            TestHouse.UNBROKEN,
            TestHouse.FORMULA,
            TestHouse.AWKWARD_NAME)) {
      assertTrue(text.contains(put), put.substring(0, Math.min(40, put.length())));
    }
  }

  @Test
  void linksLeadSomewhereAndIdsAreOfOne() throws Exception {
    for (Issued issued : List.of(Issued.full(), Issued.empty(), Issued.hostile())) {
      Set<String> ids = new HashSet<>();
      for (Element e : elements(parsed(issued))) {
        if (e.hasAttribute("id")) {
          assertTrue(ids.add(e.getAttribute("id")), e.getAttribute("id"));
        }
      }
      for (Element e : elements(parsed(issued))) {
        if (e.hasAttribute("href")) {
          assertTrue(ids.contains(e.getAttribute("href").substring(1)), e.getAttribute("href"));
        }
      }
    }
  }

  @Test
  void headingsStepDownWithoutASkipAndPicturesHaveATextAlternative() throws Exception {
    for (Issued issued : List.of(Issued.full(), Issued.empty(), Issued.hostile())) {
      int level = 0;
      for (Element e : elements(parsed(issued))) {
        if (e.getTagName().matches("h[1-6]")) {
          int now = e.getTagName().charAt(1) - '0';
          assertTrue(now <= level + 1, e.getTagName() + " after h" + level);
          level = now;
        }
        if (e.getTagName().equals("img")) {
          assertFalse(e.getAttribute("alt").isBlank());
          assertFalse(e.getAttribute("width").isBlank());
        }
      }
    }
  }

  @Test
  void aDraftSaysSoAndAnIssuedReportDoesNot() {
    assertTrue(Issued.empty().text("report.html").contains(Words.say("draft.line")));
    assertFalse(Issued.full().text("report.html").contains(Words.say("draft.line")));
  }

  @Test
  void urgentFindingsComeFirstThenByKind() throws Exception {
    String html = Issued.full().text("report.html");
    List<String> order = new ArrayList<>();
    Matcher m = Pattern.compile("id=\"finding-(\\d+)\"").matcher(html);
    while (m.find()) {
      order.add(m.group(1));
    }
    assertEquals(List.of("2", "1", "5", "3", "4"), order);
    assertTrue(html.indexOf("id=\"finding-4\"") < html.indexOf("id=\"walk\""));
  }

  @Test
  void theCoverIsToldAsTheJobFactsSayIt() {
    String full = Issued.full().text("report.html");
    assertTrue(full.contains("The panel cover was taken off for this look (main panel)."));
    assertTrue(full.contains("Panel cover (garage subpanel): not removed, because shelving"));
    assertTrue(Issued.empty().text("report.html").contains(Words.say("scope.cover.unsaid")));
  }

  @Test
  void limitationsAreListedAndAnOwnHabitIsNeverShownAsUnmet() throws Exception {
    String text = parsed(Issued.limits()).getDocumentElement().getTextContent();
    assertTrue(text.contains("The agreement ended at the gate."));
    int inspect = 0;
    for (var duty : Issued.limits().house().duties()) {
      boolean own = duty.kind() == meterside.job.DutyKind.OWN_HABIT;
      if (Issued.limits().house().job().route().indexOf(duty.stop()) >= 0) {
        assertEquals(!own, text.contains(duty.text()), duty.text());
        inspect += own ? 0 : 1;
      }
    }
    assertTrue(inspect > 20);
    assertTrue(Issued.limits().house().job().openDuties().isEmpty());
    assertFalse(text.contains(Words.say("open.title")));
  }

  @Test
  void theRoomNeverSaysWhatOnlyOthersMaySay() throws Exception {
    Properties words = new Properties();
    words.load(
        new java.io.InputStreamReader(
            PageTest.class.getResourceAsStream("sentences.properties"), StandardCharsets.UTF_8));
    assertTrue(words.size() > 150);
    words.forEach(
        (key, value) ->
            assertFalse(
                value
                    .toString()
                    .toLowerCase(Locale.ROOT)
                    .matches(
                        ".*\\b(safe|unsafe|safely|compliant|compliance|violat\\w*|illegal)\\b.*"),
                key + ": " + value));
  }

  @Test
  void theUsualCautionsAndWhoDecidesAreInEveryReport() {
    for (Issued issued : List.of(Issued.full(), Issued.empty(), Issued.hostile())) {
      String html = issued.text("report.html");
      List<String> all = new ArrayList<>(Words.list("cautions", 6));
      all.addAll(Words.list("cautions.who", 4));
      all.addAll(Words.list("scope.not", 7));
      for (String sentence : all) {
        assertTrue(html.contains(Html.escape(sentence)), sentence);
      }
    }
  }
}

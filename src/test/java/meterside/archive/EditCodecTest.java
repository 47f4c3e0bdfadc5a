package meterside.archive;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import meterside.job.Clock;
import meterside.job.ClockBasis;
import meterside.job.Edit;
import meterside.job.Examples;
import meterside.job.Photo;
import org.junit.jupiter.api.Test;

class EditCodecTest {
  private static final ObjectMapper PLAIN = new ObjectMapper();

  @Test
  void everyEditButTheOneThatIsNeverWrittenHasANameAndAnExample() {
    Set<Class<?>> examples = new HashSet<>();
    Set<String> names = new HashSet<>();
    for (Edit e : Examples.edits()) {
      examples.add(e.getClass());
      names.add(EditCodec.write(e).type());
    }
    Set<Class<?>> all = new HashSet<>(Arrays.asList(Edit.class.getPermittedSubclasses()));
    all.remove(Edit.NotUnderstood.class);
    assertEquals(all, examples);
    assertEquals(new HashSet<>(EditCodec.types()), names);
    assertEquals(all.size(), names.size());
  }

  @Test
  void everyEditHasTheWrittenFormOfTheGoldenFile() throws Exception {
    List<String> actual = new ArrayList<>();
    for (Edit e : Examples.edits()) {
      EditCodec.Written w = EditCodec.write(e);
      actual.add(w.type() + " " + w.version() + " " + Json.text(w.edit()));
    }
    String golden;
    try (InputStream in = getClass().getResourceAsStream("edits.txt")) {
      golden = new String(in.readAllBytes(), StandardCharsets.UTF_8);
    }
    // Written for a diff by eye. A difference here means that journals of today could not be read
    // tomorrow: give the changed
    // form a new version, and keep these lines readable.
    Files.writeString(Path.of("target", "edits.actual.txt"), String.join("\n", actual) + "\n");
    assertEquals(golden.strip(), String.join("\n", actual));
  }

  @Test
  void everyGoldenLineIsReadBackAsItsEdit() throws Exception {
    List<Edit> read = new ArrayList<>();
    try (InputStream in = getClass().getResourceAsStream("edits.txt")) {
      String golden = new String(in.readAllBytes(), StandardCharsets.UTF_8).strip();
      for (String line : golden.split("\n")) {
        String[] parts = line.split(" ", 3);
        JsonNode node = PLAIN.readTree(parts[2]);
        read.add(EditCodec.read(parts[0], Integer.parseInt(parts[1]), node));
      }
    }
    assertEquals(Examples.edits(), read);
  }

  @Test
  void typeNamesAreShortLowerCaseWords() {
    for (String type : EditCodec.types()) {
      assertTrue(type.matches("[a-z]+(-[a-z]+)*") && type.length() <= 20, type);
    }
    assertEquals(EditCodec.types().size(), new LinkedHashSet<>(EditCodec.types()).size());
  }

  @Test
  void aNumberThatIsNotFiniteIsRefused() {
    for (double bad : new double[] {Double.NaN, Double.POSITIVE_INFINITY}) {
      Edit e = new Edit.SetClock("A", new Clock(0, ClockBasis.GPS, bad));
      assertThrows(IllegalArgumentException.class, () -> EditCodec.write(e));
    }
    refuses(
        "clock",
        "{\"camera\":\"A\",\"clock\":{\"offsetMillis\":0,\"basis\":\"gps\","
            + "\"uncertaintySeconds\":1e999}}");
  }

  @Test
  void whatIsNotTheWrittenFormIsRefused() {
    refuses("mark-removed", "{}");
    refuses("mark-removed", "{\"id\":null}");
    refuses("mark-removed", "{\"id\":1.5}");
    refuses("mark-removed", "{\"id\":\"1\"}");
    refuses("mark-removed", "{\"id\":99999999999}");
    refuses("mark-removed", "{\"id\":1,\"more\":2}");
    refuses("mark-removed", "[1]");
    refuses("mark-removed", "1");
    refuses("site", "{}");
    refuses("place", "{\"photos\":[]}");
    refuses("photos", "{\"photos\":[null]}");
    refuses("camera", "{\"camera\":{\"make\":\"Fenwick\"}}");
    refuses("zone", "{\"zone\":\"Nowhere/Land\"}");
    refuses("clock", "{\"camera\":\"A\",\"clock\":{\"offsetMillis\":0,\"basis\":\"GPS\"}}");
    refuses("clock", "{\"camera\":\"A\",\"clock\":{\"offsetMillis\":0,\"basis\":3}}");
    refuses("note-to-self", "{\"photos\":[\"abc\"],\"on\":true}");
    refuses("note-to-self", "{\"photos\":[[]],\"on\":true}");
    refuses(
        "callout",
        "{\"callout\":{\"id\":1,\"photo\":\""
            + Examples.P1
            + "\",\"part\":\"meter\",\"rings\":[]}}");
  }

  @Test
  void unknownTypesAndVersionsAreNotKnown() {
    assertTrue(EditCodec.knows("callout", 1));
    assertEquals(false, EditCodec.knows("callout", 2));
    assertEquals(false, EditCodec.knows("callout", 0));
    assertEquals(false, EditCodec.knows("no-such", 1));
    assertThrows(
        IllegalArgumentException.class,
        () -> EditCodec.read("no-such", 1, PLAIN.createObjectNode()));
    assertThrows(
        IllegalArgumentException.class, () -> EditCodec.write(new Edit.NotUnderstood("x", 1)));
  }

  @Test
  void whatCouldNotBeReadBackIsNotWritten() {
    Photo nameless = Examples.barePhoto(Examples.P1, null, "A");
    assertThrows(
        IllegalArgumentException.class,
        () -> EditCodec.write(new Edit.AddPhotos(List.of(nameless))));
    assertThrows(IllegalArgumentException.class, () -> EditCodec.write(new Edit.SetSite(null)));
  }

  private static void refuses(String type, String json) {
    assertThrows(
        IllegalArgumentException.class, () -> EditCodec.read(type, 1, PLAIN.readTree(json)), json);
  }
}

package meterside.archive;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.abort;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.lang.reflect.ParameterizedType;
import java.lang.reflect.RecordComponent;
import java.lang.reflect.Type;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import meterside.job.DutyProfile;
import meterside.job.Edit;
import meterside.job.JobHeader;
import meterside.job.PhotoId;
import meterside.job.RoutePlan;
import meterside.job.StopKey;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The page that describes the file format says what the program does. */
class FileFormatPageTest {
  private static final ObjectMapper PLAIN = new ObjectMapper();
  @TempDir Path dir;
  private String page;

  @BeforeEach
  void read() throws IOException {
    page = Files.readString(Path.of("docs", "file-format.md"));
  }

  private static List<String> blocks(String text, String kind) {
    List<String> out = new ArrayList<>();
    Matcher m = Pattern.compile("```" + kind + "\n(.*?)```", Pattern.DOTALL).matcher(text);
    while (m.find()) {
      out.add(m.group(1));
    }
    return out;
  }

  /** The page's sections on edits, by type. */
  private Map<String, String> sections() {
    Map<String, String> out = new LinkedHashMap<>();
    Matcher m = Pattern.compile("\n### `([a-z-]+)`\n(.*?)(?=\n##)", Pattern.DOTALL).matcher(page);
    while (m.find()) {
      out.put(m.group(1), m.group(2));
    }
    return out;
  }

  @Test
  void everyEditHasASectionWithSamplesThatAreItsWrittenForm() throws Exception {
    Map<String, String> sections = sections();
    assertEquals(EditCodec.types(), List.copyOf(sections.keySet()));
    for (Map.Entry<String, String> s : sections.entrySet()) {
      List<String> samples = blocks(s.getValue(), "json");
      assertTrue(samples.size() >= 1, s.getKey());
      for (String sample : samples) {
        JsonNode node = PLAIN.readTree(sample);
        Edit edit = EditCodec.read(s.getKey(), 1, node);
        assertEquals(sample.strip(), Json.text(EditCodec.write(edit).edit()), s.getKey());
      }
    }
  }

  @Test
  void everyMemberAndEveryWordOfAFixedSetIsNamed() {
    Map<String, String> sections = sections();
    for (Class<?> type : Edit.class.getPermittedSubclasses()) {
      if (type != Edit.NotUnderstood.class) {
        String name = nameOf(type);
        named(name, sections.get(name), type, new HashSet<>());
      }
    }
    String header = page.substring(page.indexOf("## Line 1"), page.indexOf("## The edits"));
    named("header", header, JobHeader.class, new HashSet<>());
    named("header", header, RoutePlan.class, new HashSet<>());
    named("header", header, DutyProfile.class, new HashSet<>());
  }

  private static String nameOf(Class<?> type) {
    return meterside.job.Examples.edits().stream()
        .filter(type::isInstance)
        .map(e -> EditCodec.write(e).type())
        .findFirst()
        .orElseThrow();
  }

  private static void named(String where, String text, Class<?> record, Set<Class<?>> seen) {
    if (!seen.add(record)) {
      return;
    }
    for (RecordComponent c : record.getRecordComponents()) {
      assertTrue(text.contains("`" + c.getName() + "`"), where + " does not name " + c.getName());
      Class<?> type = c.getType();
      if (c.getGenericType() instanceof ParameterizedType p) {
        Type inner = p.getActualTypeArguments()[p.getActualTypeArguments().length - 1];
        type = (Class<?>) inner;
      }
      boolean elsewhere = type == RoutePlan.class || type == DutyProfile.class;
      if (type.isEnum()) {
        for (Object constant : type.getEnumConstants()) {
          String word = constant.toString().toLowerCase(Locale.ROOT).replace('_', '-');
          // A run of the sorting is never by hand.
          if (!(record == Edit.Run.class && word.equals("by-hand"))) {
            assertTrue(text.contains("`" + word + "`"), where + " does not name " + word);
          }
        }
      } else if (type.isRecord() && type != PhotoId.class && type != StopKey.class && !elsewhere) {
        named(where, text, type, seen);
      }
    }
  }

  @Test
  void theSampleJournalIsOneAndItsMembersAreInTheTable() throws Exception {
    String sample = blocks(page, "journal").get(0);
    JournalContent read = Journal.read("sample", sample.getBytes(StandardCharsets.UTF_8));
    assertEquals(2, read.entries().size());
    String first = sample.substring(0, sample.indexOf('\n'));
    PLAIN
        .readTree(first)
        .fieldNames()
        .forEachRemaining(m -> assertTrue(page.contains("| `" + m + "` |"), m));
    JsonNode header = PLAIN.readTree(blocks(page, "header").get(0));
    assertEquals(read.header(), EditCodec.bind(header, JobHeader.class));
  }

  @Test
  void theSampleArchiveOpens() throws Exception {
    Files.writeString(dir.resolve("archive.json"), blocks(page, "archive").get(0));
    assertEquals("9e0c8f3e-5d0b-4a57-9a3e-1f2d3c4b5a69", Archive.open(dir).id());
  }

  /** The lines for a shell, where there is one with sha256sum. */
  @Test
  void theShellLinesFindTheHeadAndADamagedLine() throws Exception {
    String script = blocks(page, "sh").get(0);
    String sample = blocks(page, "journal").get(0);
    Path journal = dir.resolve("journal.jsonl");
    Files.writeString(journal, sample);
    String head = Journal.read("sample", sample.getBytes(StandardCharsets.UTF_8)).head();
    try {
      Process tool = new ProcessBuilder("sha256sum", "--version").start();
      tool.getInputStream().readAllBytes();
      assumeTrue(tool.waitFor() == 0, "no sha256sum here");
    } catch (IOException e) {
      abort("no sha256sum here");
    }
    assertEquals("0 head " + head, run(script));
    Files.writeString(journal, sample.replace("light rain", "heavy rain"));
    assertTrue(run(script).startsWith("3 wrong: {\"seq\":2"));
  }

  private String run(String script) throws Exception {
    Process shell =
        new ProcessBuilder("sh", "-c", script)
            .directory(dir.toFile())
            .redirectErrorStream(true)
            .start();
    String said = new String(shell.getInputStream().readAllBytes(), StandardCharsets.UTF_8).strip();
    return shell.waitFor() + " " + said;
  }
}

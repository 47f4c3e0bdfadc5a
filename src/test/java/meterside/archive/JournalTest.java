package meterside.archive;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.ByteArrayOutputStream;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import java.util.Random;
import java.util.function.UnaryOperator;
import java.util.stream.LongStream;
import meterside.job.Edit;
import meterside.job.Examples;
import meterside.job.History;
import meterside.job.Job;
import meterside.job.RandomEdits;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

class JournalTest {

  /** Seeds to try; {@code -Dseed=N} repeats one. */
  static LongStream seeds() {
    Long one = Long.getLong("seed");
    return one != null ? LongStream.of(one) : LongStream.range(0, 100);
  }

  private static byte[] written(List<History.Entry> entries) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    Journal.Line line = Journal.header(Examples.header(), "tester", Examples.AT);
    out.writeBytes(line.bytes());
    for (History.Entry e : entries) {
      line = Journal.edit(e, line.hash());
      out.writeBytes(line.bytes());
    }
    return out.toByteArray();
  }

  /** A line made by hand, hash and all, from the JSON before the hash without its brace. */
  private static String handMade(String previous, String body) {
    return body + ",\"hash\":\"" + independentHash(previous + body) + "\"}\n";
  }

  private static String independentHash(String text) {
    try {
      MessageDigest digest = MessageDigest.getInstance("SHA-256");
      return HexFormat.of().formatHex(digest.digest(text.getBytes(StandardCharsets.UTF_8)));
    } catch (java.security.NoSuchAlgorithmException e) {
      throw new AssertionError(e);
    }
  }

  @ParameterizedTest(name = "seed {0}")
  @MethodSource("seeds")
  void anySequenceOfEditsReplaysToTheSameJobAndHistory(long seed) {
    RandomEdits random = new RandomEdits(seed);
    History history = new History(Examples.header());
    List<History.Entry> entries = new ArrayList<>();
    for (int i = 0; i < 60; i++) {
      Instant at = Examples.AT.plusMillis(17L * i);
      entries.addAll(random.step(history, entries.size() + 2L, at, "tester " + i % 2));
    }

    JournalContent read = Journal.read("test", written(entries));

    String say = "seed " + seed;
    assertEquals(entries, read.entries(), say);
    History replayed = read.history();
    assertEquals(history.job(), replayed.job(), say);
    assertEquals(history.steps(), replayed.steps(), say);
    assertEquals(history.canStepBack(), replayed.canStepBack(), say);
    assertEquals(history.canStepForward(), replayed.canStepForward(), say);
    assertEquals(history.nextFinding(), replayed.nextFinding(), say);
    assertEquals(history.nextMark(), replayed.nextMark(), say);
    assertEquals(history.nextStep(), replayed.nextStep(), say);
    // Every undone state can be reached on both sides.
    while (history.canStepBack()) {
      History.Entry back =
          new History.Entry(0, Examples.AT, "t", history.nextStep(), new Edit.StepBack());
      history.accept(back);
      replayed.accept(back);
      assertEquals(history.job(), replayed.job(), say);
    }
  }

  @Test
  void theRandomSequencesHoldEveryKindOfEdit() {
    java.util.Set<Class<?>> seen = new java.util.HashSet<>();
    for (long seed = 0; seed < 40; seed++) {
      RandomEdits random = new RandomEdits(seed);
      History history = new History(Examples.header());
      for (int i = 0; i < 60; i++) {
        random.step(history, 2, Examples.AT, "t").forEach(e -> seen.add(e.edit().getClass()));
      }
    }
    java.util.Set<Class<?>> all =
        new java.util.HashSet<>(Arrays.asList(Edit.class.getPermittedSubclasses()));
    all.remove(Edit.NotUnderstood.class);
    assertEquals(all, seen);
  }

  @Test
  void everyLineEndsWithTheHashOfThePreviousHashAndTheBytesBefore() throws Exception {
    String text = new String(written(Examples.history().entries()), StandardCharsets.UTF_8);
    String previous = "";
    int seq = 0;
    for (String line : text.split("\n")) {
      int cut = line.lastIndexOf(",\"hash\":\"");
      String hash = independentHash(previous + line.substring(0, cut));
      assertEquals(",\"hash\":\"" + hash + "\"}", line.substring(cut));
      JsonNode node = new ObjectMapper().readTree(line);
      List<String> members = new ArrayList<>();
      node.fieldNames().forEachRemaining(members::add);
      assertEquals(List.of("seq", "at", "by", "step", "type", "v", "edit", "hash"), members);
      assertEquals(++seq, node.get("seq").asInt());
      assertTrue(
          node.get("at").asText().matches("\\d{4}-\\d\\d-\\d\\dT\\d\\d:\\d\\d:\\d\\d\\.\\d{3}Z"));
      assertEquals(node.toString(), line, "compact");
      previous = hash;
    }
    assertEquals(Examples.edits().size() + 1, seq);
    assertTrue(
        text.startsWith(
            "{\"seq\":1,\"at\":\"2026-05-12T21:04:05.006Z\",\"by\":\"tester\",\"step\":0,"
                + "\"type\":\"header\",\"v\":1,\"edit\":{\"format\":1,\"id\":\""));
    assertEquals(previous, Journal.read("test", text.getBytes(StandardCharsets.UTF_8)).head());
  }

  /** A few short edits, so that trying every byte takes seconds. */
  private static List<History.Entry> few() {
    List<Edit> edits =
        List.of(
            new Edit.SetFact("weather", "rain *"),
            new Edit.SetSite("18 Wren Hollow"),
            new Edit.StepBack(),
            new Edit.SetFact("power", "on"));
    List<History.Entry> out = new ArrayList<>();
    for (Edit e : edits) {
      long seq = out.size() + 2L;
      out.add(new History.Entry(seq, Examples.AT, "tester", seq - 1, e));
    }
    return out;
  }

  private static List<Job> prefixes(List<History.Entry> entries) {
    List<Job> out = new ArrayList<>();
    History history = new History(Examples.header());
    out.add(history.job());
    for (History.Entry e : entries) {
      history.accept(e);
      out.add(history.job());
    }
    return out;
  }

  private static List<Integer> lineEnds(byte[] bytes) {
    List<Integer> out = new ArrayList<>();
    for (int i = 0; i < bytes.length; i++) {
      if (bytes[i] == '\n') {
        out.add(i + 1);
      }
    }
    return out;
  }

  @Test
  void cutAtEveryByteItGivesTheWholeLinesBeforeOrSaysThatTheHeaderIsMissing() {
    List<History.Entry> entries = few();
    byte[] whole = written(entries);
    List<Integer> ends = lineEnds(whole);
    List<Job> prefixes = prefixes(entries);
    for (int length = 0; length <= whole.length; length++) {
      byte[] cut = Arrays.copyOf(whole, length);
      int limit = length;
      int lines = (int) ends.stream().filter(end -> end <= limit).count();
      if (lines == 0) {
        BrokenIntegrity e =
            assertThrows(BrokenIntegrity.class, () -> Journal.read("test", cut), "cut " + length);
        assertEquals(1, e.line());
        assertEquals(3, e.exitCode());
      } else {
        JournalContent read = Journal.read("test", cut);
        assertEquals(entries.subList(0, lines - 1), read.entries(), "cut at " + length);
        assertEquals(prefixes.get(lines - 1), read.history().job(), "cut at " + length);
        int good = ends.get(lines - 1);
        assertEquals(good, read.goodLength());
        assertEquals(length > good, read.tornTail());
        assertEquals(length > good ? 1 : 0, read.notices().size());
      }
    }
  }

  @Test
  void withAnyOneBitFlippedItGivesARightPrefixOrANamedErrorAndNeverAnotherJob() {
    List<History.Entry> entries = few();
    byte[] whole = written(entries);
    List<Integer> ends = lineEnds(whole);
    for (int i = 0; i < whole.length; i++) {
      int at = i;
      long line = 1 + ends.stream().filter(end -> end <= at).count();
      for (int bit = 0; bit < 8; bit++) {
        byte[] flipped = whole.clone();
        flipped[i] ^= (byte) (1 << bit);
        String say = "byte " + i + " bit " + bit;
        if (i == whole.length - 1) {
          JournalContent read = Journal.read("test", flipped);
          assertTrue(read.tornTail(), say);
          assertEquals(entries.subList(0, entries.size() - 1), read.entries(), say);
        } else {
          BrokenIntegrity e =
              assertThrows(BrokenIntegrity.class, () -> Journal.read("test", flipped), say);
          assertEquals(line, e.line(), say);
          assertTrue(e.getMessage().contains("line") && e.getMessage().contains("test"), say);
        }
      }
    }
  }

  @Test
  void aMissingDoubledOrExchangedLineIsBroken() {
    byte[] whole = written(few());
    List<String> lines =
        new ArrayList<>(List.of(new String(whole, StandardCharsets.UTF_8).split("(?<=\n)")));
    breaks(3, lines, l -> l.remove(2));
    breaks(3, lines, l -> l.add(2, l.get(1)));
    breaks(2, lines, l -> l.set(1, l.set(2, l.get(1))));
    breaks(1, lines, l -> l.remove(0));
    breaks(2, lines, l -> l.add(1, "\n"));
    breaks(2, lines, l -> l.add(1, "{}\n"));
    breaks(6, lines, l -> l.add("\0\0\0\0\n"));
  }

  private interface Change {
    void to(List<String> lines);
  }

  private static void breaks(long line, List<String> lines, Change change) {
    List<String> changed = new ArrayList<>(lines);
    change.to(changed);
    byte[] bytes = String.join("", changed).getBytes(StandardCharsets.UTF_8);
    assertEquals(
        line, assertThrows(BrokenIntegrity.class, () -> Journal.read("test", bytes)).line());
  }

  /** The header's line with a change, its hash made right again, and edits after it. */
  private static byte[] journal(UnaryOperator<String> header, String... bodies) {
    String first =
        new String(
            Journal.header(Examples.header(), "tester", Examples.AT).bytes(),
            StandardCharsets.UTF_8);
    String body = header.apply(first.substring(0, first.lastIndexOf(",\"hash\"")));
    StringBuilder out = new StringBuilder();
    String previous = "";
    List<String> all = new ArrayList<>(List.of(body));
    all.addAll(List.of(bodies));
    for (String b : all) {
      out.append(handMade(previous, b));
      previous = independentHash(previous + b);
    }
    return out.toString().getBytes(StandardCharsets.UTF_8);
  }

  private static String line(int seq, int step, String type, int v, String edit) {
    return "{\"seq\":"
        + seq
        + ",\"at\":\"2026-05-12T21:04:05.006Z\",\"by\":\"t\",\"step\":"
        + step
        + ",\"type\":\""
        + type
        + "\",\"v\":"
        + v
        + ",\"edit\":"
        + edit;
  }

  @Test
  void aJournalMadeByHandIsRead() {
    JournalContent read =
        Journal.read(
            "test", journal(h -> h, line(2, 1, "fact", 1, "{\"key\":\"power\",\"value\":\"on\"}")));
    assertEquals("on", read.history().job().facts().get("power"));
    assertEquals(false, read.readOnly());
    assertNull(read.readOnlySentence());
  }

  @Test
  void aNewerFormatIsSaidAndNotRead() {
    byte[] newer = journal(h -> h.replace("\"format\":1,", "\"format\":2,\"mood\":\"odd\","));
    NewerFormat e = assertThrows(NewerFormat.class, () -> Journal.read("test", newer));
    assertEquals(4, e.exitCode());
    byte[] newerHeader = journal(h -> h.replace("\"v\":1,", "\"v\":2,"));
    assertThrows(NewerFormat.class, () -> Journal.read("test", newerHeader));
  }

  @Test
  void anUnknownTypeOrANewerVersionOpensReadOnlyAndTheKnownEditsAreFolded() {
    String[] strangers = {
      line(3, 2, "hologram", 1, "{\"x\":1}"),
      line(3, 2, "fact", 2, "{\"key\":\"power\",\"values\":[\"off\"]}"),
      line(3, 2, "fact", 1, "{\"key\":\"power\",\"value\":\"off\"}") + ",\"mood\":\"odd\"",
    };
    for (String stranger : strangers) {
      byte[] bytes =
          journal(
              h -> h,
              line(2, 1, "fact", 1, "{\"key\":\"power\",\"value\":\"on\"}"),
              stranger,
              line(4, 3, "fact", 1, "{\"key\":\"weather\",\"value\":\"rain\"}"),
              // Rests on something only the stranger can have made; not held against the journal.
              line(5, 4, "mark-removed", 1, "{\"id\":7}"),
              line(6, 5, "step-back", 1, "{}"));
      JournalContent read = Journal.read("test", bytes);
      assertTrue(read.readOnly());
      assertTrue(read.readOnlySentence().contains("newer version"));
      assertEquals(
          List.of("SetFact", "NotUnderstood", "SetFact", "NotUnderstood", "StepBack"),
          read.entries().stream().map(e -> e.edit().getClass().getSimpleName()).toList());
      Job job = read.history().job();
      assertEquals("on", job.facts().get("power"));
      assertEquals("rain", job.facts().get("weather"));
    }
  }

  @Test
  void aLineWithARightHashThatIsNoRightLineIsBroken() {
    String fact = "{\"key\":\"power\",\"value\":\"on\"}";
    List<String> wrong =
        List.of(
            line(3, 1, "fact", 1, fact),
            line(2, 1, "fact", 1, "{\"key\":\"power\",\"value\":3}"),
            line(2, 1, "fact", 1, "{\"key\":\"power\",\"value\":\"on\",\"more\":1}"),
            line(2, 1, "fact", 1, "{\"value\":\"on\"}"),
            line(2, 1, "fact", 1, "{\"key\":\"power\",\"key\":\"weather\"}"),
            line(2, 1, "fact", 1, "[]"),
            line(2, 1, "header", 1, "{}") + "}",
            line(2, 1, "mark-removed", 1, "{\"id\":1}"),
            line(2, 1, "step-back", 1, "{}"),
            line(
                2,
                1,
                "answer",
                1,
                "{\"duty\":{\"at\":\"alarms\"},\"answer\":{\"kind\":\"finding\"}}"),
            line(2, 1, "fact", 1, fact).replace("\"by\":\"t\",", ""),
            line(2, 1, "fact", 1, fact).replace("\"by\":\"t\",", "\"by\":7,"),
            line(2, 1, "fact", 1, fact).replace("\"step\":1", "\"step\":1.5"),
            line(2, 1, "fact", 1, fact).replace("2026-05-12T", "2026-05-99T"),
            "{\"seq\":2",
            "[",
            "not JSON at all",
            line(2, 1, "fact", 1, "[".repeat(5000) + "]".repeat(5000)));
    for (String body : wrong) {
      byte[] bytes = journal(h -> h, body);
      BrokenIntegrity e =
          assertThrows(BrokenIntegrity.class, () -> Journal.read("test", bytes), body);
      assertEquals(2, e.line(), body);
    }
    byte[] noHeader = (handMade("", line(1, 0, "fact", 1, fact))).getBytes(StandardCharsets.UTF_8);
    assertEquals(
        1, assertThrows(BrokenIntegrity.class, () -> Journal.read("test", noHeader)).line());
  }

  @Test
  void headsAreTheHashesOfAllLines() {
    List<History.Entry> entries = few();
    byte[] whole = written(entries);
    List<String> heads = Journal.heads(whole);
    assertEquals(entries.size() + 1, heads.size());
    List<Integer> ends = lineEnds(whole);
    for (int i = 0; i < heads.size(); i++) {
      JournalContent prefix = Journal.read("test", Arrays.copyOf(whole, ends.get(i)));
      assertEquals(prefix.head(), heads.get(i));
    }
  }

  /**
   * Lines changed by chance and given a right hash again, as a hostile hand could do: each is read,
   * or refused by name, and nothing else ever comes out. {@code -Dmutations=N} tries more.
   */
  @Test
  void aChangedLineWithARightHashIsReadOrRefusedByName() throws Exception {
    mutations(Integer.getInteger("mutations", 3000));
  }

  @Tag("heavy")
  @Test
  void aHundredThousandChangedLinesAreReadOrRefusedByName() throws Exception {
    mutations(100_000);
  }

  private static void mutations(int tries) throws Exception {
    long seed = Long.getLong("seed", 1);
    System.out.println("journal mutations: " + tries + ", seed " + seed);
    Random random = new Random(seed);
    List<String> bodies = new ArrayList<>();
    for (String line :
        new String(written(Examples.history().entries()), StandardCharsets.UTF_8).split("\n")) {
      bodies.add(line.substring(0, line.lastIndexOf(",\"hash\"")));
    }
    int read = 0;
    int refused = 0;
    for (int i = 0; i < tries; i++) {
      int which = random.nextInt(bodies.size());
      ByteArrayOutputStream out = new ByteArrayOutputStream();
      String previous = "";
      for (int n = 0; n <= which; n++) {
        byte[] body = bodies.get(n).getBytes(StandardCharsets.UTF_8);
        if (n == which) {
          body = mutated(body, bodies, random);
        }
        MessageDigest digest = MessageDigest.getInstance("SHA-256");
        digest.update(previous.getBytes(StandardCharsets.US_ASCII));
        previous = HexFormat.of().formatHex(digest.digest(body));
        out.writeBytes(body);
        out.writeBytes((",\"hash\":\"" + previous + "\"}\n").getBytes(StandardCharsets.US_ASCII));
      }
      try {
        Job job = Journal.read("test", out.toByteArray()).history().job();
        // What is read can be worked with.
        job.inTrueOrder();
        job.openDuties();
        job.photosByStop();
        read++;
      } catch (BrokenIntegrity | NewerFormat e) {
        refused++;
      }
    }
    assertTrue(read > tries / 50 && refused > tries / 2, read + " read, " + refused + " refused");
  }

  private static byte[] mutated(byte[] body, List<String> bodies, Random random) {
    byte[] out = body;
    for (int n = random.nextInt(3); n >= 0; n--) {
      int at = random.nextInt(out.length);
      switch (random.nextInt(5)) {
        case 0 -> out[at] ^= (byte) (1 << random.nextInt(8));
        case 1 -> out[at] = (byte) random.nextInt(256);
        case 2 -> {
          String text = new String(out, StandardCharsets.UTF_8);
          out =
              text.replaceFirst("\\d", "9e" + random.nextInt(999)).getBytes(StandardCharsets.UTF_8);
        }
        case 3 -> {
          // A member less.
          String text = new String(out, StandardCharsets.UTF_8);
          String[] members = text.split(",");
          String gone = members[random.nextInt(members.length)];
          out = text.replace(gone + ",", "").getBytes(StandardCharsets.UTF_8);
        }
        default -> {
          // A piece of another line in the middle.
          byte[] other = bodies.get(random.nextInt(bodies.size())).getBytes(StandardCharsets.UTF_8);
          int from = random.nextInt(other.length);
          int length = Math.min(other.length - from, random.nextInt(40));
          byte[] longer = Arrays.copyOf(out, out.length + length);
          System.arraycopy(out, at, longer, at + length, out.length - at);
          System.arraycopy(other, from, longer, at, length);
          out = longer;
        }
      }
      if (out.length == 0) {
        out = new byte[] {'{'};
      }
    }
    return out;
  }
}

package meterside.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.time.LocalDateTime;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.stream.Stream;
import meterside.TestPhotos;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The whole evening's work by the command line, on photos as two cameras write them. */
class WholeJobTest {
  private static final String JOB = "2026-05-12-wren-hollow-18";
  private static final LocalDateTime START = LocalDateTime.of(2026, 5, 12, 10, 2, 0);

  @TempDir Path folder;
  private Line line;
  private Path card;

  @BeforeEach
  void start() {
    line = new Line(folder.resolve("archive"));
    card = folder.resolve("card");
  }

  private void newJob() {
    line.json(
        "new",
        JOB,
        "--site",
        "18 Wren Hollow",
        "--date",
        "2026-05-12",
        "--zone",
        "America/New_York");
  }

  /** Camera A knows GPS and its offset; camera B is 58 s fast and knows neither. */
  private void walk() throws Exception {
    int seed = 0;
    LocalDateTime t = START;
    for (int stop = 0; stop < 4; stop++) {
      double ev = stop < 3 ? 14 : 5;
      for (int i = 0; i < 3; i++) {
        t = t.plusSeconds(12);
        TestPhotos.photo(++seed)
            .at(t)
            .subSecond("25")
            .offset("-04:00")
            .gps(t.plusHours(4))
            .light(ev)
            .write(card.resolve("phone/IMG_04" + (10 + seed) + ".jpg"));
        t = t.plusSeconds(7);
        TestPhotos.photo(++seed)
            .camera("Kestova", "C20", "K20-1")
            .at(t.plusSeconds(58))
            .light(ev)
            .write(card.resolve("camera/P51200" + (10 + seed) + ".JPG"));
      }
      t = t.plusSeconds(150);
    }
  }

  private static String sha256(Path file) throws Exception {
    return HexFormat.of()
        .formatHex(MessageDigest.getInstance("SHA-256").digest(Files.readAllBytes(file)));
  }

  @Test
  void goesFromPhotosToAReportAndIsFoundAgain() throws Exception {
    newJob();
    walk();
    JsonNode in = line.json("intake", JOB, card.toString());
    assertEquals(24, in.get("taken").asInt());
    assertEquals(List.of(), texts(in.get("problems")));

    JsonNode clocks = line.json("clock", JOB).get("cameras");
    assertEquals(2, clocks.size());
    String slow = clocks.get(0).get("gps").asInt() == 0 ? "A" : "B";
    JsonNode set = line.json("clock", JOB, "--camera", slow, "--offset", "+58");
    for (JsonNode c : set.get("cameras")) {
      if (c.get("camera").asText().equals(slow)) {
        assertEquals(58.0, c.get("offsetSeconds").asDouble());
        assertEquals("by-hand", c.get("basis").asText());
      }
    }

    JsonNode photos = line.json("sort", JOB).get("photos");
    assertEquals(24, photos.size());
    List<String> order = new ArrayList<>();
    for (JsonNode p : photos) {
      order.add(p.get("file").asText());
      assertFalse(p.get("stop").isNull(), "every photo has a stop");
    }
    // Phone and camera alternate in truth, although the camera is 58 s fast.
    assertEquals(List.of("IMG_0411.jpg", "P5120012.JPG", "IMG_0413.jpg"), order.subList(0, 3));
    JsonNode first = photos.get(0);
    assertEquals("2026-05-12T10:02:12.25-04:00", first.get("recordedAt").asText());
    assertEquals("2026-05-12T10:02:12.25-04:00", first.get("takenAt").asText());
    assertEquals("2026-05-12T10:03:17", photos.get(1).get("recordedAt").asText());
    assertEquals("2026-05-12T10:02:19-04:00", photos.get(1).get("takenAt").asText());
    assertEquals(sha256(card.resolve("phone/IMG_0411.jpg")), first.get("sha256").asText());

    assertFalse(line.json("sort", JOB).has("questions"));
    JsonNode questions = line.json("sort", JOB, "--ask").get("questions");
    assertTrue(questions.size() > 0 && questions.size() <= 10, "questions " + questions);
    double gain = Double.MAX_VALUE;
    for (JsonNode q : questions) {
      assertTrue(order.contains(q.get("file").asText()));
      assertTrue(q.get("gain").asDouble() <= gain, "the most useful first: " + questions);
      gain = q.get("gain").asDouble();
      assertEquals(q.has("before"), q.has("after") && q.get("around").size() > 1);
    }

    JsonNode moved = line.json("sort", JOB, "IMG_0411.jpg=splice-and-drip-loop").get("photos");
    assertEquals("splice-and-drip-loop", moved.get(0).get("stop").asText());
    assertEquals("by-hand", moved.get(0).get("basis").asText());
    assertEquals(1.0, moved.get(0).get("confidence").asDouble());

    assertEquals(
        1,
        line.json(
                "finding",
                JOB,
                "--stop",
                "splice-and-drip-loop",
                "--part",
                "drip loop",
                "--kind",
                "needs-correction",
                "--seen",
                "Cracks in the insulation at the low point.",
                "--why",
                "Bare metal may come to lie open.",
                "--who",
                "the utility",
                "--photo",
                "IMG_0411.jpg")
            .get("number")
            .asInt());
    line.json("callout", JOB, "IMG_0411.jpg", "--part", "weatherhead", "--at", "0.4,0.3");
    line.json(
        "callout",
        JOB,
        "IMG_0411.jpg",
        "--part",
        "drip-loop",
        "--at",
        "0.5,0.6",
        "--finding",
        "F1");
    line.json("redact", JOB, "IMG_0411.jpg", "--box", "0.8,0.8,0.1,0.1");
    JsonNode show = line.json("show", JOB);
    JsonNode duty = show.get("openDuties").get(0);
    int open = show.get("openDuties").size();
    JsonNode answered =
        line.json(
            "answer",
            JOB,
            "--stop",
            duty.get("stop").asText(),
            "--duty",
            duty.get("duty").asText(),
            "--no-condition");
    assertEquals(open - 1, answered.get("open").asInt());

    JsonNode undone = line.json("undo", JOB);
    String asked = "";
    for (JsonNode d : show.get("duties")) {
      if (d.get("duty").equals(duty.get("duty")) && d.get("stop").equals(duty.get("stop"))) {
        asked = d.get("text").asText().split("[:.]")[0];
      }
    }
    assertFalse(asked.isEmpty());
    assertTrue(undone.get("undone").asText().contains(asked), undone.toString());
    assertEquals(open, line.json("show", JOB).get("openDuties").size());
    line.json("redo", JOB);
    assertEquals(open - 1, line.json("show", JOB).get("openDuties").size());

    Path out = folder.resolve("out");
    JsonNode report = line.json("report", JOB, "-o", out.toString());
    assertEquals(1, report.get("report").asInt());
    assertTrue(
        Files.readString(out.resolve("report.html"))
            .contains("Cracks in the insulation at the low point."));
    try (Stream<Path> marked = Files.list(out.resolve("marked"))) {
      assertTrue(marked.anyMatch(p -> p.toString().endsWith("IMG_0411.jpg")));
    }

    JsonNode found = line.json("find", "cracked", "drip", "loop");
    JsonNode hit = found.get("hits").get(0);
    assertEquals("finding", hit.get("kind").asText());
    assertEquals(JOB, hit.get("job").asText());
    assertEquals(
        "Cracks in the insulation at the low point. Bare metal may come to lie open.",
        hit.get("text").asText());

    JsonNode steps = line.json("history", JOB).get("steps");
    assertTrue(steps.size() >= 9);
    Line.Ran barred = line.run("undo", JOB, "--json");
    assertEquals(2, barred.exit());
    assertTrue(barred.json().get("error").asText().contains("report"));
    assertEquals(0, line.run("verify", JOB).exit());
  }

  @Test
  void neverTouchesTheCard() throws Exception {
    newJob();
    walk();
    List<String> before = listing(card);
    line.json("intake", JOB, card.toString());
    assertEquals(before, listing(card));
  }

  @Test
  void skipsWhatItHasAndSaysWhereElseAPhotoIs() throws Exception {
    newJob();
    walk();
    line.json("intake", JOB, card.toString());
    JsonNode again = line.json("intake", JOB, card.toString());
    assertEquals(0, again.get("taken").asInt());
    assertEquals(24, again.get("known").asInt());
    line.json("new", "other", "--site", "7 Tansy Lane", "--date", "2026-05-13", "--zone", "UTC");
    Line.Ran other = line.run("intake", "other", card.resolve("phone").toString());
    assertTrue(other.out().contains(JOB), other.out());
    assertEquals(
        12,
        line.json("intake", "other", "--also", card.resolve("phone").toString())
            .get("taken")
            .asInt());
  }

  @Test
  void saysWhatIsWrongWithBadInputAndTakesTheRest() throws Exception {
    newJob();
    TestPhotos.photo(1).at(START).write(card.resolve("good.jpg"));
    byte[] whole = TestPhotos.photo(2).at(START).bytes();
    Files.write(card.resolve("cut.jpg"), java.util.Arrays.copyOf(whole, whole.length * 2 / 3));
    Files.writeString(card.resolve("letter.jpg"), "Dear reader, this is no photo.");
    Files.write(card.resolve("empty.jpg"), new byte[0]);
    Files.writeString(card.resolve("notes.txt"), "bring the ladder");
    TestPhotos.photo(3).camera(null, null, null).write(card.resolve("bare.jpg"));
    TestPhotos.photo(4).at(LocalDateTime.of(2000, 1, 1, 0, 3)).write(card.resolve("factory.jpg"));
    Line.Ran ran =
        line.run("intake", JOB, card.toString(), folder.resolve("nowhere").toString(), "--json");
    assertEquals(1, ran.exit(), ran.err());
    JsonNode json = ran.json();
    assertEquals(4, json.get("taken").asInt(), ran.out());
    assertEquals(1, json.get("ignored").asInt());
    assertEquals(
        List.of("cut.jpg true", "empty.jpg false", "letter.jpg false", "nowhere false"),
        Stream.of(texts(json.get("problems")).toArray(String[]::new)).sorted().toList());
    assertEquals(
        List.of("bare.jpg true", "factory.jpg true"),
        Stream.of(texts(json.get("notes")).toArray(String[]::new)).sorted().toList());
    for (JsonNode p : json.get("problems")) {
      String name = Path.of(p.get("file").asText()).getFileName().toString();
      assertTrue(p.get("sentence").asText().contains(name), p.toString());
    }
  }

  private static List<String> texts(JsonNode problems) {
    List<String> out = new ArrayList<>();
    for (JsonNode p : problems) {
      out.add(Path.of(p.get("file").asText()).getFileName() + " " + p.get("kept").asBoolean());
    }
    return out;
  }

  private static List<String> listing(Path root) throws Exception {
    List<String> out = new ArrayList<>();
    try (Stream<Path> walk = Files.walk(root)) {
      for (Path p : walk.sorted().toList()) {
        out.add(
            root.relativize(p)
                + " "
                + Files.getLastModifiedTime(p)
                + (Files.isRegularFile(p) ? " " + sha256(p) : ""));
      }
    }
    return out;
  }

  @Test
  void refusesUnknownAndAmbiguousNamesWithExitTwo() throws Exception {
    newJob();
    TestPhotos.photo(1).at(START).write(card.resolve("a/IMG_1.jpg"));
    TestPhotos.photo(2).at(START.plusSeconds(9)).write(card.resolve("b/IMG_1.jpg"));
    line.json("intake", JOB, card.toString());
    assertEquals(2, line.run("show", "no-such-job").exit());
    assertEquals(2, line.run("frobnicate").exit());
    assertEquals(2, line.run("sort", JOB, "IMG_1.jpg=service-drop").exit());
    assertEquals(2, line.run("sort", JOB, "IMG_9.jpg=service-drop").exit());
    assertEquals(2, line.run("sort", JOB, "a/IMG_1.jpg=basement").exit());
    assertEquals(0, line.run("sort", JOB, "a/IMG_1.jpg=service-drop").exit());
    assertEquals(
        2, line.run("callout", JOB, "a/IMG_1.jpg", "--part", "flux", "--at", "0,0").exit());
    assertEquals(
        2, line.run("callout", JOB, "a/IMG_1.jpg", "--part", "meter", "--at", "1.2,0").exit());
    assertEquals(2, line.run("new", "x/../y", "--site", "s", "--date", "2026-05-12").exit());
    Line.Ran noDay = line.run("new", "x", "--site", "s", "--date", "2026-13-12", "--json");
    assertEquals(2, noDay.exit());
    assertTrue(noDay.json().get("error").asText().contains("2026-13-12"));
    assertFalse(noDay.err().contains("java."), noDay.err());
    assertEquals(
        2, new Line(folder.resolve("nothing")).run("show", JOB).exit(), "no archive, none made");
    assertFalse(Files.exists(folder.resolve("nothing")));
  }

  @Test
  void anyoneCanCheckTheChainWithoutThisProgram() throws Exception {
    newJob();
    walk();
    line.json("intake", JOB, card.toString());
    Path journal = folder.resolve("archive/jobs").resolve(JOB).resolve("journal.jsonl");
    String previous = "";
    for (String l : Files.readAllLines(journal)) {
      int cut = l.lastIndexOf(",\"hash\":\"");
      String hash = l.substring(cut + 9, l.length() - 2);
      MessageDigest sha = MessageDigest.getInstance("SHA-256");
      sha.update(previous.getBytes(StandardCharsets.US_ASCII));
      sha.update(l.substring(0, cut).getBytes(StandardCharsets.UTF_8));
      assertEquals(HexFormat.of().formatHex(sha.digest()), hash);
      previous = hash;
    }
  }

  @Test
  void changedBytesAreFoundByVerifyWithExitThree() throws Exception {
    newJob();
    TestPhotos.photo(1).at(START).write(card.resolve("IMG_1.jpg"));
    line.json("intake", JOB, card.toString());
    Path job = folder.resolve("archive/jobs").resolve(JOB);
    try (Stream<Path> photos = Files.list(job.resolve("photos"))) {
      Path photo = photos.findFirst().orElseThrow();
      byte[] bytes = Files.readAllBytes(photo);
      bytes[bytes.length / 2] ^= 1;
      photo.toFile().setWritable(true);
      Files.write(photo, bytes);
    }
    assertEquals(3, line.run("verify", JOB).exit());
    Path journal = job.resolve("journal.jsonl");
    String text = Files.readString(journal);
    Files.writeString(journal, text.replace("IMG_1.jpg", "IMG_2.jpg"));
    Line.Ran broken = line.run("show", JOB);
    assertEquals(3, broken.exit());
    assertFalse(broken.err().contains("\tat "), "no stack trace");
  }

  @Test
  void dropsATornTailWithASentenceAndExitZero() throws Exception {
    newJob();
    Path journal = folder.resolve("archive/jobs").resolve(JOB).resolve("journal.jsonl");
    Files.writeString(
        journal, Files.readString(journal) + "{\"seq\":2,\"at\":", StandardCharsets.UTF_8);
    Line.Ran shown = line.run("show", JOB);
    assertEquals(0, shown.exit());
    assertFalse(shown.err().isBlank());
    assertEquals(0, line.run("set", JOB, "--fact", "weather=rain").exit());
    assertEquals("rain", line.json("show", JOB).get("facts").get("weather").asText());
  }

  @Test
  void refusesAnArchiveOfANewerFormatWithExitFour() throws Exception {
    newJob();
    Path file = folder.resolve("archive/archive.json");
    String text = Files.readString(file);
    Files.writeString(file, text.replaceFirst("\"format\"\\s*:\\s*\\d+", "\"format\":99"));
    assertEquals(4, line.run("show", JOB).exit());
  }
}

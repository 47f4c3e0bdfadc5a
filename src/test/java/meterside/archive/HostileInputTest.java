package meterside.archive;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTimeoutPreemptively;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.time.Clock;
import java.time.Duration;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.Stream;
import meterside.job.Camera;
import meterside.job.Edit;
import meterside.job.Examples;
import meterside.job.Format;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.Progress;
import meterside.job.Recorded;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Packages and journals from a hostile hand: paths that would leave their folder, names a system
 * keeps for devices, links, pipes, and bytes changed by chance. Each ends in a sentence, in bounded
 * time, and nothing is written outside the archive.
 */
class HostileInputTest {
  private static final Duration SOON = Duration.ofSeconds(120);
  @TempDir Path tmp;
  private Archive archive;
  private Path bag;
  private Path victim;

  @BeforeEach
  void aGoodPackage() throws Exception {
    archive = Archive.create(tmp.resolve("archive"));
    JobFolder job = archive.createJob("wren", Examples.header(), "t", Examples.AT);
    byte[] bytes = "a photo".getBytes(StandardCharsets.UTF_8);
    PhotoId id = Sha256.of(bytes);
    job.originals().keep(id, "jpg", bytes);
    try (JournalWriter w = JournalWriter.open(job, "t", Clock.systemUTC())) {
      w.append("t", 1, List.of(new Edit.PutCamera(new Camera("A", null, null, null, null, null))));
      w.append("t", 2, List.of(new Edit.AddPhotos(List.of(photo(id, bytes.length)))));
      w.append("t", 3, List.of(new Edit.StartPacking("bag")));
    }
    bag = tmp.resolve("bag");
    assertNotNull(
        JobPackage.write(
            job,
            Files.readAllBytes(job.journalFile()),
            Map.of(JobPackage.ABOUT, new byte[] {65}),
            LocalDate.of(2026, 5, 13),
            null,
            bag,
            Progress.NONE));
    victim = tmp.resolve("evil.txt");
  }

  private static Photo photo(PhotoId id, int length) {
    return new Photo(
        id,
        "IMG_0001.JPG",
        "",
        length,
        Format.JPEG,
        "jpg",
        1,
        1,
        1,
        Recorded.NONE,
        "A",
        null,
        null,
        null,
        null,
        null);
  }

  private Archive other() {
    return Archive.openOrCreate(tmp.resolve("other"));
  }

  /** Takes the package in; the sentence of the refusal. */
  private String refused() {
    return assertTimeoutPreemptively(
        SOON,
        () -> {
          Archive to = other();
          ArchiveException e =
              assertThrows(
                  ArchiveException.class,
                  () ->
                      JobPackage.restore(
                          to,
                          bag,
                          JobPackage.open(bag, Progress.NONE).orElseThrow(),
                          Progress.NONE));
          assertEquals(3, e.exitCode());
          assertFalse(Files.exists(victim));
          assertEquals(List.of(), to.jobNames());
          assertEquals(
              3, Verify.exitCode(Verify.bag(bag, Progress.NONE)), "verify refuses it as well");
          return e.getMessage();
        });
  }

  /** Makes manifests and tag manifests fit what lies there, as a hostile hand would. */
  private void signAgain(Map<String, String> morePayload) throws Exception {
    Map<String, byte[]> payload = new TreeMap<>();
    try (Stream<Path> walk = Files.walk(bag.resolve("data"))) {
      for (Path p : walk.filter(Files::isRegularFile).toList()) {
        payload.put(bag.relativize(p).toString().replace("%", "%25"), Files.readAllBytes(p));
      }
    }
    for (String algorithm : List.of("SHA-256", "SHA-512")) {
      StringBuilder lines = new StringBuilder();
      for (Map.Entry<String, byte[]> e : payload.entrySet()) {
        lines.append(hex(algorithm, e.getValue())).append("  ").append(e.getKey()).append('\n');
      }
      for (Map.Entry<String, String> e : morePayload.entrySet()) {
        byte[] content = e.getValue().getBytes(StandardCharsets.UTF_8);
        lines.append(hex(algorithm, content)).append("  ").append(e.getKey()).append('\n');
      }
      Files.writeString(bag.resolve("manifest-" + id(algorithm) + ".txt"), lines);
    }
    long octets = payload.values().stream().mapToLong(b -> b.length).sum();
    Path info = bag.resolve("bag-info.txt");
    Files.writeString(
        info,
        Files.readString(info)
            .replaceAll("Payload-Oxum: .*", "Payload-Oxum: " + octets + "." + payload.size()));
    for (String algorithm : List.of("SHA-256", "SHA-512")) {
      StringBuilder lines = new StringBuilder();
      try (Stream<Path> tags = Files.list(bag)) {
        for (Path t : tags.filter(Files::isRegularFile).sorted().toList()) {
          if (!t.getFileName().toString().startsWith("tagmanifest")) {
            lines
                .append(hex(algorithm, Files.readAllBytes(t)))
                .append("  ")
                .append(t.getFileName())
                .append('\n');
          }
        }
      }
      Files.writeString(bag.resolve("tagmanifest-" + id(algorithm) + ".txt"), lines);
    }
  }

  private static String id(String algorithm) {
    return algorithm.replace("-", "").toLowerCase(java.util.Locale.ROOT);
  }

  private static String hex(String algorithm, byte[] bytes) throws Exception {
    return HexFormat.of().formatHex(MessageDigest.getInstance(algorithm).digest(bytes));
  }

  @Test
  void thePackageAsItIsComesIn() throws Exception {
    signAgain(Map.of());
    JobPackage.Whole whole = JobPackage.open(bag, Progress.NONE).orElseThrow();
    assertTrue(JobPackage.restore(other(), bag, whole, Progress.NONE).isPresent());
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "data/../../evil.txt",
        "../evil.txt",
        "/tmp/evil.txt",
        "data/photos/../../../evil.txt",
        "data\\..\\..\\evil.txt",
        "C:\\evil.txt",
        "C:/evil.txt",
        "\\\\server\\share\\evil.txt",
        "~/evil.txt",
        "data/./evil.txt",
        "data//evil.txt",
        "data/%0Aevil.txt",
        "data/NUL",
        "data/con.txt",
        "data/evil.txt.",
        "data/evil\u0000.txt",
        "bagit.txt",
        "data"
      })
  void aPathInAManifestThatLeavesTheBagOrIsNoFileIsRefused(String path) throws Exception {
    signAgain(Map.of(path, "evil"));
    assertTrue(refused().length() > 20);
  }

  @ParameterizedTest
  @ValueSource(
      strings = {"../evil", "/evil", "..", "a/b", "CON", "nul.txt", "a\\b", "", "x.", "a:b"})
  void aJobNameThatIsNoFolderNameIsRefused(String name) throws Exception {
    Path info = bag.resolve("bag-info.txt");
    Files.writeString(
        info,
        Files.readString(info)
            .replaceAll(
                "Meterside-Job: .*",
                java.util.regex.Matcher.quoteReplacement("Meterside-Job: " + name)));
    signAgain(Map.of());
    refused();
  }

  @ParameterizedTest
  @ValueSource(strings = {"jpg/../../../../evil.txt", "../evil", "JPG", "", "a.b", "averylongone"})
  void anExtensionInTheJournalThatIsNoneBreaksTheJournal(String extension) throws Exception {
    Path journal = bag.resolve("data/journal.jsonl");
    String text = Files.readString(journal);
    assertTrue(text.contains("\"extension\":\"jpg\""));
    String head =
        rehash(
            journal, text.replace("\"extension\":\"jpg\"", "\"extension\":\"" + extension + "\""));
    Path info = bag.resolve("bag-info.txt");
    Files.writeString(
        info,
        Files.readString(info)
            .replaceAll("Meterside-Journal-Head: .*", "Meterside-Journal-Head: " + head));
    signAgain(Map.of());
    assertTrue(refused().length() > 20);
    // The same journal within an archive: not read, and no second copy is made of it.
    Files.copy(
        journal,
        archive.job("wren").journalFile(),
        java.nio.file.StandardCopyOption.REPLACE_EXISTING);
    assertThrows(BrokenIntegrity.class, () -> archive.job("wren").read());
    SecondCopy.Result r =
        SecondCopy.update(archive, tmp.resolve("copy"), false, Examples.AT, Progress.NONE);
    assertEquals(1, r.problems().size());
    assertFalse(Files.exists(victim));
  }

  private static String rehash(Path journal, String text) throws IOException {
    StringBuilder out = new StringBuilder();
    String previous = "";
    for (String line : text.split("\n")) {
      String body = line.substring(0, line.lastIndexOf(",\"hash\""));
      previous = Sha256.hex((previous + body).getBytes(StandardCharsets.UTF_8));
      out.append(body).append(",\"hash\":\"").append(previous).append("\"}\n");
    }
    Files.writeString(journal, out);
    return previous;
  }

  @Test
  void aLinkInAPackageIsRefused() throws Exception {
    Path secret = Files.writeString(tmp.resolve("secret.txt"), "private");
    Files.createSymbolicLink(bag.resolve("data/reports"), tmp.resolve("archive"));
    refused();
    Files.delete(bag.resolve("data/reports"));
    Path journal = bag.resolve("data/journal.jsonl");
    Files.delete(journal);
    Files.createSymbolicLink(journal, secret);
    refused();
  }

  @Test
  void aPipeOrADeviceInAPackageIsRefusedAndNotWaitedFor() throws Exception {
    Path pipe = bag.resolve("data/pipe");
    boolean made;
    try {
      made = new ProcessBuilder("mkfifo", pipe.toString()).start().waitFor() == 0;
    } catch (IOException e) {
      made = false;
    }
    assumeTrue(made, "no pipe can be made here");
    refused();
    Files.delete(pipe);
    Files.delete(bag.resolve("bag-info.txt"));
    assertEquals(
        0, new ProcessBuilder("mkfifo", bag.resolve("bag-info.txt").toString()).start().waitFor());
    refused();
  }

  @Test
  void aManifestOfManyMillionLinesOrALineWithoutEndIsRefusedSoon() throws Exception {
    Files.writeString(bag.resolve("manifest-sha256.txt"), "0".repeat(70 << 20));
    refused();
    Files.writeString(bag.resolve("manifest-sha256.txt"), "ab  data/x\n".repeat(1_000_000));
    refused();
  }

  // ---- bytes changed by chance ----

  @Test
  void aMutatedPackageIsRefusedOrIsTheSameJob() throws Exception {
    mutations(Integer.getInteger("mutations", 1500));
  }

  @Test
  @Tag("heavy")
  void aHundredThousandMutatedPackagesAreRefusedOrAreTheSameJob() throws Exception {
    mutations(Integer.getInteger("mutations", 100_000));
  }

  private void mutations(int tries) throws Exception {
    long seed = Long.getLong("seed", System.nanoTime());
    System.out.println("bag mutations: " + tries + ", seed " + seed);
    Random random = new Random(seed);
    Map<Path, byte[]> good = new TreeMap<>();
    try (Stream<Path> walk = Files.walk(bag)) {
      for (Path p : walk.filter(Files::isRegularFile).toList()) {
        good.put(p, Files.readAllBytes(p));
        assertTrue(p.toFile().setWritable(true));
      }
    }
    List<Path> files = new ArrayList<>(good.keySet());
    String head = JobPackage.open(bag, Progress.NONE).orElseThrow().content().head();
    int refused = 0;
    int same = 0;
    int bagsOnly = 0;
    long slowest = 0;
    Set<String> sentences = new TreeSet<>();
    long begun = System.nanoTime();
    for (int i = 0; i < tries; i++) {
      List<Path> touched = new ArrayList<>();
      boolean resigned = false;
      for (int n = 1 + random.nextInt(3); n > 0; n--) {
        Path file = files.get(random.nextInt(files.size()));
        touched.add(file);
        byte[] now = Files.exists(file) ? Files.readAllBytes(file) : good.get(file);
        Files.write(file, mutate(now, good, files, random));
      }
      if (random.nextInt(3) == 0) {
        try {
          signAgain(Map.of()); // a hostile hand makes the checksums fit
          resigned = true;
        } catch (java.nio.charset.CharacterCodingException e) {
          resigned = false; // bag-info.txt is no text any more
        }
      }
      long at = System.nanoTime();
      String say = "seed " + seed + ", mutant " + i + " " + touched;
      try {
        JobPackage.Whole whole = JobPackage.open(bag, Progress.NONE).orElseThrow();
        if (!resigned) {
          assertEquals(head, whole.content().head(), say);
        }
        same++;
      } catch (BrokenIntegrity | NewerFormat e) {
        refused++;
        sentences.add(e.getMessage().replaceAll("[0-9]+", "#").replaceAll("\".*\"", "…"));
      } catch (RuntimeException | Error e) {
        throw new AssertionError(say, e);
      }
      if (i % 10 == 0) {
        bagsOnly += Verify.exitCode(Verify.bag(bag, Progress.NONE)) == 0 ? 1 : 0;
      }
      slowest = Math.max(slowest, System.nanoTime() - at);
      for (Map.Entry<Path, byte[]> e : good.entrySet()) {
        if (resigned || touched.contains(e.getKey())) {
          Files.write(e.getKey(), e.getValue());
        }
      }
    }
    System.out.printf(
        java.util.Locale.ROOT,
        "%d mutated packages: %d refused, %d still whole, slowest %d ms, %d s, %d sentences%n",
        tries,
        refused,
        same,
        slowest / 1_000_000,
        (System.nanoTime() - begun) / 1_000_000_000,
        sentences.size());
    assertTrue(refused > tries / 2, refused + " of " + tries);
    assertTrue(slowest < 20_000_000_000L, "slowest " + slowest);
    assertTrue(bagsOnly < tries, "verify accepted all");
  }

  private static byte[] mutate(byte[] b, Map<Path, byte[]> good, List<Path> files, Random random) {
    if (b.length == 0) {
      return new byte[] {(byte) random.nextInt(256)};
    }
    byte[] out = b.clone();
    int at = random.nextInt(out.length);
    int length = 1 + random.nextInt(Math.min(40, out.length - at));
    switch (random.nextInt(8)) {
      case 0 -> out[at] ^= (byte) (1 << random.nextInt(8));
      case 1 -> out[at] = (byte) random.nextInt(256);
      case 2 -> out = Arrays.copyOf(out, at);
      case 3 -> {
        byte[] shorter = new byte[out.length - length];
        System.arraycopy(out, 0, shorter, 0, at);
        System.arraycopy(out, at + length, shorter, at, out.length - at - length);
        out = shorter;
      }
      case 4 -> {
        byte[] longer = new byte[out.length + length];
        System.arraycopy(out, 0, longer, 0, at + length);
        System.arraycopy(out, at, longer, at + length, out.length - at);
        out = longer;
      }
      case 5 -> {
        byte[] other = good.get(files.get(random.nextInt(files.size())));
        int n = Math.min(length, other.length);
        System.arraycopy(other, 0, out, at, Math.min(n, out.length - at));
      }
      case 6 -> out[at] = "\n\r %/\\.:\0~".getBytes(StandardCharsets.US_ASCII)[random.nextInt(10)];
      default -> Arrays.fill(out, at, at + length, (byte) 0);
    }
    return out;
  }
}

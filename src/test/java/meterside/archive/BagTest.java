package meterside.archive;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.abort;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.text.Normalizer;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import java.util.stream.Stream;
import meterside.job.Progress;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Bags against the conformance suite of the Library of Congress (public domain; versions 0.93 to
 * 1.0), and cases of our own for what RFC 8493 asks of 1.0.
 */
class BagTest {
  @TempDir Path bag;

  private final Map<String, byte[]> payload = new TreeMap<>();

  @BeforeEach
  void files() {
    payload.put("data/one.txt", bytes("one"));
    payload.put("data/folder/two.bin", new byte[] {0, 1, 2});
  }

  private static Bag.Check check(Path folder) {
    return Bag.check(folder, Progress.NONE);
  }

  private static Path suite() {
    Path shared = Path.of(System.getProperty("meterside.data", "../shared/data"));
    Path suite = shared.resolve("bagit-conformance-suite");
    assumeTrue(Files.isDirectory(suite), "the BagIt conformance suite is not beside the project");
    return suite;
  }

  private static List<Path> cases(String kind) throws Exception {
    try (Stream<Path> versions = Files.list(suite())) {
      List<Path> out =
          versions
              .map(v -> v.resolve(kind))
              .filter(Files::isDirectory)
              .flatMap(
                  folder -> {
                    try (Stream<Path> bags = Files.list(folder)) {
                      return bags.filter(Files::isDirectory).toList().stream();
                    } catch (java.io.IOException e) {
                      throw new java.io.UncheckedIOException(e);
                    }
                  })
              .sorted()
              .toList();
      assertFalse(out.isEmpty(), kind);
      return out;
    }
  }

  @Test
  void validBagsOfTheSuiteAreAccepted() throws Exception {
    for (Path c : cases("valid")) {
      assertEquals(List.of(), check(c).problems(), c.toString());
    }
  }

  @Test
  void bagsThatDeserveAWarningAreAcceptedWithOne() throws Exception {
    for (Path c : cases("warning")) {
      Bag.Check check = check(c);
      // Two of them need files that a copy of the suite may have lost: a system file, and a name
      // in two forms or two cases.
      boolean mayBeIncomplete =
          c.endsWith("special-system-files") || c.toString().contains("duplicate-file-with");
      if (!mayBeIncomplete) {
        assertEquals(List.of(), check.problems(), c.toString());
      }
      assertFalse(check.warnings().isEmpty(), c.toString());
    }
  }

  @Test
  void invalidBagsOfTheSuiteAreRefused() throws Exception {
    for (String kind : List.of("invalid", "linux-only", "windows-only")) {
      for (Path c : cases(kind)) {
        assertFalse(check(c).valid(), c.toString());
      }
    }
  }

  // ---- cases of our own for version 1.0; section numbers are those of RFC 8493 ----

  @Test
  void aBagOfVersionOneIsValid() throws Exception {
    write();
    Bag.Check c = check(bag);
    assertEquals(List.of(), c.problems());
    assertEquals("1.0", c.version());
    assertEquals(payload.keySet(), c.payload().keySet());
    assertTrue(c.valid());
  }

  @Test
  void namesWithLineEndsAndPercentSignsAreDecoded() throws Exception {
    // section 2.1.3: LF, CR and % are written %0A, %0D and %25, and nothing else is
    payload.put("data/50%25 off%7E.txt", bytes("percent"));
    write();
    assertEquals(List.of(), check(bag).problems());
    assertTrue(check(bag).payload().containsKey("data/50%25 off%7E.txt"));
  }

  @Test
  void namesInAnotherUnicodeFormAreFoundWithAWarning() throws Exception {
    // section 6.1.1.4 of the security and practice notes: normalisation
    payload.put("data/" + Normalizer.normalize("größe.txt", Normalizer.Form.NFD), bytes("x"));
    write();
    rewrite("manifest-sha256.txt", t -> Normalizer.normalize(t, Normalizer.Form.NFC));
    tags();
    Bag.Check c = check(bag);
    assertEquals(List.of(), c.problems());
    assertEquals(1, c.warnings().size(), c.warnings().toString());
  }

  @Test
  void aManifestThatIsNotInTheTagManifestIsAProblem() throws Exception {
    // section 2.2.1: a tag manifest must list every payload manifest
    write();
    rewrite("tagmanifest-sha256.txt", t -> t.replaceAll("(?m)^.*manifest-sha512.txt\n", ""));
    assertFalse(check(bag).valid());
  }

  @Test
  void aWrongOxumIsAProblem() throws Exception {
    // section 2.2.2
    write();
    rewrite("bag-info.txt", t -> "Payload-Oxum: 7.2\n");
    tags();
    assertFalse(check(bag).valid());
    rewrite("bag-info.txt", t -> "Payload-Oxum: 6.2\nPayload-Oxum: 6.2\n");
    tags();
    assertFalse(check(bag).valid());
    rewrite("bag-info.txt", t -> "Payload-Oxum: 6.2\n");
    tags();
    assertEquals(List.of(), check(bag).problems());
  }

  @Test
  void aFileThatOnlyOneManifestListsIsAProblem() throws Exception {
    write();
    rewrite("manifest-sha512.txt", t -> t.replaceAll("(?m)^.*data/one.txt\n", ""));
    tags();
    assertFalse(check(bag).valid());
  }

  @Test
  void everyChangedByteIsFound() throws Exception {
    write();
    try (Stream<Path> all = Files.walk(bag)) {
      for (Path file : all.filter(Files::isRegularFile).toList()) {
        byte[] before = Files.readAllBytes(file);
        for (int i = 0; i < before.length; i++) {
          byte[] after = before.clone();
          after[i] ^= 1;
          Files.write(file, after);
          Bag.Check c = check(bag);
          assertFalse(c.valid(), file + " byte " + i);
        }
        Files.write(file, before);
      }
    }
    assertTrue(check(bag).valid());
  }

  @Test
  void aLinkInThePayloadIsAProblem() throws Exception {
    write();
    try {
      Files.createSymbolicLink(bag.resolve("data/link"), Path.of("/etc/hostname"));
    } catch (java.io.IOException | UnsupportedOperationException e) {
      abort("no symbolic links here");
    }
    assertFalse(check(bag).valid());
  }

  @Test
  void aNewerVersionIsAProblemWithASentence() throws Exception {
    write();
    rewrite("bagit.txt", t -> t.replace("1.0", "2.0"));
    assertEquals(1, check(bag).problems().size());
    assertTrue(check(bag).problems().get(0).contains("2.0"));
  }

  @Test
  void anEmptyFolderIsNoBag() {
    assertFalse(check(bag).valid());
    assertFalse(Bag.looksLikeOne(bag));
  }

  // ---- a bag written by hand, apart from the writer that is tested elsewhere ----

  private void write() throws Exception {
    long octets = 0;
    for (Map.Entry<String, byte[]> e : payload.entrySet()) {
      Path file = bag.resolve(e.getKey());
      Files.createDirectories(file.getParent());
      Files.write(file, e.getValue());
      octets += e.getValue().length;
    }
    Files.writeString(
        bag.resolve("bagit.txt"), "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n");
    Files.writeString(
        bag.resolve("bag-info.txt"), "Payload-Oxum: " + octets + "." + payload.size() + "\n");
    for (String algorithm : List.of("SHA-256", "SHA-512")) {
      StringBuilder lines = new StringBuilder();
      for (Map.Entry<String, byte[]> e : payload.entrySet()) {
        String path = e.getKey().replace("%", "%25");
        lines.append(hex(algorithm, e.getValue())).append("  ").append(path).append('\n');
      }
      Files.writeString(bag.resolve("manifest-" + id(algorithm) + ".txt"), lines);
    }
    tags();
  }

  private void tags() throws Exception {
    for (String algorithm : List.of("SHA-256", "SHA-512")) {
      StringBuilder lines = new StringBuilder();
      for (String tag :
          List.of("bag-info.txt", "bagit.txt", "manifest-sha256.txt", "manifest-sha512.txt")) {
        lines
            .append(hex(algorithm, Files.readAllBytes(bag.resolve(tag))))
            .append("  ")
            .append(tag)
            .append('\n');
      }
      Files.writeString(bag.resolve("tagmanifest-" + id(algorithm) + ".txt"), lines);
    }
  }

  private void rewrite(String tag, java.util.function.UnaryOperator<String> how) throws Exception {
    Path file = bag.resolve(tag);
    Files.writeString(file, how.apply(Files.readString(file)));
  }

  private static String id(String algorithm) {
    return algorithm.replace("-", "").toLowerCase(Locale.ROOT);
  }

  private static byte[] bytes(String text) {
    return text.getBytes(StandardCharsets.UTF_8);
  }

  private static String hex(String algorithm, byte[] bytes) throws Exception {
    return HexFormat.of().formatHex(MessageDigest.getInstance(algorithm).digest(bytes));
  }
}

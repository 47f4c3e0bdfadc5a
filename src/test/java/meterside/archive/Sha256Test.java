package meterside.archive;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class Sha256Test {
  @TempDir Path dir;

  private static String hash(String ascii) {
    return Sha256.of(ascii.getBytes(StandardCharsets.US_ASCII)).hex();
  }

  /**
   * The worked examples for SHA-256 that NIST publishes beside FIPS 180-4 ("SHA-256 examples": one
   * block, two blocks), the empty message of its validation suite (SHA256ShortMsg, Len = 0), and a
   * million times "a" (FIPS 180-2, appendix B.3).
   */
  @Test
  void theExamplesOfTheStandardHaveTheirHashes() {
    assertEquals("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad", hash("abc"));
    assertEquals("e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855", hash(""));
    assertEquals(
        "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
        hash("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq"));
    assertEquals(
        "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0",
        hash("a".repeat(1_000_000)));
  }

  @Test
  void aFileHasTheHashOfItsBytes() throws Exception {
    byte[] bytes = new byte[200_001];
    new Random(1).nextBytes(bytes);
    Path file = Files.write(dir.resolve("x"), bytes);
    assertEquals(Sha256.of(bytes), Sha256.of(file));
  }

  /** Against the program of another maker, where the system has one. */
  @Test
  void theSystemsOwnProgramAgrees() throws Exception {
    for (int length : new int[] {0, 1, 55, 56, 63, 64, 65, 100_000}) {
      byte[] bytes = new byte[length];
      new Random(length).nextBytes(bytes);
      Path file = Files.write(dir.resolve("f" + length), bytes);
      String said = run("sha256sum", file.toString());
      if (said == null) {
        said = run("openssl", "dgst", "-sha256", "-r", file.toString());
      }
      assumeTrue(said != null, "neither sha256sum nor openssl is installed");
      assertEquals(said.replace("\\", "").substring(0, 64), Sha256.of(bytes).hex());
    }
  }

  private static String run(String... command) throws Exception {
    try {
      Process process = new ProcessBuilder(command).redirectErrorStream(true).start();
      String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
      return process.waitFor() == 0 ? said : null;
    } catch (IOException notInstalled) {
      return null;
    }
  }
}

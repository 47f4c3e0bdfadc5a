package meterside.picture;

import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/**
 * The corpora, mutated by a seed: bytes overwritten, pieces doubled, taken out, cut off, swapped
 * between files. Each must end as picture or sentence, in time, within the heap.
 */
@Tag("heavy")
class MutationTest {
  private static final int INPUTS = Integer.getInteger("meterside.mutations", 100_000);
  private static final int LARGEST_SEED = 60_000;

  @Test
  void everyMutantEndsAsAPictureOrASentenceInTime() throws IOException {
    long seed = Long.getLong("seed", System.nanoTime());
    System.out.println("seed " + seed);
    List<byte[]> seeds = new ArrayList<>();
    for (Path file : SharedData.files()) {
      if (Files.size(file) <= LARGEST_SEED) {
        byte[] bytes = Files.readAllBytes(file);
        // HEIC goes to a library outside Java and is fuzzed by a test of its own.
        if (Signature.of(bytes).filter(f -> f != meterside.job.Format.HEIC).isPresent()) {
          seeds.add(bytes);
        }
      }
    }
    assertTrue(seeds.size() > 300, seeds.size() + " seeds");
    long start = System.nanoTime();
    long slowest = 0;
    int pictures = 0;
    for (int k = 0; k < INPUTS; k++) {
      Random random = new Random(seed + k);
      byte[] mutant = mutate(seeds, random);
      long at = System.nanoTime();
      Reading reading = PictureReader.read(mutant, "mutant");
      long millis = (System.nanoTime() - at) / 1_000_000;
      assertNotNull(reading);
      assertTrue(millis < 20_000, "seed " + (seed + k) + " took " + millis + " ms");
      slowest = Math.max(slowest, millis);
      pictures += reading instanceof Picture ? 1 : 0;
    }
    System.out.println(
        INPUTS
            + " mutants of "
            + seeds.size()
            + " files, "
            + pictures
            + " pictures, slowest "
            + slowest
            + " ms, "
            + (System.nanoTime() - start) / 1_000_000_000
            + " s");
  }

  static byte[] mutate(List<byte[]> seeds, Random random) {
    byte[] b = seeds.get(random.nextInt(seeds.size())).clone();
    for (int n = 1 + random.nextInt(6); n > 0 && b.length > 16; n--) {
      int at = random.nextInt(random.nextBoolean() ? b.length : Math.min(b.length, 400));
      int length = 1 + random.nextInt(Math.min(64, b.length - at));
      switch (random.nextInt(7)) {
        case 0 -> b[at] ^= (byte) (1 << random.nextInt(8));
        case 1 -> b[at] = (byte) random.nextInt(256);
        case 2 -> java.util.Arrays.fill(b, at, at + length, (byte) (random.nextInt(3) - 1));
        case 3 -> b = java.util.Arrays.copyOf(b, Math.max(3, at));
        case 4 -> {
          byte[] other = seeds.get(random.nextInt(seeds.size()));
          int from = random.nextInt(other.length);
          System.arraycopy(other, from, b, at, Math.min(length, other.length - from));
        }
        case 5 -> {
          byte[] longer = new byte[b.length + length];
          System.arraycopy(b, 0, longer, 0, at + length);
          System.arraycopy(b, at, longer, at + length, b.length - at);
          b = longer;
        }
        default -> {
          byte[] shorter = new byte[b.length - length];
          System.arraycopy(b, 0, shorter, 0, at);
          System.arraycopy(b, at + length, shorter, at, b.length - at - length);
          b = shorter;
        }
      }
    }
    return b;
  }
}

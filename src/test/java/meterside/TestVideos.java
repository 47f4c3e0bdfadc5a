package meterside;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Random;

/** Files that begin as videos do (ISO/IEC 14496-12) and go on with noise: nobody looks further. */
public final class TestVideos {
  private TestVideos() {}

  /** An MP4 by its first box. */
  public static byte[] mp4(int seed) {
    byte[] out = new byte[5000 + seed];
    new Random(seed).nextBytes(out);
    byte[] box = "\0\0\0\u0018ftypmp42\0\0\0\0isommp42".getBytes(StandardCharsets.ISO_8859_1);
    System.arraycopy(box, 0, out, 0, box.length);
    return out;
  }

  /** Writes one, with the folders above it. */
  public static byte[] write(int seed, Path file) throws IOException {
    Files.createDirectories(file.getParent());
    byte[] bytes = mp4(seed);
    Files.write(file, bytes);
    return bytes;
  }
}

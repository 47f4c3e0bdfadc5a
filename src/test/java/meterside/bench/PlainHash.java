package meterside.bench;

import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.util.List;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.stream.Stream;

/** The baseline of a check: SHA-256 of every file of a folder on all cores, and nothing else. */
public final class PlainHash {
  private PlainHash() {}

  /** Hashes the folder that is named. */
  public static void main(String[] args) throws Exception {
    System.out.println(of(Path.of(args[0])) + " files");
  }

  /** Hashes a folder's files; returns how many there are. */
  static int of(Path folder) throws Exception {
    List<Path> files;
    try (Stream<Path> all = Files.walk(folder)) {
      files = all.filter(Files::isRegularFile).sorted().toList();
    }
    ExecutorService threads =
        Executors.newFixedThreadPool(Runtime.getRuntime().availableProcessors());
    List<Future<byte[]>> hashes = files.stream().map(f -> threads.submit(() -> hash(f))).toList();
    for (Future<byte[]> h : hashes) {
      h.get();
    }
    threads.shutdown();
    return files.size();
  }

  private static byte[] hash(Path file) throws Exception {
    MessageDigest digest = MessageDigest.getInstance("SHA-256");
    byte[] buffer = new byte[1 << 16];
    try (InputStream in = Files.newInputStream(file)) {
      for (int n = in.read(buffer); n >= 0; n = in.read(buffer)) {
        digest.update(buffer, 0, n);
      }
    }
    return digest.digest();
  }
}

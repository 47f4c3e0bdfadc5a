package meterside.archive;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import meterside.job.PhotoId;

/** SHA-256 as in FIPS 180-4, written as 64 lower-case hexadecimal digits. */
public final class Sha256 {
  private static final HexFormat HEX = HexFormat.of();

  private Sha256() {}

  /** The identity of a photo with these bytes. */
  public static PhotoId of(byte[] bytes) {
    return new PhotoId(hex(bytes));
  }

  /** The identity of a photo with this file's bytes; reads it in small pieces. */
  public static PhotoId of(Path file) throws IOException {
    MessageDigest digest = digest();
    byte[] buffer = new byte[1 << 16];
    try (InputStream in = Files.newInputStream(file)) {
      for (int n = in.read(buffer); n >= 0; n = in.read(buffer)) {
        digest.update(buffer, 0, n);
      }
    }
    return new PhotoId(HEX.formatHex(digest.digest()));
  }

  /** The hash of some bytes. */
  public static String hex(byte[] bytes) {
    return HEX.formatHex(digest().digest(bytes));
  }

  /** The digest itself, fresh. */
  static MessageDigest digest() {
    try {
      return MessageDigest.getInstance("SHA-256");
    } catch (NoSuchAlgorithmException e) {
      // Every Java platform must have it (java.security.MessageDigest, "standard algorithms").
      throw new IllegalStateException(e);
    }
  }

  /** Digits of a digest's bytes. */
  static String digits(byte[] digest) {
    return HEX.formatHex(digest);
  }
}

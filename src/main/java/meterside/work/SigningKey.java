package meterside.work;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.PosixFilePermission;
import java.nio.file.attribute.PosixFilePermissions;
import java.security.GeneralSecurityException;
import java.security.KeyFactory;
import java.security.KeyPair;
import java.security.KeyPairGenerator;
import java.security.MessageDigest;
import java.security.PrivateKey;
import java.security.PublicKey;
import java.security.Signature;
import java.security.spec.PKCS8EncodedKeySpec;
import java.security.spec.X509EncodedKeySpec;
import java.util.Arrays;
import java.util.Base64;
import java.util.EnumSet;
import java.util.HexFormat;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import java.util.Set;

/**
 * The inspector's own key for signing packages: Ed25519 (RFC 8032). It lies with the settings,
 * outside every archive, readable by its owner only. A key inside a package proves nobody's
 * identity; what proves it is that the same fingerprint stands in the reports that were handed out.
 */
public final class SigningKey {
  private static final String FILE = "signing-key.txt";
  private static final String ALGORITHM = "Ed25519";
  private static final int LARGEST = 1 << 16;

  private final PrivateKey secret;
  private final PublicKey open;
  private final Path file;

  private SigningKey(PrivateKey secret, PublicKey open, Path file) {
    this.secret = secret;
    this.open = open;
    this.file = file;
  }

  /**
   * The key that lies with the settings; empty if there is none.
   *
   * @throws NotDone if it can't be read
   */
  public static Optional<SigningKey> find(Home home) {
    Path file = home.folder().resolve(FILE);
    if (!Files.isRegularFile(file)) {
      return Optional.empty();
    }
    try {
      Map<String, String> fields = fields(Files.readString(file));
      KeyFactory keys = KeyFactory.getInstance(ALGORITHM);
      return Optional.of(
          new SigningKey(
              keys.generatePrivate(new PKCS8EncodedKeySpec(bytes(fields, "Private-Key"))),
              keys.generatePublic(new X509EncodedKeySpec(bytes(fields, "Public-Key"))),
              file));
    } catch (IOException | GeneralSecurityException | IllegalArgumentException e) {
      throw new NotDone(NotDone.NOT_NOW, "key.unreadable", file);
    }
  }

  /**
   * The key that lies with the settings, made now if there is none.
   *
   * @throws NotDone if it can't be made or read
   */
  public static SigningKey findOrMake(Home home) {
    Optional<SigningKey> there = find(home);
    if (there.isPresent()) {
      return there.get();
    }
    Path file = home.folder().resolve(FILE);
    try {
      KeyPair pair = KeyPairGenerator.getInstance(ALGORITHM).generateKeyPair();
      String text =
          "Algorithm: "
              + ALGORITHM
              + "\nPublic-Key: "
              + base64(pair.getPublic().getEncoded())
              + "\nPrivate-Key: "
              + base64(pair.getPrivate().getEncoded())
              + "\n";
      Files.createDirectories(home.folder());
      boolean posix = Files.getFileStore(home.folder()).supportsFileAttributeView("posix");
      Set<StandardOpenOption> fresh =
          EnumSet.of(StandardOpenOption.CREATE_NEW, StandardOpenOption.WRITE);
      // The permissions are there before the first byte is.
      try (var channel =
          posix
              ? Files.newByteChannel(
                  file,
                  fresh,
                  PosixFilePermissions.asFileAttribute(
                      EnumSet.of(PosixFilePermission.OWNER_READ, PosixFilePermission.OWNER_WRITE)))
              : Files.newByteChannel(file, fresh)) {
        channel.write(java.nio.ByteBuffer.wrap(text.getBytes(StandardCharsets.US_ASCII)));
      }
      return new SigningKey(pair.getPrivate(), pair.getPublic(), file);
    } catch (IOException | GeneralSecurityException e) {
      throw new NotDone(NotDone.NOT_NOW, "key.not-made", home.folder());
    }
  }

  /** Where it lies, for the offer to back it up. */
  public Path file() {
    return file;
  }

  /** SHA-256 of the public key's X.509 form, 64 hexadecimal digits. */
  public String fingerprint() {
    return fingerprint(open);
  }

  private static String fingerprint(PublicKey key) {
    try {
      return HexFormat.of()
          .formatHex(MessageDigest.getInstance("SHA-256").digest(key.getEncoded()));
    } catch (GeneralSecurityException e) {
      throw new IllegalStateException(e);
    }
  }

  /** The text of a signature file over some bytes. */
  public String sign(byte[] bytes) {
    try {
      Signature signature = Signature.getInstance(ALGORITHM);
      signature.initSign(secret);
      signature.update(bytes);
      return "Signed: tagmanifest-sha256.txt\nAlgorithm: "
          + ALGORITHM
          + "\nPublic-Key: "
          + base64(open.getEncoded())
          + "\nFingerprint: "
          + fingerprint()
          + "\nSignature: "
          + base64(signature.sign())
          + "\n";
    } catch (GeneralSecurityException e) {
      throw new IllegalStateException(e);
    }
  }

  /** What a package's signature says of it. */
  public enum Verdict {
    /** It is not signed. */
    NONE,
    /** The signature fits the package. */
    FITS,
    /** The signature does not fit, or can't be read. */
    DOES_NOT_FIT
  }

  /**
   * What a signature comes to.
   *
   * @param verdict whether it fits
   * @param fingerprint of the key that made it; null if there is none
   */
  public record Signed(Verdict verdict, String fingerprint) {}

  /** Looks at a package's signature. */
  public static Signed check(Path bag) {
    Path file = bag.resolve("signature.txt");
    if (!Files.isRegularFile(file)) {
      return new Signed(Verdict.NONE, null);
    }
    try {
      if (Files.size(file) > LARGEST) {
        return new Signed(Verdict.DOES_NOT_FIT, null);
      }
      Map<String, String> fields = fields(Files.readString(file));
      PublicKey key =
          KeyFactory.getInstance(ALGORITHM)
              .generatePublic(new X509EncodedKeySpec(bytes(fields, "Public-Key")));
      Signature signature = Signature.getInstance(ALGORITHM);
      signature.initVerify(key);
      signature.update(Files.readAllBytes(bag.resolve("tagmanifest-sha256.txt")));
      boolean fits =
          signature.verify(bytes(fields, "Signature"))
              && fingerprint(key).equals(fields.get("Fingerprint"));
      return new Signed(fits ? Verdict.FITS : Verdict.DOES_NOT_FIT, fingerprint(key));
    } catch (IOException | GeneralSecurityException | IllegalArgumentException e) {
      return new Signed(Verdict.DOES_NOT_FIT, null);
    }
  }

  private static Map<String, String> fields(String text) {
    Map<String, String> out = new LinkedHashMap<>();
    for (String line : text.split("\r?\n")) {
      int colon = line.indexOf(": ");
      if (colon > 0) {
        out.putIfAbsent(line.substring(0, colon), line.substring(colon + 2).strip());
      }
    }
    return out;
  }

  private static byte[] bytes(Map<String, String> fields, String name) {
    String value = fields.get(name);
    if (value == null) {
      throw new IllegalArgumentException(name);
    }
    byte[] bytes = Base64.getDecoder().decode(value);
    return Arrays.copyOf(bytes, bytes.length);
  }

  private static String base64(byte[] bytes) {
    return Base64.getEncoder().encodeToString(bytes);
  }
}

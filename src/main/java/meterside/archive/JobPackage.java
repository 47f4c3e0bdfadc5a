package meterside.archive;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.FileVisitResult;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.SimpleFileVisitor;
import java.nio.file.attribute.BasicFileAttributes;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.UUID;
import meterside.job.Edit;
import meterside.job.PhotoId;
import meterside.job.Progress;

/**
 * The evidence package of a job: a bag (RFC 8493) that any BagIt tool can check, and from which the
 * identical job can be made again.
 *
 * <pre>
 * bagit.txt  bag-info.txt  manifest-sha256.txt  manifest-sha512.txt
 * tagmanifest-sha256.txt  tagmanifest-sha512.txt  signature.txt (only if signed)
 * data/about.txt           what this is and how to check it, for people
 * data/journal.jsonl       the journal up to the edit that began the package
 * data/photos/&lt;sha256&gt;.&lt;ext&gt;
 * data/reports/0001/…      what was issued, as it was issued
 * data/extracts/0001/…     what was handed out besides
 * data/annotations.jsonld  the marks, as W3C Web Annotations
 * </pre>
 */
public final class JobPackage {
  /** Payload file for people: what this is and how to check it. */
  public static final String ABOUT = "about.txt";

  /** Payload file: the marks as W3C Web Annotations. */
  public static final String ANNOTATIONS = "annotations.jsonld";

  /** Label in {@code bag-info.txt}: the job's name. */
  static final String JOB = "Meterside-Job";

  /** Label in {@code bag-info.txt}: hash of the journal's last line in the package. */
  static final String HEAD = "Meterside-Journal-Head";

  private static final String DATA = "data/";
  private static final String TAG_MANIFEST = "tagmanifest-sha256.txt";
  private static final String SIGNATURE = "signature.txt";
  private static final Set<String> ALGORITHMS = new TreeSet<>(Set.of("sha256", "sha512"));
  private static final long LARGEST_FILE = 1L << 30;

  private JobPackage() {}

  /** Makes the text of a signature file from the bytes that are signed; null leaves it out. */
  @FunctionalInterface
  public interface Signer {
    /**
     * Signs.
     *
     * @param bytes the tag manifest
     */
    String sign(byte[] bytes);
  }

  /**
   * Writes the package of a job into a folder beside its place, forces every file, and moves it to
   * its place in one step. Every photo is hashed while it is copied.
   *
   * @param folder the job
   * @param journal the journal's bytes up to the edit that began the package
   * @param extras further payload files by name, such as {@code about.txt}
   * @param date the day, for {@code bag-info.txt}
   * @param signer signs the tag manifest, or null
   * @param target the bag; must not be there, or be an empty folder
   * @return SHA-256 of {@code tagmanifest-sha256.txt}; null if it was stopped: nothing is left then
   * @throws BrokenIntegrity if a photo is not what the journal says
   * @throws DiskFull if there is no room; nothing is left
   */
  public static String write(
      JobFolder folder,
      byte[] journal,
      Map<String, byte[]> extras,
      LocalDate date,
      Signer signer,
      Path target,
      Progress progress) {
    FileOps ops = folder.ops();
    Path bag = target.toAbsolutePath().normalize();
    requireFree(bag);
    Path staging = staging(bag);
    clear(ops, staging);
    try {
      Durable.folder(ops, bag.getParent());
      String hash = new Writing(folder, ops, staging, progress).run(journal, extras, date, signer);
      if (hash == null) {
        clear(ops, staging);
        return null;
      }
      if (Files.isDirectory(bag)) {
        ops.delete(bag);
      }
      ops.move(staging, bag);
      ops.forceFolder(bag.getParent());
      return hash;
    } catch (IOException e) {
      clear(ops, staging);
      if (Durable.isFull(ops, bag.getParent(), e, 0)) {
        throw new DiskFull(e, "full.package", bag);
      }
      throw new DiskTrouble(e, "trouble.package", bag, JobLock.reason(e));
    } catch (RuntimeException e) {
      clear(ops, staging);
      throw e;
    }
  }

  /**
   * Refuses a place where a package can't be made.
   *
   * @throws AlreadyThere if something is there
   */
  public static void requireFree(Path bag) {
    if (Files.exists(bag, LinkOption.NOFOLLOW_LINKS)) {
      String[] inside = Files.isDirectory(bag) ? bag.toFile().list() : new String[] {""};
      if (inside == null || inside.length > 0) {
        throw new AlreadyThere("package.there", bag);
      }
    }
  }

  /** Clears away what an interrupted writing of this package left beside its place. */
  public static void clearLeftovers(Path bag) {
    clear(FileOps.disk(), staging(bag.toAbsolutePath().normalize()));
  }

  private static Path staging(Path bag) {
    return bag.resolveSibling("." + bag.getFileName() + ".packing");
  }

  /** SHA-256 of a bag's {@code tagmanifest-sha256.txt}. */
  public static String tagManifest(Path bag) throws IOException {
    return Sha256.of(bag.resolve(TAG_MANIFEST)).hex();
  }

  /** Removes a folder with all in it, as far as it can be. */
  static void clear(FileOps ops, Path folder) {
    if (!Files.isDirectory(folder, LinkOption.NOFOLLOW_LINKS)) {
      return;
    }
    try {
      Files.walkFileTree(
          folder,
          new SimpleFileVisitor<>() {
            @Override
            public FileVisitResult visitFile(Path file, BasicFileAttributes a) throws IOException {
              ops.delete(file);
              return FileVisitResult.CONTINUE;
            }

            @Override
            public FileVisitResult postVisitDirectory(Path dir, IOException e) throws IOException {
              ops.delete(dir);
              return FileVisitResult.CONTINUE;
            }
          });
    } catch (IOException stays) {
      // Under a name that is no package's; the next attempt clears it away.
      return;
    }
  }

  /** One package while it is written. */
  private static final class Writing {
    private final JobFolder folder;
    private final FileOps ops;
    private final Path root;
    private final Progress progress;
    private final Map<String, Map<String, String>> manifests = new TreeMap<>();
    private final Set<Path> folders = new TreeSet<>();
    private long octets;

    Writing(JobFolder folder, FileOps ops, Path root, Progress progress) {
      this.folder = folder;
      this.ops = ops;
      this.root = root;
      this.progress = progress;
      ALGORITHMS.forEach(a -> manifests.put(a, new TreeMap<>()));
    }

    String run(byte[] journal, Map<String, byte[]> extras, LocalDate date, Signer signer)
        throws IOException {
      JournalContent content = Journal.read(folder.name(), journal);
      Map<PhotoId, Kept> photos = Kept.of(content);
      payload(JobFolder.JOURNAL, journal);
      for (Map.Entry<String, byte[]> e : extras.entrySet()) {
        payload(e.getKey(), e.getValue());
      }
      long done = 0;
      for (Kept p : photos.values()) {
        if (progress.cancelled()) {
          return null;
        }
        Path original = folder.originals().folder().resolve(p.storedName());
        if (!payload(JobFolder.PHOTOS + "/" + p.storedName(), original).equals(p.id().hex())) {
          if (!Sha256.of(original).equals(p.id())) {
            throw new BrokenIntegrity(0, "package.changed", p.name());
          }
          throw new Durable.OtherBytes(original);
        }
        progress.at(++done, photos.size());
      }
      List<Path> handedOut = new ArrayList<>(files(folder.reports()));
      handedOut.addAll(files(folder.extracts()));
      for (Path file : handedOut) {
        if (progress.cancelled()) {
          return null;
        }
        payload(folder.path().relativize(file).toString().replace('\\', '/'), file);
      }
      tag("bagit.txt", "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n");
      tag("bag-info.txt", info(content, date));
      Map<String, String> tags = new TreeMap<>();
      for (String a : ALGORITHMS) {
        tag("manifest-" + a + ".txt", lines(manifests.get(a)));
      }
      for (String a : ALGORITHMS) {
        tags.clear();
        for (String name :
            List.of("bag-info.txt", "bagit.txt", "manifest-sha256.txt", "manifest-sha512.txt")) {
          tags.put(name, hex(a, Files.readAllBytes(root.resolve(name))));
        }
        tag("tagmanifest-" + a + ".txt", lines(tags));
      }
      byte[] sealed = Files.readAllBytes(root.resolve(TAG_MANIFEST));
      if (signer != null) {
        tag(SIGNATURE, signer.sign(sealed));
      }
      // Deepest first, so that no name is forced before what it leads to.
      List<Path> deepest = new ArrayList<>(folders);
      deepest.sort((a, b) -> b.getNameCount() - a.getNameCount());
      for (Path f : deepest) {
        ops.forceFolder(f);
      }
      ops.forceFolder(root);
      return Sha256.of(sealed).hex();
    }

    private String info(JournalContent content, LocalDate date) {
      Map<String, String> info = new LinkedHashMap<>();
      info.put("External-Description", "Evidence package of " + content.header().site());
      info.put("External-Identifier", content.header().id());
      info.put("Bagging-Date", date.toString());
      info.put("Bag-Software-Agent", "Meterside");
      info.put("Payload-Oxum", octets + "." + manifests.get("sha256").size());
      info.put(JOB, folder.name());
      info.put(HEAD, content.head());
      StringBuilder text = new StringBuilder();
      info.forEach(
          (label, value) ->
              text.append(label)
                  .append(": ")
                  .append(value.replaceAll("\\s+", " ").strip())
                  .append('\n'));
      return text.toString();
    }

    private void payload(String path, byte[] bytes) throws IOException {
      put(DATA + path, bytes);
      octets += bytes.length;
      for (String a : ALGORITHMS) {
        manifests.get(a).put(DATA + path, hex(a, bytes));
      }
    }

    /** Copies a file and hashes what was written. Returns its SHA-256. */
    private String payload(String path, Path source) throws IOException {
      Path file = place(DATA + path);
      ops.copy(source, file);
      ops.force(file);
      Map<String, MessageDigest> digests = new TreeMap<>();
      ALGORITHMS.forEach(a -> digests.put(a, digest(a)));
      byte[] piece = new byte[1 << 16];
      try (InputStream in = Files.newInputStream(file)) {
        for (int n = in.read(piece); n >= 0; n = in.read(piece)) {
          for (MessageDigest d : digests.values()) {
            d.update(piece, 0, n);
          }
          octets += n;
        }
      }
      digests.forEach((a, d) -> manifests.get(a).put(DATA + path, Sha256.digits(d.digest())));
      return manifests.get("sha256").get(DATA + path);
    }

    private void tag(String name, String text) throws IOException {
      put(name, text.getBytes(StandardCharsets.UTF_8));
    }

    private void put(String path, byte[] bytes) throws IOException {
      Path file = place(path);
      ops.write(file, bytes);
      ops.force(file);
    }

    private Path place(String path) throws IOException {
      Path file = root.resolve(path);
      ops.createFolder(file.getParent());
      for (Path f = file.getParent(); !f.equals(root); f = f.getParent()) {
        folders.add(f);
      }
      return file;
    }

    private static String lines(Map<String, String> sums) {
      StringBuilder out = new StringBuilder();
      for (Map.Entry<String, String> e : sums.entrySet()) {
        String path = e.getKey().replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A");
        out.append(e.getValue()).append("  ").append(path).append('\n');
      }
      return out.toString();
    }

    private static List<Path> files(Path folder) throws IOException {
      if (!Files.isDirectory(folder)) {
        return List.of();
      }
      try (var all = Files.walk(folder)) {
        return all.filter(f -> Files.isRegularFile(f, LinkOption.NOFOLLOW_LINKS))
            .filter(f -> !Durable.isTemporary(f))
            .sorted()
            .toList();
      }
    }
  }

  private static String hex(String algorithm, byte[] bytes) {
    return Sha256.digits(digest(algorithm).digest(bytes));
  }

  private static MessageDigest digest(String algorithm) {
    try {
      return MessageDigest.getInstance("SHA-" + algorithm.substring(3));
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException(e); // both are in every Java platform
    }
  }

  /**
   * A package that was checked and found whole.
   *
   * @param name the job's name
   * @param content its journal
   * @param tagManifest SHA-256 of {@code tagmanifest-sha256.txt}
   */
  public record Whole(String name, JournalContent content, String tagManifest) {}

  /**
   * Opens a package: a valid bag that holds a whole job.
   *
   * @param progress counts files; may stop it
   * @return the package; empty if it was stopped
   * @throws BrokenIntegrity if it is no valid bag, or not a whole job; the sentence says what
   * @throws NewerFormat if a newer program made it
   */
  public static Optional<Whole> open(Path folder, Progress progress) {
    Path bag = folder.toAbsolutePath().normalize();
    Bag.Check check = Bag.check(bag, progress);
    if (!check.problems().isEmpty()) {
      throw new BrokenIntegrity(0, "package.not-valid", bag, check.problems().get(0));
    }
    if (!check.finished()) {
      return Optional.empty();
    }
    return Optional.of(whole(bag, check));
  }

  /**
   * Reads whose job a package holds and its journal, without hashing the photos again.
   *
   * @throws BrokenIntegrity if it is not a whole job
   */
  public static Whole read(Path folder) {
    Path bag = folder.toAbsolutePath().normalize();
    return whole(bag, Bag.listed(bag));
  }

  private static Whole whole(Path bag, Bag.Check check) {
    String name = check.info().getOrDefault(JOB, "");
    if (!JobName.good(name) || !check.payload().containsKey(DATA + JobFolder.JOURNAL)) {
      throw new BrokenIntegrity(0, "package.not-ours", bag);
    }
    JournalContent content =
        Journal.read(name, new JobFolder(name, bag.resolve("data"), FileOps.disk()).journalBytes());
    boolean begun =
        !content.entries().isEmpty()
            && content.entries().get(content.entries().size() - 1).edit()
                instanceof Edit.StartPacking;
    if (!begun || content.tornTail() || !content.head().equals(check.info().get(HEAD))) {
      throw new BrokenIntegrity(0, "package.other-end", bag);
    }
    for (Kept p : Kept.of(content).values()) {
      String path = DATA + JobFolder.PHOTOS + "/" + p.storedName();
      if (!p.id().hex().equals(check.payload().get(path))) {
        throw new BrokenIntegrity(0, "package.photo", bag, p.name());
      }
    }
    try {
      return new Whole(name, content, tagManifest(bag));
    } catch (IOException e) {
      throw new BrokenIntegrity(0, "package.not-ours", bag);
    }
  }

  /**
   * Makes the job of a package again in an archive: journal, photos and reports, byte for byte, all
   * or nothing.
   *
   * @param whole the package as {@link #open} found it
   * @return the job's folder
   * @throws AlreadyThere if the archive has a job of this name
   * @throws DiskFull if there is no room; nothing is left
   */
  public static Optional<JobFolder> restore(
      Archive archive, Path folder, Whole whole, Progress progress) {
    FileOps ops = archive.ops();
    Path bag = folder.toAbsolutePath().normalize();
    Path jobs = archive.jobsFolder();
    Path target = jobs.resolve(whole.name());
    if (Files.exists(target, LinkOption.NOFOLLOW_LINKS)) {
      throw new AlreadyThere("package.job-there", whole.name());
    }
    Path building = jobs.resolve(Archive.NEW_JOB + UUID.randomUUID());
    Path data = bag.resolve("data");
    Set<Path> folders = new TreeSet<>();
    try {
      List<String> paths = new ArrayList<>();
      paths.add(JobFolder.JOURNAL);
      Kept.of(whole.content()).values().stream()
          .map(p -> JobFolder.PHOTOS + "/" + p.storedName())
          .forEach(paths::add);
      for (String handedOut : List.of(JobFolder.REPORTS, JobFolder.EXTRACTS)) {
        for (Path file : Writing.files(data.resolve(handedOut))) {
          paths.add(data.relativize(file).toString());
        }
      }
      ops.createFolder(building.resolve(JobFolder.PHOTOS));
      long done = 0;
      for (String path : paths) {
        if (progress.cancelled()) {
          clear(ops, building);
          return Optional.empty();
        }
        Path from = data.resolve(path);
        if (Files.size(from) > LARGEST_FILE) {
          throw new BrokenIntegrity(0, "package.huge", path);
        }
        Path to = building.resolve(path);
        ops.createFolder(to.getParent());
        for (Path f = to.getParent(); !f.equals(building); f = f.getParent()) {
          folders.add(f);
        }
        ops.copy(from, to);
        ops.force(to);
        if (path.startsWith(JobFolder.PHOTOS)) {
          if (!to.getFileName().toString().startsWith(Sha256.of(to).hex())) {
            throw new Durable.OtherBytes(to);
          }
          ops.readOnly(to);
        }
        progress.at(++done, paths.size());
      }
      List<Path> deepest = new ArrayList<>(folders);
      deepest.sort((a, b) -> b.getNameCount() - a.getNameCount());
      for (Path f : deepest) {
        ops.forceFolder(f);
      }
      ops.forceFolder(building);
      ops.move(building, target);
      ops.forceFolder(jobs);
    } catch (IOException e) {
      clear(ops, building);
      if (Durable.isFull(ops, archive.root(), e, 0)) {
        throw new DiskFull(e, "full.import", whole.name());
      }
      throw new DiskTrouble(e, "trouble.import", whole.name(), JobLock.reason(e));
    } catch (RuntimeException e) {
      clear(ops, building);
      throw e;
    }
    return Optional.of(archive.job(whole.name()));
  }
}

package meterside.archive;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.io.RandomAccessFile;
import java.nio.charset.StandardCharsets;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.attribute.DosFileAttributeView;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.concurrent.locks.LockSupport;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import meterside.job.IssuedReport;
import meterside.job.Photo;
import meterside.job.PhotoId;

/**
 * A job's folder. Truth is {@code journal.jsonl} and {@code photos/}; {@code derived/} may be
 * deleted at any time. Reading needs no lock; writing goes through {@link JournalWriter}.
 */
public final class JobFolder {
  static final String JOURNAL = "journal.jsonl";
  static final String LOCK = "job.lock";
  static final String PHOTOS = "photos";
  static final String DERIVED = "derived";
  static final String REPORTS = "reports";
  static final String EXTRACTS = "extracts";
  static final String PACKAGES = "packages";
  static final String ISSUED = "issued.json";

  /** A journal of 700 photos and a thousand edits has about a megabyte. */
  private static final long LARGEST_JOURNAL = 1L << 29;

  /** An append takes a few milliseconds; a slow disk some tens. */
  private static final int LOOKS = 4;

  private static final long BETWEEN_LOOKS_NANOS = 20_000_000;

  private static final Pattern LAST_HASH = Pattern.compile(",\"hash\":\"([0-9a-f]{64})\"}\n");
  private static final int LAST_BYTES = 76;

  private final String name;
  private final Path path;
  private final FileOps ops;
  private final Originals originals;

  JobFolder(String name, Path path, FileOps ops) {
    this.name = name;
    this.path = path;
    this.ops = ops;
    this.originals = new Originals(ops, path.resolve(PHOTOS));
  }

  /** The job's name, which is the folder's. */
  public String name() {
    return name;
  }

  /** The folder. */
  public Path path() {
    return path;
  }

  /** The journal. */
  public Path journalFile() {
    return path.resolve(JOURNAL);
  }

  /** Previews, thumbnails and the like: may be deleted at any time, may not be there. */
  public Path derived() {
    return path.resolve(DERIVED);
  }

  /** Issued reports, each in a folder {@code 0001}, {@code 0002} …; may not be there. */
  public Path reports() {
    return path.resolve(REPORTS);
  }

  /** The folder of one issued report, whether it is there or not. */
  public Path report(int number) {
    return reports().resolve(String.format(Locale.ROOT, "%04d", number));
  }

  /**
   * What was handed out besides reports, each in a folder {@code 0001}, {@code 0002} … in the order
   * in which the journal records it; may not be there.
   */
  public Path extracts() {
    return path.resolve(EXTRACTS);
  }

  /** The folder of one hand-over, whether it is there or not. */
  public Path extract(int number) {
    return extracts().resolve(String.format(Locale.ROOT, "%04d", number));
  }

  /** The camera's bytes. */
  public Originals originals() {
    return originals;
  }

  /**
   * The camera's bytes of a photo, for those who only look.
   *
   * @throws IOException if they can't be read
   */
  public byte[] originalBytes(Photo photo) throws IOException {
    return originals.bytes(photo);
  }

  FileOps ops() {
    return ops;
  }

  Path lockFile() {
    return path.resolve(LOCK);
  }

  /**
   * Reads and checks the journal. Needs no lock. A line that is just being written looks like a
   * torn tail, so a torn tail is looked at again before it is called one.
   *
   * @throws BrokenIntegrity naming the first line that is not right
   * @throws NewerFormat if a newer program wrote it
   */
  public JournalContent read() {
    JournalContent content = Journal.read(name, journalBytes());
    for (int i = 0; i < LOOKS && content.tornTail(); i++) {
      LockSupport.parkNanos(BETWEEN_LOOKS_NANOS);
      content = Journal.read(name, journalBytes());
    }
    return content;
  }

  /**
   * The hash of the journal's last whole line as it stands in the file, unchecked and without
   * reading the rest: enough to see whether something built from the journal is behind. Empty if
   * there is no such line.
   */
  public Optional<String> lastHead() {
    try (RandomAccessFile file = new RandomAccessFile(journalFile().toFile(), "r")) {
      long length = file.length();
      if (length < LAST_BYTES) {
        return Optional.empty();
      }
      byte[] last = new byte[LAST_BYTES];
      file.seek(length - LAST_BYTES);
      file.readFully(last);
      Matcher whole = LAST_HASH.matcher(new String(last, StandardCharsets.ISO_8859_1));
      if (whole.matches()) {
        return Optional.of(whole.group(1));
      }
    } catch (IOException e) {
      return Optional.empty();
    }
    // A torn tail: look further back.
    String all = new String(journalBytes(), StandardCharsets.ISO_8859_1);
    Matcher lines = LAST_HASH.matcher(all);
    String found = null;
    while (lines.find()) {
      found = lines.group(1);
    }
    return Optional.ofNullable(found);
  }

  /**
   * A journal with the hash of each of its lines.
   *
   * @param content what {@link #read} gives
   * @param heads the hashes, line 1 first
   */
  public record Chain(JournalContent content, List<String> heads) {}

  /**
   * Reads and checks the journal with the hashes of its lines, both from one reading.
   *
   * @throws BrokenIntegrity as {@link #read}
   */
  public Chain chain() {
    byte[] bytes = journalBytes();
    return new Chain(Journal.read(name, bytes), Journal.heads(bytes));
  }

  /**
   * The hashes of all lines of the journal, line 1 first, after checking it.
   *
   * @throws BrokenIntegrity as {@link #read}
   */
  public List<String> heads() {
    return chain().heads();
  }

  byte[] journalBytes() {
    Path file = journalFile();
    try {
      if (Files.exists(file) && !Files.isRegularFile(file)) {
        throw new BrokenIntegrity(0, "journal.missing", name); // a pipe would never end
      }
      long size = Files.size(file);
      if (size > LARGEST_JOURNAL) {
        throw new BrokenIntegrity(0, "journal.huge", name, size);
      }
      return Files.readAllBytes(file);
    } catch (NoSuchFileException e) {
      throw new BrokenIntegrity(0, isOnline() ? "journal.online" : "journal.missing", name);
    } catch (IOException e) {
      throw new DiskTrouble(e, "trouble.journal", name, JobLock.reason(e));
    }
  }

  /** Whether a hidden file of the journal's name with something added lies in its place. */
  private boolean isOnline() {
    String[] all = path.toFile().list();
    return all != null
        && Stream.of(all)
            .anyMatch(f -> f.startsWith("." + JOURNAL + ".") && !Durable.isTemporary(Path.of(f)));
  }

  /** The preview of a photo, upright JPEG; empty if there is none. */
  public Optional<byte[]> preview(PhotoId photo) {
    return derivedPicture("previews", photo);
  }

  /** Keeps a preview. What can't be kept is no loss: it can be made again. */
  public void keepPreview(PhotoId photo, byte[] jpeg) {
    keepDerived(derivedFile("previews", photo), jpeg);
  }

  /** The thumbnail of a photo, upright JPEG; empty if there is none. */
  public Optional<byte[]> thumbnail(PhotoId photo) {
    return derivedPicture("thumbnails", photo);
  }

  /** Keeps a thumbnail. What can't be kept is no loss: it can be made again. */
  public void keepThumbnail(PhotoId photo, byte[] jpeg) {
    keepDerived(derivedFile("thumbnails", photo), jpeg);
  }

  /**
   * The look of a photo as it was kept; empty if none was. Whether it is whole and of today's kind
   * is for those to say who made it.
   */
  public Optional<byte[]> look(PhotoId photo) {
    try {
      return Optional.of(Files.readAllBytes(lookFile(photo)));
    } catch (IOException e) {
      return Optional.empty();
    }
  }

  /** Keeps a look. What can't be kept is no loss: it can be made again. */
  public void keepLook(PhotoId photo, byte[] look) {
    keepDerived(lookFile(photo), look);
  }

  private Path lookFile(PhotoId photo) {
    return derived().resolve("looks").resolve(photo.hex() + ".look");
  }

  /**
   * Writes beside an issued report what it was issued from, so that {@link Verify} can tell when
   * the journal's end was cut off later: {@code issued.json} in the report's folder. To be called
   * when the report's files are there, before the edit that records it. Forces all of them.
   *
   * @throws DiskFull if there is no room
   */
  public void noteIssued(IssuedReport report) {
    Path at = report(report.number());
    try {
      Durable.folder(ops, at);
      forceTree(at);
      Durable.put(
          ops,
          at.resolve(ISSUED),
          (Json.text(Json.MAPPER.valueToTree(report)) + "\n").getBytes(StandardCharsets.UTF_8));
      ops.forceFolder(reports());
      ops.forceFolder(path);
    } catch (IOException e) {
      if (Durable.isFull(ops, path, e, 0)) {
        throw new DiskFull(e, "full.report", name);
      }
      throw new DiskTrouble(e, "trouble.report", name, JobLock.reason(e));
    }
  }

  /** Notes on packages that were made of the job: {@code 0001.json} …; may not be there. */
  Path packages() {
    return path.resolve(PACKAGES);
  }

  /**
   * Notes a package beside the journal, so that {@link Verify} can tell when the journal's end was
   * cut off later. To be called when the package is there, before the edit that records it.
   *
   * @param bag name of the package's folder
   * @param head hash of the last line in the package's journal
   * @param tagManifest SHA-256 of its tag manifest
   * @throws DiskFull if there is no room
   */
  public void notePacked(String bag, String head, String tagManifest) {
    ObjectNode node = Json.MAPPER.createObjectNode();
    node.put("bag", bag);
    node.put("head", head);
    node.put("tagManifest", tagManifest);
    try {
      Durable.folder(ops, packages());
      int number = 1;
      Path note = packages().resolve("0001.json");
      while (Files.exists(note)) {
        number++;
        note = packages().resolve(String.format(Locale.ROOT, "%04d.json", number));
      }
      Durable.put(ops, note, (Json.text(node) + "\n").getBytes(StandardCharsets.UTF_8));
    } catch (IOException e) {
      if (Durable.isFull(ops, path, e, 0)) {
        throw new DiskFull(e, "full.journal", name);
      }
      throw new DiskTrouble(e, "trouble.append", name, JobLock.reason(e));
    }
  }

  /** Forces the files below a folder, and the names of all of them. */
  private void forceTree(Path root) throws IOException {
    List<Path> all;
    try (Stream<Path> walk = Files.walk(root)) {
      all = walk.toList();
    }
    // Deepest first, so that no name is forced before what it leads to.
    for (int i = all.size() - 1; i >= 0; i--) {
      if (Files.isDirectory(all.get(i), LinkOption.NOFOLLOW_LINKS)) {
        ops.forceFolder(all.get(i));
      } else {
        ops.force(all.get(i));
      }
    }
  }

  /**
   * Keeps a copy of what is handed out, but for photos that are kept as originals anyway: {@code
   * extracts/0001/…}. To be called when the files are there, before the edit that records it.
   *
   * @param number how many hand-overs the journal records before it, and one
   * @param from the folder that is handed out
   * @param files names within it, with their SHA-256
   * @throws DiskFull if there is no room; what was handed out may be there, and is not recorded
   */
  public void keepExtract(int number, Path from, Map<String, String> files) {
    Path at = extract(number);
    Set<String> originals = Kept.everNamed(read());
    try {
      // A folder of this number is left from a hand-over that was never recorded.
      JobPackage.clear(ops, at);
      for (Map.Entry<String, String> f : new TreeMap<>(files).entrySet()) {
        Path to = at.resolve(f.getKey()).normalize();
        if (originals.contains(f.getValue()) || !to.startsWith(at)) {
          continue;
        }
        Durable.folder(ops, to.getParent());
        Durable.copy(ops, from.resolve(f.getKey()), to, f.getValue(), false);
        ops.forceFolder(to.getParent());
      }
    } catch (IOException e) {
      if (Durable.isFull(ops, path, e, 0)) {
        throw new DiskFull(e, "full.extract", name);
      }
      throw new DiskTrouble(e, "trouble.extract", name, JobLock.reason(e));
    }
  }

  /**
   * Removes the bytes of a photo that was withdrawn, and all that was derived from them. Only for
   * the holder of the lock, after the withdrawal is in the journal. Does nothing if none is there.
   *
   * @throws DiskTrouble if the file can't be removed
   */
  public void forget(PhotoId photo) {
    try {
      boolean removed = false;
      if (Files.isDirectory(originals.folder())) {
        try (DirectoryStream<Path> files =
            Files.newDirectoryStream(originals.folder(), photo.hex() + ".*")) {
          for (Path file : files) {
            writable(file);
            ops.delete(file);
            removed = true;
          }
        }
      }
      for (Path file :
          List.of(
              derivedFile("previews", photo), derivedFile("thumbnails", photo), lookFile(photo))) {
        if (Files.exists(file)) {
          ops.delete(file);
        }
      }
      if (removed) {
        ops.forceFolder(originals.folder());
      }
    } catch (IOException e) {
      throw new DiskTrouble(e, "trouble.forget", name, JobLock.reason(e));
    }
  }

  /** Lets a file be replaced or deleted: Windows lets nobody do that with a read-only one. */
  static void writable(Path file) throws IOException {
    DosFileAttributeView dos = Files.getFileAttributeView(file, DosFileAttributeView.class);
    if (dos != null && !Files.isWritable(file)) {
      dos.setReadOnly(false);
    }
  }

  private Path derivedFile(String kind, PhotoId photo) {
    return derived().resolve(kind).resolve(photo.hex() + ".jpg");
  }

  private Optional<byte[]> derivedPicture(String kind, PhotoId photo) {
    try {
      byte[] bytes = Files.readAllBytes(derivedFile(kind, photo));
      // These files are not forced; after a power cut one may be empty or end in zeros.
      boolean whole = bytes.length > 0 && bytes[bytes.length - 1] != 0;
      return whole ? Optional.of(bytes) : Optional.empty();
    } catch (IOException e) {
      return Optional.empty();
    }
  }

  private void keepDerived(Path file, byte[] bytes) {
    try {
      ops.createFolder(file.getParent());
      Durable.place(ops, file, bytes, false, false);
    } catch (IOException e) {
      if (Durable.isFull(ops, path, e, bytes.length)) {
        throw new DiskFull(e, "full.derived", name);
      }
      throw new DiskTrouble(e, "trouble.derived", name, JobLock.reason(e));
    }
  }

  @Override
  public String toString() {
    return path.toString();
  }
}

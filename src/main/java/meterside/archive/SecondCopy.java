package meterside.archive;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.DirectoryIteratorException;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.time.DateTimeException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Stream;
import meterside.job.Edit;
import meterside.job.History;
import meterside.job.PhotoId;
import meterside.job.Progress;

/**
 * A second copy of an archive in another place: journals, originals, issued reports and hand-overs
 * of every job, under the same archive id, so that the copy is itself an archive that opens
 * anywhere. What can be made again (previews, index) is left out.
 *
 * <pre>
 * archive.json   as in the archive
 * copy.json      {"format":1,"of":"9e0c8f3e-…","at":"2026-05-12T21:00:00.000Z","whole":true}
 * jobs/…         journal.jsonl, photos/, reports/, extracts/
 * </pre>
 *
 * <p>What makes it a copy to rely on:
 *
 * <ul>
 *   <li>Damage is not copied. A journal whose chain is broken and a photo whose hash is wrong stay
 *       out, and what the copy held of them stays as it was.
 *   <li>A copy that knows more is not overwritten. The journal of the copy must be the beginning of
 *       the archive's; if it is not, the archive lost lines or went another way, and the job is
 *       left as it is and said.
 *   <li>Each file is read from the archive, hashed, written beside its name, forced, read again and
 *       hashed again, and only then gets its name. A job's journal comes last, so at every moment
 *       the copy's journals name only what is there.
 *   <li>A photo that was withdrawn leaves the copy too, after the journal that says so.
 * </ul>
 */
public final class SecondCopy {
  private static final int FORMAT = 1;
  private static final String MARKER = "archive.json";
  private static final String NOTE = "copy.json";
  private static final String JOBS = "jobs";
  private static final int LARGEST_NOTE = 1 << 16;

  /** Digits of a hash, with which a stored name begins. */
  private static final int HASH = 64;

  /**
   * What came of copying.
   *
   * @param jobs jobs that the copy now holds as the archive does
   * @param files files that were written
   * @param bytes their length together
   * @param problems what could not be copied, a sentence each
   * @param notes what is worth knowing, a sentence each
   * @param stopped whether it was stopped before its end
   */
  public record Result(
      int jobs,
      long files,
      long bytes,
      List<String> problems,
      List<String> notes,
      boolean stopped) {
    /** Copies the lists. */
    public Result {
      problems = List.copyOf(problems);
      notes = List.copyOf(notes);
    }

    /** Whether the copy now holds everything. */
    public boolean whole() {
      return problems.isEmpty() && !stopped;
    }
  }

  /**
   * What a copy says of itself.
   *
   * @param archive id of the archive it is of
   * @param at when it was last brought up to date
   * @param whole whether it then held everything
   */
  public record State(String archive, Instant at, boolean whole) {}

  private final Archive archive;
  private final Path target;
  private final FileOps ops;
  private final boolean full;
  private final Progress progress;
  private final List<String> problems = new ArrayList<>();
  private final List<String> notes = new ArrayList<>();
  private int jobs;
  private long files;
  private long bytes;

  private SecondCopy(Archive archive, Path target, FileOps ops, boolean full, Progress progress) {
    this.archive = archive;
    this.target = target;
    this.ops = ops;
    this.full = full;
    this.progress = progress;
  }

  /** What the copy in a folder says of itself; empty if it is none or can't be read. */
  public static Optional<State> state(Path folder) {
    Path note = folder.resolve(NOTE);
    try {
      if (!Files.isRegularFile(note) || Files.size(note) > LARGEST_NOTE) {
        return Optional.empty();
      }
      JsonNode node = Json.MAPPER.readTree(Files.readAllBytes(note));
      return Optional.of(
          new State(
              node.path("of").asText(),
              Instant.parse(node.path("at").asText()),
              node.path("whole").asBoolean()));
    } catch (IOException | DateTimeException e) {
      return Optional.empty();
    }
  }

  /**
   * Brings the copy in a folder up to date, or begins one there.
   *
   * @param folder empty, not there yet, or a copy of this archive
   * @param full whether files that the copy holds already are read through again; else only their
   *     length is looked at
   * @param at when, for the copy's note
   * @param progress counts jobs; may stop it, what was copied stays
   * @throws BadName if the folder lies in the archive or the archive in it, or is something else
   * @throws DiskFull if the other disk is full; what was copied stays
   */
  public static Result update(
      Archive archive, Path folder, boolean full, Instant at, Progress progress) {
    return update(archive, folder, FileOps.disk(), full, at, progress);
  }

  /** As {@link #update(Archive, Path, boolean, Instant, Progress)}, on a file-system double. */
  static Result update(
      Archive archive, Path folder, FileOps ops, boolean full, Instant at, Progress progress) {
    Path target = folder.toAbsolutePath().normalize();
    SecondCopy copy = new SecondCopy(archive, target, ops, full, progress);
    copy.check();
    try {
      return copy.run(at);
    } catch (IOException e) {
      if (Durable.isFull(ops, existing(target), e, 0)) {
        throw new DiskFull(e, "full.copy", target);
      }
      throw new DiskTrouble(e, "trouble.copy", target, JobLock.reason(e));
    }
  }

  private static Path existing(Path path) {
    Path p = path;
    while (p.getParent() != null && !Files.exists(p)) {
      p = p.getParent();
    }
    return p;
  }

  /** Refuses a folder that is no place for this copy. */
  private void check() {
    Path root = real(archive.root());
    Path there = real(target);
    if (there.startsWith(root) || root.startsWith(there)) {
      throw new BadName("copy.inside", target);
    }
    if (Files.exists(target) && !Files.isDirectory(target)) {
      throw new BadName("copy.file", target);
    }
    if (!Files.isDirectory(target)) {
      return;
    }
    boolean empty;
    try (Stream<Path> inside = Files.list(target)) {
      empty = inside.allMatch(p -> Durable.isTemporary(p));
    } catch (IOException e) {
      throw new DiskTrouble(e, "trouble.copy", target, JobLock.reason(e));
    }
    if (empty) {
      return;
    }
    State state =
        state(target)
            .orElseThrow(
                () ->
                    new BadName(
                        Files.exists(target.resolve(MARKER)) ? "copy.an-archive" : "copy.other",
                        target));
    if (!state.archive().equals(archive.id())) {
      throw new BadName("copy.other-archive", target);
    }
  }

  /** The path with its links resolved as far as it exists. */
  private static Path real(Path path) {
    Path p = existing(path.toAbsolutePath().normalize());
    try {
      return p.toRealPath().resolve(p.relativize(path.toAbsolutePath().normalize())).normalize();
    } catch (IOException e) {
      return path.toAbsolutePath().normalize();
    }
  }

  private Result run(Instant at) throws IOException {
    Durable.folder(ops, target);
    // The note first: from then on the folder is known as a copy, however this ends.
    if (state(target).isEmpty()) {
      note(at, false);
    }
    Durable.folder(ops, target.resolve(JOBS));
    if (!Files.exists(target.resolve(MARKER))) {
      Durable.put(ops, target.resolve(MARKER), Files.readAllBytes(archive.root().resolve(MARKER)));
    }
    List<String> names = archive.jobNames();
    boolean stopped = false;
    for (int i = 0; i < names.size() && !stopped; i++) {
      progress.at(i, names.size());
      stopped = !job(names.get(i));
    }
    if (!stopped) {
      progress.at(names.size(), names.size());
      onlyThere(new HashSet<>(names));
    }
    Result result = new Result(jobs, files, bytes, problems, notes, stopped);
    if (!stopped) {
      note(at, result.whole());
    }
    return result;
  }

  private void note(Instant at, boolean whole) throws IOException {
    ObjectNode node = Json.MAPPER.createObjectNode();
    node.put("format", FORMAT);
    node.put("of", archive.id());
    node.put("at", Json.moment(at));
    node.put("whole", whole);
    Durable.put(
        ops, target.resolve(NOTE), (Json.text(node) + "\n").getBytes(StandardCharsets.UTF_8));
  }

  private void onlyThere(Set<String> names) throws IOException {
    try (DirectoryStream<Path> there = Files.newDirectoryStream(target.resolve(JOBS))) {
      for (Path job : there) {
        String name = job.getFileName().toString();
        if (!names.contains(name) && Files.isRegularFile(job.resolve(JobFolder.JOURNAL))) {
          notes.add(say("copy.only-there", name));
        }
      }
    } catch (DirectoryIteratorException e) {
      throw e.getCause();
    }
  }

  /** Copies a job; false if it was stopped. */
  private boolean job(String name) throws IOException {
    JobFolder from = archive.job(name);
    JobFolder to = new JobFolder(name, target.resolve(JOBS).resolve(name), ops);
    byte[] journal;
    JournalContent content;
    try {
      byte[] all = from.journalBytes();
      content = Journal.read(name, all);
      journal = Arrays.copyOf(all, (int) content.goodLength());
    } catch (BrokenIntegrity | NewerFormat e) {
      problems.add(say("copy.job-not", name, e.getMessage()));
      return true;
    }
    byte[] held = held(to);
    if (held != null && !startsWith(journal, held)) {
      boolean behind = startsWith(held, journal);
      problems.add(say(behind ? "copy.knows-more" : "copy.other-way", name));
      return true;
    }
    Durable.folder(ops, to.originals().folder());
    Map<String, String> gone = new HashMap<>();
    Map<PhotoId, Kept> photos = Kept.of(content, gone);
    boolean whole = true;
    for (Kept p : photos.values()) {
      if (progress.cancelled()) {
        return false;
      }
      whole &= original(from, to, name, p);
    }
    ops.forceFolder(to.originals().folder());
    whole &= reports(from, to, content) & extracts(from, to, content);
    // Before the journal gets its name, so that it names nothing that a power cut could take.
    ops.forceFolder(to.path());
    if (!whole) {
      // A journal that names photos the copy lacks would make it look whole.
      return true;
    }
    if (held == null || held.length != journal.length) {
      Durable.place(ops, to.journalFile(), journal, false, true);
      files++;
      bytes += journal.length;
      ops.forceFolder(to.path());
      ops.forceFolder(to.path().getParent());
    }
    gone.keySet().forEach(stored -> to.forget(new PhotoId(stored.substring(0, HASH))));
    jobs++;
    return true;
  }

  /** The journal the copy holds, or null if it holds none. */
  private byte[] held(JobFolder to) {
    if (!Files.isRegularFile(to.journalFile())) {
      return null;
    }
    byte[] there = to.journalBytes();
    try {
      return Arrays.copyOf(there, (int) Journal.read(to.name(), there).goodLength());
    } catch (BrokenIntegrity e) {
      // Damaged there: the archive's good one takes its place.
      notes.add(say("copy.put-right", to.name(), JobFolder.JOURNAL));
      return null;
    } catch (NewerFormat e) {
      return there;
    }
  }

  private static boolean startsWith(byte[] whole, byte[] beginning) {
    return whole.length >= beginning.length
        && Arrays.equals(whole, 0, beginning.length, beginning, 0, beginning.length);
  }

  private boolean original(JobFolder from, JobFolder to, String job, Kept p) throws IOException {
    Path source = from.originals().folder().resolve(p.storedName());
    Path copy = to.originals().folder().resolve(p.storedName());
    boolean there = Files.isRegularFile(copy, LinkOption.NOFOLLOW_LINKS);
    if (there && Files.size(copy) == p.bytes() && (!full || Sha256.of(copy).equals(p.id()))) {
      return true;
    }
    boolean right;
    try {
      right =
          Files.isRegularFile(source)
              && Files.size(source) == p.bytes()
              && Sha256.of(source).equals(p.id());
    } catch (IOException e) {
      right = false;
    }
    if (!right) {
      problems.add(say("copy.photo-not", job, p.name()));
      return false;
    }
    if (there) {
      notes.add(say("copy.put-right", job, p.name()));
      JobFolder.writable(copy);
    }
    write(source, copy, p.id().hex(), true);
    return true;
  }

  /** Copies the files of issued reports; those of one that was not issued may still change. */
  private boolean reports(JobFolder from, JobFolder to, JournalContent content) throws IOException {
    boolean whole = true;
    for (History.Entry e : content.entries()) {
      if (e.edit() instanceof Edit.IssueReport r) {
        Path source = from.report(r.report().number());
        Path copy = to.report(r.report().number());
        for (Map.Entry<String, String> f : r.report().files().entrySet()) {
          Path file = source.resolve(f.getKey()).normalize();
          Path there = copy.resolve(f.getKey()).normalize();
          if (file.startsWith(source) && !handedOut(file, there, f.getValue())) {
            problems.add(say("copy.report-not", from.name(), r.report().number(), f.getKey()));
            whole = false;
          }
        }
        Path issued = source.resolve(JobFolder.ISSUED);
        if (Files.isRegularFile(issued)) {
          handedOut(issued, copy.resolve(JobFolder.ISSUED), Sha256.of(issued).hex());
        }
      }
    }
    return whole;
  }

  /** Copies what was handed out besides reports, but for photos, which are copied as originals. */
  private boolean extracts(JobFolder from, JobFolder to, JournalContent content)
      throws IOException {
    boolean whole = true;
    int number = 0;
    Set<String> originals = Kept.everNamed(content);
    for (History.Entry e : content.entries()) {
      if (e.edit() instanceof Edit.RecordExtract x) {
        number++;
        Path source = from.extract(number);
        for (Map.Entry<String, String> f : x.extract().files().entrySet()) {
          Path file = source.resolve(f.getKey()).normalize();
          boolean kept = Files.isDirectory(source) && !originals.contains(f.getValue());
          if (kept
              && file.startsWith(source)
              && !handedOut(file, to.extract(number).resolve(f.getKey()), f.getValue())) {
            problems.add(say("copy.extract-not", from.name(), number, f.getKey()));
            whole = false;
          }
        }
      }
    }
    return whole;
  }

  private boolean handedOut(Path source, Path copy, String hash) throws IOException {
    if (Files.isRegularFile(copy, LinkOption.NOFOLLOW_LINKS)
        && (full
            ? Sha256.of(copy).hex().equals(hash)
            : Files.isRegularFile(source) && Files.size(copy) == Files.size(source))) {
      return true;
    }
    try {
      if (!Sha256.of(source).hex().equals(hash)) {
        return false;
      }
    } catch (IOException e) {
      return false;
    }
    Durable.folder(ops, copy.getParent());
    write(source, copy, hash, false);
    ops.forceFolder(copy.getParent());
    return true;
  }

  /** Copies a file; it is read again and hashed before it gets its name. */
  private void write(Path source, Path file, String hash, boolean readOnly) throws IOException {
    Durable.copy(ops, source, file, hash, readOnly);
    files++;
    bytes += Files.size(file);
  }

  private static String say(String key, Object... arguments) {
    return ArchiveException.say(key, arguments);
  }
}

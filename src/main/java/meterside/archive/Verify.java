package meterside.archive;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import meterside.job.Edit;
import meterside.job.History;
import meterside.job.IssuedReport;
import meterside.job.PhotoId;
import meterside.job.Progress;

/**
 * Checks that a job is what was written: the journal's chain and fold, every original (present, of
 * the right length and, in the full form, of the right hash), every issued report's files, and that
 * each journal head that a report or an index names is still in the chain, since whole lines that
 * were cut off leave a chain that is right in itself. Changes nothing and needs no lock.
 */
public final class Verify {

  /** How bad a result is. */
  public enum Severity {
    /** As it should be. */
    FINE,
    /** Worth knowing; nothing is lost. */
    NOTE,
    /** Something should be done. */
    WARNING,
    /** A newer program wrote it, so this one can't check it. */
    NOT_CHECKED,
    /** Something is not what was written. */
    BROKEN
  }

  /**
   * One thing that was found.
   *
   * @param severity how bad it is
   * @param job the job's name
   * @param subject what it is about: a file within the job's folder, or {@code line N}
   * @param sentence what was found
   * @param advice what can be done, or null if nothing need be
   */
  public record Result(
      Severity severity, String job, String subject, String sentence, String advice) {}

  /**
   * A journal head that something outside the journal names.
   *
   * @param where what names it
   * @param head 64 hexadecimal digits
   */
  public record NamedHead(String where, String head) {}

  private static final Pattern STORED = Pattern.compile("([0-9a-f]{64})\\.[a-z0-9]{1,8}");

  /** A photo's name with something added to it, as programs that sync folders do. */
  private static final Pattern SECOND = Pattern.compile("[0-9a-f]{64}[^0-9a-f]");

  private static final Pattern HASH = Pattern.compile("\\b[0-9a-f]{64}\\b");
  private static final Pattern PACKAGE = Pattern.compile("\\d{4,9}\\.json");
  private static final Pattern REPORT = Pattern.compile("\\d{4,9}");
  private static final Set<String> OURS =
      Set.of(
          JobFolder.JOURNAL,
          JobFolder.LOCK,
          JobFolder.PHOTOS,
          JobFolder.DERIVED,
          JobFolder.REPORTS,
          JobFolder.EXTRACTS,
          JobFolder.PACKAGES);
  private static final Set<String> PACKED = Set.of(JobPackage.ABOUT, JobPackage.ANNOTATIONS);
  private static final int LARGEST_NOTE = 1 << 24;

  private final JobFolder folder;
  private final boolean quick;
  private final Progress progress;
  private final List<Result> results = new ArrayList<>();
  private boolean packaged;

  /** Stored names of photos that were withdrawn, with their original names. */
  private final Map<String, String> withdrawn = new HashMap<>();

  private Verify(JobFolder folder, boolean quick, Progress progress) {
    this.folder = folder;
    this.quick = quick;
    this.progress = progress;
  }

  /** What the command line ends with: 3 if anything is broken, 4 if it can't be checked, else 0. */
  public static int exitCode(List<Result> results) {
    return switch (worst(results)) {
      case BROKEN -> 3;
      case NOT_CHECKED -> 4;
      default -> 0;
    };
  }

  /** The worst of some results; {@link Severity#FINE} if there is none. */
  public static Severity worst(List<Result> results) {
    return results.stream().map(Result::severity).max(Severity::compareTo).orElse(Severity.FINE);
  }

  /**
   * Checks all jobs of an archive.
   *
   * @param quick lengths and chains only, no hashes of photos
   * @param progress counts jobs; if it is cancelled, what was checked so far is returned
   */
  public static List<Result> archive(Archive archive, boolean quick, Progress progress) {
    List<Result> out = new ArrayList<>();
    List<String> names = archive.jobNames();
    for (int i = 0; i < names.size() && !progress.cancelled(); i++) {
      int done = i;
      Progress within =
          new Progress() {
            @Override
            public void at(long files, long total) {
              progress.at(done, names.size());
            }

            @Override
            public boolean cancelled() {
              return progress.cancelled();
            }
          };
      out.addAll(job(archive.job(names.get(i)), quick, List.of(), within));
    }
    progress.at(names.size(), names.size());
    return out;
  }

  /**
   * Checks one job.
   *
   * @param quick lengths and chain only, no hashes of photos
   * @param named heads that something outside the job names (an index, a package)
   * @param progress counts files; if it is cancelled, what was found so far is returned with a note
   * @return results, the worst first; at least one
   */
  public static List<Result> job(
      JobFolder folder, boolean quick, Collection<NamedHead> named, Progress progress) {
    Verify v = new Verify(folder, quick, progress);
    v.run(named);
    v.results.sort((a, b) -> b.severity().compareTo(a.severity()));
    return List.copyOf(v.results);
  }

  /**
   * Checks an evidence package; needs no archive. A bag that no job was packed into is checked as a
   * bag.
   *
   * @param folder the bag
   * @param progress counts files; if it is cancelled, what was found so far is returned with a note
   * @return results, the worst first; at least one
   */
  public static List<Result> bag(Path folder, Progress progress) {
    String name = folder.toAbsolutePath().normalize().getFileName().toString();
    Bag.Check bag = Bag.check(folder, progress);
    List<Result> out = new ArrayList<>();
    for (String problem : bag.problems()) {
      out.add(new Result(Severity.BROKEN, name, "", problem, say("advice.package")));
    }
    for (String warning : bag.warnings()) {
      out.add(new Result(Severity.NOTE, name, "", warning, null));
    }
    if (!bag.finished()) {
      out.add(new Result(Severity.NOTE, name, "", say("verify.package-stopped"), null));
    } else if (bag.valid()) {
      int files = bag.payload().size();
      out.add(new Result(Severity.FINE, name, "", say("verify.bag", files, bag.version()), null));
      try {
        JobPackage.Whole whole = JobPackage.open(folder, Progress.NONE).orElseThrow();
        JobFolder inside = new JobFolder(whole.name(), folder.resolve("data"), FileOps.disk());
        Verify v = new Verify(inside, true, progress);
        v.packaged = true;
        v.run(List.of());
        out.addAll(v.results);
        out.add(
            new Result(
                Severity.FINE,
                name,
                "",
                say("verify.package", whole.name(), whole.content().head()),
                null));
      } catch (BrokenIntegrity | NewerFormat e) {
        boolean ours = bag.info().containsKey(JobPackage.JOB);
        Severity severity =
            !ours
                ? Severity.NOTE
                : e instanceof NewerFormat ? Severity.NOT_CHECKED : Severity.BROKEN;
        out.add(new Result(severity, name, "", e.getMessage(), null));
      }
    }
    out.sort((a, b) -> b.severity().compareTo(a.severity()));
    return List.copyOf(out);
  }

  private void run(Collection<NamedHead> named) {
    byte[] bytes;
    JournalContent content;
    try {
      bytes = folder.journalBytes();
      content = Journal.read(folder.name(), bytes);
    } catch (BrokenIntegrity e) {
      String subject = e.line() > 0 ? "line " + e.line() : JobFolder.JOURNAL;
      add(Severity.BROKEN, subject, e.getMessage(), "advice.again");
      originalsByName();
      return;
    } catch (NewerFormat e) {
      add(Severity.NOT_CHECKED, JobFolder.JOURNAL, e.getMessage(), "advice.newer");
      originalsByName();
      return;
    }
    if (content.tornTail()) {
      add(Severity.NOTE, JobFolder.JOURNAL, say("verify.torn"), "advice.torn");
    }
    if (content.readOnly()) {
      add(Severity.WARNING, JobFolder.JOURNAL, content.readOnlySentence(), "advice.newer");
    }
    Map<PhotoId, Kept> photos = Kept.of(content, withdrawn);
    foreign();
    int before = results.size();
    long checked = originals(photos);
    List<String> heads = Journal.heads(bytes);
    reports(content, heads);
    extracts(content, heads);
    Set<String> chain = new HashSet<>(heads);
    packages(chain);
    for (NamedHead n : named) {
      if (!chain.contains(n.head())) {
        add(Severity.BROKEN, n.where(), say("verify.head", n.where()), "advice.cut");
      }
    }
    if (worst(results.subList(before, results.size())) != Severity.BROKEN
        && checked == photos.size()) {
      // In a package the bag's checksums were compared before this.
      String key = quick && !packaged ? "verify.fine-quick" : "verify.fine";
      add(Severity.FINE, "", say(key, folder.name(), checked, heads.size()), null);
    }
  }

  /** Checks the originals against the journal. Returns how many were looked at. */
  private long originals(Map<PhotoId, Kept> photos) {
    Map<String, Path> files = new TreeMap<>();
    list(folder.originals().folder(), files);
    try (Hashing hashing = new Hashing()) {
      return originals(photos, files, hashing);
    }
  }

  private long originals(Map<PhotoId, Kept> photos, Map<String, Path> files, Hashing hashing) {
    Map<PhotoId, Hashing.Pending> hashes = new HashMap<>();
    if (!quick) {
      for (Kept p : photos.values()) {
        Path file = files.get(p.storedName());
        if (file != null && lengthIs(file, p.bytes())) {
          hashes.put(p.id(), hashing.begin(file));
        }
      }
    }
    long done = 0;
    for (Kept p : photos.values()) {
      if (cancelled(done, photos.size())) {
        return done;
      }
      String stored = JobFolder.PHOTOS + "/" + p.storedName();
      Path file = files.remove(p.storedName());
      try {
        if (file == null && standIn(p, files)) {
          add(Severity.BROKEN, stored, say("verify.online", p.name()), "advice.online");
        } else if (file == null) {
          add(Severity.BROKEN, stored, say("verify.missing", p.name()), "advice.photo");
        } else if (!Files.isRegularFile(file)) {
          add(Severity.BROKEN, stored, say("verify.no-file", p.name()), "advice.photo");
        } else if (Files.size(file) != p.bytes()) {
          String sentence = say("verify.length", p.name(), Files.size(file), p.bytes());
          add(Severity.BROKEN, stored, sentence, "advice.photo");
        } else if (!quick && !hash(file, hashes.get(p.id())).equals(p.id().hex())) {
          add(Severity.BROKEN, stored, say("verify.changed", p.name()), "advice.photo");
        }
      } catch (IOException e) {
        String sentence = say("verify.unreadable", p.name(), JobLock.reason(e));
        add(Severity.BROKEN, stored, sentence, "advice.photo");
      }
      done++;
      progress.at(done, photos.size());
    }
    files.forEach((name, file) -> superfluous(name, file));
    return done;
  }

  /**
   * Whether a hidden file that bears the photo's name with something added lies in its place: so a
   * folder that is kept online shows a file that is not on this disk.
   */
  private static boolean standIn(Kept p, Map<String, Path> files) {
    String start = "." + p.storedName() + ".";
    for (Map.Entry<String, Path> e : files.entrySet()) {
      if (e.getKey().startsWith(start) && !Durable.isTemporary(e.getValue())) {
        files.remove(e.getKey());
        return true;
      }
    }
    return false;
  }

  /** A file's hash: the one that was begun, or worked out now if its length came right since. */
  private static String hash(Path file, Hashing.Pending begun) throws IOException {
    return begun == null ? Sha256.of(file).hex() : begun.hex();
  }

  /** Whether a regular file has this length; anything else is told of where its turn comes. */
  private static boolean lengthIs(Path file, long length) {
    try {
      return Files.isRegularFile(file) && Files.size(file) == length;
    } catch (IOException e) {
      return false;
    }
  }

  /** What else lies in the job's folder; programs that sync folders leave second copies there. */
  private void foreign() {
    Map<String, Path> files = new TreeMap<>();
    list(folder.path(), files);
    for (Map.Entry<String, Path> e : files.entrySet()) {
      String name = e.getKey();
      boolean known = OURS.contains(name) || packaged && PACKED.contains(name);
      if (!known && !name.startsWith(".")) {
        String key = name.startsWith("journal") ? "verify.second-journal" : "verify.foreign";
        add(Severity.WARNING, name, say(key, name), "advice.foreign");
      }
    }
  }

  private void superfluous(String name, Path file) {
    String subject = JobFolder.PHOTOS + "/" + name;
    Matcher stored = STORED.matcher(name);
    if (Durable.isTemporary(file)) {
      add(Severity.NOTE, subject, say("verify.temporary", name), "advice.temporary");
    } else if (withdrawn.containsKey(name)) {
      add(
          Severity.WARNING,
          subject,
          say("verify.withdrawn", withdrawn.get(name)),
          "advice.withdrawn");
    } else if (stored.matches()) {
      add(Severity.NOTE, subject, say("verify.not-taken", name), "advice.not-taken");
    } else if (SECOND.matcher(name).lookingAt()) {
      add(Severity.WARNING, subject, say("verify.second-photo", name), "advice.second");
    } else {
      add(Severity.WARNING, subject, say("verify.foreign", name), "advice.foreign");
    }
  }

  /** With no journal to go by, a file's name still says what its hash must be. */
  private void originalsByName() {
    Map<String, Path> files = new TreeMap<>();
    list(folder.originals().folder(), files);
    long done = 0;
    for (Map.Entry<String, Path> e : files.entrySet()) {
      if (quick || cancelled(done, files.size())) {
        return;
      }
      Matcher stored = STORED.matcher(e.getKey());
      String subject = JobFolder.PHOTOS + "/" + e.getKey();
      try {
        if (stored.matches()
            && Files.isRegularFile(e.getValue())
            && !Sha256.of(e.getValue()).hex().equals(stored.group(1))) {
          add(Severity.BROKEN, subject, say("verify.changed", e.getKey()), "advice.photo");
        }
      } catch (IOException x) {
        String sentence = say("verify.unreadable", e.getKey(), JobLock.reason(x));
        add(Severity.BROKEN, subject, sentence, "advice.photo");
      }
      progress.at(++done, files.size());
    }
  }

  private boolean cancelled(long done, long total) {
    if (!progress.cancelled()) {
      return false;
    }
    add(Severity.NOTE, "", say("verify.cancelled", done, total), "advice.cancelled");
    return true;
  }

  private void reports(JournalContent content, List<String> heads) {
    Map<Integer, IssuedReport> issued = new TreeMap<>();
    for (History.Entry e : content.entries()) {
      if (e.edit() instanceof Edit.IssueReport r) {
        issued.put(r.report().number(), r.report());
        // The line's own number bounds which heads it can have been made from.
        if (!heads.subList(0, (int) e.seq() - 1).contains(r.report().head())) {
          String where = where(r.report().number());
          add(Severity.BROKEN, "line " + e.seq(), say("verify.head", where), "advice.cut");
        }
      }
    }
    Set<String> chain = new HashSet<>(heads);
    Map<String, Path> folders = new TreeMap<>();
    list(folder.reports(), folders);
    Map<Integer, Path> byNumber = new HashMap<>();
    for (Map.Entry<String, Path> e : folders.entrySet()) {
      if (REPORT.matcher(e.getKey()).matches() && Files.isDirectory(e.getValue())) {
        byNumber.put(Integer.parseInt(e.getKey()), e.getValue());
      } else {
        String subject = "reports/" + e.getKey();
        add(Severity.WARNING, subject, say("verify.foreign", e.getKey()), "advice.foreign");
      }
    }
    for (Map.Entry<Integer, Path> e : byNumber.entrySet()) {
      String subject = "reports/" + e.getValue().getFileName();
      NamedHead note = note(e.getKey(), e.getValue());
      if (note != null && !chain.contains(note.head())) {
        add(Severity.BROKEN, subject, say("verify.head", note.where()), "advice.cut");
      } else if (!issued.containsKey(e.getKey())) {
        if (note == null && printsAnotherHead(e.getValue(), chain, content)) {
          add(Severity.BROKEN, subject, say("verify.head", where(e.getKey())), "advice.cut");
        } else {
          add(Severity.WARNING, subject, say("verify.not-issued", subject), "advice.not-issued");
        }
      }
    }
    for (IssuedReport r : issued.values()) {
      Path at = byNumber.get(r.number());
      if (at == null) {
        String subject = "reports/" + folder.report(r.number()).getFileName();
        add(Severity.WARNING, subject, say("verify.no-report", where(r.number())), "advice.report");
      } else {
        reportFiles(r, at);
      }
    }
  }

  /** Checks that what packages were made from is still there. */
  private void packages(Set<String> chain) {
    Map<String, Path> notes = new TreeMap<>();
    list(folder.packages(), notes);
    for (Map.Entry<String, Path> e : notes.entrySet()) {
      String subject = JobFolder.PACKAGES + "/" + e.getKey();
      if (Durable.isTemporary(e.getValue())) {
        add(Severity.NOTE, subject, say("verify.temporary", e.getKey()), "advice.temporary");
        continue;
      }
      if (!PACKAGE.matcher(e.getKey()).matches()) {
        add(Severity.WARNING, subject, say("verify.foreign", e.getKey()), "advice.foreign");
        continue;
      }
      try {
        JsonNode node =
            Files.size(e.getValue()) > LARGEST_NOTE
                ? null
                : Json.MAPPER.readTree(Files.readAllBytes(e.getValue()));
        String head = node == null ? "" : node.path("head").asText();
        if (!chain.contains(head)) {
          String where = say("verify.packed", node == null ? "" : node.path("bag").asText());
          add(Severity.BROKEN, subject, say("verify.head", where), "advice.cut");
        }
      } catch (IOException x) {
        String sentence = say("verify.unreadable", e.getKey(), JobLock.reason(x));
        add(Severity.BROKEN, subject, sentence, "advice.disk");
      }
    }
  }

  /** Checks what was handed out besides reports; numbered in the order of the journal. */
  private void extracts(JournalContent content, List<String> heads) {
    Map<String, Path> folders = new TreeMap<>();
    list(folder.extracts(), folders);
    Set<String> originals = Kept.everNamed(content);
    int number = 0;
    for (History.Entry e : content.entries()) {
      if (e.edit() instanceof Edit.RecordExtract x) {
        number++;
        String name = say("verify.extract", number);
        if (!heads.subList(0, (int) e.seq() - 1).contains(x.extract().head())) {
          add(Severity.BROKEN, "line " + e.seq(), say("verify.head", name), "advice.cut");
        }
        Map<String, String> kept = new TreeMap<>(x.extract().files());
        kept.values().removeIf(originals::contains); // these are checked as originals
        Path at = folders.remove(folder.extract(number).getFileName().toString());
        if (at != null) {
          handedOut(kept, JobFolder.EXTRACTS, at);
        } else if (!kept.isEmpty()) {
          String subject = JobFolder.EXTRACTS + "/" + folder.extract(number).getFileName();
          add(Severity.WARNING, subject, say("verify.no-report", name), "advice.report");
        }
      }
    }
    for (String left : folders.keySet()) {
      String subject = JobFolder.EXTRACTS + "/" + left;
      boolean ours = REPORT.matcher(left).matches();
      String key = ours ? "verify.not-handed-out" : "verify.foreign";
      add(Severity.WARNING, subject, say(key, left), "advice.foreign");
    }
  }

  private void reportFiles(IssuedReport report, Path at) {
    handedOut(report.files(), JobFolder.REPORTS, at);
  }

  private void handedOut(Map<String, String> files, String where, Path at) {
    beside(files, where, at);
    for (Map.Entry<String, String> f : new TreeMap<>(files).entrySet()) {
      String subject = where + "/" + at.getFileName() + "/" + f.getKey();
      Path file = at.resolve(f.getKey()).normalize();
      if (!file.startsWith(at)) {
        add(Severity.BROKEN, subject, say("verify.outside", f.getKey()), "advice.report");
        continue;
      }
      try {
        if (!Files.isRegularFile(file)) {
          add(Severity.BROKEN, subject, say("verify.report-missing", f.getKey()), "advice.report");
        } else if (!quick && !Sha256.of(file).hex().equals(f.getValue())) {
          add(Severity.BROKEN, subject, say("verify.report-changed", f.getKey()), "advice.report");
        }
      } catch (IOException e) {
        String sentence = say("verify.unreadable", f.getKey(), JobLock.reason(e));
        add(Severity.BROKEN, subject, sentence, "advice.report");
      }
    }
  }

  /** What lies among issued files and was not issued: second copies, as syncing leaves them. */
  private void beside(Map<String, String> files, String where, Path at) {
    try (Stream<Path> all = Files.walk(at)) {
      for (Path file : all.filter(f -> !Files.isDirectory(f)).sorted().toList()) {
        String name = at.relativize(file).toString().replace('\\', '/');
        boolean hidden = file.getFileName().toString().startsWith(".");
        if (!files.containsKey(name) && !name.equals(JobFolder.ISSUED) && !hidden) {
          String subject = where + "/" + at.getFileName() + "/" + name;
          add(Severity.WARNING, subject, say("verify.foreign", name), "advice.foreign");
        }
      }
    } catch (IOException | UncheckedIOException e) {
      String subject = where + "/" + at.getFileName();
      String reason = e instanceof IOException x ? JobLock.reason(x) : "" + e.getMessage();
      String sentence = say("verify.unreadable", subject, reason);
      add(Severity.BROKEN, subject, sentence, "advice.disk");
    }
  }

  /**
   * What lies beside the jobs of an archive and does not belong there, such as a second copy of
   * {@code archive.json} or a job's folder that a syncing program set aside.
   */
  public static List<Result> around(Archive archive) {
    List<Result> out = new ArrayList<>();
    Set<String> known =
        Set.of("archive.json", "copy.json", "jobs", archive.indexDir().getFileName().toString());
    for (Path folder : List.of(archive.root(), archive.jobsFolder())) {
      boolean jobs = folder.equals(archive.jobsFolder());
      try (DirectoryStream<Path> files = Files.newDirectoryStream(folder)) {
        for (Path file : files) {
          String name = file.getFileName().toString();
          boolean ours = jobs ? archive.find(name).isPresent() : known.contains(name);
          if (!ours && !name.startsWith(".")) {
            String key = name.startsWith("archive") ? "verify.second-archive" : "verify.foreign";
            out.add(new Result(Severity.WARNING, "", name, say(key, name), say("advice.foreign")));
          }
        }
      } catch (IOException e) {
        String sentence = say("verify.unreadable", folder.getFileName(), JobLock.reason(e));
        out.add(new Result(Severity.BROKEN, "", "", sentence, say("advice.disk")));
      }
    }
    out.sort((a, b) -> b.severity().compareTo(a.severity()));
    return List.copyOf(out);
  }

  /**
   * Checks that a job's journal still holds what a package of it was made from.
   *
   * @param folder the job; one of another id says nothing about the package
   * @return the result, or empty if the job is another one or can't be read
   */
  public static Optional<Result> against(JobFolder folder, JobPackage.Whole whole) {
    try {
      JobFolder.Chain chain = folder.chain();
      if (!chain.content().header().id().equals(whole.content().header().id())) {
        return Optional.empty();
      }
      boolean there = chain.heads().contains(whole.content().head());
      String where = say("verify.this-package");
      return Optional.of(
          there
              ? new Result(
                  Severity.FINE, folder.name(), "", say("verify.in-archive", folder.name()), null)
              : new Result(
                  Severity.BROKEN,
                  folder.name(),
                  JobFolder.JOURNAL,
                  say("verify.head", where),
                  say("advice.cut")));
    } catch (ArchiveException e) {
      return Optional.empty(); // checking that job says what is wrong with it
    }
  }

  /** What a report's folder says it was issued from, or null. */
  private NamedHead note(int number, Path report) {
    Path file = report.resolve(JobFolder.ISSUED);
    String subject = "reports/" + report.getFileName() + "/" + JobFolder.ISSUED;
    try {
      if (!Files.isRegularFile(file)) {
        return null;
      }
      if (Files.size(file) <= LARGEST_NOTE) {
        JsonNode node = Json.MAPPER.readTree(Files.readAllBytes(file));
        return new NamedHead(where(number), EditCodec.bind(node, IssuedReport.class).head());
      }
      add(
          Severity.BROKEN,
          subject,
          say("verify.report-changed", JobFolder.ISSUED),
          "advice.report");
    } catch (IOException | IllegalArgumentException e) {
      add(
          Severity.BROKEN,
          subject,
          say("verify.report-changed", JobFolder.ISSUED),
          "advice.report");
    }
    return null;
  }

  /**
   * Whether a report that the journal does not know prints hashes that are no photo's, and among
   * them no head of the chain: then the line it was made from is gone.
   */
  private boolean printsAnotherHead(Path report, Set<String> chain, JournalContent content) {
    Set<String> printed = new HashSet<>();
    Path html = report.resolve("report.html");
    try {
      if (!Files.isRegularFile(html) || Files.size(html) > LARGEST_NOTE) {
        return false;
      }
      Matcher hashes = HASH.matcher(Files.readString(html, StandardCharsets.ISO_8859_1));
      while (hashes.find()) {
        printed.add(hashes.group());
      }
    } catch (IOException e) {
      add(
          Severity.BROKEN,
          "reports/" + report.getFileName() + "/report.html",
          say("verify.unreadable", "report.html", JobLock.reason(e)),
          "advice.report");
      return false;
    }
    if (printed.stream().anyMatch(chain::contains)) {
      return false;
    }
    for (History.Entry e : content.entries()) {
      if (e.edit() instanceof Edit.AddPhotos added) {
        added.photos().forEach(p -> printed.remove(p.id().hex()));
      }
    }
    return !printed.isEmpty();
  }

  private static String where(int number) {
    return say("verify.report", number);
  }

  /** The entries of a folder by name; none if it is not there. */
  private void list(Path where, Map<String, Path> into) {
    if (!Files.exists(where)) {
      return;
    }
    try (DirectoryStream<Path> files = Files.newDirectoryStream(where)) {
      files.forEach(f -> into.put(f.getFileName().toString(), f));
    } catch (IOException e) {
      String subject = folder.path().relativize(where).toString();
      String sentence = say("verify.unreadable", subject, JobLock.reason(e));
      add(Severity.BROKEN, subject, sentence, "advice.disk");
    }
  }

  private void add(Severity severity, String subject, String sentence, String advice) {
    String said = advice == null ? null : say(advice);
    results.add(new Result(severity, folder.name(), subject, sentence, said));
  }

  private static String say(String key, Object... arguments) {
    return ArchiveException.say(key, arguments);
  }
}

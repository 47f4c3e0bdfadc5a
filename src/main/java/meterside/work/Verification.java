package meterside.work;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import meterside.archive.ArchiveException;
import meterside.archive.JobFolder;
import meterside.archive.JobPackage;
import meterside.archive.Verify;
import meterside.job.Progress;
import meterside.job.Sentences;

/**
 * What a check of a job came to.
 *
 * @param lines one for each thing found, the worst first; at least one
 */
public record Verification(List<Line> lines) {

  /**
   * One thing found.
   *
   * @param severity {@code fine}, {@code note}, {@code warning}, {@code not-checked} or {@code
   *     broken}
   * @param sentence what was found
   * @param advice what can be done, or null
   */
  public record Line(String severity, String sentence, String advice) {}

  /** Copies the list. */
  public Verification {
    lines = List.copyOf(lines);
  }

  /**
   * Checks that a job's journal and photos are as they were left, and that the journal still holds
   * the entries that reports and the index of past jobs were made from.
   *
   * @param quick lengths and chain only, no re-hashing of photos
   */
  public static Verification of(Workspace workspace, String job, boolean quick, Progress progress) {
    List<Line> lines = new ArrayList<>();
    JobFolder folder = workspace.folder(job);
    String index = Sentences.in(Verification.class).say("verify.index");
    List<Verify.NamedHead> named =
        indexed(workspace, folder).stream().map(head -> new Verify.NamedHead(index, head)).toList();
    for (Verify.Result r : Verify.job(folder, quick, named, progress)) {
      lines.add(new Line(Names.id(r.severity()), r.sentence(), r.advice()));
    }
    return new Verification(lines);
  }

  /** The journal heads that the index of past jobs was made from. */
  private static List<String> indexed(Workspace workspace, JobFolder folder) {
    List<String> heads = workspace.indexedHeads(folder.name());
    try {
      if (folder.heads().containsAll(heads)) {
        return heads;
      }
    } catch (ArchiveException e) {
      return heads; // the check that follows says what is wrong with the journal
    }
    // Only an index whose every byte was checked may say that a journal was cut.
    return workspace.pastJobs().heads().getOrDefault(folder.name(), List.of());
  }

  /**
   * Checks an evidence package: the bag, the job in it, and its signature if it has one. Needs no
   * archive.
   *
   * @throws NotDone if there is no such folder
   */
  public static Verification ofPackage(Path folder, Progress progress) {
    return ofPackage(null, folder, progress);
  }

  /**
   * As {@link #ofPackage(Path, Progress)}, and checks that the archive's journal of the job, if it
   * holds it, still has the entry that the package ends with.
   *
   * @param workspace an archive, or null
   */
  public static Verification ofPackage(Workspace workspace, Path folder, Progress progress) {
    if (!Files.isDirectory(folder)) {
      throw new NotDone(NotDone.WRONG_USE, "import.no-folder", folder);
    }
    List<Line> lines = new ArrayList<>();
    SigningKey.Signed signed = SigningKey.check(folder);
    String severity =
        signed.verdict() == SigningKey.Verdict.DOES_NOT_FIT
            ? Names.id(Verify.Severity.BROKEN)
            : Names.id(Verify.Severity.FINE);
    String verdict = "verify.signature." + Names.id(signed.verdict());
    for (Verify.Result r : Verify.bag(folder, progress)) {
      lines.add(new Line(Names.id(r.severity()), r.sentence(), r.advice()));
    }
    lines.add(
        new Line(
            severity,
            Sentences.in(Verification.class).say(verdict, String.valueOf(signed.fingerprint())),
            null));
    if (workspace != null) {
      inArchive(workspace, folder).ifPresent(lines::add);
    }
    return new Verification(lines);
  }

  private static Optional<Line> inArchive(Workspace workspace, Path folder) {
    try {
      JobPackage.Whole whole = JobPackage.read(folder);
      return workspace.jobNames().contains(whole.name())
          ? Verify.against(workspace.folder(whole.name()), whole)
              .map(r -> new Line(Names.id(r.severity()), r.sentence(), r.advice()))
          : Optional.empty();
    } catch (ArchiveException e) {
      return Optional.empty(); // the package itself is not whole, which was said
    }
  }

  /** What lies around the jobs of an archive and does not belong there; empty if nothing does. */
  public static List<Line> around(Workspace workspace) {
    return Verify.around(workspace.archive()).stream()
        .map(r -> new Line(Names.id(r.severity()), r.sentence(), r.advice()))
        .toList();
  }

  /** Whether nothing is broken. */
  public boolean intact() {
    return lines.stream().noneMatch(l -> l.severity().equals("broken"));
  }

  /** Whether it could be checked; a job of a newer program can't. */
  public boolean checked() {
    return lines.stream().noneMatch(l -> l.severity().equals("not-checked"));
  }
}

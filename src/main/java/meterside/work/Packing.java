package meterside.work;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import meterside.archive.Bag;
import meterside.archive.BrokenIntegrity;
import meterside.archive.JobFolder;
import meterside.archive.JobPackage;
import meterside.archive.JournalContent;
import meterside.archive.JournalWriter;
import meterside.job.Edit;
import meterside.job.History;
import meterside.job.Job;
import meterside.job.Packaging;
import meterside.job.Progress;
import meterside.job.Sentences;
import meterside.report.ReportOptions;
import meterside.report.ReportWriter;

/**
 * Makes evidence packages and takes them in. The order is what makes it hold: an edit says that a
 * package is being made; the bag is written, forced and read again; an edit says that it is there,
 * with the hash of its tag manifest. Whatever ends in between is finished or withdrawn when the job
 * is opened the next time.
 */
public final class Packing {
  /** Says where a package is being made; a hint that may be lost, then the package is withdrawn. */
  private static final String NOTE = "packing.txt";

  private Packing() {}

  /**
   * What came of packing.
   *
   * @param folder the package
   * @param tagManifest SHA-256 of its {@code tagmanifest-sha256.txt}
   * @param fingerprint of the key that signed it, or null
   */
  public record Packed(Path folder, String tagManifest, String fingerprint) {}

  /**
   * Packs a job. From then on it takes no edits until it is reopened.
   *
   * @param target the package: a folder that is not there or empty, outside the archive
   * @param key signs it, or null
   * @param progress counts photos; may stop it
   * @return the package; empty if it was stopped, and the job is then as before
   * @throws NotDone if the job is packed already, or the place does not do
   */
  public static Optional<Packed> pack(
      JobSession session, Path target, SigningKey key, Progress progress) {
    Path bag = target.toAbsolutePath().normalize();
    Workspace w = session.workspace();
    if (bag.startsWith(w.root().toAbsolutePath().normalize()) || bag.getFileName() == null) {
      throw new NotDone(NotDone.WRONG_USE, "pack.in-archive", bag);
    }
    JobPackage.requireFree(bag);
    session.requireOpen();
    note(session.folder(), bag);
    session.act(new Edit.StartPacking(bag.getFileName().toString()));
    String hash = null;
    try {
      byte[] journal = Files.readAllBytes(session.folder().journalFile());
      Instant now = w.clock().instant();
      hash =
          JobPackage.write(
              session.folder(),
              journal,
              extras(session, now, key),
              LocalDate.ofInstant(now, ZoneOffset.UTC),
              key == null ? null : key::sign,
              bag,
              progress);
      if (hash != null && !Bag.check(bag, Progress.NONE).valid()) {
        hash = null;
        throw new NotDone(NotDone.NOT_NOW, "pack.not-read-back", bag);
      }
      if (hash != null) {
        String made = hash;
        hash = null;
        session.folder().notePacked(bag.getFileName().toString(), session.head(), made);
        hash = made;
      }
    } catch (IOException e) {
      throw new NotDone(NotDone.NOT_NOW, "pack.not-written", bag);
    } finally {
      // Stopped or failed: the job is open again, whatever the disk says of the package.
      session.act(hash == null ? new Edit.WithdrawPacking() : new Edit.FinishPacking(hash));
      forget(session.folder());
    }
    return hash == null
        ? Optional.empty()
        : Optional.of(new Packed(bag, hash, key == null ? null : key.fingerprint()));
  }

  private static Map<String, byte[]> extras(JobSession session, Instant now, SigningKey key) {
    Job job = session.job();
    ReportOptions options =
        new ReportOptions(
            true,
            true,
            session.workspace().settings().authorOrUser(),
            now,
            Math.max(1, job.reports().size()),
            session.head());
    Map<String, byte[]> out = new LinkedHashMap<>();
    out.put(
        JobPackage.ABOUT,
        utf8(
            say(
                "pack.about",
                job.site(),
                job.header().date(),
                session.name(),
                job.photos().size(),
                session.head(),
                job.reports().size(),
                key == null
                    ? say("pack.about-unsigned")
                    : say("pack.about-signed", key.fingerprint()),
                job.attachments().size())));
    out.put(
        JobPackage.ANNOTATIONS,
        utf8(
            ReportWriter.annotations(job, session.folder(), session.workspace().trade(), options)));
    return out;
  }

  private static byte[] utf8(String text) {
    return text.getBytes(StandardCharsets.UTF_8);
  }

  /**
   * Opens a packed job for further edits.
   *
   * @param reason why, for the journal
   */
  public static void reopen(JobSession session, String reason) {
    session.act(new Edit.Reopen(reason));
  }

  /**
   * Brings a package that was being made when the program ended to an end: finished if it is there
   * and whole, withdrawn if not.
   *
   * @return what was done, in a sentence; empty if there was nothing to do
   */
  static Optional<String> recover(JournalWriter writer, JobFolder folder, String author) {
    JournalContent content = writer.content();
    History history = content.history();
    Optional<Packaging> begun = history.job().packaging().filter(p -> !p.done());
    if (begun.isEmpty()) {
      return Optional.empty();
    }
    Path bag = noted(folder);
    String hash = null;
    if (bag != null) {
      JobPackage.clearLeftovers(bag);
      hash = finished(bag, content.head());
    }
    if (hash != null) {
      folder.notePacked(begun.get().bag(), content.head(), hash);
    }
    Edit edit = hash == null ? new Edit.WithdrawPacking() : new Edit.FinishPacking(hash);
    writer.append(author, history.nextStep(), List.of(edit));
    forget(folder);
    return Optional.of(
        hash == null ? say("pack.withdrawn", begun.get().bag()) : say("pack.finished", bag));
  }

  private static String finished(Path bag, String head) {
    try {
      return JobPackage.open(bag, Progress.NONE)
          .filter(whole -> whole.content().head().equals(head))
          .map(JobPackage.Whole::tagManifest)
          .orElse(null);
    } catch (meterside.archive.ArchiveException e) {
      return null; // not whole: it never became a package
    }
  }

  private static void note(JobFolder folder, Path bag) {
    try {
      Files.createDirectories(folder.derived());
      Files.writeString(folder.derived().resolve(NOTE), bag.toString());
    } catch (IOException e) {
      // Without the note an interrupted package is withdrawn. A full disk is told of by the edit.
      return;
    }
  }

  private static Path noted(JobFolder folder) {
    try {
      return Path.of(Files.readString(folder.derived().resolve(NOTE)));
    } catch (IOException | java.nio.file.InvalidPathException e) {
      return null;
    }
  }

  private static void forget(JobFolder folder) {
    try {
      Files.deleteIfExists(folder.derived().resolve(NOTE));
    } catch (IOException e) {
      // The journal says what became of the package; the note is only a hint.
      return;
    }
  }

  /**
   * What came of taking a package in.
   *
   * @param job name of the job
   * @param wasThere whether the archive held this very job already, and nothing was done
   */
  public record Imported(String job, boolean wasThere) {}

  /**
   * Makes the job of a package again: the identical journal, photos and reports. It is packed then,
   * as it was, until it is reopened.
   *
   * @return the job; empty if it was stopped, and nothing is left then
   * @throws meterside.archive.ArchiveException if the package is not whole, or the archive holds
   *     another job of this name
   */
  public static Optional<Imported> restore(Workspace w, Path bag, Progress progress) {
    if (!Files.isDirectory(bag)) {
      throw new NotDone(NotDone.WRONG_USE, "import.no-folder", bag);
    }
    Optional<JobPackage.Whole> whole = JobPackage.open(bag, progress);
    if (whole.isEmpty()) {
      return Optional.empty();
    }
    JobPackage.Whole p = whole.get();
    if (Files.exists(w.root().resolve("jobs").resolve(p.name()), LinkOption.NOFOLLOW_LINKS)) {
      return Optional.of(alreadyThere(w, p));
    }
    Optional<JobFolder> folder = JobPackage.restore(w.archive(), bag, p, progress);
    if (folder.isEmpty()) {
      return Optional.empty();
    }
    String author = w.settings().authorOrUser();
    try (JournalWriter writer = JournalWriter.open(folder.get(), author, w.clock())) {
      long step = writer.content().history().nextStep();
      writer.append(author, step, List.of(new Edit.FinishPacking(p.tagManifest())));
    }
    return Optional.of(new Imported(p.name(), false));
  }

  private static Imported alreadyThere(Workspace w, JobPackage.Whole p) {
    try {
      if (w.folder(p.name()).heads().contains(p.content().head())) {
        return new Imported(p.name(), true);
      }
    } catch (BrokenIntegrity e) {
      throw new NotDone(NotDone.NOT_NOW, "import.broken-there", p.name());
    }
    throw new NotDone(NotDone.NOT_NOW, "import.other-there", p.name());
  }

  private static String say(String key, Object... arguments) {
    return Sentences.in(Packing.class).say(key, arguments);
  }
}

package meterside.intake;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Function;
import java.util.stream.Stream;
import meterside.archive.JobFolder;
import meterside.job.Attachment;
import meterside.job.Camera;
import meterside.job.Code;
import meterside.job.Edit;
import meterside.job.Job;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.Progress;
import meterside.job.Recorded;
import meterside.job.Sentences;
import meterside.picture.Picture;

/** Takes photos into a job, and short videos beside them. */
public final class Intake {
  /**
   * So many files make a group: one force of the originals' folder and one journal append. Small
   * enough that little work is repeated after a kill, large enough that forcing costs next to
   * nothing.
   */
  static final int GROUP = 32;

  /** A longer video, in bytes, is no short one; it stays where it is, and that is said. */
  static final long LARGEST_VIDEO = 1L << 30;

  private static final Sentences SENTENCES = Sentences.in(Intake.class);

  /**
   * How to take photos in.
   *
   * @param also whether what is in another job, or was withdrawn from this one, is taken all the
   *     same
   * @param elsewhere the name of another job of the archive that has a photo; called by one thread
   *     at a time
   * @param threads how many files are read at once; 0 for what suits the machine
   * @param withdrawn that a photo was withdrawn from this job; called by several threads
   * @param only the files of the sources that are meant; null for all
   */
  public record Options(
      boolean also,
      Function<PhotoId, Optional<String>> elsewhere,
      int threads,
      Function<PhotoId, Optional<Withdrawal>> withdrawn,
      Set<Path> only) {
    /** Nothing is elsewhere, all cores. */
    public static final Options PLAIN = new Options(false, id -> Optional.empty(), 0);

    /** Nothing was withdrawn, all files. */
    public Options(boolean also, Function<PhotoId, Optional<String>> elsewhere, int threads) {
      this(also, elsewhere, threads, id -> Optional.empty(), null);
    }
  }

  /**
   * That something was withdrawn from this job.
   *
   * @param when local date and time, for people
   * @param by who did it
   * @param reason why
   * @param movedTo name of the job it was moved to, or null
   */
  public record Withdrawal(String when, String by, String reason, String movedTo) {}

  /** Where edits go. */
  public interface Sink {
    /**
     * Appends edits to the journal and forces it. Called by the thread that runs the intake, in
     * path order; the originals that the edits name are forced already. What it throws ends the
     * intake and is thrown on.
     */
    void accept(List<Edit> edits);
  }

  /**
   * What is to be said about one file.
   *
   * @param file its path below the source it came from
   * @param kept whether it is in the job all the same
   * @param failed whether this input failed; false for a note
   * @param sentence what happened, what was kept, what to do
   */
  public record Problem(String file, boolean kept, boolean failed, String sentence) {}

  /**
   * What an intake did. Each file is taken, known, ignored, or failed without being kept.
   *
   * @param taken photos that are in the job now and were not before
   * @param known files whose content was in this job before, came twice, was withdrawn from it, or
   *     is in another job and was left there
   * @param ignored files that are neither photos nor videos
   * @param problems in path order
   * @param cancelled whether it was stopped before the end; what was taken stays
   * @param videos short videos that are kept beside the photos now and were not before
   * @param codes the codes in each photo that was taken, also where there are none
   */
  public record Result(
      int taken,
      int known,
      int ignored,
      List<Problem> problems,
      boolean cancelled,
      int videos,
      Map<PhotoId, List<Code>> codes) {
    /** Without videos and codes. */
    public Result(int taken, int known, int ignored, List<Problem> problems, boolean cancelled) {
      this(taken, known, ignored, problems, cancelled, 0, Map.of());
    }

    /** Whether an input failed: the command line then ends with 1. */
    public boolean anyFailed() {
      return problems.stream().anyMatch(Problem::failed);
    }
  }

  private final Job job;
  private final Sink sink;
  private final Cameras cameras;
  private final Map<PhotoId, List<Code>> taken = new HashMap<>();
  private final List<Problem> problems = new ArrayList<>();
  private int videos;
  private int known;
  private int ignored;

  private Intake(Job job, Sink sink) {
    this.job = job;
    this.sink = sink;
    this.cameras = new Cameras(job);
  }

  /**
   * Takes the photos of files and folders, these with all below them.
   *
   * @param folder where the originals go; the caller holds the job's lock
   * @param job the job as it is
   * @param sources files and folders
   * @throws IntakeRefused if no source is named or one lies in the archive; nothing was done
   * @throws meterside.archive.ArchiveException if the archive can't go on, such as a full disk;
   *     what the sink accepted before stays
   */
  public static Result run(
      JobFolder folder,
      Job job,
      List<Path> sources,
      Options options,
      Sink sink,
      Progress progress) {
    Path archive = folder.path().toAbsolutePath().getParent().getParent();
    Source.Found all = Source.find(sources, archive);
    Source.Found found = options.only() == null ? all : Source.only(all, options.only());
    return new Intake(job, sink).take(folder, found, options, progress);
  }

  private Result take(JobFolder folder, Source.Found found, Options options, Progress progress) {
    ignored = found.ignored();
    List<Source.Candidate> files = found.candidates();
    try (Workers workers = new Workers(folder, job, files, options, progress)) {
      for (int group = 0; group < workers.groups(); group++) {
        boolean last = commit(files, workers.await(group));
        if (last) {
          break;
        }
      }
      // Folders that could not be read have no place in the order of files: they come first.
      List<Problem> all =
          Stream.concat(
                  found.problems().stream().sorted(Comparator.comparing(Problem::file)),
                  problems.stream())
              .toList();
      return new Result(
          taken.size() - videos,
          known,
          ignored,
          all,
          workers.cancelled(),
          videos,
          Map.copyOf(taken));
    }
  }

  /** Records a group's outcomes in path order. Returns whether work ended within this group. */
  private boolean commit(List<Source.Candidate> files, Workers.Group group) {
    List<Photo> photos = new ArrayList<>();
    List<Attachment> attachments = new ArrayList<>();
    List<Problem> said = new ArrayList<>();
    for (int i = group.from(); i < group.to(); i++) {
      Source.Candidate file = files.get(i);
      Outcome outcome = group.outcome(i);
      if (outcome instanceof Outcome.Kept kept) {
        if (taken.putIfAbsent(kept.id(), kept.picture().codes()) == null) {
          photos.add(photo(file, kept));
          note(file, kept.picture()).ifPresent(said::add);
        } else {
          known++;
        }
      } else if (outcome instanceof Outcome.KeptVideo kept) {
        if (taken.putIfAbsent(kept.id(), List.of()) == null) {
          videos++;
          attachments.add(
              new Attachment(
                  kept.id(),
                  file.name(),
                  file.folder(),
                  kept.length(),
                  kept.extension(),
                  file.modified()));
        } else {
          known++;
        }
      } else if (outcome instanceof Outcome.Withdrawn away) {
        known++;
        Withdrawal w = away.withdrawal();
        String key = w.movedTo() == null ? "note.withdrawn" : "note.moved";
        String sentence =
            SENTENCES.say(key, file.label(), w.when(), w.by(), w.reason(), w.movedTo());
        said.add(new Problem(file.label(), false, false, sentence));
      } else if (outcome instanceof Outcome.Known) {
        known++;
      } else if (outcome instanceof Outcome.Elsewhere other) {
        known++;
        String sentence = SENTENCES.say("note.elsewhere", file.label(), other.job());
        said.add(new Problem(file.label(), false, false, sentence));
      } else if (outcome instanceof Outcome.Ignored) {
        ignored++;
      } else if (outcome instanceof Outcome.Failed failed) {
        said.add(new Problem(file.label(), false, true, failed.sentence()));
      } else if (outcome instanceof Outcome.Stop stop) {
        record(group, photos, attachments);
        throw stop.reason();
      } else {
        record(group, photos, attachments);
        problems.addAll(said);
        return true; // cancelled before this file
      }
    }
    record(group, photos, attachments);
    problems.addAll(said);
    return false;
  }

  private void record(Workers.Group group, List<Photo> photos, List<Attachment> attachments) {
    if (photos.isEmpty() && attachments.isEmpty()) {
      return;
    }
    group.force();
    List<Edit> edits = new ArrayList<>();
    for (Camera camera : cameras.takeFresh()) {
      edits.add(new Edit.PutCamera(camera));
    }
    if (!photos.isEmpty()) {
      edits.add(new Edit.AddPhotos(photos));
    }
    if (!attachments.isEmpty()) {
      edits.add(new Edit.AddAttachments(attachments));
    }
    sink.accept(edits);
  }

  private Photo photo(Source.Candidate file, Outcome.Kept kept) {
    Picture p = kept.picture();
    Recorded r = p.recorded();
    return new Photo(
        kept.id(),
        file.name(),
        file.folder(),
        kept.length(),
        p.format(),
        p.extension(),
        p.width(),
        p.height(),
        p.orientationTag(),
        new Recorded(
            r.original(),
            r.digitized(),
            r.subSecond(),
            r.offset(),
            r.gpsDate(),
            r.gpsTime(),
            file.modified()),
        cameras.idOf(p, file.card()),
        p.exposure(),
        p.position(),
        p.focal35(),
        p.sharpness(),
        p.trouble());
  }

  /** The one thing worth saying about a photo that was kept, if there is any. */
  private static Optional<Problem> note(Source.Candidate file, Picture p) {
    String label = file.label();
    Recorded r = p.recorded();
    String sentence;
    if (p.trouble() != null) {
      return Optional.of(new Problem(label, true, p.damaged(), p.trouble()));
    } else if (r.looksLikeFactoryDate()) {
      sentence = SENTENCES.say("note.factory-date", label, r.wall().orElseThrow().toLocalDate());
    } else if (r.wall().isPresent()) {
      return Optional.empty();
    } else {
      String instead = SENTENCES.say(r.gps().isPresent() ? "instead.gps" : "instead.file");
      String key =
          !p.hasMetadata()
              ? "note.no-metadata"
              : zeros(r.original()) || zeros(r.digitized()) ? "note.zero-date" : "note.no-time";
      sentence = SENTENCES.say(key, label, instead);
    }
    return Optional.of(new Problem(label, true, false, sentence));
  }

  private static boolean zeros(String text) {
    return text != null && text.startsWith("0000");
  }
}

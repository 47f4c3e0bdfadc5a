package meterside.intake;

import java.io.FileInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.Semaphore;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.atomic.AtomicReferenceArray;
import meterside.archive.ArchiveException;
import meterside.archive.JobFolder;
import meterside.archive.Originals;
import meterside.archive.Sha256;
import meterside.job.Job;
import meterside.job.PhotoId;
import meterside.job.Progress;
import meterside.job.Sentences;
import meterside.picture.NotAPicture;
import meterside.picture.Picture;
import meterside.picture.PictureReader;
import meterside.picture.Reading;
import meterside.picture.Signature;

/**
 * The threads of an intake. Files are begun in path order and each that was begun is finished, so
 * what is done is always a beginning of the path order plus what is under way. The bytes in memory
 * are bounded by a budget, not by the number of threads.
 */
final class Workers implements AutoCloseable {
  private static final Sentences SENTENCES = Sentences.in(Workers.class);
  private static final int PIECE = 1 << 20;

  /** The whole budget, in KiB: a quarter of the heap. */
  private static final int BUDGET =
      (int) Math.max(32 << 10, Math.min(1 << 20, Runtime.getRuntime().maxMemory() / 4 >> 10));

  /** A single file may hold half of the heap at most. */
  private static final long LARGEST =
      Math.min(Integer.MAX_VALUE - 64L, Runtime.getRuntime().maxMemory() / 2);

  private final JobFolder folder;
  private final Job job;
  private final List<Source.Candidate> files;
  private final Intake.Options options;
  private final Progress progress;
  private final Semaphore budget = new Semaphore(BUDGET, true);
  private final AtomicInteger next = new AtomicInteger();
  private final AtomicInteger done = new AtomicInteger();
  private final AtomicReferenceArray<Outcome> outcomes;
  private final Group[] groups;
  private final Map<PhotoId, Integer> claims = new ConcurrentHashMap<>();
  private final List<Thread> threads = new ArrayList<>();
  private final Object elsewhereLock = new Object();
  private volatile boolean stopping;
  private volatile boolean cancelled;

  Workers(
      JobFolder folder,
      Job job,
      List<Source.Candidate> files,
      Intake.Options options,
      Progress progress) {
    this.folder = folder;
    this.job = job;
    this.files = files;
    this.options = options;
    this.progress = progress;
    outcomes = new AtomicReferenceArray<>(files.size());
    groups = new Group[(files.size() + Intake.GROUP - 1) / Intake.GROUP];
    for (int i = 0; i < groups.length; i++) {
      int from = i * Intake.GROUP;
      groups[i] = new Group(from, Math.min(files.size(), from + Intake.GROUP));
    }
    progress.at(0, files.size());
    int wanted =
        options.threads() > 0 ? options.threads() : Runtime.getRuntime().availableProcessors();
    for (int i = 0; i < Math.min(wanted, files.size()); i++) {
      Thread t = new Thread(this::work, "intake-" + i);
      t.setDaemon(true);
      threads.add(t);
      t.start();
    }
  }

  /** Files that are committed together. */
  final class Group {
    private final int from;
    private final int to;
    private final CountDownLatch open;
    private final Originals.Batch batch = folder.originals().batch();

    Group(int from, int to) {
      this.from = from;
      this.to = to;
      open = new CountDownLatch(to - from);
    }

    int from() {
      return from;
    }

    int to() {
      return to;
    }

    Outcome outcome(int i) {
      return outcomes.get(i);
    }

    /** Makes the group's originals last. */
    void force() {
      try {
        batch.commit();
      } catch (IOException e) {
        throw new UncheckedIOException(SENTENCES.say("problem.force"), e);
      }
    }
  }

  int groups() {
    return groups.length;
  }

  /** Waits until every file of a group has an outcome. */
  Group await(int index) {
    Group group = groups[index];
    boolean interrupted = false;
    while (true) {
      try {
        group.open.await();
        break;
      } catch (InterruptedException e) {
        // Asked to end: as if cancelled. What was begun is finished first.
        interrupted = true;
        cancelled = true;
        stopping = true;
      }
    }
    if (interrupted) {
      Thread.currentThread().interrupt();
    }
    return group;
  }

  boolean cancelled() {
    return cancelled;
  }

  /** Begins no further file and waits for those under way. */
  @Override
  public void close() {
    stopping = true;
    boolean interrupted = false;
    for (Thread t : threads) {
      while (t.isAlive()) {
        try {
          t.join();
        } catch (InterruptedException e) {
          interrupted = true;
        }
      }
    }
    for (Group group : groups) {
      group.batch.close();
    }
    if (interrupted) {
      Thread.currentThread().interrupt();
    }
  }

  private void work() {
    for (int i = next.getAndIncrement(); i < files.size(); i = next.getAndIncrement()) {
      Outcome outcome;
      if (!stopping && progress.cancelled()) {
        cancelled = true;
        stopping = true;
      }
      if (stopping) {
        outcome = new Outcome.NotDone();
      } else {
        outcome = one(i);
        if (outcome instanceof Outcome.Stop) {
          stopping = true;
        }
      }
      outcomes.set(i, outcome);
      if (!(outcome instanceof Outcome.NotDone)) {
        progress.at(done.incrementAndGet(), files.size());
      }
      groups[i / Intake.GROUP].open.countDown();
    }
  }

  /** One file, whatever happens. */
  private Outcome one(int i) {
    Source.Candidate file = files.get(i);
    try {
      return read(i, file);
    } catch (ArchiveException e) {
      return new Outcome.Stop(e);
    } catch (IOException e) {
      return new Outcome.Failed(SENTENCES.say("problem.unreadable", file.label()));
    } catch (OutOfMemoryError e) {
      return new Outcome.Failed(SENTENCES.say("problem.memory", file.label()));
    } catch (RuntimeException | StackOverflowError e) {
      return new Outcome.Failed(SENTENCES.say("problem.other", file.label()));
    }
  }

  private Outcome read(int i, Source.Candidate file) throws IOException {
    boolean promised = Signature.promisesPicture(file.name());
    try (InputStream in = new FileInputStream(file.path().toFile())) {
      byte[] head = in.readNBytes(Signature.LENGTH);
      if (Signature.of(head).isEmpty()) {
        if (!promised) {
          Optional<String> video = Signature.video(head, file.name());
          return video.isPresent() ? video(i, file, video.get()) : new Outcome.Ignored();
        }
        NotAPicture not = (NotAPicture) PictureReader.read(head, file.label());
        return new Outcome.Failed(not.sentence());
      }
      if (file.size() > LARGEST) {
        return new Outcome.Failed(SENTENCES.say("problem.too-large", file.label()));
      }
      int share = (int) Math.max(1, Math.min(BUDGET, file.size() >> 10));
      budget.acquireUninterruptibly(share);
      try {
        return take(i, file, promised, all(in, head, file.size()));
      } finally {
        budget.release(share);
      }
    }
  }

  /** A video is kept by its bytes; nobody looks into it. It is never held in memory. */
  private Outcome video(int i, Source.Candidate file, String extension) throws IOException {
    if (file.size() > Intake.LARGEST_VIDEO) {
      return new Outcome.Failed(
          SENTENCES.say("problem.long-video", file.label(), Intake.LARGEST_VIDEO >> 20));
    }
    PhotoId id = Sha256.of(file.path());
    Optional<Outcome> not = notTaken(i, id);
    if (not.isPresent()) {
      return not.get();
    }
    long length = Files.size(file.path());
    try {
      groups[i / Intake.GROUP].batch.keep(id, extension, file.path(), length);
    } catch (IOException e) {
      return new Outcome.Failed(SENTENCES.say("problem.not-written", file.label()));
    }
    return new Outcome.KeptVideo(id, length, extension);
  }

  /** Why a file is not taken in, if its content is here, was withdrawn, or is in another job. */
  private Optional<Outcome> notTaken(int i, PhotoId id) {
    boolean earlier = claims.merge(id, i, Math::min) < i;
    if (earlier || job.photos().containsKey(id) || job.attachments().containsKey(id)) {
      return Optional.of(new Outcome.Known());
    }
    if (options.also()) {
      return Optional.empty();
    }
    Optional<Intake.Withdrawal> away = options.withdrawn().apply(id);
    if (away.isPresent()) {
      return Optional.of(new Outcome.Withdrawn(away.get()));
    }
    synchronized (elsewhereLock) {
      return options.elsewhere().apply(id).map(Outcome.Elsewhere::new);
    }
  }

  private Outcome take(int i, Source.Candidate file, boolean promised, byte[] bytes)
      throws IOException {
    PhotoId id = Sha256.of(bytes);
    Optional<Outcome> not = notTaken(i, id);
    if (not.isPresent()) {
      return not.get();
    }
    Reading reading = PictureReader.read(bytes, file.label());
    if (reading instanceof NotAPicture none) {
      return promised ? new Outcome.Failed(none.sentence()) : new Outcome.Ignored();
    }
    Picture picture = (Picture) reading;
    try {
      groups[i / Intake.GROUP].batch.keep(id, picture.extension(), bytes);
    } catch (IOException e) {
      return new Outcome.Failed(SENTENCES.say("problem.not-written", file.label()));
    }
    if (picture.previewJpeg() != null) {
      folder.keepPreview(id, picture.previewJpeg());
      folder.keepThumbnail(id, picture.thumbnailJpeg());
      folder.keepLook(id, picture.look());
    }
    return new Outcome.Kept(id, bytes.length, picture.withoutPictures());
  }

  /** The whole file, of which the head was read already; as long as it turns out to be. */
  private static byte[] all(InputStream in, byte[] head, long expected) throws IOException {
    byte[] bytes = Arrays.copyOf(head, (int) Math.max(head.length, expected));
    int length = head.length;
    while (true) {
      if (length == bytes.length) {
        int more = in.read();
        if (more < 0) {
          return bytes;
        }
        if (length >= LARGEST - PIECE) {
          throw new IOException("the file grows while it is read");
        }
        bytes = Arrays.copyOf(bytes, length + PIECE);
        bytes[length++] = (byte) more;
      }
      int n = in.read(bytes, length, Math.min(PIECE, bytes.length - length));
      if (n < 0) {
        return Arrays.copyOf(bytes, length);
      }
      length += n;
    }
  }
}

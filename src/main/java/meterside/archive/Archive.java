package meterside.archive;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.DirectoryIteratorException;
import java.nio.file.DirectoryStream;
import java.nio.file.FileVisitResult;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.SimpleFileVisitor;
import java.nio.file.attribute.BasicFileAttributes;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.UUID;
import meterside.job.JobHeader;

/**
 * An archive: a folder with {@code archive.json}, {@code jobs/} and {@code index/}.
 *
 * <pre>
 * {"format":1,"id":"9e0c8f3e-…","created":"2026-05-12T21:00:00.000Z"}
 * </pre>
 *
 * <p>Opening and reading change nothing, so an archive on a read-only disk can be read.
 */
public final class Archive {
  /** The version this program writes and the highest it reads. */
  public static final int FORMAT = 1;

  private static final String MARKER = "archive.json";
  private static final String JOBS = "jobs";
  private static final String INDEX = "index";
  static final String NEW_JOB = ".new-";
  private static final Duration ABANDONED = Duration.ofDays(1);
  private static final int LARGEST_MARKER = 1 << 16;

  private final Path root;
  private final String id;
  private final Instant created;
  private final FileOps ops;

  private Archive(Path root, String id, Instant created, FileOps ops) {
    this.root = root;
    this.id = id;
    this.created = created;
    this.ops = ops;
  }

  /**
   * Makes a new archive in a folder that may or may not be there.
   *
   * @throws AlreadyThere if it is one already
   * @throws NotAnArchive if the path is a file, or a folder with jobs that has lost its {@code
   *     archive.json}
   * @throws DiskFull if there is no room
   */
  public static Archive create(Path root) {
    return create(root, FileOps.disk());
  }

  /** As {@link #create(Path)}, on a file-system double. */
  public static Archive create(Path root, FileOps ops) {
    Path marker = root.resolve(MARKER);
    if (Files.exists(marker)) {
      throw new AlreadyThere("archive.there", root);
    }
    if (Files.exists(root) && !Files.isDirectory(root)) {
      throw new NotAnArchive("archive.file", root);
    }
    try {
      if (holdsSomething(root.resolve(JOBS))) {
        throw new NotAnArchive("archive.lost-marker", root);
      }
      ops.createFolder(root.resolve(JOBS));
      ops.createFolder(root.resolve(INDEX));
      ObjectNode node = Json.MAPPER.createObjectNode();
      node.put("format", FORMAT);
      node.put("id", UUID.randomUUID().toString());
      node.put("created", Json.moment(Instant.now()));
      // Last, so that an interrupted making leaves no archive.
      Durable.put(ops, marker, (Json.text(node) + "\n").getBytes(StandardCharsets.UTF_8));
      Path parent = root.toAbsolutePath().getParent();
      if (parent != null) {
        ops.forceFolder(parent);
      }
    } catch (IOException e) {
      if (Durable.isFull(ops, root.toAbsolutePath().getRoot(), e, 0)) {
        throw new DiskFull(e, "full.archive", root);
      }
      throw new DiskTrouble(e, "trouble.archive", root, JobLock.reason(e));
    }
    return open(root, ops);
  }

  /**
   * Opens an archive. Changes nothing in it.
   *
   * @throws NotAnArchive if the folder is none
   * @throws NewerFormat if a newer program made it
   */
  public static Archive open(Path root) {
    return open(root, FileOps.disk());
  }

  /** As {@link #open(Path)}, on a file-system double. */
  public static Archive open(Path root, FileOps ops) {
    Path marker = root.resolve(MARKER);
    try {
      if (Files.exists(marker) && !Files.isRegularFile(marker)) {
        throw new NotAnArchive("archive.bad-marker", root); // a pipe would never end
      }
      if (Files.size(marker) > LARGEST_MARKER) {
        throw new NotAnArchive("archive.bad-marker", root);
      }
      JsonNode node = Json.MAPPER.readTree(Files.readAllBytes(marker));
      if (!node.path("format").isInt()) {
        throw new NotAnArchive("archive.bad-marker", root);
      }
      if (node.path("format").intValue() > FORMAT) {
        throw new NewerFormat("archive.newer", root, node.path("format").intValue(), FORMAT);
      }
      String id = UUID.fromString(node.path("id").asText()).toString();
      return new Archive(root, id, Instant.parse(node.path("created").asText()), ops);
    } catch (NoSuchFileException e) {
      throw new NotAnArchive("archive.none", root);
    } catch (com.fasterxml.jackson.core.JsonProcessingException
        | IllegalArgumentException
        | java.time.DateTimeException e) {
      throw new NotAnArchive("archive.bad-marker", root);
    } catch (IOException e) {
      throw Files.isDirectory(root)
          ? new DiskTrouble(e, "trouble.archive", root, JobLock.reason(e))
          : new NotAnArchive("archive.none", root);
    }
  }

  /** Opens an archive, or makes it if there is none. */
  public static Archive openOrCreate(Path root) {
    return Files.exists(root.resolve(MARKER)) ? open(root) : create(root);
  }

  private static boolean holdsSomething(Path folder) throws IOException {
    if (!Files.isDirectory(folder)) {
      return false;
    }
    try (DirectoryStream<Path> inside = Files.newDirectoryStream(folder)) {
      return inside.iterator().hasNext();
    }
  }

  /** The archive's folder. */
  public Path root() {
    return root;
  }

  /** The archive's id, a UUID; it stays when the folder is moved. */
  public String id() {
    return id;
  }

  /** When it was made. */
  public Instant created() {
    return created;
  }

  /** The search index's folder; may be deleted at any time, may not be there. */
  public Path indexDir() {
    return root.resolve(INDEX);
  }

  Path jobsFolder() {
    return root.resolve(JOBS);
  }

  FileOps ops() {
    return ops;
  }

  /** Names of all jobs, sorted. */
  public List<String> jobNames() {
    List<String> out = new ArrayList<>();
    try (DirectoryStream<Path> folders = Files.newDirectoryStream(root.resolve(JOBS))) {
      for (Path folder : folders) {
        String name = folder.getFileName().toString();
        if (find(name).isPresent()) {
          out.add(name);
        }
      }
    } catch (NoSuchFileException e) {
      return List.of();
    } catch (IOException e) {
      throw new DiskTrouble(e, "trouble.archive", root, JobLock.reason(e));
    }
    Collections.sort(out);
    return List.copyOf(out);
  }

  /**
   * The job of a name; empty if there is none. A folder that has photos and has lost its journal is
   * a job too, one that can't be read.
   */
  public Optional<JobFolder> find(String name) {
    if (!JobName.good(name)) {
      return Optional.empty();
    }
    Path folder = root.resolve(JOBS).resolve(name);
    boolean job =
        Files.isRegularFile(folder.resolve(JobFolder.JOURNAL))
            || Files.isDirectory(folder.resolve(JobFolder.PHOTOS));
    return job ? Optional.of(new JobFolder(name, folder, ops)) : Optional.empty();
  }

  /**
   * The job of a name.
   *
   * @throws NoSuchJob if there is none
   */
  public JobFolder job(String name) {
    return find(name).orElseThrow(() -> new NoSuchJob("job.none", name));
  }

  /**
   * Makes a new job: its folder with line 1 of its journal, all or nothing.
   *
   * @param at when
   * @throws BadName if the name can't be a folder's name on all systems
   * @throws AlreadyThere if there is such a job
   * @throws DiskFull if there is no room; nothing is left behind
   */
  public JobFolder createJob(String name, JobHeader header, String author, Instant at) {
    JobName.check(name);
    Path jobs = root.resolve(JOBS);
    Path target = jobs.resolve(name);
    if (Files.exists(target, LinkOption.NOFOLLOW_LINKS)) {
      throw new AlreadyThere("job.there", name);
    }
    removeAbandoned(jobs);
    // Built beside under a name that is no job's, then moved in one step.
    Path building = jobs.resolve(NEW_JOB + UUID.randomUUID());
    byte[] line = Journal.header(header, author, Instant.ofEpochMilli(at.toEpochMilli())).bytes();
    try {
      ops.createFolder(building.resolve(JobFolder.PHOTOS));
      Durable.put(ops, building.resolve(JobFolder.JOURNAL), line);
      ops.move(building, target);
      ops.forceFolder(jobs);
    } catch (IOException e) {
      remove(building);
      if (Files.exists(target, LinkOption.NOFOLLOW_LINKS)) {
        throw new AlreadyThere("job.there", name); // another process was faster
      }
      if (Durable.isFull(ops, root, e, line.length)) {
        throw new DiskFull(e, "full.new-job", name);
      }
      throw new DiskTrouble(e, "trouble.new-job", name, JobLock.reason(e));
    }
    return new JobFolder(name, target, ops);
  }

  /** Clears away jobs that were being made when the power went, a day ago or longer. */
  private void removeAbandoned(Path jobs) {
    try (DirectoryStream<Path> left = Files.newDirectoryStream(jobs, NEW_JOB + "*")) {
      Instant limit = Instant.now().minus(ABANDONED);
      for (Path building : left) {
        if (Files.getLastModifiedTime(building).toInstant().isBefore(limit)) {
          remove(building);
        }
      }
    } catch (IOException | DirectoryIteratorException e) {
      // They are in nobody's way; the new job matters more.
      return;
    }
  }

  private void remove(Path building) {
    if (!Files.exists(building)) {
      return;
    }
    try {
      Files.walkFileTree(
          building,
          new SimpleFileVisitor<>() {
            @Override
            public FileVisitResult visitFile(Path file, BasicFileAttributes a) throws IOException {
              ops.delete(file);
              return FileVisitResult.CONTINUE;
            }

            @Override
            public FileVisitResult postVisitDirectory(Path folder, IOException e)
                throws IOException {
              ops.delete(folder);
              return FileVisitResult.CONTINUE;
            }
          });
    } catch (IOException stays) {
      // It has no job's name, so nobody takes it for one; the first trouble is what the user hears.
      return;
    }
  }
}

package meterside.work;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.FileVisitResult;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.SimpleFileVisitor;
import java.nio.file.attribute.BasicFileAttributes;
import java.time.DateTimeException;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import meterside.archive.Archive;
import meterside.archive.ArchiveException;
import meterside.archive.JobFolder;
import meterside.archive.SecondCopy;
import meterside.archive.Sha256;
import meterside.job.Job;
import meterside.job.PhotoId;
import meterside.job.Progress;
import meterside.job.Sentences;
import meterside.picture.Picture;
import meterside.picture.PictureReader;
import meterside.picture.Signature;

/**
 * The archive's second copy on another disk: brought up to date, how old it is, and whether a
 * camera's card may be wiped because archive and copy both hold all of it.
 */
public final class Copying {
  private Copying() {}

  /**
   * Brings a second copy up to date. If it is the one in the settings, they remember when.
   *
   * @param folder where it lies; null for the one in the settings
   * @param full whether what it holds already is read through again
   * @throws NotDone if no folder is named and none is in the settings
   * @throws ArchiveException if the place does not do, or the disk is full
   */
  public static SecondCopy.Result update(
      Workspace w, Path folder, boolean full, Progress progress) {
    Path target = folder == null ? place(w).orElseThrow(Copying::noPlace) : folder;
    Instant now = w.clock().instant();
    SecondCopy.Result result = SecondCopy.update(w.archive(), target, full, now, progress);
    Path own = place(w).orElse(null);
    if (result.whole()
        && own != null
        && own.toAbsolutePath().normalize().equals(target.toAbsolutePath().normalize())) {
      w.keep(w.settings().withSecondCopy(w.settings().secondCopy(), now));
    }
    return result;
  }

  private static NotDone noPlace() {
    return new NotDone(NotDone.WRONG_USE, "copy.no-place");
  }

  /** The folder of the second copy in the settings. */
  public static Optional<Path> place(Workspace w) {
    String folder = w.settings().secondCopy();
    return folder == null || folder.isBlank() ? Optional.empty() : Optional.of(Path.of(folder));
  }

  /** How long ago the second copy of the settings last held everything; empty if it never did. */
  public static Optional<Duration> age(Workspace w) {
    String at = w.settings().secondCopyAt();
    if (place(w).isEmpty() || at == null) {
      return Optional.empty();
    }
    try {
      Duration age = Duration.between(Instant.parse(at), w.clock().instant());
      return Optional.of(age.isNegative() ? Duration.ZERO : age);
    } catch (DateTimeException e) {
      return Optional.empty();
    }
  }

  /** The second copy's age in a few words, as the foot of the window says it. */
  public static String ageSentence(Workspace w) {
    if (place(w).isEmpty()) {
      return say("copy.none");
    }
    Optional<Duration> age = age(w);
    if (age.isEmpty()) {
      return say("copy.never");
    }
    long days = age.get().toDays();
    if (days == 0) {
      return say("copy.today");
    }
    return days == 1 ? say("copy.yesterday") : say("copy.days", days);
  }

  /**
   * Whether a card may be wiped.
   *
   * @param kept photos and videos of the card that archive and second copy both hold, read through
   * @param missing files of the card that are photos and are not, or not rightly, in both
   * @param others files that are neither photos nor kept
   * @param mayBeWiped whether there is at least one file kept and nothing missing
   * @param sentence what to say
   */
  public record Card(
      int kept, List<String> missing, int others, boolean mayBeWiped, String sentence) {
    /** Copies the list. */
    public Card {
      missing = List.copyOf(missing);
    }
  }

  /**
   * Reads a card, and what archive and second copy hold of it, through from beginning to end.
   *
   * @param card files and folders
   * @param copy folder of the second copy; null for the one in the settings
   * @param progress counts files of the card; if it is stopped, the card may not be wiped
   */
  public static Card card(Workspace w, List<Path> card, Path copy, Progress progress) {
    Path second = copy == null ? place(w).orElseThrow(Copying::noPlace) : copy;
    List<Path> files = new ArrayList<>();
    boolean readable = true;
    for (Path p : card) {
      if (!Files.exists(p, LinkOption.NOFOLLOW_LINKS)) {
        throw new NotDone(NotDone.WRONG_USE, "card.none", p);
      }
      readable &= collect(p, files);
    }
    Holdings here = new Holdings(w.archive());
    Holdings there = SecondCopy.state(second).isEmpty() ? null : holdings(second);
    int kept = 0;
    int others = 0;
    List<String> missing = new ArrayList<>();
    for (int i = 0; i < files.size(); i++) {
      if (progress.cancelled()) {
        readable = false;
        break;
      }
      Path file = files.get(i);
      try {
        PhotoId id = Sha256.of(file);
        boolean both = here.holds(id) && there != null && there.holds(id);
        if (both) {
          kept++;
        } else if (here.names(id) || !here.withdrawn(id) && isWanted(file)) {
          missing.add(file.getFileName().toString());
        } else {
          others++;
        }
      } catch (IOException e) {
        missing.add(file.getFileName().toString());
      }
      progress.at(i + 1L, files.size());
    }
    boolean may = kept > 0 && missing.isEmpty() && readable;
    String sentence;
    if (may) {
      sentence = say(others == 0 ? "card.may" : "card.may-others", kept, others);
    } else if (!readable) {
      sentence = say("card.unread");
    } else if (there == null) {
      sentence = say("card.no-copy", second);
    } else if (missing.isEmpty()) {
      sentence = say("card.nothing");
    } else {
      sentence = say("card.may-not", missing.size(), files.size(), first(missing));
    }
    return new Card(kept, missing, others, may, sentence);
  }

  private static String first(List<String> names) {
    String few = String.join(", ", names.subList(0, Math.min(3, names.size())));
    return names.size() > 3 ? few + " …" : few;
  }

  private static Holdings holdings(Path second) {
    try {
      return new Holdings(Archive.open(second));
    } catch (ArchiveException e) {
      return null;
    }
  }

  /** Whether it is a photo or a video, which an intake would have taken or said why not. */
  private static boolean isWanted(Path file) throws IOException {
    String name = file.getFileName().toString();
    byte[] head;
    try (InputStream in = Files.newInputStream(file)) {
      head = in.readNBytes(Signature.LENGTH);
    }
    if (Signature.of(head).isEmpty()) {
      return Signature.video(head, name).isPresent();
    }
    if (Files.size(file) > Runtime.getRuntime().maxMemory() / 8) {
      return true; // not looked into: better one too many than one too few
    }
    return PictureReader.read(Files.readAllBytes(file), file.getFileName().toString())
        instanceof Picture;
  }

  /** Adds the regular files under a path; false if some of it can't be read. */
  private static boolean collect(Path root, List<Path> into) {
    boolean[] whole = {true};
    try {
      Files.walkFileTree(
          root,
          new SimpleFileVisitor<>() {
            @Override
            public FileVisitResult visitFile(Path file, BasicFileAttributes a) {
              if (a.isRegularFile()) {
                into.add(file);
              }
              return FileVisitResult.CONTINUE;
            }

            @Override
            public FileVisitResult visitFileFailed(Path file, IOException e) {
              whole[0] = false;
              return FileVisitResult.CONTINUE;
            }
          });
    } catch (IOException e) {
      whole[0] = false;
    }
    return whole[0];
  }

  /** What the jobs of an archive hold, by hash. Journals are read as they are needed. */
  private static final class Holdings {
    private final Archive archive;
    private final Map<String, List<String>> stored = new HashMap<>();
    private final Map<String, Map<PhotoId, Path>> jobs = new HashMap<>();
    private final Set<PhotoId> gone = new HashSet<>();

    Holdings(Archive archive) {
      this.archive = archive;
      for (String name : archive.jobNames()) {
        String[] names = archive.job(name).originals().folder().toFile().list();
        for (String file : names == null ? new String[0] : names) {
          int dot = file.indexOf('.');
          stored
              .computeIfAbsent(dot < 0 ? file : file.substring(0, dot), k -> new ArrayList<>())
              .add(name);
        }
      }
    }

    /** Whether it was withdrawn from a job: nobody wants it kept. */
    boolean withdrawn(PhotoId id) {
      archive.jobNames().forEach(this::files);
      return gone.contains(id);
    }

    /** Whether a job's journal names it. */
    boolean names(PhotoId id) {
      return stored.getOrDefault(id.hex(), List.of()).stream()
          .anyMatch(job -> files(job).containsKey(id));
    }

    /** Whether a job's journal names it and its file, read through, has this hash. */
    boolean holds(PhotoId id) {
      for (String job : stored.getOrDefault(id.hex(), List.of())) {
        Path file = files(job).get(id);
        try {
          if (file != null && Files.isRegularFile(file) && Sha256.of(file).equals(id)) {
            return true;
          }
        } catch (IOException e) {
          continue; // not readable is not held
        }
      }
      return false;
    }

    private Map<PhotoId, Path> files(String job) {
      return jobs.computeIfAbsent(
          job,
          name -> {
            Map<PhotoId, Path> out = new HashMap<>();
            try {
              JobFolder folder = archive.job(name);
              Job now = folder.read().history().job();
              gone.addAll(now.withdrawnPhotos().keySet());
              Path photos = folder.originals().folder();
              now.photos().values().forEach(p -> out.put(p.id(), photos.resolve(p.storedName())));
              now.attachments()
                  .values()
                  .forEach(a -> out.put(a.id(), photos.resolve(a.storedName())));
            } catch (ArchiveException e) {
              return Map.of(); // a broken journal vouches for nothing
            }
            return out;
          });
    }
  }

  private static String say(String key, Object... arguments) {
    return Sentences.in(Copying.class).say(key, arguments);
  }
}

package meterside.work;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.type.TypeReference;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.time.DateTimeException;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import meterside.archive.ArchiveException;
import meterside.archive.Verify;
import meterside.job.Progress;

/**
 * Reads a share of the archive through each day, so that damage is found while a good copy still
 * exists: every day a thirtieth of the jobs, those first that were not looked at for longest. When
 * each was looked at is kept beside the settings; if that is lost, the round starts anew.
 */
public final class DailyCheck {
  /** Days in which every job has had its turn. */
  public static final int ROUND_DAYS = 30;

  private static final ObjectMapper JSON = new ObjectMapper();

  private DailyCheck() {}

  /**
   * What a day's check came to.
   *
   * @param checked names of the jobs that were read through
   * @param broken a sentence for each thing that is not as it was left
   */
  public record Result(List<String> checked, List<String> broken) {
    /** Copies the lists. */
    public Result {
      checked = List.copyOf(checked);
      broken = List.copyOf(broken);
    }
  }

  /**
   * Checks today's share; does nothing if that was done already.
   *
   * @param progress counts jobs; what was checked before it is stopped counts
   */
  public static Result today(Workspace w, Progress progress) {
    LocalDate today = LocalDate.ofInstant(w.clock().instant(), ZoneOffset.UTC);
    Path file = w.home().folder().resolve("checks").resolve(w.archive().id() + ".json");
    Map<String, String> looked = load(file);
    List<String> names = w.jobNames();
    looked.keySet().retainAll(names);
    List<String> share = share(names, looked, today);
    List<String> checked = new ArrayList<>();
    List<String> broken = new ArrayList<>();
    for (String job : share) {
      if (progress.cancelled()) {
        break;
      }
      progress.at(checked.size(), share.size());
      List<Verify.Result> results;
      try {
        results = Verify.job(w.folder(job), false, List.of(), stopOnly(progress));
      } catch (ArchiveException | NotDone e) {
        broken.add(e.getMessage()); // moved away or unreadable while the round went on
        continue;
      }
      if (progress.cancelled()) {
        break;
      }
      for (Verify.Result r : results) {
        if (r.severity() == Verify.Severity.BROKEN) {
          broken.add(job + ": " + r.sentence() + (r.advice() == null ? "" : " " + r.advice()));
        }
      }
      checked.add(job);
      looked.put(job, today.toString());
      save(file, looked);
    }
    return new Result(checked, broken);
  }

  /** Today's jobs: never looked at first, then those looked at longest ago; none from today. */
  static List<String> share(List<String> names, Map<String, String> looked, LocalDate today) {
    long done = names.stream().filter(n -> today.toString().equals(looked.get(n))).count();
    long size = (names.size() + ROUND_DAYS - 1L) / ROUND_DAYS;
    return names.stream()
        .filter(n -> !today.toString().equals(looked.get(n)))
        .sorted(Comparator.comparing((String n) -> day(looked.get(n))).thenComparing(n -> n))
        .limit(Math.max(0, size - done))
        .toList();
  }

  private static LocalDate day(String text) {
    try {
      return text == null ? LocalDate.MIN : LocalDate.parse(text);
    } catch (DateTimeException e) {
      return LocalDate.MIN;
    }
  }

  private static Progress stopOnly(Progress progress) {
    return new Progress() {
      @Override
      public void at(long done, long total) {}

      @Override
      public boolean cancelled() {
        return progress.cancelled();
      }
    };
  }

  private static Map<String, String> load(Path file) {
    try {
      return Files.isRegularFile(file)
          ? JSON.readValue(file.toFile(), new TypeReference<TreeMap<String, String>>() {})
          : new TreeMap<>();
    } catch (IOException e) {
      return new TreeMap<>(); // the round starts anew
    }
  }

  private static void save(Path file, Map<String, String> looked) {
    try {
      Files.createDirectories(file.getParent());
      Path part = file.resolveSibling(file.getFileName() + ".new");
      Files.write(part, JSON.writeValueAsBytes(looked));
      Files.move(part, file, StandardCopyOption.REPLACE_EXISTING, StandardCopyOption.ATOMIC_MOVE);
    } catch (JsonProcessingException e) {
      throw new IllegalStateException(e);
    } catch (IOException e) {
      // Only when it was looked at is lost; tomorrow the same jobs have their turn again.
      return;
    }
  }
}

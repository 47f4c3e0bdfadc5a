package meterside.work;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import meterside.archive.ArchiveException;
import meterside.archive.JobFolder;
import meterside.job.Job;
import meterside.job.PhotoId;
import meterside.job.Placement;
import meterside.picture.Look;
import meterside.route.Looks;
import meterside.route.Priors;
import meterside.route.Sorter;

/**
 * What the archive's confirmed jobs teach the sorting: how photos spread over the stops, and what
 * photos of each stop look like. Only the latest jobs are asked, and of each only so many photos.
 */
final class Learned {
  /** Jobs are named by date as a rule, so the last names are the latest. */
  private static final int JOBS = 20;

  private static final int EXAMPLES = 1500;

  private Learned() {}

  /**
   * Reads it for a job. A job that can't be read teaches nothing.
   *
   * @param folder the job that is to be sorted
   */
  static Sorter.Knowledge of(Workspace workspace, JobFolder folder) {
    List<String> names = new ArrayList<>(workspace.jobNames());
    names.remove(folder.name());
    List<Job> confirmed = new ArrayList<>();
    List<Looks.Example> examples = new ArrayList<>();
    for (int i = names.size() - 1; i >= 0 && confirmed.size() < JOBS; i--) {
      JobFolder other = workspace.folder(names.get(i));
      try {
        Job job = other.read().history().job();
        if (Priors.confirmed(job)) {
          confirmed.add(job);
          examples(other, job, examples);
        }
      } catch (ArchiveException e) {
        continue; // verify says what is wrong with it
      }
    }
    Map<PhotoId, Optional<float[]>> own = new HashMap<>();
    return new Sorter.Knowledge(
        Priors.standard().learn(confirmed),
        examples.isEmpty() ? Looks.NONE : Looks.of(examples),
        id -> own.computeIfAbsent(id, k -> folder.look(k).flatMap(Look::unpack)).orElse(null));
  }

  private static void examples(JobFolder folder, Job job, List<Looks.Example> out) {
    for (PhotoId id : job.intakeOrder()) {
      Optional<Placement> at = job.placement(id);
      boolean sure = at.isPresent() && (at.get().fixed() || at.get().confidence() >= 0.95);
      if (out.size() < EXAMPLES && sure) {
        folder
            .look(id)
            .flatMap(Look::unpack)
            .ifPresent(l -> out.add(new Looks.Example(l, at.get().at().stop())));
      }
    }
  }
}

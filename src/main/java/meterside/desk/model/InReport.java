package meterside.desk.model;

import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import meterside.job.DutyKey;
import meterside.job.Finding;
import meterside.job.Job;
import meterside.job.Mark;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.StopKey;

/**
 * Which photos go into a report: every photo with a mark or named by a finding or an answer, and
 * the first of each stop, unless it is set aside or a note to self.
 */
final class InReport {
  private InReport() {}

  static Set<PhotoId> of(Job job) {
    Set<PhotoId> in = new HashSet<>();
    for (Mark m : job.marks().values()) {
      in.add(m.photo());
    }
    for (Finding f : job.findings().values()) {
      in.addAll(f.photos());
    }
    for (DutyKey key : job.dutyKeys()) {
      job.answer(key).ifPresent(a -> in.addAll(a.photos()));
    }
    for (Map.Entry<StopKey, List<Photo>> stop : job.photosByStop().entrySet()) {
      if (stop.getKey() != null && !stop.getKey().isOtherSystems()) {
        stop.getValue().stream()
            .map(Photo::id)
            .filter(id -> !left(job, id))
            .findFirst()
            .ifPresent(in::add);
      }
    }
    in.removeIf(id -> left(job, id));
    return in;
  }

  private static boolean left(Job job, PhotoId id) {
    return job.aside().containsKey(id) || job.notesToSelf().contains(id);
  }
}

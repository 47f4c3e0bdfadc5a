package meterside.work;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import meterside.archive.JobFolder;
import meterside.job.Code;
import meterside.job.CodesSeen;
import meterside.job.Edit;
import meterside.job.Job;
import meterside.job.PhotoId;
import meterside.job.PlacementBasis;
import meterside.job.StopKey;
import meterside.picture.Codes;

/** What the codes in photos that came in tell. */
final class CodeReading {
  private CodeReading() {}

  /**
   * The edits that note the codes of some photos, and put those with one stop code at that stop.
   *
   * @param photos photos of the job
   * @param known the codes of those that were looked at already; the previews of the others are
   *     read, on all cores
   */
  static List<Edit> edits(
      JobFolder folder, Job job, List<PhotoId> photos, Map<PhotoId, List<Code>> known) {
    List<CodesSeen> seen =
        photos.parallelStream()
            .map(
                id ->
                    new CodesSeen(
                        id, texts(known.containsKey(id) ? known.get(id) : read(folder, id))))
            .filter(s -> !s.texts().isEmpty())
            .toList();
    List<Edit> out = new ArrayList<>();
    if (seen.isEmpty()) {
      return out;
    }
    out.add(new Edit.NoteCodes(seen));
    Map<StopKey, List<PhotoId>> byStop = new TreeMap<>();
    for (CodesSeen s : seen) {
      List<StopKey> stops =
          s.texts().stream()
              .flatMap(t -> Code.parse(t).stream())
              .flatMap(c -> c.at().stream())
              .filter(at -> job.route().indexOf(at.stop()) >= 0)
              .toList();
      boolean byHand = job.placement(s.photo()).filter(p -> p.fixed()).isPresent();
      if (stops.size() == 1 && !byHand) {
        byStop.computeIfAbsent(stops.get(0), k -> new ArrayList<>()).add(s.photo());
      }
    }
    List<Edit.Run> runs = new ArrayList<>();
    byStop.forEach(
        (at, ids) ->
            runs.add(
                new Edit.Run(
                    at, PlacementBasis.BY_CODE, ids, ids.stream().map(i -> 1.0).toList())));
    if (!runs.isEmpty()) {
      out.add(new Edit.RecordSorting("codes-1", "none", runs));
    }
    return out;
  }

  private static List<Code> read(JobFolder folder, PhotoId id) {
    return folder.preview(id).map(Codes::readJpeg).orElse(List.of());
  }

  private static List<String> texts(List<Code> codes) {
    return codes.stream().map(Code::text).toList();
  }
}

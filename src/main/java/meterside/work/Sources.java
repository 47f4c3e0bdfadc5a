package meterside.work;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import meterside.job.Edit;
import meterside.job.Format;
import meterside.job.Job;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.Source;
import meterside.job.SourceKind;

/** Notes where photos came from, as far as their folders and files tell or the inspector says. */
final class Sources {
  private Sources() {}

  /**
   * The edits that note the source of photos.
   *
   * @param said what the inspector says of the place, or null
   */
  static List<Edit> edits(Job job, List<PhotoId> photos, SourceKind said) {
    Map<Source, List<PhotoId>> by = new LinkedHashMap<>();
    for (PhotoId id : photos) {
      Photo p = job.photo(id);
      by.computeIfAbsent(of(p, said), k -> new ArrayList<>()).add(id);
    }
    List<Edit> out = new ArrayList<>();
    by.forEach((source, ids) -> out.add(new Edit.NoteSource(ids, source)));
    return out;
  }

  private static Source of(Photo p, SourceKind said) {
    boolean dcf = false; // the folders that cameras make (DCF, JEITA CP-3461)
    String label = null;
    for (String part : p.folder().split("/")) {
      boolean camera = part.equalsIgnoreCase("DCIM") || part.matches("\\d{3}[A-Z0-9_]{5}");
      dcf |= camera;
      label = label == null && !camera && !part.isEmpty() ? part : label;
    }
    SourceKind kind = said != null ? said : dcf ? SourceKind.CARD : SourceKind.FOLDER;
    // A camera writes when it was and how it was exposed; what lacks both went through something.
    boolean stripped =
        p.format() != Format.HEIC && p.recorded().wall().isEmpty() && p.exposure() == null;
    return new Source(kind, label, stripped || kind == SourceKind.SYNCED_FOLDER);
  }
}

package meterside.archive;

import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import meterside.job.Attachment;
import meterside.job.Edit;
import meterside.job.History;
import meterside.job.Photo;
import meterside.job.PhotoId;

/**
 * A file that a journal says must be among the originals: a photo or an attachment, also one whose
 * intake was undone, since bytes are not removed by a step back. Only a withdrawal removes them.
 *
 * @param id SHA-256 of its bytes
 * @param name original name
 * @param storedName name in the photos folder
 * @param bytes length
 */
record Kept(PhotoId id, String name, String storedName, long bytes) {

  /** What must be there, in the order it was taken in. */
  static Map<PhotoId, Kept> of(JournalContent content) {
    return of(content, new HashMap<>());
  }

  /** Hashes of everything that was ever taken in, withdrawn or not. */
  static Set<String> everNamed(JournalContent content) {
    Map<String, String> withdrawn = new HashMap<>();
    Set<String> out = new HashSet<>();
    of(content, withdrawn).keySet().forEach(id -> out.add(id.hex()));
    withdrawn.keySet().forEach(stored -> out.add(stored.substring(0, stored.indexOf('.'))));
    return out;
  }

  /**
   * What must be there, in the order it was taken in.
   *
   * @param withdrawn gets stored and original names of what was withdrawn
   */
  static Map<PhotoId, Kept> of(JournalContent content, Map<String, String> withdrawn) {
    Map<PhotoId, Kept> kept = new LinkedHashMap<>();
    for (History.Entry e : content.entries()) {
      if (e.edit() instanceof Edit.AddPhotos added) {
        for (Photo p : added.photos()) {
          kept.put(p.id(), new Kept(p.id(), p.name(), p.storedName(), p.bytes()));
          withdrawn.remove(p.storedName());
        }
      } else if (e.edit() instanceof Edit.AddAttachments added) {
        for (Attachment a : added.attachments()) {
          kept.put(a.id(), new Kept(a.id(), a.name(), a.storedName(), a.bytes()));
          withdrawn.remove(a.storedName());
        }
      } else if (e.edit() instanceof Edit.WithdrawPhotos away) {
        withdraw(away.photos(), kept, withdrawn);
      } else if (e.edit() instanceof Edit.WithdrawAttachments away) {
        withdraw(away.attachments(), kept, withdrawn);
      }
    }
    return kept;
  }

  private static void withdraw(
      List<PhotoId> ids, Map<PhotoId, Kept> kept, Map<String, String> withdrawn) {
    for (PhotoId id : ids) {
      Kept k = kept.remove(id);
      if (k != null) {
        withdrawn.put(k.storedName(), k.name());
      }
    }
  }
}

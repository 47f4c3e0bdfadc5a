package meterside.desk.model;

import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import meterside.job.Camera;
import meterside.job.Edit;
import meterside.job.Format;
import meterside.job.Job;
import meterside.job.JobHeader;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.PlacementBasis;
import meterside.job.Recorded;
import meterside.job.StopKey;
import meterside.trade.Trade;

/** Jobs in memory for tests of what is shown. */
final class Jobs {
  static final LocalDateTime START = LocalDateTime.of(2026, 5, 12, 10, 2, 0);
  private static final DateTimeFormatter EXIF =
      DateTimeFormatter.ofPattern("yyyy:MM:dd HH:mm:ss", Locale.ROOT);

  private Jobs() {}

  /** A job with nothing in it. */
  static Job empty() {
    Trade trade = Trade.standard();
    return Job.start(
        new JobHeader(
            JobHeader.FORMAT,
            "00000000-0000-0000-0000-000000000001",
            "18 Wren Hollow",
            LocalDate.of(2026, 5, 12),
            ZoneId.of("America/New_York"),
            trade.route("overhead"),
            trade.profile("general")));
  }

  /** The id of the n-th photo. */
  static PhotoId id(int n) {
    return new PhotoId(String.format(Locale.ROOT, "%064x", n));
  }

  /** A photo taken so many seconds after the start. */
  static Photo photo(int n, long seconds) {
    return new Photo(
        id(n),
        String.format(Locale.ROOT, "P%04d.JPG", n),
        "",
        1000,
        Format.JPEG,
        "jpg",
        4032,
        3024,
        1,
        new Recorded(EXIF.format(START.plusSeconds(seconds)), null, null, null, null, null, null),
        "A",
        null,
        null,
        null,
        100.0,
        null);
  }

  /** A job with so many photos ten seconds apart, none sorted. */
  static Job withPhotos(int count) {
    List<Photo> photos = new ArrayList<>();
    for (int n = 1; n <= count; n++) {
      photos.add(photo(n, 10L * n));
    }
    Job job =
        new Edit.PutCamera(new Camera("A", "Larkfield", "Heron 40", null, null, null))
            .applyTo(empty());
    return new Edit.AddPhotos(photos).applyTo(job);
  }

  /** The job with photos from one number to another at a stop, by hand. */
  static Job byHand(Job job, int from, int to, String stop) {
    return new Edit.PlaceByHand(ids(from, to), StopKey.of(stop)).applyTo(job);
  }

  /** The job with photos laid at a stop by the sorting, with one confidence. */
  static Job sorted(Job job, int from, int to, String stop, double confidence) {
    List<PhotoId> ids = ids(from, to);
    return new Edit.RecordSorting(
            "test 1",
            "none",
            List.of(
                new Edit.Run(
                    StopKey.of(stop),
                    PlacementBasis.INFERRED,
                    ids,
                    ids.stream().map(i -> confidence).toList())))
        .applyTo(job);
  }

  /** Ids from one number to another. */
  static List<PhotoId> ids(int from, int to) {
    List<PhotoId> out = new ArrayList<>();
    for (int n = from; n <= to; n++) {
      out.add(id(n));
    }
    return out;
  }
}

package meterside.search;

import java.nio.file.Path;
import java.time.Clock;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.UUID;
import meterside.archive.Archive;
import meterside.archive.JournalWriter;
import meterside.archive.Sha256;
import meterside.job.Callout;
import meterside.job.Camera;
import meterside.job.Edit;
import meterside.job.Finding;
import meterside.job.FindingKind;
import meterside.job.Format;
import meterside.job.JobHeader;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.Point;
import meterside.job.Recorded;
import meterside.job.StopKey;
import meterside.trade.Trade;

/** Writes jobs of invented houses into an archive, through the real journal. */
final class TestJobs {
  static final Instant NOW = Instant.parse("2026-05-12T20:00:00Z");
  private static final Trade TRADE = Trade.standard();

  private final Archive archive;

  TestJobs(Path root) {
    archive = Archive.openOrCreate(root);
  }

  Archive archive() {
    return archive;
  }

  PastJobs pastJobs() {
    return LucenePastJobs.open(archive, TRADE);
  }

  /** A new job with one camera. */
  Draft job(String name, String site, String date) {
    JobHeader header =
        new JobHeader(
            JobHeader.FORMAT,
            UUID.nameUUIDFromBytes(name.getBytes(java.nio.charset.StandardCharsets.UTF_8))
                .toString(),
            site,
            LocalDate.parse(date),
            ZoneId.of("America/New_York"),
            TRADE.route("overhead"),
            TRADE.profile("general"));
    archive.createJob(name, header, "tester", NOW);
    return new Draft(name)
        .edit(new Edit.PutCamera(new Camera("A", null, "Pocket One", null, null, null)));
  }

  /** Goes on with a job that is there. */
  Draft again(String name) {
    return new Draft(name);
  }

  static PhotoId id(String job, String file) {
    return Sha256.of((job + "/" + file).getBytes(java.nio.charset.StandardCharsets.UTF_8));
  }

  /** A photo's facts; there are no pixels behind it. */
  static Photo photo(String job, String file, int second) {
    String at =
        String.format(Locale.ROOT, "2026:05:12 09:%02d:%02d", second / 60 % 60, second % 60);
    Recorded recorded = new Recorded(at, null, null, null, null, null, null);
    return new Photo(
        id(job, file),
        file,
        "",
        1000,
        Format.JPEG,
        "jpg",
        400,
        300,
        1,
        recorded,
        "A",
        null,
        null,
        null,
        null,
        null);
  }

  /** Edits of one job, written together by {@link #save}. */
  final class Draft {
    private final String name;
    private final List<Edit> edits = new ArrayList<>();
    private int mark = 1;

    Draft(String name) {
      this.name = name;
    }

    Draft edit(Edit e) {
      edits.add(e);
      return this;
    }

    Draft photo(String file, String stop) {
      Photo p = TestJobs.photo(name, file, edits.size());
      edits.add(new Edit.AddPhotos(List.of(p)));
      if (stop != null) {
        edits.add(new Edit.PlaceByHand(List.of(p.id()), StopKey.parse(stop)));
      }
      return this;
    }

    Draft callout(String file, String part, String note) {
      Callout c =
          new Callout(mark++, id(name, file), part, List.of(new Point(0.5, 0.5)), null, null, note);
      return edit(new Edit.PutCallout(c));
    }

    Draft finding(int number, String stop, String part, FindingKind kind, String seen, String why) {
      return finding(number, stop, part, kind, seen, why, null);
    }

    Draft finding(
        int number,
        String stop,
        String part,
        FindingKind kind,
        String seen,
        String why,
        String location,
        String... files) {
      List<PhotoId> photos = new ArrayList<>();
      for (String f : files) {
        photos.add(id(name, f));
      }
      return edit(
          new Edit.PutFinding(
              new Finding(
                  number,
                  StopKey.parse(stop),
                  location,
                  part,
                  kind,
                  seen,
                  why,
                  null,
                  photos,
                  null,
                  false)));
    }

    void save() {
      try (JournalWriter w =
          JournalWriter.open(
              archive.find(name).orElseThrow(), "tester", Clock.fixed(NOW, ZoneOffset.UTC))) {
        w.append("tester", w.content().history().nextStep(), edits);
      }
      edits.clear();
    }
  }
}

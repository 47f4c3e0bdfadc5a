package meterside.intake;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.time.Clock;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.List;
import java.util.Locale;
import meterside.archive.Archive;
import meterside.archive.JobFolder;
import meterside.archive.JournalWriter;
import meterside.job.Edit;
import meterside.job.Job;
import meterside.job.JobHeader;
import meterside.job.Progress;
import meterside.picture.ExifBlock;
import meterside.picture.TestPictures;
import meterside.trade.Trade;

/** Cards full of photos, and jobs to take them into, for tests. */
public final class Cards {
  private Cards() {}

  /** A card with so many small photos of two cameras. */
  static Path make(Path card, int photos) throws IOException {
    Files.createDirectories(card);
    byte[] jpeg = TestPictures.jpeg(1);
    for (int i = 0; i < photos; i++) {
      String time =
          String.format(Locale.ROOT, "2026:05:12 %02d:%02d:%02d", 9 + i / 60, i % 60, i % 50);
      byte[] bytes = ExifBlock.camera("Acme", i % 3 == 0 ? "One" : "Two", time).into(jpeg);
      Path file = card.resolve(String.format(Locale.ROOT, "IMG_%04d.jpg", i));
      Files.write(file, bytes);
      Files.setLastModifiedTime(file, FileTime.from(Instant.parse("2026-05-12T20:00:00Z")));
    }
    return card;
  }

  static JobHeader header() {
    return new JobHeader(
        JobHeader.FORMAT,
        "00000000-0000-4000-8000-000000000001",
        "12 Made-up Lane",
        LocalDate.of(2026, 5, 12),
        ZoneId.of("America/Chicago"),
        Trade.standard().route("overhead"),
        Trade.standard().profile("general"));
  }

  /** A new job. */
  static JobFolder job(Archive archive, String name) {
    return archive.createJob(name, header(), "tester", Instant.parse("2026-05-12T12:00:00Z"));
  }

  /** Takes a card in and records it in the journal. */
  static Job intake(JobFolder folder, Path card) {
    try (JournalWriter writer = JournalWriter.open(folder, "tester", Clock.systemUTC())) {
      Intake.run(
          folder,
          writer.content().history().job(),
          List.of(card),
          Intake.Options.PLAIN,
          edits -> writer.append("tester", 1, edits),
          Progress.NONE);
    }
    return folder.read().history().job();
  }

  /** How many photos edits add. */
  static int photosIn(List<Edit> edits) {
    return edits.stream()
        .mapToInt(e -> e instanceof Edit.AddPhotos add ? add.photos().size() : 0)
        .sum();
  }
}

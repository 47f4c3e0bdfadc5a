package meterside.desk;

import java.io.IOException;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.util.Locale;

/** Cards for tests outside this package. */
public final class CardMaker {
  private CardMaker() {}

  /** A card with so many small photos, ten seconds apart. */
  public static void small(Path folder, int count) throws IOException {
    LocalDateTime at = LocalDateTime.of(2026, 5, 12, 10, 2, 4);
    for (int i = 0; i < count; i++) {
      TestCard.photo(
          folder,
          String.format(Locale.ROOT, "S%03d.JPG", i + 1),
          at.plusSeconds(10L * i),
          i,
          false,
          "Heron 40",
          320);
    }
  }
}

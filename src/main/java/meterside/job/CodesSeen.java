package meterside.job;

import java.util.List;

/**
 * Codes read in a photo.
 *
 * @param photo the photo
 * @param texts the codes as {@link Code#text} writes them; empty if what was read before was wrong
 */
public record CodesSeen(PhotoId photo, List<String> texts) {
  /** Copies the list. */
  public CodesSeen {
    texts = List.copyOf(texts);
  }
}

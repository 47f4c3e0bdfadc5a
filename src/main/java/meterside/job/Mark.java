package meterside.job;

/** Something drawn on a photo. Marks live in the journal; the photo itself is never changed. */
public sealed interface Mark permits Callout, Outline, Redaction {
  /** Number of the mark, unique in the job and never used again. */
  int id();

  /** The photo it lies on. */
  PhotoId photo();
}

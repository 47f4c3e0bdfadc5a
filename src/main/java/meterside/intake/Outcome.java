package meterside.intake;

import meterside.job.PhotoId;
import meterside.picture.Picture;

/** What became of one file. */
sealed interface Outcome {
  /** The original is kept, though not forced yet. */
  record Kept(PhotoId id, long length, Picture picture) implements Outcome {}

  /** A video; its bytes are kept, though not forced yet. */
  record KeptVideo(PhotoId id, long length, String extension) implements Outcome {}

  /** Its content was withdrawn from this job and stays where it is. */
  record Withdrawn(Intake.Withdrawal withdrawal) implements Outcome {}

  /** Its content is in this job, or came earlier in this run. */
  record Known() implements Outcome {}

  /** Its content is in another job and was left there. */
  record Elsewhere(String job) implements Outcome {}

  /** It is no photo and does not claim to be one. */
  record Ignored() implements Outcome {}

  /** It stays where it is. */
  record Failed(String sentence) implements Outcome {}

  /** The archive can't go on. */
  record Stop(RuntimeException reason) implements Outcome {}

  /** Cancelled before its turn. */
  record NotDone() implements Outcome {}
}

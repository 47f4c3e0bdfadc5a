package meterside.job;

/** What kind of smaller hand-over an {@link Extract} was. */
public enum ExtractKind {
  /** What is to be done, in a few lines each, without pictures. */
  FIX_LIST,
  /** For whoever does the work: few pictures, places, what is known of the panels. */
  FOR_ELECTRICIAN,
  /** The cameras' files as they are, with their hashes. */
  ORIGINALS
}

package meterside.job;

/** Where photos came from when they were taken in. */
public enum SourceKind {
  /** A camera's memory card. */
  CARD,
  /** A phone or camera on a cable. */
  CABLE,
  /** A folder that another program fills; photos there may have been encoded anew. */
  SYNCED_FOLDER,
  /** Some folder; nobody said more. */
  FOLDER
}

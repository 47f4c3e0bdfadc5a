package meterside.job;

/** What kind of finding it is. */
public enum FindingKind {
  /** Does not work or is damaged: needs correction. */
  NEEDS_CORRECTION,
  /** Someone with the right licence should look further. */
  FURTHER_EVALUATION,
  /** An improvement worth having. */
  SAFETY_IMPROVEMENT,
  /** Worth knowing. */
  NOTE
}

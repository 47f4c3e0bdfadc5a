package meterside.job;

/** The ways a duty can be answered. Only the inspector answers; a sorted photo never does. */
public enum AnswerKind {
  /** Looked at, no reportable condition observed. */
  NO_CONDITION,
  /** A finding says it. */
  FINDING,
  /** A description: value and how it is known. */
  DESCRIPTION,
  /** Looked for and not present. */
  NOT_PRESENT,
  /** Present, and excluded from this inspection. */
  EXCLUDED,
  /** Not inspected, because. */
  NOT_INSPECTED
}

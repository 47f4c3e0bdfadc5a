package meterside.job;

/** What a duty asks for. */
public enum DutyKind {
  /** Look at it, and say what was seen or that nothing reportable was. */
  INSPECT,
  /** Describe it: a value and how it is known, or that it is not labeled. */
  DESCRIBE,
  /** Report it if it is seen. */
  REPORT,
  /** The inspector's own habit; never printed as unmet. */
  OWN_HABIT
}

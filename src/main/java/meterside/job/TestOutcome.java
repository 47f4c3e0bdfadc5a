package meterside.job;

/** What a device test showed. */
public enum TestOutcome {
  /** Nothing reportable. */
  AS_EXPECTED,
  /** No power. */
  NO_POWER,
  /** Hot and neutral reversed. */
  REVERSED,
  /** No connection to ground. */
  OPEN_GROUND,
  /** No neutral. */
  OPEN_NEUTRAL,
  /** Loose in the wall or a loose grip on the plug. */
  LOOSE,
  /** Marks of heat. */
  HEAT_MARKS,
  /** The test button or tester did not trip it. */
  DID_NOT_TRIP,
  /** It tripped and could not be reset. */
  DID_NOT_RESET
}

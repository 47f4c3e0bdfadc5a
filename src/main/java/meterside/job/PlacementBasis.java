package meterside.job;

/** Why a photo lies at its stop. */
public enum PlacementBasis {
  /** Put there by the inspector. */
  BY_HAND,
  /** A photographed code says so. */
  BY_CODE,
  /** Worked out by the sorting. */
  INFERRED
}

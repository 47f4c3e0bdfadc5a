package meterside.job;

/** Where on the walk a stop lies; stops of the first two phases come in order, rooms in any. */
public enum Phase {
  /** Outside the house, in the route's order. */
  OUTSIDE,
  /** Inside, in the route's order. */
  INSIDE,
  /** Room by room, in any order. */
  ROOMS,
  /** Anywhere on the walk (other systems). */
  ANYWHERE
}

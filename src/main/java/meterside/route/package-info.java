/**
 * Lays a job's photos along the route: first true times, then stops.
 *
 * <p>{@link meterside.route.Clocks} finds how far a camera's clock is off where GPS tells. {@link
 * meterside.route.Sorter} then gives every photo that was not put by hand or by a code a stop and a
 * probability, with a semi-Markov model of the walk: runs of photos, stops in order, rooms in free
 * order, other systems anywhere. {@link meterside.route.Priors} holds what is expected of a walk
 * before any of its photos is looked at. {@code docs/sorting.md} has the model, its formulas and
 * what it measured.
 *
 * <p>Both are pure: they read a job and hand back edits. The result is recorded in the journal and
 * not worked out again when a job is opened.
 */
package meterside.route;

/**
 * The trade's knowledge as data: routes, stops, parts with the words people use for them, duties,
 * cautions, common wording, clearances and ratings.
 *
 * <p>All of it lies in {@code src/main/resources/trade/} as JSON, each fact with its source, or
 * marked as common practice or as being from memory. {@link meterside.trade.Trade#standard} loads
 * it once. Ids are forever: jobs and journals carry them.
 *
 * <p>To add a stop, add it to {@code routes.json}, its caution to {@code cautions.json} and its
 * duties to {@code duties.json}. To add a part, add an entry with its home stops to {@code
 * glossary.json}. The tests check that whatever is named exists.
 *
 * <p>Numbers here ({@link meterside.trade.Clearances}, {@link meterside.trade.Ratings}) are a
 * yardstick, never a verdict: local adoption differs, old work is judged by the rules of its day,
 * and a photo is not a measurement. The most that is ever said is that something looks low, and
 * that it should be measured or checked. The authority having jurisdiction, the utility and a
 * licensed electrician decide.
 */
package meterside.trade;

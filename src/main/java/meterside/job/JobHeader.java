package meterside.job;

import java.time.LocalDate;
import java.time.ZoneId;

/**
 * What a job starts from: line 1 of its journal.
 *
 * @param format version of the journal's format
 * @param id the job's id, a UUID
 * @param site the house, as the inspector names it
 * @param date the day of the inspection; a label, never used to correct a clock
 * @param zone time zone of the house
 * @param route the job's own copy of its route
 * @param profile the job's own copy of its duties
 */
public record JobHeader(
    int format,
    String id,
    String site,
    LocalDate date,
    ZoneId zone,
    RoutePlan route,
    DutyProfile profile) {

  /** The version this program writes and the highest it reads. */
  public static final int FORMAT = 1;
}

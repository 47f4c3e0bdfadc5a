package meterside.job;

import java.util.List;

/**
 * A dated set of duties; profiles can differ by state and agreement. Copied into each job.
 *
 * @param id fixed id
 * @param title what the screen says
 * @param dated ISO date of this edition of the profile
 * @param source where the profile comes from
 * @param duties in the order they are shown
 */
public record DutyProfile(String id, String title, String dated, String source, List<Duty> duties) {

  /** Copies the list. */
  public DutyProfile {
    duties = List.copyOf(duties);
  }
}

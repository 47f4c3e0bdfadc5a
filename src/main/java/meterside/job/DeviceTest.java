package meterside.job;

import java.util.List;

/**
 * A test of a receptacle, GFCI, AFCI or alarm, or why there was none.
 *
 * @param id number of the test, unique in the job
 * @param at the stop
 * @param location where ("hall bath, right of the basin")
 * @param part id of the part, for example {@code receptacle}
 * @param outcomes what was seen; empty if not tested
 * @param means tested by which means ("plug-in tester", "its own button"), or null
 * @param notTested why it was not tested, or null if it was
 * @param finding number of the finding that came of it, or null
 * @param photos photos that show it
 */
public record DeviceTest(
    int id,
    StopKey at,
    String location,
    String part,
    List<TestOutcome> outcomes,
    String means,
    String notTested,
    Integer finding,
    List<PhotoId> photos) {

  /** Checks that it was either tested with an outcome or says why not. */
  public DeviceTest {
    outcomes = outcomes == null ? List.of() : List.copyOf(outcomes);
    photos = photos == null ? List.of() : List.copyOf(photos);
    if (outcomes.isEmpty() == (notTested == null || notTested.isBlank())) {
      throw new EditRefused("test.outcome-or-reason");
    }
  }
}

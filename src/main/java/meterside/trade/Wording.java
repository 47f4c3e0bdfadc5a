package meterside.trade;

import meterside.job.FindingKind;

/**
 * Ready wording for a common finding: complete sentences that the inspector edits.
 *
 * @param id fixed id
 * @param stop id of the stop it is seen at
 * @param part id of the part
 * @param kind usual kind of the finding
 * @param seen what was seen
 * @param why why it matters
 * @param who who should act
 * @param urgent whether people must be told at once
 */
public record Wording(
    String id,
    String stop,
    String part,
    FindingKind kind,
    String seen,
    String why,
    String who,
    boolean urgent) {}

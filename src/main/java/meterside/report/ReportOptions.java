package meterside.report;

import java.time.Instant;

/**
 * How a report is made.
 *
 * @param draft whether it is a draft and says so on every page
 * @param keepLocation whether the positions that the cameras recorded go into the evidence table
 * @param author who makes it, or null; the creator of its annotations
 * @param at when it is made
 * @param number number of the report, 1 or higher
 * @param head hash of the journal's last line, 64 hexadecimal digits, or null if not known
 */
public record ReportOptions(
    boolean draft, boolean keepLocation, String author, Instant at, int number, String head) {}

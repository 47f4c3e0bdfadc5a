/**
 * Files in, originals and facts out.
 *
 * <p>{@link meterside.intake.Intake#run} walks folders in path order, reads each file once, and
 * from the same bytes takes hash, facts, preview and the original that is kept. Work is spread over
 * all cores; what is done is handed on in path order, a group of files at a time: originals forced
 * first, then the edits that name them. So whatever moment a run ends at, a beginning of the path
 * order is in the job and nothing else, and the same command again takes the rest: the same job as
 * if nothing had happened.
 *
 * <p>One bad file never stops the others. What happened to it is a {@link
 * meterside.intake.Intake.Problem} with a sentence. The sources are only ever read.
 */
package meterside.intake;

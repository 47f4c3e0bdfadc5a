/**
 * A job as a value, and the edits that make it.
 *
 * <p>A {@link meterside.job.Job} is never changed. Everything that happens to a job is an {@link
 * meterside.job.Edit}; the job is the fold of its edits over the {@link meterside.job.JobHeader},
 * and {@link meterside.job.History} is that fold, with steps back and forward resolved first. This
 * room is pure: no files, no clock, no toolkit. Whoever reads {@code Edit}, {@code History} and
 * {@code Job} knows what the program can do to a job.
 *
 * <p>Frames and units, once for all: points are fractions of the EXIF-upright photo's width and
 * height, origin top left ({@link meterside.job.Point}). Lengths of marks are fractions of its
 * diagonal. World lengths are metres. Instants are UTC; wall times are what a camera wrote.
 *
 * <p>A component that may be absent is {@code null} and its Javadoc says so.
 */
package meterside.job;

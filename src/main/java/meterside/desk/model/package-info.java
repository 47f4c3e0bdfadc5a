/**
 * What the desk shows and does, without a toolkit: every class here runs in a plain test.
 *
 * <p>{@link meterside.desk.model.Walk}, {@link meterside.desk.model.Notes} and {@link
 * meterside.desk.model.PhotoFacts} are values worked out from a job, ready to be shown. {@link
 * meterside.desk.model.JobDesk} is the open job: what is selected, what can be done, what runs. It
 * acts through the one {@link meterside.work.JobSession} of the job and tells its listeners when
 * something changed. {@link meterside.desk.model.Port} is the arithmetic of zooming and panning;
 * {@link meterside.desk.model.Keys} is the one table of keys.
 *
 * <p>Threads come in from outside ({@link meterside.desk.model.Threads}): the window gives the
 * toolkit's thread, a serial thread for acts and a pool for slow work; tests give the calling
 * thread.
 */
package meterside.desk.model;

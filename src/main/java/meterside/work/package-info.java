/**
 * The use cases: what the command line and the desk let the inspector do.
 *
 * <p>A {@link meterside.work.Workspace} is an open archive with everything around it (trade,
 * settings, past jobs). A {@link meterside.work.JobSession} is the one writer of a job: it takes
 * the lock, turns every act into edits of one step, appends and forces them, applies them, and
 * tells its listeners. {@link meterside.work.Names} turns what people type into stops, parts,
 * photos and duties. {@link meterside.work.LongTask} is slow work with a title, progress and a way
 * to stop it.
 *
 * <p>What keeps a job and shows that it is unchanged: {@link meterside.work.Packing} makes evidence
 * packages and takes them in, {@link meterside.work.Copying} keeps the second copy and says whether
 * a card may be wiped, {@link meterside.work.DailyCheck} reads a share of the archive through each
 * day, {@link meterside.work.Audit} is the table of who did what when.
 */
package meterside.work;

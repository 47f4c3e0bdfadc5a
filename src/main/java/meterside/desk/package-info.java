/**
 * The desk: the JavaFX window over the use cases of the work room.
 *
 * <p>{@link meterside.desk.DeskStart} decides how it starts, before the toolkit is touched. {@link
 * meterside.desk.DeskWindow} is the one window; a place at a time fills it: the first start, past
 * jobs, the job, its report, the settings. The job window has the walk on the left, the photo in
 * the middle and the notes on the right; the three show what {@link meterside.desk.model.JobDesk}
 * says is shown, and ask it to act.
 *
 * <p>What is shown is worked out without a toolkit in {@code meterside.desk.model}; the classes
 * here only lay it out and turn gestures into acts. Slow work runs on other threads and shows in
 * the foot. Colours, type and spacing lie in one stylesheet, {@code desk.css}.
 */
package meterside.desk;

package meterside.archive;

import java.time.Instant;

/** The job is open for writing elsewhere. */
public final class InUse extends ArchiveException {
  private static final long serialVersionUID = 1L;

  private final String who;
  private final Instant since;

  InUse(String job, JobLock.Holder holder) {
    super(
        4,
        holder == null
            ? say("in-use.unknown", job)
            : say("in-use", job, holder.who(), holder.pid(), holder.since()));
    who = holder == null ? null : holder.who();
    since = holder == null ? null : holder.since();
  }

  /** Who holds it, as that program called itself; null if it could not be read. */
  public String who() {
    return who;
  }

  /** Since when; null if it could not be read. */
  public Instant since() {
    return since;
  }
}

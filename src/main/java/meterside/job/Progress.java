package meterside.job;

/** How slow work says how far it is, and hears that it should stop. Called from any thread. */
public interface Progress {
  /** Says nothing and never stops. */
  Progress NONE =
      new Progress() {
        @Override
        public void at(long done, long total) {}

        @Override
        public boolean cancelled() {
          return false;
        }
      };

  /**
   * So much is done.
   *
   * @param done how many
   * @param total of how many; 0 while unknown
   */
  void at(long done, long total);

  /** Whether the work should stop at the next good moment. */
  boolean cancelled();
}

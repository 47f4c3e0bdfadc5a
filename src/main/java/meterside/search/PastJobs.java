package meterside.search;

import java.util.List;
import java.util.Map;
import meterside.job.Progress;

/**
 * The archive's memory: finds photos, findings and jobs by words and filters. Values in and out are
 * neutral, so that another engine fits behind it.
 *
 * <p>It is built from the journals and never holds anything that is not in them. All methods may be
 * called from any thread; finding goes on while another thread catches up.
 */
public interface PastJobs extends AutoCloseable {

  /**
   * Answers a question. The first call catches up first if nobody has done so yet; later calls
   * answer from what was last taken in.
   */
  Found find(Ask ask);

  /** Answers a question and counts what the answer could be narrowed down to. */
  Overview findAndCount(Ask ask);

  /** Where a text, as a rule that of a hit, meets the words of a question; in order. */
  List<Stretch> stretches(Ask ask, String text);

  /**
   * Findings or photos like another one, most alike first: by what their texts share, by part, and
   * by how their photos look, all together.
   */
  List<Likeness> similar(Like like);

  /**
   * Takes in every job whose journal has grown, and forgets jobs that are gone. Cheap if nothing
   * has changed. A job that can't be read is left as it was last known; see {@link #troubles}.
   *
   * @param p told how many of the jobs that are behind are done; when it asks to stop, what was
   *     taken in so far stays
   */
  void catchUp(Progress p);

  /** Takes in what has happened to one job. */
  void follow(String jobName);

  /**
   * Forgets everything and takes in all jobs anew.
   *
   * @return whether the index is on the disk; false if it could not be written, or the work was
   *     stopped, and searches answer from memory meanwhile
   */
  boolean rebuild(Progress p);

  /**
   * For each job, the journal heads it was taken in with: the latest first, then earlier ones that
   * were no longer in the journal when it was read again. All of them should be found in a journal
   * that nobody has cut.
   */
  Map<String, List<String>> heads();

  /** Sentences on jobs that could not be read in the last catch-up; empty as a rule. */
  List<String> troubles();

  /** Lets go of everything. */
  @Override
  void close();
}

package meterside.search;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.stream.Stream;
import meterside.job.Edit;
import meterside.job.FindingKind;
import meterside.job.Progress;
import meterside.trade.Trade;
import org.apache.lucene.index.DirectoryReader;
import org.apache.lucene.index.IndexWriter;
import org.apache.lucene.index.IndexWriterConfig;
import org.apache.lucene.store.Directory;
import org.apache.lucene.store.FSDirectory;
import org.apache.lucene.store.FilterDirectory;
import org.apache.lucene.store.IOContext;
import org.apache.lucene.store.IndexOutput;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The index follows the journals and is never needed: whatever happens to it, answers stay. */
class FollowingJournalsTest {

  private static final String ONE = "2026-05-12-wren-hollow-18";
  private static final String TWO = "2026-06-02-finch-row-4";

  @TempDir Path folder;
  private TestJobs jobs;

  @BeforeEach
  void write() {
    jobs = new TestJobs(folder);
    jobs.job(ONE, "18 Wren Hollow", "2026-05-12")
        .photo("IMG_0001.jpg", "panelboard")
        .callout("IMG_0001.jpg", "breaker", "scorched")
        .finding(1, "panelboard", "breaker", FindingKind.NEEDS_CORRECTION, "Breaker scorched", null)
        .save();
    jobs.job(TWO, "4 Finch Row", "2026-06-02")
        .photo("IMG_0001.jpg", "meter-and-base")
        .finding(
            1,
            "meter-and-base",
            "meter-base",
            FindingKind.FURTHER_EVALUATION,
            "Meter can rusted",
            "Water inside live equipment")
        .save();
  }

  private static long total(PastJobs past, String words) {
    return past.find(Ask.words(words)).total();
  }

  private static void assertAnswers(PastJobs past) {
    assertEquals(2, total(past, "scorched"));
    assertEquals(1, total(past, "meter socket rusted"));
    assertEquals(6, total(past, ""));
    assertEquals(2, past.heads().size());
  }

  private Path index() {
    return jobs.archive().indexDir();
  }

  @Test
  void a_first_question_catches_up_by_itself() {
    try (PastJobs past = jobs.pastJobs()) {
      assertAnswers(past);
    }
  }

  @Test
  void opening_alone_writes_nothing() throws IOException {
    delete(index());
    jobs.pastJobs().close();
    assertFalse(Files.exists(index()));
  }

  @Test
  void a_new_finding_is_found_after_following_its_job() {
    try (PastJobs past = jobs.pastJobs()) {
      assertEquals(0, total(past, "insects"));
      jobs.again(ONE)
          .finding(2, "panelboard", null, FindingKind.NOTE, "Insects in the box", null)
          .save();
      assertEquals(0, total(past, "insects"), "nobody has followed yet");
      past.follow(ONE);
      assertEquals(1, total(past, "insects"));
      jobs.again(ONE).edit(new Edit.StepBack()).save();
      past.follow(ONE);
      assertEquals(0, total(past, "insects"), "undone");
      assertAnswers(past);
    }
  }

  @Test
  void many_findings_followed_one_by_one_are_all_found_and_the_index_stays_tidy()
      throws IOException {
    try (PastJobs past = jobs.pastJobs()) {
      for (int i = 0; i < 60; i++) {
        jobs.job("2026-07-01-row-" + i, i + " Row", "2026-07-01")
            .finding(1, "alarms", null, FindingKind.NOTE, "Insects here", null)
            .save();
        past.follow("2026-07-01-row-" + i);
        assertEquals(i + 1, total(past, "insects"));
      }
    }
    try (var directory = org.apache.lucene.store.FSDirectory.open(index());
        var reader = org.apache.lucene.index.DirectoryReader.open(directory)) {
      assertTrue(reader.leaves().size() <= 41, "segments: " + reader.leaves().size());
    }
  }

  @Test
  void catching_up_takes_in_only_jobs_that_are_behind() {
    try (PastJobs past = jobs.pastJobs()) {
      past.catchUp(Progress.NONE);
      jobs.again(TWO).edit(new Edit.SetFact("client", "Ada Moss")).save();
      long[] most = new long[1];
      past.catchUp(
          new Progress() {
            @Override
            public void at(long done, long total) {
              most[0] = Math.max(most[0], total);
            }

            @Override
            public boolean cancelled() {
              return false;
            }
          });
      assertEquals(1, most[0]);
      assertEquals(1, total(past, "ada moss"));
    }
  }

  @Test
  void a_second_program_sees_what_the_first_has_taken_in_and_the_other_way_round() {
    try (PastJobs first = jobs.pastJobs();
        PastJobs second = jobs.pastJobs()) {
      assertAnswers(first);
      assertAnswers(second);
      jobs.again(ONE).finding(2, "alarms", null, FindingKind.NOTE, "Insects here", null).save();
      second.catchUp(Progress.NONE);
      first.catchUp(Progress.NONE);
      assertEquals(1, total(first, "insects"));
      assertEquals(1, total(second, "insects"));
    }
  }

  @Test
  void a_job_that_is_gone_is_forgotten() throws IOException {
    try (PastJobs past = jobs.pastJobs()) {
      assertAnswers(past);
      delete(jobs.archive().find(TWO).orElseThrow().path());
      past.catchUp(Progress.NONE);
      assertEquals(0, total(past, "rusted"));
      assertEquals(3, total(past, ""));
    }
  }

  @Test
  void an_index_that_was_deleted_is_built_anew_also_under_an_open_program() throws IOException {
    try (PastJobs past = jobs.pastJobs()) {
      assertAnswers(past);
      delete(index());
      assertAnswers(past);
      past.catchUp(Progress.NONE);
      assertAnswers(past);
      assertTrue(Files.exists(index()), "built again");
    }
    delete(index());
    try (PastJobs past = jobs.pastJobs()) {
      assertAnswers(past);
    }
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6})
  void an_index_with_a_garbled_byte_in_any_file_is_built_anew(long seed) throws IOException {
    jobs.pastJobs().find(Ask.words("x"));
    Random random = new Random(seed);
    List<Path> files = files(index());
    for (Path victim : files) {
      byte[] bytes = Files.readAllBytes(victim);
      if (bytes.length == 0) {
        continue; // the lock
      }
      int at = random.nextInt(bytes.length);
      byte[] bad = bytes.clone();
      bad[at] ^= (byte) (1 + random.nextInt(255));
      Files.write(victim, bad);
      try (PastJobs past = jobs.pastJobs()) {
        assertAnswers(past);
      } catch (AssertionError | RuntimeException e) {
        throw new AssertionError("seed " + seed + ", byte " + at + " of " + victim, e);
      }
      restore(files, index());
    }
  }

  /** Builds a whole index again so that the next victim is one of a good one. */
  private void restore(List<Path> files, Path index) throws IOException {
    delete(index);
    jobs.pastJobs().find(Ask.words("x"));
    assertEquals(files.size(), files(index).size(), "the same files each time");
  }

  @ParameterizedTest
  @ValueSource(ints = {0, 1, 10, 50})
  void an_index_whose_files_were_cut_short_is_built_anew(int left) throws IOException {
    jobs.pastJobs().find(Ask.words("x"));
    for (Path victim : files(index())) {
      byte[] bytes = Files.readAllBytes(victim);
      Files.write(victim, java.util.Arrays.copyOf(bytes, Math.min(left, bytes.length)));
    }
    try (PastJobs past = jobs.pastJobs()) {
      assertAnswers(past);
    }
  }

  @Test
  void foreign_files_in_the_folder_do_no_harm() throws IOException {
    Files.createDirectories(index());
    Files.writeString(index().resolve("notes.txt"), "not an index");
    Files.writeString(index().resolve("segments_9"), "not an index either");
    try (PastJobs past = jobs.pastJobs()) {
      assertAnswers(past);
    }
  }

  @Test
  void an_index_of_an_older_schema_is_built_anew() throws IOException {
    try (Directory d = FSDirectory.open(index());
        IndexWriter w = new IndexWriter(d, new IndexWriterConfig())) {
      org.apache.lucene.document.Document old = new org.apache.lucene.document.Document();
      old.add(
          new org.apache.lucene.document.StringField(
              "kind", "JOB", org.apache.lucene.document.Field.Store.YES));
      w.addDocument(old);
      w.setLiveCommitData(Map.of("meterside.schema", "0").entrySet());
      w.commit();
    }
    try (PastJobs past = jobs.pastJobs()) {
      assertAnswers(past);
    }
  }

  @Test
  void while_another_program_holds_the_writer_jobs_that_are_behind_are_searched_in_memory()
      throws IOException {
    try (PastJobs past = jobs.pastJobs()) {
      assertAnswers(past);
      try (Directory d = FSDirectory.open(index());
          IndexWriter held = new IndexWriter(d, new IndexWriterConfig())) {
        jobs.again(ONE)
            .finding(1, "panelboard", "breaker", FindingKind.NOTE, "Breaker sooty", null)
            .save();
        past.follow(ONE);
        assertEquals(1, total(past, "sooty"));
        assertEquals(1, total(past, "scorched"), "only the photo says so still");
        assertEquals(1, total(past, "meter socket rusted"));
        assertEquals(6, total(past, ""));
        jobs.again(TWO).edit(new Edit.SetFact("client", "Ada Moss")).save();
        past.catchUp(Progress.NONE);
        assertEquals(1, total(past, "ada moss"));
        assertEquals(1, total(past, "sooty"));
        assertEquals(6, total(past, ""));
        delete(jobs.archive().find(TWO).orElseThrow().path());
        past.catchUp(Progress.NONE);
        assertEquals(0, total(past, "ada moss"));
        assertEquals(3, total(past, ""));
        held.rollback();
      }
      past.catchUp(Progress.NONE);
      assertEquals(1, total(past, "sooty"));
      assertEquals(3, total(past, ""));
    }
    try (PastJobs anew = jobs.pastJobs()) {
      assertEquals(1, total(anew, "sooty"));
      assertEquals(3, total(anew, ""));
    }
  }

  @Test
  void what_was_searched_in_memory_is_written_with_the_next_job_that_is_followed()
      throws IOException {
    try (PastJobs past = jobs.pastJobs()) {
      assertAnswers(past);
      try (Directory d = FSDirectory.open(index());
          IndexWriter held = new IndexWriter(d, new IndexWriterConfig())) {
        jobs.again(ONE).finding(2, "alarms", null, FindingKind.NOTE, "Insects here", null).save();
        past.follow(ONE);
        assertEquals(1, total(past, "insects"));
        held.rollback();
      }
      jobs.again(TWO).edit(new Edit.SetFact("client", "Ada Moss")).save();
      past.follow(TWO);
      assertEquals(1, total(past, "ada moss"));
      assertEquals(1, total(past, "insects"));
      assertEquals(7, total(past, ""));
    }
  }

  @Test
  void a_held_writer_and_no_index_still_answer() throws IOException {
    Files.createDirectories(index());
    try (Directory d = FSDirectory.open(index());
        IndexWriter held = new IndexWriter(d, new IndexWriterConfig());
        PastJobs past = jobs.pastJobs()) {
      assertAnswers(past);
      held.rollback();
    }
  }

  @Test
  void a_folder_that_cannot_be_an_index_still_answers() throws IOException {
    delete(index());
    Files.writeString(index(), "a file where the folder should be");
    try (PastJobs past = jobs.pastJobs()) {
      assertAnswers(past);
      jobs.again(ONE).finding(2, "alarms", null, FindingKind.NOTE, "Insects here", null).save();
      past.follow(ONE);
      assertEquals(1, total(past, "insects"));
    }
  }

  /** After k writes nothing reaches the disk any more, and what was not forced is lost. */
  @Test
  void a_kill_at_any_write_of_a_catch_up_leaves_a_usable_index() throws IOException {
    boolean finished = false;
    for (int k = 0; !finished; k++) {
      delete(index());
      try (PastJobs past = LucenePastJobs.open(jobs.archive(), Trade.standard(), unforced())) {
        past.catchUp(Progress.NONE);
      }
      long before = generation();
      String word = "insects" + k;
      jobs.again(ONE).finding(2, "alarms", null, FindingKind.NOTE, word, null).save();
      Killed killed = new Killed(k);
      PastJobs dying = LucenePastJobs.open(jobs.archive(), Trade.standard(), killed::open);
      dying.catchUp(Progress.NONE);
      dying.close();
      killed.loseWhatWasNotForced();
      finished = !killed.dead;
      if (!finished) {
        assertTrue(generation() >= before, "the last commit is still there");
      }
      try (PastJobs past = LucenePastJobs.open(jobs.archive(), Trade.standard(), unforced())) {
        assertEquals(1, total(past, word), "killed at write " + k);
        assertEquals(7, total(past, ""), "killed at write " + k);
      }
      assertTrue(k < 200, "a catch-up of one job takes fewer writes");
    }
  }

  /** Forcing takes most of the time, and no power fails where a test only looks. */
  private static LucenePastJobs.Opener unforced() {
    return folder ->
        new FilterDirectory(FSDirectory.open(folder)) {
          @Override
          public void sync(java.util.Collection<String> names) {}

          @Override
          public void syncMetaData() {}
        };
  }

  private long generation() throws IOException {
    try (Directory d = FSDirectory.open(index());
        DirectoryReader r = DirectoryReader.open(d)) {
      return r.getIndexCommit().getGeneration();
    }
  }

  /** A disk that fails from the k-th change on, and forgets files that were not forced. */
  private static final class Killed {
    private final int at;
    private int writes;
    private boolean dead;
    private Path where;
    private final java.util.Set<String> unforced = new java.util.HashSet<>();

    Killed(int at) {
      this.at = at;
    }

    private void change() throws IOException {
      if (writes++ >= at) {
        dead = true;
        throw new IOException("killed");
      }
    }

    Directory open(Path folder) throws IOException {
      where = folder;
      return new FilterDirectory(FSDirectory.open(folder)) {
        @Override
        public IndexOutput createOutput(String name, IOContext context) throws IOException {
          change();
          unforced.add(name);
          return super.createOutput(name, context);
        }

        @Override
        public void sync(java.util.Collection<String> names) throws IOException {
          change();
          super.sync(names);
          unforced.removeAll(names);
        }

        @Override
        public void rename(String source, String dest) throws IOException {
          change();
          super.rename(source, dest);
          if (unforced.remove(source)) {
            unforced.add(dest);
          }
        }

        @Override
        public void deleteFile(String name) throws IOException {
          change();
          super.deleteFile(name);
        }

        @Override
        public void syncMetaData() throws IOException {
          change();
          super.syncMetaData();
        }
      };
    }

    void loseWhatWasNotForced() throws IOException {
      for (String name : dead ? unforced : java.util.Set.<String>of()) {
        Path file = where.resolve(name);
        if (Files.exists(file)) {
          byte[] bytes = Files.readAllBytes(file);
          Files.write(file, java.util.Arrays.copyOf(bytes, bytes.length / 2));
        }
      }
    }
  }

  @Test
  void a_job_that_cannot_be_read_stops_no_other_and_is_named() throws IOException {
    try (PastJobs past = jobs.pastJobs()) {
      assertAnswers(past);
      Path journal = jobs.archive().find(ONE).orElseThrow().journalFile();
      String text = Files.readString(journal, StandardCharsets.UTF_8);
      String[] lines = text.split("\n");
      lines[lines.length - 1] = lines[lines.length - 1].replace("\"hash\":\"", "\"hash\":\"00");
      Files.writeString(journal, String.join("\n", lines) + "\n");
      jobs.again(TWO).finding(2, "alarms", null, FindingKind.NOTE, "Insects here", null).save();
      past.catchUp(Progress.NONE);
      assertEquals(1, total(past, "insects"));
      assertEquals(2, total(past, "scorched"), "as it was last known");
      assertEquals(1, past.troubles().size());
      assertTrue(past.troubles().get(0).contains(ONE), past.troubles().get(0));
      assertFalse(past.troubles().get(0).contains("Exception"), past.troubles().get(0));
    }
  }

  @Test
  void a_head_that_was_cut_off_the_journal_is_kept() throws IOException {
    try (PastJobs past = jobs.pastJobs()) {
      past.catchUp(Progress.NONE);
      List<String> before = past.heads().get(ONE);
      assertEquals(1, before.size());
      Path journal = jobs.archive().find(ONE).orElseThrow().journalFile();
      byte[] bytes = Files.readAllBytes(journal);
      int end = bytes.length - 2;
      while (bytes[end] != '\n') {
        end--;
      }
      Files.write(journal, java.util.Arrays.copyOf(bytes, end + 1));
      past.catchUp(Progress.NONE);
      List<String> after = past.heads().get(ONE);
      assertEquals(2, after.size());
      assertNotEquals(before.get(0), after.get(0));
      assertEquals(before.get(0), after.get(1));
    }
  }

  @Test
  void a_stop_on_request_keeps_what_was_taken_in() {
    try (PastJobs past = jobs.pastJobs()) {
      int[] asked = new int[1];
      past.catchUp(
          new Progress() {
            @Override
            public void at(long done, long total) {}

            @Override
            public boolean cancelled() {
              return asked[0]++ > 0;
            }
          });
      Found found = past.find(Ask.words(""));
      assertEquals(3, found.total(), "the newer job");
      assertEquals(1, found.behind());
      past.catchUp(Progress.NONE);
      assertAnswers(past);
    }
  }

  @Test
  void finding_goes_on_while_another_thread_follows() throws Exception {
    try (PastJobs past = jobs.pastJobs()) {
      past.catchUp(Progress.NONE);
      Thread writer =
          new Thread(
              () -> {
                for (int i = 0; i < 8; i++) {
                  jobs.again(ONE)
                      .finding(2, "alarms", null, FindingKind.NOTE, "turn " + i, null)
                      .save();
                  past.follow(ONE);
                }
              });
      writer.start();
      while (writer.isAlive()) {
        assertEquals(1, total(past, "meter socket rusted"));
      }
      writer.join();
      assertEquals(1, total(past, "\"turn 7\""));
    }
  }

  private static List<Path> files(Path folder) throws IOException {
    try (Stream<Path> s = Files.list(folder)) {
      return s.sorted().toList();
    }
  }

  private static void delete(Path tree) throws IOException {
    if (!Files.exists(tree)) {
      return;
    }
    try (Stream<Path> s = Files.walk(tree)) {
      for (Path p : s.sorted(Comparator.reverseOrder()).toList()) {
        Files.delete(p);
      }
    }
  }
}

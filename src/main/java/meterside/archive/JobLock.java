package meterside.archive;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.channels.FileLock;
import java.nio.channels.OverlappingFileLockException;
import java.nio.charset.StandardCharsets;
import java.nio.file.FileSystemException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.time.Clock;
import java.time.Instant;
import java.util.concurrent.ConcurrentHashMap;

/**
 * The lock of a job's one writer: the operating system's lock on a byte of {@code job.lock}. It is
 * gone when the process is, however that ends. The file says who holds it.
 *
 * <p>On POSIX systems a process loses its locks on a file as soon as it closes <em>any</em> channel
 * to it. So the jobs that this process holds are remembered here, and a second taker in this
 * process is turned away without opening the file.
 */
final class JobLock implements AutoCloseable {

  /**
   * Who holds a lock.
   *
   * @param who what the program calls itself or its user
   * @param pid number of the process
   * @param since since when
   */
  record Holder(String who, long pid, Instant since) {}

  private static final ConcurrentHashMap<Path, Holder> HELD_HERE = new ConcurrentHashMap<>();

  /** Far behind the text, so that systems whose locks bar reading let others read who holds it. */
  private static final long LOCKED_BYTE = Long.MAX_VALUE - 1;

  private static final int LONGEST_TEXT = 4096;

  private final Path key;
  private final FileChannel channel;

  private JobLock(Path key, FileChannel channel) {
    this.key = key;
    this.channel = channel;
  }

  /**
   * Takes the lock.
   *
   * @throws InUse if somebody has it
   */
  static JobLock take(Path lockFile, String job, String who, Clock clock) {
    try {
      Path key = lockFile.getParent().toRealPath().resolve(lockFile.getFileName());
      Holder me =
          new Holder(who, ProcessHandle.current().pid(), Instant.ofEpochMilli(clock.millis()));
      Holder here = HELD_HERE.putIfAbsent(key, me);
      if (here != null) {
        throw new InUse(job, here);
      }
      boolean taken = false;
      try {
        FileChannel channel = lock(lockFile, job);
        try {
          sayWho(channel, me);
          taken = true;
          return new JobLock(key, channel);
        } finally {
          if (!taken) {
            channel.close();
          }
        }
      } finally {
        if (!taken) {
          HELD_HERE.remove(key);
        }
      }
    } catch (IOException e) {
      if (Durable.isFull(FileOps.disk(), lockFile.getParent(), e, LONGEST_TEXT)) {
        throw new DiskFull(e, "full.lock", job);
      }
      throw new DiskTrouble(e, "trouble.lock", job, reason(e));
    }
  }

  private static FileChannel lock(Path lockFile, String job) throws IOException {
    if (Files.exists(lockFile) && !Files.isRegularFile(lockFile)) {
      throw new FileSystemException(lockFile.toString(), null, "not a file");
    }
    FileChannel channel =
        FileChannel.open(
            lockFile, StandardOpenOption.CREATE, StandardOpenOption.READ, StandardOpenOption.WRITE);
    boolean taken = false;
    try {
      FileLock lock = channel.tryLock(LOCKED_BYTE, 1, false);
      taken = lock != null;
    } catch (OverlappingFileLockException e) {
      taken = false; // another loader of this class in this process has it
    } finally {
      if (!taken) {
        channel.close();
      }
    }
    if (!taken) {
      throw new InUse(job, readHolder(lockFile));
    }
    return channel;
  }

  private static void sayWho(FileChannel channel, Holder me) throws IOException {
    ObjectNode node = Json.MAPPER.createObjectNode();
    node.put("who", me.who());
    node.put("pid", me.pid());
    node.put("since", Json.moment(me.since()));
    ByteBuffer text = ByteBuffer.wrap((Json.text(node) + "\n").getBytes(StandardCharsets.UTF_8));
    channel.truncate(0);
    while (text.hasRemaining()) {
      channel.write(text);
    }
  }

  /** Who the file says holds it, or null if that can't be read (it may just be being written). */
  private static Holder readHolder(Path lockFile) {
    try {
      if (Files.size(lockFile) > LONGEST_TEXT) {
        return null;
      }
      Holder holder = Json.MAPPER.readValue(Files.readAllBytes(lockFile), Holder.class);
      return holder == null || holder.who() == null || holder.since() == null ? null : holder;
    } catch (IOException e) {
      return null;
    }
  }

  static String reason(IOException e) {
    String words = e.getMessage();
    return words == null || words.isBlank() ? e.getClass().getSimpleName() : words;
  }

  @Override
  public void close() {
    try {
      channel.close(); // releases the lock
    } catch (IOException e) {
      // Nothing was written through this channel that must last; the lock ends with the process.
      throw new DiskTrouble(e, "trouble.unlock", key, reason(e));
    } finally {
      HELD_HERE.remove(key);
    }
  }
}
